//! Sound clips: what went in comes out.

use ffmpeg_next::format::Pixel;
use lampwise::footage::{Kind, Matrix, Primaries, Quarter, Span, Transfer};
use rstest::rstest;

use crate::encode::{Recipe, encode};
use crate::made::*;
use crate::seen::{Form, assert_near, is_full, read, skipped};

const PLANAR_420: Form = Form::Planar {
    shift: (1, 1),
    bits: 8,
};

/// `within`: 0 where the code is lossless. At quantiser 2 the flat fields here move by up to 2 codes, at
/// VP8's and AV1's finest lossy settings likewise; 3 leaves one for rounding, and frames are 6 apart.
#[rstest]
#[case::mp4_h264("mp4", "libx264", X264_LOSSLESS, 0)]
#[case::mov_h264("mov", "libx264", X264_LOSSLESS, 0)]
#[case::mkv_h264("matroska", "libx264", X264_LOSSLESS, 0)]
#[case::avi_h264("avi", "libx264", X264_LOSSLESS, 0)]
#[case::threegp_h264("3gp", "libx264", X264_LOSSLESS, 0)]
#[case::mp4_hevc("mp4", "libx265", X265_LOSSLESS, 0)]
#[case::mov_hevc("mov", "libx265", X265_LOSSLESS, 0)]
#[case::mkv_hevc("matroska", "libx265", X265_LOSSLESS, 0)]
#[case::webm_vp8("webm", "libvpx", VP8_FINE, 3)]
#[case::mkv_vp8("matroska", "libvpx", VP8_FINE, 3)]
#[case::webm_vp9("webm", "libvpx-vp9", VP9_LOSSLESS, 0)]
#[case::mp4_vp9("mp4", "libvpx-vp9", VP9_LOSSLESS, 0)]
#[case::webm_av1("webm", "libaom-av1", AV1_FINE, 3)]
#[case::mp4_av1("mp4", "libaom-av1", AV1_FINE, 3)]
#[case::mp4_mpeg4("mp4", "mpeg4", Q2, 3)]
#[case::avi_mpeg4("avi", "mpeg4", Q2, 3)]
#[case::threegp_mpeg4("3gp", "mpeg4", Q2, 3)]
#[case::avi_raw("avi", "rawvideo", &[], 0)]
fn containers_and_codes(
    #[case] muxer: &str,
    #[case] encoder: &str,
    #[case] options: &[(&str, &str)],
    #[case] within: u16,
) {
    let (_folder, path) = place("clip.with-an-odd:name");
    if !encode(
        &path,
        &Recipe {
            options,
            ..recipe(muxer, encoder)
        },
        |index, picture| paint(8, index, picture),
    ) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, summary) = read(&path).unwrap();

    assert_eq!(seen.len(), FRAMES);
    assert_eq!((summary.kind, summary.frames), (Kind::Clip, FRAMES));
    assert_eq!((summary.width, summary.height), (104, 72));
    assert_eq!(
        (
            summary.damaged,
            summary.lost_packets,
            summary.untimed,
            summary.ended_early
        ),
        (0, 0, 0, false)
    );
    assert!((summary.fps - 25.0).abs() < 1e-6, "{} fps", summary.fps);
    for (index, frame) in seen.iter().enumerate() {
        assert!(
            (frame.time_s - index as f64 / 25.0).abs() < 1e-9,
            "frame {index} at {} s",
            frame.time_s
        );
        assert_eq!(
            (frame.size, frame.form, frame.turn),
            ((104, 72), PLANAR_420, Quarter::None)
        );
        for (half, expected) in frame.halves.into_iter().zip(codes(index)) {
            assert_near(half, expected, within, &format!("frame {index}"));
        }
    }
}

/// Motion JPEG is full range and BT.601 by its own standard (JFIF).
#[rstest]
fn motion_jpeg_is_full_range(#[values("mov", "avi", "matroska")] muxer: &str) {
    let (_folder, path) = place("clip");
    let recipe = Recipe {
        pixel: Pixel::YUVJ420P,
        options: Q2,
        ..recipe(muxer, "mjpeg")
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, _) = read(&path).unwrap();
    assert_eq!(seen.len(), FRAMES);
    for (index, frame) in seen.iter().enumerate() {
        assert!(is_full(frame));
        assert_eq!(frame.colour.matrix, Matrix::Bt601);
        assert_near(frame.halves[0], codes(index)[0], 3, "quantiser 2");
    }
}

/// H.263 has five sizes only; this is the second (QCIF).
#[test]
fn threegp_h263() {
    let (_folder, path) = place("clip.3gp");
    let recipe = Recipe {
        size: (176, 144),
        options: Q2,
        tick: (1001, 30_000),
        ..recipe("3gp", "h263")
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, summary) = read(&path).unwrap();
    assert_eq!((seen.len(), summary.width, summary.height), (FRAMES, 176, 144));
    assert!((summary.fps - 29.970_030).abs() < 1e-3, "{} fps", summary.fps);
    assert_near(seen[5].halves[1], codes(5)[1], 3, "quantiser 2");
}

#[rstest]
#[case::h264_10_bit("libx264", Pixel::YUV420P10LE, X264_LOSSLESS, (1, 1), 10)]
#[case::h264_422("libx264", Pixel::YUV422P, X264_LOSSLESS, (1, 0), 8)]
#[case::h264_422_10_bit("libx264", Pixel::YUV422P10LE, X264_LOSSLESS, (1, 0), 10)]
#[case::h264_444("libx264", Pixel::YUV444P, X264_LOSSLESS, (0, 0), 8)]
#[case::hevc_10_bit("libx265", Pixel::YUV420P10LE, X265_LOSSLESS, (1, 1), 10)]
#[case::hevc_12_bit("libx265", Pixel::YUV420P12LE, X265_LOSSLESS, (1, 1), 12)]
#[case::hevc_444_10_bit("libx265", Pixel::YUV444P10LE, X265_LOSSLESS, (0, 0), 10)]
#[case::ffv1_411("ffv1", Pixel::YUV411P, &[], (2, 0), 8)]
#[case::ffv1_16_bit("ffv1", Pixel::YUV420P16LE, &[], (1, 1), 16)]
fn depths_and_subsamplings(
    #[case] encoder: &str,
    #[case] pixel: Pixel,
    #[case] options: &[(&str, &str)],
    #[case] shift: (u32, u32),
    #[case] bits: u32,
) {
    let (_folder, path) = place("clip.mkv");
    let recipe = Recipe {
        pixel,
        options,
        ..recipe("matroska", encoder)
    };
    if !encode(&path, &recipe, |index, picture| paint(bits, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, _) = read(&path).unwrap();
    assert_eq!(seen.len(), FRAMES);
    for (index, frame) in seen.iter().enumerate() {
        assert_eq!(frame.form, Form::Planar { shift, bits });
        let expected = codes(index).map(|half| half.map(|code| code << (bits - 8)));
        assert_eq!(frame.halves, expected, "frame {index}, lossless");
    }
}

/// Interleaved and semi-planar samples are not borrowed but put into planes; the codes stay.
#[rstest]
fn interleaved_samples_keep_their_codes(#[values("avi", "mov")] muxer: &str) {
    let (_folder, path) = place("clip");
    let recipe = Recipe {
        pixel: Pixel::UYVY422,
        ..recipe(muxer, "rawvideo")
    };
    assert!(encode(&path, &recipe, |index, picture| {
        let stride = picture.stride(0);
        let row: Vec<u8> = (0..SIZE.0 as usize / 2)
            .flat_map(|pair| {
                let [luma, blue, red] =
                    codes(index)[usize::from(pair >= 26)].map(|code| u8::try_from(code).unwrap());
                [blue, luma, red, luma]
            })
            .collect();
        picture
            .data_mut(0)
            .chunks_mut(stride)
            .for_each(|line| line[..row.len()].copy_from_slice(&row));
    }));
    let (seen, _) = read(&path).unwrap();
    assert_eq!(seen.len(), FRAMES);
    for (index, frame) in seen.iter().enumerate() {
        assert_eq!(
            frame.form,
            Form::Planar {
                shift: (1, 0),
                bits: 8
            }
        );
        assert_eq!(frame.halves, codes(index), "frame {index}");
    }
}

/// AVI keeps RGB rows from the bottom up; FFmpeg gives them a negative stride.
#[test]
fn bottom_up_rows_are_put_right() {
    let (_folder, path) = place("clip.avi");
    let recipe = Recipe {
        pixel: Pixel::BGR24,
        stamps: vec![0, 1],
        ..recipe("avi", "rawvideo")
    };
    assert!(encode(&path, &recipe, |_, picture| {
        let stride = picture.stride(0);
        for (y, line) in picture.data_mut(0).chunks_mut(stride).enumerate() {
            let colour: [u8; 3] = if y < 36 { [10, 20, 230] } else { [200, 30, 40] };
            line[..3 * 104]
                .chunks_mut(3)
                .for_each(|pixel| pixel.copy_from_slice(&colour));
        }
    }));
    let mut footage = lampwise::footage::Footage::open(&path, lampwise::footage::Limits::default()).unwrap();
    let frame = footage.next_frame().unwrap().unwrap();
    assert_eq!(crate::seen::sample_at(frame.samples, 50, 0), [230, 20, 10], "top");
    assert_eq!(
        crate::seen::sample_at(frame.samples, 50, 71),
        [40, 30, 200],
        "bottom"
    );
}

/// What H.273 codes say comes back, and silence is guessed with a mark.
#[rstest]
#[case::hd("bt709", "bt709", "bt709", "tv", (Matrix::Bt709, Primaries::Bt709, Transfer::Bt709, Span::Limited, false))]
#[case::hlg("bt2020nc", "bt2020", "arib-std-b67", "tv",
    (Matrix::Bt2020, Primaries::Bt2020, Transfer::Hlg, Span::Limited, false))]
#[case::pq("bt2020nc", "bt2020", "smpte2084", "tv",
    (Matrix::Bt2020, Primaries::Bt2020, Transfer::Pq, Span::Limited, false))]
#[case::pal_full("bt470bg", "bt470bg", "smpte170m", "pc",
    (Matrix::Bt601, Primaries::Bt601Lines625, Transfer::Bt709, Span::Full, false))]
#[case::p3("bt709", "smpte432", "iec61966-2-1", "tv",
    (Matrix::Bt709, Primaries::P3D65, Transfer::Srgb, Span::Limited, false))]
#[case::silent("unknown", "unknown", "unknown", "unknown",
    (Matrix::Bt601, Primaries::Bt709, Transfer::Bt709, Span::Limited, true))]
fn colour_description(
    #[case] matrix: &str,
    #[case] primaries: &str,
    #[case] transfer: &str,
    #[case] range: &str,
    #[case] expected: (Matrix, Primaries, Transfer, Span, bool),
) {
    let (_folder, path) = place("clip.mkv");
    let options = [
        ("qp", "0"),
        ("colorspace", matrix),
        ("color_primaries", primaries),
        ("color_trc", transfer),
        ("color_range", range),
    ];
    let recipe = Recipe {
        options: &options,
        stamps: vec![0, 1],
        ..recipe("matroska", "libx264")
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, summary) = read(&path).unwrap();
    let colour = seen[0].colour;
    assert_eq!(
        (
            colour.matrix,
            colour.primaries,
            colour.transfer,
            colour.span,
            colour.assumed
        ),
        expected
    );
    assert_eq!(summary.colour, colour);
}
