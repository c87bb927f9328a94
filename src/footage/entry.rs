//! Opening a clip: what is allowed in, which stream is meant, and a decoder for it.

use std::io;
use std::path::Path;
use std::sync::Once;
use std::thread;

use ffmpeg_next::codec::{self, discard::Discard, threading};
use ffmpeg_next::format::context::Input;
use ffmpeg_next::format::stream::Disposition;
use ffmpeg_next::util::error::{EAGAIN, EINVAL, ENOMEM};
use ffmpeg_next::{Dictionary, Error, Stream, decoder, log, media};

use super::sniff::Container;
use super::whole::Wholeness;
use super::{FootageError, Limits, Quantity, Quarter, raw, turn};

/// Demuxers that may open a file. Playlists and slide shows are not among them, so that a file cannot make the
/// program open another one.
const CONTAINERS: &str = "mov,mp4,3gp,matroska,webm,avi,gif";

/// Decoders that may run on a file: what phones, action cameras and message services write, and the older
/// forms that a 3GP or AVI from a drawer may hold. A shorter list is a smaller surface for hostile files.
const DECODERS: &str = "h264,hevc,vp8,vp9,libdav1d,libaom-av1,av1,mpeg4,h263,mjpeg,gif,prores,dvvideo,mpeg1video,\
                        mpeg2video,msmpeg4v1,msmpeg4v2,msmpeg4,ffv1,rawvideo,png";

/// Decoding threads beyond one a core: while the caller looks at a picture, every core still has the next
/// ones to work on. Two more took 6 % off the reading of a 1080p clip on two cores; each costs the memory of
/// one more picture.
const THREADS_AHEAD: usize = 2;
/// Threads beyond this cost memory (a picture each) and gain nothing on clips of a few seconds. FFmpeg's own
/// cap.
const THREADS_MAX: usize = 16;

/// An opened clip, ready to be decoded.
pub(super) struct Entry {
    pub(super) input: Input,
    /// Index of the video.
    pub(super) stream: usize,
    pub(super) decoder: decoder::Video,
    /// Seconds a tick of the video's time stamps.
    pub(super) tick_s: f64,
    /// Turn that the container asks for.
    pub(super) turn: Quarter,
}

pub(super) fn open(
    path: &Path,
    container: Container,
    whole: Wholeness,
    limits: Limits,
) -> Result<Entry, FootageError> {
    silence();
    let max_pixels = decoder_pixels(limits).to_string();
    let decoding = || Dictionary::from_iter([("max_pixels", &*max_pixels), ("codec_whitelist", DECODERS)]);
    let demuxing = Dictionary::from_iter([
        ("protocol_whitelist", "file"),
        ("format_whitelist", CONTAINERS),
        ("codec_whitelist", DECODERS),
    ]);
    let failed = |error| cannot_open(path, container, whole, error);
    let mut input = raw::open(path, demuxing).map_err(failed)?;
    // Before the probe, which decodes a picture, and forgets the stated size if its own net stops it.
    input
        .streams()
        .try_for_each(|stream| check_stated_size(path, &stream, limits))?;
    if !tells_all(container, &input) {
        raw::probe(&mut input, decoding).map_err(failed)?;
    }
    check_stated_length(path, &input, limits)?;

    let index = moving_stream(&input).ok_or_else(|| {
        let path = path.to_owned();
        if whole.cut_short {
            FootageError::UploadIncomplete { path }
        } else {
            FootageError::NoVideo { path }
        }
    })?;
    raw::discard_all_but(&mut input, index);
    let stream = input
        .stream(index)
        .expect("the index is that of one of its streams");
    check_stated_size(path, &stream, limits)?;
    let turn = match raw::stream_matrix(&stream) {
        Some(matrix) => turn::quarter(&matrix),
        None => Some(Quarter::None),
    };
    let turn = turn.ok_or_else(|| FootageError::UnsupportedTurn {
        path: path.to_owned(),
    })?;
    let tick = stream.time_base();
    let decoder = open_decoder(path, &stream, decoding(), limits.threads)?;
    let tick_s = f64::from(tick.numerator()) / f64::from(tick.denominator());
    Ok(Entry {
        input,
        stream: index,
        decoder,
        tick_s,
        turn,
    })
}

/// Whether the head says all that a probe would: then no picture is decoded twice, which took a twentieth of the reading
/// of a short clip. An ISO file states the size, and, if its frames are indexed, their order too by both their times; of
/// several videos only a probe knows the best, and older codes are known by their pictures alone.
fn tells_all(container: Container, input: &Input) -> bool {
    let mut videos = input
        .streams()
        .filter(|stream| stream.parameters().medium() == media::Type::Video);
    let (Some(video), None) = (videos.next(), videos.next()) else {
        return false;
    };
    let (width, height) = raw::stated_size(&video);
    let indexed = video.avg_frame_rate().numerator() > 0;
    let known = ["h264", "hevc", "vp9", "av1"].contains(&raw::decoder_of(&video).1.as_str());
    container == Container::Iso && indexed && known && width > 0 && height > 0
}

/// FFmpeg writes to the terminal by itself; its messages are for its developers, and errors are reported here.
/// The level is the process's own, so it is set once and not put back.
fn silence() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| log::set_level(log::Level::Quiet));
}

/// The video that FFmpeg holds for the main one. Sound files carry their cover as a video stream of one
/// picture, which is none.
fn moving_stream(input: &Input) -> Option<usize> {
    let best = input.streams().best(media::Type::Video)?;
    (!best.disposition().contains(Disposition::ATTACHED_PIC)).then(|| best.index())
}

fn cannot_open(path: &Path, container: Container, whole: Wholeness, error: Error) -> FootageError {
    let path = path.to_owned();
    match error {
        Error::Other { errno: ENOMEM } => FootageError::Decoder {
            path,
            reason: error.to_string(),
        },
        Error::Other { errno } if is_of_the_disk(errno) => FootageError::Io {
            path,
            source: io::Error::from_raw_os_error(errno),
        },
        _ if whole.cut_short || !whole.indexed => FootageError::UploadIncomplete { path },
        _ => FootageError::Unreadable {
            path,
            kind: container.name(),
        },
    }
}

/// Demuxers return these three for nonsense in the file (a packet of 4 GB, a field out of range, a place to
/// retry); any other system error comes from reading it.
pub(super) const fn is_of_the_disk(errno: i32) -> bool {
    !matches!(errno, EINVAL | ENOMEM | EAGAIN)
}

/// Pixels that a decoder may be asked for. It counts its own edges and alignment too (measured: 160 x 96
/// needs more than 64 x 1024), so this is a coarse net; the limit proper is checked here on every picture.
fn decoder_pixels(limits: Limits) -> u64 {
    limits.pixels.saturating_mul(2).saturating_add(1 << 20)
}

/// Refuses by the picture size that the file states, before anything is decoded.
fn check_stated_size(path: &Path, stream: &Stream<'_>, limits: Limits) -> Result<(), FootageError> {
    let (width, height) = raw::stated_size(stream);
    let pixels = f64::from(width) * f64::from(height);
    if pixels > limits.pixels as f64 {
        return Err(exceeded(path, Quantity::Pixels, pixels, limits.pixels as f64));
    }
    Ok(())
}

/// Refuses by the length that the file states, so that nobody waits for the refusal.
fn check_stated_length(path: &Path, input: &Input, limits: Limits) -> Result<(), FootageError> {
    // Microseconds by FFmpeg's definition of AV_TIME_BASE; negative if not stated.
    let length_s = input.duration() as f64 / 1e6;
    if length_s > limits.seconds {
        return Err(exceeded(path, Quantity::Seconds, length_s, limits.seconds));
    }
    Ok(())
}

/// The error for an exceeded limit.
pub(super) fn exceeded(path: &Path, what: Quantity, actual: f64, limit: f64) -> FootageError {
    FootageError::LimitExceeded {
        path: path.to_owned(),
        what,
        actual,
        limit,
    }
}

fn open_decoder(
    path: &Path,
    stream: &Stream<'_>,
    options: Dictionary<'_>,
    threads: Option<usize>,
) -> Result<decoder::Video, FootageError> {
    let (found, name) = raw::decoder_of(stream);
    let codec = (name != "none").then_some(name);
    let Some(found) = found.filter(|found| DECODERS.split(',').any(|allowed| allowed == found.name())) else {
        return Err(FootageError::UnsupportedCodec {
            path: path.to_owned(),
            codec,
        });
    };
    let failed = |error: Error| FootageError::Decoder {
        path: path.to_owned(),
        reason: error.to_string(),
    };
    let mut context = codec::Context::from_parameters(stream.parameters()).map_err(failed)?;
    // Pictures with errors are wanted too: they come marked as damaged instead of leaving a hole.
    context.set_flags(codec::Flags::OUTPUT_CORRUPT);
    context.set_threading(threading::Config {
        // `Config::count` alone would leave the kind at "none".
        kind: threading::Type::Frame,
        count: threads.unwrap_or_else(|| {
            thread::available_parallelism()
                .map_or(1, |cores| cores.get() + THREADS_AHEAD)
                .min(THREADS_MAX)
        }),
        ..threading::Config::default()
    });
    let mut decoder = context.decoder();
    decoder.set_packet_time_base(stream.time_base());
    match decoder
        .open_as_with(found, options)
        .and_then(|opened| opened.video())
    {
        Ok(mut decoder) => {
            let unsmoothed = unsmoothed(stream, &decoder);
            decoder.skip_loop_filter(unsmoothed);
            Ok(decoder)
        }
        Err(error @ Error::Other { errno: ENOMEM }) => Err(failed(error)),
        Err(_) => Err(FootageError::UnsupportedCodec {
            path: path.to_owned(),
            codec,
        }),
    }
}

/// The pictures whose block edges need no smoothing by the decoder, which costs it an eighth of its time: those that no
/// other picture is made from, and all where the bit rate leaves hardly an edge to smooth. In a clip of few bits, what is
/// left unsmoothed adds up from picture to picture and changes the measured levels (seen on a clip of 0.01 bits a pixel).
fn unsmoothed(stream: &Stream<'_>, decoder: &decoder::Video) -> Discard {
    /// Bits a pixel from which edges are faint (guessed; phones write 0.2 to 0.3, message services below 0.1).
    const PLENTY: f64 = 0.15;
    let pixels = f64::from(decoder.width()) * f64::from(decoder.height());
    let pixels_a_second = pixels * f64::from(stream.avg_frame_rate());
    if decoder.bit_rate() as f64 > PLENTY * pixels_a_second && pixels_a_second > 0.0 {
        Discard::All
    } else {
        Discard::NonReference
    }
}
