//! Lamps of every colour name as the trade sells them, by CIE 1931 chromaticity.

use std::ops::Range;
use std::sync::LazyLock;

use lampwise::colour::ColourName;
use rand::Rng;
use rand_pcg::Pcg64;

/// Which half of the wavelengths: the lamps that are held out have others than those that are fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Half {
    Fitted,
    HeldOut,
}

/// D65, CIE 1931.
const WHITE: [f64; 2] = [0.3127, 0.3290];

/// Chromaticity of a lamp that is sold under a name.
///
/// ANSI/VITA 40-2003: red 615 to 650 nm, amber 583 to 593, green 505 to 535, blue 445 to 480. It has no
/// yellow, cyan or violet, and nothing between 535 and 583 nm. The other ranges, and the shares, are common
/// practice of the trade, no source: amber up to 610, yellow 583 to 591 (some to 595), yellow-green 565 to 575
/// sold as green and as yellow, cyan 490 to 505. So names overlap where the trade's do, and no camera can do
/// better than share its belief there.
pub(crate) fn chromaticity(name: ColourName, half: Half, random: &mut Pcg64) -> [f64; 2] {
    use ColourName as C;
    match name {
        C::Red => spectral(&[(1.0, 615.0..650.0)], half, random),
        C::Amber => spectral(&[(0.7, 592.0..610.0), (0.3, 583.0..593.0)], half, random),
        C::Yellow => {
            let led = [(0.55, 583.0..591.0), (0.15, 587.0..595.0)];
            let greenish = [(0.15, 575.0..583.0), (0.15, 565.0..575.0)];
            spectral(&[led, greenish].concat(), half, random)
        }
        C::Green => spectral(
            &[(0.7, 505.0..535.0), (0.15, 535.0..565.0), (0.15, 565.0..575.0)],
            half,
            random,
        ),
        C::Cyan if random.random_bool(0.5) => spectral(&[(1.0, 490.0..505.0)], half, random),
        // Three-colour lamps make it of their green and blue: sRGB's cyan has equal parts in linear light.
        C::Cyan => {
            let green = spectral(&[(1.0, 515.0..530.0)], half, random);
            let blue = spectral(&[(1.0, 460.0..475.0)], half, random);
            mixed(green, blue, random.random_range(0.7..1.4))
        }
        C::Blue => spectral(&[(1.0, 445.0..480.0)], half, random),
        C::Violet if random.random_bool(0.3) => spectral(&[(1.0, 405.0..430.0)], half, random),
        // Or of their blue and red, from blue-violet to magenta.
        C::Violet => {
            let blue = spectral(&[(1.0, 455.0..475.0)], half, random);
            let red = spectral(&[(1.0, 617.0..632.0)], half, random);
            mixed(blue, red, random.random_range(0.3..1.2))
        }
        C::White if random.random_bool(0.5) => phosphor(random.random_range(0.32..0.85)),
        C::White => planckian(drawn(4000.0..9000.0, 100.0, half, random)),
        C::WarmWhite => planckian(drawn(2400.0..3500.0, 100.0, half, random)),
    }
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
fn spectral(classes: &[(f64, Range<f64>)], half: Half, random: &mut Pcg64) -> [f64; 2] {
    let mut left = random.random_range(0.0..1.0);
    let class = classes.iter().find(|(share, _)| {
        left -= share;
        left < 0.0
    });
    let (_, range) = class.unwrap_or(&classes[0]);
    let nm = drawn(range.clone(), 1.0, half, random);
    let purity = (purity(nm) + random.random_range(-0.03..0.03)).clamp(0.0, 1.0);
    let edge = locus(nm);
    std::array::from_fn(|i| WHITE[i] + purity * (edge[i] - WHITE[i]))
}

/// Excitation purity of diodes of a dominant wavelength: Gaussian spectra of usual width (15 nm in amber, 35
/// in green) have these against D65 by colour-science 0.4.7.
fn purity(nm: f64) -> f64 {
    const MODELS: [(f64, f64); 9] = [
        (411.0, 1.0),
        (452.0, 0.999),
        (466.0, 0.990),
        (475.0, 0.976),
        (504.0, 0.858),
        (521.0, 0.844),
        (527.0, 0.875),
        (537.0, 0.941),
        (566.0, 0.997),
    ];
    table(&MODELS, nm)
}

/// Chromaticity of monochromatic light.
fn locus(nm: f64) -> [f64; 2] {
    static OBSERVER: LazyLock<Vec<(f64, [f64; 3])>> = LazyLock::new(|| {
        include_str!("../../models/cie-1931-2deg.csv")
            .lines()
            .filter_map(|line| {
                let figures: Vec<f64> = line.split(',').filter_map(|word| word.parse().ok()).collect();
                let [nm, x, y, z] = figures[..] else { return None };
                Some((nm, [x, y, z]))
            })
            .collect()
    });
    let above = OBSERVER
        .partition_point(|(at, _)| *at < nm)
        .clamp(1, OBSERVER.len() - 1);
    let ((from, low), (to, high)) = (OBSERVER[above - 1], OBSERVER[above]);
    let share = (nm - from) / (to - from);
    let xyz: [f64; 3] = std::array::from_fn(|i| low[i] + share * (high[i] - low[i]));
    let sum: f64 = xyz.iter().sum();
    [xyz[0] / sum, xyz[1] / sum]
}

/// Blackbody radiators, CIE 015 by colour-science 0.4.7.
fn planckian(kelvin: f64) -> [f64; 2] {
    const POINTS: [(f64, [f64; 2]); 9] = [
        (2000.0, [0.526_68, 0.413_30]),
        (2360.0, [0.489_92, 0.414_94]),
        (2700.0, [0.459_86, 0.410_60]),
        (2856.0, [0.447_54, 0.407_43]),
        (3000.0, [0.436_93, 0.404_08]),
        (4000.0, [0.380_44, 0.376_75]),
        (5000.0, [0.345_10, 0.351_61]),
        (6500.0, [0.313_53, 0.323_63]),
        (10_000.0, [0.280_63, 0.288_29]),
    ];
    // The locus is nearly straight in reciprocal temperature.
    let points = |axis: usize| -> Vec<(f64, f64)> {
        let reversed = POINTS.iter().rev();
        reversed.map(|(kelvin, xy)| (1e6 / kelvin, xy[axis])).collect()
    };
    [0, 1].map(|axis| table(&points(axis), 1e6 / kelvin))
}

/// White diodes: a blue die (450 nm, 20 wide) under a yellow phosphor (565, 120), by the ratio of their
/// peaks; Gaussian model, colour-science 0.4.7. 0.32 is about 9000 K, 0.85 about 5000 K.
fn phosphor(ratio: f64) -> [f64; 2] {
    const X: [(f64, f64); 5] = [
        (0.3, 0.289_14),
        (0.4, 0.307_18),
        (0.5, 0.320_54),
        (0.7, 0.339_01),
        (1.0, 0.355_81),
    ];
    const Y: [(f64, f64); 5] = [
        (0.3, 0.274_06),
        (0.4, 0.308_34),
        (0.5, 0.333_73),
        (0.7, 0.368_82),
        (1.0, 0.400_75),
    ];
    [table(&X, ratio), table(&Y, ratio)]
}

/// The light of one lamp and `times` as much of another, as their largest linear BT.709 channels go.
fn mixed(one: [f64; 2], other: [f64; 2], times: f64) -> [f64; 2] {
    /// XYZ to linear BT.709 (colour-science 0.4.7).
    const TO_RGB: [[f64; 3]; 3] = [
        [3.240_970, -1.537_383, -0.498_611],
        [-0.969_244, 1.875_968, 0.041_555],
        [0.055_630, -0.203_977, 1.056_972],
    ];
    let xyz = |[x, y]: [f64; 2]| {
        let xyz = [x / y, 1.0, (1.0 - x - y) / y];
        let channels = TO_RGB.map(|row| row.iter().zip(xyz).map(|(m, v)| m * v).sum::<f64>());
        let most = channels.into_iter().fold(f64::MIN, f64::max);
        xyz.map(|value| value / most)
    };
    let (one, other) = (xyz(one), xyz(other));
    let both: [f64; 3] = std::array::from_fn(|i| one[i] + times * other[i]);
    let sum: f64 = both.iter().sum();
    [both[0] / sum, both[1] / sum]
}

/// Straight lines between points in rising order, level beyond them.
fn table(points: &[(f64, f64)], at: f64) -> f64 {
    let above = points
        .partition_point(|(x, _)| *x < at)
        .clamp(1, points.len() - 1);
    let ((x, y), (to_x, to_y)) = (points[above - 1], points[above]);
    y + ((at - x) / (to_x - x)).clamp(0.0, 1.0) * (to_y - y)
}
