//! From light to code values: gain, noise, clipping, the camera curve, luma and colour differences.

use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use rand_pcg::Pcg64Mcg;

use super::recipe::Camera;

/// Entries of the camera curve's table; a quarter of a code value apart where the curve is steepest.
const CURVE_STEPS: usize = 4096;

/// Stored noise values; each row of each channel starts at a random one.
const NOISE_LENGTH: usize = 1 << 16;

/// Luma shares of red and blue, Rec. ITU-R BT.709-6, item 3.2.
const KR: f32 = 0.2126;
const KB: f32 = 0.0722;

/// What the sensor's own red, green and blue filters pass of linear BT.709 red, green and blue. Rows add up
/// to 1, so that white stays white. Guessed, within the usual range of cameras' colour matrices; no source.
/// It is why the core of an overexposed red lamp turns orange and then white: every filter clips in the end.
const FILTERS: [[f32; 3]; 3] = [[0.60, 0.35, 0.05], [0.10, 0.74, 0.16], [0.03, 0.19, 0.78]];

/// The sensor with its tables.
#[derive(Debug)]
pub(super) struct Sensor {
    /// The inverse of [`FILTERS`].
    unmix: [[f32; 3]; 3],
    gain: f32,
    curve: Vec<f32>,
    noise: Vec<f32>,
    gains: [f32; 3],
    shot_variance: f32,
    read_variance: f32,
}

impl Sensor {
    pub(super) fn new(camera: &Camera, seed: u64, width: usize) -> Self {
        let noisy = camera.shot_noise > 0.0 || camera.read_noise > 0.0;
        let noise = Pcg64Mcg::seed_from_u64(seed)
            .sample_iter(StandardNormal)
            .take(if noisy { NOISE_LENGTH + width } else { 0 })
            .collect();
        // Only the ratios of a white balance matter; with the least at 1, what has clipped stays white.
        let least = camera.red_gain.min(camera.blue_gain).min(1.0);
        Self {
            unmix: inverse(FILTERS),
            gain: camera.gain as f32,
            curve: (0..CURVE_STEPS)
                .map(|step| camera_curve(step as f64 / (CURVE_STEPS - 1) as f64) as f32)
                .collect(),
            noise,
            gains: [camera.red_gain, 1.0, camera.blue_gain]
                .map(|balance| (balance / least * camera.gain) as f32),
            shot_variance: (camera.shot_noise * camera.shot_noise) as f32,
            read_variance: (camera.read_noise * camera.read_noise) as f32,
        }
    }

    /// Clips one pixel of linear light as the filtered sensor does. Light that nowhere exceeds 1 after the
    /// gain is left.
    pub(super) fn clip(&self, rgb: [f32; 3], exposure_gain: f32) -> [f32; 3] {
        let gain = self.gain * exposure_gain;
        // A filtered value is a mean of the three, so it cannot clip where none of them does.
        if rgb.iter().all(|channel| channel * gain <= 1.0) {
            return rgb;
        }
        let filtered = times(&FILTERS, rgb).map(|value| (value * gain).clamp(0.0, 1.0));
        times(&self.unmix, filtered).map(|value| value / gain)
    }

    /// Turns one row of linear light of one channel into curve values, 0 to 1, in place.
    pub(super) fn develop(&self, row: &mut [f32], channel: usize, exposure_gain: f32, random: &mut Pcg64Mcg) {
        const TOP: f32 = (CURVE_STEPS - 1) as f32;
        let gain = self.gains[channel] * exposure_gain;
        if self.noise.is_empty() {
            for value in row.iter_mut() {
                *value = (*value * gain).clamp(0.0, 1.0) * TOP;
            }
        } else {
            let start = random.random_range(0..NOISE_LENGTH);
            let noise = &self.noise[start..start + row.len()];
            for (value, noise) in row.iter_mut().zip(noise) {
                let light = *value * gain;
                let deviation = (self.shot_variance * light.max(0.0) + self.read_variance).sqrt();
                *value = (light + noise * deviation).clamp(0.0, 1.0) * TOP;
            }
        }
        for value in row {
            let step = rounded(*value) as usize;
            *value = self.curve[step & (CURVE_STEPS - 1)];
        }
    }
}

fn times(matrix: &[[f32; 3]; 3], [a, b, c]: [f32; 3]) -> [f32; 3] {
    matrix.map(|row| row[0] * a + row[1] * b + row[2] * c)
}

/// Inverse of a matrix by its cofactors.
fn inverse(m: [[f32; 3]; 3]) -> [[f32; 3]; 3] {
    let cofactor = |row: usize, column: usize| {
        let (r, s) = ((row + 1) % 3, (row + 2) % 3);
        let (c, d) = ((column + 1) % 3, (column + 2) % 3);
        m[r][c] * m[s][d] - m[r][d] * m[s][c]
    };
    let determinant: f32 = (0..3).map(|column| m[0][column] * cofactor(0, column)).sum();
    std::array::from_fn(|row| std::array::from_fn(|column| cofactor(column, row) / determinant))
}

/// Luma of a row of curve values, 8-bit limited range.
pub(super) fn luma(rows: &[Vec<f32>; 3], out: &mut [u8]) {
    let [red, green, blue] = rows;
    for (out, (red, (green, blue))) in out.iter_mut().zip(red.iter().zip(green.iter().zip(blue))) {
        *out = code(16.0 + 219.0 * (KR * red + (1.0 - KR - KB) * green + KB * blue));
    }
}

/// Colour differences of two rows of curve values, each the mean of two by two pixels, 8-bit limited range.
pub(super) fn differences(rows: &[[Vec<f32>; 3]; 2], blue_out: &mut [u8], red_out: &mut [u8]) {
    let [upper, lower] = rows;
    let quads = |channel: usize| {
        let pairs = upper[channel].chunks_exact(2).zip(lower[channel].chunks_exact(2));
        pairs.map(|(upper, lower)| 0.25 * (upper[0] + upper[1] + lower[0] + lower[1]))
    };
    let outs = blue_out.iter_mut().zip(red_out);
    for ((blue_out, red_out), (red, (green, blue))) in outs.zip(quads(0).zip(quads(1).zip(quads(2)))) {
        let luma = KR * red + (1.0 - KR - KB) * green + KB * blue;
        *blue_out = code(128.0 + 224.0 * (blue - luma) / (2.0 * (1.0 - KB)));
        *red_out = code(128.0 + 224.0 * (red - luma) / (2.0 * (1.0 - KR)));
    }
}

/// A code value; curve values lie in 0 to 1, so it lies in 16 to 240.
fn code(value: f32) -> u8 {
    #[allow(clippy::cast_possible_truncation, reason = "16 to 240")]
    let code = rounded(value) as u8;
    code
}

/// Nearest whole number of a value from 0 to a few thousand. At 2^23 single precision has steps of 1, so
/// adding it leaves the number in the low bits. A plain cast checks each pixel for overflow, which keeps the
/// compiler from doing several at a time.
fn rounded(value: f32) -> u32 {
    const STEP_OF_ONE: f32 = 8_388_608.0;
    (value + STEP_OF_ONE).to_bits() & 0xffff
}

/// Rec. ITU-R BT.709-6, item 1.2: opto-electronic transfer.
fn camera_curve(light: f64) -> f64 {
    if light < 0.018 {
        4.5 * light
    } else {
        1.099 * light.powf(0.45) - 0.099
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn coded(rgb: [f32; 3]) -> (u8, u8, u8) {
        let row = rgb.map(|channel| vec![channel; 2]);
        let (mut y, mut cb, mut cr) = ([0; 2], [0], [0]);
        luma(&row, &mut y);
        differences(&[row.clone(), row], &mut cb, &mut cr);
        (y[0], cb[0], cr[0])
    }

    /// BT.709, 8 bits, limited: triples whose decoding colour-science 0.4.7 gives as the R'G'B' on the left,
    /// within half a code value.
    #[rstest::rstest]
    #[case([0.0, 0.0, 0.0], (16, 128, 128))]
    #[case([1.0, 1.0, 1.0], (235, 128, 128))]
    #[case([0.502_283, 0.502_283, 0.502_283], (126, 128, 128))]
    #[case([1.0, 0.002_293, 0.0], (63, 102, 240))]
    #[case([0.0, 1.0, 0.004_477], (173, 42, 26))]
    #[case([0.002_756, 0.000_296, 1.0], (32, 240, 118))]
    #[case([0.973_830, 0.681_984, 0.748_855], (180, 128, 160))]
    fn codes_as_published(#[case] rgb: [f32; 3], #[case] expected: (u8, u8, u8)) {
        assert_eq!(coded(rgb), expected);
    }

    /// What clips in every filter is white; what clips in none is unchanged; red that clips turns towards
    /// orange.
    #[test]
    fn clipping_turns_the_hue_and_ends_in_white() {
        let sensor = Sensor::new(&Camera::default(), 1, 2);
        let red = [1.0, 0.06, 0.04];
        let bright = |times: f32| sensor.clip(red.map(|channel| channel * times), 1.0);
        assert_eq!(bright(0.9), red.map(|channel| channel * 0.9));
        let white = bright(100.0);
        assert!(
            white.iter().all(|channel| (channel - 1.0).abs() < 1e-5),
            "{white:?}"
        );
        let share_of_green = |rgb: [f32; 3]| rgb[1] / rgb[0];
        assert!(share_of_green(bright(6.0)) > 2.0 * share_of_green(red));
    }

    /// Inverse BT.709 curve as colour-science 0.4.7 gives it.
    #[rstest::rstest]
    #[case(0.04, 0.008_888_888_9)]
    #[case(0.1, 0.022_427_958_4)]
    #[case(0.2, 0.055_426_681_8)]
    #[case(0.4, 0.172_984_161_4)]
    #[case(0.5, 0.259_589_400_5)]
    fn curve_as_published(#[case] value: f64, #[case] light: f64) {
        assert!(
            (camera_curve(light) - value).abs() < 1e-4,
            "{}",
            camera_curve(light)
        );
    }

    #[test]
    fn noise_has_the_stated_deviation() {
        let camera = Camera {
            shot_noise: 0.02,
            read_noise: 0.005,
            ..Camera::default()
        };
        let sensor = Sensor::new(&camera, 3, 50_000);
        let light = 0.25_f32;
        let mut row = vec![light; 50_000];
        sensor.develop(&mut row, 1, 1.0, &mut Pcg64Mcg::seed_from_u64(1));
        let n = row.len() as f64;
        let mean = row.iter().map(|&v| f64::from(v)).sum::<f64>() / n;
        let sd = (row.iter().map(|&v| (f64::from(v) - mean).powi(2)).sum::<f64>() / n).sqrt();
        let slope = 1.099 * 0.45 * f64::from(light).powf(-0.55);
        let expected = (0.02_f64.powi(2) * 0.25 + 0.005_f64.powi(2)).sqrt() * slope;
        // Standard error of a deviation from 50 000 values is 0.3 %; the curve's bend adds less.
        assert!((sd / expected - 1.0).abs() < 0.02, "{sd} against {expected}");
    }
}
