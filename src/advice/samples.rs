//! A table of an invented device for the tests of advice and report.

use crate::colour::ColourName::{Blue, Red, White};
use crate::meaning::{Episode, Outcome, Reading};
use crate::table::{
    Device, Erases, Kind, Lasts, Light, LightTable, Meaning, Pattern, Shade, Show, Shows, Step, Timed,
};

/// Rows of [`table`].
pub(crate) const STARTING: usize = 0;
pub(crate) const UPDATING: usize = 1;
pub(crate) const READY: usize = 2;
pub(crate) const LOST: usize = 3;
pub(crate) const NO_WATER: usize = 4;
pub(crate) const OFF: usize = 5;

/// Six rows: two that breathe, one fixed, two that are alike, one dark.
pub(crate) fn table() -> LightTable {
    LightTable {
        conditions: vec![],
        translations: Default::default(),
        device: Device {
            name: "Orchard valve controller".into(),
        },
        lights: vec![Light {
            id: "crown".into(),
            label: "the round lamp above the hose inlet".into(),
            colours: vec![White, Blue, Red],
        }],
        meanings: vec![
            row(
                "starting",
                Kind::Booting,
                "Starting up",
                breathing(Blue),
                starting_steps(),
            ),
            row(
                "updating",
                Kind::Updating,
                "Updating its firmware",
                breathing(White),
                vec![todo("Wait until the lamp stops breathing.")],
            ),
            row("ready", Kind::Ready, "Ready", Shows::Fixed(White), vec![]),
            row(
                "lost",
                Kind::Fault,
                "Lost the base station",
                flashing(Red),
                reset_steps(),
            ),
            row(
                "no-water",
                Kind::Fault,
                "No water",
                flashing(Red),
                vec![todo("Open the tap.")],
            ),
            row(
                "off",
                Kind::Off,
                "Dark",
                Shows::Off,
                vec![todo("Look whether the neighbours are dark too.")],
            ),
        ],
    }
}

fn row(id: &str, kind: Kind, title: &str, shows: Shows, next: Vec<Step>) -> Meaning {
    // No report looks at the compiled pattern; a dark one stands in for all.
    let show = Show {
        light: 0,
        shows,
        pattern: Pattern::Constant(Shade::Dark),
    };
    let lasts = (kind == Kind::Booting).then_some(Lasts {
        usual_s: 90.0,
        at_most_s: Some(360.0),
    });
    Meaning {
        id: id.into(),
        kind,
        title: title.into(),
        shows: vec![show],
        lasts,
        next,
        at: 0..0,
    }
}

fn breathing(colour: crate::colour::ColourName) -> Shows {
    Shows::Breathing {
        colour,
        period: Timed {
            seconds: 2.4,
            within: 0.15,
        },
    }
}

fn flashing(colour: crate::colour::ColourName) -> Shows {
    let period = Timed {
        seconds: 1.0,
        within: 0.15,
    };
    Shows::Flashing {
        colour,
        period,
        on_s: (0.4, 0.6),
        group: 1,
        apart_s: None,
    }
}

/// A step with nothing but its text.
pub(crate) fn todo(text: &str) -> Step {
    Step::plain(text)
}

/// A step for a stretch of the time that the state has lasted, and the name under which it is tried.
pub(crate) fn timed(text: &str, (after_s, until_s): (Option<f64>, Option<f64>), tried: Option<&str>) -> Step {
    let mut step = Step::plain(text);
    if let Step::Do {
        after_s: after,
        until_s: until,
        tried: name,
        ..
    } = &mut step
    {
        (*after, *until) = (after_s, until_s);
        *name = tried.map(str::to_owned);
    }
    step
}

pub(crate) fn hand_on(text: &str, after_tried: &[&str]) -> Step {
    Step::HandOn {
        text: text.into(),
        after_tried: after_tried.iter().map(|&name| name.into()).collect(),
        given: None,
        evidence: vec![],
    }
}

fn starting_steps() -> Vec<Step> {
    vec![
        timed(
            "Wait until the lamp changes. Leave the power connected.",
            (None, Some(360.0)),
            None,
        ),
        timed(
            "Check that the supply is the one for this controller.",
            (Some(360.0), None),
            Some("supply"),
        ),
        hand_on("starts but never finishes.", &["supply", "power-cycle"]),
    ]
}

fn reset_steps() -> Vec<Step> {
    let mut reset = timed("Hold the button for 12 s.", (None, None), Some("reset"));
    if let Step::Do { caution, erases, .. } = &mut reset {
        *caution = Some("The valve may open.".into());
        *erases = Erases::Settings;
    }
    vec![
        todo("Stand aside, so that nothing is between the controller and the base station."),
        reset,
        hand_on("never finds the base station.", &["reset"]),
    ]
}

/// A reading of a 9.8 s clip with nothing beside the outcome.
pub(crate) fn reading(outcome: Outcome, confidence: f64) -> Reading {
    let row = match outcome {
        Outcome::Decided { row } => Some(row),
        _ => None,
    };
    let episode = Episode {
        from_s: 0.0,
        to_s: 9.8,
        row,
        confidence,
    };
    Reading {
        outcome,
        confidence,
        rivals: vec![],
        unlisted: 0.0,
        settle: vec![],
        timeline: if outcome == Outcome::Unseen {
            vec![]
        } else {
            vec![episode]
        },
        doubts: vec![],
        grounds: None,
        shown: vec![],
        stays: vec![],
    }
}
