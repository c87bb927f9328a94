//! Whether one lamp does what another one does at the same times, as its reflection would.

use std::collections::BTreeMap;

use crate::colour::ColourName;
use crate::trace::{Sample, Sighting, Trace};

/// Whether another place goes through the states of a lamp together with it: each state of the lamp, a colour or dark, has
/// its own state there, and the names of the two colours may be the same. A place that hardly looks like a lamp may be
/// `faint`: some colours of the lamp leave it dark, and white light takes on the colour of what it falls on.
pub(super) fn in_step(one: &Trace, other: &Trace, faint: bool) -> bool {
    /// Share of the frames that show both lamps in which they must agree: exposures that lie across a change may not.
    const AGREE: f64 = 0.9;
    /// Changes below which being in step may be chance (guessed: three show a light that comes back, and that it goes again).
    const CHANGES: usize = 3;
    let both: Vec<(State, State)> = one
        .samples
        .iter()
        .zip(&other.samples)
        .filter_map(|(a, b)| Some((state(a)?, state(b)?)))
        .collect();
    let changes = both.windows(2).filter(|pair| pair[0].0 != pair[1].0).count();
    let mut together: BTreeMap<State, BTreeMap<State, usize>> = BTreeMap::new();
    for (a, b) in &both {
        *together.entry(*a).or_default().entry(*b).or_default() += 1;
    }
    let mut taken = Vec::new();
    let mut agreeing = 0;
    for (state, others) in together {
        let free = others.into_iter().filter(|(other, _)| !taken.contains(other));
        let Some((partner, count)) = free.max_by_key(|(_, count)| *count) else {
            continue;
        };
        let fades = faint && partner.is_none();
        if alike((one, state), (other, partner)) || fades || (faint && is_white(one, state)) {
            // Several colours may be too weak to be seen there.
            if !fades {
                taken.push(partner);
            }
            agreeing += count;
        }
    }
    let lit = taken.iter().any(Option::is_some);
    lit && changes >= CHANGES && agreeing as f64 >= AGREE * both.len() as f64
}

/// `None` is dark, else the colour.
type State = Option<usize>;

fn state(sample: &Sample) -> Option<State> {
    /// Level below which a frame is dark.
    const DARK: f64 = 0.25;
    let seen = sample.sighting == Sighting::Seen;
    match sample.tint {
        Some(tint) if seen => Some(Some(tint)),
        None if seen && sample.level < DARK => Some(None),
        _ => None,
    }
}

fn is_white(trace: &Trace, state: State) -> bool {
    let name = state.and_then(|tint| Some(trace.tints[tint].names.ranked().first()?.0));
    matches!(name, Some(ColourName::White | ColourName::WarmWhite))
}

/// Whether two states may be one and its reflection: both dark, or of colours that share names.
fn alike((one, a): (&Trace, State), (other, b): (&Trace, State)) -> bool {
    /// Probability that the names must have in common; what a reflection falls on colours it (guessed).
    const IN_COMMON: f64 = 0.3;
    match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => {
            let (a, b) = (&one.tints[a].names, &other.tints[b].names);
            let common = a.ranked().into_iter().map(|(name, p)| p.min(b.of(name)));
            common.sum::<f64>() >= IN_COMMON
        }
        _ => false,
    }
}
