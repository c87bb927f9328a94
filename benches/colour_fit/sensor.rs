//! Sensors: what their filters pass, the matrix that was fitted to them, and a white balance that is not quite right.

use nalgebra::{DMatrix, Matrix3, Vector3};
use rand::Rng;
use rand_distr::{Distribution, Normal};
use rand_pcg::Pcg64;

use crate::spectra::{Spectrum, by_nm, planck, rgb, xyz};

/// Surfaces that a maker fits the matrix to.
const SURFACES: usize = 60;
/// Standard deviation of the logarithm of the red and blue gains of a white balance beyond the room's, and where it
/// ends (guessed: rooms that the camera knows are a few per cent off, mixed light and dark ones up to a seventh).
const BALANCE_SD: f64 = 0.06;
const BALANCE_END: f64 = 0.15;
/// Colour temperatures of the rooms to which a camera has settled: daylight, and of lamp light as much as cameras take
/// away of it (guessed).
const ROOM_K: (f64, f64) = (4500.0, 7000.0);

/// Share of the cameras that show lamps in their true hue (guessed). A matrix fitted to surfaces takes the green from ambers;
/// makers correct strong colours by tables beyond it (common practice, no source).
const TRUE_HUES: f64 = 0.5;

/// What a sensor's values stand for.
enum Filters {
    /// Three filters of its own, which a matrix corrects.
    Own(Box<[Spectrum; 3]>),
    /// As if corrected by a table: linear BT.709, nothing below zero.
    True,
}

impl Filters {
    fn pass(&self, spectrum: &Spectrum) -> [f64; 3] {
        match self {
            Self::Own(filters) => filtered(filters, spectrum),
            Self::True => rgb(xyz(spectrum)).map(|channel| channel.max(0.0)),
        }
    }
}

/// One camera's sensor and its colour correction.
pub(crate) struct Sensor {
    filters: Filters,
    /// What makes a neutral surface neutral, the least of them 1, times the error of the white balance.
    gains: [f64; 3],
    /// From balanced values to linear BT.709; white stays white.
    matrix: Matrix3<f64>,
}

impl Sensor {
    /// Filters vary about those of silicon sensors under an infrared filter: peaks, widths and leaks into each
    /// other are guessed within what 28 cameras showed (Jiang et al. 2013, from memory). The maker fits the
    /// matrix under one light; the clip is filmed with it under any.
    pub(crate) fn drawn(random: &mut Pcg64) -> Self {
        let filters = if random.random_bool(TRUE_HUES) {
            Filters::True
        } else {
            Filters::Own(Box::new(filters(random)))
        };
        let light = planck(1e6 / random.random_range(1e6 / 6800.0..1e6 / 2700.0));
        let seen = |spectrum: &Spectrum| filters.pass(spectrum);
        let white = seen(&light);
        let matrix = match filters {
            Filters::True => Matrix3::identity(),
            Filters::Own(_) => fitted_matrix(random, |surface| {
                let lit: Spectrum = std::array::from_fn(|step| surface[step] * light[step]);
                let raw = seen(&lit);
                std::array::from_fn(|i| raw[i] / white[i])
            }),
        };
        let room = planck(1e6 / random.random_range(1e6 / ROOM_K.1..1e6 / ROOM_K.0));
        let error = Normal::new(0.0, BALANCE_SD).expect("a deviation above zero");
        let mut off = || loop {
            let drawn: f64 = error.sample(random);
            if drawn.abs() <= BALANCE_END {
                return drawn.exp();
            }
        };
        let white = seen(&room);
        let balance = [off() / white[0], 1.0 / white[1], off() / white[2]];
        let least = balance.into_iter().fold(f64::INFINITY, f64::min);
        Self {
            filters,
            gains: balance.map(|gain| gain / least),
            matrix,
        }
    }

    /// What the filters pass, before any balance.
    pub(crate) fn raw(&self, spectrum: &Spectrum) -> [f64; 3] {
        self.filters.pass(spectrum)
    }

    /// Raw values of a surface that comes out as this linear BT.709.
    pub(crate) fn raw_of(&self, linear: [f64; 3]) -> [f64; 3] {
        let inverse = self.matrix.try_inverse().unwrap_or_else(Matrix3::identity);
        let balanced = inverse * Vector3::from(linear);
        std::array::from_fn(|i| (balanced[i] / self.gains[i]).max(0.0))
    }

    /// Linear BT.709 of raw values: clipped by the sensor, balanced, clipped so that what is full stays white,
    /// and corrected.
    pub(crate) fn develop(&self, raw: [f64; 3]) -> [f64; 3] {
        let balanced = Vector3::from_fn(|i, _| (raw[i].clamp(0.0, 1.0) * self.gains[i]).min(1.0));
        (self.matrix * balanced).into()
    }
}

fn filters(random: &mut Pcg64) -> [Spectrum; 3] {
    let (cut_nm, cut_width_nm) = (random.random_range(640.0..690.0), random.random_range(6.0..14.0));
    let mut filter = |peak: [f64; 2], below: [f64; 2], above: [f64; 2], leak: [f64; 2]| -> Spectrum {
        let peak_nm = random.random_range(peak[0]..peak[1]);
        let below_nm = random.random_range(below[0]..below[1]);
        let above_nm = random.random_range(above[0]..above[1]);
        let leak = random.random_range(leak[0]..leak[1]);
        by_nm(|nm| {
            let side = if nm < peak_nm { below_nm } else { above_nm };
            let pass = (-0.5 * ((nm - peak_nm) / side).powi(2)).exp();
            let infrared = 1.0 / (1.0 + ((nm - cut_nm) / cut_width_nm).exp());
            let ultraviolet = 1.0 / (1.0 + ((408.0 - nm) / 6.0).exp());
            (pass + leak) * infrared * ultraviolet
        })
    };
    [
        filter([588.0, 610.0], [20.0, 34.0], [32.0, 50.0], [0.01, 0.08]),
        filter([523.0, 541.0], [34.0, 46.0], [34.0, 48.0], [0.01, 0.06]),
        filter([448.0, 468.0], [22.0, 34.0], [24.0, 38.0], [0.005, 0.04]),
    ]
}

fn filtered(filters: &[Spectrum; 3], spectrum: &Spectrum) -> [f64; 3] {
    std::array::from_fn(|i| {
        filters[i]
            .iter()
            .zip(spectrum)
            .map(|(pass, power)| pass * power)
            .sum()
    })
}

/// The matrix that takes balanced values to linear BT.709 with the least square error over surfaces, as under
/// daylight, whose rows add up to 1.
fn fitted_matrix(random: &mut Pcg64, balanced: impl Fn(&Spectrum) -> [f64; 3]) -> Matrix3<f64> {
    let daylight = planck(6504.0);
    let white = rgb(xyz(&daylight));
    let surfaces: Vec<Spectrum> = (0..SURFACES).map(|_| surface(random)).collect();
    // With rows that add up to 1, only the differences from green need weights.
    let seen = surfaces.iter().map(&balanced).collect::<Vec<_>>();
    let differences = DMatrix::from_fn(SURFACES, 2, |i, k| seen[i][2 * k] - seen[i][1]);
    let wanted = DMatrix::from_fn(SURFACES, 3, |i, k| {
        let lit: Spectrum = std::array::from_fn(|step| surfaces[i][step] * daylight[step]);
        rgb(xyz(&lit))[k] / white[k] - seen[i][1]
    });
    let weights = differences
        .svd(true, true)
        .solve(&wanted, 1e-9)
        .expect("both sides of the decomposition were asked for");
    Matrix3::from_fn(|row, column| match column {
        0 => weights[(0, row)],
        2 => weights[(1, row)],
        _ => 1.0 - weights[(0, row)] - weights[(1, row)],
    })
}

/// Reflectance of a painted or natural surface: a level, two slow steps and a bump.
fn surface(random: &mut Pcg64) -> Spectrum {
    let level = random.random_range(0.05..0.8);
    let steps: [[f64; 3]; 2] = std::array::from_fn(|_| {
        [
            random.random_range(-0.6..0.6),
            random.random_range(430.0..660.0),
            random.random_range(10.0..40.0),
        ]
    });
    let bump = [
        random.random_range(-0.3..0.3),
        random.random_range(430.0..660.0),
        random.random_range(20.0..60.0),
    ];
    by_nm(|nm| {
        let stepped = steps.map(|[by, at, width]| by / (1.0 + ((at - nm) / width).exp()));
        let bumped = bump[0] * (-0.5 * ((nm - bump[1]) / bump[2]).powi(2)).exp();
        (level + stepped.iter().sum::<f64>() + bumped).clamp(0.02, 0.95)
    })
}
