//! What makes the reading weaker than it could be, in words, each with what to do about it.

use crate::advice::Retake;
use crate::light::Notice;
use crate::meaning::Doubt;
use crate::trace::Caveat;

use super::findings::Findings;
use super::words::{percent, share};

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
    all.extend(findings.notices().iter().map(of_notice));
    all.extend(findings.caveats().map(of_caveat));
    let reading = findings.judged.as_ref().map(|judged| &judged.reading);
    all.extend(reading.iter().flat_map(|reading| &reading.doubts).map(of_doubt));
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
    let summary = &findings.footage;
    let mut all = Vec::new();
    if findings.is_photo() {
        all.push(Warning {
            code: "photo",
            text: "A photo shows one moment and no rhythm: a lit lamp may be flashing, a dark one too."
                .to_owned(),
            retake: Some(clip_wanted(findings).sentence()),
        });
    }
    if summary.colour.assumed {
        all.push(Warning {
            code: "assumed-colour",
            text: "The file does not say how it codes colour; the customary way was taken.".to_owned(),
            retake: Some(
                "Send the file as the phone made it, not one that was sent on or edited.".to_owned(),
            ),
        });
    }
    if summary.damaged + summary.lost_packets > 0 {
        let bad = summary.damaged + summary.lost_packets;
        let all_frames = summary.frames + summary.lost_packets;
        all.push(Warning {
            code: "damaged-frames",
            text: format!("The file is damaged: {bad} of {all_frames} frames could not be read well."),
            retake: Some("Copy the file again from the phone, or film again.".to_owned()),
        });
    }
    if summary.untimed > 0 {
        all.push(Warning {
            code: "untimed-frames",
            text: format!(
                "{} frames have no time of their own and were left out.",
                summary.untimed
            ),
            retake: Some(
                "Send the file as the phone made it, not one that was sent on or edited.".to_owned(),
            ),
        });
    }
    if summary.ended_early {
        all.push(Warning {
            code: "ended-early",
            text: "The file is cut off: there was more to see than could be read.".to_owned(),
            retake: Some("Copy the file again from the phone, or film again.".to_owned()),
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
    if !findings.light_seen() {
        return Vec::new();
    }
    let missing = findings.missing_lights();
    let each = missing.iter().map(|light| Warning {
        code: "light-not-found",
        text: format!(
            "No lamp was found for \"{}\" ({}); it may have been dark.",
            light.id, light.label
        ),
        retake: Some("Film so that every lamp of the device is in the picture.".to_owned()),
    });
    each.collect()
}

fn of_notice(notice: &Notice) -> Warning {
    let (code, text) = match notice {
        Notice::HandShake { pixels } => (
            "hand-shake",
            format!("The phone was moved: {pixels:.0} pixels from frame to frame."),
        ),
        Notice::SmallLamp { radius } => (
            "small-lamp",
            format!(
                "The lamp is small in the picture: {:.0} pixels across.",
                2.0 * radius
            ),
        ),
        Notice::Overexposed { clipped } => (
            "overexposed",
            format!(
                "The lamp is washed out: {} of it is at full scale.",
                share(*clipped)
            ),
        ),
        Notice::TooDark { light } => (
            "too-dark",
            format!(
                "The picture is dark: lit, the lamp gives only {} of the light of white.",
                share(*light)
            ),
        ),
        Notice::OftenHidden { seen } => (
            "often-hidden",
            format!(
                "The lamp was covered or out of the picture; in view: {}.",
                percent(*seen)
            ),
        ),
        Notice::SeveralLamps { count } => (
            "several-lamps",
            format!("{count} lamps look equally like the one; it may be the wrong one."),
        ),
    };
    Warning {
        code,
        text,
        retake: Some(Retake::from(notice).sentence()),
    }
}

fn of_caveat(caveat: &Caveat) -> Warning {
    let (code, text, retake) = match caveat {
        Caveat::Aliases {
            shown_hz,
            rates_hz,
            fps,
        } => {
            let fastest_hz = rates_hz.iter().copied().fold(0.0, f64::max);
            let others: Vec<String> = rates_hz.iter().map(|rate_hz| format!("{rate_hz:.1}")).collect();
            (
                "alias",
                format!(
                    "{fps:.0} frames a second cannot tell {shown_hz:.1} flashes a second from {}.",
                    others.join(" or ")
                ),
                // At a rate that shows the fastest as it is, no other can look like it.
                Retake::to_show(fastest_hz, *fps),
            )
        }
        Caveat::Beat { rate_hz, depth, fps } => (
            "pulse-width-beat",
            format!(
                "While lit, the lamp's level beats {rate_hz:.1} times a second by {}: dimming by pulses or the mains \
                 against the frame rate, and no rhythm of the device.",
                share(*depth)
            ),
            // A beat moves with the frame rate; a rhythm does not.
            Retake::to_show(*rate_hz, *fps),
        ),
    };
    Warning {
        code,
        text,
        retake: Some(retake.sentence()),
    }
}

fn of_doubt(doubt: &Doubt) -> Warning {
    let (code, text) = match doubt {
        Doubt::FewCycles { cycles } => (
            "few-cycles",
            format!("The rhythm was seen only {cycles:.1} times over; twice is the least."),
        ),
        Doubt::PartlySeen { share } => (
            "partly-seen",
            format!("The light was in view for {} of the frames.", percent(*share)),
        ),
        Doubt::FastRhythm { rate_hz, fps } => (
            "fast-rhythm",
            format!("{fps:.0} frames a second cannot show a light that blinks {rate_hz:.1} times a second."),
        ),
        Doubt::ChangedAtEnd { from_s } => (
            "changed-at-end",
            format!("From {from_s:.1} s on the light shows something else, too briefly to tell what."),
        ),
        Doubt::NearColours { first, second } => (
            "near-colours",
            format!("The colour may be {first} or {second}; the camera cannot tell."),
        ),
    };
    Warning {
        code,
        text,
        retake: Some(Retake::from(doubt).sentence()),
    }
}
