//! A strip of time that needs no movement: lengths to scale, hatching and a letter for each colour.

use maud::{Markup, html};

use super::course::{Stretch, length_s};
use super::motion::screen;
use super::phrase::time;
use crate::colour::ColourName;
use crate::report::strip::letter;

/// Height of the strip and of its lit part, pixels.
const HEIGHT: f64 = 40.0;
const LIT: f64 = 34.0;

/// A stretch has a letter where it is at least this share of the strip, in per cent.
const LETTER_FROM: f64 = 3.5;

/// A cycle is drawn so often that the strip shows at least so many of it, but not more stretches than can be told apart.
const CYCLES: usize = 2;
const MOST: usize = 64;

/// The strip. `repeats` draws a cycle more than once.
pub(super) fn strip(course: &[Stretch], repeats: bool, label: &str) -> Markup {
    let cycles = if repeats && course.len() > 1 { CYCLES } else { 1 };
    let drawn: Vec<&Stretch> = course
        .iter()
        .cycle()
        .take((cycles * course.len()).min(MOST))
        .collect();
    let total_s: f64 = drawn.iter().map(|stretch| stretch.lasts_s).sum();
    let mut at_s = 0.0;
    let pieces: Vec<(f64, f64, &Stretch)> = drawn
        .into_iter()
        .map(|stretch| {
            let from = 100.0 * at_s / total_s;
            at_s += stretch.lasts_s;
            (from, 100.0 * stretch.lasts_s / total_s, stretch)
        })
        .collect();
    html! {
        svg.strip width="100%" height=(HEIGHT) role="img" aria-label=(label) {
            rect.ground x="0" y="0" width="100%" height=(HEIGHT) {}
            @for (from, width, stretch) in &pieces { (piece(*from, *width, stretch)) }
            line.base x1="0" x2="100%" y1=(HEIGHT - 1.0) y2=(HEIGHT - 1.0) {}
            @if cycles > 1 {
                line.turn x1="50%" x2="50%" y1="0" y2=(HEIGHT) {}
            }
        }
        @if course.len() > 1 {
            p.scale { span { "0 s" } @if cycles > 1 { span { (time(length_s(course))) ", then again" } } span { (time(total_s)) } }
        }
    }
}

fn piece(from: f64, width: f64, stretch: &Stretch) -> Markup {
    let Some(colour) = stretch.colour else {
        return html! {};
    };
    let height = |level: f64| HEIGHT - level.max(0.06) * LIT;
    let (left, right) = (height(stretch.levels.0), height(stretch.levels.1));
    let points = format!("0,{HEIGHT} 0,{left:.1} 100,{right:.1} 100,{HEIGHT}");
    let hatch = format!("url(#h{})", colour.index());
    html! {
        svg x=(format!("{from:.3}%")) y="0" width=(format!("{width:.3}%")) height=(HEIGHT)
            viewBox=(format!("0 0 100 {HEIGHT}")) preserveAspectRatio="none" {
            polygon.lit points=(points) fill=(screen(colour)) {}
        }
        svg x=(format!("{from:.3}%")) y="0" width=(format!("{width:.3}%")) height=(HEIGHT) {
            @if (left - right).abs() < 0.5 { rect x="0" y=(left) width="100%" height=(HEIGHT - left) fill=(hatch) {} }
        }
        @if width >= LETTER_FROM {
            text x=(format!("{:.3}%", from + 0.5 * width)) y=(HEIGHT - 12.0) { (letter(colour)) }
        }
    }
}

/// The hatchings, by [`ColourName::index`]: lines of different slope and distance, dots, none for white.
pub(super) fn hatchings() -> Markup {
    html! {
        svg.defs width="0" height="0" aria-hidden="true" {
            defs {
                @for colour in ColourName::ALL {
                    pattern id=(format!("h{}", colour.index())) width="8" height="8" patternUnits="userSpaceOnUse" {
                        path d=(marks(colour)) fill="none" stroke="#000" stroke-opacity=".55" stroke-width="1" {}
                    }
                }
            }
        }
    }
}

/// One tile of eight by eight pixels.
const fn marks(colour: ColourName) -> &'static str {
    match colour {
        ColourName::Red => "M0 4H8",
        ColourName::Amber => "M0 8L8 0",
        ColourName::Yellow => "M2 2h1M6 6h1",
        ColourName::Green => "M0 0L8 8",
        ColourName::Cyan => "M0 0L8 8M0 8L8 0",
        ColourName::Blue => "M4 0V8",
        ColourName::Violet => "M4 0V8M0 4H8",
        ColourName::White => "",
        ColourName::WarmWhite => "M4 4h1",
    }
}
