//! Small pictures as PNG files, for reports.

use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// A PNG of 8-bit red, green, blue pixels, row by row.
///
/// # Panics
///
/// Where there are not `3 * width * height` bytes, or a side is 0.
#[must_use]
pub fn png(width: u32, height: u32, rgb: &[u8]) -> Vec<u8> {
    let mut file = Vec::new();
    PngEncoder::new(&mut file)
        .write_image(rgb, width, height, ExtendedColorType::Rgb8)
        .expect("a whole picture is written to memory");
    file
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_png_gives_its_pixels_back() {
        let rgb = [255, 0, 0, 0, 255, 0, 0, 0, 255, 9, 8, 7];
        let file = super::png(2, 2, &rgb);
        let back = image::load_from_memory(&file).unwrap().into_rgb8();
        assert_eq!(back.dimensions(), (2, 2));
        assert_eq!(back.as_raw()[..], rgb);
    }
}
