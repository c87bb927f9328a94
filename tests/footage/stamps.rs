//! Time and turn: stamps, order, edit lists and display matrices.

use std::path::Path;

use ffmpeg_next::format::Pixel;
use lampwise::footage::{FootageError, Kind, Matrix, Quarter, Span, Transfer};
use rstest::rstest;

use crate::encode::{Recipe, encode, fill};
use crate::made::*;
use crate::seen::{Form, assert_near, read, skipped};

/// The encoder's 3:3:2 palette has 36 a step of three bits and 85 a step of two; delays are hundredths of a
/// second.
#[test]
fn gif_is_a_clip_with_its_delays() {
    let (_folder, path) = place("lamp.png");
    let stamps = vec![0, 20, 25, 60, 160];
    let recipe = Recipe {
        pixel: Pixel::BGR8,
        tick: (1, 100),
        stamps: stamps.clone(),
        ..recipe("gif", "gif")
    };
    // Bits 7 and 6 blue, 5 to 3 green, 2 to 0 red.
    let pure = [0b0000_0111, 0b0011_1000, 0b1100_0000, 0b0000_0000, 0b1111_1111];
    assert!(encode(&path, &recipe, |index, picture| fill(
        picture,
        0,
        8,
        |_, _| pure[index]
    )));
    let (seen, summary) = read(&path).unwrap();
    assert_eq!(summary.kind, Kind::Clip);
    let times: Vec<_> = seen.iter().map(|frame| frame.time_s).collect();
    for (time, stamp) in times.iter().zip(&stamps) {
        assert!((time - *stamp as f64 / 100.0).abs() < 1e-9, "{times:?}");
    }
    let colours: Vec<_> = seen.iter().map(|frame| frame.halves[0]).collect();
    assert_eq!(
        colours,
        [[252, 0, 0], [0, 252, 0], [0, 0, 255], [0, 0, 0], [252, 252, 255]]
    );
    assert_eq!(
        (seen[0].form, seen[0].colour.matrix),
        (Form::Rgb, Matrix::Identity)
    );
    assert_eq!(
        (seen[0].colour.span, seen[0].colour.transfer),
        (Span::Full, Transfer::Srgb)
    );
}

/// Uneven steps, among them a dropped frame, a pause and a burst at 240 fps. Matroska counts milliseconds.
#[rstest]
#[case::mp4("mp4", 90_000.0)]
#[case::mov("mov", 90_000.0)]
#[case::mkv("matroska", 1000.0)]
fn variable_stamps_come_back_within_a_tick(#[case] muxer: &str, #[case] ticks_a_second: f64) {
    let (_folder, path) = place("clip");
    let stamps = vec![
        0, 3003, 6006, 12_012, 15_000, 15_375, 15_750, 90_750, 93_753, 97_000,
    ];
    let recipe = Recipe {
        tick: (1, 90_000),
        stamps: stamps.clone(),
        options: X264_LOSSLESS,
        b_frames: 0,
        ..recipe(muxer, "libx264")
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, _) = read(&path).unwrap();
    assert_eq!(seen.len(), stamps.len());
    for ((index, frame), stamp) in seen.iter().enumerate().zip(stamps) {
        let truth_s = stamp as f64 / 90_000.0;
        assert!(
            (frame.time_s - truth_s).abs() <= 1.0 / ticks_a_second,
            "{} for {truth_s} s",
            frame.time_s
        );
        assert_eq!(frame.halves, codes(index), "frame {index}");
    }
}

/// x264 makes no B-frames in its lossless mode; quantiser 1 is next to it.
const X264_B: &[(&str, &str)] = &[
    ("qp", "1"),
    ("preset", "medium"),
    ("x264-params", "b-adapt=0:bframes=3:b-pyramid=2"),
];
const X265_B: &[(&str, &str)] = &[("x265-params", "lossless=1:b-adapt=0:bframes=3:log-level=none")];

/// B-frames are stored after the frames that follow them. AVI keeps no presentation stamps, so that there the
/// order is the decoder's and the clock that of the file's rate.
#[rstest]
#[case::mp4_h264("mp4", "libx264", X264_B, 1)]
#[case::mov_h264("mov", "libx264", X264_B, 1)]
#[case::mkv_h264("matroska", "libx264", X264_B, 1)]
#[case::avi_h264("avi", "libx264", X264_B, 1)]
#[case::mp4_hevc("mp4", "libx265", X265_B, 0)]
#[case::mov_hevc("mov", "libx265", X265_B, 0)]
#[case::mkv_hevc("matroska", "libx265", X265_B, 0)]
#[case::mp4_mpeg4("mp4", "mpeg4", Q2, 3)]
#[case::mkv_mpeg4("matroska", "mpeg4", Q2, 3)]
#[case::avi_mpeg4("avi", "mpeg4", Q2, 3)]
fn reordered_frames_come_in_time_order(
    #[case] muxer: &str,
    #[case] encoder: &str,
    #[case] options: &[(&str, &str)],
    #[case] within: u16,
) {
    let (_folder, path) = place("clip");
    let recipe = Recipe {
        b_frames: 2,
        options,
        ..recipe(muxer, encoder)
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    assert!(
        muxer == "avi" || !stored_stamps(&path).is_sorted(),
        "the clip has B-frames"
    );
    let (seen, summary) = read(&path).unwrap();
    assert_eq!(seen.len(), FRAMES, "{summary:?}");
    for (index, frame) in seen.iter().enumerate() {
        assert!(
            (frame.time_s - index as f64 / 25.0).abs() < 1e-9,
            "frame {index} at {} s",
            frame.time_s
        );
        assert_near(
            frame.halves[0],
            codes(index)[0],
            within,
            &format!("frame {index}"),
        );
    }
}

/// Presentation stamps in the order in which the file stores the frames.
fn stored_stamps(path: &Path) -> Vec<Option<i64>> {
    let mut input = ffmpeg_next::format::input(path).unwrap();
    input.packets().map(|(_, packet)| packet.pts()).collect()
}

/// Broadcast rates, thousands over 1001, to six decimals.
#[rstest]
#[case(24_000, 23.976_024)]
#[case(30_000, 29.970_030)]
#[case(60_000, 59.940_060)]
#[case(120_000, 119.880_120)]
#[case(240_000, 239.760_240)]
fn ntsc_rates(#[case] thousands: i32, #[case] published: f64) {
    let (_folder, path) = place("clip.mp4");
    let recipe = Recipe {
        tick: (1001, thousands),
        options: X264_LOSSLESS,
        ..recipe("mp4", "libx264")
    };
    if !encode(&path, &recipe, |index, picture| paint(8, index, picture)) {
        return skipped("this FFmpeg has no such encoder");
    }
    let (seen, summary) = read(&path).unwrap();
    assert!((summary.fps - published).abs() < 1e-6, "{} fps", summary.fps);
    assert!((seen[FRAMES - 1].time_s - 23.0 * 1001.0 / f64::from(thousands)).abs() < 1e-9);
    assert!(
        (summary.length_s - 24.0 * 1001.0 / f64::from(thousands)).abs() < 1e-9,
        "{} s",
        summary.length_s
    );
}

/// Writes a display matrix into the track header: byte 40 of a version 0 `tkhd` body (ISO/IEC 14496-12, 8.3.2).
fn set_matrix(path: &Path, [a, b, c, d]: [i32; 4]) {
    let mut bytes = std::fs::read(path).unwrap();
    let matrix = [a << 16, b << 16, 0, c << 16, d << 16, 0, 0, 0, 0x4000_0000];
    let body = bytes.windows(4).position(|kind| kind == b"tkhd").unwrap() + 4;
    assert_eq!(bytes[body], 0, "version");
    for (term, place) in matrix.iter().zip(bytes[body + 40..].chunks_mut(4)) {
        place.copy_from_slice(&term.to_be_bytes());
    }
    std::fs::write(path, bytes).unwrap();
}

#[rstest]
#[case::upright([1, 0, 0, 1], Quarter::None, (104, 72))]
#[case::clockwise([0, 1, -1, 0], Quarter::Right, (72, 104))]
#[case::upside_down([-1, 0, 0, -1], Quarter::Half, (104, 72))]
#[case::anticlockwise([0, -1, 1, 0], Quarter::Left, (72, 104))]
fn display_matrix(#[case] terms: [i32; 4], #[case] turn: Quarter, #[case] upright: (usize, usize)) {
    let (_folder, path) = place("clip.mp4");
    assert!(encode(
        &path,
        &Recipe {
            options: Q2,
            ..recipe("mp4", "mpeg4")
        },
        |i, picture| paint(8, i, picture)
    ));
    set_matrix(&path, terms);
    let (seen, summary) = read(&path).unwrap();
    assert!(
        seen.iter()
            .all(|frame| frame.turn == turn && frame.size == (104, 72))
    );
    assert_eq!((summary.width, summary.height), upright);
    // The samples stay as coded.
    assert_near(seen[0].halves[0], codes(0)[0], 3, "quantiser 2");
}

#[test]
fn mirrored_clip_is_refused() {
    let (_folder, path) = place("clip.mp4");
    assert!(encode(
        &path,
        &Recipe {
            options: Q2,
            ..recipe("mp4", "mpeg4")
        },
        |i, picture| paint(8, i, picture)
    ));
    set_matrix(&path, [-1, 0, 0, 1]);
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::UnsupportedTurn { .. }), "{error}");
}

/// An edit list that starts the presentation at the sixth frame: the five before are decoded and not shown,
/// and time starts at the sixth. `media_time` is in ticks of the media (ISO/IEC 14496-12, 8.6.6).
#[test]
fn edit_list_trims_the_beginning() {
    let (_folder, path) = place("clip.mp4");
    let recipe = Recipe {
        options: Q2,
        muxing: &[("video_track_timescale", "25")],
        ..recipe("mp4", "mpeg4")
    };
    assert!(encode(&path, &recipe, |index, picture| paint(8, index, picture)));
    let mut bytes = std::fs::read(&path).unwrap();
    let body = bytes
        .windows(4)
        .position(|kind| kind == b"elst")
        .expect("the muxer writes one")
        + 4;
    assert_eq!(
        &bytes[body..body + 8],
        [0, 0, 0, 0, 0, 0, 0, 1],
        "version 0, one entry"
    );
    bytes[body + 12..body + 16].copy_from_slice(&5_u32.to_be_bytes());
    std::fs::write(&path, bytes).unwrap();

    let (seen, _) = read(&path).unwrap();
    assert_eq!(seen.len(), FRAMES - 5);
    for (index, frame) in seen.iter().enumerate() {
        assert!((frame.time_s - index as f64 / 25.0).abs() < 1e-9);
        assert_near(frame.halves[0], codes(index + 5)[0], 3, "quantiser 2");
    }
}
