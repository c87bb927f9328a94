//! Whether the darker of a lamp's two states is lit too, in another colour, or unlit.

use super::states::{disc, sum3};

/// Linear light that errors of the exposure's correction and of a drifting white balance stay below (guessed).
const CLEAR: f32 = 0.06;

/// Linear light near the top of the scale, where a channel can hardly rise (guessed).
const TOP: f32 = 0.8;

/// Light of the two states over the lamp and of what is about it, channel by channel.
pub(super) struct Levels {
    dark: [f32; 3],
    bright: [f32; 3],
    ring: [f32; 3],
}

impl Levels {
    /// Means over the lamp's shape.
    pub(super) fn over(shape: &[f32], dark: &[[f32; 3]], bright: &[[f32; 3]], ring: &[f32; 3]) -> Self {
        let over = |state: &[[f32; 3]]| -> [f32; 3] {
            std::array::from_fn(|k| state.iter().zip(shape).map(|(p, w)| p[k] * w).sum())
        };
        Self {
            dark: over(dark),
            bright: over(bright),
            ring: *ring,
        }
    }

    /// Mean over the channels of what the darker state is above its surround.
    pub(super) fn dark_over_surround(&self) -> f64 {
        f64::from(sum3(&self.dark) - sum3(&self.ring)) / 3.0
    }

    /// The darker state looks like a source: near the top of the scale and well above its surround.
    pub(super) fn dark_is_bright(&self) -> bool {
        /// Linear light of a channel that an unlit lens hardly reaches (guessed; scene white is at about 0.8),
        /// and how many times its surround it must be.
        const BRIGHT: f32 = 0.5;
        const TIMES_SURROUND: f32 = 1.8;
        (0..3).any(|k| self.dark[k] > BRIGHT && self.dark[k] > TIMES_SURROUND * self.ring[k].max(0.02))
    }

    /// Both states give so many times the light of their surround: more than what is white or coloured in the room's light
    /// could (see `paper.rs`).
    pub(super) fn outshine(&self, times: f64) -> bool {
        /// As in a picture no part is wholly black.
        const LEAST: f32 = 0.005;
        let strongest = |state: [f32; 3]| state.into_iter().fold(0.0, f32::max);
        let most = times as f32 * strongest(self.ring).max(LEAST);
        strongest(self.dark) > most && strongest(self.bright) > most
    }

    /// Over the whole lamp, the darker state gives light that the brighter one does not.
    pub(super) fn dark_shines(&self, where_they_differ: &Self) -> bool {
        self.dark_outshines() || self.dark_goes_out(where_they_differ)
    }

    /// The darker state looks like a source, gives clearly more than the brighter one in some channel and less in none: of
    /// two colours that clip, the purer may win by its halo alone.
    fn dark_outshines(&self) -> bool {
        let falls = [0, 1, 2].map(|k| self.dark[k] - self.bright[k]);
        self.dark_is_bright()
            && falls.iter().all(|fall| *fall > -CLEAR)
            && falls.iter().any(|fall| *fall > CLEAR)
    }

    /// The darker state is coloured where the two differ most, and over the whole lamp a channel of it is at the top of the scale
    /// that falls as the brighter one comes. Where both clip they are white in the middle, and that is all that tells. A grey lens
    /// loses light too, under a lamp beyond the picture's primaries; a coloured one hardly what it is brightest in.
    fn dark_goes_out(&self, where_they_differ: &Self) -> bool {
        /// Linear light between the channels of a colour that a lens is not by the balance alone (guessed).
        const COLOURED: f32 = 0.2;
        let of = where_they_differ.dark;
        let most = of.into_iter().fold(0.0, f32::max);
        let is_coloured = of.into_iter().any(|channel| most - channel > COLOURED);
        is_coloured && (0..3).any(|k| self.dark[k] > TOP && self.dark[k] - self.bright[k] > 2.0 * CLEAR)
    }

    /// What the darker state is above its surround is a good part of what the brighter one adds to it, each by
    /// its strongest channel: a pure colour after a white gives a third of the light and as much in one channel.
    pub(super) fn dark_is_as_strong(&self) -> bool {
        /// Guessed; the spill of a neighbour is weaker.
        const SHARE_OF_GAIN: f32 = 0.4;
        strongest(&self.dark, &self.ring) >= SHARE_OF_GAIN * strongest(&self.bright, &self.dark)
    }

    /// The darker state gives light of a colour that the brighter one does not have, or not more of.
    pub(super) fn dark_gives_colour(&self) -> bool {
        self.dark_takes_over() || self.dark_is_other_colour()
    }

    /// A channel in which the darker state stands out from its surround, and from the other channels, is clearly
    /// weaker in the brighter one: the darker state gives light of that colour. Of a grey lens a channel may fall
    /// too, where a pure lamp lies outside the picture's primaries and what would be negative is cut off.
    fn dark_takes_over(&self) -> bool {
        /// Share of what other channels gain, likewise.
        const SHARE_OF_GAIN: f32 = 0.5;
        /// How many times the other channels' light over the surround that of a colour is (guessed).
        const TIMES_OTHERS: f32 = 2.0;
        let gain = strongest(&self.bright, &self.dark);
        let over = |k: usize| self.dark[k] - self.ring[k];
        (0..3).any(|k| {
            let falls = self.dark[k] - self.bright[k];
            let others = (0..3).filter(|&other| other != k).map(over).fold(0.0, f32::max);
            falls > CLEAR && falls > SHARE_OF_GAIN * gain && over(k) > TIMES_OTHERS * others
        })
    }

    /// A channel of the darker state is near the top of the scale, where it can hardly rise, and above its surround as no other
    /// channel is; those others are what the brighter one adds. A blue that clips before a white, in a room as bright as it: a
    /// lens of that colour would lend it to the light that comes through.
    fn dark_is_other_colour(&self) -> bool {
        /// How many times the light of its surround (guessed; the brightest paints give hardly more than a pale case).
        const TIMES_SURROUND: f32 = 1.3;
        (0..3).any(|k| {
            let others = || (0..3).filter(move |&other| other != k);
            let stands_out = self.dark[k] > TOP.max(TIMES_SURROUND * self.ring[k]);
            let alone = others().all(|other| self.dark[other] < self.ring[other]);
            let adds = |k: usize| self.bright[k] - self.dark[k];
            stands_out && alone && adds(k) < CLEAR && others().any(|other| adds(other) > 2.0 * CLEAR)
        })
    }
}

/// The most that any channel is above another state.
fn strongest(state: &[f32; 3], below: &[f32; 3]) -> f32 {
    (0..3)
        .map(|k| state[k] - below[k])
        .fold(f32::NEG_INFINITY, f32::max)
}

/// Whether the light of the darker state is that of the lamp. Where both states clip, they differ all round the rim only, and
/// that is no place that the darker one has its light in.
pub(super) fn is_in_place(dark: &[[f32; 3]], shape: &[f32], offsets: &[(f64, f64)], radius: f64) -> bool {
    same_place(dark, shape)
        || (lies_about_middle(shape, offsets, radius) && same_place(dark, &disc(offsets, radius)))
}

/// Whether a shape's centre is about the middle: two lamps that touch differ on one side each.
fn lies_about_middle(shape: &[f32], offsets: &[(f64, f64)], radius: f64) -> bool {
    /// Share of the radius (guessed).
    const ABOUT: f64 = 0.25;
    let weighed = offsets.iter().zip(shape);
    let (x, y) = weighed.fold((0.0, 0.0), |(x, y), (offset, &weight)| {
        (x + offset.0 * f64::from(weight), y + offset.1 * f64::from(weight))
    });
    x.hypot(y) <= ABOUT * radius
}

/// Whether the light of the darker state is in the same place as the lamp, and not that of a neighbour.
fn same_place(dark: &[[f32; 3]], shape: &[f32]) -> bool {
    /// Least correlation of the two pictures over the lamp.
    const SAME_PLACE: f64 = 0.6;
    let n = dark.len() as f64;
    let values = || {
        dark.iter()
            .zip(shape)
            .map(|(p, w)| (f64::from(sum3(p)), f64::from(*w)))
    };
    let (mean_p, mean_w) = values().fold((0.0, 0.0), |m, v| (m.0 + v.0 / n, m.1 + v.1 / n));
    let (mut pw, mut pp, mut ww) = (0.0, 1e-12, 1e-12);
    for (p, w) in values() {
        pw += (p - mean_p) * (w - mean_w);
        pp += (p - mean_p).powi(2);
        ww += (w - mean_w).powi(2);
    }
    pw / (pp * ww).sqrt() > SAME_PLACE
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Worked by hand from lamps of which the program is known: what the darker state is.
    #[rstest]
    // A red after a white of the same strength.
    #[case::red_after_white([0.85, 0.09, 0.10], [0.92, 0.91, 0.91], [0.14, 0.13, 0.12], true)]
    // A red after a green, both far from clipping: each falls when the other rises.
    #[case::dim_red_after_green([0.40, 0.05, 0.05], [0.10, 0.50, 0.08], [0.10, 0.10, 0.10], true)]
    // A blue before a white on a pale case in a bright room, and a blue lens there that lends its colour.
    #[case::blue_before_white([0.24, 0.35, 0.92], [0.97, 0.95, 0.94], [0.55, 0.54, 0.53], true)]
    #[case::blue_lens([0.24, 0.35, 0.85], [0.32, 0.45, 1.00], [0.55, 0.54, 0.53], false)]
    // A grey lens in a bright room.
    #[case::unlit_lens([0.49, 0.49, 0.48], [0.95, 0.52, 0.50], [0.42, 0.41, 0.38], false)]
    // A red lens, unlit and then lit.
    #[case::red_lens([0.30, 0.08, 0.08], [0.95, 0.12, 0.10], [0.15, 0.15, 0.14], false)]
    // A grey lens before a green whose red is cut off at nothing.
    #[case::pure_green([0.30, 0.30, 0.28], [0.02, 0.80, 0.20], [0.10, 0.10, 0.10], false)]
    // The exposure answered a lit lamp and was put right but for a few per cent.
    #[case::answered_exposure([0.40, 0.40, 0.40], [0.36, 0.36, 1.00], [0.30, 0.30, 0.30], false)]
    fn tells_lit_from_unlit(
        #[case] dark: [f32; 3],
        #[case] bright: [f32; 3],
        #[case] ring: [f32; 3],
        #[case] lit: bool,
    ) {
        let levels = Levels::over(&[1.0], &[dark], &[bright], &ring);
        let says = levels.dark_gives_colour() || (levels.dark_is_bright() && levels.dark_is_as_strong());
        assert_eq!(says, lit);
    }

    /// Over the disc.
    #[rstest]
    // A white that clips before a blue that clips in two channels.
    #[case::white_before_blue([1.0, 1.0, 1.0], [0.05, 0.98, 1.0], true)]
    #[case::white_before_warm_white([1.0, 1.0, 1.0], [1.0, 0.99, 0.85], true)]
    #[case::red_before_white([1.0, 0.1, 0.1], [1.0, 1.0, 1.0], false)]
    #[case::lens_in_sunlight([0.80, 0.80, 0.78], [0.78, 0.98, 0.80], false)]
    #[case::answered_exposure([0.60, 0.60, 0.60], [0.55, 0.56, 1.00], false)]
    fn a_state_that_outshines_the_other_is_lit(
        #[case] dark: [f32; 3],
        #[case] bright: [f32; 3],
        #[case] lit: bool,
    ) {
        let levels = Levels::over(&[1.0], &[dark], &[bright], &[0.12, 0.12, 0.11]);
        assert_eq!(levels.dark_outshines(), lit);
    }

    /// Over the disc, and the darker state where the two differ most.
    #[rstest]
    // A violet, white in the middle, before a cyan and before a warm white that is white there too.
    #[case::violet_before_cyan([1.0, 0.9, 1.0], [0.0, 1.0, 1.0], [0.62, 0.23, 0.74], true)]
    #[case::violet_before_warm_white([0.92, 0.62, 0.97], [0.99, 0.94, 0.75], [0.67, 0.25, 0.79], true)]
    // White lenses before a green beyond the primaries, one of which was filmed.
    #[case::lens_in_sunlight([0.94, 0.92, 0.85], [0.98, 1.0, 0.08], [0.60, 0.60, 0.53], false)]
    #[case::lens_in_the_room([0.75, 0.75, 0.73], [0.30, 1.00, 0.62], [0.7, 0.5, 0.4], false)]
    fn a_colour_that_goes_out_is_lit(
        #[case] dark: [f32; 3],
        #[case] bright: [f32; 3],
        #[case] where_they_differ: [f32; 3],
        #[case] lit: bool,
    ) {
        let of = |dark| Levels::over(&[1.0], &[dark], &[bright], &[0.12, 0.12, 0.11]);
        assert_eq!(of(dark).dark_goes_out(&of(where_they_differ)), lit);
    }
}
