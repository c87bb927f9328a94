//! How to film again so that the next reading is better.

use crate::light::Notice;
use crate::meaning::{Doubt, Settle};

/// Frame rates that phones offer, frames a second.
const PHONE_RATES: [f64; 4] = [30.0, 60.0, 120.0, 240.0];

/// Frames a cycle that show both the lit and the dark part wherever the cycle falls among the frames: twice
/// the two of the sampling theorem, because a frame that is lit for a part of its exposure tells neither.
/// Guessed margin.
const FRAMES_A_CYCLE: f64 = 4.0;

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
    /// Get only the lamp in question into the picture.
    OneLamp,
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
    pub fn phrase(self) -> String {
        match self {
            Self::Longer {
                seconds: Some(seconds),
            } => format!("film {:.0} s more", whole(seconds)),
            Self::Longer { seconds: None } => "film for longer".to_owned(),
            Self::Clip { seconds } => format!("film a clip of {:.0} s in place of a photo", whole(seconds)),
            Self::FasterFrames { fps } => format!("film at {:.0} frames a second or more", offered(fps)),
            Self::Closer => "film closer and steadier".to_owned(),
            Self::Brace => "brace the phone".to_owned(),
            Self::WhiteSheet => "put a white sheet beside the lamp".to_owned(),
            Self::KeepInView => "keep the lamp in view".to_owned(),
            Self::Darker => "film with less exposure".to_owned(),
            Self::Brighter => "film with more exposure".to_owned(),
            Self::OneLamp => "film with only that lamp in the picture".to_owned(),
        }
    }

    /// A full sentence for whoever holds the phone.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Longer {
                seconds: Some(seconds),
            } => {
                format!(
                    "Film the light again, for {:.0} s longer than this time.",
                    whole(seconds)
                )
            }
            Self::Longer { seconds: None } => {
                "Film the light again for longer, so that what it does repeats a few times.".to_owned()
            }
            Self::Clip { seconds } => {
                format!(
                    "Film a clip of {:.0} s; a photo cannot show what the light does over time.",
                    whole(seconds)
                )
            }
            Self::FasterFrames { fps } if offered(fps) > 60.0 => {
                format!(
                    "Film again in slow motion, {:.0} frames a second or more.",
                    offered(fps)
                )
            }
            Self::FasterFrames { fps } => {
                format!(
                    "Film again at {:.0} frames a second or more; it is in the camera's settings.",
                    offered(fps)
                )
            }
            Self::Closer => "Film again from closer, so that the lamp is large in the picture.".to_owned(),
            Self::Brace => "Brace the phone against something firm and hold it still.".to_owned(),
            Self::WhiteSheet => "Put a white sheet of paper beside the lamp and film both.".to_owned(),
            Self::KeepInView => {
                "Keep the lamp in the picture all the time, with no finger before it.".to_owned()
            }
            Self::Darker => {
                "Tap on the lamp on the screen and draw the brightness down before filming.".to_owned()
            }
            Self::Brighter => {
                "Tap on the device beside the lamp and draw the brightness up before filming.".to_owned()
            }
            Self::OneLamp => "Film again with only the lamp in question in the picture.".to_owned(),
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
        }
    }
}

fn whole(seconds: f64) -> f64 {
    seconds.ceil().max(1.0)
}

/// The least rate that a phone offers of at least `fps`.
fn offered(fps: f64) -> f64 {
    PHONE_RATES
        .into_iter()
        .find(|rate| *rate >= fps)
        .unwrap_or_else(|| fps.ceil())
}
