//! Time stamps and the file.

use serde::{Deserialize, Serialize};

use crate::footage::Quarter;

/// Time stamps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Timing {
    /// Frames a second.
    pub frames_per_s: f64,
    /// Largest deviation of a frame from its even place in time, seconds; below half a frame's time.
    pub jitter_s: f64,
    /// Share of frames that are missing, 0 to 1.
    pub dropped_share: f64,
    /// Share of frames that show the picture before them again, 0 to 1.
    pub repeated_share: f64,
}

/// The file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Encoding {
    /// Which codec.
    pub codec: Codec,
    /// Constant rate factor of the encoder: lower is better and larger; 18 to 30 are usual.
    pub crf: u32,
    /// Kilobits a second, kept to whatever the picture: phones write some thousand, messengers a few hundred
    /// to two thousand. It takes the place of the rate factor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kbit_per_s: Option<u32>,
    /// Curve, primaries and depth.
    pub range: DynamicRange,
    /// The turn that the file asks of the player, as phones held upright do.
    pub upright: Upright,
}

/// Which codec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Codec {
    /// ITU-T H.264.
    H264,
    /// ITU-T H.265.
    Hevc,
    /// VP9.
    Vp9,
}

/// Curve, primaries and depth of the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DynamicRange {
    /// Rec. ITU-R BT.709, 8 bits.
    Standard,
    /// Hybrid log-gamma of Rec. ITU-R BT.2100, BT.2020 primaries, 10 bits. A white sheet in an ambient light
    /// of 1 is at 75 % (Report ITU-R BT.2408); the sensor clips where the code ends, at 3.8 times that.
    Hlg,
    /// Perceptual quantiser of Rec. ITU-R BT.2100, BT.2020 primaries, 10 bits. White is 203 cd/m2 (Report
    /// ITU-R BT.2408); the sensor clips at 1000 cd/m2.
    Pq,
}

/// The turn that makes the coded picture upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Upright {
    /// None.
    AsCoded,
    /// 90 degrees clockwise.
    TurnedRight,
    /// 180 degrees.
    Reversed,
    /// 90 degrees anticlockwise.
    TurnedLeft,
}

impl Upright {
    pub(in crate::render) const fn quarter(self) -> Quarter {
        match self {
            Self::AsCoded => Quarter::None,
            Self::TurnedRight => Quarter::Right,
            Self::Reversed => Quarter::Half,
            Self::TurnedLeft => Quarter::Left,
        }
    }
}
