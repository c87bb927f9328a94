//! A clip: demuxes and decodes straight from the file, one picture in hand at a time.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Once;
use std::thread;

use ffmpeg_next::codec::{self, threading};
use ffmpeg_next::format::context::Input;
use ffmpeg_next::format::stream::Disposition;
use ffmpeg_next::frame::side_data;
use ffmpeg_next::util::error::{EAGAIN, EINVAL, ENOMEM};
use ffmpeg_next::{Dictionary, Error, Packet, Stream, decoder, log, media};

use super::clock::Clock;
use super::picture::{Picture, Unreadable};
use super::sniff::Container;
use super::whole::Wholeness;
use super::{ColourCode, FootageError, Frame, Kind, Limits, Quantity, Quarter, Summary, raw, turn};

/// Demuxers that may open a file. Playlists and slide shows are not among them, so that a file cannot make the
/// program open another one.
const CONTAINERS: &str = "mov,mp4,3gp,matroska,webm,avi,gif";

/// Decoders that may run on a file: what phones, action cameras and message services write, and the older forms that a
/// 3GP or AVI from a drawer may hold. A shorter list is a smaller surface for hostile files.
const DECODERS: &str = "h264,hevc,vp8,vp9,libdav1d,libaom-av1,av1,mpeg4,h263,mjpeg,gif,prores,dvvideo,mpeg1video,\
                        mpeg2video,msmpeg4v1,msmpeg4v2,msmpeg4,ffv1,rawvideo,png";

/// Threads beyond this cost memory (a picture each) and gain nothing on clips of a few seconds. FFmpeg's own cap.
const THREADS_MAX: usize = 16;

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
    last_duration: i64,
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
        silence();
        let max_pixels = limits.pixels.to_string();
        let codec_options =
            || Dictionary::from_iter([("max_pixels", &*max_pixels), ("codec_whitelist", DECODERS)]);
        let container_options = Dictionary::from_iter([
            ("protocol_whitelist", "file"),
            ("format_whitelist", CONTAINERS),
            ("codec_whitelist", DECODERS),
        ]);
        let mut input = raw::open(path, container_options, codec_options)
            .map_err(|error| cannot_open(path, container, whole, error))?;

        let best = input.streams().best(media::Type::Video).filter(is_moving).map(|stream| stream.index());
        let index = best.ok_or_else(|| FootageError::NoVideo { path: path.to_owned() })?;
        raw::discard_all_but(&mut input, index);
        let stream = input.stream(index).expect("the index is that of one of its streams");
        check_stated(path, &input, &stream, limits)?;

        let stream_turn = match raw::stream_matrix(&stream) {
            Some(matrix) => turn::quarter(&matrix)
                .ok_or_else(|| FootageError::UnsupportedTurn { path: path.to_owned() })?,
            None => Quarter::None,
        };
        let time_base = stream.time_base();
        let decoder = open_decoder(path, &stream, codec_options())?;
        Ok(Self {
            path: path.to_owned(),
            limits,
            stream: index,
            decoder,
            picture: Picture::new(),
            clock: Clock::new(f64::from(time_base.numerator()) / f64::from(time_base.denominator())),
            stream_turn,
            input,
            state: State::Reading,
            now: None,
            first: None,
            last_duration: 0,
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
        if self.frames == 0 {
            return Err(FootageError::NoFrames { path: self.path.clone(), lost_packets: self.lost_packets });
        }
        Ok(false)
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
                    return Err(FootageError::Io { path: self.path.clone(), source });
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
        let Some(time_s) = self.clock.place(self.picture.decoded.timestamp()) else {
            self.untimed += 1;
            return Ok(false);
        };
        self.check_budget(time_s)?;
        self.picture.prepare().map_err(|Unreadable(format)| FootageError::UnsupportedSamples {
            path: self.path.clone(),
            format,
        })?;
        let own_matrix = self.picture.decoded.side_data(side_data::Type::DisplayMatrix);
        let turn = match own_matrix.and_then(|data| raw::matrix(data.data())) {
            Some(matrix) => turn::quarter(&matrix)
                .ok_or_else(|| FootageError::UnsupportedTurn { path: self.path.clone() })?,
            None => self.stream_turn,
        };
        let colour = self.picture.colour().expect("`prepare` accepted the form");
        let size = self.picture.size();
        let first = *self.first.get_or_insert(First { size, colour, turn });
        if first.size != size {
            let path = self.path.clone();
            return Err(FootageError::SizeChanged { path, time_s, from: first.size, to: size });
        }
        let damaged = raw::damaged(&self.picture.decoded);
        self.frames += 1;
        self.damaged += usize::from(damaged);
        self.last_duration = self.picture.decoded.packet().duration;
        self.now = Some(Shown { time_s, colour, turn, damaged });
        Ok(true)
    }

    fn check_budget(&self, time_s: f64) -> Result<(), FootageError> {
        let (width, height) = self.picture.size();
        let pixels = width as u64 * height as u64;
        if pixels > self.limits.pixels {
            Err(exceeded(&self.path, Quantity::Pixels, pixels as f64, self.limits.pixels as f64))
        } else if self.frames >= self.limits.frames {
            let limit = self.limits.frames as f64;
            Err(exceeded(&self.path, Quantity::Frames, limit + 1.0, limit))
        } else if time_s > self.limits.seconds {
            Err(exceeded(&self.path, Quantity::Seconds, time_s, self.limits.seconds))
        } else {
            Ok(())
        }
    }

    /// The picture in hand; `None` before the first and after the last.
    pub(super) fn frame(&self) -> Option<Frame<'_>> {
        let Shown { time_s, colour, turn, damaged } = self.now?;
        let (width, height) = self.picture.size();
        let samples = self.picture.samples().expect("`prepare` proved it for this picture");
        Some(Frame { time_s, width, height, samples, colour, turn, damaged })
    }

    pub(super) fn summary(&self) -> Option<Summary> {
        let first = self.first?;
        let (width, height) = first.turn.upright(first.size.0, first.size.1);
        Some(Summary {
            kind: Kind::Clip,
            frames: self.frames,
            length_s: self.clock.length_s(self.last_duration),
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
        FootageError::Decoder { path: self.path.clone(), reason: error.to_string() }
    }
}

/// FFmpeg writes to the terminal by itself; its messages are for its developers, and errors are reported here.
/// The level is the process's own, so it is set once and not put back.
fn silence() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| log::set_level(log::Level::Quiet));
}

/// Sound files carry their cover as a video stream of one picture.
fn is_moving(stream: &Stream<'_>) -> bool {
    !stream.disposition().contains(Disposition::ATTACHED_PIC)
}

fn cannot_open(path: &Path, container: Container, whole: Wholeness, error: Error) -> FootageError {
    let path = path.to_owned();
    match error {
        Error::Other { errno: ENOMEM } => FootageError::Decoder { path, reason: error.to_string() },
        Error::Other { errno } if is_of_the_disk(errno) => {
            FootageError::Io { path, source: io::Error::from_raw_os_error(errno) }
        }
        _ if whole.cut_short || !whole.indexed => FootageError::UploadIncomplete { path },
        _ => FootageError::Unreadable { path, kind: container.name() },
    }
}

/// Demuxers return these three for nonsense in the file (a packet of 4 GB, a field out of range, a place to retry); any
/// other system error comes from reading it.
const fn is_of_the_disk(errno: i32) -> bool {
    !matches!(errno, EINVAL | ENOMEM | EAGAIN)
}

/// Refuses by what the file states about itself, before anything is decoded.
fn check_stated(path: &Path, input: &Input, stream: &Stream<'_>, limits: Limits) -> Result<(), FootageError> {
    let (width, height) = raw::stated_size(stream);
    let pixels = f64::from(width) * f64::from(height);
    if pixels > limits.pixels as f64 {
        return Err(exceeded(path, Quantity::Pixels, pixels, limits.pixels as f64));
    }
    // Microseconds by FFmpeg's definition of AV_TIME_BASE; negative if not stated.
    let length_s = input.duration() as f64 / 1e6;
    if length_s > limits.seconds {
        return Err(exceeded(path, Quantity::Seconds, length_s, limits.seconds));
    }
    Ok(())
}

fn exceeded(path: &Path, what: Quantity, actual: f64, limit: f64) -> FootageError {
    FootageError::LimitExceeded { path: path.to_owned(), what, actual, limit }
}

fn open_decoder(
    path: &Path,
    stream: &Stream<'_>,
    options: Dictionary<'_>,
) -> Result<decoder::Video, FootageError> {
    let (found, name) = raw::decoder_of(stream);
    let Some(found) = found.filter(|found| DECODERS.split(',').any(|allowed| allowed == found.name())) else {
        return Err(FootageError::UnsupportedCodec { path: path.to_owned(), codec: name });
    };
    let failed = |error: Error| FootageError::Decoder { path: path.to_owned(), reason: error.to_string() };
    let mut context = codec::Context::from_parameters(stream.parameters()).map_err(failed)?;
    // Pictures with errors are wanted too: they come marked as damaged instead of leaving a hole.
    context.set_flags(codec::Flags::OUTPUT_CORRUPT);
    context.set_threading(threading::Config {
        // `Config::count` alone would leave the kind at "none".
        kind: threading::Type::Frame,
        count: thread::available_parallelism().map_or(1, usize::from).min(THREADS_MAX),
        ..threading::Config::default()
    });
    let mut decoder = context.decoder();
    decoder.set_packet_time_base(stream.time_base());
    match decoder.open_as_with(found, options).and_then(|opened| opened.video()) {
        Ok(decoder) => Ok(decoder),
        Err(error @ Error::Other { errno: ENOMEM }) => Err(failed(error)),
        Err(_) => Err(FootageError::UnsupportedCodec { path: path.to_owned(), codec: name }),
    }
}
