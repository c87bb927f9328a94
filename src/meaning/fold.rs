//! A clip laid over itself at a period.

use super::measured::{Look, Piece};

/// Places within the cycle: a frame each, within these bounds.
const FEWEST_PLACES: usize = 8;
const MOST_PLACES: usize = 160;

/// Looks told apart: dark, and the tints.
const LOOKS: usize = 6;

/// What every place of the cycle shows most of the time.
#[derive(Debug, Clone)]
pub(super) struct Folded {
    pub(super) period_s: f64,
    /// Share of the frames that look as their place does.
    pub(super) agrees: f64,
    places: Vec<Look>,
}

/// Lays frames, each with its time and look, over each other.
pub(super) fn fold(looks: &[(f64, Look)], period_s: f64, span_s: f64) -> Folded {
    let size = ((period_s / span_s).round() as usize).clamp(FEWEST_PLACES, MOST_PLACES);
    let mut counts = vec![[0_u32; LOOKS]; size];
    for (time_s, look) in looks {
        let place = ((time_s / period_s).fract() * size as f64) as usize;
        counts[place.min(size - 1)][index(*look)] += 1;
    }
    // A frame that is alone in its place agrees with nothing.
    let agreeing = |count: &[u32; LOOKS]| {
        let most = count.iter().max().copied().unwrap_or(0);
        if count.iter().sum::<u32>() > 1 { most } else { 0 }
    };
    let agrees: u32 = counts.iter().map(agreeing).sum();
    let of = |count: &[u32; LOOKS]| {
        let best = (0..LOOKS)
            .max_by_key(|look| count[*look])
            .filter(|look| count[*look] > 0);
        best.map(|look| look.checked_sub(1))
    };
    let mut places: Vec<Option<Look>> = counts.iter().map(of).collect();
    fill(&mut places);
    Folded {
        period_s,
        agrees: f64::from(agrees) / looks.len().max(1) as f64,
        places: places.into_iter().map(Option::unwrap_or_default).collect(),
    }
}

fn index(look: Look) -> usize {
    look.map_or(0, |tint| (tint + 1).min(LOOKS - 1))
}

/// A place that no frame fell into shows what the one before it does.
fn fill(places: &mut [Option<Look>]) {
    for _ in 0..2 {
        for place in 0..places.len() {
            if places[place].is_none() {
                places[place] = places[(place + places.len() - 1) % places.len()];
            }
        }
    }
}

impl Folded {
    /// Stretches of equal look, none shorter than `least_s`, beginning with the longest dark one or, without one, the
    /// longest.
    pub(super) fn pieces(&self, least_s: f64) -> Vec<Piece> {
        let size = self.places.len();
        let place_s = self.period_s / size as f64;
        let start = (0..size).find(|place| self.places[*place] != self.places[(place + size - 1) % size]);
        let Some(start) = start else {
            return vec![Piece {
                look: self.places[0],
                lasts_s: self.period_s,
            }];
        };
        let mut pieces: Vec<Piece> = Vec::new();
        for step in 0..size {
            let look = self.places[(start + step) % size];
            match pieces.last_mut().filter(|piece| piece.look == look) {
                Some(piece) => piece.lasts_s += place_s,
                None => pieces.push(Piece {
                    look,
                    lasts_s: place_s,
                }),
            }
        }
        merge(&mut pieces, least_s);
        let longest = |dark: bool| {
            let of = pieces
                .iter()
                .enumerate()
                .filter(move |(_, piece)| !dark || piece.look.is_none());
            of.max_by(|a, b| a.1.lasts_s.total_cmp(&b.1.lasts_s))
                .map(|(index, _)| index)
        };
        let first = longest(true).or_else(|| longest(false)).unwrap_or(0);
        pieces.rotate_left(first);
        pieces
    }
}

/// Gives pieces that are too short to be any to the one before, and joins what has become equal.
fn merge(pieces: &mut Vec<Piece>, least_s: f64) {
    while pieces.len() > 1 {
        let Some(short) = pieces.iter().position(|piece| piece.lasts_s < least_s) else {
            break;
        };
        let gone = pieces.remove(short);
        let before = (short + pieces.len() - 1) % pieces.len();
        pieces[before].lasts_s += gone.lasts_s;
        join(pieces);
    }
}

fn join(pieces: &mut Vec<Piece>) {
    let mut index = 0;
    while pieces.len() > 1 && index < pieces.len() {
        let next = (index + 1) % pieces.len();
        if pieces[index].look == pieces[next].look {
            pieces[index].lasts_s += pieces[next].lasts_s;
            pieces.remove(next);
            index = 0;
        } else {
            index += 1;
        }
    }
}
