//! A photo: one picture, decoded whole and turned upright.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use image::{ImageFormat, RgbImage};

use super::{
    ColourCode, FootageError, Frame, Kind, Limits, Plane, Quantity, Quarter, Samples, Summary, raster,
};

/// Size of file that is read: a 50-megapixel PNG has 150 MB. Judgement.
const FILE_BYTES_MAX: u64 = 256 << 20;

/// A photo that is being read.
pub(super) struct Photo {
    pixels: Pixels,
    colour: ColourCode,
    damaged: bool,
    shown: bool,
    frames: usize,
}

/// A decoded, upright picture.
pub(super) struct Decoded {
    pub(super) pixels: Pixels,
    pub(super) colour: ColourCode,
    /// There was more to see than this.
    pub(super) damaged: bool,
}

impl Decoded {
    pub(super) const fn new(pixels: Pixels, colour: ColourCode, damaged: bool) -> Self {
        Self {
            pixels,
            colour,
            damaged,
        }
    }
}

/// What a decoder gives.
pub(super) enum Pixels {
    Rgb(RgbImage),
    #[cfg(feature = "heif")]
    Planes(super::heif::Planes),
}

impl Photo {
    /// A JPEG, PNG or WebP.
    pub(super) fn open(
        path: &Path,
        format: ImageFormat,
        file: File,
        limits: Limits,
    ) -> Result<Self, FootageError> {
        let bytes = read(path, file)?;
        raster::decode(path, format, &bytes, limits).map(Self::new)
    }

    /// A HEIC or AVIF.
    #[cfg(feature = "heif")]
    pub(super) fn open_heif(
        path: &Path,
        form: &'static str,
        file: File,
        limits: Limits,
    ) -> Result<Self, FootageError> {
        let bytes = read(path, file)?;
        super::heif::decode(path, form, &bytes, limits).map(Self::new)
    }

    /// Built without what reads HEIC and AVIF.
    #[cfg(not(feature = "heif"))]
    pub(super) fn open_heif(
        path: &Path,
        form: &'static str,
        _file: File,
        _limits: Limits,
    ) -> Result<Self, FootageError> {
        Err(FootageError::UnsupportedPhoto {
            path: path.to_owned(),
            format: form,
        })
    }

    fn new(decoded: Decoded) -> Self {
        Self {
            pixels: decoded.pixels,
            colour: decoded.colour,
            damaged: decoded.damaged,
            shown: false,
            frames: 0,
        }
    }

    /// `true` once.
    pub(super) fn advance(&mut self) -> bool {
        self.shown = self.frames == 0;
        self.frames = 1;
        self.shown
    }

    pub(super) fn frame(&self) -> Option<Frame<'_>> {
        let (width, height) = self.pixels.size();
        let samples = self.pixels.samples().filter(|_| self.shown)?;
        Some(Frame {
            time_s: 0.0,
            width,
            height,
            samples,
            colour: self.colour,
            turn: Quarter::None,
            damaged: self.damaged,
        })
    }

    pub(super) fn summary(&self) -> Option<Summary> {
        let (width, height) = self.pixels.size();
        (self.frames > 0).then_some(Summary {
            kind: Kind::Photo,
            frames: self.frames,
            length_s: 0.0,
            fps: 0.0,
            width,
            height,
            colour: self.colour,
            damaged: usize::from(self.damaged),
            lost_packets: 0,
            untimed: 0,
            ended_early: self.damaged,
        })
    }
}

impl Pixels {
    fn size(&self) -> (usize, usize) {
        match self {
            Self::Rgb(pixels) => (pixels.width() as usize, pixels.height() as usize),
            #[cfg(feature = "heif")]
            Self::Planes(planes) => planes.size(),
        }
    }

    fn samples(&self) -> Option<Samples<'_>> {
        match self {
            Self::Rgb(pixels) => Some(Samples::Rgb {
                pixels: Plane {
                    data: pixels.as_raw(),
                    stride: pixels.width() as usize * 3,
                },
                step: 3,
                order: [0, 1, 2],
            }),
            #[cfg(feature = "heif")]
            Self::Planes(planes) => planes.samples(),
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

/// Whether a picture is small enough.
pub(super) fn within(path: &Path, pixels: u64, limits: Limits) -> Result<(), FootageError> {
    if pixels > limits.pixels {
        return Err(exceeded(path, Quantity::Pixels, pixels, limits.pixels));
    }
    Ok(())
}

fn exceeded(path: &Path, what: Quantity, actual: u64, limit: u64) -> FootageError {
    FootageError::LimitExceeded {
        path: path.to_owned(),
        what,
        actual: actual as f64,
        limit: limit as f64,
    }
}
