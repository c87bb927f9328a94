//! From linear light to a coded picture: tone curve, saturation, thinned colour, coarse steps.

use lampwise::footage::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};
use rand::Rng;
use rand_pcg::Pcg64;

/// How one camera and what came after it code a picture.
pub(crate) struct Coding {
    /// Curve of the camera: BT.709's, sRGB's, or a bare power.
    curve: fn(f64) -> f64,
    /// How far bright light is pressed together, and how much the middle is made steeper.
    shoulder: f64,
    contrast: f64,
    saturation: f64,
    /// Share of the colour that is gone where the strongest channel is full.
    washes_out: f64,
    form: Form,
}

/// What kind of file the picture ends in.
enum Form {
    /// Luma and differences at half size, 8 bits, BT.709 or, wrongly labelled, BT.601; differences of `cells`
    /// times `cells` samples may be one, and are in steps.
    Video {
        weights: (f64, f64),
        cells: usize,
        step: f64,
    },
    /// Red, green and blue in steps, as a palette of few colours leaves them.
    Palette { step: f64, dither: f64 },
}

/// A coded picture.
pub(crate) struct Coded {
    size: (usize, usize),
    planes: Planes,
}

enum Planes {
    Video([Vec<u8>; 3]),
    Rgb(Vec<u8>),
}

impl Coding {
    /// Ranges are guessed, to be wider than those of phones and messengers.
    pub(crate) fn drawn(random: &mut Pcg64) -> Self {
        let curves: [fn(f64) -> f64; 3] = [bt709, srgb, |light| light.powf(1.0 / 2.2)];
        let form = if random.random_bool(0.12) {
            Form::Palette {
                step: random.random_range(8.0..44.0),
                dither: if random.random_bool(0.6) { 1.0 } else { 0.0 },
            }
        } else {
            Form::Video {
                weights: if random.random_bool(0.05) {
                    (0.299, 0.114)
                } else {
                    (0.2126, 0.0722)
                },
                cells: if random.random_bool(0.25) { 2 } else { 1 },
                step: random.random_range(1.0..5.0),
            }
        };
        Self {
            curve: curves[random.random_range(0..curves.len())],
            shoulder: random.random_range(0.0..1.2),
            contrast: random.random_range(0.0..0.5),
            saturation: random.random_range(0.85..1.35),
            // Many cameras let strong light go over to white (common practice, no source).
            washes_out: f64::max(0.0, random.random_range(-0.5..0.6)),
            form,
        }
    }

    /// Code values, 0 to 1, of linear BT.709 light.
    fn tone(&self, linear: [f64; 3]) -> [f64; 3] {
        let pressed = linear.map(|light| {
            let light = light.clamp(0.0, 1.0);
            (self.curve)(light * (1.0 + self.shoulder) / (1.0 + self.shoulder * light))
        });
        // A sine has the form of the usual curve: steeper in the middle, flatter at both ends.
        let steep =
            pressed.map(|v| v - self.contrast * (std::f64::consts::TAU * v).sin() / std::f64::consts::TAU);
        let luma = 0.2126 * steep[0] + 0.7152 * steep[1] + 0.0722 * steep[2];
        let strongest = steep.into_iter().fold(0.0, f64::max);
        let saturation = self.saturation * (1.0 - self.washes_out * strongest.powi(3));
        steep.map(|v| (luma + saturation * (v - luma)).clamp(0.0, 1.0))
    }

    /// Codes a picture of linear light.
    pub(crate) fn code(&self, linear: &[[f64; 3]], size: (usize, usize), random: &mut Pcg64) -> Coded {
        let toned: Vec<[f64; 3]> = linear.iter().map(|light| self.tone(*light)).collect();
        let planes = match self.form {
            Form::Palette { step, dither } => Planes::Rgb(
                toned
                    .iter()
                    .flatten()
                    .map(|v| {
                        let noise = dither * random.random_range(-0.5..0.5);
                        ((255.0 * v / step + noise).round() * step).clamp(0.0, 255.0) as u8
                    })
                    .collect(),
            ),
            Form::Video { weights, cells, step } => Planes::Video(video(&toned, size, weights, cells, step)),
        };
        Coded { size, planes }
    }
}

/// Luma and differences in limited range; a camera may average the differences over more than two by two
/// pixels, and compression leaves them in steps.
fn video(
    toned: &[[f64; 3]],
    (width, height): (usize, usize),
    (kr, kb): (f64, f64),
    cells: usize,
    step: f64,
) -> [Vec<u8>; 3] {
    let luma_of = |[r, g, b]: [f64; 3]| kr * r + (1.0 - kr - kb) * g + kb * b;
    let luma = toned
        .iter()
        .map(|rgb| (16.0 + 219.0 * luma_of(*rgb)).round() as u8)
        .collect();
    let side = 2 * cells;
    let difference = |channel: usize, k: f64| -> Vec<u8> {
        let mut plane = vec![0; (width / 2) * (height / 2)];
        for (index, sample) in plane.iter_mut().enumerate() {
            let (x, y) = (
                index % (width / 2) / cells * side,
                index / (width / 2) / cells * side,
            );
            let of = |i: usize| toned[(y + i / side).min(height - 1) * width + (x + i % side).min(width - 1)];
            let mean = (0..side * side)
                .map(|i| of(i)[channel] - luma_of(of(i)))
                .sum::<f64>()
                / (side * side) as f64;
            let coded = 224.0 * mean / (2.0 * (1.0 - k));
            *sample = (128.0 + (coded / step).round() * step).clamp(16.0, 240.0) as u8;
        }
        plane
    };
    [luma, difference(2, kb), difference(0, kr)]
}

impl Coded {
    /// As a decoder would give it.
    pub(crate) fn as_frame(&self, time_s: f64) -> Frame<'_> {
        let (width, height) = self.size;
        let plane = |data, stride| Plane { data, stride };
        let (samples, matrix, span, transfer) = match &self.planes {
            Planes::Video([luma, blue, red]) => {
                let samples = Samples::Planar {
                    luma: plane(luma, width),
                    blue: plane(blue, width / 2),
                    red: plane(red, width / 2),
                    shift_x: 1,
                    shift_y: 1,
                    bits: 8,
                };
                (samples, Matrix::Bt709, Span::Limited, Transfer::Bt709)
            }
            Planes::Rgb(pixels) => {
                let samples = Samples::Rgb {
                    pixels: plane(pixels, 3 * width),
                    step: 3,
                    order: [0, 1, 2],
                };
                (samples, Matrix::Identity, Span::Full, Transfer::Srgb)
            }
        };
        Frame {
            time_s,
            width,
            height,
            samples,
            colour: ColourCode {
                matrix,
                span,
                primaries: Primaries::Bt709,
                transfer,
                assumed: true,
            },
            turn: Quarter::None,
            damaged: false,
        }
    }
}

/// ITU-R BT.709-6 item 1.2.
fn bt709(light: f64) -> f64 {
    if light < 0.018 {
        4.5 * light
    } else {
        1.099 * light.powf(0.45) - 0.099
    }
}

/// IEC 61966-2-1.
fn srgb(light: f64) -> f64 {
    if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    }
}
