//! Time stamps of a clip: ticks in, seconds since the first frame out.

/// Turns time stamps into seconds and keeps the steps between them.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    /// Seconds a tick.
    tick_s: f64,
    first: Option<i64>,
    last: i64,
    /// For how long the file shows the last frame, ticks; 0 if it does not say.
    shown: i64,
    /// Steps between frames, ticks.
    steps: Vec<i64>,
}

impl Clock {
    /// `tick_s`: seconds a tick of the stream's time base.
    pub(super) const fn new(tick_s: f64) -> Self {
        Self {
            tick_s,
            first: None,
            last: 0,
            shown: 0,
            steps: Vec::new(),
        }
    }

    /// Seconds since the first frame, or `None` for a frame whose stamp does not come after that of the frame
    /// before. Such a frame is left out: sorting it in would need frames in hand, and an invented time would
    /// be worse than a gap.
    ///
    /// `duration`: ticks for which the file shows the frame, 0 or less if it does not say. A frame without a
    /// stamp (AVI gives the last B-frames none) begins where the file says that the one before ends, and is
    /// left out if it does not say.
    pub(super) fn place(&mut self, stamp: Option<i64>, duration: i64) -> Option<f64> {
        let Some(first) = self.first else {
            let stamp = stamp?;
            (self.first, self.last, self.shown) = (Some(stamp), stamp, duration.max(0));
            return Some(0.0);
        };
        let ends = (self.shown > 0).then(|| self.last.saturating_add(self.shown));
        let stamp = stamp.or(ends)?;
        let step = stamp.checked_sub(self.last).filter(|&step| step > 0)?;
        let since_first = stamp.checked_sub(first)?;
        self.steps.push(step);
        (self.last, self.shown) = (stamp, duration.max(0));
        Some(self.seconds(since_first))
    }

    /// Seconds from the first frame to the end of the last; where the file does not say how long the last is
    /// shown, the median step stands in.
    pub(super) fn length_s(&self) -> f64 {
        let shown = if self.shown > 0 {
            self.shown
        } else {
            self.median().unwrap_or(0)
        };
        let between = self.first.map_or(0, |first| self.last - first);
        self.seconds(between.saturating_add(shown))
    }

    /// Usual frame rate, frames per second; 0 with less than two frames.
    ///
    /// The median step finds the rate, and the mean of the steps within one tick of it refines it: Matroska's
    /// millisecond stamps of 29.97 fps have steps of 33 and 34.
    pub(super) fn fps(&self) -> f64 {
        let Some(median) = self.median() else { return 0.0 };
        let usual = self.steps.iter().filter(|&&step| step.abs_diff(median) <= 1);
        let (count, ticks) = usual.fold((0.0, 0), |(count, ticks), &step| (count + 1.0, ticks + step));
        count / self.seconds(ticks)
    }

    fn median(&self) -> Option<i64> {
        let mut sorted = self.steps.clone();
        sorted.sort_unstable();
        sorted.get(sorted.len() / 2).copied()
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "53 bits hold 20 minutes in ticks of a nanosecond"
    )]
    fn seconds(&self, ticks: i64) -> f64 {
        ticks as f64 * self.tick_s
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Rates of broadcast practice, 1001 ticks of 1/24000, 1/30000, 1/60000, 1/120000 and 1/240000 s.
    #[rstest]
    #[case(24_000.0, 23.976_024)]
    #[case(30_000.0, 29.970_030)]
    #[case(60_000.0, 59.940_060)]
    #[case(120_000.0, 119.880_120)]
    #[case(240_000.0, 239.760_240)]
    fn ntsc_rates(#[case] ticks_a_second: f64, #[case] published: f64) {
        let mut clock = Clock::new(1.0 / ticks_a_second);
        for frame in 0..100 {
            clock.place(Some(frame * 1001), 1001);
        }
        assert!((clock.fps() - published).abs() < 5e-7, "{} fps", clock.fps());
    }

    #[test]
    fn millisecond_stamps_give_the_rate_back() {
        let mut clock = Clock::new(1e-3);
        for frame in 0..300_i64 {
            // Rounded milliseconds of 30000/1001 fps.
            clock.place(Some((frame * 1_001_000 + 15_000) / 30_000), 33);
        }
        // 300 frames end within half a tick of the truth at either end: 1 ms in 10 s.
        assert!(
            (clock.fps() - 29.970_030).abs() < 29.97 * 1e-4,
            "{} fps",
            clock.fps()
        );
    }

    /// Time-to-sample entries (10,1001), (2,2002), (5,1001) at 30000 ticks a second: 17 frames, 19 x 1001
    /// ticks.
    #[test]
    fn variable_steps_are_kept() {
        let mut clock = Clock::new(1.0 / 30_000.0);
        let mut stamp = 0;
        let mut times = Vec::new();
        for step in [vec![1001; 10], vec![2002; 2], vec![1001; 5]].concat() {
            times.push(clock.place(Some(stamp), step).unwrap());
            stamp += step;
        }
        assert!((times[11] - times[10] - 0.066_733_3).abs() < 1e-7);
        assert!((clock.length_s() - 19.0 * 1001.0 / 30_000.0).abs() < 1e-12);
        assert!((clock.fps() - 29.970_030).abs() < 1e-6);
    }

    #[test]
    fn stamps_that_do_not_advance_are_left_out() {
        let mut clock = Clock::new(0.5);
        let stamps = [Some(-2), Some(0), Some(0), None, Some(-1), Some(4)];
        let placed: Vec<_> = stamps.into_iter().map(|stamp| clock.place(stamp, 0)).collect();
        assert_eq!(placed, [Some(0.0), Some(1.0), None, None, None, Some(3.0)]);
    }

    #[test]
    fn a_frame_without_a_stamp_follows_the_one_before() {
        let mut clock = Clock::new(0.5);
        assert_eq!(clock.place(None, 2), None);
        assert_eq!(clock.place(Some(7), 2), Some(0.0));
        assert_eq!(clock.place(None, 3), Some(1.0));
        assert_eq!(clock.place(Some(10), 0), Some(1.5));
        assert_eq!(clock.place(None, 3), None);
        assert_eq!(clock.length_s(), 2.5);
    }

    #[test]
    fn extreme_stamps_do_not_wrap() {
        let mut clock = Clock::new(1.0);
        assert_eq!(clock.place(Some(i64::MIN + 1), 1), Some(0.0));
        assert_eq!(clock.place(Some(i64::MAX), 1), None);
    }
}
