//! What is drawn on: pixels that go into a PNG.

use std::convert::Infallible;

use embedded_graphics::pixelcolor::Rgb888;
use embedded_graphics::prelude::*;

use crate::light::Still;

/// A picture of red, green and blue, row by row.
pub(super) struct Canvas {
    pub width: u32,
    pub height: u32,
    pub rgb: Vec<u8>,
}

impl Canvas {
    /// A white one.
    pub(super) fn new(width: u32, height: u32) -> Self {
        Self {
            width,
            height,
            rgb: vec![255; 3 * (width * height) as usize],
        }
    }

    /// Puts a picture that is no wider at the upper left corner.
    pub(super) fn paste(&mut self, still: &Still) {
        let (own, its) = (3 * self.width as usize, 3 * still.width);
        for (to, from) in self.rgb.chunks_exact_mut(own).zip(still.rgb.chunks_exact(its)) {
            to[..its].copy_from_slice(from);
        }
    }
}

impl OriginDimensions for Canvas {
    fn size(&self) -> Size {
        Size::new(self.width, self.height)
    }
}

impl DrawTarget for Canvas {
    type Color = Rgb888;
    type Error = Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<Rgb888>>>(&mut self, pixels: I) -> Result<(), Infallible> {
        let area = self.bounding_box();
        for Pixel(point, colour) in pixels.into_iter().filter(|pixel| area.contains(pixel.0)) {
            let at = 3 * (point.y as usize * self.width as usize + point.x as usize);
            self.rgb[at..at + 3].copy_from_slice(&[colour.r(), colour.g(), colour.b()]);
        }
        Ok(())
    }
}
