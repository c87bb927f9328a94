//! What every clip shows, from its index and the seed alone.

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Recipe, Shown};
use lampwise::table::{Pattern, Shade, same_look};
use rand::Rng;
use rand_pcg::Pcg64;

use super::camera::{self, Filmed};
use super::differs;
use super::show::{self, Show};
use super::tables::Listed;

/// What a clip is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// A row, filmed long enough.
    Listed,
    /// A sequence that begins before the clip or ends after it.
    Cut,
    /// One row, then another.
    Change,
    /// Two rows or more that look alike: nobody can tell which.
    Alike,
    /// Something that is in no row.
    Unlisted,
    /// A row, filmed so shortly that nobody could tell.
    Short,
    /// No lamp is lit, and nobody points to one.
    Nothing,
}

impl Kind {
    pub(crate) const ALL: [(Self, &'static str); 7] = [
        (Self::Listed, "listed"),
        (Self::Cut, "sequence cut"),
        (Self::Change, "change"),
        (Self::Alike, "alike"),
        (Self::Unlisted, "unlisted"),
        (Self::Short, "too short"),
        (Self::Nothing, "no light"),
    ];

    pub(crate) fn word(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// One clip to be made and read.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub(crate) index: usize,
    pub(crate) kind: Kind,
    /// Index into the tables.
    pub(crate) table: usize,
    /// The row shown, last shown where there are two; `None` for one that is in no table.
    pub(crate) row: Option<usize>,
    pub(crate) filmed: Filmed,
    pub(crate) recipe: Recipe,
    /// Somebody points to the first lamp: a dark one cannot be found.
    pub(crate) pointed: bool,
}

/// Colours that a forgotten row may have besides those of the table.
const FOREIGN: f64 = 0.2;

/// Least share of the time by which what is "in no row" differs from every row.
const DIFFERS: f64 = 0.15;

/// From this index on clips show no light.
pub(crate) const NOTHING_FROM: usize = 1_000_000;

/// Of sixteen clips ten show a row, three what is in no row, two are too short, one changes.
const KINDS: [Kind; 16] = {
    use Kind::{Change, Listed, Short, Unlisted};
    [
        Listed, Unlisted, Listed, Listed, Short, Listed, Listed, Unlisted, Listed, Change, Listed, Listed,
        Short, Listed, Unlisted, Listed,
    ]
};

impl Job {
    /// The right answer: a row, or `None` for "in no row". Nothing is ever right about a clip that shows no light.
    pub(crate) fn truth(&self) -> Truth {
        match self.kind {
            Kind::Nothing => Truth::Nothing,
            _ => Truth::Answer(self.row),
        }
    }
}

/// What would be right to answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Truth {
    /// A row, or `None` for "in no row".
    Answer(Option<usize>),
    /// That there is no light to be seen.
    Nothing,
}

pub(crate) fn job(index: usize, seed: u64, tables: &[Listed]) -> Job {
    let mut random = Pcg64::new(u128::from(seed) + 77_000, index as u128);
    // Moved on by one each round, so that every kind meets every table.
    let table = (index + index / KINDS.len()) % tables.len();
    let scene = Scene {
        listed: &tables[table],
        random: &mut random,
    };
    let kind = if index < NOTHING_FROM {
        KINDS[index % KINDS.len()]
    } else {
        Kind::Nothing
    };
    let made = scene.make(kind);
    let lamps: Vec<(Shown, f64)> = made.lamps;
    let recipe_seed = seed.wrapping_mul(1_000_003).wrapping_add(index as u64);
    let (mut recipe, filmed) = camera::film(&lamps, made.seconds, recipe_seed, &mut random);
    if made.kind == Kind::Short {
        // An effect that hides the lamp makes the clip longer.
        recipe.seconds = made.seconds;
        recipe.hand.covers.clear();
        recipe.hand.glances.clear();
    }
    if made.kind == Kind::Change {
        stay_to_the_end(&mut recipe);
    }
    let pointed = made.dark;
    Job {
        index,
        kind: made.kind,
        table,
        row: made.row,
        filmed,
        recipe,
        pointed,
    }
}

/// An effect that hides the lamp makes the clip longer, and after a sequence the lamp is dark: what comes last stays.
fn stay_to_the_end(recipe: &mut Recipe) {
    for lamp in &mut recipe.lamps {
        if let Shown::Sequence(stretches) = &mut lamp.shows
            && let Some(last) = stretches.last_mut()
        {
            last.for_s = recipe.seconds;
        }
    }
}

struct Made {
    kind: Kind,
    row: Option<usize>,
    lamps: Vec<(Shown, f64)>,
    seconds: f64,
    /// Every lamp, throughout.
    dark: bool,
}

struct Scene<'s> {
    listed: &'s Listed,
    random: &'s mut Pcg64,
}

impl Scene<'_> {
    fn make(mut self, kind: Kind) -> Made {
        match kind {
            Kind::Unlisted => self.unlisted(),
            Kind::Change => self.change(),
            Kind::Short => self.short(),
            Kind::Nothing => self.nothing(),
            Kind::Listed | Kind::Cut | Kind::Alike => self.row(),
        }
    }

    fn any_row(&mut self) -> usize {
        self.random.random_range(0..self.listed.table.meanings.len())
    }

    fn shows(&mut self, row: usize) -> Vec<Show> {
        let table = &self.listed.table;
        let pace = show::pace(self.random);
        (0..table.lights.len())
            .map(|light| {
                let named = table.meanings[row].shows.iter().find(|show| show.light == light);
                named.map_or_else(show::dark, |named| show::show(&named.pattern, pace, self.random))
            })
            .collect()
    }

    fn is_dark(&self, row: usize) -> bool {
        let mut shows = self.listed.table.meanings[row].shows.iter();
        shows.all(|show| show.pattern == Pattern::Constant(Shade::Dark))
    }

    fn row(&mut self) -> Made {
        let row = self.any_row();
        let shows = self.shows(row);
        let alike = same_look(&self.listed.table)
            .iter()
            .any(|group| group.contains(&row));
        let kind = match shows.iter().any(|show| show.cut) {
            _ if alike => Kind::Alike,
            true => Kind::Cut,
            false => Kind::Listed,
        };
        Made {
            kind,
            row: Some(row),
            seconds: shows.iter().map(|show| show.seconds).fold(0.0, f64::max),
            lamps: shows
                .into_iter()
                .map(|show| (show.shown, show.starts_at_s))
                .collect(),
            dark: self.is_dark(row),
        }
    }

    /// Two rows, one after the other, each filmed as long as it would be alone.
    fn change(&mut self) -> Made {
        let alike: Vec<usize> = same_look(&self.listed.table).concat();
        let table = &self.listed.table;
        let steady: Vec<usize> = (0..table.meanings.len())
            .filter(|row| {
                let mut shows = table.meanings[*row].shows.iter();
                !alike.contains(row) && shows.all(|show| !matches!(show.pattern, Pattern::Sequence(_)))
            })
            .collect();
        let first = steady[self.random.random_range(0..steady.len())];
        let others: Vec<usize> = steady
            .into_iter()
            .filter(|row| *row != first && !(self.is_dark(*row) && self.is_dark(first)))
            .collect();
        let second = others[self.random.random_range(0..others.len())];
        let length_s = |shows: &[Show]| shows.iter().map(|show| show.seconds).fold(0.0, f64::max);
        let (before, after) = (self.shows(first), self.shows(second));
        let (before_s, after_s) = (length_s(&before), length_s(&after));
        let lamps = before
            .into_iter()
            .zip(after)
            .map(|(before, after)| {
                let stretch = |shown, for_s| match shown {
                    Shown::Cycle(cycle) => lampwise::render::Stretch { for_s, cycle },
                    Shown::Sequence(_) => unreachable!("no sequences here"),
                };
                let stretches = vec![stretch(before.shown, before_s), stretch(after.shown, after_s)];
                (Shown::Sequence(stretches), 0.0)
            })
            .collect();
        Made {
            kind: Kind::Change,
            row: Some(second),
            lamps,
            seconds: before_s + after_s,
            dark: false,
        }
    }

    /// Less than half a cycle, or about a second of what does not change or of a beginning.
    fn short(&mut self) -> Made {
        let mut made = self.row();
        while made.dark {
            made = self.row();
        }
        let table = &self.listed.table;
        let shows = &table.meanings[made.row.expect("it shows a row")].shows;
        let moment_s = self.random.random_range(0.4..1.1);
        let half_s = shows
            .iter()
            .map(|show| match &show.pattern {
                Pattern::Cycle(cycle) => 0.55 * cycle.period_s,
                _ => 0.0,
            })
            .fold(0.0, f64::max);
        let has_sequence = shows
            .iter()
            .any(|show| matches!(show.pattern, Pattern::Sequence(_)));
        made.kind = Kind::Short;
        made.seconds = if half_s > moment_s {
            self.random.random_range(0.6..1.0) * half_s
        } else {
            moment_s
        };
        if has_sequence {
            // Into its beginning, and not to its end.
            made.lamps
                .iter_mut()
                .for_each(|lamp| lamp.1 = lamp.1.clamp(-0.2, 0.5));
        }
        made
    }

    /// Dark lamps. A table may have a row for that, which nobody can read who does not know where the lamps are.
    fn nothing(&mut self) -> Made {
        let lights = &self.listed.table.lights;
        Made {
            kind: Kind::Nothing,
            row: None,
            lamps: lights.iter().map(|_| (show::dark().shown, 0.0)).collect(),
            seconds: self.random.random_range(5.0..9.0),
            dark: false,
        }
    }

    /// On the first lamp something that no row has on it; the others are dark.
    fn unlisted(&mut self) -> Made {
        let table = &self.listed.table;
        let beats = loop {
            let beats = self.strange();
            if differs::from_table(&beats, table) >= DIFFERS {
                break beats;
            }
        };
        let period_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
        let seconds = (self.random.random_range(3.1..5.0) * period_s).max(5.0);
        let start_s = self.random.random_range(0.0..period_s);
        let mut lamps = vec![(Shown::Cycle(beats), start_s)];
        lamps.extend(table.lights[1..].iter().map(|_| (show::dark().shown, 0.0)));
        Made {
            kind: Kind::Unlisted,
            row: None,
            lamps,
            seconds,
            dark: false,
        }
    }

    fn colour(&mut self) -> ColourName {
        let colours = &self.listed.table.lights[0].colours;
        if self.random.random::<f64>() < FOREIGN {
            return ColourName::ALL[self.random.random_range(0..ColourName::ALL.len())];
        }
        colours[self.random.random_range(0..colours.len())]
    }

    fn strange(&mut self) -> Vec<Beat> {
        let (colour, other) = (self.colour(), self.colour());
        let random = &mut *self.random;
        let mut log = |from: f64, to: f64| random.random_range(from.ln()..to.ln()).exp();
        match log(1.0, 6.99) as u32 {
            1 => {
                let (period_s, share) = (log(0.3, 4.0), log(0.12, 0.88));
                let on_s = (share * period_s).max(0.1).min(period_s - 0.1);
                vec![Beat::lit(colour, on_s), Beat::dark(period_s - on_s)]
            }
            2 => {
                let (count, on_s, apart_s, pause_s) = (
                    log(2.0, 5.99) as usize,
                    log(0.12, 0.4),
                    log(0.12, 0.5),
                    log(0.6, 1.8),
                );
                let mut beats = [Beat::lit(colour, on_s), Beat::dark(apart_s)].repeat(count);
                beats[2 * count - 1] = Beat::dark(pause_s);
                beats
            }
            3 => vec![
                Beat::lit(colour, log(0.15, 1.2)),
                Beat::lit(other, log(0.15, 1.2)),
            ],
            4 => {
                let half_s = log(0.6, 2.5);
                let (up, down) = (
                    Beat {
                        from: 0.0,
                        ..Beat::lit(colour, half_s)
                    },
                    Beat {
                        to: 0.0,
                        ..Beat::lit(colour, half_s)
                    },
                );
                vec![up, down]
            }
            5 => vec![
                Beat::lit(colour, log(0.5, 1.5)),
                Beat::dark(log(0.15, 0.8)),
                Beat::lit(other, log(0.12, 0.4)),
                Beat::dark(log(0.15, 0.8)),
            ],
            _ => vec![Beat::lit(colour, 1.0)],
        }
    }
}
