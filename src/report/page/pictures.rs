//! The strip of pictures of a light at the moments that decided the reading.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};

use crate::words::Words;

use super::super::findings::Lamp;
use super::super::shots::Shot;
use super::super::words::colour_name;

pub(super) fn strip(lamp: &Lamp, shots: &[&Shot], words: &Words) -> Markup {
    html! {
        @if !shots.is_empty() {
            p.key { (words.say("pictures-key")) }
            ul.strip {
                @for shot in shots {
                    @let text = caption(lamp, shot, words);
                    li {
                        img src=(format!("data:image/png;base64,{}", STANDARD.encode(&shot.png))) width="104" height="104"
                            alt=(words.with("picture-alt", &[("what", text.clone().into())]));
                        (text)
                    }
                }
            }
        }
    }
}

/// When, and what it shows.
fn caption(lamp: &Lamp, shot: &Shot, words: &Words) -> String {
    let tint = shot.moment.tint.and_then(|tint| lamp.trace.tints.get(tint));
    let what = match tint.and_then(|tint| tint.names.ranked().first().copied()) {
        Some((name, _)) => colour_name(name, words),
        None if lamp.trace.samples[shot.moment.frame].level >= 0.5 => words.say("lit"),
        None => words.say("dark"),
    };
    let at_s = lamp.trace.samples[shot.moment.frame].time_s;
    format!("{} s: {what}", words.number(at_s, 1))
}
