//! A small encoder for tests: painted pictures and stamps in, a clip out.

use std::path::Path;

use ffmpeg_next::format::{self, Pixel, Sample, sample};
use ffmpeg_next::{ChannelLayout, Codec, Error, Packet, Rational, codec, encoder, frame};

/// How a clip is made.
#[derive(Clone)]
pub(crate) struct Recipe<'a> {
    /// FFmpeg's name of the container.
    pub(crate) muxer: &'a str,
    /// FFmpeg's name of the encoder.
    pub(crate) encoder: &'a str,
    pub(crate) pixel: Pixel,
    pub(crate) size: (u32, u32),
    /// Ticks a second of `stamps`, as a fraction of a second: numerator and denominator.
    pub(crate) tick: (i32, i32),
    pub(crate) stamps: Vec<i64>,
    pub(crate) b_frames: usize,
    pub(crate) options: &'a [(&'a str, &'a str)],
    pub(crate) muxing: &'a [(&'a str, &'a str)],
}

/// `false`: this machine's FFmpeg lacks the encoder.
pub(crate) fn encode(path: &Path, recipe: &Recipe<'_>, paint: impl FnMut(usize, &mut frame::Video)) -> bool {
    encode_parts(path, std::slice::from_ref(recipe), paint)
}

/// Several recipes one after the other in one stream, which the first one describes. `paint` counts within a
/// part.
pub(crate) fn encode_parts(
    path: &Path,
    parts: &[Recipe<'_>],
    mut paint: impl FnMut(usize, &mut frame::Video),
) -> bool {
    ffmpeg_next::log::set_level(ffmpeg_next::log::Level::Quiet);
    let first = &parts[0];
    let Some(found) = encoder::find_by_name(first.encoder) else {
        return false;
    };
    let mut output = format::output_as(path, first.muxer).unwrap();
    let encoders: Vec<_> = parts
        .iter()
        .map(|part| open_encoder(part, found, &output))
        .collect();
    let mut stream = output.add_stream(found).unwrap();
    stream.set_parameters(&encoders[0]);
    stream.set_time_base(Rational::new(first.tick.0, first.tick.1));
    output.write_header_with(first.muxing.iter().collect()).unwrap();

    for (part, mut video) in parts.iter().zip(encoders) {
        for (index, &stamp) in part.stamps.iter().enumerate() {
            let mut picture = frame::Video::new(part.pixel, part.size.0, part.size.1);
            paint(index, &mut picture);
            picture.set_pts(Some(stamp));
            video.send_frame(&picture).unwrap();
            write_pictures(&mut video, &mut output, part);
        }
        video.send_eof().unwrap();
        write_pictures(&mut video, &mut output, part);
    }
    output.write_trailer().unwrap();
    true
}

fn open_encoder(recipe: &Recipe<'_>, found: Codec, output: &format::context::Output) -> encoder::Video {
    let mut video = codec::Context::new_with_codec(found).encoder().video().unwrap();
    video.set_format(recipe.pixel);
    video.set_width(recipe.size.0);
    video.set_height(recipe.size.1);
    video.set_time_base(Rational::new(recipe.tick.0, recipe.tick.1));
    video.set_max_b_frames(recipe.b_frames);
    if output.format().flags().contains(format::Flags::GLOBAL_HEADER) {
        video.set_flags(codec::Flags::GLOBAL_HEADER);
    }
    video
        .open_as_with(found, recipe.options.iter().collect())
        .unwrap()
}

fn write_pictures(video: &mut encoder::Video, output: &mut format::context::Output, recipe: &Recipe<'_>) {
    // What the last frame is shown for; the others last until the next.
    let shown = recipe
        .stamps
        .windows(2)
        .last()
        .map_or(1, |pair| pair[1] - pair[0]);
    let tick = output.stream(0).unwrap().time_base();
    let mut packet = Packet::empty();
    while video.receive_packet(&mut packet).is_ok() {
        packet.set_stream(0);
        packet.set_duration(shown);
        packet.rescale_ts(Rational::new(recipe.tick.0, recipe.tick.1), tick);
        packet.write_interleaved(output).unwrap();
    }
}

/// Half a second of silence.
pub(crate) fn encode_silence(path: &Path, muxer: &str, encoder_name: &str, sample: Sample) -> bool {
    let Some(found) = encoder::find_by_name(encoder_name) else {
        return false;
    };
    let mut output = format::output_as(path, muxer).unwrap();
    let mut audio = codec::Context::new_with_codec(found).encoder().audio().unwrap();
    audio.set_rate(48_000);
    audio.set_channel_layout(ChannelLayout::MONO);
    audio.set_format(sample);
    audio.set_time_base(Rational::new(1, 48_000));
    if output.format().flags().contains(format::Flags::GLOBAL_HEADER) {
        audio.set_flags(codec::Flags::GLOBAL_HEADER);
    }
    let mut audio = audio.open_as(found).unwrap();
    output.add_stream(found).unwrap().set_parameters(&audio);
    output.write_header().unwrap();
    let tick = output.stream(0).unwrap().time_base();
    for block in 0..24 {
        let mut sound = frame::Audio::new(sample, 1024, ChannelLayout::MONO);
        sound.set_rate(48_000);
        sound.data_mut(0).fill(0);
        sound.set_pts(Some(block * 1024));
        audio.send_frame(&sound).unwrap();
        write_sound(&mut audio, &mut output, tick);
    }
    audio.send_eof().unwrap();
    write_sound(&mut audio, &mut output, tick);
    output.write_trailer().unwrap();
    true
}

fn write_sound(audio: &mut encoder::Audio, output: &mut format::context::Output, tick: Rational) {
    let mut packet = Packet::empty();
    loop {
        match audio.receive_packet(&mut packet) {
            Ok(()) => {
                packet.set_stream(0);
                packet.rescale_ts(Rational::new(1, 48_000), tick);
                packet.write_interleaved(output).unwrap();
            }
            Err(Error::Eof | Error::Other { .. }) => return,
            Err(error) => panic!("{error}"),
        }
    }
}

/// Planar samples of AAC.
pub(crate) const PLANAR_F32: Sample = Sample::F32(sample::Type::Planar);

/// Fills plane `index`: `value(x, y)` is asked for each of its samples. Above 8 bits, low byte first.
pub(crate) fn fill(picture: &mut frame::Video, index: usize, bits: u32, value: impl Fn(usize, usize) -> u16) {
    let (width, height) = (
        picture.plane_width(index) as usize,
        picture.plane_height(index) as usize,
    );
    let stride = picture.stride(index);
    let data = picture.data_mut(index);
    for y in 0..height {
        for x in 0..width {
            let [low, high] = value(x, y).to_le_bytes();
            if bits > 8 {
                data[y * stride + 2 * x..][..2].copy_from_slice(&[low, high]);
            } else {
                data[y * stride + x] = low;
            }
        }
    }
}
