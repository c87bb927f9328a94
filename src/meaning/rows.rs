//! Evidence of every row of a table, and of the free rival, for every stretch of the clip.

use rayon::prelude::*;

use super::cuts::Cuts;
use super::episodes::shortest_stay_s;
use super::free::Free;
use super::math::{log_add, log_less, log_sum};
use super::score::{self, Both};
use super::sequence;
use super::shape;
use super::spans::Spans;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{LightTable, Meaning, Part, Pattern, Shade, Show, same_look};
use crate::trace::Trace;

/// A part that stays for less than this share of its shortest stay is not looked at; [`sequence`] rules it out anyway.
const EARLY: f64 = 0.6;

/// Weight, within "not in the table", of what the table lists in other colours: a rhythm alone is no reason to read a
/// red lamp as a green one. Shared by the rows that have a rhythm; one that has none gets as much as if all had one. Guessed.
const RECOLOURED: f64 = 0.3;

/// Chance that a lamp which was lit or flashed in view is not among the candidates found. Guessed from rendered clips;
/// a lamp outside the picture is the reader's to notice.
const MISSED: f64 = 0.01;

/// Chance that a light of which a row says nothing is dark.
const DARK_UNSAID: f64 = 0.5;

/// Log chance that no lamp is found for a light that does this; a dark lamp never is.
pub(super) fn unfound(pattern: Option<&Pattern>) -> f64 {
    match pattern {
        Some(Pattern::Constant(Shade::Dark)) => 0.0,
        Some(_) => MISSED.ln(),
        None => DARK_UNSAID.ln(),
    }
}

/// Evidence of one row.
pub(super) struct RowSpans {
    /// Whatever of it was seen.
    pub(super) any: Spans,
    /// For a sequence: with its order seen. `None` for other rows.
    pub(super) ordered: Option<Spans>,
    /// In whatever colours; of a sequence its order, or what a rhythm in it has beyond `any`.
    pub(super) nameless: Spans,
}

/// Evidence of everything that the clip may show.
pub(super) struct Evidence {
    /// Row by row.
    pub(super) rows: Vec<RowSpans>,
    /// Something that is in no row.
    pub(super) unlisted: Spans,
    /// Anything at all, listed or not.
    pub(super) anything: Spans,
}

/// One light's part in it.
pub(super) struct LightEvidence<'t> {
    pub(super) watch: Watch<'t>,
    pub(super) free: Free,
}

impl<'t> LightEvidence<'t> {
    pub(super) fn new(table: &LightTable, light: usize, trace: &'t Trace, cuts: &Cuts) -> Self {
        Self::with(table, light, trace, cuts, Free::new, |_, show| {
            show.light == light
        })
    }

    /// The same where the trace may be of another light: what that light does in these colours is not unheard of.
    pub(super) fn of_any(table: &LightTable, light: usize, trace: &'t Trace, cuts: &Cuts) -> Self {
        Self::with(table, light, trace, cuts, Free::of_any, |watch, show| {
            show.light == light || may_be_of(watch, &show.pattern)
        })
    }

    fn with(
        table: &LightTable,
        light: usize,
        trace: &'t Trace,
        cuts: &Cuts,
        free: fn(&Watch, &[ColourName], &[&Pattern]) -> Free,
        is_heard_of: impl Fn(&Watch, &Show) -> bool,
    ) -> Self {
        let watch = Watch::new(trace, cuts);
        let shows = table.meanings.iter().flat_map(|meaning| &meaning.shows);
        let listed: Vec<&Pattern> = shows
            .filter(|show| is_heard_of(&watch, show))
            .map(|show| &show.pattern)
            .collect();
        let free = free(&watch, &table.lights[light].colours, &listed);
        Self { watch, free }
    }

    /// Evidence of a pattern, and that with its order seen if it is a sequence.
    pub(super) fn of(&self, pattern: &Pattern, cuts: &Cuts) -> RowSpans {
        let Pattern::Sequence(parts) = pattern else {
            let Both { named, nameless } = score::both(
                pattern,
                &self.watch,
                shortest_stay_s(pattern),
                Some(&self.free.any),
            );
            return RowSpans {
                any: named,
                ordered: None,
                nameless,
            };
        };
        let spans: Vec<Both> = parts
            .iter()
            .map(|part| {
                score::both(
                    &part.pattern,
                    &self.watch,
                    EARLY * part.for_s.0,
                    Some(&self.free.any),
                )
            })
            .collect();
        let named: Vec<_> = parts.iter().zip(spans.iter().map(|both| &both.named)).collect();
        let found = sequence::evidence(&named, &self.free.any, cuts);
        RowSpans {
            nameless: self.recoloured(parts, &spans, &found.any, cuts),
            any: found.any,
            ordered: Some(found.ordered),
        }
    }

    /// A sequence in other colours: in its order, or a rhythm of it alone. Not a steady part alone: any steady lamp has
    /// its timing.
    fn recoloured<'s>(&self, parts: &[Part], spans: &'s [Both], any: &Spans, cuts: &Cuts) -> Spans {
        let of = |of: fn((&Part, &'s Both)) -> &'s Spans| {
            let parts: Vec<_> = parts.iter().zip(spans).map(|pair| (pair.0, of(pair))).collect();
            sequence::evidence(&parts, &self.free.any, cuts)
        };
        let ordered = of(|(_, both)| &both.nameless).ordered;
        let rhythms = of(|(part, both)| match part.pattern {
            Pattern::Constant(_) => &both.named,
            _ => &both.nameless,
        })
        .any;
        Spans::from_fn(cuts.len(), |a, b| {
            let beyond_any = log_less(rhythms.at(a, b), any.at(a, b));
            ordered.at(a, b).max(beyond_any)
        })
    }
}

impl Evidence {
    /// `lights[i]` is the trace of light `i` of the table; a light without one is the likelier dark.
    pub(super) fn new(table: &LightTable, lights: &[Option<LightEvidence>], cuts: &Cuts) -> Self {
        let mut evidence = Self::of_one(table, lights, cuts);
        for (light, _) in lights.iter().enumerate().filter(|(_, light)| light.is_none()) {
            for (row, spans) in evidence.rows.iter_mut().enumerate() {
                let chance = unfound(shown(table, row, light));
                spans.any.weigh(chance);
                if let Some(ordered) = &mut spans.ordered {
                    ordered.weigh(chance);
                }
            }
            evidence.unlisted.weigh(unfound(None));
            evidence.anything.weigh(unfound(None));
        }
        evidence
    }

    /// The same, where a light without a trace carries no evidence.
    pub(super) fn of_one(table: &LightTable, lights: &[Option<LightEvidence>], cuts: &Cuts) -> Self {
        let none = Spans::from_fn(cuts.len(), |_, _| 0.0);
        let mut anything = none.clone();
        for light in lights.iter().flatten() {
            anything.add(&light.free.any);
        }
        let rows: Vec<RowSpans> = (0..table.meanings.len())
            .into_par_iter()
            .map(|row| row_spans(table, row, lights, cuts, &none))
            .collect();
        let covered: Vec<Spans> = distinct(table)
            .filter_map(|row| covered(table, row, lights, &none))
            .collect();
        let has_rhythm: Vec<bool> = table.meanings.iter().map(has_rhythm).collect();
        let with_rhythm = has_rhythm.iter().filter(|has| **has).count();
        let recoloured = |row: usize| {
            let among = if has_rhythm[row] { with_rhythm } else { rows.len() };
            RECOLOURED.ln() - (among as f64).ln()
        };
        let unlisted = Spans::from_fn(cuts.len(), |a, b| {
            let free = log_less(
                anything.at(a, b),
                log_sum(covered.iter().map(|spans| spans.at(a, b))),
            );
            // Only where the colours speak against the row: else a row would be rivalled by itself.
            let of_wrong_colours = rows.iter().enumerate().filter_map(|(index, row)| {
                let timing = row.nameless.at(a, b);
                (timing > row.any.at(a, b)).then(|| timing + recoloured(index))
            });
            log_add(free, log_sum(of_wrong_colours))
        });
        Self {
            rows,
            unlisted,
            anything,
        }
    }
}

/// Whether a row is more than lamps that are steady or dark.
fn has_rhythm(row: &Meaning) -> bool {
    let mut shows = row.shows.iter();
    shows.any(|show| !matches!(show.pattern, Pattern::Constant(_)))
}

/// Whether the colours seen may be those of a pattern.
fn may_be_of(watch: &Watch, pattern: &Pattern) -> bool {
    /// Least belief in a name that does not rule it out (guessed).
    const MAY_BE: f64 = 0.1;
    let colours = shape::colours(pattern);
    watch.trace.tints.iter().all(|tint| {
        let beliefs = colours.iter().map(|colour| tint.names.of(*colour));
        beliefs.sum::<f64>() >= MAY_BE
    })
}

/// The pattern of a row on a light, if the row names it.
pub(super) fn shown(table: &LightTable, row: usize, light: usize) -> Option<&Pattern> {
    table.meanings[row]
        .shows
        .iter()
        .find(|show| show.light == light)
        .map(|show| &show.pattern)
}

fn row_spans(
    table: &LightTable,
    row: usize,
    lights: &[Option<LightEvidence>],
    cuts: &Cuts,
    none: &Spans,
) -> RowSpans {
    let mut any = none.clone();
    let (mut ordered, mut nameless) = (none.clone(), none.clone());
    let mut has_order = false;
    for (index, light) in lights.iter().enumerate() {
        let Some(light) = light else { continue };
        match shown(table, row, index) {
            None => {
                any.add(&light.free.any);
                ordered.add(&light.free.any);
                nameless.add(&light.free.any);
            }
            Some(pattern) => {
                let found = light.of(pattern, cuts);
                any.add(&found.any);
                nameless.add(&found.nameless);
                has_order |= found.ordered.is_some();
                ordered.add(found.ordered.as_ref().unwrap_or(&found.any));
            }
        }
    }
    RowSpans {
        any,
        ordered: has_order.then_some(ordered),
        nameless,
    }
}

/// The part of "anything" that a row of constant lights covers; `None` where the row has a rhythm.
fn covered(table: &LightTable, row: usize, lights: &[Option<LightEvidence>], none: &Spans) -> Option<Spans> {
    let mut spans = none.clone();
    let mut named = false;
    for (index, light) in lights.iter().enumerate() {
        let Some(light) = light else { continue };
        match shown(table, row, index) {
            None => spans.add(&light.free.any),
            Some(pattern) => {
                spans.add(light.free.covered(pattern)?);
                named = true;
            }
        }
    }
    named.then_some(spans)
}

/// Rows without those that look like an earlier one.
fn distinct(table: &LightTable) -> impl Iterator<Item = usize> {
    let later: Vec<usize> = same_look(table)
        .into_iter()
        .flat_map(|group| group.into_iter().skip(1))
        .collect();
    (0..table.meanings.len()).filter(move |row| !later.contains(row))
}
