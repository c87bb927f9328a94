//! The repeating shape of a row of runs: how many runs make a cycle, and how long it lasts.

use super::edge::Edge;
use super::line::{Change, Line};
use super::measured::Estimate;
use super::period::{self, Seen};
use super::runs::Run;

/// A cycle found in runs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cycle {
    /// Runs in one cycle.
    pub runs: usize,
    pub period_s: Estimate,
}

/// Runs that one cycle may have at most: a group of eight flashes.
const MOST_RUNS: usize = 16;

/// The shortest cycle that explains the runs: after every `n` runs the same states come with the same
/// durations. `None` if nothing repeats or less than one whole cycle was seen.
///
/// The longest stretch in which the light was never hidden says what the cycle is; the others make the period more
/// exact where it is sure how many cycles lie between. It is first the slope of a straight line ([`Line`]);
/// [`period::refined`] then minds that a change that fell between two exposures is somewhere in a gap and not about its
/// middle.
pub(super) fn find(runs: &[Run], frame_s: f64) -> Option<Cycle> {
    let stretches = stretches(runs, frame_s);
    let longest = (0..stretches.len()).rev().max_by_key(|&i| stretches[i].len())?;
    (1..=MOST_RUNS).find_map(|n| {
        let alone = fit(&stretches[longest], n, frame_s)?;
        let (changes, line) = joined(&stretches, longest, alone, n, frame_s);
        Some(Cycle {
            runs: n,
            period_s: period(&changes, n, &line),
        })
    })
}

/// Least noise of a change, as a share of a frame: time stamps are whole ticks of a clock (guessed).
const LEAST_NOISE: f64 = 0.01;

/// The changes, where one run meets the next, of each stretch in which the light was never hidden.
fn stretches(runs: &[Run], frame_s: f64) -> Vec<Vec<Change>> {
    let mut stretches = vec![Vec::new()];
    for pair in runs.windows(2) {
        if pair[0].open_end || pair[1].open_start {
            stretches.push(Vec::new());
        } else if let Some(changes) = stretches.last_mut() {
            changes.push(Change {
                edge: Edge {
                    noise_s: pair[1].from.noise_s.max(LEAST_NOISE * frame_s),
                    ..pair[1].from
                },
                pair: pair[1].pair,
                to: pair[1].state,
                ordinal: changes.len().cast_signed(),
            });
        }
    }
    stretches
}

/// The changes of the longest stretch with those of all others whose number is sure, and the line through them.
fn joined(
    stretches: &[Vec<Change>],
    longest: usize,
    mut line: Line,
    n: usize,
    frame_s: f64,
) -> (Vec<Change>, Line) {
    let mut changes = stretches[longest].clone();
    // From the longest outwards, so that each needs the line to reach no farther than to the next.
    let outwards = (0..longest).rev().chain(longest + 1..stretches.len());
    for stretch in outwards
        .map(|i| &stretches[i])
        .filter(|stretch| !stretch.is_empty())
    {
        let Some(first) = first_ordinal(stretch, &changes, &line, n, frame_s) else {
            continue;
        };
        let mut all = changes.clone();
        all.extend(stretch.iter().enumerate().map(|(i, change)| Change {
            ordinal: first + i.cast_signed(),
            ..*change
        }));
        if let Some(better) = fit(&all, n, frame_s) {
            (changes, line) = (all, better);
        }
    }
    (changes, line)
}

/// Which number the first change of a stretch has, if only one will do.
fn first_ordinal(stretch: &[Change], known: &[Change], line: &Line, n: usize, frame_s: f64) -> Option<isize> {
    /// How much worse the next best number must be, against the best one and what the line may be off.
    const TIMES_WORSE: f64 = 2.0;
    const LINE_SDS: f64 = 3.0;
    let leads_to = |ordinal: isize| {
        let place = ordinal.rem_euclid(n.cast_signed()).cast_unsigned();
        known
            .iter()
            .find(|change| change.place(n) == place)
            .map(|change| change.to)
    };
    let off_s = |first: isize| -> Option<f64> {
        let mut sum = 0.0;
        for (ordinal, change) in (first..).zip(stretch) {
            if leads_to(ordinal)? != change.to {
                return None;
            }
            sum += (line.expected_s(ordinal)? - change.edge.time_s).abs();
        }
        Some(sum / stretch.len() as f64)
    };
    let cycles = (stretch[0].edge.time_s - line.expected_s(0)?) / line.period_s();
    // Wide enough that the right one and its neighbours on both sides are among them.
    let about = (cycles.round() as isize) * n.cast_signed();
    let reach = 2 * n.cast_signed();
    let mut off: Vec<(f64, isize)> = (about - reach..=about + reach)
        .filter_map(|first| Some((off_s(first)?, first)))
        .collect();
    off.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (&(best_s, first), &(next_s, _)) = (off.first()?, off.get(1)?);
    let line_s = LINE_SDS * line.expected_sd_s(first);
    (best_s < line_s + allowed_s(line, frame_s) && next_s > TIMES_WORSE * (best_s + line_s)).then_some(first)
}

/// Jitter of a change that a regular device and a camera's clock may show: one frame, and a few per cent of the period.
fn allowed_s(line: &Line, frame_s: f64) -> f64 {
    const JITTER_OF_PERIOD: f64 = 0.03;
    0.9 * frame_s + JITTER_OF_PERIOD * line.period_s()
}

/// The line through changes that are cycles of `n`; `None` if they are not.
fn fit(changes: &[Change], n: usize, frame_s: f64) -> Option<Line> {
    /// Share of the changes that may be off by more than allowed, and how many times as much: time stamps of phones are
    /// off by a frame here and there, while a rhythm of more flashes differs in a quarter of its changes or more (guessed).
    const STRAY: f64 = 0.125;
    const MOST_STRAY: f64 = 2.5;
    // At least one whole cycle, and for longer cycles two, since any few runs look like one long cycle.
    let least = if n <= 2 { n + 1 } else { 2 * n };
    let mut to = vec![None; n];
    let alike = |change: &Change| *to[change.place(n)].get_or_insert(change.to) == change.to;
    if changes.len() < least || !changes.iter().all(alike) {
        return None;
    }
    let line = Line::through(changes, n)?;
    let allowed_s = allowed_s(&line, frame_s);
    let off_s: Vec<f64> = changes.iter().map(|change| line.residual(change).abs()).collect();
    let beyond = |times: f64| off_s.iter().filter(|off_s| **off_s > times * allowed_s).count();
    let strays = beyond(1.0) as f64 > STRAY * changes.len() as f64 || beyond(MOST_STRAY) > 0;
    (!strays).then_some(line)
}

/// A swell passes its middle earlier or later as the camera sets its exposure, and a clip of a cycle or two cannot show by
/// how much: then each passing is taken to be off by so much of the whole way (guessed; a real lamp that clips was off by
/// about that).
const SWELL_OFF: f64 = 0.1;

/// A change as uncertain as that, if the light swells; the way up and the way down last no longer than a cycle.
fn of_swell(change: &Change, period_s: f64) -> Change {
    let way_s = change.edge.way_s.min(0.5 * period_s);
    Change {
        edge: Edge {
            noise_s: change.edge.noise_s.hypot(SWELL_OFF * way_s),
            ..change.edge
        },
        ..*change
    }
}

fn period(changes: &[Change], n: usize, line: &Line) -> Estimate {
    /// Changes beyond those that the line is laid through that show how much all scatter.
    const SHOW_SCATTER: usize = 3;
    let period = as_seen(changes, n, line);
    let swells = changes.iter().any(|change| change.edge.way_s > 0.0);
    if !swells || changes.len() >= n + 1 + SHOW_SCATTER {
        return period;
    }
    let of_swell = |change| of_swell(change, period.value);
    let uncertain: Vec<Change> = changes.iter().map(of_swell).collect();
    let sd = Line::through(&uncertain, n).map_or(0.0, |line| line.estimate().sd);
    Estimate {
        sd: period.sd.max(sd),
        ..period
    }
}

/// The period by what is known of each change.
fn as_seen(changes: &[Change], n: usize, line: &Line) -> Estimate {
    // A device that is less regular than the camera is sharp has no edges in the gaps to hold on to.
    if line.scatter() > MOST_SCATTER {
        return Line::through_most(changes, n).map_or_else(|| line.estimate(), |most| most.estimate());
    }
    let seen = |change: &Change| Seen::new(change.edge, change.pair, (change.place(n), change.cycle(n)));
    let seen: Vec<Seen> = changes.iter().map(seen).collect();
    period::refined(&seen, n, line.estimate())
}

/// Seen over stated variance of the changes above which the device itself is irregular: not once in a hundred times
/// by chance with ten changes.
const MOST_SCATTER: f64 = 2.3;

#[cfg(test)]
mod tests {
    use super::*;

    fn runs(durations: &[(Option<usize>, f64)], offset: f64) -> Vec<Run> {
        let edge = |time_s| Edge {
            time_s,
            gap_s: 0.0,
            noise_s: 0.01,
            way_s: 0.0,
        };
        let mut at = offset;
        let mut out: Vec<Run> = durations
            .iter()
            .map(|&(state, lasts)| {
                at += lasts;
                Run {
                    state,
                    from: edge(at - lasts),
                    to: edge(at),
                    pair: None,
                    open_start: false,
                    open_end: false,
                }
            })
            .collect();
        out.first_mut().unwrap().open_start = true;
        out.last_mut().unwrap().open_end = true;
        out
    }

    // CiA 303-3 double flash: 200 ms on, 200 off, 200 on, 1000 off.
    #[test]
    fn double_flash_is_one_cycle_of_four_runs() {
        let cycle = [(Some(0), 0.2), (None, 0.2), (Some(0), 0.2), (None, 1.0)].repeat(5);
        let found = find(&runs(&cycle, 0.3), 1.0 / 30.0).unwrap();
        assert_eq!(found.runs, 4);
        assert!((found.period_s.value - 1.6).abs() < 1e-9, "{found:?}");
    }

    /// Covered for a while in the middle: the period is as exact as over the whole clip, which is not a whole number of
    /// periods of the first stretch alone.
    #[test]
    fn a_gap_in_view_does_not_part_the_cycles() {
        let blink: Vec<_> = [(Some(0), 0.3), (None, 0.4)].repeat(12);
        let mut seen = runs(&blink, 0.0);
        // Each change is off by up to 5 ms, by hand and without a pattern.
        let off = [3.0, -5.0, 1.0, 4.0, -2.0, -4.0, 5.0, 0.0, -3.0, 2.0];
        for (i, run) in seen.iter_mut().enumerate() {
            run.from.time_s += 1e-3 * off[i % off.len()];
        }
        let whole = find(&seen, 1.0 / 30.0).unwrap();
        seen.drain(9..15);
        seen[8].open_end = true;
        seen[9].open_start = true;
        let found = find(&seen, 1.0 / 30.0).unwrap();
        let first = find(&seen[..9], 1.0 / 30.0).unwrap();
        assert_eq!(found.runs, 2);
        assert!((found.period_s.value - 0.7).abs() < 0.001, "{found:?}");
        assert!(
            found.period_s.sd < 1.2 * whole.period_s.sd,
            "{found:?}, {whole:?}"
        );
        assert!(
            found.period_s.sd < 0.4 * first.period_s.sd,
            "{found:?}, {first:?}"
        );
    }

    /// After a gap so long that the first cycles do not say how many have gone by, the longer stretch speaks alone.
    #[test]
    fn what_lies_too_far_off_is_left() {
        let blink: Vec<_> = [(Some(0), 0.1), (None, 0.1)].repeat(4);
        let mut seen = runs(&blink, 0.0);
        let far = runs(&blink[..5], 40.09);
        seen.extend(far);
        let found = find(&seen, 1.0 / 30.0).unwrap();
        let alone = find(&seen[..8], 1.0 / 30.0).unwrap();
        assert_eq!(found.period_s, alone.period_s);
    }

    /// A blink of one period, of whose changes one in ten is stamped a frame and a half late.
    #[test]
    fn a_stray_time_stamp_makes_no_longer_rhythm() {
        let mut blink: Vec<_> = [(Some(0), 0.3), (None, 0.3)].repeat(10);
        for late in [4, 14] {
            blink[late].1 += 0.05;
            blink[late + 1].1 -= 0.05;
        }
        let found = find(&runs(&blink, 0.3), 1.0 / 30.0).unwrap();
        assert_eq!(found.runs, 2);
        assert!((found.period_s.value - 0.6).abs() < 0.005, "{found:?}");
    }

    #[test]
    fn a_drifting_blink_does_not_repeat() {
        let growing: Vec<_> = (0..12)
            .map(|i| ((i % 2 == 0).then_some(0), 0.2 + 0.08 * f64::from(i)))
            .collect();
        assert_eq!(find(&runs(&growing, 0.0), 1.0 / 30.0), None);
    }
}
