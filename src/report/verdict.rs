//! What is made of a try at a reset.

use crate::meaning::Attempt;
use crate::table::Kind;
use crate::words::Words;

/// What is made of a try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The device says that the reset took.
    Took,
    /// It was let go too soon.
    TooShort,
    /// The device refused it, though it was held long enough or that was not seen.
    Refused,
    /// The clip does not show which.
    Unclear,
    /// No try is seen in the clip.
    None,
    /// The clip could not be read.
    Unreadable,
}

impl Verdict {
    /// A stable word for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Took => "took",
            Self::TooShort => "too-short",
            Self::Refused => "refused",
            Self::Unclear => "unclear",
            Self::None => "none",
            Self::Unreadable => "unreadable",
        }
    }

    pub(super) fn words(self, words: &Words) -> String {
        words.say(match self {
            Self::Took => "drill-took",
            Self::TooShort => "drill-too-short",
            Self::Refused => "drill-refused",
            Self::Unclear => "drill-unclear",
            Self::None => "drill-none",
            Self::Unreadable => "drill-unreadable",
        })
    }
}

pub(super) fn verdict(attempt: &Attempt, kind: Kind, decide_at: f64) -> Verdict {
    match kind {
        _ if attempt.confidence < decide_at => Verdict::Unclear,
        // A clip that ends while the button is held shows no answer, whichever row begins so.
        _ if attempt.needed_s.is_some() && attempt.answered_s.is_none() => Verdict::Unclear,
        Kind::ResetAcknowledged => Verdict::Took,
        _ if attempt.was_long_enough() == Some(false) => Verdict::TooShort,
        _ => Verdict::Refused,
    }
}
