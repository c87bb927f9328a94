//! Clips filmed to see whether a forecast holds.

use lampwise::check::{FPS, Forecast, SECONDS, Verdict};
use lampwise::meaning::Outcome;
use lampwise::render::Shown;
use lampwise::table::{LightTable, Pattern, Shade};

use crate::film::Filming;
use crate::judge::{Clip, in_short, read_all};

/// What became of clips.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Tally {
    pub(crate) right: usize,
    pub(crate) wrong: usize,
    /// Undecided, unlisted or unseen.
    pub(crate) open: usize,
}

impl Tally {
    pub(crate) fn all(self) -> usize {
        self.right + self.wrong + self.open
    }

    pub(crate) fn add(&mut self, other: Self) {
        self.right += other.right;
        self.wrong += other.wrong;
        self.open += other.open;
    }
}

/// What became of clips, by what was forecast of them: safe, close, confusable.
pub(crate) type Tallies = [Tally; 3];

/// Films every row for every frame rate and length that `wanted` names (indices), by so many cameras.
pub(crate) fn trial(
    table: &LightTable,
    forecast: &Forecast,
    wanted: &[(usize, usize)],
    cameras: u64,
    seed: u64,
) -> (Tallies, Vec<String>) {
    let mut clips = Vec::new();
    let mut known = Vec::new();
    for (fps, seconds) in wanted {
        for row in 0..table.meanings.len() {
            for camera in 0..cameras {
                let own =
                    (((seed * 10 + *fps as u64) * 10 + *seconds as u64) * 1000 + row as u64) * 100 + camera;
                clips.push(clip(table, row, (*fps, *seconds), own));
                known.push((row, forecast.rows[row].verdicts[*fps][*seconds]));
            }
        }
    }
    let mut tallies = Tallies::default();
    let mut stories = Vec::new();
    for ((row, verdict), read) in known.into_iter().zip(read_all(table, &clips)) {
        let tally = &mut tallies[verdict as usize];
        match read.reading.outcome {
            Outcome::Decided { row: found } if found == row => tally.right += 1,
            Outcome::Decided { .. } => tally.wrong += 1,
            _ => tally.open += 1,
        }
        let decided = matches!(read.reading.outcome, Outcome::Decided { .. });
        let right = read.reading.outcome == Outcome::Decided { row };
        if !right && (decided || verdict == Verdict::Safe) {
            let word = if decided { "WRONG" } else { "miss" };
            let short = in_short(table, &read.reading);
            stories.push(format!(
                "{word} {verdict:?} {}: {short}\n      {}",
                read.name, read.story
            ));
        }
    }
    (tallies, stories)
}

/// A row filmed from a moment of its cycle, or just before its sequence begins.
fn clip(table: &LightTable, row: usize, (fps, seconds): (usize, usize), seed: u64) -> Clip {
    let mut filming = Filming::any(seed);
    filming.fps = FPS[fps];
    filming.exposure_s = filming.exposure_s.min(0.95 / filming.fps);
    let meaning = &table.meanings[row];
    let dark = Pattern::Constant(Shade::Dark);
    let lamps = (0..table.lights.len()).map(|light| {
        let shown = meaning.shows.iter().find(|show| show.light == light);
        let pattern = shown.map_or(&dark, |show| &show.pattern);
        let from_s = match pattern {
            Pattern::Constant(_) => 0.0,
            Pattern::Cycle(cycle) => filming.moment * cycle.period_s,
            Pattern::Sequence(_) => -0.2,
        };
        (Shown::from(pattern), from_s)
    });
    let lamps: Vec<(Shown, f64)> = lamps.collect();
    let pointed = meaning.shows.iter().all(|show| show.pattern == dark);
    Clip {
        name: format!("{} at {} for {} s", meaning.id, FPS[fps], SECONDS[seconds]),
        lamps,
        seconds: SECONDS[seconds],
        filming,
        pointed,
    }
}
