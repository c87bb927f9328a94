//! A real clip turned about: what holds of it as it was filmed holds mirrored, backwards, from farther
//! away and sent on by a messenger, too.

use std::path::Path;

use image::imageops::{self, FilterType};
use image::{GrayImage, Rgb, RgbImage};
use lampwise::footage::{ColourCode, Footage, Frame, Limits, Plane, Quarter, Samples};
use lampwise::light::{Followed, Glimpse, Watcher};

use super::compressed::Compressed;

/// What is done to a clip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turned {
    AsFilmed,
    /// Left and right changed over.
    Mirrored,
    /// The last frame first.
    Backwards,
    /// At three fifths of its width and height.
    Farther,
    /// Compressed anew.
    SentOn,
}

impl Turned {
    pub(crate) const ALL: [Self; 5] = [
        Self::AsFilmed,
        Self::Mirrored,
        Self::Backwards,
        Self::Farther,
        Self::SentOn,
    ];

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::AsFilmed => "as filmed",
            Self::Mirrored => "mirrored",
            Self::Backwards => "backwards",
            Self::Farther => "farther away",
            Self::SentOn => "sent on",
        }
    }
}

/// What was seen of a clip that was turned about.
pub(crate) struct Seen {
    pub lamps: Vec<Followed>,
    turned: Turned,
    /// Of the clip as it was filmed: its upright size in pixels, and its last frame.
    size: (f64, f64),
    last_s: f64,
}

impl Seen {
    /// When and where a glimpse was in the clip as it was filmed.
    pub(crate) fn as_filmed(&self, glimpse: &Glimpse) -> (f64, (f64, f64)) {
        let (x, y) = glimpse.place;
        match self.turned {
            Turned::AsFilmed | Turned::SentOn => (glimpse.time_s, (x, y)),
            Turned::Mirrored => (glimpse.time_s, (self.size.0 - x, y)),
            Turned::Backwards => (self.last_s - glimpse.time_s, (x, y)),
            Turned::Farther => (glimpse.time_s, (x / SMALLER, y / SMALLER)),
        }
    }
}

/// Side of the smaller picture as a share.
const SMALLER: f64 = 0.6;

/// Looks for the lamps of a clip that is turned about.
pub(crate) fn watch(path: &Path, turned: Turned) -> Result<Seen, String> {
    if turned == Turned::SentOn {
        sent_on(path)
    } else {
        in_memory(path, turned)
    }
}

/// Every frame of a file.
fn each(path: &Path, mut what: impl FnMut(&Frame<'_>) -> Result<(), String>) -> Result<(), String> {
    let mut footage = Footage::open(path, Limits::default()).map_err(|error| error.to_string())?;
    while let Some(frame) = footage.next_frame().map_err(|error| error.to_string())? {
        what(&frame)?;
    }
    Ok(())
}

/// Turned about, frame by frame.
fn in_memory(path: &Path, turned: Turned) -> Result<Seen, String> {
    let mut kept = Vec::new();
    let mut watcher = Watcher::new(None);
    let (mut size, mut last_s) = ((0, 0), 0.0);
    each(path, |frame| {
        size = frame.turn.upright(frame.width, frame.height);
        last_s = frame.time_s;
        if turned == Turned::AsFilmed {
            watcher.watch(frame);
        } else {
            kept.push(Kept::of(frame, turned)?);
        }
        Ok(())
    })?;
    if turned == Turned::Backwards {
        kept.reverse();
        kept.iter_mut()
            .for_each(|frame| frame.time_s = last_s - frame.time_s);
    }
    for frame in &kept {
        watcher.watch(&frame.as_frame());
    }
    Ok(Seen {
        lamps: watcher.finish(),
        turned,
        size: (size.0 as f64, size.1 as f64),
        last_s,
    })
}

/// Compressed anew, into a file that is gone afterwards. What this cannot keep of the clip, its turn and its colours, is as
/// filmed.
fn sent_on(path: &Path) -> Result<Seen, String> {
    let said = |error: ffmpeg_next::Error| error.to_string();
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    let to = folder.path().join("sent-on.mp4");
    let mut file = None;
    let mut first = None;
    each(path, |frame| {
        let is_planar = matches!(frame.samples, Samples::Planar { .. });
        first = first.or(Some((frame.turn, is_planar.then_some(frame.colour))));
        if file.is_none() {
            file = Some(Compressed::create(&to, frame).map_err(said)?);
        }
        file.as_mut()
            .map_or(Ok(()), |file| file.write(frame).map_err(said))
    })?;
    let (Some(file), Some((turn, colour))) = (file, first) else {
        return Err("no frames".to_owned());
    };
    file.finish().map_err(said)?;
    let mut watcher = Watcher::new(None);
    each(&to, |frame| {
        let colour = colour.unwrap_or(frame.colour);
        watcher.watch(&Frame {
            turn,
            colour,
            ..*frame
        });
        Ok(())
    })?;
    Ok(Seen {
        lamps: watcher.finish(),
        turned: Turned::SentOn,
        size: (0.0, 0.0),
        last_s: 0.0,
    })
}

/// A frame of its own.
struct Kept {
    time_s: f64,
    picture: Picture,
    colour: ColourCode,
    turn: Quarter,
    damaged: bool,
}

enum Picture {
    /// Luma and the two differences, and by what these are smaller.
    Planar([GrayImage; 3], (u32, u32)),
    Grey(GrayImage),
    Rgb(RgbImage),
}

impl Kept {
    fn of(frame: &Frame<'_>, turned: Turned) -> Result<Self, String> {
        let (width, height) = (frame.width as u32, frame.height as u32);
        let picture = match frame.samples {
            Samples::Planar {
                luma,
                blue,
                red,
                shift_x,
                shift_y,
                bits: 8,
            } => {
                let small = (width.div_ceil(1 << shift_x), height.div_ceil(1 << shift_y));
                let planes = [grey(luma, (width, height)), grey(blue, small), grey(red, small)];
                Picture::Planar(planes, (shift_x, shift_y))
            }
            Samples::Planar { .. } => return Err("only clips of 8 bits are turned about".to_owned()),
            Samples::Grey { luma } => Picture::Grey(grey(luma, (width, height))),
            Samples::Rgb { pixels, step, order } => Picture::Rgb(RgbImage::from_fn(width, height, |x, y| {
                let at = y as usize * pixels.stride + x as usize * step;
                Rgb(order.map(|channel| pixels.data[at + channel]))
            })),
        };
        Ok(Self {
            time_s: frame.time_s,
            picture: match turned {
                Turned::AsFilmed | Turned::SentOn | Turned::Backwards => picture,
                Turned::Mirrored => picture.mirrored(frame.turn),
                Turned::Farther => picture.smaller(),
            },
            colour: frame.colour,
            turn: frame.turn,
            damaged: frame.damaged,
        })
    }

    fn as_frame(&self) -> Frame<'_> {
        let ((width, height), samples) = match &self.picture {
            Picture::Planar([luma, blue, red], (shift_x, shift_y)) => (
                luma.dimensions(),
                Samples::Planar {
                    luma: plane(luma, luma.width()),
                    blue: plane(blue, blue.width()),
                    red: plane(red, red.width()),
                    shift_x: *shift_x,
                    shift_y: *shift_y,
                    bits: 8,
                },
            ),
            Picture::Grey(luma) => (
                luma.dimensions(),
                Samples::Grey {
                    luma: plane(luma, luma.width()),
                },
            ),
            Picture::Rgb(pixels) => (
                pixels.dimensions(),
                Samples::Rgb {
                    pixels: plane(pixels, 3 * pixels.width()),
                    step: 3,
                    order: [0, 1, 2],
                },
            ),
        };
        Frame {
            time_s: self.time_s,
            width: width as usize,
            height: height as usize,
            samples,
            colour: self.colour,
            turn: self.turn,
            damaged: self.damaged,
        }
    }
}

impl Picture {
    /// Left and right of the upright picture changed over.
    fn mirrored(self, turn: Quarter) -> Self {
        let gray = |plane: GrayImage| match turn {
            Quarter::None | Quarter::Half => imageops::flip_horizontal(&plane),
            Quarter::Left | Quarter::Right => imageops::flip_vertical(&plane),
        };
        match self {
            Self::Planar(planes, shifts) => Self::Planar(planes.map(gray), shifts),
            Self::Grey(plane) => Self::Grey(gray(plane)),
            Self::Rgb(pixels) => Self::Rgb(match turn {
                Quarter::None | Quarter::Half => imageops::flip_horizontal(&pixels),
                Quarter::Left | Quarter::Right => imageops::flip_vertical(&pixels),
            }),
        }
    }

    fn smaller(self) -> Self {
        let side = |pixels: u32| ((f64::from(pixels) * SMALLER) as u32).max(1);
        match self {
            Self::Planar([luma, blue, red], (shift_x, shift_y)) => {
                // The differences' planes are to end where the luma's does.
                let (width, height) = (side(blue.width()), side(blue.height()));
                let small = |plane: &GrayImage| imageops::resize(plane, width, height, FilterType::Triangle);
                let whole = (width << shift_x, height << shift_y);
                let luma = imageops::resize(&luma, whole.0, whole.1, FilterType::Triangle);
                Self::Planar([luma, small(&blue), small(&red)], (shift_x, shift_y))
            }
            Self::Grey(luma) => {
                let (width, height) = (side(luma.width()), side(luma.height()));
                Self::Grey(imageops::resize(&luma, width, height, FilterType::Triangle))
            }
            Self::Rgb(pixels) => {
                let (width, height) = (side(pixels.width()), side(pixels.height()));
                Self::Rgb(imageops::resize(&pixels, width, height, FilterType::Triangle))
            }
        }
    }
}

fn grey(plane: Plane<'_>, (width, height): (u32, u32)) -> GrayImage {
    GrayImage::from_fn(width, height, |x, y| {
        image::Luma([plane.data[y as usize * plane.stride + x as usize]])
    })
}

fn plane(data: &[u8], stride: u32) -> Plane<'_> {
    Plane {
        data,
        stride: stride as usize,
    }
}
