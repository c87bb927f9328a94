//! What a followed lamp gave in each frame, before it is made a time series of levels.

/// A lamp followed through the clip.
#[derive(Debug, Clone)]
pub struct Followed {
    /// Column of its centre in the upright picture of the first frame, pixels; outside the picture where it
    /// comes into view later.
    pub x: f64,
    /// Row of its centre, likewise.
    pub y: f64,
    /// Its radius, pixels.
    pub radius: f64,
    /// How much it looks like an indicator lamp, 0 to 1.
    pub score: f64,
    /// One entry a frame, in time order.
    pub glimpses: Vec<Glimpse>,
    /// What made it hard to see.
    pub notices: Vec<super::Notice>,
}

/// The lamp in one frame. Light is linear, on BT.709 primaries, 1 being the white of the picture, the
/// camera's changes of exposure taken out.
#[derive(Debug, Clone, Copy)]
pub struct Glimpse {
    /// Seconds since the first frame.
    pub time_s: f64,
    /// Column and row of the lamp's centre in this frame's upright picture, pixels; where the camera's
    /// movement puts it if it is not seen, not a number in frames before it was first found.
    pub place: (f64, f64),
    /// Whether the place of the lamp could be seen; if not, the other figures mean nothing.
    pub sighting: Sighting,
    /// Light of the lamp beyond its darkest state, by its strongest channel, over the pixels that do not clip.
    pub excess: f64,
    /// Mean of the three channels over the lamp in its darkest state less that of its surround.
    pub base: f64,
    /// The lamp does not change, or even its darkest state looks like a source and not like an unlit lens:
    /// `excess` is then over the surround.
    pub base_is_lit: bool,
    /// The emitted light is the lamp's alone: it was seen unlit, or gives far more than its lens could of the room's light.
    pub alone: bool,
    /// Red, green, blue of the emitted light (this frame less the unlit lens, or less the surround where it
    /// never was unlit), over those pixels that are not clipped.
    pub emitted: [f64; 3],
    /// Where the lamp clips: red, green, blue of its halo. Fainter and noisier, below zero by chance, but of its true hue.
    pub halo: Option<[f64; 3]>,
    /// Share of the lit lamp's light that fell on clipped pixels, 0 to 1.
    pub clipped: f64,
}

impl Glimpse {
    /// A frame in which the lamp could not be seen.
    pub(super) const fn unseen(time_s: f64) -> Self {
        Self {
            time_s,
            place: (f64::NAN, f64::NAN),
            sighting: Sighting::Hidden,
            excess: 0.0,
            base: 0.0,
            base_is_lit: false,
            alone: true,
            emitted: [0.0; 3],
            halo: None,
            clipped: 0.0,
        }
    }
}

/// Whether the place of the light could be seen in a frame. Hidden is not dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sighting {
    /// In view.
    Seen,
    /// In the frame but covered, or the frame is damaged or too blurred to tell.
    Hidden,
    /// Outside the frame.
    OutOfFrame,
}
