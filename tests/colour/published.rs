//! Decoding against published figures: matrices, ranges, transfer functions and primaries.
//!
//! Figures: colour-science 0.4.7, made from ITU-R BT.601-7, BT.709-6, BT.2020-2, BT.2100-2, IEC 61966-2-1 and
//! SMPTE EG 432-1.

use lampwise::colour::{Decoder, hue_line, to_linear, uv, uv_of_xy};
use lampwise::footage::{ColourCode, Matrix, Primaries, Span, Transfer};
use rstest::rstest;

fn code(matrix: Matrix, span: Span, primaries: Primaries, transfer: Transfer) -> ColourCode {
    ColourCode {
        matrix,
        span,
        primaries,
        transfer,
        assumed: false,
    }
}

/// R'G'B' of a triple of code values. Triples of 10 bits are given by four, as the decoder takes them.
#[rstest]
#[case::full_601(Matrix::Bt601, Span::Full, [
    ([81.0, 90.0, 240.0], [0.933_427, 0.055_270, 0.053_584]),
    ([145.0, 54.0, 34.0], [0.051_812, 0.931_745, 0.054_400]),
    ([41.0, 240.0, 110.0], [0.061_820, 0.060_044, 0.939_075]),
])]
#[case::full_709(Matrix::Bt709, Span::Full, [
    ([81.0, 90.0, 240.0], [1.009_324, 0.139_955, 0.041_126]),
    ([145.0, 54.0, 34.0], [-0.011_887, 0.795_552, 0.030_140]),
    ([41.0, 240.0, 110.0], [0.049_622, 0.111_553, 0.975_793]),
])]
#[case::full_2020(Matrix::Bt2020, Span::Full, [
    ([81.0, 90.0, 240.0], [0.965_315, 0.091_221, 0.037_282]),
    ([145.0, 54.0, 34.0], [0.025_049, 0.826_997, 0.022_653]),
    ([41.0, 240.0, 110.0], [0.056_695, 0.128_841, 0.987_125]),
])]
#[case::limited_601_of_10_bits(Matrix::Bt601, Span::Limited, [
    ([81.0, 90.0, 240.0], [0.997_804, -0.001_884, -0.003_803]),
    ([145.0, 54.0, 34.0], [0.000_702, 1.002_411, 0.003_648]),
    ([63.0, 102.0, 240.0], [0.915_612, -0.102_512, 0.008_933]),
])]
#[case::limited_709_of_10_bits(Matrix::Bt709, Span::Limited, [
    ([173.0, 42.0, 26.0], [-0.000_201, 1.001_978, 0.004_477]),
    ([32.0, 240.0, 118.0], [0.002_756, 0.000_296, 1.000_859]),
    ([41.0, 240.0, 110.0], [-0.012_391, 0.058_110, 1.041_955]),
])]
#[case::limited_2020_of_10_bits(Matrix::Bt2020, Span::Limited, [
    ([81.0, 90.0, 240.0], [1.034_104, 0.039_042, -0.022_362]),
    ([173.0, 42.0, 26.0], [0.045_425, 1.040_241, -0.005_428]),
    ([63.0, 102.0, 240.0], [0.951_912, -0.051_965, -0.003_765]),
])]
fn matrices_and_ranges(
    #[case] matrix: Matrix,
    #[case] span: Span,
    #[case] triples: [([f32; 3], [f32; 3]); 3],
) {
    let decoder = Decoder::new(code(matrix, span, Primaries::Bt709, Transfer::Bt709));
    for (samples, expected) in triples {
        let got = decoder.coded_rgb(samples);
        for channel in 0..3 {
            assert!(
                (got[channel] - expected[channel]).abs() < 2e-5,
                "{samples:?}: {got:?}, expected {expected:?}"
            );
        }
    }
}

/// Each curve at dark, middle, white and beyond; light in terms of its own white, which is E' = 0.75 in HLG
/// and 203 cd/m2 in PQ (ITU-R BT.2408).
#[rstest]
#[case::bt709(Transfer::Bt709, &[
    (0.05, 0.011_111_1), (0.1, 0.022_428_0), (0.25, 0.078_153_9), (0.6, 0.365_837_1), (0.9, 0.808_962_6), (1.0, 1.0),
])]
#[case::srgb(Transfer::Srgb, &[
    (0.0404, 0.003_126_9), (0.05, 0.003_935_9), (0.25, 0.050_876_1), (0.75, 0.522_521_6), (1.0, 1.0),
])]
#[case::hlg(Transfer::Hlg, &[
    (0.073_059_36, 0.001_779_22 / 0.264_962_56), (0.365_296_80, 0.044_480_58 / 0.264_962_56),
    (0.501_141_55, 0.083_715_07 / 0.264_962_56), (0.840_182_65, 0.423_168_06 / 0.264_962_56),
    (1.0, 1.0 / 0.264_962_56), (1.090_182_65, 1.640_243_74 / 0.264_962_56),
])]
#[case::pq(Transfer::Pq, &[
    (0.073_059_36, 0.146_483 / 203.0), (0.292_237_44, 9.091_052 / 203.0), (0.438_356_16, 48.996_582 / 203.0),
    (0.752_283_11, 1_004.191_904 / 203.0), (0.873_287_67, 3_050.294_999 / 203.0), (1.0, 10_000.0 / 203.0),
])]
fn transfer_functions(#[case] transfer: Transfer, #[case] points: &[(f64, f64)]) {
    for &(v, light) in points {
        let got = to_linear(transfer, v);
        assert!(
            (got / light - 1.0).abs() < 1e-4,
            "{transfer:?} {v}: {got}, expected {light}"
        );
    }
}

/// 8-bit sRGB pictures to CIE 1976 u'v'.
#[rstest]
#[case([255, 0, 0], (0.450_704, 0.522_887))]
#[case([255, 128, 0], (0.319_465, 0.538_849))]
#[case([255, 191, 0], (0.248_895, 0.547_432))]
#[case([90, 220, 110], (0.141_756, 0.532_688))]
#[case([60, 120, 255], (0.165_659, 0.302_529))]
#[case([255, 200, 150], (0.233_935, 0.505_856))]
#[case([16, 180, 200], (0.141_546, 0.436_174))]
#[case([20, 12, 4], (0.243_222, 0.520_726))]
fn srgb_pictures(#[case] rgb: [u8; 3], #[case] expected: (f64, f64)) {
    let decoder = Decoder::new(code(
        Matrix::Identity,
        Span::Full,
        Primaries::Bt709,
        Transfer::Srgb,
    ));
    let light = decoder.linear(rgb.map(f32::from)).map(f64::from);
    let (u, v) = uv(light).unwrap();
    assert!(
        (u - expected.0).abs() < 5e-4 && (v - expected.1).abs() < 5e-4,
        "{u} {v}, expected {expected:?}"
    );
}

/// The primaries of each space as a full sample of one channel: CIE 1931 x and y as the standards give them.
#[rstest]
#[case::bt709(Primaries::Bt709, [(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)])]
#[case::display_p3(Primaries::P3D65, [(0.68, 0.32), (0.265, 0.69), (0.15, 0.06)])]
#[case::bt2020(Primaries::Bt2020, [(0.708, 0.292), (0.170, 0.797), (0.131, 0.046)])]
#[case::bt601_625(Primaries::Bt601Lines625, [(0.64, 0.33), (0.29, 0.60), (0.15, 0.06)])]
#[case::bt601_525(Primaries::Bt601Lines525, [(0.63, 0.34), (0.31, 0.595), (0.155, 0.07)])]
fn corners_of_the_gamut(#[case] primaries: Primaries, #[case] xy: [(f64, f64); 3]) {
    let decoder = Decoder::new(code(Matrix::Identity, Span::Full, primaries, Transfer::Srgb));
    for (channel, (x, y)) in xy.into_iter().enumerate() {
        let mut samples = [0.0; 3];
        samples[channel] = 255.0;
        let got = uv(decoder.linear(samples).map(f64::from)).unwrap();
        let (u, v) = uv_of_xy(x, y);
        assert!(
            (got.0 - u).abs() < 2e-4 && (got.1 - v).abs() < 2e-4,
            "{channel}: {got:?}, expected {u} {v}"
        );
    }
}

/// Model diodes as linear BT.2020 with their dominant wavelengths: through HLG and PQ clips the wavelength must
/// come out, to the nanometre that the figures are given to.
#[rstest]
#[case::nm_629([1.0, 0.003_15, -0.000_02], 629.0)]
#[case::nm_617([1.0, 0.047_22, -0.001_11], 617.0)]
#[case::nm_604([1.0, 0.152_78, -0.003_68], 604.0)]
#[case::nm_591([1.0, 0.331_92, -0.008_10], 591.0)]
#[case::nm_585([1.0, 0.487_22, -0.011_93], 585.0)]
#[case::nm_571([0.966_21, 1.0, -0.023_27], 571.0)]
#[case::nm_527([-0.029_35, 1.0, 0.048_87], 527.0)]
#[case::nm_504([-0.234_70, 1.0, 0.329_18], 504.0)]
#[case::nm_471([-0.016_24, 0.045_44, 1.0], 471.0)]
fn wide_gamut_lamps_keep_their_wavelength(
    #[case] rgb: [f64; 3],
    #[case] nm: f64,
    #[values(Transfer::Hlg, Transfer::Pq)] transfer: Transfer,
) {
    let decoder = Decoder::new(code(Matrix::Identity, Span::Full, Primaries::Bt2020, transfer));
    let samples = rgb.map(|light| 255.0 * coded(transfer, 0.4 * light));
    let (u, v) = uv(decoder.linear(samples.map(|s| s as f32)).map(f64::from)).unwrap();
    let line = hue_line(u, v).unwrap();
    assert!((line.dominant_nm - nm).abs() <= 1.0, "{line:?}, expected {nm}");
}

/// Code value of light: ITU-R BT.2100-2, table 5 (HLG OETF) and table 4 (PQ inverse EOTF); mirrored below zero.
fn coded(transfer: Transfer, light: f64) -> f64 {
    let size = light.abs();
    let coded = match transfer {
        Transfer::Hlg => {
            let scene = size * 0.264_962_56;
            if scene <= 1.0 / 12.0 {
                (3.0 * scene).sqrt()
            } else {
                0.178_832_77 * (12.0 * scene - 0.284_668_92).ln() + 0.559_910_73
            }
        }
        Transfer::Pq => {
            let power = (size * 203.0 / 10_000.0).powf(2610.0 / 16_384.0);
            ((0.835_937_5 + 18.851_562_5 * power) / (1.0 + 18.6875 * power)).powf(78.843_75)
        }
        _ => unreachable!("only these are asked for"),
    };
    // PQ's code for no light is not quite zero; the smallest light is what counts here.
    coded.copysign(light)
}
