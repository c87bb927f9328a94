//! What became of one clip.

use lampwise::meaning::{Outcome, Reading, Settle};
use lampwise::render::{Beat, Lamp, Shown};
use lampwise::table::{LightTable, Pattern, Shade, same_look};

use super::effects::Strength;
use super::keep::Candidate;
use super::plan::{Job, Kind, Truth};
use super::tables::Listed;

/// Distance beyond the lamp's radius that still counts as found, pixels. The hand shakes.
const BESIDE_PX: f64 = 25.0;

pub(crate) struct Judged {
    pub(crate) job: Job,
    pub(crate) seen: Vec<Candidate>,
    pub(crate) lamp_of_light: Vec<Option<usize>>,
    pub(crate) identity: f64,
    pub(crate) reading: Reading,
    /// Time that the inference took.
    pub(crate) seconds: f64,
}

/// What the reading is, against the truth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// What the clip is for was said.
    Right,
    /// A row was decided that is not it.
    Wrong,
    /// Nothing decided, with the truth among the rivals: of an unseen one, what it would be if that is the lamp.
    Open,
    /// Undecided without it.
    Lost,
    /// Called "in no row" although it is in one.
    Unheard,
    /// No lamp was found.
    Unseen,
}

impl Judged {
    /// Whether the targets hold for it: filmed so that somebody could tell.
    pub(crate) fn counts(&self) -> bool {
        self.job.filmed.strength != Strength::Brutal
    }

    pub(crate) fn verdict(&self, tables: &[Listed]) -> Verdict {
        let reading = &self.reading;
        match (self.job.kind, reading.outcome, self.job.row) {
            (Kind::Short | Kind::Nothing, Outcome::Unseen, _) => Verdict::Right,
            (Kind::Short | Kind::Nothing, Outcome::Undecided, _) => Verdict::Right,
            (Kind::Nothing, Outcome::Decided { row }, _) if is_dark(&tables[self.job.table].table, row) => {
                Verdict::Right
            }
            (Kind::Short | Kind::Alike | Kind::Nothing, Outcome::Decided { .. }, _) => Verdict::Wrong,
            (Kind::Alike, Outcome::Undecided, Some(row)) if self.asks_for(row, tables) => Verdict::Right,
            (Kind::Unlisted, Outcome::Unlisted, _) => Verdict::Right,
            (_, Outcome::Unlisted, _) => Verdict::Unheard,
            (_, Outcome::Decided { row }, truth) if Some(row) == truth => Verdict::Right,
            (_, Outcome::Decided { .. }, _) => Verdict::Wrong,
            (_, Outcome::Undecided | Outcome::Unseen, Some(row))
                if reading.rivals.iter().any(|rival| rival.row == row) =>
            {
                Verdict::Open
            }
            (_, Outcome::Unseen, _) => Verdict::Unseen,
            (Kind::Unlisted, Outcome::Undecided, _) if reading.unlisted >= 0.005 => Verdict::Open,
            (_, Outcome::Undecided, _) => Verdict::Lost,
        }
    }

    /// Whether every lamp of the device that lights up is among the candidates: else the inference cannot be blamed.
    pub(crate) fn all_found(&self, lights: usize) -> bool {
        let lamps = self.job.recipe.lamps.iter().take(lights);
        let near = |lamp: &Lamp| {
            let beside = |found: &Candidate| (found.at_px.0 - lamp.x_px).hypot(found.at_px.1 - lamp.y_px);
            self.seen
                .iter()
                .any(|found| beside(found) <= lamp.radius_px + BESIDE_PX)
        };
        lamps.filter(|lamp| lights_up(&lamp.shows)).all(near)
    }

    fn asks_for(&self, row: usize, tables: &[Listed]) -> bool {
        let groups = same_look(&tables[self.job.table].table);
        let group = groups.iter().find(|group| group.contains(&row));
        let asked = |settle: &Settle| matches!(settle, Settle::Ask { rows } if Some(rows) == group);
        self.reading.settle.iter().any(asked)
    }

    /// The likeliest answer.
    pub(crate) fn likeliest(&self) -> Option<Truth> {
        self.answer().map(|(answer, _)| Truth::Answer(answer))
    }

    /// The likeliest answer, a row or `None` for "in no row", with the confidence in it.
    pub(crate) fn answer(&self) -> Option<(Option<usize>, f64)> {
        let reading = &self.reading;
        match reading.outcome {
            Outcome::Unseen => None,
            Outcome::Decided { row } => Some((Some(row), reading.confidence)),
            Outcome::Unlisted => Some((None, reading.confidence)),
            Outcome::Undecided => {
                let row = reading.rivals.first();
                match row {
                    Some(rival) if rival.probability >= reading.unlisted => {
                        Some((Some(rival.row), rival.probability))
                    }
                    _ => Some((None, reading.unlisted)),
                }
            }
        }
    }
}

fn lights_up(shows: &Shown) -> bool {
    let lit = |beats: &[Beat]| beats.iter().any(|beat| beat.colour.is_some());
    match shows {
        Shown::Cycle(beats) => lit(beats),
        Shown::Sequence(stretches) => stretches.iter().any(|stretch| lit(&stretch.cycle)),
    }
}

fn is_dark(table: &LightTable, row: usize) -> bool {
    let mut shows = table.meanings[row].shows.iter();
    shows.all(|show| show.pattern == Pattern::Constant(Shade::Dark))
}
