//! What a followed lamp gave in each frame, before it is made a time series of levels.

/// A lamp followed through the clip.
#[derive(Debug, Clone)]
pub struct Followed {
    /// Column of its centre in the upright picture of the first frame in which its place is in view, pixels.
    pub x: f64,
    /// Row of its centre, likewise.
    pub y: f64,
    /// Its radius, pixels.
    pub radius: f64,
    /// How much it looks like an indicator lamp, 0 to 1.
    pub score: f64,
    /// One entry a frame, in time order.
    pub glimpses: Vec<Glimpse>,
}

/// The lamp in one frame.
#[derive(Debug, Clone, Copy)]
pub struct Glimpse {
    /// Seconds since the first frame.
    pub time_s: f64,
}
