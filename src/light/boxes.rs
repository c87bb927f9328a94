//! Means over the blocks of a plane: what every pixel of a clip goes through.

use std::cell::Cell;

use crate::footage::Plane;

/// How one plane is cut into blocks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Boxes {
    /// Bytes a sample.
    pub(super) step: usize,
    /// Bits that a sample has beyond 8.
    pub(super) down: u32,
    /// Columns and rows of a block, samples.
    pub(super) block: (usize, usize),
    /// Rows and columns of the plane.
    pub(super) samples: (usize, usize),
    /// Rows and columns of blocks wanted; the last ones repeat their neighbours where the plane ends before them.
    pub(super) size: (usize, usize),
}

impl Boxes {
    /// The mean of every block, in row order. `sums` is room to work in.
    pub(super) fn means(&self, plane: &Plane<'_>, sums: &mut Vec<u16>, out: &mut [u8]) {
        let block = (self.block.0.max(1), self.block.1.max(1));
        let (rows, columns) = (
            self.size.0.min(self.samples.0 / block.1).max(1),
            self.size.1.min(self.samples.1 / block.0).max(1),
        );
        let count = block.0 * block.1;
        let width = columns * block.0;
        sums.resize(width, 0);
        for (row, out_row) in out.chunks_exact_mut(self.size.1).take(rows).enumerate() {
            let line = |line: usize| {
                let from = (row * block.1 + line) * plane.stride;
                &plane.data[from..from + width * self.step]
            };
            match block.1 {
                1 => self.total([line(0)], sums),
                2 => self.total([0, 1].map(line), sums),
                3 => self.total([0, 1, 2].map(line), sums),
                6 => self.total([0, 1, 2, 3, 4, 5].map(line), sums),
                _ => {
                    sums.fill(0);
                    (0..block.1).for_each(|at| self.add(line(at), sums));
                }
            }
            let (inner, edge) = out_row.split_at_mut(columns);
            match block.0 {
                1 if count == 1 => inner
                    .iter_mut()
                    .zip(&*sums)
                    .for_each(|(value, &sum)| *value = sum as u8),
                2 => Narrow::of(count).group::<2>(inner, sums),
                3 => Narrow::of(count).group::<3>(inner, sums),
                6 => Narrow::of(count).group::<6>(inner, sums),
                _ => {
                    let mean = Mean::of(count);
                    for (value, sums) in inner.iter_mut().zip(sums.chunks_exact(block.0)) {
                        *value = mean.at(sums.iter().map(|&s| u32::from(s)).sum());
                    }
                }
            }
            edge.fill(inner[columns - 1]);
        }
        let (whole, rest) = out.split_at_mut(rows * self.size.1);
        let last = &whole[(rows - 1) * self.size.1..];
        rest.chunks_exact_mut(self.size.1)
            .for_each(|row| row.copy_from_slice(last));
    }

    /// The sums of `N` lines of samples. All at once, so that each sum is written but once.
    fn total<const N: usize>(&self, lines: [&[u8]; N], sums: &mut [u16]) {
        let count = sums.len();
        if self.step == 1 {
            let lines = lines.map(|line| &line[..count]);
            for (at, sum) in sums.iter_mut().enumerate() {
                *sum = lines.iter().map(|line| u16::from(line[at])).sum();
            }
        } else {
            let lines = lines.map(|line| &line.as_chunks().0[..count]);
            for (at, sum) in sums.iter_mut().enumerate() {
                *sum = lines.iter().map(|line| self.narrow(line[at])).sum();
            }
        }
    }

    /// Adds one line of samples to the sums.
    fn add(&self, line: &[u8], sums: &mut [u16]) {
        if self.step == 1 {
            let samples = line.iter();
            sums.iter_mut()
                .zip(samples)
                .for_each(|(sum, &s)| *sum += u16::from(s));
        } else {
            let samples = line.as_chunks().0.iter();
            sums.iter_mut()
                .zip(samples)
                .for_each(|(sum, &s)| *sum += self.narrow(s));
        }
    }

    /// A sample of two bytes in 8 bits.
    #[inline]
    fn narrow(&self, sample: [u8; 2]) -> u16 {
        u16::from_le_bytes(sample) >> self.down
    }
}

/// Rounded division by a fixed count, as a multiplication: dividing is what takes longest here.
#[derive(Debug, Clone, Copy)]
struct Mean {
    half: u32,
    scale: u32,
}

impl Mean {
    /// Keeps `255.5 * 2^BITS` within 32 bits.
    const BITS: u32 = 22;

    fn of(count: usize) -> Self {
        let count = count as u32;
        Self {
            half: count / 2,
            scale: (1 << Self::BITS) / count + 1,
        }
    }

    #[inline]
    fn at(self, total: u32) -> u8 {
        (((total + self.half) * self.scale) >> Self::BITS) as u8
    }
}

/// The same within 16 bits, for 2 to 127 samples: twice as many at a time. Beyond that the error of the scale counts.
#[derive(Debug, Clone, Copy)]
struct Narrow {
    half: u16,
    scale: u16,
    shift: u32,
}

impl Narrow {
    fn of(count: usize) -> Self {
        let count = count as u32;
        // The largest scale below 2^16.
        let shift = count.ilog2() - u32::from(count.is_power_of_two());
        Self {
            half: (count / 2) as u16,
            scale: ((1u32 << (16 + shift)) / count + u32::from(!count.is_power_of_two())) as u16,
            shift,
        }
    }

    #[inline]
    fn at(self, total: u16) -> u16 {
        ((u32::from(total + self.half) * u32::from(self.scale)) >> 16) as u16 >> self.shift
    }

    /// Means of groups of `N` sums. Of every `N` neighbours first, in place of the sums, since that needs no shuffling.
    fn group<const N: usize>(self, out: &mut [u8], sums: &mut [u16]) {
        for near in Cell::from_mut(&mut *sums).as_slice_of_cells().windows(N) {
            near[0].set(self.at(near.iter().map(Cell::get).sum()));
        }
        for (value, means) in out.iter_mut().zip(sums.as_chunks::<N>().0) {
            *value = means[0] as u8;
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn a_mean_is_the_rounded_quotient(count in 1usize..=127, share in 0.0f64..=1.0) {
            let total = (share * (255 * count) as f64) as u32;
            let expected = (f64::from(total) / count as f64 + 0.5 + 1e-9).floor();
            // Halves of an odd count do not occur; of an even one they are rounded up.
            prop_assert_eq!(f64::from(Mean::of(count).at(total)), expected);
            if count > 1 {
                prop_assert_eq!(f64::from(Narrow::of(count).at(total as u16)), expected);
            }
        }
    }
}
