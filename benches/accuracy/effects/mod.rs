//! What makes a lamp hard to read, one at a time. Lengths are pixels of a picture 720 high; the figures are
//! guesses at what phones do from "hardly noticed" to "would be filmed again".

mod camera;
mod file;
mod light;

use lampwise::colour::ColourName;
use lampwise::render::{Recipe, Shown};
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
    seen("nothing", light::nothing),
    seen("clipping", light::clipping),
    seen("bright room", light::bright_room),
    seen("dark room", light::dark_room),
    seen("drawn down", light::drawn_down),
    seen("coloured lens", light::coloured_lens),
    seen("white balance", camera::white_balance),
    seen("balance drift", camera::balance_drift),
    seen("auto-exposure", camera::auto_exposure),
    seen("long exposure", camera::long_exposure),
    seen("uneven times", camera::uneven_times),
    seen("frame rate", camera::frame_rate),
    seen("slow motion", camera::slow_motion),
    seen("fast blinking", light::fast_blinking),
    seen("pulse width", light::pulse_width),
    seen("mains flicker", light::mains),
    seen("small lamp", light::small_lamp),
    seen("large lamp", light::large_lamp),
    seen("hand shake", camera::hand_shake),
    seen("motion blur", camera::motion_blur),
    seen("zoom and turn", camera::zoom_and_turn),
    seen("covered", light::covered),
    seen("out of frame", camera::out_of_frame),
    seen("blur and halo", camera::blur_and_halo),
    seen("noise", camera::noise),
    seen("tone curve", camera::tone_curve),
    seen("busy background", light::busy_background),
    seen("print", light::print),
    seen("other lamps", light::other_lamps),
    seen("reflection", light::reflection),
    coded("compression", file::compression),
    coded("codec and turn", file::codec_and_turn),
    coded("bit rate", file::bit_rate),
    coded("wide range", file::wide_range),
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
