//! From curve values to the samples of a file: luma and colour differences, 8 or 10 bits.

use super::recipe::DynamicRange;

/// Luma and colour differences of one kind of file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Coding {
    /// Luma shares of red and blue.
    red: f32,
    blue: f32,
    /// Bytes a sample: 10-bit samples lie in two, the lower first.
    pub(super) sample_bytes: usize,
}

impl Coding {
    /// Shares from Rec. ITU-R BT.709-6, item 3.2, and BT.2020-2, table 4 (non-constant luminance).
    pub(super) const fn of(range: DynamicRange) -> Self {
        let (red, blue, sample_bytes) = match range {
            DynamicRange::Standard => (0.2126, 0.0722, 1),
            DynamicRange::Hlg | DynamicRange::Pq => (0.2627, 0.0593, 2),
        };
        Self {
            red,
            blue,
            sample_bytes,
        }
    }

    /// Luma of a row of curve values, limited range.
    pub(super) fn luma(&self, rows: &[Vec<f32>; 3], out: &mut [u8]) {
        let [red, green, blue] = rows;
        let values = red.iter().zip(green.iter().zip(blue));
        let luma = values.map(|(red, (green, blue))| 16.0 + 219.0 * self.grey(*red, *green, *blue));
        self.put(luma, out);
    }

    /// Colour differences of two rows of curve values, each the mean of two by two pixels, limited range.
    pub(super) fn differences(&self, rows: &[[Vec<f32>; 3]; 2], blue_out: &mut [u8], red_out: &mut [u8]) {
        let [upper, lower] = rows;
        let quads = |channel: usize| {
            let pairs = upper[channel].chunks_exact(2).zip(lower[channel].chunks_exact(2));
            pairs.map(|(upper, lower)| 0.25 * (upper[0] + upper[1] + lower[0] + lower[1]))
        };
        let values = || quads(0).zip(quads(1).zip(quads(2)));
        let blue = values().map(|(red, (green, blue))| {
            128.0 + 224.0 * (blue - self.grey(red, green, blue)) / (2.0 * (1.0 - self.blue))
        });
        self.put(blue, blue_out);
        let red = values().map(|(red, (green, blue))| {
            128.0 + 224.0 * (red - self.grey(red, green, blue)) / (2.0 * (1.0 - self.red))
        });
        self.put(red, red_out);
    }

    fn grey(&self, red: f32, green: f32, blue: f32) -> f32 {
        self.red * red + (1.0 - self.red - self.blue) * green + self.blue * blue
    }

    /// Writes samples given on the 8-bit scale. Curve values lie in 0 to 1, so these lie in 16 to 240.
    fn put(&self, samples: impl Iterator<Item = f32>, out: &mut [u8]) {
        if self.sample_bytes == 2 {
            for (out, sample) in out.chunks_exact_mut(2).zip(samples) {
                let [low, high, ..] = rounded(4.0 * sample).to_le_bytes();
                out.copy_from_slice(&[low, high]);
            }
        } else {
            for (out, sample) in out.iter_mut().zip(samples) {
                *out = rounded(sample).to_le_bytes()[0];
            }
        }
    }
}

/// Nearest whole number of a value from 0 to some ten thousand. At 2^23 single precision has steps of 1, so
/// adding it leaves the number in the low bits. A plain cast checks each pixel for overflow, which keeps the
/// compiler from doing several at a time.
pub(super) fn rounded(value: f32) -> u32 {
    const STEP_OF_ONE: f32 = 8_388_608.0;
    (value + STEP_OF_ONE).to_bits() & 0xffff
}

#[cfg(test)]
mod tests {
    use super::*;

    fn coded(range: DynamicRange, rgb: [f32; 3]) -> (u16, u16, u16) {
        let coding = Coding::of(range);
        let row = rgb.map(|channel| vec![channel; 2]);
        let mut bytes = [[0; 4], [0; 4], [0; 4]];
        let [luma, blue, red] = &mut bytes;
        coding.luma(&row, &mut luma[..2 * coding.sample_bytes]);
        let half = coding.sample_bytes;
        coding.differences(&[row.clone(), row], &mut blue[..half], &mut red[..half]);
        let sample = |bytes: &[u8; 4]| match coding.sample_bytes {
            1 => u16::from(bytes[0]),
            _ => u16::from_le_bytes([bytes[0], bytes[1]]),
        };
        (sample(luma), sample(blue), sample(red))
    }

    /// BT.709, 8 bits, limited: triples whose decoding colour-science 0.4.7 gives as the R'G'B' on the left,
    /// within half a code value.
    #[rstest::rstest]
    #[case([0.0, 0.0, 0.0], (16, 128, 128))]
    #[case([1.0, 1.0, 1.0], (235, 128, 128))]
    #[case([0.502_283, 0.502_283, 0.502_283], (126, 128, 128))]
    #[case([1.0, 0.002_293, 0.0], (63, 102, 240))]
    #[case([0.0, 1.0, 0.004_477], (173, 42, 26))]
    #[case([0.002_756, 0.000_296, 1.0], (32, 240, 118))]
    #[case([0.973_830, 0.681_984, 0.748_855], (180, 128, 160))]
    fn codes_as_published(#[case] rgb: [f32; 3], #[case] expected: (u16, u16, u16)) {
        assert_eq!(coded(DynamicRange::Standard, rgb), expected);
    }

    /// BT.2020, 10 bits: black 64, white 940, differences 512 and at most 448 to either side (BT.2100-2,
    /// table 9); luma of pure red is its share of 876.
    #[rstest::rstest]
    #[case([0.0, 0.0, 0.0], (64, 512, 512))]
    #[case([1.0, 1.0, 1.0], (940, 512, 512))]
    #[case([1.0, 0.0, 0.0], (294, 387, 960))]
    #[case([0.0, 0.0, 1.0], (116, 960, 476))]
    fn ten_bit_codes_as_published(#[case] rgb: [f32; 3], #[case] expected: (u16, u16, u16)) {
        assert_eq!(coded(DynamicRange::Hlg, rgb), expected);
    }
}
