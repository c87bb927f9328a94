//! HEIC and AVIF photos: one coded picture or a grid of them, in the boxes of ISO/IEC 23008-12.

use std::io::Cursor;
use std::path::Path;

use image::RgbImage;
use libheif_rs::{
    Chroma, ColorProfileNCLX, ColorSpace, HeifContext, HeifError, HeifErrorCode, HeifErrorSubCode, Image,
    ImageHandle, LibHeif, Plane as HeifPlane, RgbChroma,
};

use super::describe::{self, Cicp};
use super::photo::{Decoded, Pixels};
use super::profile::Profile;
use super::sniff::Container;
use super::{FootageError, Limits, Matrix, Plane, Samples, photo, whole};

/// A decoded picture as luma and differences.
pub(super) struct Planes {
    image: Image,
    shift: (u32, u32),
    bits: u32,
    // Let go after the picture.
    _library: LibHeif,
}

/// Decodes the primary picture, whole and upright: turned, mirrored and cropped as its properties say. An EXIF
/// orientation does not count in this form (ISO/IEC 23008-12, annex A).
pub(super) fn decode(
    path: &Path,
    form: &'static str,
    bytes: &[u8],
    limits: Limits,
) -> Result<Decoded, FootageError> {
    let announced = whole::wholeness(Container::Iso, &[], &mut Cursor::new(bytes), bytes.len() as u64);
    let cut_short = announced.is_ok_and(|found| found.cut_short);
    let failed = |error: HeifError| cannot_decode(path, form, cut_short, &error);
    let library = LibHeif::new();
    let mut context = HeifContext::read_from_bytes(bytes).map_err(failed)?;
    if let Some(threads) = limits.threads {
        context.set_max_decoding_threads(u32::try_from(threads).unwrap_or(u32::MAX));
    }
    let handle = primary(path, &context, limits)?.map_err(failed)?;
    // As nearly all photos are coded. "As it is coded" would be the better wish, but then libheif 1.15 gives red, green and
    // blue, with what lies beyond their range cut off.
    let image = library
        .decode(&handle, ColorSpace::YCbCr(Chroma::C420), None)
        .map_err(failed)?;
    photo::within(path, u64::from(image.width()) * u64::from(image.height()), limits)?;
    let profile = handle
        .color_profile_raw()
        .and_then(|profile| Profile::read(&profile.data));
    let cicp = cicp(&handle, &image);
    let mut colour = describe::still(cicp);
    if let Some(profile) = &profile {
        (colour.primaries, colour.transfer) = (profile.primaries, profile.transfer);
        colour.assumed = false;
    }
    let keeps_codes = profile.as_ref().is_none_or(Profile::keeps_codes);
    let as_it_is = layout(&image).filter(|_| keeps_codes && describe::has_place_for(cicp.matrix));
    if let Some((shift, bits)) = as_it_is {
        let planes = Planes {
            image,
            shift,
            bits,
            _library: library,
        };
        return Ok(Decoded::new(Pixels::Planes(planes), colour, cut_short));
    }
    let image = library
        .decode(&handle, ColorSpace::Rgb(RgbChroma::Rgb), None)
        .map_err(failed)?;
    let mut pixels = red_green_blue(&image).ok_or_else(|| FootageError::UnsupportedPhoto {
        path: path.to_owned(),
        format: form,
    })?;
    if let Some(profile) = &profile {
        profile.recode(&mut pixels);
    }
    (colour.matrix, colour.span) = (Matrix::Identity, super::Span::Full);
    Ok(Decoded::new(Pixels::Rgb(pixels), colour, cut_short))
}

/// The photo itself among the pictures of the file, if it is not too large.
fn primary(
    path: &Path,
    context: &HeifContext<'_>,
    limits: Limits,
) -> Result<Result<ImageHandle, HeifError>, FootageError> {
    let handle = match context.primary_image_handle() {
        Ok(handle) => handle,
        Err(error) => return Ok(Err(error)),
    };
    // The size as coded too: a small crop of a huge picture is decoded whole.
    let shown = u64::from(handle.width()) * u64::from(handle.height());
    let coded = side(handle.ispe_width()) * side(handle.ispe_height());
    photo::within(path, shown.max(coded), limits)?;
    Ok(Ok(handle))
}

impl Planes {
    pub(super) fn size(&self) -> (usize, usize) {
        (self.image.width() as usize, self.image.height() as usize)
    }

    pub(super) fn samples(&self) -> Option<Samples<'_>> {
        let planes = self.image.planes();
        Some(Samples::Planar {
            luma: plane(planes.y?),
            blue: plane(planes.cb?),
            red: plane(planes.cr?),
            shift_x: self.shift.0,
            shift_y: self.shift.1,
            bits: self.bits,
        })
    }
}

const fn plane(plane: HeifPlane<&[u8]>) -> Plane<'_> {
    Plane {
        data: plane.data,
        stride: plane.stride,
    }
}

fn side(pixels: i32) -> u64 {
    u64::try_from(pixels).unwrap_or(0)
}

/// How the planes lie, where they are such as [`Samples::Planar`] holds: by how much the differences are smaller, and
/// the bits a sample.
fn layout(image: &Image) -> Option<((u32, u32), u32)> {
    let planes = image.planes();
    let (luma, blue, red) = (planes.y?, planes.cb?, planes.cr?);
    let bits = u32::from(luma.bits_per_pixel);
    let alike = [&blue, &red].iter().all(|plane| {
        (plane.width, plane.height, plane.bits_per_pixel) == (blue.width, blue.height, luma.bits_per_pixel)
    });
    // Libheif keeps deep samples in the machine's own order of bytes.
    let readable = bits == 8 || (cfg!(target_endian = "little") && (9..=16).contains(&bits));
    let shift = |whole: u32, part: u32| (0..=1).find(|shift| whole.div_ceil(1 << shift) == part);
    let shift = (shift(luma.width, blue.width)?, shift(luma.height, blue.height)?);
    (alike && readable).then_some((shift, bits))
}

fn red_green_blue(image: &Image) -> Option<RgbImage> {
    let plane = image.planes().interleaved?;
    let row_bytes = 3 * plane.width as usize;
    let mut samples = Vec::with_capacity(row_bytes * plane.height as usize);
    for row in plane.data.chunks(plane.stride).take(plane.height as usize) {
        samples.extend_from_slice(row.get(..row_bytes)?);
    }
    RgbImage::from_raw(plane.width, plane.height, samples)
}

/// What the file says in its boxes, else what the coded picture says.
fn cicp(handle: &ImageHandle, image: &Image) -> Cicp {
    let said = handle.color_profile_nclx().or_else(|| image.color_profile_nclx());
    said.map_or(describe::SILENT, |said: ColorProfileNCLX| Cicp {
        matrix: said.matrix_coefficients() as i32,
        primaries: said.color_primaries() as i32,
        transfer: said.transfer_characteristics() as i32,
        span: if said.full_range_flag() == 0 { 1 } else { 2 },
    })
}

fn cannot_decode(path: &Path, form: &'static str, cut_short: bool, error: &HeifError) -> FootageError {
    let path = path.to_owned();
    match (error.code, error.sub_code) {
        (HeifErrorCode::MemoryAllocationError, _) | (_, HeifErrorSubCode::SecurityLimitExceeded) => {
            FootageError::Decoder {
                path,
                reason: error.message.clone(),
            }
        }
        (HeifErrorCode::UnsupportedFileType | HeifErrorCode::UnsupportedFeature, _) => {
            FootageError::UnsupportedPhoto { path, format: form }
        }
        (_, HeifErrorSubCode::EndOfData) => FootageError::UploadIncomplete { path },
        _ if cut_short => FootageError::UploadIncomplete { path },
        _ => FootageError::Unreadable { path, kind: form },
    }
}
