//! Spectra of lamps, every 5 nm from 380 to 780 nm, and what the standard observer makes of them.

use std::sync::LazyLock;

use lampwise::colour::{hue_line, uv_of_xy};
use nalgebra::{Matrix3, Vector3};

/// Steps of the standard observer's table.
pub(crate) const STEPS: usize = 81;
/// Power by wavelength, any unit.
pub(crate) type Spectrum = [f64; STEPS];

/// XYZ to linear BT.709 (colour-science 0.4.7).
const TO_RGB: [[f64; 3]; 3] = [
    [3.240_970, -1.537_383, -0.498_611],
    [-0.969_244, 1.875_968, 0.041_555],
    [0.055_630, -0.203_977, 1.056_972],
];

/// A value for every wavelength in nanometres.
pub(crate) fn by_nm(value: impl Fn(f64) -> f64) -> Spectrum {
    std::array::from_fn(|step| value(380.0 + 5.0 * step as f64))
}

/// A diode of Gaussian spectrum by its peak and full width at half height, nanometres.
pub(crate) fn diode(peak_nm: f64, width_nm: f64) -> Spectrum {
    by_nm(|nm| (-4.0 * 2f64.ln() * ((nm - peak_nm) / width_nm).powi(2)).exp())
}

/// A diode by its dominant wavelength against D65, which is what the trade sells it by; a red one's peak lies
/// up to 15 nm above that.
pub(crate) fn diode_of_hue(dominant_nm: f64, width_nm: f64) -> Spectrum {
    // Violet diodes, whose hue line hardly turns with the wavelength, are sold by their peak.
    if dominant_nm < 440.0 {
        return diode(dominant_nm, width_nm);
    }
    let mut peak_nm = dominant_nm;
    for _ in 0..8 {
        let (u, v) = uv_of(&diode(peak_nm, width_nm));
        let hue = hue_line(u, v).map_or(dominant_nm, |line| line.dominant_nm);
        // Beyond 645 nm the same holds of red ones.
        peak_nm = (peak_nm + dominant_nm - hue).clamp(dominant_nm - 10.0, dominant_nm + 25.0);
    }
    diode(peak_nm, width_nm)
}

/// A white diode: a blue die under a phosphor, by the ratio of their peaks.
pub(crate) fn phosphor(die_nm: f64, phosphor_nm: f64, ratio: f64) -> Spectrum {
    sum(&diode(die_nm, 20.0), &diode(phosphor_nm, 120.0), ratio)
}

/// A blackbody radiator (Planck's law, second radiation constant of CODATA 2018).
pub(crate) fn planck(kelvin: f64) -> Spectrum {
    by_nm(|nm| (560.0 / nm).powi(5) / ((1.438_776_877e7 / (nm * kelvin)).exp() - 1.0))
}

/// One spectrum and `times` as much of another.
pub(crate) fn sum(one: &Spectrum, other: &Spectrum, times: f64) -> Spectrum {
    std::array::from_fn(|step| one[step] + times * other[step])
}

/// Both, so that their largest linear BT.709 channels are as 1 to `times`: equal parts of green and blue are
/// then a screen's cyan.
pub(crate) fn mixed(one: &Spectrum, other: &Spectrum, times: f64) -> Spectrum {
    let most = |spectrum| rgb(xyz(spectrum)).into_iter().fold(f64::MIN, f64::max);
    sum(one, other, times * most(one) / most(other))
}

/// Three spectra in the shares that give this linear BT.709.
pub(crate) fn made_of(of: [&Spectrum; 3], linear: [f64; 3]) -> Spectrum {
    let channels = of.map(|spectrum| rgb(xyz(spectrum)));
    let shares = Matrix3::from_fn(|row, column| channels[column][row])
        .try_inverse()
        .expect("red, green and blue differ")
        * Vector3::from(linear);
    std::array::from_fn(|step| (0..3).map(|i| shares[i] * of[i][step]).sum())
}

/// CIE 1931 XYZ.
pub(crate) fn xyz(spectrum: &Spectrum) -> [f64; 3] {
    static OBSERVER: LazyLock<Vec<[f64; 3]>> = LazyLock::new(|| {
        include_str!("../../models/cie-1931-2deg.csv")
            .lines()
            .filter_map(|line| {
                let figures: Vec<f64> = line.split(',').filter_map(|word| word.parse().ok()).collect();
                let [_, x, y, z] = figures[..] else { return None };
                Some([x, y, z])
            })
            .collect()
    });
    std::array::from_fn(|axis| {
        OBSERVER
            .iter()
            .zip(spectrum)
            .map(|(row, power)| row[axis] * power)
            .sum()
    })
}

/// Linear BT.709 of XYZ.
pub(crate) fn rgb(xyz: [f64; 3]) -> [f64; 3] {
    TO_RGB.map(|row| row.iter().zip(xyz).map(|(m, v)| m * v).sum())
}

/// CIE 1931 x and y.
pub(crate) fn xy_of(spectrum: &Spectrum) -> (f64, f64) {
    let [x, y, z] = xyz(spectrum);
    (x / (x + y + z), y / (x + y + z))
}

/// CIE 1976 u' and v'.
pub(crate) fn uv_of(spectrum: &Spectrum) -> (f64, f64) {
    let (x, y) = xy_of(spectrum);
    uv_of_xy(x, y)
}
