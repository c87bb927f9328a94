//! A photo: one picture, decoded whole and turned upright.

use std::fs::File;
use std::io::{self, Cursor, Read};
use std::path::{Path, PathBuf};

use image::codecs::{jpeg::JpegDecoder, png::PngDecoder, webp::WebPDecoder};
use image::error::ImageError;
use image::{DynamicImage, ImageDecoder, ImageFormat, RgbImage};

use super::whole;
use super::{
    ColourCode, FootageError, Frame, Kind, Limits, Matrix, Plane, Primaries, Quantity, Quarter, Samples,
    Span, Summary, Transfer,
};

/// Size of file that is read: a 50-megapixel PNG has 150 MB. Judgement.
const FILE_BYTES_MAX: u64 = 256 << 20;

/// Memory that a decoder may use, bytes a pixel allowed: 16-bit RGBA and as much again for its working.
/// Judgement.
const DECODER_BYTES_A_PIXEL: u64 = 16;

/// A decoded photo.
pub(super) struct Photo {
    pixels: RgbImage,
    colour: ColourCode,
    damaged: bool,
    shown: bool,
    frames: usize,
}

impl Photo {
    /// Alpha is dropped, 16-bit samples become 8-bit, grey becomes RGB. EXIF orientation, mirroring included,
    /// is applied to the samples.
    pub(super) fn open(
        path: &Path,
        format: ImageFormat,
        file: File,
        limits: Limits,
    ) -> Result<Self, FootageError> {
        let bytes = read(path, file)?;
        let reader = Cursor::new(&bytes);
        let whole = whole::photo_is_whole(format, &bytes);
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
                Self::decode(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
            }
            ImageFormat::Png => {
                let decoder = PngDecoder::with_limits(reader, limits_for_decoder).map_err(failed)?;
                still(decoder.is_apng().map_err(failed)?, "animated PNG")?;
                Self::decode(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
            }
            ImageFormat::WebP => {
                let decoder = WebPDecoder::new(reader).map_err(failed)?;
                still(decoder.has_animation(), "animated WebP")?;
                Self::decode(path, decoder, limits, !whole).map_err(|error| error.into_footage(failed))
            }
            _ => Err(FootageError::NotFootage {
                path: path.to_owned(),
            }),
        }
    }

    fn decode(
        path: &Path,
        mut decoder: impl ImageDecoder,
        limits: Limits,
        damaged: bool,
    ) -> Result<Self, Refused> {
        let (width, height) = decoder.dimensions();
        let pixels = u64::from(width) * u64::from(height);
        if pixels > limits.pixels {
            return Err(Refused::Limit(exceeded(
                path,
                Quantity::Pixels,
                pixels,
                limits.pixels,
            )));
        }
        decoder.set_limits(decoder_limits(limits))?;
        let orientation = decoder.orientation()?;
        let profile = decoder.icc_profile()?;
        let mut picture = DynamicImage::from_decoder(decoder)?;
        picture.apply_orientation(orientation);
        let colour = ColourCode {
            matrix: Matrix::Identity,
            span: Span::Full,
            primaries: Primaries::Bt709,
            transfer: Transfer::Srgb,
            assumed: !profile.is_some_and(|profile| names_srgb(&profile)),
        };
        Ok(Self {
            pixels: picture.into_rgb8(),
            colour,
            damaged,
            shown: false,
            frames: 0,
        })
    }

    /// `true` once.
    pub(super) fn advance(&mut self) -> bool {
        self.shown = self.frames == 0;
        self.frames = 1;
        self.shown
    }

    pub(super) fn frame(&self) -> Option<Frame<'_>> {
        let (width, height) = (self.pixels.width() as usize, self.pixels.height() as usize);
        let pixels = Plane {
            data: self.pixels.as_raw(),
            stride: width * 3,
        };
        self.shown.then_some(Frame {
            time_s: 0.0,
            width,
            height,
            samples: Samples::Rgb {
                pixels,
                step: 3,
                order: [0, 1, 2],
            },
            colour: self.colour,
            turn: Quarter::None,
            damaged: self.damaged,
        })
    }

    pub(super) fn summary(&self) -> Option<Summary> {
        (self.frames > 0).then_some(Summary {
            kind: Kind::Photo,
            frames: self.frames,
            length_s: 0.0,
            fps: 0.0,
            width: self.pixels.width() as usize,
            height: self.pixels.height() as usize,
            colour: self.colour,
            damaged: usize::from(self.damaged),
            lost_packets: 0,
            untimed: 0,
            ended_early: self.damaged,
        })
    }
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

fn read(path: &Path, file: File) -> Result<Vec<u8>, FootageError> {
    let mut bytes = Vec::new();
    file.take(FILE_BYTES_MAX + 1)
        .read_to_end(&mut bytes)
        .map_err(|source| FootageError::Io {
            path: path.to_owned(),
            source,
        })?;
    let size = bytes.len() as u64;
    if size > FILE_BYTES_MAX {
        Err(exceeded(path, Quantity::Bytes, size, FILE_BYTES_MAX))
    } else {
        Ok(bytes)
    }
}

fn decoder_limits(limits: Limits) -> image::Limits {
    let mut own = image::Limits::default();
    own.max_alloc = Some(limits.pixels.saturating_mul(DECODER_BYTES_A_PIXEL));
    own
}

/// Whether an ICC profile calls itself sRGB: in ASCII (`desc`, version 2) or in UTF-16 (`mluc`, version 4).
fn names_srgb(profile: &[u8]) -> bool {
    profile.windows(4).any(|text| text == b"sRGB") || profile.windows(8).any(|text| text == b"\0s\0R\0G\0B")
}

fn exceeded(path: &Path, what: Quantity, actual: u64, limit: u64) -> FootageError {
    FootageError::LimitExceeded {
        path: path.to_owned(),
        what,
        actual: actual as f64,
        limit: limit as f64,
    }
}

fn cannot_decode(path: &Path, format: ImageFormat, whole: bool, error: ImageError) -> FootageError {
    let path: PathBuf = path.to_owned();
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
        ImageFormat::Jpeg => "a JPEG",
        ImageFormat::Png => "a PNG",
        _ => "a WebP",
    }
}
