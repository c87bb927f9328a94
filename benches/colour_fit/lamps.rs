//! Lamps of every colour name as the trade sells them, by their spectra.

use std::ops::Range;

use lampwise::colour::ColourName;
use rand::Rng;
use rand_pcg::Pcg64;

use crate::spectra::{Spectrum, diode_of_hue, made_of, mixed, phosphor, planck};

/// Which half of the wavelengths: the lamps that are held out have others than those that are fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Half {
    Fitted,
    HeldOut,
}

/// Spectrum of a lamp that is sold under a name.
///
/// ANSI/VITA 40-2003: red 615 to 650 nm, amber 583 to 593, green 505 to 535, blue 445 to 480, white about x
/// 0.31, y 0.32. It has no yellow, cyan or violet, and nothing between 535 and 583 nm. The other ranges, and
/// the shares, are common practice of the trade, no source: amber to 595 and seldom to 605, where lamps are sold
/// as orange; yellow 583 to 591 (some to 595), yellow-green 565 to 575 sold as green and as yellow, cyan 490 to 505. So names overlap where the trade's
/// do, and no camera can do better than share its belief there.
pub(crate) fn spectrum(name: ColourName, half: Half, random: &mut Pcg64) -> Spectrum {
    use ColourName as C;
    match name {
        C::Red => diode(&[(1.0, 615.0..650.0)], half, random),
        C::Amber => diode(&[(0.85, 583.0..595.0), (0.15, 595.0..605.0)], half, random),
        C::Yellow => {
            let led = [(0.55, 583.0..591.0), (0.15, 587.0..595.0)];
            let greenish = [(0.15, 575.0..583.0), (0.15, 565.0..575.0)];
            diode(&[led, greenish].concat(), half, random)
        }
        C::Green => diode(
            &[(0.7, 505.0..535.0), (0.15, 535.0..565.0), (0.15, 565.0..575.0)],
            half,
            random,
        ),
        C::Cyan if random.random_bool(0.5) => diode(&[(1.0, 490.0..505.0)], half, random),
        // Three-colour lamps make it of their green and blue: sRGB's cyan has equal parts in linear light.
        C::Cyan => {
            let green = diode(&[(1.0, 515.0..530.0)], half, random);
            let blue = diode(&[(1.0, 460.0..475.0)], half, random);
            mixed(&green, &blue, random.random_range(0.7..1.4))
        }
        C::Blue => diode(&[(1.0, 445.0..480.0)], half, random),
        C::Violet if random.random_bool(0.15) => diode(&[(1.0, 405.0..430.0)], half, random),
        // Or of their blue and red, from blue-violet to magenta.
        C::Violet => {
            let blue = diode(&[(1.0, 455.0..475.0)], half, random);
            let red = diode(&[(1.0, 617.0..632.0)], half, random);
            mixed(&blue, &red, random.random_range(0.35..1.6))
        }
        C::White => white(half, random),
        C::WarmWhite => warm_white(half, random),
    }
}

/// Blue dies under a yellow phosphor from about 9000 K to 5000 K, sunlight-like lamps, and three dies at once.
fn white(half: Half, random: &mut Pcg64) -> Spectrum {
    match random.random_range(0..10) {
        0..6 => phosphor(
            random.random_range(447.0..458.0),
            random.random_range(555.0..570.0),
            random.random_range(0.34..0.85),
        ),
        6..8 => planck(drawn(4500.0..9000.0, 100.0, half, random)),
        _ => {
            let red = diode(&[(1.0, 617.0..632.0)], half, random);
            let green = diode(&[(1.0, 515.0..530.0)], half, random);
            let blue = diode(&[(1.0, 460.0..475.0)], half, random);
            let wobble = std::array::from_fn(|_| random.random_range(0.85..1.15));
            made_of([&red, &green, &blue], wobble)
        }
    }
}

/// Filaments, and dies whose phosphor reaches into the red until the light is that of a filament: 2700 K to 3500 K, as
/// they are sold (common practice, no source).
fn warm_white(half: Half, random: &mut Pcg64) -> Spectrum {
    let kelvin = drawn(2700.0..3500.0, 100.0, half, random);
    if random.random_bool(0.4) {
        return planck(kelvin);
    }
    // Phosphors and ratios whose light has these colour temperatures and lies within 0.005 of the filaments in
    // u'v' (computed from these spectra): 3600 K, 3200 K, 2900 K, 2600 K.
    const ON_THE_LOCUS: [(f64, f64, f64); 4] = [
        (3600.0, 585.0, 1.0),
        (3200.0, 590.0, 1.3),
        (2900.0, 595.0, 1.8),
        (2600.0, 600.0, 2.3),
    ];
    let below = ON_THE_LOCUS
        .partition_point(|(at, ..)| *at > kelvin)
        .clamp(1, ON_THE_LOCUS.len() - 1);
    let ((from, nm, ratio), (to, to_nm, to_ratio)) = (ON_THE_LOCUS[below - 1], ON_THE_LOCUS[below]);
    let share = (kelvin - from) / (to - from);
    phosphor(
        random.random_range(448.0..454.0),
        nm + share * (to_nm - nm),
        (ratio + share * (to_ratio - ratio)) * random.random_range(0.9..1.1),
    )
}

/// A value of the range, from the even steps for one half and the odd ones for the other.
fn drawn(range: Range<f64>, step: f64, half: Half, random: &mut Pcg64) -> f64 {
    let odd = half == Half::HeldOut;
    loop {
        let value = random.random_range(range.clone());
        if ((value / step).floor() % 2.0 == 1.0) == odd {
            return value;
        }
    }
}

/// A diode whose dominant wavelength lies in one of the ranges, drawn by their shares.
fn diode(classes: &[(f64, Range<f64>)], half: Half, random: &mut Pcg64) -> Spectrum {
    let mut left = random.random_range(0.0..1.0);
    let class = classes.iter().find(|(share, _)| {
        left -= share;
        left < 0.0
    });
    let (_, range) = class.unwrap_or(&classes[0]);
    let nm = drawn(range.clone(), 1.0, half, random);
    diode_of_hue(nm, width(nm) * random.random_range(0.8..1.2))
}

/// Usual full width of a diode's spectrum at half height, nanometres (common practice, no source): narrow in
/// red to yellow, wide in green.
fn width(nm: f64) -> f64 {
    match nm {
        ..440.0 => 15.0,
        440.0..490.0 => 23.0,
        490.0..545.0 => 34.0,
        545.0..582.0 => 28.0,
        _ => 17.0,
    }
}
