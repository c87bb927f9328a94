//! How to film again so that the next reading is better.

use crate::light::Notice;
use crate::meaning::{Doubt, FRAMES_A_CYCLE, Settle, phone_rate};
use crate::words::{Language, Value, say, say_with};

/// Length of a clip to ask for where nothing says how much is needed, seconds. Guessed: several cycles of
/// most rhythms that a person would still call blinking.
pub(super) const USUAL_CLIP_S: f64 = 10.0;

/// One way to film better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Retake {
    /// Film for longer.
    Longer {
        /// By so many seconds, if that is known.
        seconds: Option<f64>,
    },
    /// Film a clip in place of a photo.
    Clip {
        /// So many seconds.
        seconds: f64,
    },
    /// Film with more frames a second.
    FasterFrames {
        /// At least so many.
        fps: f64,
    },
    /// Go closer.
    Closer,
    /// Hold the phone still.
    Brace,
    /// Put a white sheet beside the lamp.
    WhiteSheet,
    /// Keep the lamp uncovered and in the picture.
    KeepInView,
    /// Take less light in.
    Darker,
    /// Take more light in.
    Brighter,
    /// Have less light on the device, so that the exposure is longer.
    LessLight,
    /// Get only the lamp in question into the picture.
    OneLamp,
    /// Say anew which lamp it is; the footage may do.
    PointAgain,
}

impl Retake {
    /// A clip of a length that does for most rhythms.
    pub const USUAL_CLIP: Self = Self::Clip {
        seconds: USUAL_CLIP_S,
    };

    /// More frames than `fps`, and enough to show a light of `rate_hz` as it is.
    #[must_use]
    pub fn to_show(rate_hz: f64, fps: f64) -> Self {
        Self::FasterFrames {
            fps: (FRAMES_A_CYCLE * rate_hz).max(fps + 1.0),
        }
    }

    /// A few words, to follow "what would settle it".
    #[must_use]
    pub fn phrase(self, language: Language) -> String {
        match self {
            Self::Longer { seconds: Some(s) } => {
                say_with(language, "phrase-longer", &[("seconds", count(whole(s)))])
            }
            Self::Longer { seconds: None } => say(language, "phrase-longer-open"),
            Self::Clip { seconds } => {
                say_with(language, "phrase-clip", &[("seconds", count(whole(seconds)))])
            }
            Self::FasterFrames { fps } => {
                say_with(language, "phrase-faster", &[("fps", count(phone_rate(fps)))])
            }
            Self::Closer => say(language, "phrase-closer"),
            Self::Brace => say(language, "phrase-brace"),
            Self::WhiteSheet => say(language, "phrase-white-sheet"),
            Self::KeepInView => say(language, "phrase-keep-in-view"),
            Self::Darker => say(language, "phrase-darker"),
            Self::Brighter => say(language, "phrase-brighter"),
            Self::LessLight => say(language, "phrase-less-light"),
            Self::OneLamp => say(language, "phrase-one-lamp"),
            Self::PointAgain => say(language, "phrase-point-again"),
        }
    }

    /// A full sentence for whoever holds the phone.
    #[must_use]
    pub fn sentence(self, language: Language) -> String {
        match self {
            Self::Longer { seconds: Some(s) } => {
                say_with(language, "film-longer", &[("seconds", count(whole(s)))])
            }
            Self::Longer { seconds: None } => say(language, "film-longer-open"),
            Self::Clip { seconds } => say_with(language, "film-clip", &[("seconds", count(whole(seconds)))]),
            Self::FasterFrames { fps } if phone_rate(fps) > 60.0 => {
                say_with(language, "film-slow-motion", &[("fps", count(phone_rate(fps)))])
            }
            Self::FasterFrames { fps } => {
                say_with(language, "film-faster", &[("fps", count(phone_rate(fps)))])
            }
            Self::Closer => say(language, "film-closer"),
            Self::Brace => say(language, "film-brace"),
            Self::WhiteSheet => say(language, "film-white-sheet"),
            Self::KeepInView => say(language, "film-keep-in-view"),
            Self::Darker => say(language, "film-darker"),
            Self::Brighter => say(language, "film-brighter"),
            Self::LessLight => say(language, "film-less-light"),
            Self::OneLamp => say(language, "film-one-lamp"),
            Self::PointAgain => say(language, "film-point-again"),
        }
    }

    /// Adds one unless its like is there; of two alike the more demanding stays.
    pub(super) fn add(self, to: &mut Vec<Self>) {
        let alike = |other: &&mut Self| std::mem::discriminant(*other) == std::mem::discriminant(&self);
        match to.iter_mut().find(alike) {
            Some(old) if self.demand() > old.demand() => *old = self,
            Some(_) => {}
            None => to.push(self),
        }
    }

    fn demand(self) -> f64 {
        match self {
            Self::Longer { seconds } => seconds.unwrap_or(0.0),
            Self::Clip { seconds } => seconds,
            Self::FasterFrames { fps } => fps,
            _ => 0.0,
        }
    }

    /// The retake that would settle an undecided reading; `None` where no filming would.
    #[must_use]
    pub const fn settling(settle: &Settle) -> Option<Self> {
        Some(match *settle {
            Settle::FilmLonger { seconds } => Self::Longer {
                seconds: Some(seconds),
            },
            Settle::FilmInstead { seconds } => Self::Clip { seconds },
            Settle::FasterFrames { fps } => Self::FasterFrames { fps },
            Settle::Closer => Self::Closer,
            Settle::WhiteSheet => Self::WhiteSheet,
            Settle::LessLight => Self::LessLight,
            Settle::Ask { .. } => return None,
        })
    }
}

impl From<&Notice> for Retake {
    fn from(notice: &Notice) -> Self {
        match notice {
            Notice::HandShake { .. } => Self::Brace,
            Notice::SmallLamp { .. } => Self::Closer,
            Notice::Overexposed { .. } => Self::Darker,
            Notice::TooDark { .. } => Self::Brighter,
            Notice::OftenHidden { .. } => Self::KeepInView,
            Notice::LampBeside { .. } | Notice::NothingLit => Self::PointAgain,
            Notice::SeveralLamps { .. } => Self::OneLamp,
        }
    }
}

impl From<&Doubt> for Retake {
    fn from(doubt: &Doubt) -> Self {
        match doubt {
            Doubt::FewCycles { .. } | Doubt::ChangedAtEnd { .. } => Self::Longer { seconds: None },
            Doubt::PartlySeen { .. } => Self::KeepInView,
            Doubt::FastRhythm { rate_hz, fps } => Self::to_show(*rate_hz, *fps),
            Doubt::NearColours { .. } => Self::WhiteSheet,
            Doubt::PerhapsPulses { .. } | Doubt::PerhapsFlicker { .. } => Self::LessLight,
        }
    }
}

/// A whole number as text: no language groups so few digits.
fn count(number: f64) -> Value<'static> {
    format!("{number:.0}").into()
}

fn whole(seconds: f64) -> f64 {
    seconds.ceil().max(1.0)
}
