//! How much of a scene is at the top of the scale, and what of that is one round spot.

use ndarray::Array2;

/// Luma that counts as full brightness.
const TOP: f32 = 228.0;

/// The bright patches of a mean picture.
pub(super) struct Brights {
    /// Bright cells in all, and cells.
    bright: usize,
    cells: usize,
    /// For a cell of a round bright patch how many cells that has; else 0.
    round: Array2<usize>,
}

impl Brights {
    /// Of luma, 0 to 255.
    pub(super) fn new(luma: &Array2<f32>) -> Self {
        let mut brights = Self {
            bright: 0,
            cells: luma.len(),
            round: Array2::zeros(luma.dim()),
        };
        let mut seen = Array2::from_elem(luma.dim(), false);
        for at in ndarray::indices(luma.dim()) {
            if luma[at] > TOP && !seen[at] {
                let patch = patch(luma, &mut seen, at);
                brights.bright += patch.len();
                if is_round(&patch) {
                    for &cell in &patch {
                        brights.round[cell] = patch.len();
                    }
                }
            }
        }
        brights
    }

    /// Share of the picture that is bright, without the round patch at a cell.
    pub(super) fn others(&self, row: usize, column: usize) -> f64 {
        (self.bright - self.round[(row, column)]) as f64 / self.cells as f64
    }
}

/// The bright cells in one piece with a cell.
fn patch(luma: &Array2<f32>, seen: &mut Array2<bool>, from: (usize, usize)) -> Vec<(usize, usize)> {
    let mut patch = vec![from];
    seen[from] = true;
    let mut next = 0;
    while next < patch.len() {
        let (row, column) = patch[next];
        next += 1;
        // What lies before the first row or column is a very large number here.
        let (above, before) = (row.wrapping_sub(1), column.wrapping_sub(1));
        for near in [
            (above, column),
            (row + 1, column),
            (row, before),
            (row, column + 1),
        ] {
            if luma.get(near).is_some_and(|luma| *luma > TOP) && !seen[near] {
                seen[near] = true;
                patch.push(near);
            }
        }
    }
    patch
}

/// Whether a patch fills the circle about it: a lamp does, a sheet of paper, a window and a screen do not.
fn is_round(patch: &[(usize, usize)]) -> bool {
    /// Share of the circle (guessed; a square fills 0.64 of it).
    const FILLS: f64 = 0.8;
    let count = patch.len() as f64;
    let mean = |of: fn(&(usize, usize)) -> usize| patch.iter().map(of).sum::<usize>() as f64 / count;
    let (row, column) = (mean(|cell| cell.0), mean(|cell| cell.1));
    let away = |cell: &(usize, usize)| (cell.0 as f64 - row).hypot(cell.1 as f64 - column);
    // To the far side of the outermost cell.
    let radius = patch.iter().map(away).fold(0.0, f64::max) + 0.5;
    count > FILLS * std::f64::consts::PI * radius * radius
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    fn disc(row: f64, column: f64) -> bool {
        (row - 30.0).hypot(column - 60.0) <= 15.0
    }

    fn sheet(row: f64, column: f64) -> bool {
        (row - 60.0).abs() <= 12.0 && (column - 120.0).abs() <= 16.0
    }

    /// At the middle of the disc or of the sheet, as a share of 100 by 200 cells.
    #[rstest]
    #[case::a_lamp(|r, c| disc(r, c), (30, 60), 0.0)]
    #[case::a_sheet(|r, c| sheet(r, c), (60, 120), 0.041)]
    #[case::a_lamp_beside_a_sheet(|r, c| disc(r, c) || sheet(r, c), (30, 60), 0.041)]
    #[case::a_sheet_beside_a_lamp(|r, c| disc(r, c) || sheet(r, c), (60, 120), 0.077)]
    fn a_round_patch_is_not_one_of_the_others(
        #[case] bright: fn(f64, f64) -> bool,
        #[case] (row, column): (usize, usize),
        #[case] share: f64,
    ) {
        let luma = Array2::from_shape_fn(
            (100, 200),
            |(r, c)| {
                if bright(r as f64, c as f64) { 250.0 } else { 60.0 }
            },
        );
        let others = Brights::new(&luma).others(row, column);
        assert!((others - share).abs() < 0.001, "{others}");
    }
}
