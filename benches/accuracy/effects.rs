//! What makes a lamp hard to read, one at a time. Lengths are pixels of a picture 720 high; the figures are
//! guesses at what phones do from "hardly noticed" to "would be filmed again".

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Codec, Cover, Glance, Lamp, Recipe, Shown, Upright};
use rand::Rng;
use rand_pcg::Pcg64;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Strength {
    Easy,
    Medium,
    Brutal,
}

impl Strength {
    pub(crate) const ALL: [Self; 3] = [Self::Easy, Self::Medium, Self::Brutal];

    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Easy => "easy",
            Self::Medium => "medium",
            Self::Brutal => "brutal",
        }
    }

    const fn of<T: Copy>(self, easy: T, medium: T, brutal: T) -> T {
        match self {
            Self::Easy => easy,
            Self::Medium => medium,
            Self::Brutal => brutal,
        }
    }
}

pub(crate) struct Effect {
    pub(crate) name: &'static str,
    pub(crate) apply: fn(&mut Recipe, Strength, &mut Pcg64),
    /// Only a real file has it.
    pub(crate) in_file: bool,
}

const fn seen(name: &'static str, apply: fn(&mut Recipe, Strength, &mut Pcg64)) -> Effect {
    Effect {
        name,
        apply,
        in_file: false,
    }
}

const fn coded(name: &'static str, apply: fn(&mut Recipe, Strength, &mut Pcg64)) -> Effect {
    Effect {
        name,
        apply,
        in_file: true,
    }
}

pub(crate) const EFFECTS: &[Effect] = &[
    seen("nothing", |_, _, _| {}),
    seen("clipping", |recipe, strength, _| {
        recipe.lamps[0].peak = strength.of(4.0, 10.0, 40.0);
    }),
    seen("bright room", |recipe, strength, _| {
        recipe.scene.ambient = strength.of(0.8, 1.0, 1.4);
        recipe.lamps[0].peak = strength.of(3.0, 1.5, 0.8);
    }),
    seen("coloured lens", |recipe, strength, random| {
        let tint = strength.of(0.1, 0.25, 0.4);
        recipe.lamps[0].lens_rgb = std::array::from_fn(|_| 0.4 + tint * random.random_range(-1.0..=1.0));
        recipe.lamps[0].peak = strength.of(2.0, 1.2, 0.7);
    }),
    seen("white balance", |recipe, strength, random| {
        let off = strength.of(0.07, 0.15, 0.3);
        recipe.camera.red_gain = 1.0 + off * random.random_range(-1.0..=1.0);
        recipe.camera.blue_gain = 1.0 + off * random.random_range(-1.0..=1.0);
    }),
    seen("auto-exposure", |recipe, strength, _| {
        recipe.camera.auto_exposure_dip = strength.of(0.2, 0.45, 0.75);
    }),
    seen("long exposure", |recipe, strength, _| {
        recipe.camera.exposure_s = strength.of(0.02, 0.027, 1.0 / 30.0);
    }),
    seen("uneven times", |recipe, strength, _| {
        recipe.timing.jitter_s = strength.of(0.002, 0.006, 0.012);
        recipe.timing.dropped_share = strength.of(0.02, 0.08, 0.25);
        recipe.timing.repeated_share = strength.of(0.02, 0.05, 0.1);
    }),
    seen("frame rate", |recipe, strength, _| {
        recipe.timing.frames_per_s = strength.of(60.0, 24.0, 15.0);
        if strength == Strength::Easy {
            recipe.camera.exposure_s = recipe.camera.exposure_s.min(0.012);
            recipe.camera.readout_s = 0.012;
        }
    }),
    seen("fast blinking", |recipe, strength, random| {
        // Cycles a frame; from 0.5 on no camera can tell.
        let pace = strength.of(0.15, 0.28, 0.4) * random.random_range(0.95..1.05);
        let half_s = 0.5 / (pace * recipe.timing.frames_per_s);
        recipe.lamps[0].shows = Shown::Cycle(vec![Beat::lit(colour_of(recipe), half_s), Beat::dark(half_s)]);
    }),
    seen("small lamp", |recipe, strength, _| {
        recipe.lamps[0].radius_px = strength.of(5.0, 3.0, 1.5);
    }),
    seen("hand shake", |recipe, strength, _| {
        recipe.hand.shake_rms_px = strength.of(8.0, 20.0, 40.0);
    }),
    seen("covered", |recipe, strength, random| {
        let share = strength.of(0.15, 0.3, 0.5);
        let (from_s, to_s) = away(recipe, share, random);
        recipe.hand.covers = vec![Cover {
            from_s,
            to_s,
            radius_px: 90.0,
        }];
    }),
    seen("out of frame", |recipe, strength, random| {
        let share = strength.of(0.1, 0.25, 0.45);
        let (from_s, to_s) = away(recipe, share, random);
        recipe.hand.glances = vec![Glance {
            from_s,
            to_s,
            x_px: 950.0,
            y_px: 60.0,
        }];
    }),
    seen("blur and halo", |recipe, strength, _| {
        recipe.lens.blur_px = strength.of(2.0, 4.0, 8.0);
        recipe.lens.halo_share = strength.of(0.15, 0.3, 0.5);
        recipe.lens.halo_radii = strength.of(2.5, 3.0, 4.0);
    }),
    seen("noise", |recipe, strength, _| {
        recipe.camera.shot_noise = strength.of(0.02, 0.05, 0.1);
        recipe.camera.read_noise = strength.of(0.002, 0.006, 0.015);
    }),
    seen("busy background", |recipe, strength, _| {
        recipe.scene.texture_contrast = strength.of(0.2, 0.35, 0.6);
        recipe.scene.texture_px = strength.of(60.0, 40.0, 20.0);
    }),
    seen("other lamps", |recipe, strength, random| {
        // Steady and smaller, as power lamps are: of two lamps that are alike, neither is the right one.
        for _ in 0..strength.of(1, 2, 4) {
            let turn = random.random_range(0.0..std::f64::consts::TAU);
            let apart = random.random_range(5.0..14.0) * recipe.lamps[0].radius_px.max(8.0);
            let colour = ColourName::ALL[random.random_range(0..ColourName::ALL.len())];
            recipe.lamps.push(Lamp {
                id: "other".to_owned(),
                x_px: recipe.lamps[0].x_px + apart * turn.cos(),
                y_px: recipe.lamps[0].y_px + apart * turn.sin(),
                radius_px: 0.6 * recipe.lamps[0].radius_px,
                peak: 0.7 * recipe.lamps[0].peak,
                ..Lamp::showing(Shown::Cycle(vec![Beat::lit(colour, 1.0)]))
            });
        }
    }),
    coded("compression", |recipe, strength, _| {
        recipe.encoding.crf = strength.of(28, 34, 40);
    }),
    coded("codec and turn", |recipe, strength, random| {
        recipe.encoding.codec = strength.of(Codec::H264, Codec::Hevc, Codec::Vp9);
        recipe.encoding.upright =
            [Upright::TurnedRight, Upright::Reversed, Upright::TurnedLeft][random.random_range(0..3)];
    }),
];

/// When the lamp is away for a share of the clip, which grows so that as much of the lamp is seen as before.
fn away(recipe: &mut Recipe, share: f64, random: &mut Pcg64) -> (f64, f64) {
    recipe.seconds /= 1.0 - share;
    let gone_s = share * recipe.seconds;
    let from_s = random.random_range(0.15..0.75) * (recipe.seconds - gone_s);
    (from_s, from_s + gone_s)
}

/// The first colour that the first lamp shows.
pub(crate) fn colour_of(recipe: &Recipe) -> ColourName {
    let Shown::Cycle(beats) = &recipe.lamps[0].shows else {
        return ColourName::Red;
    };
    beats
        .iter()
        .find_map(|beat| beat.colour)
        .unwrap_or(ColourName::Red)
}
