//! Whether a file is as long as it says it is. A broken upload is the commonest fault of a clip.

use std::io::{self, Read, Seek, SeekFrom};

use super::sniff::Container;

/// What a file says about its own length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Wholeness {
    /// The file ends before the end that it announces.
    pub(super) cut_short: bool,
    /// The index is there, at least its beginning; always true for containers that play without one.
    pub(super) indexed: bool,
}

/// Looks at the announced sizes only, never at the media; `head` is the file's beginning, `length` its size
/// in bytes.
pub(super) fn wholeness(
    container: Container,
    head: &[u8],
    file: &mut (impl Read + Seek),
    length: u64,
) -> io::Result<Wholeness> {
    let announced = match container {
        Container::Iso => return iso(file, length),
        Container::Matroska => matroska_end(head),
        Container::Avi => riff_end(head),
        // A GIF announces nothing.
        Container::Gif => None,
    };
    Ok(Wholeness {
        cut_short: announced.is_some_and(|end| end > length),
        indexed: true,
    })
}

/// Boxes at the top level that are followed; a fragmented clip has two a fragment. Beyond it the walk stops.
const BOXES_MAX: usize = 100_000;

/// Walks the boxes of the top level (ISO/IEC 14496-12, 4.2): 32-bit size, type, and a 64-bit size if the
/// first is 1; size 0 reaches to the end of the file.
fn iso(file: &mut (impl Read + Seek), length: u64) -> io::Result<Wholeness> {
    let mut found = Wholeness {
        cut_short: false,
        indexed: false,
    };
    let mut start = 0_u64;
    for _ in 0..BOXES_MAX {
        let mut header = [0; 16];
        file.seek(SeekFrom::Start(start))?;
        let read = read_up_to(file, &mut header)?;
        let Some(kind) = header.get(4..8).filter(|_| read >= 8) else {
            break;
        };
        let size = match big_endian(&header[..4]) {
            0 => length - start,
            1 if read == 16 => big_endian(&header[8..]),
            size => size,
        };
        if size < 8 || !kind.iter().all(|byte| matches!(byte, 0x20..=0x7E | 0xA9)) {
            break;
        }
        found.indexed |= kind == b"moov";
        let Some(end) = start.checked_add(size).filter(|&end| end <= length) else {
            found.cut_short = true;
            break;
        };
        if end == length {
            break;
        }
        start = end;
    }
    Ok(found)
}

/// End of the Matroska segment (RFC 8794 and 9559): the EBML header, then the segment's id and size. `None`
/// if the size is left open, as live recorders do.
fn matroska_end(head: &[u8]) -> Option<u64> {
    let (header_size, width) = vint(head.get(4..)?)?;
    let segment = 4 + width + usize::try_from(header_size?).ok()?;
    let after = head.get(segment..)?.strip_prefix(&[0x18, 0x53, 0x80, 0x67])?;
    let (size, width) = vint(after)?;
    Some(u64::try_from(segment + 4 + width).ok()?.saturating_add(size?))
}

/// A variable-length size and the bytes it takes; all ones means unknown.
fn vint(bytes: &[u8]) -> Option<(Option<u64>, usize)> {
    let width = usize::try_from(bytes.first()?.leading_zeros()).ok()? + 1;
    if width > 8 {
        return None;
    }
    let mask = (1_u64 << (7 * width)) - 1;
    let value = big_endian(bytes.get(..width)?) & mask;
    Some(((value != mask).then_some(value), width))
}

/// End of a RIFF file (AVI, WebP): the size counts what follows the first 8 bytes.
fn riff_end(head: &[u8]) -> Option<u64> {
    head.get(4..8).map(|size| 8 + little_endian(size))
}

/// Whether a photo has all the bytes that it announces. A PNG announces none; its decoder notices.
pub(super) fn photo_is_whole(format: image::ImageFormat, bytes: &[u8]) -> bool {
    match format {
        image::ImageFormat::Jpeg => jpeg_is_whole(bytes),
        image::ImageFormat::WebP => riff_end(bytes).is_some_and(|end| end <= bytes.len() as u64),
        _ => true,
    }
}

/// Whether a JPEG reaches its end-of-image marker (ITU-T T.81, B.1): segments are stepped over by their
/// length, coded data is scanned, so that the marker of an embedded thumbnail does not count.
fn jpeg_is_whole(bytes: &[u8]) -> bool {
    let mut at = 2;
    loop {
        // Between segments: fill bytes, then a marker. In coded data: anything up to a marker that is not a
        // stuffed zero (FF 00) or a restart (D0 to D7).
        let Some(skip) = bytes.get(at..).and_then(|rest| {
            rest.windows(2)
                .position(|pair| pair[0] == 0xFF && !matches!(pair[1], 0 | 0xFF | 0xD0..=0xD7))
        }) else {
            return false;
        };
        at += skip + 2;
        match bytes[at - 1] {
            0xD9 => return true,
            0x01 | 0xD8 => {}
            _ => match bytes.get(at..at + 2) {
                Some(&[high, low]) => at += usize::from(u16::from_be_bytes([high, low])),
                _ => return false,
            },
        }
    }
}

fn read_up_to(file: &mut impl Read, buffer: &mut [u8]) -> io::Result<usize> {
    let mut filled = 0;
    while filled < buffer.len() {
        match file.read(&mut buffer[filled..]) {
            Ok(0) => break,
            Ok(count) => filled += count,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(filled)
}

/// The beginning of a file, at most `count` bytes.
pub(super) fn head(file: &mut impl Read, count: usize) -> io::Result<Vec<u8>> {
    let mut bytes = vec![0; count];
    let filled = read_up_to(file, &mut bytes)?;
    bytes.truncate(filled);
    Ok(bytes)
}

fn big_endian(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0, |value, &byte| value << 8 | u64::from(byte))
}

fn little_endian(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .rev()
        .fold(0, |value, &byte| value << 8 | u64::from(byte))
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use rstest::rstest;

    use super::*;

    fn boxed(kind: &[u8; 4], body: usize) -> Vec<u8> {
        let size = u32::try_from(body + 8).unwrap().to_be_bytes();
        [&size[..], kind, &vec![0; body]].concat()
    }

    fn look(container: Container, bytes: &[u8]) -> Wholeness {
        wholeness(container, bytes, &mut Cursor::new(bytes), bytes.len() as u64).unwrap()
    }

    #[test]
    fn index_at_the_end_is_lost_when_the_end_is_cut() {
        let whole = [boxed(b"ftyp", 16), boxed(b"mdat", 100), boxed(b"moov", 40)].concat();
        assert_eq!(
            look(Container::Iso, &whole),
            Wholeness {
                cut_short: false,
                indexed: true
            }
        );
        for length in 25..124 {
            let cut = look(Container::Iso, &whole[..length]);
            assert!(!cut.indexed, "{length} bytes hold no index");
            assert_eq!(
                cut.cut_short,
                length >= 32,
                "{length} bytes: eight are needed to read a box's size"
            );
        }
    }

    #[test]
    fn index_at_the_front_survives_the_cut() {
        let whole = [boxed(b"ftyp", 16), boxed(b"moov", 40), boxed(b"mdat", 100)].concat();
        assert_eq!(
            look(Container::Iso, &whole[..120]),
            Wholeness {
                cut_short: true,
                indexed: true
            }
        );
    }

    #[test]
    fn long_sizes_and_open_ends_are_understood() {
        let mut long = boxed(b"moov", 8);
        long.extend([0, 0, 0, 1]);
        long.extend(b"mdat");
        long.extend(24_u64.to_be_bytes());
        long.extend([0; 8]);
        assert!(!look(Container::Iso, &long).cut_short);
        assert!(look(Container::Iso, &long[..long.len() - 1]).cut_short);

        let open = [boxed(b"moov", 8), vec![0, 0, 0, 0], b"mdat".to_vec(), vec![0; 5]].concat();
        assert!(!look(Container::Iso, &open).cut_short);
    }

    #[rstest]
    #[case::known_size(&[0x1A, 0x45, 0xDF, 0xA3, 0x82, 1, 2, 0x18, 0x53, 0x80, 0x67, 0x84, 9, 9, 9, 9], false)]
    #[case::cut(&[0x1A, 0x45, 0xDF, 0xA3, 0x82, 1, 2, 0x18, 0x53, 0x80, 0x67, 0x84, 9, 9, 9], true)]
    #[case::open(&[0x1A, 0x45, 0xDF, 0xA3, 0x82, 1, 2, 0x18, 0x53, 0x80, 0x67, 0xFF, 9], false)]
    #[case::eight_byte_size(
        &[0x1A, 0x45, 0xDF, 0xA3, 0x82, 1, 2, 0x18, 0x53, 0x80, 0x67, 1, 0, 0, 0, 0, 0, 0, 2, 9],
        true
    )]
    fn matroska_segment(#[case] bytes: &[u8], #[case] cut_short: bool) {
        assert_eq!(look(Container::Matroska, bytes).cut_short, cut_short);
    }

    #[test]
    fn riff_size() {
        let whole = b"RIFF\x08\0\0\0AVI LIST";
        assert!(!look(Container::Avi, whole).cut_short);
        assert!(look(Container::Avi, &whole[..15]).cut_short);
    }

    #[test]
    fn a_thumbnail_does_not_end_a_jpeg() {
        // SOI; APP1 of 8 bytes with a whole tiny JPEG inside; SOS with 4; coded data with a stuffed FF and a
        // restart.
        let mut bytes = vec![
            0xFF, 0xD8, 0xFF, 0xE1, 0, 8, 0xFF, 0xD8, 9, 9, 0xFF, 0xD9, 0xFF, 0xDA, 0, 4, 1, 1,
        ];
        bytes.extend([7, 0xFF, 0, 7, 0xFF, 0xD3, 7]);
        assert!(!jpeg_is_whole(&bytes));
        bytes.extend([0xFF, 0xD9]);
        assert!(jpeg_is_whole(&bytes));
        bytes.extend(b"appended by a camera");
        assert!(jpeg_is_whole(&bytes));
    }
}
