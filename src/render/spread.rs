//! How a lamp's light spreads in the picture: its face blurred by the lens, and a wide faint halo.

use std::f64::consts::{PI, SQRT_2};

use statrs::function::erf::erfc;

use super::recipe::Lens;

/// Table entries a pixel of distance.
const STEPS: f64 = 8.0;

/// The table ends where the light falls below this share of clipping: a fifth of a code value in the dark.
const FAINTEST: f64 = 2e-4;

/// Shares of a face's light that come to a place in the face's picture and in its halo.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Shares {
    pub(super) face: f32,
    pub(super) halo: f32,
}

/// A lamp's picture by distance from its centre, as a share of its face's light. The sum over all pixels is
/// the area of the face: light moves, none is lost.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    /// One entry each eighth of a pixel, ending in zeros.
    table: Vec<Shares>,
    /// Distance beyond which there is nothing to see, pixels.
    pub(super) reach: f64,
}

impl Spread {
    /// For a face of a radius in pixels; `brightest` is the most light it will give, as a multiple of clipping.
    pub(super) fn new(radius: f64, lens: &Lens, brightest: f64) -> Self {
        let area = PI * radius * radius;
        let core_reach = radius + 5.0 * lens.blur_px;
        // The exponential holds all but 0.3 % of its light within eight of its lengths.
        let halo_px = lens.halo_radii * radius;
        let furthest = core_reach.max(8.0 * halo_px);
        let core = |d: f64| 0.5 * erfc((d - radius) / (SQRT_2 * lens.blur_px));
        let core_scale = (1.0 - lens.halo_share) * area / flat_integral(core, core_reach);
        let halo_scale = lens.halo_share * area / (2.0 * PI * halo_px * halo_px);
        let face = |d: f64| core_scale * core(d);
        let halo = |d: f64| halo_scale * (-d / halo_px).exp();
        let mut distance = furthest;
        while distance > core_reach && (face(distance) + halo(distance)) * brightest < FAINTEST {
            distance -= 1.0;
        }
        let reach = distance.ceil() + 1.0;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "some thousand entries; single precision is ample for a picture"
        )]
        let table = (0..=((reach + 1.0) * STEPS) as usize)
            .map(|step| step as f64 / STEPS)
            .map(|d| {
                if d > reach {
                    return Shares::default();
                }
                Shares {
                    face: face(d) as f32,
                    halo: halo(d) as f32,
                }
            })
            .collect();
        Self { table, reach }
    }

    /// What comes to a squared distance in pixels.
    pub(super) fn at_squared(&self, squared: f32) -> Shares {
        let place = squared.sqrt() * STEPS as f32;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a short distance"
        )]
        let step = place as usize;
        match self.table.get(step..step + 2) {
            Some(&[near, far]) => {
                let between = |near: f32, far: f32| near + (far - near) * (place - step as f32);
                Shares {
                    face: between(near.face, far.face),
                    halo: between(near.halo, far.halo),
                }
            }
            _ => Shares::default(),
        }
    }
}

/// Integral over the plane of a function of the distance, out to a limit.
fn flat_integral(value: impl Fn(f64) -> f64, limit: f64) -> f64 {
    /// Steps of the midpoint rule; the functions here are smooth over a fraction of a pixel.
    const PER_PX: f64 = 64.0;
    let step = 1.0 / PER_PX;
    let mut sum = 0.0;
    let mut d = 0.5 * step;
    while d < limit {
        sum += 2.0 * PI * d * value(d) * step;
        d += step;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum_over_pixels(spread: &Spread, (x, y): (f64, f64), side: usize) -> f64 {
        (0..side * side)
            .map(|i| ((i % side) as f64 + 0.5 - x, (i / side) as f64 + 0.5 - y))
            .map(|(dx, dy)| spread.at_squared((dx * dx + dy * dy) as f32))
            .map(|shares| f64::from(shares.face + shares.halo))
            .sum()
    }

    #[rstest::rstest]
    #[case::tiny(1.5, 0.8, 0.0)]
    #[case::small_with_halo(4.0, 1.0, 0.2)]
    #[case::large_with_halo(12.0, 1.5, 0.1)]
    fn spreading_loses_no_light(#[case] radius: f64, #[case] blur_px: f64, #[case] halo_share: f64) {
        let lens = Lens {
            blur_px,
            halo_share,
            halo_radii: 2.5,
        };
        // So bright that the table runs to the end of the halo.
        let spread = Spread::new(radius, &lens, 1e6);
        let area = PI * radius * radius;
        for centre in [(300.0, 300.0), (300.5, 300.5), (300.31, 299.77)] {
            let sum = sum_over_pixels(&spread, centre, 600);
            // 0.3 % of the halo lies beyond the table, and a pixel samples the profile at its centre only.
            assert!(
                (sum / area - 1.0).abs() < 0.003,
                "{sum} against {area} at {centre:?}"
            );
        }
    }
}
