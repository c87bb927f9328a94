//! What the safe interface of ffmpeg-next lacks or does unsafely: opening with limits on the probing too,
//! discarding streams, numbers that may lie outside the library's enums, and planes whose bounds are checked.
#![allow(
    unsafe_code,
    reason = "the only file of this stage that touches FFmpeg's structures; each use says why it is sound"
)]

use std::ffi::CString;
use std::os::unix::ffi::OsStrExt;
use std::path::Path;
use std::ptr;
use std::slice;

use ffmpeg_next::ffi;
use ffmpeg_next::format::Pixel;
use ffmpeg_next::format::context::Input;
use ffmpeg_next::{Codec, Dictionary, Error, Stream, frame};

use super::Plane;
use super::describe::Cicp;

/// Opens a clip and reads its head. `options` go to the container.
///
/// The path is passed as bytes behind `file:`, so that neither a colon nor odd bytes in it mean anything else.
pub(super) fn open(path: &Path, options: Dictionary<'_>) -> Result<Input, Error> {
    let url = [b"file:", path.as_os_str().as_bytes()].concat();
    let url = CString::new(url).map_err(|_| Error::InvalidData)?;
    let mut context = ptr::null_mut();
    // SAFETY: `context` is null, which makes FFmpeg allocate one; `url` is a C string that outlives the call;
    // `options` is owned here and taken back whatever the call left of it. On failure FFmpeg frees the context.
    unsafe {
        let mut options = options.disown();
        let status =
            ffi::avformat_open_input(&raw mut context, url.as_ptr(), ptr::null_mut(), &raw mut options);
        drop(Dictionary::own(options));
        if status < 0 {
            Err(Error::from(status))
        } else {
            Ok(Input::wrap(context))
        }
    }
}

/// Decodes a little of each stream to learn what the head does not say; a fresh `options()` goes to each
/// decoder.
pub(super) fn probe(input: &mut Input, options: impl Fn() -> Dictionary<'static>) -> Result<(), Error> {
    // SAFETY: the array has one dictionary for each stream that exists before the call, as the function asks;
    // each is taken back after it. The context is valid as long as `input`.
    let status = unsafe {
        let mut per_stream: Vec<_> = (0..input.nb_streams()).map(|_| options().disown()).collect();
        let status = ffi::avformat_find_stream_info(input.as_mut_ptr(), per_stream.as_mut_ptr());
        per_stream
            .into_iter()
            .for_each(|left| drop(Dictionary::own(left)));
        status
    };
    if status < 0 {
        Err(Error::from(status))
    } else {
        Ok(())
    }
}

/// Makes the demuxer skip every stream but one.
pub(super) fn discard_all_but(input: &mut Input, keep: usize) {
    for mut stream in input.streams_mut().filter(|stream| stream.index() != keep) {
        // SAFETY: the stream belongs to `input`, which is borrowed mutably; `discard` may be set by the
        // caller at any time.
        unsafe { (*stream.as_mut_ptr()).discard = ffi::AVDiscard::AVDISCARD_ALL };
    }
}

/// The stream's coded width and height as the file states them, pixels; not yet proven by a picture.
pub(super) fn stated_size(stream: &Stream<'_>) -> (i32, i32) {
    // SAFETY: a stream's parameters exist as long as the stream, which is borrowed.
    unsafe {
        let parameters = (*stream.as_ptr()).codecpar;
        ((*parameters).width, (*parameters).height)
    }
}

/// The stream's decoder, if this FFmpeg has one, and FFmpeg's name of the code ("none" if it is unknown).
pub(super) fn decoder_of(stream: &Stream<'_>) -> (Option<Codec>, String) {
    // SAFETY: as in `stated_size`; decoders are static; `avcodec_get_name` returns a static C string for any
    // number.
    unsafe {
        let id = (*(*stream.as_ptr()).codecpar).codec_id;
        let decoder = ffi::avcodec_find_decoder(id);
        let name = std::ffi::CStr::from_ptr(ffi::avcodec_get_name(id))
            .to_string_lossy()
            .into_owned();
        (
            (!decoder.is_null()).then(|| Codec::wrap(decoder.cast_mut())),
            name,
        )
    }
}

/// The display matrix of a stream, if it has one.
pub(super) fn stream_matrix(stream: &Stream<'_>) -> Option<[i32; 9]> {
    stream.side_data().find_map(|data| {
        // SAFETY: the side data belongs to the borrowed stream. Its kind is read as a number, since a newer
        // library may have kinds that the enum lacks.
        let kind = unsafe { (&raw const (*data.as_ptr()).type_).cast::<u32>().read() };
        (kind == ffi::AVPacketSideDataType::AV_PKT_DATA_DISPLAYMATRIX as u32).then(|| matrix(data.data()))?
    })
}

/// Nine 32-bit numbers in the machine's byte order, as FFmpeg keeps a display matrix.
pub(super) fn matrix(bytes: &[u8]) -> Option<[i32; 9]> {
    let (terms, _) = bytes.as_chunks::<4>();
    let terms: &[[u8; 4]; 9] = terms.first_chunk()?;
    Some(terms.map(i32::from_ne_bytes))
}

/// The picture's colour description as plain numbers: a file may state values that the enums lack.
pub(super) fn cicp(picture: &frame::Video) -> Cicp {
    // SAFETY: `picture` owns a valid frame. The fields are C enums of 32 bits and are read as such, without
    // making a Rust enum of them.
    unsafe {
        let frame = picture.as_ptr();
        Cicp {
            matrix: (&raw const (*frame).colorspace).cast::<i32>().read(),
            primaries: (&raw const (*frame).color_primaries).cast::<i32>().read(),
            transfer: (&raw const (*frame).color_trc).cast::<i32>().read(),
            span: (&raw const (*frame).color_range).cast::<i32>().read(),
        }
    }
}

/// The decoder marked the picture as damaged, concealed or missing a reference.
pub(super) fn damaged(picture: &frame::Video) -> bool {
    // SAFETY: `picture` owns a valid frame; both fields are plain integers.
    unsafe {
        let frame = picture.as_ptr();
        (*frame).flags & ffi::AV_FRAME_FLAG_CORRUPT != 0 || (*frame).decode_error_flags != 0
    }
}

/// The picture was decoded for reference only and is not to be shown (before an edit list's start).
pub(super) fn not_shown(picture: &frame::Video) -> bool {
    // SAFETY: `picture` owns a valid frame; the field is a plain integer.
    unsafe { (*picture.as_ptr()).flags & ffi::AV_FRAME_FLAG_DISCARD != 0 }
}

/// How the picture's samples lie in memory, and the form as ffmpeg-next names it. `None` if this library does
/// not know the form.
pub(super) fn form(picture: &frame::Video) -> Option<(&'static ffi::AVPixFmtDescriptor, Pixel)> {
    // SAFETY: `picture` owns a valid frame. The number becomes an enum only within the range of the headers
    // that the enum was made from; that range has no gaps. Descriptors are static.
    unsafe {
        let number = (*picture.as_ptr()).format;
        if !(0..ffi::AVPixelFormat::AV_PIX_FMT_NB as i32).contains(&number) {
            return None;
        }
        let format = std::mem::transmute::<i32, ffi::AVPixelFormat>(number);
        ffi::av_pix_fmt_desc_get(format)
            .as_ref()
            .map(|descriptor| (descriptor, Pixel::from(format)))
    }
}

/// One plane of `rows` rows with `row_bytes` bytes of samples each. `None` if rows run upwards (negative
/// stride) or the plane does not lie wholly within one of the picture's buffers.
pub(super) fn plane(
    picture: &frame::Video,
    index: usize,
    row_bytes: usize,
    rows: usize,
) -> Option<Plane<'_>> {
    // SAFETY: `picture` owns a valid frame and is borrowed for as long as the slice lives, so that its
    // buffers are neither freed nor given to the decoder again. The range of the slice is checked against the
    // buffers' own bounds.
    unsafe {
        let frame = picture.as_ptr();
        let start = *(*frame).data.get(index)?;
        let stride = usize::try_from(*(*frame).linesize.get(index)?)
            .ok()
            .filter(|&stride| stride >= row_bytes)?;
        let length = stride.checked_mul(rows.checked_sub(1)?)?.checked_add(row_bytes)?;
        let held = (*frame)
            .buf
            .iter()
            .filter_map(|buffer| buffer.as_ref())
            .any(|buffer| {
                let offset = (start as usize).wrapping_sub(buffer.data as usize);
                offset <= buffer.size && length <= buffer.size - offset
            });
        (!start.is_null() && held).then(|| Plane {
            data: slice::from_raw_parts(start, length),
            stride,
        })
    }
}
