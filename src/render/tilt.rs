//! Marks a finished MP4 file as filmed with the camera turned.
//!
//! The turn lies in the track header, box `tkhd` of ISO/IEC 14496-12 (8.3.2), as a three by three matrix of
//! fixed-point numbers. The libraries' ways of setting it differ between versions; the file does not.

use std::fs;
use std::io;
use std::path::Path;

use crate::footage::Quarter;

/// Fixed-point one, 16 bits of fraction.
const ONE: i32 = 1 << 16;

/// Fixed-point one of the matrix's last column, 30 bits of fraction.
const ONE_IN_LAST_COLUMN: i32 = 1 << 30;

/// Writes the turn into the only track of a file.
pub(super) fn mark(path: &Path, turn: Quarter) -> io::Result<()> {
    if turn == Quarter::None {
        return Ok(());
    }
    let mut file = fs::read(path)?;
    let header = ["moov", "trak", "tkhd"]
        .into_iter()
        .try_fold(0..file.len(), |within, kind| inside(&file, within, kind))
        .ok_or_else(|| {
            io::Error::new(
                io::ErrorKind::InvalidData,
                "no track header in the file just written",
            )
        })?;
    // Version 1 has three times of 64 bits where version 0 has 32; 16 bytes of other fields follow in either.
    let times = if file[header.start] == 1 { 32 } else { 20 };
    let matrix = header.start + 4 + times + 16;
    let sides = matrix + 36;
    let side = |at: usize| i32::from_be_bytes([file[at], file[at + 1], file[at + 2], file[at + 3]]);
    let (width, height) = (side(sides), side(sides + 4));
    let [a, b, c, d, x, y] = match turn {
        Quarter::None => [ONE, 0, 0, ONE, 0, 0],
        Quarter::Right => [0, ONE, -ONE, 0, height, 0],
        Quarter::Half => [-ONE, 0, 0, -ONE, width, height],
        Quarter::Left => [0, -ONE, ONE, 0, 0, width],
    };
    let values = [a, b, 0, c, d, 0, x, y, ONE_IN_LAST_COLUMN];
    for (value, to) in values.into_iter().zip(file[matrix..sides].chunks_exact_mut(4)) {
        to.copy_from_slice(&value.to_be_bytes());
    }
    fs::write(path, file)
}

/// Where the content of the first box of a kind lies within a range of the file.
fn inside(file: &[u8], within: std::ops::Range<usize>, kind: &str) -> Option<std::ops::Range<usize>> {
    let mut at = within.start;
    while at + 8 <= within.end {
        let short = u32::from_be_bytes(file[at..at + 4].try_into().ok()?);
        let (length, head) = match short {
            0 => (within.end - at, 8),
            1 => {
                let long = u64::from_be_bytes(file.get(at + 8..at + 16)?.try_into().ok()?);
                (usize::try_from(long).ok()?, 16)
            }
            short => (short as usize, 8),
        };
        if length < head || at + length > within.end {
            return None;
        }
        if &file[at + 4..at + 8] == kind.as_bytes() {
            return Some(at + head..at + length);
        }
        at += length;
    }
    None
}
