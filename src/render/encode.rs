//! Pictures into a file. The only part of the renderer that knows FFmpeg.

use std::path::Path;

use ffmpeg_next as ffmpeg;
use ffmpeg_next::codec::{self, encoder};
use ffmpeg_next::{Dictionary, Packet, Rational, color, format, frame};

use super::coding::Coding;
use super::error::RenderError;
use super::frames::frames;
use super::picture::Picture;
use super::recipe::{Codec, DynamicRange, Encoding, Recipe};
use super::tilt;
use super::timing::TICKS_PER_S;
use super::truth::Truth;

/// Renders a recipe into an MP4 file and says what it shows. An existing file is replaced.
///
/// # Errors
///
/// When the recipe cannot be followed, this FFmpeg lacks the encoder, or the file cannot be written.
pub fn clip(recipe: &Recipe, path: &Path) -> Result<Truth, RenderError> {
    let mut frames = frames(recipe)?;
    let failed = |doing| {
        move |source| RenderError::Encode {
            path: path.to_owned(),
            doing,
            source,
        }
    };
    let unwritable = |source| RenderError::Write {
        path: path.to_owned(),
        source,
    };
    ffmpeg::init().map_err(failed("starting FFmpeg"))?;
    // The encoders praise their settings on the standard error output otherwise.
    ffmpeg::log::set_level(ffmpeg::log::Level::Error);
    let settings = settings(&recipe.encoding);
    let codec = encoder::find_by_name(settings.encoder).ok_or(RenderError::NoEncoder {
        encoder: settings.encoder,
    })?;
    // The library does not tell what the system said.
    let written = std::fs::OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(path);
    written.map_err(unwritable)?;
    let mut writer = Writer::open(recipe, codec, settings.options, path)
        .map_err(failed("opening the encoder or the file"))?;
    while let Some(picture) = frames.next_picture() {
        writer.write(picture).map_err(failed("encoding a frame"))?;
    }
    writer.finish().map_err(failed("finishing the file"))?;
    tilt::mark(path, recipe.encoding.upright.quarter()).map_err(unwritable)?;
    Ok(frames.truth().clone())
}

struct Settings {
    encoder: &'static str,
    options: Dictionary<'static>,
}

/// One thread, so that the same pictures give the same file; fast presets, since phones' encoders are no
/// better.
fn settings(encoding: &Encoding) -> Settings {
    let mut options = Dictionary::new();
    options.set("threads", "1");
    if let Some(kbit_per_s) = encoding.kbit_per_s {
        // Kept to over a second, as a sender without much patience does.
        for bits in ["b", "maxrate", "bufsize"] {
            options.set(bits, &format!("{kbit_per_s}k"));
        }
    } else {
        options.set("crf", &encoding.crf.to_string());
    }
    let encoder = match encoding.codec {
        Codec::H264 => {
            options.set("preset", "veryfast");
            let deep = encoding.range != DynamicRange::Standard;
            options.set("profile", if deep { "high10" } else { "high" });
            "libx264"
        }
        Codec::Hevc => {
            options.set("preset", "superfast");
            options.set("x265-params", "log-level=error:pools=none:frame-threads=1");
            "libx265"
        }
        Codec::Vp9 => {
            // libvpx takes the rate factor for a bound only, unless the bit rate is zero.
            match encoding.kbit_per_s {
                // Without a least rate it keeps to the rate by the minute only.
                Some(kbit_per_s) => options.set("minrate", &format!("{kbit_per_s}k")),
                None => options.set("b", "0"),
            }
            options.set("deadline", "realtime");
            options.set("cpu-used", "6");
            "libvpx-vp9"
        }
    };
    Settings { encoder, options }
}

const fn pixel_format(range: DynamicRange) -> format::Pixel {
    match range {
        DynamicRange::Standard => format::Pixel::YUV420P,
        DynamicRange::Hlg | DynamicRange::Pq => format::Pixel::YUV420P10LE,
    }
}

/// Matrix, primaries and transfer function.
const fn colours(range: DynamicRange) -> (color::Space, color::Primaries, color::TransferCharacteristic) {
    use color::{Primaries, Space, TransferCharacteristic};
    match range {
        DynamicRange::Standard => (Space::BT709, Primaries::BT709, TransferCharacteristic::BT709),
        DynamicRange::Hlg => (
            Space::BT2020NCL,
            Primaries::BT2020,
            TransferCharacteristic::ARIB_STD_B67,
        ),
        DynamicRange::Pq => (
            Space::BT2020NCL,
            Primaries::BT2020,
            TransferCharacteristic::SMPTE2084,
        ),
    }
}

/// An open encoder and its file.
struct Writer {
    output: format::context::Output,
    encoder: encoder::video::Encoder,
    time_base: Rational,
    frame_ticks: i64,
    packet: Packet,
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "a number of ticks that fits, by its definition"
)]
const TICK: Rational = Rational(1, TICKS_PER_S as i32);

impl Writer {
    fn open(
        recipe: &Recipe,
        codec: ffmpeg::Codec,
        options: Dictionary<'_>,
        path: &Path,
    ) -> Result<Self, ffmpeg::Error> {
        let mut output = format::output_as(path, "mp4")?;
        let turned = recipe.encoding.upright.quarter();
        let (width, height) = turned.upright(recipe.width_px as usize, recipe.height_px as usize);
        let mut video = codec::context::Context::new_with_codec(codec).encoder().video()?;
        // Sides are checked to be a few thousand pixels at most.
        let (width_px, height_px) = (u32::try_from(width), u32::try_from(height));
        let (Ok(width), Ok(height)) = (width_px, height_px) else {
            return Err(ffmpeg::Error::InvalidData);
        };
        video.set_width(width);
        video.set_height(height);
        video.set_format(pixel_format(recipe.encoding.range));
        video.set_time_base(TICK);
        let rate = recipe.timing.frames_per_s;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "some hundred frames a second at most"
        )]
        let frame_ticks = {
            video.set_frame_rate(Some(Rational((rate * 1000.0).round() as i32, 1000)));
            // Phones give a key frame each second.
            video.set_gop(rate.ceil() as u32);
            (TICKS_PER_S / rate).round() as i64
        };
        let (space, primaries, transfer) = colours(recipe.encoding.range);
        video.set_colorspace(space);
        video.set_color_range(color::Range::MPEG);
        video.set_color_primaries(primaries);
        video.set_color_transfer_characteristic(transfer);
        if output.format().flags().contains(format::Flags::GLOBAL_HEADER) {
            video.set_flags(codec::Flags::GLOBAL_HEADER);
        }
        let encoder = video.open_as_with(codec, options)?;
        let mut stream = output.add_stream(codec)?;
        stream.set_parameters(&encoder);
        stream.set_time_base(TICK);
        output.write_header()?;
        let time_base = output.stream(0).map_or(TICK, |stream| stream.time_base());
        Ok(Self {
            output,
            encoder,
            time_base,
            frame_ticks,
            packet: Packet::empty(),
        })
    }

    fn write(&mut self, picture: &Picture) -> Result<(), ffmpeg::Error> {
        // A fresh frame each time: the encoder keeps references to the last ones.
        let mut image = frame::Video::new(
            pixel_format(picture.range),
            self.encoder.width(),
            self.encoder.height(),
        );
        image.set_color_range(color::Range::MPEG);
        image.set_color_space(colours(picture.range).0);
        let width = picture.width * Coding::of(picture.range).sample_bytes;
        let planes = [
            (&picture.luma, width),
            (&picture.blue, width / 2),
            (&picture.red, width / 2),
        ];
        for (index, (plane, width)) in planes.into_iter().enumerate() {
            let stride = image.stride(index);
            let rows = image.data_mut(index).chunks_exact_mut(stride);
            for (to, from) in rows.zip(plane.chunks_exact(width)) {
                to[..width].copy_from_slice(from);
            }
        }
        image.set_pts(Some(picture.ticks));
        self.encoder.send_frame(&image)?;
        self.drain()
    }

    fn finish(&mut self) -> Result<(), ffmpeg::Error> {
        self.encoder.send_eof()?;
        self.drain()?;
        self.output.write_trailer()
    }

    /// Writes the packets that the encoder has ready.
    fn drain(&mut self) -> Result<(), ffmpeg::Error> {
        loop {
            match self.encoder.receive_packet(&mut self.packet) {
                Ok(()) => {
                    self.packet.set_stream(0);
                    // The file writer takes a frame's length from the next one; the last has none.
                    if self.packet.duration() == 0 {
                        self.packet.set_duration(self.frame_ticks);
                    }
                    self.packet.rescale_ts(TICK, self.time_base);
                    self.packet.write_interleaved(&mut self.output)?;
                }
                Err(ffmpeg::Error::Eof) => return Ok(()),
                Err(ffmpeg::Error::Other { errno }) if errno == ffmpeg::error::EAGAIN => return Ok(()),
                Err(error) => return Err(error),
            }
        }
    }
}
