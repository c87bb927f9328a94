//! Why no row could be learnt.

use crate::colour::ColourName;

/// Why no row could be learnt.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LearnError {
    /// One clip shows no rhythm that a row could state.
    #[error("{clip} shows no repeating rhythm: {seen}")]
    NoRhythm {
        /// The clip.
        clip: String,
        /// What it shows instead, as a phrase.
        seen: &'static str,
    },
    /// The lamp has a colour that the table's light cannot take.
    #[error("{clip} shows {seen}, which light `{light}` does not have")]
    ForeignColour {
        /// The clip.
        clip: String,
        /// The colour.
        seen: ColourName,
        /// The light's id.
        light: String,
    },
    /// The clips do not show one state.
    #[error("the clips do not show the same: {}", looks.join("; "))]
    Disagree {
        /// What each shows, with its name.
        looks: Vec<String>,
    },
    /// No clip was given.
    #[error("there is no clip to learn from")]
    NoClips,
}

impl LearnError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NoRhythm { .. } => {
                "film one state only, for three of its cycles, held still; cut off what comes before and after"
            }
            Self::ForeignColour { .. } => {
                "add the colour to the light's `colours` if it has it, or point to the lamp with --at"
            }
            Self::Disagree { .. } => "learn from clips of one state; leave out the one that differs",
            Self::NoClips => "name at least one clip, better three from different devices or phones",
        }
    }
}
