//! Flashes that pulse-width dimming cuts in pieces, put together again.
//!
//! A short exposure catches such a lamp between two pulses in a part of the frames, lit though it is. Which frames these
//! are goes on evenly through the whole clip, as the pulses do. Once the rate of pulses against frames is known, a dark frame
//! between pulses says nothing, and a dark frame at a pulse says that the lamp is dark.

use super::beat::{SOME, find};
use super::sample::{Otherwise, Sample, Sighting};
use super::spread::median;

/// Beats of pulses against frames that are believed, from so many a second up to half the frame rate. Slower ones may be
/// flashes in groups; quicker ones are no more than a flicker to the eye, and nobody makes groups of them (common practice,
/// no source; the pairs of `linux-heartbeat.toml` reach 7.8 a second).
const SLOWEST_HZ: f64 = 9.0;
/// Longest stretch in which pulses are taken to keep their rate, seconds: clocks of cheap parts drift (guessed).
const LONGEST_S: f64 = 20.0;
/// A dark stretch of no more seconds between two pieces may be a gap between pulses: less than the slowest beat that is
/// believed, which is 0.111 s long, and of one that may be true the slowest that is tried.
const GAP_S: f64 = 0.11;
const PERHAPS_GAP_S: f64 = 0.5;
/// Fewest such gaps for a search, and fewest flashes left by it: two flashes in phase may be chance.
const FEWEST_GAPS: usize = 4;
const FEWEST_FLASHES: usize = 3;
/// Pieces to a flash at least, on average.
const PIECES: f64 = 1.5;
/// A frame tells lit from dark if it would get this share of the light at least: three times the deviation.
const TELLING: f64 = 0.36;

/// Levels of a lamp that is neither dark nor lit. Where this share of the telling frames has them, the lamp swells; else they
/// come of the shape, and say nothing of when the lamp changed (both guessed).
const BETWEEN: std::ops::Range<f64> = 0.25..0.75;
const SWELLS: f64 = 0.12;

/// Puts the flashes of a lamp together that pulses cut, and says how many times a second pulses and frames beat; `None` and no
/// change where nothing tells of pulses. Frames that fell between pulses get the state of those about them, with a
/// deviation of [`Sample::SAYS_NOTHING`]. The other story goes with it: the pieces as they were seen, or, of a beat too slow to
/// be believed, what there would be.
pub(super) fn join(samples: &mut [Sample]) -> (Option<f64>, Option<Otherwise>) {
    let frame_s = median(samples.iter().map(|sample| sample.span_s).collect());
    let (Some(frame_s), Some(first)) = (frame_s, samples.first()) else {
        return (None, None);
    };
    let first_s = first.time_s;
    let piece = |sample: &Sample| ((sample.time_s - first_s) / LONGEST_S) as usize;
    let seen = samples.to_vec();
    let mut joined = samples.to_vec();
    let (mut believed_hz, mut perhaps_hz) = (None, None);
    let mut done = 0;
    for stretch in joined.chunk_by_mut(|a, b| piece(a) == piece(b)) {
        let own = &mut samples[done..done + stretch.len()];
        done += stretch.len();
        match join_stretch(stretch, frame_s) {
            Some(beat_hz) if beat_hz >= SLOWEST_HZ => {
                own.copy_from_slice(stretch);
                believed_hz = believed_hz.or(Some(beat_hz));
            }
            slower => perhaps_hz = perhaps_hz.or(slower),
        }
    }
    let otherwise = match (believed_hz, perhaps_hz) {
        (Some(_), _) => Some(Otherwise {
            samples: seen,
            beat_hz: None,
        }),
        (None, Some(_)) => Some(Otherwise {
            samples: joined,
            beat_hz: perhaps_hz,
        }),
        (None, None) => None,
    };
    (believed_hz, otherwise)
}

fn join_stretch(samples: &mut [Sample], frame_s: f64) -> Option<f64> {
    let seen = samples
        .iter_mut()
        .filter(|sample| sample.sighting == Sighting::Seen);
    let mut seen: Vec<&mut Sample> = seen.collect();
    let levels: Vec<(f64, f64)> = seen.iter().map(|sample| (sample.time_s, sample.level)).collect();
    if frame_s <= 0.0 || gaps(&levels, PERHAPS_GAP_S) < FEWEST_GAPS {
        return None;
    }
    let (pulses, lit) = find(&levels, frame_s)?;
    if pulses.beat_hz >= SLOWEST_HZ && gaps(&levels, GAP_S) < FEWEST_GAPS {
        return None;
    }
    let shares: Vec<f64> = levels.iter().map(|(time_s, _)| pulses.share(*time_s)).collect();
    let (telling, silent): (Vec<usize>, Vec<usize>) =
        (0..seen.len()).partition(|frame| shares[*frame] >= TELLING);
    let stays = telling.chunk_by(|a, b| lit[*a] == lit[*b]);
    let flashes = stays.filter(|stay| lit[stay[0]]).count();
    let pieces = levels.chunk_by(|a, b| (a.1 > SOME) == (b.1 > SOME));
    let pieces = pieces.filter(|piece| piece[0].1 > SOME).count();
    if flashes < FEWEST_FLASHES || (pieces as f64) < PIECES * flashes as f64 {
        return None;
    }
    let whole = |frame: usize| levels[frame].1 / shares[frame];
    let between = telling.iter().filter(|frame| BETWEEN.contains(&whole(**frame)));
    let switches = (between.count() as f64) < SWELLS * telling.len() as f64;
    for frame in telling.iter().copied() {
        let sample = &mut *seen[frame];
        if !switches {
            // No lamp is brighter than lit: what is more is a share taken for too small.
            sample.level = whole(frame).min(sample.level.max(1.0));
            sample.level_sd /= shares[frame];
        } else if lit[frame] {
            sample.level = 1.0;
        }
    }
    for frame in silent {
        let away_s = |other: &&usize| (levels[**other].0 - levels[frame].0).abs();
        let nearest = telling.iter().min_by(|a, b| away_s(a).total_cmp(&away_s(b)))?;
        let Sample { level, tint, .. } = *seen[*nearest];
        *seen[frame] = Sample {
            level,
            level_sd: Sample::SAYS_NOTHING,
            chroma: None,
            tint,
            turned: None,
            ..*seen[frame]
        };
    }
    Some(pulses.beat_hz)
}

/// Dark stretches between two lit ones that are short enough to lie between pulses, and shorter than others: where all are
/// alike, the lamp flashes.
fn gaps(levels: &[(f64, f64)], most_s: f64) -> usize {
    /// Share of the longest one (guessed).
    const SHORTER: f64 = 0.7;
    let pieces: Vec<_> = levels.chunk_by(|a, b| (a.1 > SOME) == (b.1 > SOME)).collect();
    let dark = pieces.windows(3).filter(|three| three[1][0].1 <= SOME);
    let dark: Vec<f64> = dark
        .map(|three| three[2][0].0 - three[0][three[0].len() - 1].0)
        .collect();
    let longest = dark.iter().copied().fold(0.0, f64::max);
    dark.iter()
        .filter(|gap_s| **gap_s <= most_s.min(SHORTER * longest))
        .count()
}

#[cfg(test)]
mod tests {
    use rand::{Rng, SeedableRng};
    use rand_pcg::Pcg64;
    use rstest::rstest;

    use super::*;

    const SECONDS: f64 = 6.0;

    /// A lamp that pulses so many times a second for 0.3 of the time, filmed with an exposure of 2 ms.
    fn film(fps: f64, pulses_hz: f64, is_lit: impl Fn(f64) -> bool, random: &mut Pcg64) -> Vec<Sample> {
        const EXPOSURE_S: f64 = 0.002;
        const STEPS: usize = 40;
        let most = (0.3 / pulses_hz).min(EXPOSURE_S) / EXPOSURE_S * STEPS as f64;
        let begins = random.random_range(0.0..1.0);
        let is_on = |at_s: f64| (at_s * pulses_hz + begins).rem_euclid(1.0) < 0.3 && is_lit(at_s);
        (0..(SECONDS * fps) as usize)
            .map(|frame| {
                let time_s = frame as f64 / fps;
                let on = (0..STEPS).filter(|step| is_on(time_s + EXPOSURE_S * *step as f64 / STEPS as f64));
                sample(
                    time_s,
                    1.0 / fps,
                    on.count() as f64 / most + random.random_range(-0.05..0.05),
                )
            })
            .collect()
    }

    fn sample(time_s: f64, span_s: f64, level: f64) -> Sample {
        Sample {
            time_s,
            span_s,
            sighting: Sighting::Seen,
            level,
            level_sd: 0.03,
            chroma: None,
            tint: None,
            turned: None,
        }
    }

    fn levels(samples: &[Sample]) -> Vec<f64> {
        samples.iter().map(|sample| sample.level).collect()
    }

    /// The beat is how far the pulses are from a whole number a frame. When the flashes begin and end is known but for the
    /// frames that fell between pulses.
    #[rstest]
    fn cut_flashes_are_put_together(
        #[values((133.8, 13.8), (138.7, 11.3), (129.6, 9.6), (220.3, 10.3))] (hz, beat_hz): (f64, f64),
        #[values((0.35, 0.94), (0.5, 1.3), (0.3, 0.7))] (on_s, period_s): (f64, f64),
        #[values(1, 2, 3, 4)] seed: u64,
    ) {
        /// Longest time in which no frame falls on a pulse.
        const UNTOLD_S: f64 = 0.17;
        let mut random = Pcg64::seed_from_u64(seed);
        let starts_s = random.random_range(0.0..period_s);
        let is_lit = |at_s: f64| (at_s + starts_s).rem_euclid(period_s) < on_s;
        let mut samples = film(30.0, hz, is_lit, &mut random);
        let found_hz = join(&mut samples).0.expect("pulses");
        assert!((found_hz - beat_hz).abs() < 0.05, "{found_hz}");
        for sample in &samples {
            let near = [-UNTOLD_S, UNTOLD_S].map(|off_s| is_lit(sample.time_s + off_s));
            let lit = is_lit(sample.time_s);
            assert!(near != [lit; 2] || (sample.level > 0.5) == lit, "{sample:?}");
        }
    }

    /// A slower beat may be flashes in groups: the samples stay, and what it would mean is said.
    #[rstest]
    fn of_a_slower_beat_it_is_said_what_there_would_be(
        #[values((123.4, 3.4), (124.9, 4.9), (142.3, 7.7))] (hz, beat_hz): (f64, f64),
        #[values((0.5, 1.3), (0.8, 1.6))] (on_s, period_s): (f64, f64),
        #[values(1, 2, 3, 4)] seed: u64,
    ) {
        let mut random = Pcg64::seed_from_u64(seed);
        let starts_s = random.random_range(0.0..period_s);
        let is_lit = |at_s: f64| (at_s + starts_s).rem_euclid(period_s) < on_s;
        let mut samples = film(30.0, hz, is_lit, &mut random);
        let before = levels(&samples);
        let (believed, perhaps) = join(&mut samples);
        assert_eq!((believed, levels(&samples)), (None, before));
        let pulsed = perhaps.expect("pulses, perhaps");
        let found_hz = pulsed.beat_hz.expect("a beat");
        assert!((found_hz - beat_hz).abs() < 0.1, "{found_hz}");
        let told = || pulsed.samples.iter().filter(|sample| sample.tells());
        let is_wrong = |sample: &&Sample| {
            let near = [-0.04, 0.04].map(|off_s| is_lit(sample.time_s + off_s));
            let lit = is_lit(sample.time_s);
            near == [lit; 2] && (sample.level > 0.5) != lit
        };
        let (wrong, all) = (told().filter(is_wrong).count(), told().count());
        assert!(4 * all > samples.len() && 50 * wrong <= all, "{wrong} of {all}");
    }

    /// What has no pulses is left as it is: flashes, groups in step with a clock, groups as fast as the eye counts, a lamp that
    /// flickers ten times a second all the time or in turn with something else, and one that follows traffic.
    #[rstest]
    #[case::flashes(|at_s: f64, _: u64| at_s.rem_euclid(0.7) < 0.3)]
    #[case::quick_flashes(|at_s: f64, _: u64| at_s.rem_euclid(0.25) < 0.1)]
    #[case::pairs_in_step(|at_s: f64, _: u64| at_s.rem_euclid(1.6) < 0.6 && at_s.rem_euclid(0.4) < 0.2)]
    #[case::threes_at_five(|at_s: f64, _: u64| at_s.rem_euclid(1.2) < 0.5 && at_s.rem_euclid(0.2) < 0.1)]
    #[case::pairs_at_eight(|at_s: f64, _: u64| at_s.rem_euclid(0.51) < 0.2 && at_s.rem_euclid(0.51).rem_euclid(0.1275) < 0.07)]
    #[case::flickers(|at_s: f64, _: u64| at_s.rem_euclid(0.1) < 0.05)]
    #[case::lit_and_a_flicker(|at_s: f64, _: u64| at_s.rem_euclid(3.0) < 1.0 || at_s.rem_euclid(0.1) < 0.05)]
    #[case::traffic(|at_s: f64, seed: u64| {
        Pcg64::seed_from_u64(seed * 1000 + (at_s / 0.05) as u64).random_bool(0.4)
    })]
    fn what_has_no_pulses_is_left_alone(
        #[case] is_lit: fn(f64, u64) -> bool,
        #[values(25.0, 30.0, 60.0)] fps: f64,
        #[values(0.002, 0.016)] exposure_s: f64,
        #[values(1, 2, 3, 4, 5)] seed: u64,
    ) {
        let is_lit = |at_s| is_lit(at_s, seed);
        is_left_alone(
            is_lit,
            SECONDS,
            (fps, exposure_s),
            &mut Pcg64::seed_from_u64(seed),
        );
    }

    /// Flashes in threes are whole, so what follows is no pulses. With fewer of them the two cannot be told apart, and it is for the
    /// table to say whether anything flickers so.
    #[rstest]
    fn a_flicker_after_whole_flashes_is_left_alone(
        #[values(25.0, 30.0, 60.0)] fps: f64,
        #[values(0.002, 0.016)] exposure_s: f64,
        #[values(1, 2, 3, 4, 5)] seed: u64,
    ) {
        let is_lit = |at_s: f64| match at_s.rem_euclid(12.0) {
            at_s if at_s < 7.0 => at_s.rem_euclid(2.0) < 1.0 && at_s.rem_euclid(0.4) < 0.2,
            at_s => at_s.rem_euclid(0.1) < 0.05,
        };
        is_left_alone(is_lit, 12.0, (fps, exposure_s), &mut Pcg64::seed_from_u64(seed));
    }

    fn is_left_alone(is_lit: impl Fn(f64) -> bool, seconds: f64, camera: (f64, f64), random: &mut Pcg64) {
        const STEPS: usize = 16;
        let (fps, exposure_s) = camera;
        let starts_s = random.random_range(0.0..10.0);
        let mut samples: Vec<Sample> = (0..(seconds * fps) as usize)
            .map(|frame| {
                let time_s = frame as f64 / fps;
                let at_s = |step: usize| starts_s + time_s + exposure_s * step as f64 / STEPS as f64;
                let on = (0..STEPS).filter(|step| is_lit(at_s(*step)));
                let level = on.count() as f64 / STEPS as f64 + random.random_range(-0.05..0.05);
                sample(time_s, 1.0 / fps, level)
            })
            .collect();
        let before = levels(&samples);
        assert_eq!(join(&mut samples).0, None);
        assert_eq!(levels(&samples), before);
    }
}
