//! The beat of pulses and frames that explains a lamp's levels best.

/// Level from which a frame saw some light, several times the noise.
pub(super) const SOME: f64 = 0.15;
/// Beats that are tried begin here, since a group of slower flashes also lies in step with quicker ones, if not as well.
const TRIED_HZ: f64 = 2.0;
/// Step of the rates tried, in turns from the first frame to the last: a rate between two is out of phase by a fiftieth of
/// a turn at most.
const STEP: f64 = 0.08;
/// Most rates that are tried: those of 20 s at 240 frames a second. Stamps closer than that are no camera's.
const MOST_RATES: f64 = 30_000.0;
/// Part of the pulses' time in which light can fall into an exposure, at most and at least: nearly always says nothing, and a
/// narrower one would leave hardly a frame lit.
const REACH: std::ops::RangeInclusive<f64> = 0.15..=0.8;
/// Shapes tried of the light that an exposure gets, by when it is: how much wider than the frames show, and the flat part of
/// the top. An exposure as long as a pulse gives a triangle, a shorter or longer one a flat top.
const WIDER: [f64; 2] = [1.0, 1.15];
const FLAT: [f64; 5] = [0.05, 0.2, 0.4, 0.6, 0.8];
/// Rates that all shapes are tried for: the best with the middle one.
const REFINED: usize = 12;
/// Standard deviation of a level about its shape, nats that a frame may cost at most, and that a change of the lamp
/// costs (all guessed).
const LEVEL_SD: f64 = 0.12;
const WORST: f64 = 8.0;
const CHANGE: f64 = 6.0;
/// Nats by which pulses must explain the clip better than a lamp that does what its levels say: the rate, its
/// phase and its shape were picked out of some thousand.
const SURE: f64 = 40.0;
/// Nats by which pulses may explain a stretch of the clip worse than such a lamp: they cut all that it shows, so a stretch that
/// is plainly whole, or lit where no pulse was, tells of a lamp that flickers elsewhere. Two changes of the lamp come of chance
/// (guessed; true pulses reach 12 in the tests, and a flicker 35 at least).
const AGAINST: f64 = 20.0;
/// Nats that a frame may cost at most when it is asked what speaks against pulses: a frame between two of them cannot be lit
/// (guessed).
const IMPOSSIBLE: f64 = 24.0;

/// The pulses as the frames show them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pulses {
    /// Beats of pulses against frames, a second.
    pub beat_hz: f64,
    /// Turns at time 0 by which the beat is past its brightest.
    turned: f64,
    /// Part of a turn with any light, and the part of that with all of it.
    reach: f64,
    flat: f64,
}

impl Pulses {
    /// Share of the lamp's light in a frame at a time, if it is lit.
    pub(super) fn share(&self, time_s: f64) -> f64 {
        let off = (self.beat_hz * time_s - self.turned + 0.5).rem_euclid(1.0) - 0.5;
        let half = 0.5 * self.reach;
        ((half - off.abs()) / (half * (1.0 - self.flat))).clamp(0.0, 1.0)
    }
}

/// The pulses that explain the clip best and better than none, and whether the lamp is lit in every frame.
pub(super) fn find(levels: &[(f64, f64)], frame_s: f64) -> Option<(Pulses, Vec<bool>)> {
    let length_s = levels.last()?.0 - levels.first()?.0;
    let steps = ((0.5 / frame_s - TRIED_HZ) * length_s / STEP).floor();
    if length_s <= 0.0 || !(0.0..=MOST_RATES).contains(&steps) {
        return None;
    }
    let rates = (0..=steps as usize).map(|step| TRIED_HZ + step as f64 * STEP / length_s);
    let cost = |pulses: Pulses| (path(levels, |time_s| pulses.share(time_s)).0, pulses);
    let mut rough: Vec<(f64, Pulses)> = rates
        .filter_map(|beat_hz| arc(levels, beat_hz))
        .map(cost)
        .collect();
    rough.sort_by(|a, b| a.0.total_cmp(&b.0));
    let shapes = rough
        .iter()
        .take(REFINED)
        .flat_map(|(_, arc)| WIDER.map(|wider| (arc, wider)))
        .flat_map(|(arc, wider)| {
            FLAT.map(|flat| Pulses {
                reach: arc.reach * wider,
                flat,
                ..*arc
            })
        });
    let (_, best) = shapes.map(cost).min_by(|a, b| a.0.total_cmp(&b.0))?;
    let (cost, lit) = path(levels, |time_s| best.share(time_s));
    let (plain, plain_lit) = path(levels, |_| 1.0);
    let own = prices(levels, &lit, IMPOSSIBLE, |time_s| best.share(time_s));
    let against = against(own.zip(prices(levels, &plain_lit, WORST, |_| 1.0)));
    (plain - cost >= SURE && against < AGAINST).then_some((best, lit))
}

/// Nats by which the first of two stories is worse than the second in the stretch that speaks most against it.
fn against(prices: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut running, mut most) = (0.0_f64, 0.0_f64);
    for (first, second) in prices {
        running = (running + first - second).max(0.0);
        most = most.max(running);
    }
    most
}

/// Where on a turn of the beat all lit frames lie, if that leaves a part of it free.
fn arc(levels: &[(f64, f64)], beat_hz: f64) -> Option<Pulses> {
    let lit = levels.iter().filter(|(_, level)| *level > SOME);
    let mut turns: Vec<f64> = lit
        .map(|(time_s, _)| (beat_hz * time_s).rem_euclid(1.0))
        .collect();
    turns.sort_by(f64::total_cmp);
    let first = *turns.first()?;
    let next = turns.iter().skip(1).copied().chain([first + 1.0]);
    let (gap, after) = turns
        .iter()
        .zip(next)
        .map(|(turn, next)| (next - turn, next))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let reach = 1.0 - gap;
    REACH.contains(&reach).then_some(Pulses {
        beat_hz,
        turned: after + 0.5 * reach,
        reach,
        flat: FLAT[FLAT.len() / 2],
    })
}

/// Nats for a level where another is expected, at most so many.
fn price(level: f64, expected: f64, worst: f64) -> f64 {
    let off = (level.min(1.0) - expected) / LEVEL_SD;
    (0.5 * off * off).min(worst)
}

/// What a story costs, frame by frame, in nats.
fn prices(
    levels: &[(f64, f64)],
    is_lit: &[bool],
    worst: f64,
    share: impl Fn(f64) -> f64,
) -> impl Iterator<Item = f64> {
    levels.iter().enumerate().map(move |(frame, (time_s, level))| {
        let expected = if is_lit[frame] { share(*time_s) } else { 0.0 };
        let changes = frame > 0 && is_lit[frame - 1] != is_lit[frame];
        price(*level, expected, worst) + if changes { CHANGE } else { 0.0 }
    })
}

/// The cheapest story of a lamp that is lit or dark and whose frames get a share of its light: its price in nats, and
/// whether it is lit in every frame (Viterbi 1967).
fn path(levels: &[(f64, f64)], share: impl Fn(f64) -> f64) -> (f64, Vec<bool>) {
    let (mut dark, mut lit) = (0.0, 0.0);
    let mut came: Vec<[bool; 2]> = Vec::with_capacity(levels.len());
    for (time_s, level) in levels {
        came.push([lit + CHANGE < dark, lit <= dark + CHANGE]);
        (dark, lit) = (
            f64::min(dark, lit + CHANGE) + price(*level, 0.0, WORST),
            f64::min(lit, dark + CHANGE) + price(*level, share(*time_s), WORST),
        );
    }
    let mut is_lit = lit < dark;
    let mut states: Vec<bool> = came
        .iter()
        .rev()
        .map(|from| {
            let now = is_lit;
            is_lit = from[usize::from(now)];
            now
        })
        .collect();
    states.reverse();
    (f64::min(dark, lit), states)
}
