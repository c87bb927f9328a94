//! What each of several photos showed, in words.

use crate::words::{Words, words};

use super::evidence::colour;
use super::findings::{Findings, PhotoSeen};

/// A line for every photo; none for a clip or for one photo.
pub(super) fn photo_lines(findings: &Findings) -> Vec<String> {
    let words = words(findings.language);
    let line = |photo: &PhotoSeen| {
        let what = shown(findings, photo, words);
        words.with(
            "photo-shows",
            &[("name", photo.name.clone().into()), ("what", what.into())],
        )
    };
    findings.photos.iter().map(line).collect()
}

fn shown(findings: &Findings, photo: &PhotoSeen, words: &Words) -> String {
    if photo.lights.is_empty() {
        return words.say("photo-no-lamp");
    }
    let lights = photo.lights.iter().map(|(light, lamp)| {
        let what = if lamp.trace.tints.is_empty() {
            words.say("dark")
        } else {
            colour(&lamp.trace, findings.language)
        };
        match light.zip(findings.judged.as_ref()) {
            Some((light, judged)) if judged.table.lights.len() > 1 => {
                format!("{}: {what}", judged.table.lights[light].id)
            }
            _ => what,
        }
    });
    lights.collect::<Vec<_>>().join("; ")
}
