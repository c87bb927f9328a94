//! From light to curve values: gain, noise, clipping and the camera curve.

use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use rand_pcg::Pcg64Mcg;

use super::curve::Curve;
use super::recipe::{Camera, DynamicRange};

/// Stored noise values; each row of each channel starts at a random one.
const NOISE_LENGTH: usize = 1 << 16;

/// Linear BT.709 to BT.2020 primaries: Rec. ITU-R BT.2087-0, annex 1.
const TO_2020: [[f32; 3]; 3] = [
    [0.6274, 0.3293, 0.0433],
    [0.0691, 0.9195, 0.0114],
    [0.0164, 0.0880, 0.8956],
];

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
    curve: Curve,
    /// The picture has BT.2020 primaries.
    wide: bool,
    noise: Vec<f32>,
    /// Factors on red and blue against green when the clip starts.
    balance: [f64; 2],
    /// By how much more red, and less blue, each second; compounded.
    drift_per_s: f64,
    shot_variance: f32,
    read_variance: f32,
}

impl Sensor {
    pub(super) fn new(camera: &Camera, range: DynamicRange, seed: u64, width: usize) -> Self {
        let noisy = camera.shot_noise > 0.0 || camera.read_noise > 0.0;
        let noise = Pcg64Mcg::seed_from_u64(seed)
            .sample_iter(StandardNormal)
            .take(if noisy { NOISE_LENGTH + width } else { 0 })
            .collect();
        Self {
            unmix: inverse(FILTERS),
            gain: camera.gain as f32,
            curve: Curve::new(range, camera.contrast),
            wide: range != DynamicRange::Standard,
            noise,
            balance: [camera.red_gain, camera.blue_gain],
            drift_per_s: camera.balance_drift_per_s,
            shot_variance: (camera.shot_noise * camera.shot_noise) as f32,
            read_variance: (camera.read_noise * camera.read_noise) as f32,
        }
    }

    /// Clips one pixel of linear light as the filtered sensor does. Light that nowhere exceeds its
    /// limit after the gain is left.
    pub(super) fn clip(&self, rgb: [f32; 3], exposure_gain: f32) -> [f32; 3] {
        let gain = self.gain * exposure_gain;
        // A filtered value is a mean of the three, so it cannot clip where none of them does.
        let most = self.curve.most;
        if rgb.iter().all(|channel| channel * gain <= most) {
            return rgb;
        }
        let filtered = times(&FILTERS, rgb).map(|value| (value * gain).clamp(0.0, most));
        times(&self.unmix, filtered).map(|value| value / gain)
    }

    /// Factors on red, green and blue at a time.
    pub(super) fn gains(&self, time_s: f64) -> [f32; 3] {
        let [red, blue] = drifted(self.balance, self.drift_per_s, time_s);
        // Only the ratios of a white balance matter; with the least at 1, what has clipped stays white.
        let least = red.min(blue).min(1.0);
        [red, 1.0, blue].map(|balance| (balance / least * f64::from(self.gain)) as f32)
    }

    /// Turns one row of linear light into curve values, 0 to 1, in place. `gains` are those of the channels.
    pub(super) fn develop(&self, row: &mut [Vec<f32>; 3], gains: [f32; 3], random: &mut Pcg64Mcg) {
        if self.wide {
            let [red, green, blue] = row;
            for (red, (green, blue)) in red.iter_mut().zip(green.iter_mut().zip(blue)) {
                [*red, *green, *blue] = times(&TO_2020, [*red, *green, *blue]);
            }
        }
        for (values, gain) in row.iter_mut().zip(gains) {
            if self.noise.is_empty() {
                values.iter_mut().for_each(|value| *value *= gain);
            } else {
                self.add_noise(values, gain, random);
            }
            self.curve.bend(values);
        }
    }

    fn add_noise(&self, row: &mut [f32], gain: f32, random: &mut Pcg64Mcg) {
        let start = random.random_range(0..NOISE_LENGTH);
        let noise = &self.noise[start..start + row.len()];
        for (value, noise) in row.iter_mut().zip(noise) {
            let light = *value * gain;
            let deviation = (self.shot_variance * light.max(0.0) + self.read_variance).sqrt();
            *value = light + noise * deviation;
        }
    }
}

/// White balance on red and blue after some time of drifting.
pub(super) fn drifted([red, blue]: [f64; 2], drift_per_s: f64, time_s: f64) -> [f64; 2] {
    let factor = (1.0 + drift_per_s).powf(time_s);
    [red * factor, blue / factor]
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

#[cfg(test)]
mod tests {
    use super::*;

    /// What clips in every filter is white; what clips in none is unchanged; red that clips turns towards
    /// orange.
    #[test]
    fn clipping_turns_the_hue_and_ends_in_white() {
        let sensor = Sensor::new(&Camera::default(), DynamicRange::Standard, 1, 2);
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

    #[test]
    fn noise_has_the_stated_deviation() {
        let camera = Camera {
            shot_noise: 0.02,
            read_noise: 0.005,
            ..Camera::default()
        };
        let sensor = Sensor::new(&camera, DynamicRange::Standard, 3, 50_000);
        let light = 0.25_f32;
        let mut rows = std::array::from_fn(|_| vec![light; 50_000]);
        sensor.develop(&mut rows, [1.0; 3], &mut Pcg64Mcg::seed_from_u64(1));
        let [_, row, _] = rows;
        let n = row.len() as f64;
        let mean = row.iter().map(|&v| f64::from(v)).sum::<f64>() / n;
        let sd = (row.iter().map(|&v| (f64::from(v) - mean).powi(2)).sum::<f64>() / n).sqrt();
        let slope = 1.099 * 0.45 * f64::from(light).powf(-0.55);
        let expected = (0.02_f64.powi(2) * 0.25 + 0.005_f64.powi(2)).sqrt() * slope;
        // Standard error of a deviation from 50 000 values is 0.3 %; the curve's bend adds less.
        assert!((sd / expected - 1.0).abs() < 0.02, "{sd} against {expected}");
    }
}
