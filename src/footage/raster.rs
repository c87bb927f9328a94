//! JPEG, PNG and WebP photos.

use std::io::{self, Cursor};
use std::path::Path;

use image::codecs::{jpeg::JpegDecoder, png::PngDecoder, webp::WebPDecoder};
use image::error::ImageError;
use image::{DynamicImage, ImageDecoder, ImageFormat};

use super::photo::{self, Decoded, Pixels};
use super::profile::Profile;
use super::whole;
use super::{ColourCode, FootageError, Limits, Matrix, Primaries, Span, Transfer};

/// Memory that a decoder may use, bytes a pixel allowed: 16-bit RGBA and as much again for its working.
/// Judgement.
const DECODER_BYTES_A_PIXEL: u64 = 16;

/// Decodes a picture. Alpha is dropped, 16-bit samples become 8-bit, grey becomes RGB. EXIF orientation, mirroring
/// included, is applied to the samples.
pub(super) fn decode(
    path: &Path,
    format: ImageFormat,
    bytes: &[u8],
    limits: Limits,
) -> Result<Decoded, FootageError> {
    let reader = Cursor::new(bytes);
    let whole = whole::photo_is_whole(format, bytes);
    let failed = |error| cannot_decode(path, format, whole, error);
    let still = |animated: bool, name| {
        let path = path.to_owned();
        if animated {
            Err(FootageError::UnsupportedPhoto { path, format: name })
        } else {
            Ok(())
        }
    };
    let limits_for_decoder = decoder_limits(limits);
    match format {
        ImageFormat::Jpeg => {
            let decoder = JpegDecoder::new(reader).map_err(failed)?;
            upright(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
        }
        ImageFormat::Png => {
            let decoder = PngDecoder::with_limits(reader, limits_for_decoder).map_err(failed)?;
            still(decoder.is_apng().map_err(failed)?, "animated PNG")?;
            upright(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
        }
        ImageFormat::WebP => {
            let decoder = WebPDecoder::new(reader).map_err(failed)?;
            still(decoder.has_animation(), "animated WebP")?;
            upright(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
        }
        _ => Err(FootageError::NotFootage {
            path: path.to_owned(),
        }),
    }
}

fn upright(
    path: &Path,
    mut decoder: impl ImageDecoder,
    limits: Limits,
    damaged: bool,
) -> Result<Decoded, Refused> {
    let (width, height) = decoder.dimensions();
    photo::within(path, u64::from(width) * u64::from(height), limits).map_err(Refused::Limit)?;
    decoder.set_limits(decoder_limits(limits))?;
    let orientation = decoder.orientation()?;
    let profile = decoder.icc_profile()?.and_then(|profile| Profile::read(&profile));
    let mut picture = DynamicImage::from_decoder(decoder)?;
    picture.apply_orientation(orientation);
    let mut pixels = picture.into_rgb8();
    let (primaries, transfer) = profile
        .as_ref()
        .map_or((Primaries::Bt709, Transfer::Srgb), |profile| {
            profile.recode(&mut pixels);
            (profile.primaries, profile.transfer)
        });
    Ok(Decoded {
        pixels: Pixels::Rgb(pixels),
        colour: ColourCode {
            matrix: Matrix::Identity,
            span: Span::Full,
            primaries,
            transfer,
            assumed: profile.is_none(),
        },
        damaged,
    })
}

/// Why a photo was not decoded.
enum Refused {
    Limit(FootageError),
    Image(ImageError),
}

impl From<ImageError> for Refused {
    fn from(error: ImageError) -> Self {
        Self::Image(error)
    }
}

impl Refused {
    fn into_footage(self, failed: impl Fn(ImageError) -> FootageError) -> FootageError {
        match self {
            Self::Limit(error) => error,
            Self::Image(error) => failed(error),
        }
    }
}

fn decoder_limits(limits: Limits) -> image::Limits {
    let mut own = image::Limits::default();
    own.max_alloc = Some(limits.pixels.saturating_mul(DECODER_BYTES_A_PIXEL));
    own
}

fn cannot_decode(path: &Path, format: ImageFormat, whole: bool, error: ImageError) -> FootageError {
    let path = path.to_owned();
    match error {
        ImageError::IoError(error) if error.kind() == io::ErrorKind::UnexpectedEof => {
            FootageError::UploadIncomplete { path }
        }
        ImageError::Decoding(_) | ImageError::IoError(_) if !whole => FootageError::UploadIncomplete { path },
        ImageError::Limits(_) => FootageError::Decoder {
            path,
            reason: error.to_string(),
        },
        ImageError::Unsupported(_) => FootageError::UnsupportedPhoto {
            path,
            format: form(format),
        },
        _ => FootageError::Unreadable {
            path,
            kind: form(format),
        },
    }
}

const fn form(format: ImageFormat) -> &'static str {
    match format {
        ImageFormat::Jpeg => "JPEG",
        ImageFormat::Png => "PNG",
        _ => "WebP",
    }
}
