//! What one lamp gave in the frames gone by, kept small: with the times of the frames it is all that grows with a clip.

use super::glimpse::{Glimpse, Sighting};

/// The glimpses of one lamp, window by window. Never one growing block: growing doubles it, and moves it beside the last.
#[derive(Debug, Default)]
pub(super) struct Album(Vec<Box<[Small]>>);

/// A glimpse without its time, which all lamps share. Single precision is a thousandth of a pixel and of a percent of the
/// light at the most.
#[derive(Debug, Clone, Copy)]
struct Small {
    place: (f32, f32),
    excess: f32,
    base: f32,
    emitted: [f32; 3],
    halo: Option<[f32; 3]>,
    clipped: f32,
    sighting: Sighting,
    base_is_lit: bool,
    alone: bool,
}

impl Album {
    /// Of a lamp that nobody looked for in so many frames.
    pub(super) fn unseen(frames: usize) -> Self {
        Self(vec![vec![Small::from(&Glimpse::unseen(0.0)); frames].into()])
    }

    pub(super) fn add(&mut self, glimpses: &[Glimpse]) {
        self.0.push(glimpses.iter().map(Small::from).collect());
    }

    /// One glimpse a frame, for frames at so many seconds.
    pub(super) fn glimpses(self, times_s: &[f64]) -> Vec<Glimpse> {
        debug_assert_eq!(
            self.0.iter().map(|window| window.len()).sum::<usize>(),
            times_s.len()
        );
        let small = self.0.iter().flat_map(|window| window.iter());
        small
            .zip(times_s)
            .map(|(small, &time_s)| small.at(time_s))
            .collect()
    }
}

impl From<&Glimpse> for Small {
    fn from(glimpse: &Glimpse) -> Self {
        let narrow = |channels: [f64; 3]| channels.map(|channel| channel as f32);
        Self {
            place: (glimpse.place.0 as f32, glimpse.place.1 as f32),
            excess: glimpse.excess as f32,
            base: glimpse.base as f32,
            emitted: narrow(glimpse.emitted),
            halo: glimpse.halo.map(narrow),
            clipped: glimpse.clipped as f32,
            sighting: glimpse.sighting,
            base_is_lit: glimpse.base_is_lit,
            alone: glimpse.alone,
        }
    }
}

impl Small {
    fn at(&self, time_s: f64) -> Glimpse {
        Glimpse {
            time_s,
            place: (f64::from(self.place.0), f64::from(self.place.1)),
            sighting: self.sighting,
            excess: f64::from(self.excess),
            base: f64::from(self.base),
            base_is_lit: self.base_is_lit,
            alone: self.alone,
            emitted: self.emitted.map(f64::from),
            halo: self.halo.map(|halo| halo.map(f64::from)),
            clipped: f64::from(self.clipped),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_seen_comes_back_frame_by_frame() {
        let seen = |halo| Glimpse {
            place: (1919.25, 3.5),
            sighting: Sighting::Seen,
            excess: 0.7,
            base: 0.03,
            base_is_lit: true,
            alone: false,
            emitted: [0.5, -0.01, 0.2],
            halo,
            clipped: 0.4,
            ..Glimpse::unseen(0.0)
        };
        let mut album = Album::unseen(2);
        album.add(&[seen(None), seen(Some([0.1, 0.2, -0.3]))]);
        album.add(&[Glimpse::unseen(0.0)]);
        let got = album.glimpses(&[0.0, 0.1, 0.2, 0.3, 0.4]);
        let times: Vec<f64> = got.iter().map(|glimpse| glimpse.time_s).collect();
        assert_eq!(times, [0.0, 0.1, 0.2, 0.3, 0.4]);
        for unseen in [0, 1, 4] {
            assert_eq!(got[unseen].sighting, Sighting::Hidden);
            assert!(got[unseen].place.0.is_nan());
        }
        for (got, halo) in got[2..4].iter().zip([None, Some([0.1, 0.2, -0.3])]) {
            let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
            assert_eq!((got.place, got.sighting), ((1919.25, 3.5), Sighting::Seen));
            assert!(got.base_is_lit && !got.alone);
            assert!(near(got.excess, 0.7) && near(got.base, 0.03) && near(got.clipped, 0.4));
            assert!(
                got.emitted
                    .iter()
                    .zip([0.5, -0.01, 0.2])
                    .all(|(a, b)| near(*a, b))
            );
            match (got.halo, halo) {
                (None, None) => {}
                (Some(got), Some(halo)) => assert!(got.iter().zip(halo).all(|(a, b)| near(*a, b))),
                other => panic!("{other:?}"),
            }
        }
    }
}
