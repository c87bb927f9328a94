//! Names by hue boundaries set by hand, from lamp models: what the fitted model has to beat.

use lampwise::colour::{ColourName, D65, NameBelief};
use statrs::function::erf::erf;

/// Boundaries between neighbouring names as hue angles about D65 in u'v', in degrees, anticlockwise from +u',
/// each with its softness. A lamp's hue line crosses BT.709 at about 12 degrees for red, 15 to 26 for the
/// lamps that the trade calls amber (605 to 592 nm), 31 to 42 for those that it calls yellow (590 to 585 nm),
/// 87 for 570 nm, 128 for green, 266 for blue; a camera that clips red turns reds, ambers and yellows on by 5
/// to 25 degrees. So red and amber part at 23, and amber and yellow, which are a near pair by any measure, at
/// 38 with a wide overlap. Guessed to a few degrees: no published figure exists for phone cameras.
const BOUNDARIES: [(ColourName, f64, f64); 7] = [
    (ColourName::Red, 23.0, 6.0),
    (ColourName::Amber, 38.0, 9.0),
    (ColourName::Yellow, 87.0, 8.0),
    (ColourName::Green, 172.0, 10.0),
    (ColourName::Cyan, 224.0, 10.0),
    (ColourName::Blue, 283.0, 8.0),
    (ColourName::Violet, 343.0, 8.0),
];

/// Distance from D65 in u'v' below which a colour reads as white: the spread of camera whites between about
/// 4500 K and 8000 K (guessed), and how soft that edge is.
const WHITE_RADIUS: f64 = 0.032;
const WHITE_RADIUS_SD: f64 = 0.010;

/// A filament at 2700 K lies 0.088 from D65 at 42 degrees (CIE 015 Planckian locus), so whites reach further
/// that way.
const WARM_ANGLE_DEG: f64 = 42.0;
const WARM_REACH: f64 = 0.050;
/// Along that direction a white reads as warm from about 4000 K (0.033) on.
const WARM_FROM: f64 = 0.030;
const WARM_SD: f64 = 0.010;

/// What a chromaticity may be called. `sd` is the noise of `u` and `v`; the camera's systematic error is
/// added here.
pub(crate) fn name_colour(u: f64, v: f64, sd: f64) -> NameBelief {
    let (du, dv) = (u - D65.0, v - D65.1);
    let radius = du.hypot(dv);
    let angle = dv.atan2(du).to_degrees();
    let noise_deg = (sd / radius.max(1e-4)).to_degrees();

    let towards_warm = (angle - WARM_ANGLE_DEG).to_radians().cos();
    let edge = WHITE_RADIUS + WARM_REACH * towards_warm.max(0.0).powi(2);
    let white = normal_cdf((edge - radius) / WHITE_RADIUS_SD.hypot(sd));
    let warm = normal_cdf((radius * towards_warm - WARM_FROM) / WARM_SD.hypot(sd));

    let mut weights = [0.0; ColourName::ALL.len()];
    for (i, &(name, to, to_sd)) in BOUNDARIES.iter().enumerate() {
        let (_, from, from_sd) = BOUNDARIES[(i + BOUNDARIES.len() - 1) % BOUNDARIES.len()];
        let from = if i == 0 { from - 360.0 } else { from };
        // A hue is a circle: count the interval once more on either side.
        let share: f64 = [-360.0, 0.0, 360.0]
            .into_iter()
            .map(|turn| {
                normal_cdf((to + turn - angle) / to_sd.hypot(noise_deg))
                    - normal_cdf((from + turn - angle) / from_sd.hypot(noise_deg))
            })
            .sum();
        weights[name.index()] = share.max(0.0) * (1.0 - white);
    }
    weights[ColourName::White.index()] = white * (1.0 - warm);
    weights[ColourName::WarmWhite.index()] = white * warm;
    NameBelief::from_weights(weights)
}

fn normal_cdf(z: f64) -> f64 {
    0.5 * (1.0 + erf(z / std::f64::consts::SQRT_2))
}
