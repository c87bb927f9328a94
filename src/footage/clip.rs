//! A clip: demuxes and decodes straight from the file, one picture in hand at a time.

use std::io;
use std::path::{Path, PathBuf};

use ffmpeg_next::format::context::Input;
use ffmpeg_next::frame::side_data;
use ffmpeg_next::util::error::{EAGAIN, ENOMEM};
use ffmpeg_next::{Error, Packet, decoder};

use super::clock::Clock;
use super::entry::{self, Entry, exceeded, is_of_the_disk};
use super::picture::{Picture, Unreadable};
use super::sniff::Container;
use super::whole::Wholeness;
use super::{ColourCode, FootageError, Frame, Kind, Limits, Quantity, Quarter, Summary, raw, turn};

/// Failures in a row, without a picture or packet between them, after which the rest of a file is given up.
/// Judgement: a demuxer that can find its way back does so within a few.
const FAILURES_MAX: usize = 100;

/// A clip being read.
pub(super) struct Clip {
    path: PathBuf,
    limits: Limits,
    input: Input,
    stream: usize,
    decoder: decoder::Video,
    picture: Picture,
    clock: Clock,
    /// Turn that the container asks for; a picture may carry its own.
    stream_turn: Quarter,
    state: State,
    now: Option<Shown>,
    first: Option<First>,
    frames: usize,
    damaged: usize,
    lost_packets: usize,
    untimed: usize,
    cut_short: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Reading,
    Draining,
    Done,
}

/// What is known of the picture in hand.
#[derive(Clone, Copy)]
struct Shown {
    time_s: f64,
    colour: ColourCode,
    turn: Quarter,
    damaged: bool,
}

/// What the first picture fixes.
#[derive(Clone, Copy)]
struct First {
    size: (usize, usize),
    colour: ColourCode,
    turn: Quarter,
}

impl Clip {
    pub(super) fn open(
        path: &Path,
        container: Container,
        whole: Wholeness,
        limits: Limits,
    ) -> Result<Self, FootageError> {
        let Entry {
            input,
            stream,
            decoder,
            tick_s,
            turn,
        } = entry::open(path, container, whole, limits)?;
        Ok(Self {
            path: path.to_owned(),
            limits,
            input,
            stream,
            decoder,
            picture: Picture::new(),
            clock: Clock::new(tick_s),
            stream_turn: turn,
            state: State::Reading,
            now: None,
            first: None,
            frames: 0,
            damaged: 0,
            lost_packets: 0,
            untimed: 0,
            cut_short: whole.cut_short,
        })
    }

    /// Decodes up to the next picture that is to be shown. `false` after the last.
    pub(super) fn advance(&mut self) -> Result<bool, FootageError> {
        self.now = None;
        let mut failures = 0;
        while self.state != State::Done {
            match self.decoder.receive_frame(&mut self.picture.decoded) {
                Ok(()) => {
                    if self.accept()? {
                        return Ok(true);
                    }
                }
                Err(Error::Eof) => self.state = State::Done,
                Err(Error::Other { errno: EAGAIN }) if self.state == State::Reading => self.feed()?,
                Err(error @ Error::Other { errno: ENOMEM }) => return Err(self.decoder_failed(error)),
                // A picture that cannot be decoded; with threads it is reported here rather than on sending.
                Err(_) => {
                    self.lost_packets += 1;
                    failures += 1;
                    if failures > FAILURES_MAX {
                        self.cut_short = true;
                        self.state = State::Done;
                    }
                }
            }
        }
        match (self.frames, self.cut_short) {
            (0, true) => Err(FootageError::UploadIncomplete {
                path: self.path.clone(),
            }),
            (0, false) => Err(FootageError::NoFrames {
                path: self.path.clone(),
                lost_packets: self.lost_packets,
            }),
            _ => Ok(false),
        }
    }

    /// Gives the decoder the next packet of the video, or the end.
    fn feed(&mut self) -> Result<(), FootageError> {
        let mut failures = 0;
        loop {
            let mut packet = Packet::empty();
            match packet.read(&mut self.input) {
                Ok(()) if packet.stream() != self.stream => {}
                Ok(()) => match self.decoder.send_packet(&packet) {
                    Ok(()) => return Ok(()),
                    Err(error @ Error::Other { errno: ENOMEM }) => return Err(self.decoder_failed(error)),
                    Err(_) => {
                        self.lost_packets += 1;
                        return Ok(());
                    }
                },
                Err(Error::Eof) => {
                    self.drain();
                    return Ok(());
                }
                Err(Error::Other { errno }) if is_of_the_disk(errno) => {
                    let source = io::Error::from_raw_os_error(errno);
                    return Err(FootageError::Io {
                        path: self.path.clone(),
                        source,
                    });
                }
                // The demuxer stumbled and can go on behind the bad place.
                Err(_) => {
                    self.lost_packets += 1;
                    failures += 1;
                    if failures > FAILURES_MAX {
                        self.cut_short = true;
                        self.drain();
                        return Ok(());
                    }
                }
            }
        }
    }

    fn drain(&mut self) {
        self.state = match self.decoder.send_eof() {
            Ok(()) => State::Draining,
            Err(_) => State::Done,
        };
    }

    /// Checks the decoded picture and places it in time. `false` if it is not to be shown.
    fn accept(&mut self) -> Result<bool, FootageError> {
        if raw::not_shown(&self.picture.decoded) {
            return Ok(false);
        }
        let duration = self.picture.decoded.packet().duration;
        let Some(time_s) = self.clock.place(self.picture.decoded.timestamp(), duration) else {
            self.untimed += 1;
            return Ok(false);
        };
        self.check_budget(time_s)?;
        self.picture
            .prepare()
            .map_err(|Unreadable(format)| FootageError::UnsupportedSamples {
                path: self.path.clone(),
                format,
            })?;
        let own_matrix = self.picture.decoded.side_data(side_data::Type::DisplayMatrix);
        let turn = match own_matrix.and_then(|data| raw::matrix(data.data())) {
            Some(matrix) => turn::quarter(&matrix).ok_or_else(|| FootageError::UnsupportedTurn {
                path: self.path.clone(),
            })?,
            None => self.stream_turn,
        };
        let colour = self.picture.colour().expect("`prepare` accepted the form");
        let size = self.picture.size();
        let first = *self.first.get_or_insert(First { size, colour, turn });
        if first.size != size {
            let path = self.path.clone();
            return Err(FootageError::SizeChanged {
                path,
                time_s,
                from: first.size,
                to: size,
            });
        }
        let damaged = raw::damaged(&self.picture.decoded);
        self.frames += 1;
        self.damaged += usize::from(damaged);
        self.now = Some(Shown {
            time_s,
            colour,
            turn,
            damaged,
        });
        Ok(true)
    }

    fn check_budget(&self, time_s: f64) -> Result<(), FootageError> {
        let (width, height) = self.picture.size();
        let pixels = width as u64 * height as u64;
        if pixels > self.limits.pixels {
            Err(exceeded(
                &self.path,
                Quantity::Pixels,
                pixels as f64,
                self.limits.pixels as f64,
            ))
        } else if self.frames >= self.limits.frames {
            let limit = self.limits.frames as f64;
            Err(exceeded(&self.path, Quantity::Frames, limit + 1.0, limit))
        } else if time_s > self.limits.seconds {
            Err(exceeded(
                &self.path,
                Quantity::Seconds,
                time_s,
                self.limits.seconds,
            ))
        } else {
            Ok(())
        }
    }

    /// The picture in hand; `None` before the first and after the last.
    pub(super) fn frame(&self) -> Option<Frame<'_>> {
        let Shown {
            time_s,
            colour,
            turn,
            damaged,
        } = self.now?;
        let (width, height) = self.picture.size();
        let samples = self
            .picture
            .samples()
            .expect("`prepare` proved it for this picture");
        Some(Frame {
            time_s,
            width,
            height,
            samples,
            colour,
            turn,
            damaged,
        })
    }

    pub(super) fn summary(&self) -> Option<Summary> {
        let first = self.first?;
        let (width, height) = first.turn.upright(first.size.0, first.size.1);
        Some(Summary {
            kind: Kind::Clip,
            frames: self.frames,
            length_s: self.clock.length_s(),
            fps: self.clock.fps(),
            width,
            height,
            colour: first.colour,
            damaged: self.damaged,
            lost_packets: self.lost_packets,
            untimed: self.untimed,
            ended_early: self.cut_short,
        })
    }

    fn decoder_failed(&self, error: Error) -> FootageError {
        FootageError::Decoder {
            path: self.path.clone(),
            reason: error.to_string(),
        }
    }
}
