//! Which measured tint is which colour of a row.
//!
//! A tint's name is one piece of evidence, however many frames show it. That a frame shows the tint of the colour that
//! the rhythm expects just then is evidence of timing, frame by frame; a light that alternates at constant level is
//! read by nothing else.

use super::watch::Watch;
use crate::colour::{ColourName, NameBelief};

/// Share of a name belief that is spread evenly, so that no tint rules a name out: lamps, lenses and cameras differ
/// more than any model of them knows. A washed-out lamp of any colour looks white, so a white is doubted more; nothing
/// turns a green lamp amber. Guessed.
const NAME_DOUBT: f64 = 0.001;
const WHITE_DOUBT: f64 = 0.004;

/// Chance that a frame lit in one colour is filed under its tint, under none, or under others.
const TINT_RIGHT: f64 = 0.9;
const TINT_NONE: f64 = 0.06;
const TINT_WRONG: f64 = 0.04;
/// The same for a frame lit for a part of its exposure, where there is less light to tell by.
const EDGE_RIGHT: f64 = 0.6;
const EDGE_NONE: f64 = 0.35;
/// The same for a frame of a swelling light: clipping changes its colour on the way up, and its dark end leaves too little
/// light to tell. As the rival that drifts has it, so that neither gains by it.
const SWELL_RIGHT: f64 = 0.9;
const SWELL_NONE: f64 = 0.5;
/// Chance that a tint of the same name, but not the one assigned, shows the colour: one colour split into two tints.
const TINT_SPLIT: f64 = 0.2;
/// Chance of whatever tint while two colours share an exposure.
const TINT_MIXED: f32 = 0.4;
/// Log price of a colour of the row that no tint stands for.
const COLOUR_ABSENT: f64 = -2.0;

/// Ways kept while they are built up colour by colour, so that a row of many colours stays cheap.
const BEAM: usize = 60;

/// One way to say which tint is which colour.
#[derive(Debug, Clone)]
pub(super) struct Naming {
    /// For each colour of the pattern its tint.
    pub(super) tint_of: Vec<Option<usize>>,
    /// Log evidence of each colour's name under its tint.
    names: Vec<f64>,
    /// Log weight before any evidence.
    pub(super) ln_prior: f64,
}

impl Naming {
    /// The likeliest ways, at most `keep`.
    pub(super) fn likeliest(colours: &[ColourName], watch: &Watch, keep: usize) -> Vec<Self> {
        let mut namings = vec![Self::weigh(Vec::new(), colours, watch)];
        for count in 1..=colours.len() {
            let longer = namings
                .iter()
                .flat_map(|naming| extend(&naming.tint_of, watch.tints()));
            namings = longer
                .map(|tint_of| Self::weigh(tint_of, colours, watch))
                .collect();
            // A light whose tints stand for none of the row's colours is not the row's.
            let any = |naming: &Self| naming.tint_of.iter().any(Option::is_some);
            if count == colours.len() && namings.iter().any(any) {
                namings.retain(any);
            }
            namings.sort_by(|a, b| b.total().total_cmp(&a.total()));
            namings.truncate(if count == colours.len() { keep } else { BEAM });
        }
        namings
    }

    fn weigh(tint_of: Vec<Option<usize>>, colours: &[ColourName], watch: &Watch) -> Self {
        let names = tint_of
            .iter()
            .zip(colours)
            .map(|(tint, colour)| {
                tint.map_or(0.0, |tint| name_evidence(&watch.trace.tints[tint].names, *colour))
            })
            .collect();
        let absent = tint_of.iter().filter(|tint| tint.is_none()).count();
        Self {
            tint_of,
            names,
            ln_prior: absent as f64 * COLOUR_ABSENT,
        }
    }

    fn total(&self) -> f64 {
        self.ln_prior + self.names.iter().sum::<f64>()
    }

    /// Log evidence of the names in a stretch.
    pub(super) fn names(&self, watch: &Watch, a: usize, b: usize) -> f64 {
        let of = |(tint, name): (&Option<usize>, &f64)| {
            tint.map_or(0.0, |tint| watch.name_share(*name, tint, a, b))
        };
        self.tint_of.iter().zip(&self.names).map(of).sum()
    }

    /// Usual level of each colour.
    pub(super) fn gains(&self, watch: &Watch) -> Vec<f64> {
        self.tint_of
            .iter()
            .map(|tint| tint.map_or(1.0, |tint| watch.gains[tint]))
            .collect()
    }

    /// Tempered log chance of each frame's tint: [`codes`] columns in the order of [`TintCode`], each with every frame.
    pub(super) fn table(&self, colours: &[ColourName], watch: &Watch) -> Vec<f32> {
        let (codes, len) = (codes(colours.len()), watch.len());
        let mut table = vec![0.0; len * codes];
        for frame in (0..len).filter(|frame| watch.seen(*frame)) {
            let shown = watch.tint(frame);
            let mut set = |code: TintCode, chance: f32| {
                let code = usize::from(code.index(colours.len()));
                table[code * len + frame] = (watch.temper * f64::from(chance).ln()) as f32;
            };
            set(TintCode::Dark, dark_chance(shown, watch.tints()));
            set(TintCode::Mixed, TINT_MIXED);
            for (index, colour) in colours.iter().enumerate() {
                let [full, edge, swell] = self.lit_chances(index, *colour, shown, watch);
                set(TintCode::Full(index), full);
                set(TintCode::Edge(index), edge);
                set(TintCode::Swell(index), swell);
            }
        }
        table
    }

    fn lit_chances(&self, index: usize, colour: ColourName, shown: Option<usize>, watch: &Watch) -> [f32; 3] {
        let Some(shown) = shown else {
            return [TINT_NONE, EDGE_NONE, SWELL_NONE].map(|chance| chance as f32);
        };
        if self.tint_of[index] == Some(shown) {
            return [TINT_RIGHT, EDGE_RIGHT, SWELL_RIGHT].map(|chance| chance as f32);
        }
        let wrong = self.wrong_chance(colour, shown, watch);
        [wrong; 3]
    }

    /// Chance that a frame of a colour is filed under a tint that does not stand for it.
    fn wrong_chance(&self, colour: ColourName, shown: usize, watch: &Watch) -> f32 {
        let others = (watch.tints() as f64 - 1.0).max(1.0);
        let spare = !self.tint_of.contains(&Some(shown));
        let split = if spare {
            TINT_SPLIT * watch.trace.tints[shown].names.of(colour)
        } else {
            0.0
        };
        (TINT_WRONG / others).max(split) as f32
    }

    /// For each colour and tint the chance that one is filed under the other though that stands for something else: all
    /// that the evidence of timing has of the colours' names.
    pub(super) fn mistaken(&self, colours: &[ColourName], watch: &Watch) -> Vec<f32> {
        let of = |colour: &ColourName| {
            let colour = *colour;
            (0..watch.tints()).map(move |tint| self.wrong_chance(colour, tint, watch))
        };
        colours.iter().flat_map(of).collect()
    }
}

/// Chance of a frame's tint when the light is dark.
pub(super) fn dark_chance(shown: Option<usize>, tints: usize) -> f32 {
    match shown {
        None => 0.95,
        Some(_) => 0.05 / tints.max(1) as f32,
    }
}

/// Chance of a frame's tint when the light shows the tint `lit`.
pub(super) fn lit_chance(shown: Option<usize>, lit: usize, tints: usize) -> f64 {
    match shown {
        None => TINT_NONE,
        Some(shown) if shown == lit => TINT_RIGHT,
        Some(_) => TINT_WRONG / (tints as f64 - 1.0).max(1.0),
    }
}

/// How the tint of a frame is expected: dark, a colour alone, a colour for a part of the exposure, a colour that swells or
/// fades, or several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TintCode {
    Dark,
    Full(usize),
    Edge(usize),
    Swell(usize),
    Mixed,
}

impl TintCode {
    pub(super) fn index(self, colours: usize) -> u8 {
        let index = match self {
            Self::Dark => 0,
            Self::Full(colour) => 1 + colour,
            Self::Edge(colour) => 1 + colours + colour,
            Self::Swell(colour) => 1 + 2 * colours + colour,
            Self::Mixed => 1 + 3 * colours,
        };
        u8::try_from(index).expect("a pattern has at most as many colours as there are names")
    }
}

/// Number of tint codes for so many colours.
pub(super) fn codes(colours: usize) -> usize {
    2 + 3 * colours
}

/// Log evidence that a tint is called so: how much likelier than before looking.
pub(super) fn name_evidence(names: &NameBelief, colour: ColourName) -> f64 {
    let even = 1.0 / ColourName::ALL.len() as f64;
    let white = names.of(ColourName::White) + names.of(ColourName::WarmWhite);
    let doubt = NAME_DOUBT + (WHITE_DOUBT - NAME_DOUBT) * white;
    (((1.0 - doubt) * names.of(colour) + doubt * even) / even).ln()
}

fn extend(so_far: &[Option<usize>], tints: usize) -> Vec<Vec<Option<usize>>> {
    let free = (0..tints).filter(|tint| !so_far.contains(&Some(*tint))).map(Some);
    free.chain([None])
        .map(|tint| so_far.iter().copied().chain([tint]).collect())
        .collect()
}
