//! Findings in words: what is so, and the way out.

use super::finding::FindingKind;

impl FindingKind {
    /// A short word for programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::SameLook { .. } => "same-look",
            Self::Confusable { .. } => "confusable",
            Self::NearColours { .. } => "near-colours",
            Self::NeedsLong { .. } => "needs-long-clip",
            Self::TooFast { .. } => "too-fast",
            Self::Brief { .. } => "brief",
            Self::Prefix { .. } => "prefix",
            Self::BeginsLike { .. } => "begins-like",
            Self::EndsLike { .. } => "ends-like",
            Self::SeparateLights { .. } => "separate-lights",
            Self::BehindHandOn => "behind-hand-on",
            Self::NeverTriedHere { .. } => "never-tried-here",
            Self::TriedTwice { .. } => "tried-twice",
            Self::WaitsTooLong { .. } => "waits-too-long",
            Self::TooSoon { .. } => "too-soon",
            Self::NothingToDo { .. } => "nothing-to-do",
            Self::ErasesInService => "erases-in-service",
            Self::UnknownLanguage { .. } => "unknown-language",
            Self::Untranslated { .. } => "untranslated",
            Self::NoHandOn => "no-hand-on",
        }
    }

    /// What is so, as a phrase.
    #[must_use]
    pub fn message(&self) -> String {
        match self {
            Self::SameLook { ids } => format!("{} look the same: no clip can part them", quoted(ids)),
            Self::Confusable {
                first,
                second,
                confusion,
                ..
            } => format!(
                "`{second}` looks so much like `{first}` that a clip of 10 s at 30 frames a second leaves {} of doubt",
                percent(*confusion)
            ),
            Self::NearColours {
                first,
                second,
                colour,
                instead,
            } => format!(
                "`{first}` and `{second}` differ only as {colour} from {instead}, which a camera may confuse"
            ),
            Self::NeedsLong { id, .. } => format!("`{id}` needs a clip of more than 10 s"),
            Self::TooFast { rate_hz, fps } => format!(
                "{rate_hz:.1} changes to and fro a second cannot be seen at {} frames a second",
                numbers(fps)
            ),
            Self::Brief { lasts_s, fps, caught } => format!(
                "a state of {:.0} ms falls between two frames at {fps} a second: {} of them are caught",
                lasts_s * 1000.0,
                percent(*caught)
            ),
            Self::Prefix { longer } => format!("this sequence is the beginning of `{longer}`"),
            Self::BeginsLike { row } => format!("this sequence begins like `{row}`"),
            Self::EndsLike { row } => format!("this sequence ends like `{row}`"),
            other => other.message_of_procedure(),
        }
    }

    fn message_of_procedure(&self) -> String {
        match self {
            Self::SeparateLights { lights } => format!(
                "rows for {} and for {} may hold at the same time",
                lights[0], lights[1]
            ),
            Self::BehindHandOn => "nobody gets to this step: the case is handed on before it".to_owned(),
            Self::NeverTriedHere { name } => {
                format!("this waits for `{name}`, which no step of this row tries")
            }
            Self::TriedTwice { name } => {
                format!("an earlier step is tried as `{name}` too, so this one is left out after it")
            }
            Self::WaitsTooLong { until_s, at_most_s } => format!(
                "this waits until {}, though the state lasts {} at most",
                time(*until_s),
                time(*at_most_s)
            ),
            Self::TooSoon { after_s, usual_s } => format!(
                "this comes after {}, though the state usually lasts {}",
                time(*after_s),
                time(*usual_s)
            ),
            Self::NothingToDo { from_s, to_s } => {
                format!(
                    "between {} and {} there is nothing to do",
                    time(*from_s),
                    time(*to_s)
                )
            }
            Self::ErasesInService => "this erases settings although nothing is wrong".to_owned(),
            Self::NoHandOn => "the steps of this fault end without saying when to hand it on".to_owned(),
            Self::UnknownLanguage { code, .. } => {
                format!("the program does not speak `{code}`, so this translation is never shown")
            }
            Self::Untranslated { texts, first, .. } => {
                let others = match texts - 1 {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                format!("this leaves out \"{first}\"{others}")
            }
            // Said by the first half. Each is named, so that a new one cannot be left without a word.
            Self::SameLook { .. }
            | Self::Confusable { .. }
            | Self::NearColours { .. }
            | Self::NeedsLong { .. }
            | Self::TooFast { .. }
            | Self::Brief { .. }
            | Self::Prefix { .. }
            | Self::BeginsLike { .. }
            | Self::EndsLike { .. } => String::new(),
        }
    }

    /// What to do about it, as a phrase.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::SameLook { .. } => {
                "if the device is so, the reading asks which it is; titles and steps must tell people how to part them"
                    .to_owned()
            }
            Self::Confusable { shortest_s, .. } => longer(
                *shortest_s,
                "change the rhythm or the colour of one of them, if the device is yours",
            ),
            Self::NearColours { .. } => {
                "give one of them another rhythm; else a white sheet beside the lamp may help".to_owned()
            }
            Self::NeedsLong { shortest_s, .. } => longer(*shortest_s, "ask for a clip of three whole cycles"),
            Self::TooFast { .. } => "ask for 120 frames a second or more; the reading will".to_owned(),
            Self::Brief { .. } => "ask for 60 frames a second or more, or for a longer clip".to_owned(),
            Self::Prefix { .. } => {
                "a clip that ends early cannot tell them apart; let the shorter one end in something of its own"
                    .to_owned()
            }
            Self::BeginsLike { .. } | Self::EndsLike { .. } => {
                "fine if it is so: a clip that shows only that much is read as the plain row".to_owned()
            }
            Self::SeparateLights { .. } => {
                "keep one table for each light, or name both lights in every row".to_owned()
            }
            Self::BehindHandOn => "move it up, or give the hand-on an `after_tried`".to_owned(),
            Self::NeverTriedHere { .. } => "add that step to this row, or take the name out".to_owned(),
            Self::TriedTwice { .. } => "give one of them another name".to_owned(),
            Self::WaitsTooLong { .. } => "mend `until` or `at_most`".to_owned(),
            Self::TooSoon { .. } => "mend `after` or `usual`".to_owned(),
            Self::NothingToDo { .. } => {
                "say what to do meanwhile, if only to wait: `{ do = \"Wait.\", until = \"2 min\" }`".to_owned()
            }
            Self::ErasesInService => "leave it out, or say in `kind` what is wrong".to_owned(),
            Self::UnknownLanguage { known, .. } => format!("the codes that it knows are {}", known.join(", ")),
            Self::Untranslated { code, .. } => {
                format!("add what is missing; until then it is shown untranslated in `{code}`")
            }
            Self::NoHandOn => "add a step such as `{ hand_on = \"Fault stays\" }`".to_owned(),
        }
    }
}

fn longer(shortest_s: Option<f64>, otherwise: &str) -> String {
    match shortest_s {
        Some(seconds) => format!("a clip of {:.0} s parts them; or {otherwise}", seconds.ceil()),
        None => otherwise.to_owned(),
    }
}

fn quoted(ids: &[String]) -> String {
    let quoted: Vec<String> = ids.iter().map(|id| format!("`{id}`")).collect();
    joined(&quoted)
}

fn numbers(fps: &[f64]) -> String {
    joined(&fps.iter().map(|fps| format!("{fps}")).collect::<Vec<_>>())
}

fn joined(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Whole per cent; neither none nor all is claimed of a forecast.
fn percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0).clamp(1.0, 99.0))
}

fn time(seconds: f64) -> String {
    let (number, unit) = match seconds {
        s if s >= 7200.0 => (s / 3600.0, "h"),
        s if s >= 120.0 => (s / 60.0, "min"),
        s => (s, "s"),
    };
    format!("{} {unit}", (number * 100.0).round() / 100.0)
}
