//! Broken, foreign and oversized files: each is refused for its own reason, or read as far as it goes.

use std::fs;
use std::path::Path;

use ffmpeg_next::format::{Pixel, Sample, sample};
use lampwise::footage::{FootageError, Limits, Quantity};
use lampwise::report::unusable;
use lampwise::words::{Language, words};
use rstest::rstest;

use crate::encode::{PLANAR_F32, Recipe, encode, encode_parts, encode_silence, fill};
use crate::made::{paint, place, recipe};
use crate::seen::{read, read_with, skipped};

/// Two seconds of MPEG-4 with noise, so that every frame has some bytes.
fn noisy_clip(path: &Path, muxer: &str, muxing: &[(&str, &str)]) {
    let recipe = Recipe {
        muxer,
        encoder: "mpeg4",
        pixel: Pixel::YUV420P,
        size: (160, 96),
        tick: (1, 25),
        stamps: (0..50).collect(),
        b_frames: 0,
        options: &[("qmin", "2"), ("qmax", "2")],
        muxing,
    };
    assert!(encode(path, &recipe, |index, picture| {
        for plane in 0..3 {
            let noise = |x: usize, y: usize| {
                let mixed = (x * 7919 + y * 104_729 + index * 1_299_709 + plane * 15_485_863)
                    .wrapping_mul(2_654_435_761);
                16 + u16::try_from(mixed >> 20 & 0x7F).unwrap()
            };
            fill(picture, plane, 8, noise);
        }
    }));
}

/// What people are told to do about it.
fn way_out(error: &FootageError) -> String {
    unusable(error, words(Language::English)).next
}

fn cut(path: &Path, share: f64) {
    let bytes = fs::read(path).unwrap();
    fs::write(path, &bytes[..(bytes.len() as f64 * share) as usize]).unwrap();
}

#[test]
fn missing_file() {
    let (_folder, path) = place("none.mp4");
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::NotFound { .. }), "{error}");
}

#[test]
fn folder_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let error = read(folder.path()).unwrap_err();
    assert!(matches!(error, FootageError::Io { .. }), "{error}");
}

#[test]
fn empty_file() {
    let (_folder, path) = place("lamp.mp4");
    fs::write(&path, []).unwrap();
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::Empty { .. }), "{error}");
    assert_eq!(way_out(&error), "send the original file again");
}

#[rstest]
#[case::text("lamp.mp4", b"The lamp blinked three times, then it went out.".as_slice())]
#[case::playlist("lamp.mp4", b"#EXTM3U\n#EXTINF:10,\nfile:///etc/passwd\n")]
#[case::concat_list("lamp.mkv", b"ffconcat version 1.0\nfile /etc/passwd\n")]
#[case::one_byte("lamp.jpg", b"\xFF")]
fn foreign_content_behind_a_clip_s_name(#[case] name: &str, #[case] content: &[u8]) {
    let (_folder, path) = place(name);
    fs::write(&path, content).unwrap();
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::NotFootage { .. }), "{error}");
}

#[rstest]
#[case::heic(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC")]
#[case::avif(b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", "AVIF")]
fn a_photo_with_nothing_in_it_is_named(#[case] content: &[u8], #[case] name: &str) {
    let (_folder, path) = place("IMG_0001.jpg");
    fs::write(&path, content).unwrap();
    match read(&path).unwrap_err() {
        FootageError::Unreadable { kind, .. } => assert!(kind.contains(name), "{kind}"),
        error => panic!("{error}"),
    }
}

#[rstest]
#[case::m4a("ipod", "aac", PLANAR_F32)]
#[case::mkv("matroska", "pcm_s16le", Sample::I16(sample::Type::Packed))]
fn sound_without_video(#[case] muxer: &str, #[case] encoder: &str, #[case] sample: Sample) {
    let (_folder, path) = place("note.mp4");
    if !encode_silence(&path, muxer, encoder, sample) {
        return skipped("this FFmpeg has no such encoder");
    }
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::NoVideo { .. }), "{error}");
}

/// The index of a phone's clip comes last.
#[rstest]
fn upload_cut_before_the_index(
    #[values("mp4", "mov", "3gp")] muxer: &str,
    #[values(0.02, 0.5, 0.99)] share: f64,
) {
    let (_folder, path) = place("clip");
    noisy_clip(&path, muxer, &[]);
    cut(&path, share);
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::UploadIncomplete { .. }), "{error}");
    assert!(way_out(&error).contains("wait until it is through"), "{error}");
}

/// With the index first (or none needed) the part that arrived is read, and the summary says that it is a part.
#[rstest]
#[case::mp4("mp4", &[("movflags", "faststart")])]
#[case::mkv("matroska", &[])]
#[case::avi("avi", &[])]
fn cut_clip_yields_what_arrived(#[case] muxer: &str, #[case] muxing: &[(&str, &str)]) {
    let (_folder, path) = place("clip");
    noisy_clip(&path, muxer, muxing);
    let (whole, summary) = read(&path).unwrap();
    assert_eq!((whole.len(), summary.ended_early), (50, false));

    cut(&path, 0.5);
    let (part, summary) = read(&path).unwrap();
    assert!(summary.ended_early);
    // Frames are of about equal size here, so about half of them.
    assert!((20..=27).contains(&part.len()), "{} frames", part.len());
    for (frame, original) in part.iter().zip(&whole) {
        assert!((frame.time_s - original.time_s).abs() < 1e-9);
        assert!(
            frame.damaged || frame.halves == original.halves,
            "at {} s",
            frame.time_s
        );
    }
}

#[test]
fn damage_inside_is_marked_and_time_goes_on() {
    let (_folder, path) = place("clip.mp4");
    noisy_clip(&path, "mp4", &[]);
    let (whole, _) = read(&path).unwrap();
    let mut bytes = fs::read(&path).unwrap();
    let (from, to) = (bytes.len() * 4 / 10, bytes.len() * 5 / 10);
    bytes[from..to].fill(0x55);
    fs::write(&path, bytes).unwrap();

    let (seen, summary) = read(&path).unwrap();
    assert!(summary.damaged + summary.lost_packets > 0, "{summary:?}");
    assert_eq!(summary.damaged, seen.iter().filter(|frame| frame.damaged).count());
    assert!(seen.is_sorted_by(|a, b| a.time_s < b.time_s));
    // Stamps come from the index, which is whole: a frame that is there is there at its own time.
    for frame in &seen {
        assert!(
            whole
                .iter()
                .any(|original| (original.time_s - frame.time_s).abs() < 1e-9)
        );
    }
}

#[test]
fn index_full_of_nonsense() {
    let (_folder, path) = place("clip.mp4");
    noisy_clip(&path, "mp4", &[]);
    let mut bytes = fs::read(&path).unwrap();
    let index = bytes.windows(4).rposition(|kind| kind == b"moov").unwrap();
    bytes[index + 4..].fill(0xEE);
    fs::write(&path, bytes).unwrap();
    let error = read(&path).unwrap_err();
    assert!(
        matches!(
            error,
            FootageError::Unreadable { .. } | FootageError::NoVideo { .. }
        ),
        "{error}"
    );
}

/// Every prefix of a clip is an answer, never a crash.
#[rstest]
fn any_length_is_survived(#[values("mp4", "matroska", "avi", "gif")] muxer: &str) {
    let (_folder, path) = place("clip");
    if muxer == "gif" {
        let recipe = Recipe {
            muxer,
            encoder: "gif",
            pixel: Pixel::BGR8,
            size: (16, 16),
            tick: (1, 100),
            stamps: vec![0, 10, 20],
            b_frames: 0,
            options: &[],
            muxing: &[],
        };
        assert!(encode(&path, &recipe, |index, picture| fill(
            picture,
            0,
            8,
            |_, _| 7 << index
        )));
    } else {
        noisy_clip(&path, muxer, &[]);
    }
    let bytes = fs::read(&path).unwrap();
    let part = path.with_extension("part");
    for step in 0..40 {
        let length = bytes.len() * step / 40;
        fs::write(&part, &bytes[..length]).unwrap();
        match read(&part) {
            Ok((seen, _)) => assert!(seen.is_sorted_by(|a, b| a.time_s < b.time_s)),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
}

/// Windows Media is not among the codes read; Matroska can hold it.
#[test]
fn unread_code_is_named() {
    let (_folder, path) = place("clip.mkv");
    let recipe = Recipe {
        muxer: "matroska",
        encoder: "wmv2",
        pixel: Pixel::YUV420P,
        size: (160, 96),
        tick: (1, 25),
        stamps: (0..5).collect(),
        b_frames: 0,
        options: &[],
        muxing: &[],
    };
    if !encode(&path, &recipe, |_, picture| {
        (0..3).for_each(|plane| fill(picture, plane, 8, |_, _| 100))
    }) {
        return skipped("this FFmpeg has no such encoder");
    }
    match read(&path).unwrap_err() {
        FootageError::UnsupportedCodec { codec, .. } => assert_eq!(codec.as_deref(), Some("wmv2")),
        error => panic!("{error}"),
    }
}

/// Motion JPEG pictures carry their own size.
#[test]
fn size_that_changes_is_refused() {
    let (_folder, path) = place("clip.mkv");
    let before = Recipe {
        pixel: Pixel::YUVJ420P,
        stamps: vec![0, 1, 2],
        ..recipe("matroska", "mjpeg")
    };
    let after = Recipe {
        size: (72, 104),
        stamps: vec![3, 4],
        ..before.clone()
    };
    assert!(encode_parts(&path, &[before, after], |index, picture| paint(
        8, index, picture
    )));
    match read(&path).unwrap_err() {
        FootageError::SizeChanged { time_s, from, to, .. } => {
            assert_eq!((from, to), ((104, 72), (72, 104)));
            assert!((time_s - 0.12).abs() < 1e-9, "{time_s}");
        }
        error => panic!("{error}"),
    }
}

#[rstest]
#[case::pixels(Limits { pixels: 160 * 96 - 1, ..Limits::default() }, Quantity::Pixels, 15_360.0, 15_359.0)]
#[case::frames(Limits { frames: 49, ..Limits::default() }, Quantity::Frames, 50.0, 49.0)]
#[case::seconds(Limits { seconds: 1.9, ..Limits::default() }, Quantity::Seconds, 2.0, 1.9)]
fn limits_are_kept(
    #[case] limits: Limits,
    #[case] quantity: Quantity,
    #[case] amount: f64,
    #[case] allowed: f64,
) {
    let (_folder, path) = place("clip.mp4");
    noisy_clip(&path, "mp4", &[]);
    match read_with(&path, limits).unwrap_err() {
        FootageError::LimitExceeded {
            what, actual, limit, ..
        } => {
            assert_eq!((what, limit), (quantity, allowed));
            assert!((actual - amount).abs() < 1e-6, "{actual}");
        }
        error => panic!("{error}"),
    }
    let enough = Limits {
        pixels: 160 * 96,
        frames: 50,
        seconds: 2.0,
        ..Limits::default()
    };
    assert_eq!(
        read_with(&path, enough).unwrap().0.len(),
        50,
        "a limit that is just met is met"
    );
}
