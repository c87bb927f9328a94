//! A decoded picture as samples: borrowed where the form allows, else converted once into a buffer that is
//! used again.

use ffmpeg_next::ffi::{
    AV_PIX_FMT_FLAG_BE, AV_PIX_FMT_FLAG_BITSTREAM, AV_PIX_FMT_FLAG_FLOAT, AV_PIX_FMT_FLAG_HWACCEL,
    AV_PIX_FMT_FLAG_PAL, AV_PIX_FMT_FLAG_RGB, AVComponentDescriptor, AVPixFmtDescriptor,
};
use ffmpeg_next::format::Pixel;
use ffmpeg_next::frame::Video;
use ffmpeg_next::software::scaling;

use super::{ColourCode, Samples, describe, raw};

/// A decoded picture and, for forms that cannot be borrowed, its converted twin.
pub(super) struct Picture {
    /// What the decoder writes into.
    pub(super) decoded: Video,
    converted: Video,
    converter: Option<scaling::Context>,
    use_converted: bool,
}

/// Why a picture's samples cannot be had; FFmpeg's name of their form.
pub(super) struct Unreadable(pub(super) String);

impl Picture {
    pub(super) fn new() -> Self {
        Self {
            decoded: Video::empty(),
            converted: Video::empty(),
            converter: None,
            use_converted: false,
        }
    }

    /// Must be called once after each decoded picture; converts it if it cannot be borrowed.
    ///
    /// Borrowed: planar luma and differences of 8 to 16 bits little-endian, 8-bit grey, interleaved 8-bit
    /// RGB. All else is converted by swscale without scaling: interleaved and big-endian luma and differences
    /// into planes of the same subsampling with the same code values, deeper grey into 8-bit grey, palettes,
    /// planar and deep RGB into 24-bit RGB, pictures stored bottom up into the same from the top.
    pub(super) fn prepare(&mut self) -> Result<(), Unreadable> {
        self.use_converted = false;
        if self.samples().is_some() {
            return Ok(());
        }
        let (form, pixel) = raw::form(&self.decoded).ok_or_else(|| Unreadable("?".to_owned()))?;
        // swscale would squeeze the range of the forms that are full by name.
        let target = substitute(form)
            .filter(|_| !is_full_range_form(pixel))
            .ok_or_else(|| unreadable(pixel))?;
        self.convert(pixel, target).map_err(|_| unreadable(pixel))?;
        self.use_converted = true;
        self.samples().map(drop).ok_or_else(|| unreadable(pixel))
    }

    fn convert(&mut self, from: Pixel, to: Pixel) -> Result<(), ffmpeg_next::Error> {
        let (width, height) = (self.decoded.width(), self.decoded.height());
        let fits = |context: &scaling::Context| {
            let input = context.input();
            (input.format, input.width, input.height) == (from, width, height)
        };
        if !self.converter.as_ref().is_some_and(fits) {
            // Accurate rounding keeps code values; the point sampler has nothing to do at equal size.
            let flags = scaling::Flags::POINT | scaling::Flags::ACCURATE_RND;
            self.converter = Some(scaling::Context::get(
                from, width, height, to, width, height, flags,
            )?);
            self.converted = Video::empty();
        }
        let converter = self.converter.as_mut().expect("set above if it was missing");
        converter.run(&self.decoded, &mut self.converted)
    }

    /// The samples of the picture that was prepared last.
    pub(super) fn samples(&self) -> Option<Samples<'_>> {
        let picture = if self.use_converted {
            &self.converted
        } else {
            &self.decoded
        };
        let (width, height) = self.size();
        let layout = layout(raw::form(picture)?.0)?;
        let part = |size: usize, shift: u32| size.div_ceil(1 << shift);
        Some(match layout {
            Layout::Planar {
                shift_x,
                shift_y,
                bits,
            } => {
                let bytes = if bits > 8 { 2 } else { 1 };
                let difference = |index| {
                    raw::plane(
                        picture,
                        index,
                        part(width, shift_x) * bytes,
                        part(height, shift_y),
                    )
                };
                let luma = raw::plane(picture, 0, width * bytes, height)?;
                Samples::Planar {
                    luma,
                    blue: difference(1)?,
                    red: difference(2)?,
                    shift_x,
                    shift_y,
                    bits,
                }
            }
            Layout::Grey => Samples::Grey {
                luma: raw::plane(picture, 0, width, height)?,
            },
            Layout::Rgb { step, order } => Samples::Rgb {
                pixels: raw::plane(picture, 0, width * step, height)?,
                step,
                order,
            },
        })
    }

    /// Width and height, pixels; 0 by 0 before the first picture.
    pub(super) fn size(&self) -> (usize, usize) {
        (self.decoded.width() as usize, self.decoded.height() as usize)
    }

    /// How the samples code colour. `None` only for forms that `prepare` refuses.
    pub(super) fn colour(&self) -> Option<ColourCode> {
        let (form, pixel) = raw::form(&self.decoded)?;
        let cicp = raw::cicp(&self.decoded);
        let rgb = has(form, AV_PIX_FMT_FLAG_RGB) || has(form, AV_PIX_FMT_FLAG_PAL);
        Some(if rgb {
            describe::red_green_blue(cicp)
        } else {
            describe::luma_and_differences(cicp, is_full_range_form(pixel), self.size().1)
        })
    }
}

/// A form that can be borrowed as it lies.
enum Layout {
    Planar { shift_x: u32, shift_y: u32, bits: u32 },
    Grey,
    Rgb { step: usize, order: [usize; 3] },
}

fn layout(form: &AVPixFmtDescriptor) -> Option<Layout> {
    let parts = form.comp.get(..usize::from(form.nb_components))?;
    let first = parts.first()?;
    let awkward =
        AV_PIX_FMT_FLAG_BITSTREAM | AV_PIX_FMT_FLAG_FLOAT | AV_PIX_FMT_FLAG_HWACCEL | AV_PIX_FMT_FLAG_PAL;
    if has(form, awkward) || (first.depth > 8 && has(form, AV_PIX_FMT_FLAG_BE)) {
        return None;
    }
    match parts {
        [red, green, blue, ..] if has(form, AV_PIX_FMT_FLAG_RGB) => {
            let colours = [red, green, blue];
            let bytes = colours
                .iter()
                .all(|c| (c.plane, c.depth, c.shift, c.step) == (0, 8, 0, first.step));
            let step = usize::try_from(first.step)
                .ok()
                .filter(|step| bytes && (3..=4).contains(step))?;
            let offset = |colour: &AVComponentDescriptor| usize::try_from(colour.offset).ok();
            Some(Layout::Rgb {
                step,
                order: [offset(red)?, offset(green)?, offset(blue)?],
            })
        }
        [luma, blue, red, ..] => {
            let own_plane = [luma, blue, red].iter().zip(0..).all(|(part, plane)| {
                let step = if first.depth > 8 { 2 } else { 1 };
                (part.plane, part.step, part.offset, part.shift, part.depth)
                    == (plane, step, 0, 0, first.depth)
            });
            let bits = u32::try_from(luma.depth)
                .ok()
                .filter(|bits| own_plane && (8..=16).contains(bits))?;
            Some(Layout::Planar {
                shift_x: form.log2_chroma_w.into(),
                shift_y: form.log2_chroma_h.into(),
                bits,
            })
        }
        // With an alpha in the second place it would be interleaved.
        [luma] => ((luma.depth, luma.step, luma.offset) == (8, 1, 0)).then_some(Layout::Grey),
        _ => None,
    }
}

/// The borrowable form that keeps what a form that cannot be borrowed holds. `None`: not read here.
fn substitute(form: &AVPixFmtDescriptor) -> Option<Pixel> {
    let depth = form.comp.first()?.depth;
    if has(form, AV_PIX_FMT_FLAG_HWACCEL | AV_PIX_FMT_FLAG_FLOAT) {
        return None;
    }
    if has(form, AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL) {
        return Some(Pixel::RGB24);
    }
    if form.nb_components < 3 {
        // One bit a pixel (`monow`, `monob`) included.
        return Some(Pixel::GRAY8);
    }
    Some(match (form.log2_chroma_w, form.log2_chroma_h, depth) {
        (1, 1, 8) => Pixel::YUV420P,
        (1, 1, 9..=10) => Pixel::YUV420P10LE,
        (1, 1, 11..=12) => Pixel::YUV420P12LE,
        (1, 1, 13..=16) => Pixel::YUV420P16LE,
        (1, 0, 8) => Pixel::YUV422P,
        (1, 0, 9..=10) => Pixel::YUV422P10LE,
        (1, 0, 11..=12) => Pixel::YUV422P12LE,
        (1, 0, 13..=16) => Pixel::YUV422P16LE,
        (0, 0, 8) => Pixel::YUV444P,
        (0, 0, 9..=10) => Pixel::YUV444P10LE,
        (0, 0, 11..=12) => Pixel::YUV444P12LE,
        (0, 0, 13..=16) => Pixel::YUV444P16LE,
        (2, 0, 8) => Pixel::YUV411P,
        _ => return None,
    })
}

/// FFmpeg's older forms that mean full range by their name.
fn is_full_range_form(pixel: Pixel) -> bool {
    use Pixel::{YUVJ411P, YUVJ420P, YUVJ422P, YUVJ440P, YUVJ444P};
    matches!(pixel, YUVJ411P | YUVJ420P | YUVJ422P | YUVJ440P | YUVJ444P)
}

fn has(form: &AVPixFmtDescriptor, any_of: i32) -> bool {
    u64::try_from(any_of).is_ok_and(|flags| form.flags & flags != 0)
}

fn unreadable(pixel: Pixel) -> Unreadable {
    Unreadable(pixel.descriptor().map_or("?", |form| form.name()).to_owned())
}
