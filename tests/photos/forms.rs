//! The same lamp in every form and colour space: the same chromaticity, and the same reading.

use std::fs;

use lampwise::colour::ColourName;
use lampwise::meaning::Outcome;
use lampwise::pipeline::{Options, read};
use lampwise::table::{LightTable, parse};
use lampwise::trace::Chroma;
use lampwise::words::Language;
use rstest::rstest;

use crate::icc::{ADOBE_RGB, DISPLAY_P3, SRGB, Space};
use crate::lamp::{DIM, photo};
use crate::write::{Form, write};

/// A lamp that has no rhythm: a photo decides.
pub(crate) const STEADY: &str = r#"
schema = 1
[device]
name = "Pump house door"
[[light]]
id = "door"
label = "the lamp beside the door"
colours = ["red", "green", "blue"]
[[meaning]]
id = "locked"
kind = "ready"
title = "Locked"
shows.door = { fixed = "red" }
[[meaning]]
id = "open"
kind = "ready"
title = "Open"
shows.door = { fixed = "green" }
[[meaning]]
id = "service"
kind = "other"
title = "Service mode"
shows.door = { fixed = "blue" }
"#;

pub(crate) fn table(text: &str) -> LightTable {
    parse("door.toml", text).unwrap()
}

pub(crate) fn options() -> Options {
    Options {
        at: None,
        threshold: 0.9,
        slowed_by: 1.0,
        threads: None,
        language: Language::English,
    }
}

struct Answer {
    chroma: Chroma,
    outcome: Outcome,
    likeliest: usize,
}

fn ask(bytes: &[u8], table: &LightTable) -> Answer {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo");
    fs::write(&path, bytes).unwrap();
    let findings = read(&path, Some(table), &options()).unwrap();
    let reading = &findings.judged.as_ref().unwrap().reading;
    let (_, lamp) = findings.lights()[0];
    Answer {
        chroma: lamp.trace.tints[0].chroma,
        outcome: reading.outcome,
        likeliest: match reading.outcome {
            Outcome::Decided { row } => row,
            _ => reading.rivals[0].row,
        },
    }
}

/// Where nothing is lost, the chromaticity is the same to within what 8 bits leave (0.003 in u'v'); a coder that loses
/// blurs the colours of the small lamp, so there only the reading is held to be the same (flat colours: `spaces.rs`).
#[rstest]
#[ignore = "red: some lamps are more than 0.003 in u'v' off in another colour space, and the cause is not found yet"]
fn a_lamp_is_read_alike_in_every_form_and_space(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue)] colour: ColourName,
    #[values(1, 2, 3)] seed: u64,
) {
    let table = table(STEADY);
    let row = match colour {
        ColourName::Red => 0,
        ColourName::Green => 1,
        _ => 2,
    };
    let still = photo(seed, Some(colour), DIM);
    let plain = ask(&write(&still.coded(&SRGB), Form::Png, None).unwrap(), &table);
    assert_eq!(plain.likeliest, row, "{:?}", plain.outcome);
    let spaces: [(&str, &Space, bool); 4] = [
        ("no profile", &SRGB, false),
        ("sRGB", &SRGB, true),
        ("Display P3", &DISPLAY_P3, true),
        ("Adobe RGB", &ADOBE_RGB, true),
    ];
    for (name, space, with_profile) in spaces {
        let picture = still.coded(space);
        let icc = with_profile.then(|| space.icc());
        for form in [Form::Png, Form::WebP, Form::Jpeg, Form::Heic, Form::Avif] {
            let Some(bytes) = write(&picture, form, icc.as_deref()) else {
                eprintln!("skipped: this machine's FFmpeg has no encoder for {form:?}");
                continue;
            };
            let answer = ask(&bytes, &table);
            let off = (answer.chroma.u - plain.chroma.u).hypot(answer.chroma.v - plain.chroma.v);
            eprintln!("{form:?} in {name}: {off:.4}");
            assert!(form.loss() > 0 || off < 0.003, "{form:?} in {name}: {off:.4} off");
            assert_eq!(answer.likeliest, row, "{form:?} in {name}");
        }
    }
}
