//! What makes the reading weaker than it could be, in words, each with what to do about it.

use crate::advice::Retake;
use crate::colour::ColourName;
use crate::light::Notice;
use crate::meaning::Doubt;
use crate::trace::Caveat;
use crate::words::{Language, say, say_with, words};

use super::findings::Findings;
use super::words::{colour_name, percent, share};

/// One warning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// A stable name for programs.
    pub code: &'static str,
    /// What is the matter, a full sentence.
    pub text: String,
    /// How to film so that it does not happen, a full sentence; `None` where filming does not help.
    pub retake: Option<String>,
}

/// Every warning of the findings: of the footage, of the lamps that matter, of the reading; each only once.
#[must_use]
pub fn warnings(findings: &Findings) -> Vec<Warning> {
    let mut all = of_footage(findings);
    all.extend(of_lights(findings));
    let language = findings.language;
    all.extend(
        findings
            .notices()
            .iter()
            .map(|notice| of_notice(notice, language)),
    );
    all.extend(findings.caveats().map(|caveat| of_caveat(caveat, language)));
    let reading = findings.judged.as_ref().map(|judged| &judged.reading);
    all.extend(
        reading
            .iter()
            .flat_map(|reading| &reading.doubts)
            .map(|doubt| of_doubt(doubt, language)),
    );
    let mut once: Vec<Warning> = Vec::new();
    for warning in all {
        if !once
            .iter()
            .any(|other| other.code == warning.code && other.text == warning.text)
        {
            once.push(warning);
        }
    }
    once
}

fn of_footage(findings: &Findings) -> Vec<Warning> {
    let language = findings.language;
    let summary = &findings.footage;
    let mut all = Vec::new();
    if findings.is_photo() {
        let (code, text) = if findings.photos.is_empty() {
            ("photo", say(language, "warn-photo"))
        } else {
            ("photos", say(language, "warn-photos"))
        };
        all.push(Warning {
            code,
            text,
            retake: Some(clip_wanted(findings).sentence(language)),
        });
    }
    if summary.colour.assumed {
        all.push(Warning {
            code: "assumed-colour",
            text: say(language, "warn-assumed-colour"),
            retake: Some(say(language, "send-as-made")),
        });
    }
    if summary.damaged + summary.lost_packets > 0 {
        let bad = summary.damaged + summary.lost_packets;
        let frames = summary.frames + summary.lost_packets;
        all.push(Warning {
            code: "damaged-frames",
            text: say_with(
                language,
                "warn-damaged",
                &[("bad", bad.into()), ("all", frames.into())],
            ),
            retake: Some(say(language, "copy-again")),
        });
    }
    if summary.untimed > 0 {
        all.push(Warning {
            code: "untimed-frames",
            text: say_with(language, "warn-untimed", &[("count", summary.untimed.into())]),
            retake: Some(say(language, "send-as-made")),
        });
    }
    if summary.ended_early {
        all.push(Warning {
            code: "ended-early",
            text: say(language, "warn-ended-early"),
            retake: Some(say(language, "copy-again")),
        });
    }
    all
}

/// The clip that the reading asks for in place of the photo.
fn clip_wanted(findings: &Findings) -> Retake {
    let settle = findings.judged.iter().flat_map(|judged| &judged.reading.settle);
    let mut wanted = settle.filter_map(Retake::settling);
    wanted
        .find(|retake| matches!(retake, Retake::Clip { .. }))
        .unwrap_or(Retake::USUAL_CLIP)
}

fn of_lights(findings: &Findings) -> Vec<Warning> {
    let language = findings.language;
    let Some(judged) = findings.judged.as_ref().filter(|_| findings.light_seen()) else {
        return Vec::new();
    };
    let missing = findings.missing_lights();
    let each = missing.iter().map(|light| {
        let label = judged.told(&light.label, language);
        Warning {
            code: "light-not-found",
            text: say_with(
                language,
                "warn-not-found",
                &[("id", light.id.clone().into()), ("label", label.into())],
            ),
            retake: Some(say(language, "film-every-lamp")),
        }
    });
    each.collect()
}

fn of_notice(notice: &Notice, language: Language) -> Warning {
    let number = |value: f64| words(language).number(value, 0).into();
    let (code, text) = match notice {
        Notice::HandShake { pixels } => (
            "hand-shake",
            say_with(language, "warn-hand-shake", &[("pixels", number(*pixels))]),
        ),
        Notice::SmallLamp { radius } => (
            "small-lamp",
            say_with(language, "warn-small-lamp", &[("pixels", number(2.0 * radius))]),
        ),
        Notice::Overexposed { clipped } => (
            "overexposed",
            say_with(
                language,
                "warn-overexposed",
                &[("share", share(*clipped, language).into())],
            ),
        ),
        Notice::TooDark { light } => (
            "too-dark",
            say_with(
                language,
                "warn-too-dark",
                &[("share", share(*light, language).into())],
            ),
        ),
        Notice::OftenHidden { seen } => (
            "often-hidden",
            say_with(
                language,
                "warn-often-hidden",
                &[("share", percent(*seen, language).into())],
            ),
        ),
        Notice::LampBeside { x, y } => (
            "lamp-beside",
            say_with(
                language,
                "warn-lamp-beside",
                &[("x", number(*x)), ("y", number(*y))],
            ),
        ),
        Notice::NothingLit => ("nothing-lit", say(language, "warn-nothing-lit")),
        Notice::SeveralLamps { count } => (
            "several-lamps",
            say_with(language, "warn-several-lamps", &[("count", (*count).into())]),
        ),
    };
    Warning {
        code,
        text,
        retake: Some(Retake::from(notice).sentence(language)),
    }
}

fn of_caveat(caveat: &Caveat, language: Language) -> Warning {
    let number = |value: f64, decimals| words(language).number(value, decimals);
    let (code, text, retake) = match caveat {
        Caveat::Aliases {
            shown_hz,
            rates_hz,
            fps,
        } => {
            let others: Vec<String> = rates_hz.iter().map(|rate_hz| number(*rate_hz, 1)).collect();
            let or = format!(" {} ", say(language, "warn-alias-or"));
            let text = say_with(
                language,
                "warn-alias",
                &[
                    ("fps", number(*fps, 0).into()),
                    ("shown", number(*shown_hz, 1).into()),
                    ("others", others.join(&or).into()),
                ],
            );
            // At a rate that shows the fastest as it is, no other can look like it.
            let fastest_hz = rates_hz.iter().copied().fold(0.0, f64::max);
            ("alias", text, Retake::to_show(fastest_hz, *fps))
        }
        Caveat::Beat { rate_hz, depth, fps } => {
            let text = say_with(
                language,
                "warn-beat",
                &[
                    ("rate", number(*rate_hz, 1).into()),
                    ("share", share(*depth, language).into()),
                ],
            );
            // A beat moves with the frame rate; a rhythm does not.
            ("pulse-width-beat", text, Retake::to_show(*rate_hz, *fps))
        }
    };
    Warning {
        code,
        text,
        retake: Some(retake.sentence(language)),
    }
}

fn of_doubt(doubt: &Doubt, language: Language) -> Warning {
    let number = |value: f64, places: usize| words(language).number(value, places).into();
    let colour = |name: ColourName| colour_name(name, words(language)).into();
    let (code, text) = match *doubt {
        Doubt::FewCycles { cycles } => (
            "few-cycles",
            // Rounded down: short of two is not two.
            say_with(
                language,
                "warn-few-cycles",
                &[("cycles", number((cycles * 10.0).floor() / 10.0, 1))],
            ),
        ),
        Doubt::PartlySeen { share } => (
            "partly-seen",
            say_with(
                language,
                "warn-partly-seen",
                &[("share", percent(share, language).into())],
            ),
        ),
        Doubt::FastRhythm { rate_hz, fps } => (
            "fast-rhythm",
            say_with(
                language,
                "warn-fast-rhythm",
                &[("fps", number(fps, 0)), ("rate", number(rate_hz, 1))],
            ),
        ),
        Doubt::ChangedAtEnd { from_s } => (
            "changed-at-end",
            say_with(language, "warn-changed-at-end", &[("from", number(from_s, 1))]),
        ),
        Doubt::NearColours { first, second } => (
            "near-colours",
            say_with(
                language,
                "warn-near-colours",
                &[("first", colour(first)), ("second", colour(second))],
            ),
        ),
        Doubt::PerhapsPulses { rate_hz } => (
            "perhaps-pulses",
            say_with(language, "warn-perhaps-pulses", &[("rate", number(rate_hz, 1))]),
        ),
        Doubt::PerhapsFlicker { rate_hz } => (
            "perhaps-flicker",
            say_with(language, "warn-perhaps-flicker", &[("rate", number(rate_hz, 1))]),
        ),
    };
    Warning {
        code,
        text,
        retake: Some(Retake::from(doubt).sentence(language)),
    }
}
