//! Colour description from the numbers of ITU-T H.273 (CICP), with explicit guesses where a file is silent.

use super::{ColourCode, Matrix, Primaries, Span, Transfer};

/// Raw description of a decoded picture, in H.273's numbers but for the span.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cicp {
    pub(super) matrix: i32,
    pub(super) primaries: i32,
    pub(super) transfer: i32,
    /// FFmpeg's own numbers: 0 not said, 1 limited, 2 full.
    pub(super) span: i32,
}

/// A file that says nothing.
pub(super) const SILENT: Cicp = Cicp {
    matrix: 2,
    primaries: 2,
    transfer: 2,
    span: 0,
};

/// Below this many rows, footage whose file is silent is taken for BT.601: common practice, no source.
const HIGH_DEFINITION_ROWS: usize = 720;

/// Luma and difference samples. `full_by_form`: the sample form itself means full range (FFmpeg's `yuvj`).
pub(super) fn luma_and_differences(cicp: Cicp, full_by_form: bool, height: usize) -> ColourCode {
    let matrix = matrix(cicp.matrix);
    let span = match cicp.span {
        _ if full_by_form => Some(Span::Full),
        1 => Some(Span::Limited),
        2 => Some(Span::Full),
        _ => None,
    };
    let primaries = primaries(cicp.primaries);
    let transfer = transfer(cicp.transfer);
    let assumed = matrix.is_none() || span.is_none() || primaries.is_none() || transfer.is_none();

    let matrix = matrix.unwrap_or(match primaries {
        Some(Primaries::Bt2020) => Matrix::Bt2020,
        _ if height < HIGH_DEFINITION_ROWS => Matrix::Bt601,
        _ => Matrix::Bt709,
    });
    ColourCode {
        matrix,
        span: span.unwrap_or(Span::Limited),
        primaries: primaries.unwrap_or(match (matrix, height) {
            (Matrix::Bt2020, _) => Primaries::Bt2020,
            (Matrix::Bt601, 576) => Primaries::Bt601Lines625,
            (Matrix::Bt601, 480 | 486) => Primaries::Bt601Lines525,
            _ => Primaries::Bt709,
        }),
        transfer: transfer.unwrap_or(Transfer::Bt709),
        assumed,
    }
}

/// Red, green and blue samples: sRGB unless the file says otherwise.
pub(super) fn red_green_blue(cicp: Cicp) -> ColourCode {
    let primaries = primaries(cicp.primaries);
    let transfer = transfer(cicp.transfer);
    ColourCode {
        matrix: Matrix::Identity,
        span: Span::Full,
        primaries: primaries.unwrap_or(Primaries::Bt709),
        transfer: transfer.unwrap_or(Transfer::Srgb),
        assumed: primaries.is_none() || transfer.is_none(),
    }
}

/// A photo as luma and differences. Where the file is silent, what ISO/IEC 23000-22, 7.3.6.4 (from memory) lays down:
/// sRGB by the BT.601 equations, full range.
pub(super) fn still(cicp: Cicp) -> ColourCode {
    let (matrix, primaries, transfer) = (
        matrix(cicp.matrix),
        primaries(cicp.primaries),
        transfer(cicp.transfer),
    );
    ColourCode {
        matrix: matrix.unwrap_or(Matrix::Bt601),
        span: if cicp.span == 1 { Span::Limited } else { Span::Full },
        primaries: primaries.unwrap_or(Primaries::Bt709),
        transfer: transfer.unwrap_or(Transfer::Srgb),
        assumed: matrix.is_none() || primaries.is_none() || transfer.is_none(),
    }
}

/// Whether samples with this number of H.273 table 4, or one that says nothing, are read as luma and differences.
pub(super) fn has_place_for(code: i32) -> bool {
    code == 2 || matrix(code).is_some()
}

/// H.273 table 4. 0 (red, green, blue) with luma samples contradicts itself; FCC, SMPTE 240M, YCgCo, constant
/// luminance and ICtCp have no place here yet. All of these are treated as not said.
fn matrix(code: i32) -> Option<Matrix> {
    match code {
        1 => Some(Matrix::Bt709),
        5 | 6 => Some(Matrix::Bt601),
        9 => Some(Matrix::Bt2020),
        _ => None,
    }
}

/// H.273 table 2.
pub(super) fn primaries(code: i32) -> Option<Primaries> {
    match code {
        1 => Some(Primaries::Bt709),
        5 => Some(Primaries::Bt601Lines625),
        6 | 7 => Some(Primaries::Bt601Lines525),
        9 => Some(Primaries::Bt2020),
        12 => Some(Primaries::P3D65),
        _ => None,
    }
}

/// H.273 table 3.
pub(super) fn transfer(code: i32) -> Option<Transfer> {
    match code {
        1 | 6 | 14 | 15 => Some(Transfer::Bt709),
        8 => Some(Transfer::Linear),
        13 => Some(Transfer::Srgb),
        16 => Some(Transfer::Pq),
        18 => Some(Transfer::Hlg),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    #[rstest]
    #[case::hd(Cicp { matrix: 1, primaries: 1, transfer: 1, span: 1 },
        (Matrix::Bt709, Span::Limited, Primaries::Bt709, Transfer::Bt709))]
    #[case::hlg(Cicp { matrix: 9, primaries: 9, transfer: 18, span: 1 },
        (Matrix::Bt2020, Span::Limited, Primaries::Bt2020, Transfer::Hlg))]
    #[case::pq_full(Cicp { matrix: 9, primaries: 9, transfer: 16, span: 2 },
        (Matrix::Bt2020, Span::Full, Primaries::Bt2020, Transfer::Pq))]
    #[case::pal(Cicp { matrix: 5, primaries: 5, transfer: 6, span: 1 },
        (Matrix::Bt601, Span::Limited, Primaries::Bt601Lines625, Transfer::Bt709))]
    #[case::ntsc(Cicp { matrix: 6, primaries: 6, transfer: 6, span: 1 },
        (Matrix::Bt601, Span::Limited, Primaries::Bt601Lines525, Transfer::Bt709))]
    #[case::p3(Cicp { matrix: 1, primaries: 12, transfer: 13, span: 2 },
        (Matrix::Bt709, Span::Full, Primaries::P3D65, Transfer::Srgb))]
    fn what_the_file_says_is_taken(
        #[case] cicp: Cicp,
        #[case] (matrix, span, primaries, transfer): (Matrix, Span, Primaries, Transfer),
    ) {
        let expected = ColourCode {
            matrix,
            span,
            primaries,
            transfer,
            assumed: false,
        };
        assert_eq!(luma_and_differences(cicp, false, 1080), expected);
    }

    #[test]
    fn a_silent_file_is_guessed_and_the_guess_is_marked() {
        let small = luma_and_differences(SILENT, false, 480);
        assert_eq!(
            (small.matrix, small.span, small.assumed),
            (Matrix::Bt601, Span::Limited, true)
        );
        let large = luma_and_differences(SILENT, false, 720);
        assert_eq!(
            (large.matrix, large.primaries, large.assumed),
            (Matrix::Bt709, Primaries::Bt709, true)
        );
        assert_eq!(luma_and_differences(SILENT, true, 1080).span, Span::Full);
    }

    #[rstest]
    fn no_number_is_fatal(#[values(-1, 0, 3, 4, 7, 10, 14, 22, 255, i32::MAX)] odd: i32) {
        let cicp = Cicp {
            matrix: odd,
            primaries: odd,
            transfer: odd,
            span: odd,
        };
        assert!(luma_and_differences(cicp, false, 1080).assumed);
    }
}
