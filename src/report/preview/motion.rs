//! The moving lamp: key frames of a style sheet. Only numbers and our own words go into them.

use std::fmt::Write;

use super::course::{Stretch, length_s};
use crate::colour::ColourName;

/// Dark after a sequence before it is shown again, seconds.
const PAUSE_S: f64 = 1.5;

/// How a screen shows a colour.
pub(super) const fn screen(colour: ColourName) -> &'static str {
    match colour {
        ColourName::Red => "#e8112d",
        ColourName::Amber => "#ff9500",
        ColourName::Yellow => "#ffe100",
        ColourName::Green => "#12b347",
        ColourName::Cyan => "#00c2d1",
        ColourName::Blue => "#1f5bff",
        ColourName::Violet => "#a033ff",
        ColourName::White => "#ffffff",
        ColourName::WarmWhite => "#ffdf9e",
    }
}

/// Key frames under a name, and how long they take.
pub(super) fn key_frames(name: &str, course: &[Stretch], once: bool) -> (String, f64) {
    let pause = Stretch {
        colour: None,
        levels: (0.0, 0.0),
        lasts_s: PAUSE_S,
    };
    let all: Vec<Stretch> = course.iter().copied().chain(once.then_some(pause)).collect();
    let total_s = length_s(&all);
    let mut css = format!("@keyframes {name}{{");
    let mut at_s = 0.0;
    for stretch in &all {
        let (from, to) = stretch.levels;
        let swells = (from - to).abs() > 1e-9;
        let timing = if swells { "linear" } else { "step-end" };
        let fill = stretch.colour.map_or("none", screen);
        let percent = 100.0 * at_s / total_s;
        at_s += stretch.lasts_s;
        write!(
            css,
            "{percent:.4}%{{fill:{fill};opacity:{from:.3};animation-timing-function:{timing}}}"
        )
        .expect("a string takes all");
        if swells {
            let end = (100.0 * at_s / total_s - 1e-3).max(percent);
            write!(
                css,
                "{end:.4}%{{fill:{fill};opacity:{to:.3};animation-timing-function:step-end}}"
            )
            .expect("a string takes all");
        }
    }
    css.push('}');
    (css, total_s)
}
