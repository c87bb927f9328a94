//! Findings made by hand, one for every outcome.

use crate::advice::samples::{LOST, NO_WATER, READY, STARTING, UPDATING, reading};
use crate::colour::{ColourName, NameBelief, ReadFrom};
use crate::footage::{ColourCode, Kind, Matrix, Primaries, Span, Summary, Transfer};
use crate::light::Notice;
use crate::meaning::{Doubt, Episode, Outcome, Reading, Rival, Settle};
use crate::table::LightTable;
use crate::trace::{Chroma, Estimate, Flash, Measured, Rhythm, Sample, Sighting, Tint, Trace};

use super::{Findings, Judged, Lamp};

pub(super) fn clip() -> Summary {
    Summary {
        kind: Kind::Clip,
        frames: 294,
        length_s: 9.8,
        fps: 29.97,
        width: 1920,
        height: 1080,
        colour: ColourCode {
            matrix: Matrix::Bt709,
            span: Span::Limited,
            primaries: Primaries::Bt709,
            transfer: Transfer::Bt709,
            assumed: false,
        },
        damaged: 0,
        lost_packets: 0,
        untimed: 0,
        ended_early: false,
    }
}

pub(super) fn photo() -> Summary {
    Summary {
        kind: Kind::Photo,
        frames: 1,
        length_s: 0.0,
        fps: 0.0,
        ..clip()
    }
}

pub(super) fn tint(name: ColourName, probability: f64, other: ColourName, share: f64) -> Tint {
    let mut weights = [0.0; ColourName::ALL.len()];
    weights[name.index()] = probability;
    weights[other.index()] = 1.0 - probability;
    Tint {
        chroma: Chroma {
            u: 0.17,
            v: 0.18,
            sd: 0.002,
        },
        read_from: ReadFrom::CLEAN,
        names: NameBelief::from_weights(weights),
        dominant_nm: Some(465.0),
        purity: 0.9,
        share,
    }
}

fn trace(tints: Vec<Tint>, frames: u32, look: impl Fn(f64) -> (Sighting, f64, Option<usize>)) -> Trace {
    let span_s = 9.8 / f64::from(frames);
    let samples = (0..frames).map(|frame| {
        let time_s = f64::from(frame) * span_s;
        let (sighting, level, tint) = look(time_s + 0.5 * span_s);
        Sample {
            time_s,
            span_s,
            sighting,
            level,
            level_sd: 0.02,
            chroma: tint.map(|t| tints[t].chroma),
            tint,
            turned: None,
        }
    });
    Trace {
        samples: samples.collect(),
        tints,
        beat_hz: None,
        otherwise: None,
    }
}

fn lamp(trace: Trace, measured: Measured) -> Lamp {
    Lamp {
        x: 612.0,
        y: 340.25,
        radius: 7.5,
        score: 0.98,
        trace,
        measured,
        notices: vec![],
        places: vec![],
    }
}

/// Breathes blue, 2.41 s a cycle.
pub(super) fn breathing() -> Lamp {
    let trace = trace(
        vec![tint(ColourName::Blue, 0.99, ColourName::Cyan, 1.0)],
        294,
        |t| {
            let level = 0.5 - 0.5 * (std::f64::consts::TAU * t / 2.41).cos();
            (Sighting::Seen, level, (level > 0.15).then_some(0))
        },
    );
    lamp(
        trace,
        Measured {
            rhythm: Rhythm::Breathing,
            period_s: Some(Estimate {
                value: 2.4123,
                sd: 0.0214,
            }),
            on_s: None,
            flashes: (0..4_u32)
                .map(|i| flash(2.41 * f64::from(i) + 0.3, 1.8))
                .collect(),
            seen_share: 1.0,
            caveats: Vec::new(),
        },
    )
}

pub(super) fn flash(from_s: f64, lasts_s: f64) -> Flash {
    Flash {
        from_s: Estimate {
            value: from_s,
            sd: 0.004,
        },
        to_s: Estimate {
            value: from_s + lasts_s,
            sd: 0.004,
        },
        open_start: false,
        open_end: false,
        tint: Some(0),
    }
}

/// Flashes red, half a second in every second; a finger hides it for the third second.
pub(super) fn flashing() -> Lamp {
    let trace = trace(
        vec![tint(ColourName::Red, 0.72, ColourName::Amber, 1.0)],
        294,
        |t| {
            if (2.0..3.0).contains(&t) {
                (Sighting::Hidden, 0.0, None)
            } else if t.fract() < 0.5 {
                (Sighting::Seen, 1.0, Some(0))
            } else {
                (Sighting::Seen, 0.0, None)
            }
        },
    );
    lamp(
        trace,
        Measured {
            rhythm: Rhythm::Flashing,
            period_s: Some(Estimate {
                value: 1.0004,
                sd: 0.003,
            }),
            on_s: Some(Estimate {
                value: 0.501,
                sd: 0.012,
            }),
            flashes: (0..10_u32)
                .filter(|i| *i != 2)
                .map(|i| flash(f64::from(i), 0.5))
                .collect(),
            seen_share: 0.9,
            caveats: Vec::new(),
        },
    )
}

/// Dark, and found because somebody said where it is.
pub(super) fn dark() -> Lamp {
    let trace = trace(vec![], 294, |_| (Sighting::Seen, 0.0, None));
    lamp(
        trace,
        Measured {
            rhythm: Rhythm::Off,
            period_s: None,
            on_s: None,
            flashes: vec![],
            seen_share: 1.0,
            caveats: Vec::new(),
        },
    )
}

/// White, in one picture.
pub(super) fn still() -> Lamp {
    let tints = vec![tint(ColourName::White, 0.95, ColourName::WarmWhite, 1.0)];
    let trace = trace(tints, 1, |_| (Sighting::Seen, 1.0, Some(0)));
    let measured = Measured {
        rhythm: Rhythm::Unknown,
        period_s: None,
        on_s: None,
        flashes: vec![],
        seen_share: 1.0,
        caveats: Vec::new(),
    };
    lamp(trace, measured)
}

fn judged(table: &LightTable, footage: Summary, lamps: Vec<Lamp>, reading: Reading) -> Findings<'_> {
    let lamp_of_light = vec![(!lamps.is_empty()).then_some(0)];
    Findings {
        footage,
        lamps,
        judged: Some(Judged {
            table,
            reading,
            lamp_of_light,
        }),
        photos: vec![],
        earlier: vec![],
        language: Default::default(),
    }
}

pub(super) fn decided(table: &LightTable) -> Findings<'_> {
    let mut reading = reading(Outcome::Decided { row: STARTING }, 0.9702);
    reading.rivals = vec![
        Rival {
            row: UPDATING,
            probability: 0.0231,
        },
        Rival {
            row: READY,
            probability: 0.0004,
        },
    ];
    reading.unlisted = 0.0063;
    let mut findings = judged(table, clip(), vec![breathing()], reading);
    findings.lamps[0].notices = vec![Notice::HandShake { pixels: 12.4 }];
    findings
}

pub(super) fn undecided(table: &LightTable) -> Findings<'_> {
    let mut reading = reading(Outcome::Undecided, 0.61);
    reading.rivals = vec![
        Rival {
            row: LOST,
            probability: 0.49,
        },
        Rival {
            row: NO_WATER,
            probability: 0.48,
        },
    ];
    reading.unlisted = 0.03;
    reading.timeline[0] = Episode {
        row: Some(LOST),
        confidence: 0.49,
        ..reading.timeline[0]
    };
    reading.settle = vec![Settle::Ask {
        rows: vec![LOST, NO_WATER],
    }];
    reading.doubts = vec![
        Doubt::PartlySeen { share: 0.9 },
        Doubt::NearColours {
            first: ColourName::Red,
            second: ColourName::Amber,
        },
    ];
    let mut other = still();
    (other.x, other.y) = (1400.0, 220.0);
    judged(table, clip(), vec![flashing(), other], reading)
}

pub(super) fn unlisted(table: &LightTable) -> Findings<'_> {
    let mut reading = reading(Outcome::Unlisted, 0.93);
    reading.timeline = vec![
        Episode {
            from_s: 0.0,
            to_s: 2.0,
            row: Some(READY),
            confidence: 0.9,
        },
        Episode {
            from_s: 2.0,
            to_s: 9.8,
            row: None,
            confidence: 0.93,
        },
    ];
    reading.unlisted = 0.93;
    reading.rivals = vec![Rival {
        row: LOST,
        probability: 0.07,
    }];
    judged(table, clip(), vec![flashing()], reading)
}

pub(super) fn unseen(table: &LightTable) -> Findings<'_> {
    let damaged = Summary {
        damaged: 12,
        lost_packets: 6,
        ..clip()
    };
    judged(table, damaged, vec![], reading(Outcome::Unseen, 0.9))
}

/// A place that is hardly a lamp.
pub(super) fn hardly_a_lamp(table: &LightTable) -> Findings<'_> {
    let mut spot = flashing();
    spot.score = 0.2;
    let mut reading = reading(Outcome::Unseen, 1.0);
    reading.rivals = vec![Rival {
        row: LOST,
        probability: 0.04,
    }];
    judged(table, clip(), vec![spot], reading)
}

pub(super) fn from_photo(table: &LightTable) -> Findings<'_> {
    let mut reading = reading(Outcome::Undecided, 0.6);
    reading.timeline.clear();
    reading.rivals = vec![
        Rival {
            row: READY,
            probability: 0.6,
        },
        Rival {
            row: UPDATING,
            probability: 0.4,
        },
    ];
    reading.settle = vec![Settle::FilmInstead { seconds: 4.8 }];
    let assumed = ColourCode {
        assumed: true,
        ..clip().colour
    };
    judged(
        table,
        Summary {
            colour: assumed,
            ..photo()
        },
        vec![still()],
        reading,
    )
}

pub(super) fn without_table(lamps: Vec<Lamp>) -> Findings<'static> {
    Findings {
        footage: clip(),
        lamps,
        judged: None,
        photos: vec![],
        earlier: vec![],
        language: Default::default(),
    }
}
