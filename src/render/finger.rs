//! A finger that comes over a lamp, as when a reset button beside it is pressed.

use super::motion::ease;
use super::recipe::Cover;

/// How long the finger takes to arrive and to leave, seconds; guessed.
const MOVING_S: f64 = 0.2;

/// Reflectance of skin, linear red, green and blue; a middling value, no source.
pub(super) const SKIN: [f64; 3] = [0.45, 0.27, 0.19];

/// Direction from the tip along the finger: it comes from below right.
const ALONG: (f64, f64) = (0.447, 0.894);

/// A finger in one frame, in pixels of the upright picture: a round tip and what follows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Finger {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) radius: f64,
}

impl Finger {
    /// Where the finger is at a time, if it is about. From `from_s` to `to_s` it rests on (`x`, `y`).
    pub(super) fn at(cover: &Cover, (x, y): (f64, f64), time_s: f64) -> Option<Self> {
        let here =
            ease((time_s - cover.from_s + MOVING_S) / MOVING_S) - ease((time_s - cover.to_s) / MOVING_S);
        // From more than its own width away, so that the lamp is in the open before and after.
        let away = (1.0 - here) * 2.5 * cover.radius_px;
        (here > 0.0).then_some(Self {
            x: x + ALONG.0 * away,
            y: y + ALONG.1 * away,
            radius: cover.radius_px,
        })
    }

    /// Distance of a point from the finger's middle line, pixels.
    pub(super) fn distance(&self, (x, y): (f64, f64)) -> f64 {
        let (x, y) = (x - self.x, y - self.y);
        let along = (x * ALONG.0 + y * ALONG.1).max(0.0);
        (x - along * ALONG.0).hypot(y - along * ALONG.1)
    }

    /// Share of a small disc at a point that it covers, 0 to 1.
    pub(super) fn covered(&self, point: (f64, f64), radius: f64) -> f64 {
        let gap = self.distance(point) - self.radius;
        ease(0.5 - 0.5 * gap / radius)
    }
}
