//! From coded samples to linear light with BT.709 primaries.

use super::space::{Mat3, bt709_from, multiply};
use super::transfer::{Curve, to_srgb};
use crate::footage::{ColourCode, Matrix, Primaries, Span, Transfer};

/// Linear red, green, blue on BT.709 primaries; 1 is the code's white. Saturated lamps reach beyond `0..=1`.
pub type Linear = [f32; 3];

/// Turns coded samples of one clip into linear light.
#[derive(Debug, Clone)]
pub struct Decoder {
    luma: (f32, f32),
    difference: (f32, f32),
    to_rgb: [f32; 4],
    /// The same of samples that [`Self::narrowed`] gave.
    narrowed_to_rgb: [f32; 4],
    identity: bool,
    curve: Curve,
    primaries: Mat3,
    /// The code reaches beyond an ordinary camera's: far beyond its white (HLG, PQ), or to purer colours.
    wide: bool,
}

impl Decoder {
    /// Prepares for samples coded as `code` says, scaled to 8 bits (a 10-bit sample divided by four,
    /// fractions kept).
    #[must_use]
    pub fn new(code: ColourCode) -> Self {
        let wide = matches!(code.transfer, Transfer::Hlg | Transfer::Pq)
            || matches!(
                code.primaries,
                Primaries::Bt2020 | Primaries::P3D65 | Primaries::Profile(_)
            );
        let (luma, difference) = match code.span {
            // ITU-R BT.709-6 item 4: luma 16 to 235, differences 16 to 240 about 128.
            Span::Limited => ((16.0, 219.0), (128.0, 224.0)),
            Span::Full => ((0.0, 255.0), (128.0, 255.0)),
        };
        Self {
            luma,
            difference,
            to_rgb: to_rgb(code.matrix),
            narrowed_to_rgb: to_rgb(if wide { Matrix::Bt601 } else { code.matrix }),
            identity: code.matrix == Matrix::Identity,
            curve: Curve::new(code.transfer),
            primaries: bt709_from(code.primaries),
            wide,
        }
    }

    /// Non-linear red, green, blue of one pixel, 0 black and 1 white, not clipped. For RGB pictures the
    /// samples are red, green, blue in that order.
    #[must_use]
    #[inline]
    pub fn coded_rgb(&self, samples: [f32; 3]) -> [f32; 3] {
        if self.identity {
            return samples.map(|s| (s - self.luma.0) / self.luma.1);
        }
        let y = (samples[0] - self.luma.0) / self.luma.1;
        let b = (samples[1] - self.difference.0) / self.difference.1;
        let r = (samples[2] - self.difference.0) / self.difference.1;
        [
            y + self.to_rgb[0] * r,
            y - self.to_rgb[1] * b - self.to_rgb[2] * r,
            y + self.to_rgb[3] * b,
        ]
    }

    /// Samples scaled to the full range: black at luma 0, white at 255, differences about 128.
    #[must_use]
    pub fn full_range(&self, samples: [f32; 3]) -> [f32; 3] {
        let difference = |s: f32| 128.0 + (s - self.difference.0) * 255.0 / self.difference.1;
        [
            (samples[0] - self.luma.0) * 255.0 / self.luma.1,
            difference(samples[1]),
            difference(samples[2]),
        ]
    }

    /// Samples as a camera with BT.709 primaries and without HLG or PQ would have coded the same light: white is at the top
    /// of the scale, and what is brighter or purer clips. By the sRGB curve and BT.601 weights, in the span of the clip;
    /// samples of other codes as they are. For judging by eye's measures how bright or coloured a place is, not for
    /// measuring.
    #[must_use]
    pub fn narrowed(&self, samples: [f32; 3]) -> [f32; 3] {
        if !self.wide {
            return samples;
        }
        let [red, green, blue] = self
            .linear(samples)
            .map(|light| to_srgb(f64::from(light.clamp(0.0, 1.0))) as f32);
        let (kr, kb) = luma_weights(Matrix::Bt601);
        let (kr, kb) = (kr as f32, kb as f32);
        let y = kr * red + (1.0 - kr - kb) * green + kb * blue;
        [
            self.luma.0 + self.luma.1 * y,
            self.difference.0 + self.difference.1 * (blue - y) / (2.0 * (1.0 - kb)),
            self.difference.0 + self.difference.1 * (red - y) / (2.0 * (1.0 - kr)),
        ]
    }

    /// Red, green and blue, non-linear, of samples that [`Self::narrowed`] gave: luma, and the differences about 0. On the scale
    /// of the luma.
    #[must_use]
    pub fn narrowed_rgb(&self, luma: f64, blue: f64, red: f64) -> [f64; 3] {
        let [red_red, green_blue, green_red, blue_blue] = self.narrowed_to_rgb.map(f64::from);
        [
            luma + red_red * red,
            luma - green_blue * blue - green_red * red,
            luma + blue_blue * blue,
        ]
    }

    /// Linear light of one pixel.
    #[must_use]
    #[inline]
    pub fn linear(&self, samples: [f32; 3]) -> Linear {
        self.linear_of_coded(self.coded_rgb(samples))
    }

    /// Linear light of one pixel, from what [`Self::coded_rgb`] gave.
    #[must_use]
    #[inline]
    pub fn linear_of_coded(&self, coded: [f32; 3]) -> Linear {
        multiply(&self.primaries, coded.map(|v| self.curve.at(v)))
    }
}

/// Weights of red and blue in luma: BT.601-7, BT.709-6, BT.2020-2.
fn luma_weights(matrix: Matrix) -> (f64, f64) {
    match matrix {
        Matrix::Bt601 => (0.299, 0.114),
        Matrix::Bt709 | Matrix::Identity => (0.2126, 0.0722),
        Matrix::Bt2020 => (0.2627, 0.0593),
    }
}

/// What a unit of the differences adds to red, takes from green (of blue, of red) and adds to blue.
fn to_rgb(matrix: Matrix) -> [f32; 4] {
    let (kr, kb) = luma_weights(matrix);
    let kg = 1.0 - kr - kb;
    let factors = [
        2.0 * (1.0 - kr),
        2.0 * (1.0 - kb) * kb / kg,
        2.0 * (1.0 - kr) * kr / kg,
        2.0 * (1.0 - kb),
    ];
    factors.map(|factor| factor as f32)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::footage::Transfer;

    fn code(matrix: Matrix, span: Span) -> ColourCode {
        ColourCode {
            matrix,
            span,
            primaries: Primaries::Bt709,
            transfer: Transfer::Bt709,
            assumed: false,
        }
    }

    // Figures: colour-science 0.4.7. The second pair is a BT.601 red decoded with the right and with the
    // wrong matrix; the last keeps its over-range red.
    #[rstest]
    #[case(Matrix::Bt601, Span::Limited, [81.0, 90.0, 240.0], [0.997_804, -0.001_884, -0.003_803])]
    #[case(Matrix::Bt601, Span::Limited, [235.0, 16.0, 240.0], [1.701, 0.815, 0.114])]
    #[case(Matrix::Bt601, Span::Full, [235.0, 128.0, 128.0], [0.921_569, 0.921_569, 0.921_569])]
    #[case(Matrix::Bt709, Span::Limited, [63.0, 102.0, 240.0], [1.0, 0.004, -0.001])]
    #[case(Matrix::Bt709, Span::Limited, [81.0, 90.0, 240.0], [1.084, 0.0945, -0.018])]
    #[case(Matrix::Bt709, Span::Limited, [235.0, 16.0, 240.0], [1.787, 0.859, 0.072])]
    fn matrices_match_published_figures(
        #[case] matrix: Matrix,
        #[case] span: Span,
        #[case] samples: [f32; 3],
        #[case] expected: [f32; 3],
    ) {
        let got = Decoder::new(code(matrix, span)).coded_rgb(samples);
        for channel in 0..3 {
            assert!(
                (got[channel] - expected[channel]).abs() < 3e-3,
                "{got:?}, expected {expected:?}"
            );
        }
    }

    // Rep. ITU-R BT.2408-7: reference white is PQ 0.58 (203 cd/m2) and HLG 0.75. 18 % of it by the inverse curves of
    // Rec. ITU-R BT.2100-2 and IEC 61966-2-1.
    #[rstest]
    #[case::pq_white(Transfer::Pq, 0.5807, 255.0)]
    #[case::pq_highlight(Transfer::Pq, 0.75, 255.0)]
    #[case::hlg_white(Transfer::Hlg, 0.75, 255.0)]
    #[case::hlg_black(Transfer::Hlg, 0.0, 0.0)]
    #[case::pq_grey(Transfer::Pq, 0.4109, 0.4614 * 255.0)]
    #[case::standard_is_left(Transfer::Bt709, 0.58, 0.58 * 255.0)]
    fn narrowed_white_is_at_the_top(#[case] transfer: Transfer, #[case] coded: f32, #[case] expected: f32) {
        let decoder = Decoder::new(ColourCode {
            transfer,
            ..code(Matrix::Bt709, Span::Full)
        });
        let got = decoder.narrowed([255.0 * coded, 128.0, 128.0]);
        assert!((got[0] - expected).abs() < 1.0, "{got:?}, expected {expected}");
        assert!(got[1..].iter().all(|d| (d - 128.0).abs() < 0.5), "{got:?}");
    }

    /// Full red, blue and green are at the top of the scale in every matrix: ITU-R BT.601-7 item 2.5.1, BT.709-6 item 3.2.
    #[rstest]
    fn a_primary_is_at_the_top_of_the_scale(
        #[values(Matrix::Bt601, Matrix::Bt709)] matrix: Matrix,
        #[values([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0])] rgb: [f64; 3],
    ) {
        let (kr, kb) = match matrix {
            Matrix::Bt601 => (0.299, 0.114),
            _ => (0.2126, 0.0722),
        };
        let luma = kr * rgb[0] + (1.0 - kr - kb) * rgb[1] + kb * rgb[2];
        let blue = 0.5 * (rgb[2] - luma) / (1.0 - kb);
        let red = 0.5 * (rgb[0] - luma) / (1.0 - kr);
        let rgb =
            Decoder::new(code(matrix, Span::Full)).narrowed_rgb(255.0 * luma, 255.0 * blue, 255.0 * red);
        let highest = rgb.into_iter().fold(f64::MIN, f64::max);
        assert!((highest - 255.0).abs() < 0.01, "{highest}");
    }
}
