//! Whether what is dark of a lamp is something that lies over it.

use nalgebra::{Matrix6, Vector6};

use super::one_side::sides_that_differ;
use super::patch::{Patches, Pixel, from_centre};
use super::plain_cover::{Least, is_plain_cover, mean};
use super::states::{gained, sum3, typical};
use super::surround::{Ring, begins};

/// Fewest dark frames to go by, and half of the lit ones: with fewer, a passing hand would count for much.
pub(super) const FEWEST: usize = 4;

/// The ring about the lamp which shows that all that was seen of the darker state is something that lies over it, see
/// [`covers`]: all that is looked at, or where a finger leaves the rest as it is what is near; `None` if nothing does. Where
/// the lamp is lit in another colour too, it must be so for that as well: what its light in one colour makes of its surround,
/// its light in another does not. If that does not explain the darker state, the bright one's does so by chance.
pub(super) fn cover_shows_in(
    patches: &Patches,
    dark: &[usize],
    bright: &[usize],
    radius: f64,
) -> Option<Ring> {
    let all = Ring::all(radius);
    let by_another = || {
        let lit = lit_otherwise(patches, dark, bright, radius);
        covers(patches, dark, &lit, (radius, all), Least::BY_TWO)
    };
    let shows_in = |ring: Ring, least| covers(patches, dark, bright, (radius, ring), least).then_some(ring);
    let (near, nearest) = (Ring::near(radius), Ring::nearest(radius));
    shows_in(all, Least::BY_ONE)
        .or_else(|| by_another().then_some(all))
        .or_else(|| shows_in(near, Least::BY_ONE))
        .or_else(|| shows_in(nearest, Least::AT_RIM))
        .or_else(|| {
            let differs = sides_that_differ(patches, dark, bright, radius);
            differs
                .into_iter()
                .find_map(|side| shows_in(side, Least::ON_ONE_SIDE))
        })
}

/// Whether the surround, which has a texture in lit frames, has another one in dark frames, and is brighter there in parts.
/// A lamp that goes out leaves the texture what it is, unless it was all that lit it; but it makes nothing brighter. Of a
/// surround without a texture see [`is_plain_cover`].
fn covers(
    patches: &Patches,
    dark: &[usize],
    bright: &[usize],
    (radius, ring): (f64, Ring),
    least: Least,
) -> bool {
    /// Correlation of the surround of one half of the lit frames with that of the other, from which it has a
    /// texture that can be recognised; and correlation below which it is not recognised (guessed: plain skin
    /// gives about 0, the same surround 0.8 and more).
    const HAS_TEXTURE: f64 = 0.7;
    const ANOTHER: f64 = 0.3;
    /// Correlation below which it is not plainly the same: a coarse texture agrees with a finger's shading by chance (measured
    /// on rendered clips: up to 0.81). Then its colour tells.
    const NOT_THE_SAME: f64 = 0.85;
    /// Light that the surround has more in dark frames, as a share of what it has in lit ones; errors of the
    /// exposure's correction stay below (guessed).
    const BRIGHTER: f32 = 0.08;
    /// Texture, as a share of the light, below which it may be what is left of a halo (guessed).
    const PLAIN: f32 = 0.02;
    if dark.len() < FEWEST || bright.len() < 2 * FEWEST {
        return false;
    }
    let half = |odd: usize| -> Vec<usize> { bright.iter().copied().skip(odd).step_by(2).collect() };
    let surround = |frames: &[usize]| surround(&typical_means(patches, frames), patches, ring);
    let (one, other) = (surround(&half(0)), surround(&half(1)));
    let lit = typical_means(patches, bright);
    let level = lit.iter().sum::<f32>() / lit.len() as f32;
    let squares = one.iter().map(|value| value * value).sum::<f32>() / one.len().max(1) as f32;
    if squares.sqrt() < PLAIN * level {
        return is_plain_cover(patches, dark, bright, (radius, ring), least);
    }
    let same = agreement(&one, &surround(dark));
    let is_another = least.takes_texture()
        && agreement(&one, &other) > HAS_TEXTURE
        && same < ANOTHER
        && brighter(patches, dark, bright, ring) > BRIGHTER;
    is_another || (same < NOT_THE_SAME && is_plain_cover(patches, dark, bright, (radius, ring), least))
}

/// The frames in which the lamp is lit in another colour than in the bright state's, and its surround is what it is in that.
fn lit_otherwise(patches: &Patches, dark: &[usize], bright: &[usize], radius: f64) -> Vec<usize> {
    /// Mean difference of the surround, as a share of its light (guessed: half of what skin differs by from what it lies
    /// over).
    const ALIKE: f32 = 0.12;
    /// Share of what the lamp gives more in the bright state that is light, and that is another colour (guessed).
    const LIT: f32 = 0.3;
    let (dark, bright) = (typical(patches, dark), typical(patches, bright));
    let is_about = |pixel: usize| from_centre(patches.grid.offsets[pixel]) >= begins(radius);
    let (about, lamp): (Vec<usize>, Vec<usize>) = (0..dark.len())
        .filter(|&pixel| is_about(pixel) || from_centre(patches.grid.offsets[pixel]) <= radius)
        .partition(|&pixel| is_about(pixel));
    let (off, lit, room) = (mean(&dark, &lamp), mean(&bright, &lamp), mean(&bright, &about));
    let strongest = |one: [f32; 3], other: [f32; 3]| (0..3).map(|k| one[k] - other[k]).fold(0.0, f32::max);
    let least = LIT * strongest(lit, off);
    let is_one = |pixels: &Vec<Pixel>| {
        let now = lamp.iter().fold([0.0; 3], |sum: [f32; 3], &pixel| {
            std::array::from_fn(|k| sum[k] + pixels[pixel].light[k] / lamp.len() as f32)
        });
        let differs = |&pixel: &usize| -> f32 {
            let light = pixels[pixel].light.iter().zip(&bright[pixel]);
            light.map(|(one, other)| (one - other).abs()).sum()
        };
        strongest(now, off) > least
            && strongest(now, lit).max(strongest(lit, now)) > least
            && about.iter().map(differs).sum::<f32>() < ALIKE * sum3(&room) * about.len() as f32
    };
    patches
        .seen()
        .filter(|(_, pixels)| is_one(pixels))
        .map(|(frame, _)| frame)
        .collect()
}

/// What the surround has more in dark frames, channel by channel and pixel by pixel, as a share of its light in
/// lit ones.
fn brighter(patches: &Patches, dark: &[usize], bright: &[usize], ring: Ring) -> f32 {
    let (dark, bright) = (typical(patches, dark), typical(patches, bright));
    let (mut more, mut all) = (0.0, 1e-6);
    for ((dark, bright), offset) in dark.iter().zip(&bright).zip(&patches.grid.offsets) {
        if ring.holds(*offset) {
            more += sum3(&gained(dark, bright));
            all += sum3(bright);
        }
    }
    more / all
}

/// The texture of what lies about a lamp: its light without what a halo may add, which is smooth in distance and
/// in direction; a little each side of the middle, so that a neighbour that blinks too does not speak for all.
fn surround(picture: &[f32], patches: &Patches, ring: Ring) -> Vec<f32> {
    /// Width of the rings that a halo is fitted in, places of the grid.
    const RING_PLACES: f64 = 2.0;
    /// Share of the pixels, at either end, that count as much as the last of the others.
    const ENDS: f64 = 0.2;
    let distance = |pixel: usize| patches.grid.offsets[pixel].0.hypot(patches.grid.offsets[pixel].1);
    let mut rings: Vec<Vec<usize>> = Vec::new();
    for pixel in (0..picture.len()).filter(|&pixel| ring.holds(patches.grid.offsets[pixel])) {
        let ring = (distance(pixel) / (RING_PLACES * patches.grid.spacing)) as usize;
        rings.resize_with(rings.len().max(ring + 1), Vec::new);
        rings[ring].push(pixel);
    }
    let mut values: Vec<f32> = rings
        .iter()
        .flat_map(|ring| without_halo(picture, &patches.grid.offsets, ring))
        .collect();
    let mut sorted = values.clone();
    if let (Some(low), Some(high)) = (middle(&mut sorted, ENDS), middle(&mut sorted.clone(), 1.0 - ENDS)) {
        values
            .iter_mut()
            .for_each(|value| *value = value.clamp(low, high));
    }
    values
}

/// What the pixels of one ring are beyond a fit in distance and direction: constant, slope, and one and two waves
/// round the ring (a halo beside its centre, an oblong one).
fn without_halo(picture: &[f32], offsets: &[(f64, f64)], ring: &[usize]) -> Vec<f32> {
    let terms = |pixel: usize| {
        let (x, y) = offsets[pixel];
        let turn = y.atan2(x);
        let ((sine, cosine), (sine_two, cosine_two)) = (turn.sin_cos(), (2.0 * turn).sin_cos());
        Vector6::new(1.0, x.hypot(y), cosine, sine, cosine_two, sine_two)
    };
    let (mut normal, mut right) = (Matrix6::<f64>::identity() * 1e-9, Vector6::<f64>::zeros());
    for &pixel in ring {
        let terms = terms(pixel);
        normal.ger(1.0, &terms, &terms, 1.0);
        right.axpy(f64::from(picture[pixel]), &terms, 1.0);
    }
    let fit = normal
        .cholesky()
        .map_or_else(Vector6::zeros, |factors| factors.solve(&right));
    ring.iter()
        .map(|&pixel| picture[pixel] - fit.dot(&terms(pixel)) as f32)
        .collect()
}

/// The value below which a share of the values lies.
pub(super) fn middle(values: &mut [f32], share: f64) -> Option<f32> {
    let place = ((values.len() as f64 * share) as usize).min(values.len().checked_sub(1)?);
    Some(*values.select_nth_unstable_by(place, f32::total_cmp).1)
}

/// Correlation, -1 to 1.
fn agreement(one: &[f32], other: &[f32]) -> f64 {
    let n = one.len().max(1) as f64;
    let mean = |values: &[f32]| values.iter().map(|v| f64::from(*v)).sum::<f64>() / n;
    let (mean_one, mean_other) = (mean(one), mean(other));
    let (mut both, mut ones, mut others) = (0.0, 1e-12, 1e-12);
    for (a, b) in one.iter().zip(other) {
        let (a, b) = (f64::from(*a) - mean_one, f64::from(*b) - mean_other);
        both += a * b;
        ones += a * a;
        others += b * b;
    }
    both / (ones * others).sqrt()
}

/// Median light of every pixel over some frames.
fn typical_means(patches: &Patches, frames: &[usize]) -> Vec<f32> {
    /// Frames looked at; more would cost time and hardly lower the noise further.
    const LOOKED_AT: usize = 25;
    let step = frames.len().div_ceil(LOOKED_AT).max(1);
    let pictures: Vec<&Vec<Pixel>> = frames
        .iter()
        .step_by(step)
        .filter_map(|&frame| patches.frames[frame].as_ref())
        .collect();
    (0..patches.grid.offsets.len())
        .map(|pixel| {
            let mut values: Vec<f32> = pictures.iter().map(|picture| picture[pixel].mean()).collect();
            let middle = values.len() / 2;
            *values.select_nth_unstable_by(middle, f32::total_cmp).1
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::light::patch::Grid;

    /// A lamp of radius 2 on a wall: what lies about it in lit and in dark frames.
    fn seen(lit: impl Fn(f64, f64) -> f64, dark: impl Fn(f64, f64) -> f64) -> bool {
        seen_in_colour(|x, y| [lit(x, y); 3], |x, y| [dark(x, y); 3])
    }

    fn seen_in_colour(lit: impl Fn(f64, f64) -> [f64; 3], dark: impl Fn(f64, f64) -> [f64; 3]) -> bool {
        let grid = Grid::square(8);
        let frame = |light: &dyn Fn(f64, f64) -> [f64; 3], number: usize| -> Option<Vec<Pixel>> {
            let pixel = |(i, &(x, y)): (usize, &(f64, f64))| {
                // Noise of one per cent, the same at every run.
                let noise = 0.002 * (((i * 31 + number * 17) * 2_654_435_761 % 101) as f32 / 50.0 - 1.0);
                let light = light(x, y).map(|channel| channel as f32 + noise);
                let clips = light.iter().any(|channel| *channel > 0.95);
                Pixel {
                    light,
                    sound: if clips { 0.3 } else { 1.0 },
                }
            };
            Some(grid.offsets.iter().enumerate().map(pixel).collect())
        };
        let frames: Vec<_> = (0..24)
            .map(|i| if i < 12 { frame(&lit, i) } else { frame(&dark, i) })
            .collect();
        let patches = Patches {
            outside: vec![false; frames.len()],
            frames,
            grid: grid.clone(),
        };
        let (lit, dark): (Vec<usize>, Vec<usize>) = ((0..12).collect(), (12..24).collect());
        cover_shows_in(&patches, &dark, &lit, 2.0).is_some()
    }

    fn wall(x: f64, y: f64) -> f64 {
        0.2 + 0.06 * (0.9 * x).sin() * (0.7 * y + 0.4 * x).cos()
    }

    fn halo(x: f64, y: f64) -> f64 {
        0.6 * (-x.hypot(y) / 3.0).exp()
    }

    #[test]
    fn another_surround_is_a_cover() {
        assert!(seen(
            |x, y| wall(x, y) + halo(x, y),
            |x, y| 0.34 - 0.004 * (x + 2.0 * y)
        ));
    }

    #[test]
    fn a_lamp_that_goes_out_is_none() {
        assert!(!seen(|x, y| wall(x, y) + halo(x, y), wall));
    }

    #[test]
    fn a_lamp_that_lights_up_its_neighbourhood_is_none() {
        assert!(!seen(|x, y| wall(x, y) * (1.0 + 4.0 * halo(x, y)), wall));
    }

    /// In a dark room the lamp shows what ambient light does not: glints on parts about it.
    #[test]
    fn a_lamp_that_shows_other_things_is_none() {
        let glints = |x: f64, y: f64| (1.0 + (2.1 * x).sin() * (1.7 * y).sin()) * halo(x, y);
        assert!(!seen(
            |x, y| 0.1 * wall(x, y) + glints(x, y),
            |x, y| 0.1 * wall(x, y)
        ));
    }

    #[test]
    fn a_neighbour_in_turn_is_none() {
        let neighbour = |x: f64, y: f64| if (x - 6.0).hypot(y) < 2.0 { 0.8 } else { 0.0 };
        assert!(!seen(
            |x, y| wall(x, y) + halo(x, y),
            |x, y| wall(x, y) + neighbour(x, y)
        ));
    }

    const GREY: [f64; 3] = [1.0; 3];
    const SKIN: [f64; 3] = [1.0, 0.6, 0.42];
    const BLUE: [f64; 3] = [0.02, 0.1, 1.0];

    fn of(light: f64, colour: [f64; 3]) -> [f64; 3] {
        colour.map(|channel| light * channel)
    }

    fn and(one: [f64; 3], other: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|k| one[k] + other[k])
    }

    /// The lamp itself, with some of its light about it.
    fn lamp(x: f64, y: f64) -> f64 {
        if x.hypot(y) < 2.0 { 0.7 } else { 0.05 * halo(x, y) }
    }

    #[rstest]
    #[case::bright(0.6)]
    #[case::as_bright(0.25)]
    #[case::darker(0.2)]
    fn skin_over_a_lamp_on_a_plain_wall_is_a_cover(
        #[case] light: f64,
        #[values(BLUE, GREY, [0.9, 0.6, 0.0])] colour: [f64; 3],
    ) {
        let skin = |x: f64, y: f64| of(light - 0.01 * light * (x + 2.0 * y), SKIN);
        assert!(seen_in_colour(
            |x, y| and(of(0.22, GREY), of(lamp(x, y), colour)),
            skin
        ));
    }

    #[test]
    fn other_light_on_a_plain_wall_is_no_cover() {
        let lit = |x: f64, y: f64| and(of(0.22, GREY), of(lamp(x, y), BLUE));
        // The lens shows: the room's light changed.
        let lens = |x: f64, y: f64| if x.hypot(y) < 2.0 { 0.7 } else { 1.0 };
        assert!(!seen_in_colour(lit, |x, y| of(0.4 * lens(x, y), SKIN)));
        // A neighbour is lit in turn, outside of what is looked at.
        let beside = |x: f64, y: f64| 6.0 / ((x - 12.0).powi(2) + y * y);
        assert!(!seen_in_colour(lit, |x, y| and(
            of(0.22, GREY),
            of(beside(x, y), SKIN)
        )));
        // A blue lamp clips to white, so that its halo has another colour than it.
        let clipped = |x: f64, y: f64| {
            let core = if x.hypot(y) < 2.0 { 0.7 } else { 0.0 };
            and(and(of(0.15, GREY), of(core, GREY)), of(0.7 * halo(x, y), BLUE))
        };
        assert!(!seen_in_colour(clipped, |_, _| of(0.15, GREY)));
        // In the dark the camera opens up.
        assert!(!seen_in_colour(
            |x, y| and(of(0.002, GREY), of(lamp(x, y), BLUE)),
            |_, _| of(0.006, SKIN)
        ));
    }

    /// Amber clips to yellow, while what it lights about it stays amber.
    #[test]
    fn a_clipped_lamp_on_a_plain_wall_is_no_cover() {
        let lit = |x: f64, y: f64| {
            let core = if x.hypot(y) < 2.0 { 1.0 } else { 0.0 };
            let about = 0.2 * (-x.hypot(y) / 20.0).exp();
            and(
                and(of(0.15, GREY), of(core, [0.9, 0.8, 0.0])),
                of(about, [1.0, 0.2, 0.0]),
            )
        };
        assert!(!seen_in_colour(lit, |_, _| of(0.15, GREY)));
    }

    #[test]
    fn on_a_plain_wall_nothing_else_can_be_told() {
        assert!(!seen(|x, y| 0.2 + halo(x, y), |_, _| 0.2));
        assert!(!seen(|x, y| 0.2 + halo(x, y), |_, _| 0.1));
        // A halo beside its centre, and one that is smeared.
        assert!(!seen(|x, y| 0.2 + halo(x - 0.4, y + 0.2), |_, _| 0.2));
        assert!(!seen(|x, y| 0.2 + halo(0.8 * x, 1.1 * y), |_, _| 0.2));
    }
}
