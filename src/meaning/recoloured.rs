//! A row's rhythm in a colour that the light has and no row has it in.
//!
//! A light that the table lets be red may well flash red though the table has that rhythm in amber only. How likely that is
//! hangs on what the colour is called: by the rhythm alone it would be the amber row.

use super::shape;
use crate::colour::{ColourName, NameBelief};
use crate::table::{Cycle, LightTable, Pattern, Phase, Shade, looks_alike};
use crate::trace::Trace;

/// Odds, before looking, of a row's rhythm in one more colour of its light, against the row itself (guessed: as likely as that a
/// light does anything else that its table lacks).
const ONE_MORE: f64 = 0.1;

/// Least belief that a name is taken to have (guessed): of two that it hardly has neither is much the likelier.
const LEAST: f64 = 0.01;

/// For each row the log odds, against the row, that one of its lights does what the row says in another of its colours;
/// minus infinity where it has none. Lights that the row has in one colour count, by the tint that they show most from a
/// time on, seconds; a sequence does not, since its order says more.
pub(super) fn odds(table: &LightTable, lights: &[Option<&Trace>], since_s: f64) -> Vec<f64> {
    let of = |row: usize| {
        let shows = table.meanings[row].shows.iter();
        let odds = shows.filter_map(|show| {
            let names = lights
                .get(show.light)?
                .and_then(|trace| shown_since(trace, since_s))?;
            let [colour] = shape::colours(&show.pattern)[..] else {
                return None;
            };
            let mut others = 0.0;
            for other in table.lights[show.light]
                .colours
                .iter()
                .filter(|other| **other != colour)
            {
                let shows = recoloured(&show.pattern, *other)?;
                others += if is_listed(table, show.light, &shows) {
                    0.0
                } else {
                    names.of(*other)
                };
            }
            Some(ONE_MORE * others / names.of(colour).max(LEAST))
        });
        odds.fold(0.0, f64::max).ln()
    };
    (0..table.meanings.len()).map(of).collect()
}

/// The names of the tint that most frames since then show.
fn shown_since(trace: &Trace, since_s: f64) -> Option<&NameBelief> {
    let mut frames = vec![0; trace.tints.len()];
    let since = trace.samples.iter().filter(|sample| sample.time_s >= since_s);
    since
        .filter_map(|sample| sample.tint)
        .for_each(|tint| frames[tint] += 1);
    let most = (0..frames.len()).max_by_key(|tint| frames[*tint])?;
    (frames[most] > 0).then(|| &trace.tints[most].names)
}

/// Whether a row has the light do that.
fn is_listed(table: &LightTable, light: usize, pattern: &Pattern) -> bool {
    let shows = table.meanings.iter().flat_map(|row| &row.shows);
    let mut of_light = shows.filter(|show| show.light == light);
    of_light.any(|show| looks_alike(&show.pattern, pattern))
}

/// The pattern with that colour for its one; `None` for a sequence.
fn recoloured(pattern: &Pattern, colour: ColourName) -> Option<Pattern> {
    let shade = |shade: Shade| match shade {
        Shade::Lit(_, level) => Shade::Lit(colour, level),
        Shade::Dark => Shade::Dark,
    };
    match pattern {
        Pattern::Constant(of) => Some(Pattern::Constant(shade(*of))),
        Pattern::Cycle(cycle) => Some(Pattern::Cycle(Cycle {
            phases: (cycle.phases.iter())
                .map(|phase| Phase {
                    from: shade(phase.from),
                    to: shade(phase.to),
                    ..*phase
                })
                .collect(),
            ..cycle.clone()
        })),
        Pattern::Sequence(_) => None,
    }
}
