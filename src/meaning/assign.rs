//! Which candidate lamp is which light of the table.

use super::cuts::Cuts;
use super::episodes;
use super::free::Free;
use super::in_step::in_step;
use super::math::log_sum;
use super::reading::{Rival, ranked};
use super::rows::{Evidence, LightEvidence, shown, unfound};
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{LightTable, MOST_LIGHTS, Pattern, Shade};
use crate::trace::{Sighting, Tint, Trace};

/// Candidates tried; the time grows with their number for each light.
const MAX_CANDIDATES: usize = 6;

/// Log odds that a candidate is an indicator lamp, by the log odds of its score: chance spots seldom score above a half, but
/// among many glints the best reaches 0.8, and then steadiness and colour say nothing more. So a steady spot of 0.8 stays
/// just below a certainty of nine in ten, and one of 0.5 far below. Guessed from rendered and real clips.
const LOOKS_SLOPE: f64 = 2.0;
const LOOKS_OFFSET: f64 = -0.5;

/// Looks are worth at most these odds for or against, so that they never outweigh a rhythm.
const MOST_ODDS: f64 = 1000.0;

/// Chance that the light, if it is the one, does something that is in no row. Guessed: higher than in a reading, since a
/// lamp must not be passed over for doing something unheard of.
const UNLISTED: f64 = 0.5;

/// How well a row explains one trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowScore {
    /// Which row.
    pub row: usize,
    /// Log evidence in nats that the row was the last one shown, over that of the free rival for the whole trace: above 0
    /// where the row explains the trace better than "anything". 0 for a row that does not name the light.
    pub over_free: f64,
}

/// Which candidate was taken for which light.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// For each light of the table the index of its candidate.
    pub lamp_of_light: Vec<Option<usize>>,
    /// How sure that is.
    pub identity: Identity,
}

/// How sure it is that lamps are the lights of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Identity {
    /// Probability, 0 to 1, that these are the lights, against other candidates that would be read differently, and
    /// against that none of the candidates is a light of the table.
    pub probability: f64,
    /// What would be read if other candidates were the lights; rows that are worth a line, with the probability of that.
    pub others: Vec<Rival>,
}

impl Identity {
    /// Lamps with this probability of being the lights, where no others come into question.
    #[must_use]
    pub const fn alone(probability: f64) -> Self {
        Self {
            probability,
            others: Vec::new(),
        }
    }
}

/// How well each row explains a trace as that of one light, row by row in the order of the table.
#[must_use]
pub fn fit(table: &LightTable, light: usize, trace: &Trace) -> Vec<RowScore> {
    let cuts = Cuts::of(&[trace]);
    let watch = Watch::new(trace, &cuts);
    let listed: Vec<&Pattern> = (0..table.meanings.len())
        .filter_map(|row| shown(table, row, light))
        .collect();
    let free = Free::new(&watch, &table.lights[light].colours, &listed)
        .any
        .whole();
    let story = Story::of(table, light, trace, &cuts, free);
    story
        .rows
        .into_iter()
        .enumerate()
        .map(|(row, over_free)| RowScore {
            row,
            over_free: shown(table, row, light).map_or(0.0, |_| over_free),
        })
        .collect()
}

/// What one candidate would say as one light.
struct Story {
    /// Over the reference, in nats.
    rows: Vec<f64>,
    unlisted: f64,
}

impl Story {
    /// `reference` is the evidence that everything is told relative to.
    fn of(table: &LightTable, light: usize, trace: &Trace, cuts: &Cuts, reference: f64) -> Self {
        let mut lights: Vec<Option<LightEvidence>> = table.lights.iter().map(|_| None).collect();
        lights[light] = Some(LightEvidence::of_any(table, light, trace, cuts));
        let evidence = Evidence::of_one(table, &lights, cuts);
        let last = episodes::weights(table, &evidence, cuts);
        let rows = (0..table.meanings.len())
            .map(|row| last[row] - reference)
            .collect();
        Self {
            rows,
            unlisted: last[table.meanings.len()] - reference,
        }
    }
}

/// For each light of the table the candidate that makes scores and rows fit best together. `candidates` stand with their
/// scores, 0 to 1: how much each looks like an indicator lamp. A light may go without: a dark one is no candidate. With
/// `pointed`, somebody has said that the first candidate is the first light.
#[must_use]
pub fn assign(table: &LightTable, candidates: &[(&Trace, f64)], pointed: bool) -> Assignment {
    let candidates = &candidates[..candidates.len().min(MAX_CANDIDATES)];
    let lights = table.lights.len().min(MOST_LIGHTS);
    // A lamp in any colour at all, so that a red one is not taken for a light that is only ever green.
    let references: Vec<(Cuts, f64)> = candidates
        .iter()
        .map(|(trace, _)| {
            let cuts = Cuts::of(&[*trace]);
            let free = Free::plain(&Watch::new(trace, &cuts));
            (cuts, free.any.whole())
        })
        .collect();
    let stories = (0..lights)
        .map(|light| {
            let with = candidates.iter().zip(&references);
            with.map(|((trace, _), (cuts, reference))| Story::of(table, light, trace, cuts, *reference))
                .collect()
        })
        .collect();
    let search = Search {
        table,
        flashes: candidates
            .iter()
            .map(|(trace, score)| *score > PLAIN && changes(trace))
            .collect(),
        odds: candidates.iter().map(|(_, score)| ln_odds(*score)).collect(),
        own: (table.lights[..lights].iter())
            .map(|light| {
                candidates
                    .iter()
                    .map(|(trace, _)| own(trace, &light.colours))
                    .collect()
            })
            .collect(),
        echoes: echoes(candidates),
        stories,
        pointed: pointed && !candidates.is_empty(),
    };
    let mut ways = Vec::new();
    search.ways(&mut Vec::new(), &mut ways);
    search.best(&ways)
}

fn echoes(candidates: &[(&Trace, f64)]) -> Vec<Vec<usize>> {
    /// Score of a reflection that may have lost some of the lamp's colours: a second lamp looks more like one (guessed).
    const FAINT: f64 = 0.7;
    let faint = |lamp: usize| candidates[lamp].1 < FAINT;
    let echoes = |of: usize, lamp: usize| in_step(candidates[of].0, candidates[lamp].0, faint(lamp));
    let before = |lamp: usize| (0..lamp).filter(move |other| echoes(*other, lamp));
    (0..candidates.len()).map(|lamp| before(lamp).collect()).collect()
}

/// Score of what is plainly a lamp (guessed: chance spots among many reach it at most).
const PLAIN: f64 = 0.8;

/// Most probable that the lamps are the lights where a lamp that flashes is taken for none of them, though one of them was not
/// found (guessed): it may be that one, seen badly, and then no row says what it does.
const LEFT_OUT: f64 = 0.5;

/// Whether a lamp was seen both lit and dark.
fn changes(trace: &Trace) -> bool {
    /// Share of the frames that each must have (guessed).
    const ENOUGH: f64 = 0.03;
    let seen = || {
        trace
            .samples
            .iter()
            .filter(|sample| sample.sighting == Sighting::Seen)
    };
    let lit = seen().filter(|sample| sample.level > 0.5).count() as f64;
    (ENOUGH..1.0 - ENOUGH).contains(&(lit / seen().count().max(1) as f64))
}

/// Probability that a lamp, while it is lit, is in one of these colours; 1 for one that is never lit.
fn own(trace: &Trace, colours: &[ColourName]) -> f64 {
    let of = |tint: &Tint| tint.share * colours.iter().map(|colour| tint.names.of(*colour)).sum::<f64>();
    let lit: f64 = trace.tints.iter().map(|tint| tint.share).sum();
    if lit > 0.0 {
        trace.tints.iter().map(of).sum::<f64>() / lit
    } else {
        1.0
    }
}

fn ln_odds(score: f64) -> f64 {
    let score = score.clamp(1e-6, 1.0 - 1e-6);
    let looks = LOOKS_SLOPE * (score / (1.0 - score)).ln() + LOOKS_OFFSET;
    looks.clamp(-MOST_ODDS.ln(), MOST_ODDS.ln())
}

/// One way to say which candidate is which light.
struct Way {
    lamp_of_light: Vec<Option<usize>>,
    ln_weight: f64,
    /// The row that it would be read as; `None` for "not in the table".
    row: Option<usize>,
}

struct Search<'t> {
    table: &'t LightTable,
    /// By candidate: it is plainly a lamp, and not lit or dark all the time.
    flashes: Vec<bool>,
    odds: Vec<f64>,
    /// By light and candidate: probability that the candidate is in a colour that the light has.
    own: Vec<Vec<f64>>,
    /// By candidate: the likelier ones that it is in step with.
    echoes: Vec<Vec<usize>>,
    /// By light and candidate.
    stories: Vec<Vec<Story>>,
    pointed: bool,
}

impl Search<'_> {
    fn ways(&self, chosen: &mut Vec<Option<usize>>, ways: &mut Vec<Way>) {
        if chosen.len() == self.stories.len() {
            ways.push(self.weigh(chosen));
            return;
        }
        let certain = self.pointed && chosen.is_empty();
        let choices: Vec<Option<usize>> = if certain {
            vec![Some(0)]
        } else {
            (0..self.odds.len())
                .filter(|candidate| !chosen.contains(&Some(*candidate)))
                .map(Some)
                .chain([None])
                .collect()
        };
        for choice in choices {
            chosen.push(choice);
            self.ways(chosen, ways);
            chosen.pop();
        }
    }

    fn weigh(&self, chosen: &[Option<usize>]) -> Way {
        let rows = self.table.meanings.len();
        let way = |ln_weight: f64, row: Option<usize>| Way {
            lamp_of_light: chosen.to_vec(),
            ln_weight,
            row,
        };
        if chosen.iter().all(Option::is_none) {
            // Nothing is known of a clip in which no lamp was found.
            return way(0.0, None);
        }
        // What a reflection does is explained by the lamp: beside it, its looks and its rhythm speak for nothing.
        let is_echo = |lamp: usize| {
            chosen
                .iter()
                .flatten()
                .any(|other| self.echoes[lamp].contains(other))
        };
        let unsaid = |lamp: usize, nats: f64| if is_echo(lamp) { nats.min(0.0) } else { nats };
        let of_row = |row: usize| -> f64 {
            let of = |(light, lamp): (usize, &Option<usize>)| match (lamp, shown(self.table, row, light)) {
                (Some(lamp), _) => unsaid(*lamp, self.stories[light][*lamp].rows[row]),
                (None, pattern) => unfound(pattern),
            };
            chosen.iter().enumerate().map(of).sum()
        };
        let unlisted: f64 = chosen
            .iter()
            .enumerate()
            .map(|(light, lamp)| {
                lamp.map_or(unfound(None), |lamp| {
                    unsaid(lamp, self.stories[light][lamp].unlisted)
                })
            })
            .sum();
        let listed = ((1.0 - UNLISTED) / rows.max(1) as f64).ln();
        let weights: Vec<f64> = (0..rows)
            .map(|row| of_row(row) + listed)
            .chain([unlisted + UNLISTED.ln()])
            .collect();
        let best = (0..=rows).max_by(|a, b| weights[*a].total_cmp(&weights[*b]));
        let row = best.filter(|row| *row < rows);
        // That many rows are possible is no reason to doubt a lamp that shows one of them.
        let shown = row.map_or(f64::NEG_INFINITY, |row| (weights[row] - listed).min(0.0));
        if row.is_some_and(|row| self.is_seen_twice(row, chosen)) {
            return way(f64::NEG_INFINITY, row);
        }
        let looks = self.looks(chosen, unsaid);
        way(log_sum(weights.iter().copied()).max(shown) + looks, row)
    }

    /// What the looks of the lamps say for it that they are the lights. Lamps of other devices look like lamps, too: in a
    /// colour that its light does not have, only one may be the device's for its looks, the one that looks most like a lamp.
    fn looks(&self, chosen: &[Option<usize>], unsaid: impl Fn(usize, f64) -> f64) -> f64 {
        let taken = chosen
            .iter()
            .enumerate()
            .filter_map(|(light, lamp)| lamp.map(|lamp| (light, lamp)));
        let (mut most, mut most_own, mut sum) = (f64::NEG_INFINITY, f64::NEG_INFINITY, 0.0);
        for (light, lamp) in taken {
            let odds = unsaid(lamp, self.odds[lamp]);
            let own = odds.min(odds * self.own[light][lamp]);
            most = most.max(odds);
            most_own = most_own.max(own);
            sum += own;
        }
        sum + (most - most_own).max(0.0)
    }

    /// A lamp and its reflection are taken for two lights of a row that does not light up both: either alone says all.
    fn is_seen_twice(&self, row: usize, chosen: &[Option<usize>]) -> bool {
        let is_lit = |light: usize| {
            shown(self.table, row, light).is_some_and(|pattern| *pattern != Pattern::Constant(Shade::Dark))
        };
        chosen.iter().enumerate().any(|(light, lamp)| {
            let others = lamp.iter().flat_map(|lamp| &self.echoes[*lamp]);
            others
                .filter_map(|other| chosen.iter().position(|lamp| *lamp == Some(*other)))
                .any(|other| !(is_lit(light) && is_lit(other)))
        })
    }

    /// Whether a light goes without a lamp while a lamp that flashes, and is no reflection of another, is no light.
    fn leaves_one_out(&self, way: &Way) -> bool {
        let chosen = &way.lamp_of_light;
        let is_echo = |lamp: usize| {
            let mut others = chosen.iter().flatten();
            others.any(|other| self.echoes[lamp].contains(other) || self.echoes[*other].contains(&lamp))
        };
        let left_out = |lamp: usize| self.flashes[lamp] && !chosen.contains(&Some(lamp)) && !is_echo(lamp);
        chosen.contains(&None) && (0..self.flashes.len()).any(left_out)
    }

    /// The best way in which there is a lamp at all, and its share against all that would be read differently.
    fn best(&self, ways: &[Way]) -> Assignment {
        let none = |way: &&Way| way.lamp_of_light.iter().all(Option::is_none);
        let lit = ways.iter().filter(|way| !none(way));
        let mut lamp_of_light = vec![None; self.table.lights.len()];
        let Some(best) = lit.max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight)) else {
            return Assignment {
                lamp_of_light,
                identity: Identity::alone(0.0),
            };
        };
        lamp_of_light[..best.lamp_of_light.len()].copy_from_slice(&best.lamp_of_light);
        // A second spot that says the same (a reflection, one lamp found twice) speaks neither for nor against.
        let others: Vec<&Way> = ways
            .iter()
            .filter(|way| none(way) || way.row != best.row)
            .collect();
        let weights = others.iter().map(|way| way.ln_weight);
        let all = log_sum(weights.chain([best.ln_weight]).collect::<Vec<_>>().into_iter());
        let of_row = |row: usize| {
            let told = others.iter().filter(|way| way.row == Some(row));
            let weights: Vec<f64> = told.map(|way| way.ln_weight).collect();
            (log_sum(weights.into_iter()) - all).exp()
        };
        let most = if self.leaves_one_out(best) { LEFT_OUT } else { 1.0 };
        Assignment {
            lamp_of_light,
            identity: Identity {
                probability: (best.ln_weight - all).exp().min(most),
                others: ranked((0..self.table.meanings.len()).map(of_row)),
            },
        }
    }
}
