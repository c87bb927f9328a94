//! Cameras that film the lamps, and what the program measures of the films.

use lampwise::colour::{ColourName, ReadFrom};
use lampwise::light::Watcher;
use lampwise::trace::{self, Chroma, Tint};
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

use crate::coding::Coding;
use crate::lamps::{Half, spectrum};
use crate::sensor::Sensor;

/// Size of the pictures, pixels.
const SIZE: (usize, usize) = (192, 144);
/// Frames of a film, and frames that a flashing lamp keeps a state; at 30 frames a second.
const FRAMES: usize = 10;
const STATE: usize = 4;

/// A lamp as the program measured it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Measured {
    pub name: ColourName,
    pub chroma: Chroma,
    pub read_from: ReadFrom,
    pub camera: u64,
}

/// A [`Measured`] as a file keeps it.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
pub(crate) struct Kept {
    name: String,
    camera: u64,
    chroma: [f64; 3],
    /// Clipped share, and whether it was seen unlit; nothing for a halo.
    lamp: Option<(f64, bool)>,
}

impl From<&Measured> for Kept {
    fn from(measured: &Measured) -> Self {
        let Chroma { u, v, sd } = measured.chroma;
        Self {
            name: measured.name.as_str().to_owned(),
            camera: measured.camera,
            chroma: [u, v, sd],
            lamp: match measured.read_from {
                ReadFrom::Lamp { clipped, alone } => Some((clipped, alone)),
                ReadFrom::Halo => None,
            },
        }
    }
}

impl From<Kept> for Measured {
    fn from(kept: Kept) -> Self {
        let [u, v, sd] = kept.chroma;
        Self {
            name: kept.name.parse().expect("a file of kept lamps has colour names"),
            camera: kept.camera,
            chroma: Chroma { u, v, sd },
            read_from: kept
                .lamp
                .map_or(ReadFrom::Halo, |(clipped, alone)| ReadFrom::Lamp {
                    clipped,
                    alone,
                }),
        }
    }
}

/// What is the same for all lamps that one camera films: sensor, white balance, curves, lens and room.
struct Camera {
    sensor: Sensor,
    coding: Coding,
    shot_noise: f64,
    read_noise: f64,
    dip: f64,
    blur_px: f64,
    halo_share: f64,
    halo_radii: f64,
    ambient: f64,
    surround: [f64; 3],
}

/// One lamp of every name through one camera; what never looked lit is left out.
pub(crate) fn film_all(number: u64, half: Half) -> Vec<Measured> {
    let side = u64::from(half == Half::HeldOut);
    let mut random = Pcg64::seed_from_u64(2 * number + side);
    let camera = Camera::drawn(&mut random);
    ColourName::ALL
        .into_iter()
        .filter_map(|name| {
            let tint = camera.film(name, half, &mut random)?;
            Some(Measured {
                name,
                chroma: tint.chroma,
                read_from: tint.read_from,
                camera: number,
            })
        })
        .collect()
}

/// A lamp in the picture: its light and unlit lens as raw values, and how they lie in the picture.
struct Shape {
    light: [f64; 3],
    lens: [f64; 3],
    centre: (f64, f64),
    radius_px: f64,
}

impl Camera {
    /// Ranges are guessed to be wider than those of phones.
    fn drawn(random: &mut Pcg64) -> Self {
        let grey = random.random_range(0.05..0.6);
        let tone = [1.0, random.random_range(0.9..1.0), random.random_range(0.8..1.1)];
        Self {
            sensor: Sensor::drawn(random),
            coding: Coding::drawn(random),
            shot_noise: random.random_range(0.005..0.02),
            read_noise: random.random_range(0.0005..0.003),
            dip: random.random_range(0.0..0.15),
            blur_px: random.random_range(0.6..1.8),
            // Evenly by ratio: lenses differ much in their glare.
            halo_share: random.random_range(0.005f64.ln()..0.2f64.ln()).exp(),
            halo_radii: random.random_range(1.0..2.5),
            ambient: random.random_range(0.03..0.9),
            surround: tone.map(|tone| grey * tone),
        }
    }

    /// The lamp's colour as the program measures it when it is pointed to, since naming is to be learnt and
    /// not finding: a name whose lamps are hard to find would otherwise be learnt as rare. `None` where it
    /// never looked lit.
    fn film(&self, name: ColourName, half: Half, random: &mut Pcg64) -> Option<Tint> {
        let lamp = self.sensor.raw(&spectrum(name, half, random));
        let most = lamp.into_iter().fold(f64::MIN, f64::max);
        let lens = random.random_range(0.1..0.5);
        let lens = if random.random_bool(0.5) {
            [lens; 3]
        } else {
            [0, 1, 2].map(|_| random.random_range(0.05..0.5))
        };
        // From a fifth of what the sensor takes to eight times that, evenly by ratio; at least twice as bright as its unlit
        // lens, since nobody would call it lit else (guessed), and what is measured is the lens.
        let unlit = self.ambient * lens.into_iter().fold(0.0, f64::max);
        let dimmest = f64::max(0.2, 2.0 * unlit);
        let peak = random.random_range(dimmest.ln()..8.0f64.ln()).exp();
        let shape = Shape {
            light: lamp.map(|raw| peak * raw / most),
            lens: self.sensor.raw_of(lens.map(|tone| self.ambient * tone)),
            centre: (random.random_range(86.0..106.0), random.random_range(62.0..82.0)),
            radius_px: random.random_range(3.0..12.0),
        };
        let flashes = random.random_bool(0.5);
        let texture: Vec<f64> = (0..SIZE.0 / 12 * (SIZE.1 / 12))
            .map(|_| random.random_range(0.6..1.4))
            .collect();
        let mut watcher = Watcher::new(Some(shape.centre));
        for frame in 0..FRAMES {
            let lit = !flashes || (frame / STATE).is_multiple_of(2);
            let picture = self.picture(&shape, &texture, lit, random);
            watcher.watch(
                &self
                    .coding
                    .code(&picture, SIZE, random)
                    .as_frame(frame as f64 / 30.0),
            );
        }
        let found = watcher.finish().into_iter().next()?;
        trace::build(&found).tints.first().copied()
    }

    /// Linear BT.709 as the sensor's matrix gives it.
    fn picture(&self, shape: &Shape, texture: &[f64], lit: bool, random: &mut Pcg64) -> Vec<[f64; 3]> {
        let surround = self.sensor.raw_of(self.surround.map(|tone| self.ambient * tone));
        let exposure = if lit { 1.0 - self.dip } else { 1.0 };
        let columns = SIZE.0 / 12;
        (0..SIZE.0 * SIZE.1)
            .map(|i| {
                let (column, row) = (i % SIZE.0, i / SIZE.0);
                let from_centre =
                    (column as f64 + 0.5 - shape.centre.0).hypot(row as f64 + 0.5 - shape.centre.1);
                // A disc with a soft edge, and a halo that falls off as exponentials do.
                let core = 1.0 / (1.0 + ((from_centre - shape.radius_px) / (0.6 * self.blur_px)).exp());
                let halo = (-from_centre / (self.halo_radii * shape.radius_px)).exp();
                let share = (1.0 - self.halo_share) * core + self.halo_share * halo;
                let pattern = texture[(row / 12 * columns + column / 12).min(texture.len() - 1)];
                let raw: [f64; 3] = std::array::from_fn(|k| {
                    let unlit = core * shape.lens[k] + (1.0 - core) * pattern * surround[k];
                    let light = exposure * (unlit + if lit { share * shape.light[k] } else { 0.0 });
                    let noise: f64 = StandardNormal.sample(random);
                    light + noise * (self.shot_noise.powi(2) * light + self.read_noise.powi(2)).sqrt()
                });
                self.sensor.develop(raw)
            })
            .collect()
    }
}
