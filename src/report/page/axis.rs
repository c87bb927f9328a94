//! Where a moment lies in a plot, and the colours that lamps are drawn in.

use crate::colour::ColourName;

/// Width of a plot in its own units: about the pixels of a phone, so that letters are read there.
pub(super) const WIDTH: f64 = 360.0;

/// Room for the words at the left, and for half a letter at the right.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 8.0;

/// Seconds in one row: more would not show flashes of a tenth of a second.
const ROW_S: f64 = 5.0;

/// Rows at the most; a longer clip shows its beginning.
const ROWS: usize = 4;

/// One row of a plot: a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Row {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
}

impl Row {
    /// Column of a moment.
    pub(super) fn x(self, at_s: f64) -> f64 {
        let share = (at_s - self.from_s) / (self.to_s - self.from_s);
        LEFT + share.clamp(0.0, 1.0) * (WIDTH - LEFT - RIGHT)
    }

    /// A stretch within the row, if any of it is.
    pub(super) fn cut(self, (from_s, to_s): (f64, f64)) -> Option<(f64, f64)> {
        let (from_s, to_s) = (from_s.max(self.from_s), to_s.min(self.to_s));
        (to_s > from_s).then_some((from_s, to_s))
    }

    /// Round moments to label: whole seconds, or tenths where a row is short.
    pub(super) fn ticks(self) -> Vec<f64> {
        let length_s = self.to_s - self.from_s;
        let step_s = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0]
            .into_iter()
            .find(|step| length_s / step <= 6.0)
            .unwrap_or(10.0);
        let first = (self.from_s / step_s - 1e-6).ceil() as i64;
        let last = (self.to_s / step_s + 1e-6).floor() as i64;
        (first..=last).map(|tick| tick as f64 * step_s).collect()
    }
}

/// Rows for a trace from `from_s` to `to_s`, all of one length.
pub(super) fn rows(from_s: f64, to_s: f64) -> Vec<Row> {
    let length_s = to_s - from_s;
    let all = (length_s / ROW_S).ceil().max(1.0);
    let row_s = if all > ROWS as f64 { ROW_S } else { length_s / all };
    (0..(all as usize).min(ROWS))
        .map(|row| Row {
            from_s: from_s + row as f64 * row_s,
            to_s: from_s + (row + 1) as f64 * row_s,
        })
        .collect()
}

/// How a colour is drawn, and the ink of letters on it.
pub(super) const fn paint(name: ColourName) -> (&'static str, &'static str) {
    match name {
        ColourName::Red => ("#c62828", "#fff"),
        ColourName::Amber => ("#f59e0b", "#1b1f24"),
        ColourName::Yellow => ("#f2d60f", "#1b1f24"),
        ColourName::Green => ("#2e7d32", "#fff"),
        ColourName::Cyan => ("#2bbcd0", "#1b1f24"),
        ColourName::Blue => ("#1e5fc4", "#fff"),
        ColourName::Violet => ("#7b3fb5", "#fff"),
        ColourName::White => ("#ffffff", "#1b1f24"),
        ColourName::WarmWhite => ("#ffe3b8", "#1b1f24"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_share_a_clip_out_evenly_and_end_with_it() {
        let rows = rows(0.0, 9.0);
        assert_eq!(rows.len(), 2);
        assert_eq!(
            rows[1],
            Row {
                from_s: 4.5,
                to_s: 9.0
            }
        );
        let long = super::rows(0.0, 60.0);
        assert_eq!((long.len(), long[3].to_s), (4, 20.0));
    }

    #[test]
    fn a_moment_lies_between_the_margins_in_proportion() {
        let row = Row {
            from_s: 2.0,
            to_s: 4.0,
        };
        assert_eq!(row.x(2.0), LEFT);
        assert_eq!(row.x(4.0), WIDTH - RIGHT);
        assert_eq!(row.x(3.0), 0.5 * (LEFT + WIDTH - RIGHT));
        assert_eq!(row.cut((3.5, 9.0)), Some((3.5, 4.0)));
        assert_eq!(row.cut((4.0, 9.0)), None);
    }

    #[test]
    fn ticks_are_round_and_within() {
        assert_eq!(
            Row {
                from_s: 4.5,
                to_s: 9.0
            }
            .ticks(),
            [5.0, 6.0, 7.0, 8.0, 9.0]
        );
    }
}
