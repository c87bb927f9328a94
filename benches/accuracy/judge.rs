//! What was made of one clip against what it shows.

use std::f64::consts::SQRT_2;

use lampwise::colour::{ColourName, NameBelief, ReadFrom};
use lampwise::light::{Followed, Sighting};
use lampwise::render::{Shown, Truth};
use lampwise::trace::{self, Chroma, Measured, Rhythm, Tint, Trace};
use statrs::function::erf::erf;

use super::left_open;
use super::plan::Job;

/// Distance beyond the lamp's radius that still counts as found, pixels.
const BESIDE_PX: f64 = 3.0;
/// Cycles in view from which the period must be right.
const CYCLES: f64 = 5.0;
/// Largest error of a right period, as a share.
const PERIOD_OFF: f64 = 0.005;
/// Error of a right on-time beyond half an exposure, seconds.
const ON_OFF_S: f64 = 0.010;
/// Level below which a frame counts as dark.
const DARK: f64 = 0.5;
/// Probability from which a second name counts as said.
const SAID: f64 = 0.2;
/// Probability from which a name counts as said without doubt.
const SURE: f64 = 0.8;

/// Names that cannot always be told apart where the white balance is unknown.
const NEAR: [(ColourName, ColourName); 5] = [
    (ColourName::Red, ColourName::Amber),
    (ColourName::Amber, ColourName::Yellow),
    (ColourName::Green, ColourName::White),
    (ColourName::White, ColourName::WarmWhite),
    // What a pale blue is taken for.
    (ColourName::White, ColourName::Cyan),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Colour {
    Right,
    /// A near pair, both of it said, one of them right.
    Both,
    Wrong,
    /// Wrong, and said without doubt.
    WrongAndSure,
}

/// How one clip was read. `None` where there is nothing to judge: everything else of a lamp that was not
/// found, and periods of lamps that have none or were seen for too few cycles.
#[derive(Debug)]
pub(crate) struct Judged {
    pub(crate) job: Job,
    pub(crate) found: bool,
    pub(crate) colour: Option<Colour>,
    pub(crate) rhythm_right: Option<bool>,
    pub(crate) period_right: Option<bool>,
    /// Whether the frames tell the period to within that; not judged where the light has no abrupt changes.
    pub(crate) period_told: Option<bool>,
    /// How likely the period is right by its own stated deviation, if it was given.
    pub(crate) period_promised: Option<f64>,
    /// Its error over its own stated deviation, if it was given.
    pub(crate) period_off_by: Option<f64>,
    /// Error of the on-time, and half an exposure and a bit, seconds. An on-time that was not given counts
    /// as endlessly wrong.
    pub(crate) on_off_s: Option<(f64, f64)>,
    /// Frames in which the lamp was covered or outside, and those of them that count as seen.
    pub(crate) away: (usize, usize),
    /// Of those, the ones that count as dark.
    pub(crate) dark_away: usize,
    /// Frames in which it was in view, and those of them that count as seen.
    pub(crate) in_view: (usize, usize),
    /// What was wrong, in words.
    pub(crate) wrong: Vec<String>,
}

pub(crate) fn judge(job: Job, truth: &Truth, lamps: &[Followed]) -> Judged {
    let mut judged = Judged {
        found: false,
        colour: None,
        rhythm_right: None,
        period_right: None,
        period_told: None,
        period_promised: None,
        period_off_by: None,
        on_off_s: None,
        away: (0, 0),
        dark_away: 0,
        in_view: (0, 0),
        wrong: Vec::new(),
        job,
    };
    let Some(lamp) = lamps.first() else {
        judged.wrong.push("no lamp found".to_owned());
        return judged;
    };
    judged.place(lamp, truth, lamps);
    if !judged.found {
        return judged;
    }
    let trace = trace::build(lamp);
    let measured = trace::measure(&trace, clipped(lamp));
    judged.dark_away(&trace, truth);
    judged.colour(&trace);
    judged.time(&measured, truth);
    judged
}

impl Judged {
    fn place(&mut self, lamp: &Followed, truth: &Truth, lamps: &[Followed]) {
        let allowed = truth.lamps[0].radius_px + BESIDE_PX;
        self.found = distance(lamp, truth).is_some_and(|px| px <= allowed);
        if !self.found {
            let rank = lamps
                .iter()
                .position(|lamp| distance(lamp, truth).is_some_and(|px| px <= allowed));
            self.wrong.push(match (distance(lamp, truth), rank) {
                (None, _) => "never seen while it was in view".to_owned(),
                (Some(px), Some(rank)) => {
                    format!("{px:.0} px off; it is lamp {} of {}", rank + 1, lamps.len())
                }
                (Some(px), None) => format!("{px:.0} px off; none of {} lamps is it", lamps.len()),
            });
            return;
        }
        for (glimpse, frame) in lamp.glimpses.iter().zip(&truth.frames) {
            let shown = frame.lamps[0];
            let counts = if shown.hidden || !shown.in_frame {
                &mut self.away
            } else {
                &mut self.in_view
            };
            counts.0 += 1;
            counts.1 += usize::from(glimpse.sighting == Sighting::Seen);
        }
        if self.away.1 * 20 > self.away.0 {
            self.wrong.push(format!(
                "{} of {} frames away count as seen",
                self.away.1, self.away.0
            ));
        }
    }

    fn dark_away(&mut self, trace: &Trace, truth: &Truth) {
        let frames = trace.samples.iter().zip(&truth.frames);
        self.dark_away = frames
            .filter(|(sample, frame)| {
                let shown = frame.lamps[0];
                let away = shown.hidden || !shown.in_frame;
                away && sample.sighting == Sighting::Seen && sample.level < DARK
            })
            .count();
    }

    fn colour(&mut self, trace: &Trace) {
        let colours = self.colours();
        let tints = &trace.tints[..colours.len().min(trace.tints.len())];
        // Of several colours in turn, each must be among those seen.
        let worst = colours.iter().map(|&colour| {
            let each = tints.iter().map(|tint| named(&tint.names, colour));
            each.min_by_key(|named| *named as u8).unwrap_or(Colour::Wrong)
        });
        let worst = worst.max_by_key(|named| *named as u8).unwrap_or(Colour::Wrong);
        self.colour = Some(worst);
        if worst != Colour::Right {
            let said: Vec<String> = tints.iter().map(said).collect();
            let colours: Vec<&str> = colours.iter().map(|colour| colour.as_str()).collect();
            self.wrong.push(format!(
                "colour {} read as {}",
                colours.join(" + "),
                said.join(" / ")
            ));
        }
    }

    fn time(&mut self, measured: &Measured, truth: &Truth) {
        let lamp = &truth.lamps[0];
        let Some(period_s) = lamp.period_s else {
            self.rhythm_right = Some(measured.rhythm == Rhythm::Fixed);
            if measured.rhythm != Rhythm::Fixed {
                self.wrong.push(format!("steady read as {:?}", measured.rhythm));
            }
            return;
        };
        let share = self.in_view.0 as f64 / truth.frames.len() as f64;
        if share * self.job.recipe.seconds / period_s < CYCLES {
            return;
        }
        let expected = self.rhythm(lamp.flashes);
        self.rhythm_right = Some(measured.rhythm == expected);
        if measured.rhythm != expected {
            self.wrong
                .push(format!("{expected:?} read as {:?}", measured.rhythm));
        }
        let off = measured.period_s.map(|period| period.value / period_s - 1.0);
        let right = off.is_some_and(|off| off.abs() <= PERIOD_OFF);
        self.period_right = Some(right);
        let open = left_open::of_period(truth, self.job.recipe.camera.exposure_s);
        self.period_told = open.map(|open| open <= PERIOD_OFF);
        self.period_promised = measured
            .period_s
            .map(|period| erf(PERIOD_OFF * period.value / (SQRT_2 * period.sd)));
        self.period_off_by = measured
            .period_s
            .map(|period| (period.value - period_s) / period.sd);
        if !right {
            let said = off.map_or("none".to_owned(), |off| format!("{:+.1} %", 100.0 * off));
            let open = open.map_or(String::new(), |open| {
                format!(" (its frames leave {:.2} % open)", 100.0 * open)
            });
            self.wrong.push(format!("period {period_s:.3} s: {said}{open}"));
        }
        if let (Some(on_s), Rhythm::Flashing | Rhythm::GroupFlashing { .. }) = (lamp.on_s, expected) {
            let allowed_s = 0.5 * self.job.recipe.camera.exposure_s + ON_OFF_S;
            let off_s = measured.on_s.map_or(f64::INFINITY, |on| on.value - on_s);
            self.on_off_s = Some((off_s.abs(), allowed_s));
            if off_s.abs() > allowed_s && off_s.is_finite() {
                self.wrong
                    .push(format!("on-time {on_s:.3} s: {:+.0} ms", 1e3 * off_s));
            }
        }
    }

    /// The different colours that the lamp shows.
    fn colours(&self) -> Vec<ColourName> {
        let Shown::Cycle(beats) = &self.job.recipe.lamps[0].shows else {
            unreachable!("the patterns are cycles");
        };
        let mut colours: Vec<ColourName> = beats.iter().filter_map(|beat| beat.colour).collect();
        colours.sort_unstable();
        colours.dedup();
        colours
    }

    fn rhythm(&self, flashes: usize) -> Rhythm {
        let Shown::Cycle(beats) = &self.job.recipe.lamps[0].shows else {
            unreachable!("the patterns are cycles");
        };
        if beats
            .iter()
            .any(|beat| beat.colour.is_some() && beat.from < beat.to)
        {
            return Rhythm::Breathing;
        }
        match flashes {
            0 => Rhythm::Alternating,
            1 => Rhythm::Flashing,
            count => Rhythm::GroupFlashing { count },
        }
    }
}

/// The two likeliest names of a tint, and what they were read from.
pub(crate) fn said(tint: &Tint) -> String {
    let ranked = tint.names.ranked();
    let Chroma { u, v, sd } = tint.chroma;
    let from = match tint.read_from {
        ReadFrom::Lamp { clipped, alone } => format!(
            "lamp{}, {:.0} % clipped",
            if alone { "" } else { " with its lens" },
            100.0 * clipped
        ),
        ReadFrom::Halo => "halo".to_owned(),
    };
    format!(
        "{} {:.2}, {} {:.2} (u' {u:.3}, v' {v:.3}, sd {sd:.3}, of {from})",
        ranked[0].0, ranked[0].1, ranked[1].0, ranked[1].1
    )
}

/// How a lamp of a colour was named.
pub(crate) fn named(names: &NameBelief, colour: ColourName) -> Colour {
    let ranked = names.ranked();
    let (first, second) = (ranked[0], ranked[1]);
    if first.0 == colour {
        return Colour::Right;
    }
    let pair = (first.0, second.0);
    let near = NEAR
        .iter()
        .any(|&(one, other)| pair == (one, other) || pair == (other, one));
    if near && second.0 == colour && second.1 >= SAID {
        Colour::Both
    } else if first.1 >= SURE {
        Colour::WrongAndSure
    } else {
        Colour::Wrong
    }
}

/// Root mean square distance of the followed place from the first lamp, pixels, over the frames in which both
/// are in view; `None` where there are none.
fn distance(lamp: &Followed, truth: &Truth) -> Option<f64> {
    let squares: Vec<f64> = lamp
        .glimpses
        .iter()
        .zip(&truth.frames)
        .filter(|(glimpse, frame)| {
            let shown = frame.lamps[0];
            glimpse.sighting == Sighting::Seen && shown.in_frame && !shown.hidden
        })
        .map(|(glimpse, frame)| {
            let (dx, dy) = (
                glimpse.place.0 - frame.lamps[0].x_px,
                glimpse.place.1 - frame.lamps[0].y_px,
            );
            dx * dx + dy * dy
        })
        .collect();
    (!squares.is_empty()).then(|| (squares.iter().sum::<f64>() / squares.len() as f64).sqrt())
}

/// Share of the lamp's lit light on clipped pixels, as the pipeline has it.
pub(crate) fn clipped(lamp: &Followed) -> f64 {
    let seen = || {
        lamp.glimpses
            .iter()
            .filter(|glimpse| glimpse.sighting == Sighting::Seen)
    };
    let top = seen().map(|glimpse| glimpse.excess).fold(0.0, f64::max);
    let lit: Vec<f64> = seen()
        .filter(|glimpse| glimpse.excess > 0.5 * top)
        .map(|glimpse| glimpse.clipped)
        .collect();
    lit.iter().sum::<f64>() / lit.len().max(1) as f64
}
