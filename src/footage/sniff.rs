//! What a file is by its first bytes; its name proves nothing.

/// Bytes of a file's beginning that are looked at: enough for an EBML header and the size of the segment
/// after it.
pub(super) const HEAD_BYTES: usize = 4096;

/// What the first bytes say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Content {
    Clip(Container),
    Photo(image::ImageFormat),
    /// A photo in the boxes of ISO/IEC 23008-12, by its name.
    Heif(&'static str),
    /// A picture form that is recognised and not read.
    OtherPhoto(&'static str),
    Unknown,
}

/// How a clip is packed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Container {
    /// ISO base media: MP4, MOV, 3GP (ISO/IEC 14496-12).
    Iso,
    /// Matroska and WebM (RFC 9559).
    Matroska,
    Avi,
    Gif,
}

impl Container {
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Iso => "MP4/MOV",
            Self::Matroska => "Matroska/WebM",
            Self::Avi => "AVI",
            Self::Gif => "GIF",
        }
    }
}

pub(super) fn sniff(head: &[u8]) -> Content {
    match head {
        [0xFF, 0xD8, 0xFF, ..] => Content::Photo(image::ImageFormat::Jpeg),
        [0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, ..] => Content::Photo(image::ImageFormat::Png),
        [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Content::Clip(Container::Gif),
        [0x1A, 0x45, 0xDF, 0xA3, ..] => Content::Clip(Container::Matroska),
        [b'R', b'I', b'F', b'F', _, _, _, _, form @ ..] => riff(form),
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => Content::OtherPhoto("TIFF/RAW"),
        [0xFF, 0x0A, ..] | [0, 0, 0, 12, b'J', b'X', b'L', b' ', ..] => Content::OtherPhoto("JPEG XL"),
        [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => iso(brand),
        [_, _, _, _, first @ ..] if starts_quicktime(first) => Content::Clip(Container::Iso),
        _ => Content::Unknown,
    }
}

fn riff(form: &[u8]) -> Content {
    match form.get(..4) {
        Some(b"WEBP") => Content::Photo(image::ImageFormat::WebP),
        Some(b"AVI ") => Content::Clip(Container::Avi),
        _ => Content::Unknown,
    }
}

/// Major brands of still pictures and of picture sequences are those of ISO/IEC 23008-12 and of AVIF; any other
/// brand is a clip or sound.
fn iso(brand: &[u8]) -> Content {
    match brand.get(..4) {
        Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"hevm" | b"hevs") => {
            Content::Heif("HEIC")
        }
        Some(b"avif" | b"avis") => Content::Heif("AVIF"),
        Some(b"mif1" | b"msf1" | b"mif2" | b"miaf") => Content::Heif("HEIF"),
        _ => Content::Clip(Container::Iso),
    }
}

/// QuickTime files older than the `ftyp` box begin with one of these.
fn starts_quicktime(first: &[u8]) -> bool {
    matches!(
        first.get(..4),
        Some(b"moov" | b"mdat" | b"wide" | b"free" | b"skip" | b"pnot")
    )
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    #[rstest]
    #[case::jfif(b"\xFF\xD8\xFF\xE0\0\x10JFIF", Content::Photo(image::ImageFormat::Jpeg))]
    #[case::png(b"\x89PNG\r\n\x1A\n\0\0\0\rIHDR", Content::Photo(image::ImageFormat::Png))]
    #[case::webp(b"RIFF\x10\0\0\0WEBPVP8 ", Content::Photo(image::ImageFormat::WebP))]
    #[case::avi(b"RIFF\x10\0\0\0AVI LIST", Content::Clip(Container::Avi))]
    #[case::wave(b"RIFF\x10\0\0\0WAVEfmt ", Content::Unknown)]
    #[case::gif(b"GIF89a\x01\0", Content::Clip(Container::Gif))]
    #[case::mp4(b"\0\0\0\x18ftypisom\0\0\0\0", Content::Clip(Container::Iso))]
    #[case::threegp(b"\0\0\0\x18ftyp3gp5\0\0\0\0", Content::Clip(Container::Iso))]
    #[case::old_mov(b"\0\0\0\x08wide\0\0\0\0mdat", Content::Clip(Container::Iso))]
    #[case::heic(b"\0\0\0\x18ftypheic\0\0\0\0", Content::Heif("HEIC"))]
    #[case::avif(b"\0\0\0\x18ftypavif\0\0\0\0", Content::Heif("AVIF"))]
    #[case::playlist(b"#EXTM3U\n#EXT-X-VERSION:3\n", Content::Unknown)]
    #[case::two_bytes(b"\xFF\xD8", Content::Unknown)]
    fn content_decides(#[case] head: &[u8], #[case] expected: Content) {
        assert_eq!(sniff(head), expected);
    }
}
