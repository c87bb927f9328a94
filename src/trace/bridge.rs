//! Flashes that pulse-width dimming cuts in pieces. A short exposure that falls between two pulses shows a lit lamp dark,
//! time and again.

use super::edge::Edge;
use super::runs::Run;
use super::spread::median;

/// What parts two flashes lasts at least so many times as long as what parts two pieces of one; between them lies no other
/// dark (guessed: groups of flashes in use have pauses of two to five times, and are told before this is tried).
const TIMES_LONGER: f64 = 3.0;
/// Longest dark within a flash, seconds (guessed: the eye tells flashes so far apart).
const LONGEST_S: f64 = 0.2;
/// Fewest darks of either sort: so few are no rule.
const FEWEST: usize = 3;

/// Runs with every flash in one piece.
pub(super) struct Bridged {
    pub runs: Vec<Run>,
    /// Pieces of a flash a second.
    pub rate_hz: f64,
}

/// Joins the pieces of flashes; `None` where no darks are so much shorter than all others.
pub(super) fn bridged(runs: &[Run]) -> Option<Bridged> {
    let lasts_s = |run: &Run| run.to.time_s - run.from.time_s;
    let whole = |run: &&Run| run.state.is_none() && !run.open_start && !run.open_end;
    let mut darks_s: Vec<f64> = runs.iter().filter(whole).map(lasts_s).collect();
    darks_s.sort_by(f64::total_cmp);
    let parted = |&i: &usize| darks_s[i] > TIMES_LONGER * darks_s[i - 1];
    let first_long = (FEWEST..=darks_s.len().checked_sub(FEWEST)?).find(parted)?;
    let short_s = darks_s[first_long - 1];
    if short_s > LONGEST_S {
        return None;
    }
    let is_short = |run: &Run| whole(&run) && lasts_s(run) <= short_s;
    let pieces_s = runs.windows(2).filter(|pair| is_short(&pair[1]));
    let piece_s = median(
        pieces_s
            .map(|pair| pair[1].to.time_s - pair[0].from.time_s)
            .collect(),
    )?;
    let mut joined: Vec<Run> = Vec::with_capacity(runs.len());
    for (i, run) in runs.iter().enumerate() {
        if is_short(run) {
            continue;
        }
        let last = i.checked_sub(1).map(|before| is_short(&runs[before]));
        match joined.last_mut().filter(|_| last == Some(true)) {
            Some(flash) if flash.state == run.state => {
                flash.to = run.to;
                flash.open_end = run.open_end;
            }
            _ => joined.push(*run),
        }
    }
    for run in &mut joined {
        // A flash may have begun or ended in a piece that was not seen.
        run.from = wider(run.from, short_s);
        run.to = wider(run.to, short_s);
        run.pair = None;
    }
    Some(Bridged {
        runs: joined,
        rate_hz: 1.0 / piece_s,
    })
}

fn wider(edge: Edge, by_s: f64) -> Edge {
    Edge {
        gap_s: edge.gap_s + by_s,
        ..edge
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// A film at 30 frames a second, `#` lit and `.` dark, before and after.
    #[rstest]
    #[case::pieces(
        "...#.#........###........#..#........#.#........",
        Some("...###........###........####........###........")
    )]
    #[case::too_few("...#.#........###........###........#.#........", None)]
    #[case::groups("...#...#......#...#......#...#......#...#......", None)]
    #[case::whole("....###........###........###........###.......", None)]
    fn flashes_are_joined_where_their_gaps_are_of_another_kind(
        #[case] film: &str,
        #[case] expected: Option<&str>,
    ) {
        let edge = |frame: usize| Edge {
            time_s: frame as f64 / 30.0,
            gap_s: 1.0 / 30.0,
            noise_s: 0.0,
        };
        let mut at = 0;
        let pieces: Vec<&[u8]> = film.as_bytes().chunk_by(|a, b| a == b).collect();
        let count = pieces.len();
        let runs: Vec<Run> = pieces
            .into_iter()
            .enumerate()
            .map(|(index, piece)| {
                at += piece.len();
                Run {
                    state: (piece[0] == b'#').then_some(0),
                    from: edge(at - piece.len()),
                    to: edge(at),
                    pair: None,
                    open_start: index == 0,
                    open_end: index + 1 == count,
                }
            })
            .collect();
        let shown = bridged(&runs).map(|found| {
            let of = |run: &Run| {
                let frames = (30.0 * (run.to.time_s - run.from.time_s)).round() as usize;
                if run.state.is_some() { "#" } else { "." }.repeat(frames)
            };
            found.runs.iter().map(of).collect::<String>()
        });
        assert_eq!(shown.as_deref(), expected);
    }
}
