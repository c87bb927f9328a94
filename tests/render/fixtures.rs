//! The clips in `fixtures/` are what their recipes say, through the encoder and back.

use std::path::{Path, PathBuf};

use ffmpeg_next as ffmpeg;
use lampwise::footage::Samples;
use lampwise::render::{Codec, Lamp, Recipe, RenderError, Shown, Upright, clip, frames};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(name)
}

/// Luma and colour differences without padding, as rows of a width, with the time in seconds.
struct Decoded {
    time_s: f64,
    planes: [(usize, Vec<u8>); 3],
}

fn decode(path: &Path) -> Vec<Decoded> {
    ffmpeg::init().unwrap();
    let mut input = ffmpeg::format::input(path).unwrap();
    let stream = input.streams().best(ffmpeg::media::Type::Video).unwrap();
    let tick_s = f64::from(stream.time_base());
    let context = ffmpeg::codec::context::Context::from_parameters(stream.parameters()).unwrap();
    let mut decoder = context.decoder().video().unwrap();
    let mut decoded = Vec::new();
    let mut take = |decoder: &mut ffmpeg::decoder::Video| {
        let mut image = ffmpeg::frame::Video::empty();
        while decoder.receive_frame(&mut image).is_ok() {
            let planes = [0, 1, 2].map(|index| {
                let (width, stride) = (image.plane_width(index) as usize, image.stride(index));
                let rows = image.data(index).chunks_exact(stride);
                (width, rows.flat_map(|row| &row[..width]).copied().collect())
            });
            decoded.push(Decoded {
                time_s: image.timestamp().unwrap() as f64 * tick_s,
                planes,
            });
        }
    };
    for (_, packet) in input.packets() {
        decoder.send_packet(&packet).unwrap();
        take(&mut decoder);
    }
    decoder.send_eof().unwrap();
    take(&mut decoder);
    decoded
}

/// Root mean square difference in code values.
fn difference(a: &[u8], b: &[u8]) -> f64 {
    assert_eq!(a.len(), b.len());
    let squares: f64 = a
        .iter()
        .zip(b)
        .map(|(&a, &b)| (f64::from(a) - f64::from(b)).powi(2))
        .sum();
    (squares / a.len() as f64).sqrt()
}

/// Mean over the inscribed square of a disc in a plane.
fn mean_in(plane: &[u8], width: usize, (x, y): (f64, f64), radius: f64) -> f64 {
    let half = 0.7 * radius;
    let (columns, rows) = (
        (x - half) as usize..(x + half) as usize,
        (y - half) as usize..(y + half) as usize,
    );
    let area = (columns.len() * rows.len()) as f64;
    let values = rows.flat_map(|row| plane[row * width..][columns.clone()].iter());
    values.map(|&value| f64::from(value)).sum::<f64>() / area
}

/// Compares a clip with the pictures that its recipe gives, frame by frame: times, whole pictures, and the
/// lamp.
fn check(path: &Path, recipe: &Recipe) {
    let mut frames = frames(recipe).unwrap();
    let truth = frames.truth().clone();
    let decoded = decode(path);
    assert_eq!(decoded.len(), truth.frames.len());
    for (decoded, truth_of) in decoded.into_iter().zip(&truth.frames) {
        let picture = frames.next_picture().unwrap().as_frame();
        assert!(
            (decoded.time_s - truth_of.time_s).abs() < 1e-6,
            "{} s",
            decoded.time_s
        );
        let Samples::Planar { luma, blue, red, .. } = picture.samples else {
            panic!("the renderer gives planes");
        };
        // What differs is the sensor's noise, some two code values, which the encoder takes away.
        let whole = difference(&decoded.planes[0].1, luma.data);
        assert!(whole < 3.0, "{whole} code values at {} s", decoded.time_s);
        let lamp = truth_of.lamps[0];
        let size = (picture.width as f64, picture.height as f64);
        let (x, y) = picture.turn.to_coded((lamp.x_px, lamp.y_px), size);
        for ((index, plane), scale) in [luma, blue, red].into_iter().enumerate().zip([1.0, 0.5, 0.5]) {
            let (width, decoded_plane) = &decoded.planes[index];
            let mean = |data| {
                mean_in(
                    data,
                    *width,
                    (x * scale, y * scale),
                    truth.lamps[0].radius_px * scale,
                )
            };
            let (got, expected) = (mean(decoded_plane.as_slice()), mean(plane.data));
            // Between lit and dark there are some hundred code values.
            assert!(
                (got - expected).abs() < 5.0,
                "plane {index}: {got} against {expected} at {} s",
                decoded.time_s
            );
        }
    }
}

#[rstest::rstest]
#[case("demo")]
#[case("fault")]
#[case("reset-took")]
fn fixture_shows_its_recipe(#[case] name: &str) {
    let text = std::fs::read_to_string(fixture(&format!("{name}.toml"))).unwrap();
    check(
        &fixture(&format!("{name}.mp4")),
        &Recipe::from_toml(&text).unwrap(),
    );
}

fn small(codec: Codec) -> Recipe {
    let mut recipe = Recipe {
        width_px: 192,
        height_px: 128,
        seconds: 1.5,
        ..Recipe::default()
    };
    recipe.timing.jitter_s = 0.01;
    recipe.timing.dropped_share = 0.1;
    recipe.encoding.codec = codec;
    recipe.encoding.crf = 20;
    let beats = r#"{ "cycle": [{ "lasts_s": 0.2, "colour": "white" }, { "lasts_s": 0.3 }] }"#;
    let shows: Shown = serde_json::from_str(beats).unwrap();
    recipe.lamps = vec![Lamp {
        x_px: 90.0,
        y_px: 60.0,
        ..Lamp::showing(shows)
    }];
    recipe
}

#[rstest::rstest]
#[case(Codec::H264)]
#[case(Codec::Hevc)]
#[case(Codec::Vp9)]
fn uneven_clip_survives_the_encoder(#[case] codec: Codec) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clip.mp4");
    let recipe = small(codec);
    match clip(&recipe, &path) {
        Ok(truth) => assert_eq!(truth, lampwise::render::truth(&recipe).unwrap()),
        Err(RenderError::NoEncoder { encoder }) => {
            eprintln!("skipped: this FFmpeg has no {encoder}");
            return;
        }
        Err(error) => panic!("{error}"),
    }
    check(&path, &recipe);
}

/// The display matrix that FFmpeg reads back, against ISO/IEC 14496-12: (a b / c d) takes coded to upright.
#[rstest::rstest]
#[case(Upright::TurnedRight, [0, 1, -1, 0])]
#[case(Upright::Reversed, [-1, 0, 0, -1])]
#[case(Upright::TurnedLeft, [0, -1, 1, 0])]
fn turn_is_marked_in_the_file(#[case] upright: Upright, #[case] expected: [i32; 4]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clip.mp4");
    let mut recipe = small(Codec::H264);
    recipe.encoding.upright = upright;
    clip(&recipe, &path).unwrap();
    check(&path, &recipe);
    let input = ffmpeg::format::input(&path).unwrap();
    let stream = input.streams().next().unwrap();
    let matrix = stream
        .side_data()
        .find(|data| data.kind() == ffmpeg::codec::packet::side_data::Type::DisplayMatrix)
        .expect("a turned clip has a display matrix");
    let entries: Vec<i32> = matrix
        .data()
        .chunks_exact(4)
        .map(|bytes| i32::from_ne_bytes(bytes.try_into().unwrap()) >> 16)
        .collect();
    assert_eq!([entries[0], entries[1], entries[3], entries[4]], expected);
}
