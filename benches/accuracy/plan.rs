//! The recipe of every clip, from its index and the seed alone.

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Case, DynamicRange, Lamp, Recipe, Shown};
use rand::Rng;
use rand::seq::{IndexedRandom, SliceRandom};
use rand_pcg::Pcg64;

use super::effects::{EFFECTS, Strength};

/// Effects that a mixed clip has at once.
const MIXED: usize = 5;

/// One clip to be made and read.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub(crate) index: usize,
    /// Index into [`EFFECTS`]; `None` for several at once.
    pub(crate) effect: Option<usize>,
    pub(crate) strength: Strength,
    pub(crate) recipe: Recipe,
    /// Through an encoder, a file and the decoder.
    pub(crate) in_file: bool,
}

impl Job {
    pub(crate) fn effect_name(&self) -> &'static str {
        self.effect.map_or("mixed", |effect| EFFECTS[effect].name)
    }

    pub(crate) fn title(&self) -> String {
        let way = if self.in_file { "a file" } else { "memory" };
        let (effect, strength) = (self.effect_name(), self.strength.word());
        format!("{effect}, {strength}, through {way}")
    }
}

/// Clips until every effect has had every strength once; "mixed" is one more.
pub(crate) fn round() -> usize {
    (EFFECTS.len() + 1) * Strength::ALL.len()
}

/// Effects change fastest, so that a short run has all of them.
pub(crate) fn job(index: usize, seed: u64) -> Job {
    let kinds = EFFECTS.len() + 1;
    let effect = Some(index % kinds).filter(|effect| *effect < EFFECTS.len());
    let strength = Strength::ALL[index / kinds % Strength::ALL.len()];
    // The turn of the rounds is added, so that a cell gets large and small, coded and uncoded clips.
    let turned = index + index / round();
    let large = turned.is_multiple_of(3);
    let mut random = Pcg64::new(u128::from(seed), index as u128);
    let mut recipe = plain(&mut random);
    recipe.seed = seed.wrapping_mul(1_000_003).wrapping_add(index as u64);
    let mut in_file = turned % 10 == 9;
    let chosen: Vec<usize> = match effect {
        Some(effect) => vec![effect],
        None => {
            let mut all: Vec<usize> = (0..EFFECTS.len()).collect();
            all.shuffle(&mut random);
            all.truncate(MIXED);
            all
        }
    };
    for effect in chosen {
        (EFFECTS[effect].apply)(&mut recipe, strength, &mut random);
        in_file |= EFFECTS[effect].in_file;
    }
    // Another effect may have made it too long for the frame rate.
    let frame_s = 1.0 / recipe.timing.frames_per_s;
    recipe.camera.exposure_s = recipe.camera.exposure_s.min(frame_s);
    recipe.camera.readout_s = recipe.camera.readout_s.min(frame_s);
    recipe.timing.jitter_s = recipe.timing.jitter_s.min(0.45 * frame_s);
    if recipe.encoding.range != DynamicRange::Standard {
        recipe.camera.contrast = 0.0;
    }
    if !large {
        halve(&mut recipe);
    }
    Job {
        index,
        effect,
        strength,
        recipe,
        in_file,
    }
}

/// A hand-held clip of one lamp, 1280 x 720, that nothing makes hard.
fn plain(random: &mut Pcg64) -> Recipe {
    let mut recipe = Recipe::default();
    let shows = pattern(random);
    let Shown::Cycle(beats) = &shows else {
        unreachable!("the patterns are cycles");
    };
    let period_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
    // Five cycles and a bit, and never as short as to be no clip.
    recipe.seconds = (5.5 * period_s).max(4.0);
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(0.3..0.7) * 1280.0,
        y_px: random.random_range(0.3..0.7) * 720.0,
        radius_px: random.random_range(6.0..16.0),
        peak: random.random_range(1.5..5.0),
        starts_at_s: random.random_range(0.0..2.0),
        ..Lamp::showing(shows)
    }];
    recipe.scene.ambient = random.random_range(0.2..0.6);
    recipe.scene.texture_contrast = 0.12;
    if random.random::<bool>() {
        let grey = random.random_range(0.05..0.7);
        let (width_px, height_px) = (
            random.random_range(160.0..500.0),
            random.random_range(120.0..400.0),
        );
        recipe.scene.case = Some(Case {
            x_px: recipe.lamps[0].x_px - random.random_range(0.2..0.8) * width_px,
            y_px: recipe.lamps[0].y_px - random.random_range(0.2..0.8) * height_px,
            width_px,
            height_px,
            rgb: [grey, grey, 0.97 * grey],
        });
    }
    recipe.camera.exposure_s = [0.004, 0.01, 0.016][random.random_range(0..3)];
    recipe.camera.red_gain = random.random_range(0.96..1.04);
    recipe.camera.blue_gain = random.random_range(0.96..1.04);
    recipe.camera.auto_exposure_dip = random.random_range(0.0..0.1);
    recipe.hand.shake_rms_px = random.random_range(0.0..4.0);
    recipe
}

/// Mostly flashing; rates near those of published families, but in no whole ratio to a frame rate.
fn pattern(random: &mut Pcg64) -> Shown {
    let colour = ColourName::ALL[random.random_range(0..ColourName::ALL.len())];
    let stretch = random.random_range(0.93..1.07);
    let lit = |seconds: f64| Beat::lit(colour, seconds * stretch);
    let dark = |seconds: f64| Beat::dark(seconds * stretch);
    Shown::Cycle(match random.random_range(0..10) {
        0 => vec![lit(1.0)],
        // CiA 303-3: flashes of 200 ms, 200 ms apart, and a pause of a second.
        1 => {
            let count = random.random_range(2..=3);
            let mut beats = [lit(0.2), dark(0.2)].repeat(count);
            beats[2 * count - 1] = dark(1.0);
            beats
        }
        2 => {
            let others: Vec<ColourName> = [ColourName::Red, ColourName::Green, ColourName::Blue]
                .into_iter()
                .filter(|other| *other != colour)
                .collect();
            let other = *others.choose(random).expect("two of three are left");
            vec![lit(0.35), Beat::lit(other, 0.35 * stretch)]
        }
        3 => vec![
            Beat {
                from: 0.0,
                ..lit(0.9)
            },
            Beat { to: 0.0, ..lit(0.9) },
        ],
        _ => {
            let (on_s, off_s) = [(0.5, 0.5), (0.2, 0.2), (0.2, 0.8), (0.3, 1.5)][random.random_range(0..4)];
            vec![lit(on_s), dark(off_s)]
        }
    })
}

/// The same clip at half the size, to save time.
fn halve(recipe: &mut Recipe) {
    recipe.width_px /= 2;
    recipe.height_px /= 2;
    for lamp in &mut recipe.lamps {
        for px in [&mut lamp.x_px, &mut lamp.y_px, &mut lamp.radius_px] {
            *px *= 0.5;
        }
    }
    let mut lengths = vec![&mut recipe.scene.texture_px, &mut recipe.hand.shake_rms_px];
    if let Some(case) = &mut recipe.scene.case {
        lengths.extend([
            &mut case.x_px,
            &mut case.y_px,
            &mut case.width_px,
            &mut case.height_px,
        ]);
    }
    lengths.extend(recipe.hand.covers.iter_mut().map(|cover| &mut cover.radius_px));
    for glance in &mut recipe.hand.glances {
        lengths.extend([&mut glance.x_px, &mut glance.y_px]);
    }
    for label in &mut recipe.scene.labels {
        lengths.extend([&mut label.x_px, &mut label.y_px, &mut label.height_px]);
    }
    for reflection in recipe
        .lamps
        .iter_mut()
        .filter_map(|lamp| lamp.reflection.as_mut())
    {
        lengths.extend([&mut reflection.x_px, &mut reflection.y_px]);
    }
    for px in lengths {
        *px *= 0.5;
    }
    recipe.lens.blur_px = (0.5 * recipe.lens.blur_px).max(0.6);
    // A quarter of the pixels wants more than a quarter of the bits.
    recipe.encoding.kbit_per_s = recipe.encoding.kbit_per_s.map(|kbit| kbit / 3);
}
