//! The colour names a light table may use, and a belief over them.

use std::fmt;
use std::str::FromStr;

/// A colour that people tell apart on a small lamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ColourName {
    /// Dominant wavelength above about 610 nm.
    Red,
    /// Orange to yellow-orange, about 590 to 610 nm; the trade sells 583 to 593 nm as amber and as yellow.
    Amber,
    /// About 570 to 591 nm.
    Yellow,
    /// About 505 to 570 nm.
    Green,
    /// Blue-green, about 485 to 505 nm.
    Cyan,
    /// About 445 to 485 nm.
    Blue,
    /// Purple and pink: beyond the ends of the spectrum or mixed from both.
    Violet,
    /// Cool or neutral white.
    White,
    /// White with a visible yellow cast, like a filament.
    WarmWhite,
}

impl ColourName {
    /// Every name, in the order that [`NameBelief`] counts them.
    pub const ALL: [Self; 9] = [
        Self::Red,
        Self::Amber,
        Self::Yellow,
        Self::Green,
        Self::Cyan,
        Self::Blue,
        Self::Violet,
        Self::White,
        Self::WarmWhite,
    ];

    /// The name as a light table writes it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Amber => "amber",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Cyan => "cyan",
            Self::Blue => "blue",
            Self::Violet => "violet",
            Self::White => "white",
            Self::WarmWhite => "warm white",
        }
    }

    /// Position in [`ColourName::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

impl fmt::Display for ColourName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// A word that is no colour name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("unknown colour: {word}")]
pub struct UnknownColour {
    /// What was written.
    pub word: String,
}

impl FromStr for ColourName {
    type Err = UnknownColour;

    fn from_str(word: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|name| name.as_str() == word)
            .ok_or_else(|| UnknownColour {
                word: word.to_owned(),
            })
    }
}

/// Probabilities over [`ColourName::ALL`]; they sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NameBelief([f64; ColourName::ALL.len()]);

impl NameBelief {
    /// Scales non-negative weights so that they sum to 1; equal shares if they are all zero.
    #[must_use]
    pub fn from_weights(weights: [f64; ColourName::ALL.len()]) -> Self {
        let sum: f64 = weights.iter().sum();
        if sum > 0.0 {
            Self(weights.map(|weight| weight / sum))
        } else {
            Self([1.0 / ColourName::ALL.len() as f64; ColourName::ALL.len()])
        }
    }

    /// The mean of two beliefs about one lamp: neither is trusted alone, since each may be off in its own way.
    #[must_use]
    pub fn mean_with(&self, other: &Self) -> Self {
        Self::from_weights(ColourName::ALL.map(|name| self.of(name) + other.of(name)))
    }

    /// Probability of one name.
    #[must_use]
    pub fn of(&self, name: ColourName) -> f64 {
        self.0[name.index()]
    }

    /// Names with their probabilities, most probable first.
    #[must_use]
    pub fn ranked(&self) -> Vec<(ColourName, f64)> {
        let mut ranked: Vec<_> = ColourName::ALL.into_iter().zip(self.0).collect();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
        ranked
    }
}
