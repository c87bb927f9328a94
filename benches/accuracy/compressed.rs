//! A real clip sent on by a messenger: compressed anew, and harder.

use std::path::Path;

use ffmpeg_next::codec::{Flags, context, encoder};
use ffmpeg_next::format::{self, Pixel};
use ffmpeg_next::software::scaling;
use ffmpeg_next::{Dictionary, Error, Packet, Rational, frame};
use lampwise::footage::{Frame, Plane, Samples};

const TICKS_PER_S: i32 = 90_000;
const TICK: Rational = Rational(1, TICKS_PER_S);
/// H.264's constant rate factor: what messengers reach at their worst (guessed; phones are near 20).
const RATE_FACTOR: &str = "34";

/// A file that frames are compressed into; pictures of other than 4:2:0 are made so.
pub(crate) struct Compressed {
    output: format::context::Output,
    encoder: encoder::Video,
    time_base: Rational,
    packet: Packet,
}

impl Compressed {
    /// A file for pictures like this one.
    pub(crate) fn create(path: &Path, like: &Frame<'_>) -> Result<Self, Error> {
        let codec = encoder::find_by_name("libx264").ok_or(Error::EncoderNotFound)?;
        let mut output = format::output_as(path, "mp4")?;
        let mut video = context::Context::new_with_codec(codec).encoder().video()?;
        // H.264 in 4:2:0 has even sides.
        video.set_width(like.width as u32 / 2 * 2);
        video.set_height(like.height as u32 / 2 * 2);
        video.set_format(Pixel::YUV420P);
        video.set_time_base(TICK);
        if output.format().flags().contains(format::Flags::GLOBAL_HEADER) {
            video.set_flags(Flags::GLOBAL_HEADER);
        }
        let mut options = Dictionary::new();
        options.set("threads", "1");
        options.set("crf", RATE_FACTOR);
        options.set("preset", "veryfast");
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
            packet: Packet::empty(),
        })
    }

    pub(crate) fn write(&mut self, frame: &Frame<'_>) -> Result<(), Error> {
        let (width, height) = (self.encoder.width(), self.encoder.height());
        let mut image = frame::Video::new(Pixel::YUV420P, width, height);
        match frame.samples {
            Samples::Planar {
                luma,
                blue,
                red,
                shift_x: 1,
                shift_y: 1,
                bits: 8,
            } => [luma, blue, red]
                .into_iter()
                .enumerate()
                .for_each(|(index, plane)| fill(&mut image, index, plane, |x| x)),
            Samples::Rgb { pixels, step, order } => {
                let mut rgb = frame::Video::new(Pixel::RGB24, width, height);
                fill(&mut rgb, 0, pixels, |x| x / 3 * step + order[x % 3]);
                let (from, to) = (Pixel::RGB24, Pixel::YUV420P);
                let flags = scaling::Flags::AREA;
                scaling::Context::get(from, width, height, to, width, height, flags)?
                    .run(&rgb, &mut image)?;
            }
            Samples::Planar { .. } | Samples::Grey { .. } => return Err(Error::PatchWelcome),
        }
        image.set_pts(Some((frame.time_s * f64::from(TICKS_PER_S)).round() as i64));
        self.encoder.send_frame(&image)?;
        self.drain()
    }

    pub(crate) fn finish(mut self) -> Result<(), Error> {
        self.encoder.send_eof()?;
        self.drain()?;
        self.output.write_trailer()
    }

    fn drain(&mut self) -> Result<(), Error> {
        loop {
            match self.encoder.receive_packet(&mut self.packet) {
                Ok(()) => {
                    self.packet.set_stream(0);
                    self.packet.rescale_ts(TICK, self.time_base);
                    self.packet.write_interleaved(&mut self.output)?;
                }
                Err(Error::Eof) => return Ok(()),
                Err(Error::Other { errno }) if errno == ffmpeg_next::error::EAGAIN => return Ok(()),
                Err(error) => return Err(error),
            }
        }
    }
}

/// Copies a plane's rows into an image, byte `x` of a row from where `at` says.
fn fill(image: &mut frame::Video, index: usize, plane: Plane<'_>, at: impl Fn(usize) -> usize) {
    let bytes = if image.format() == Pixel::RGB24 { 3 } else { 1 };
    let width = image.plane_width(index) as usize * bytes;
    let stride = image.stride(index);
    let rows = image.data_mut(index).chunks_mut(stride);
    for (to, from) in rows.zip(plane.data.chunks(plane.stride)) {
        for (x, byte) in to.iter_mut().take(width).enumerate() {
            *byte = from[at(x)];
        }
    }
}
