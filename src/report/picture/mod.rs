//! The found lights on a frame of the footage, each with its trace below, as one picture.

#![allow(
    clippy::cast_possible_wrap,
    reason = "a drawing goes from sizes to places and back; no picture has so many pixels that one overflows"
)]

mod canvas;

use std::convert::Infallible;

use embedded_graphics::mono_font::MonoTextStyle;
use embedded_graphics::mono_font::iso_8859_1::FONT_9X15;
use embedded_graphics::pixelcolor::Rgb888;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::{Circle, Line, PrimitiveStyle, Rectangle};
use embedded_graphics::text::{Baseline, Text};

use super::findings::{Findings, Lamp};
use super::words::lamp as lamp_words;
use crate::light::Still;
use crate::trace::{Sample, Sighting};
use crate::words::Language;
use canvas::Canvas;

/// How wide the picture of the scene should be, pixels: what a document shows without scaling.
pub const PICTURE_WIDTH: usize = 960;

/// Least width of a plot, pixels; a smaller picture is given a margin.
const NARROWEST: u32 = 480;
/// Of one lamp's plot, pixels: its words, and the level from dark to lit with room above for what is brighter.
const WORDS_HEIGHT: i32 = 24;
const PLOT_HEIGHT: i32 = 64;
const HEADROOM: f64 = 1.25;
const GAP: i32 = 12;
/// Left for the words "lit" and "dark".
const MARGIN: i32 = 60;

const INK: Rgb888 = Rgb888::new(27, 31, 36);
const PAPER: Rgb888 = Rgb888::WHITE;
const UNSEEN: Rgb888 = Rgb888::new(200, 206, 213);
const SOFT: Rgb888 = Rgb888::new(138, 148, 160);

/// Number of the frame that shows the most lamps lit, the first of them; `None` without frames.
#[must_use]
pub fn picture_frame(findings: &Findings) -> Option<usize> {
    let lit = |frame: usize| {
        let samples = findings
            .lamps
            .iter()
            .filter_map(|lamp| lamp.trace.samples.get(frame));
        samples.filter(|sample| seen_lit(sample)).count()
    };
    let frames = findings.lamps.iter().map(|lamp| lamp.trace.samples.len()).max()?;
    // Of equal ones the first.
    (0..frames).rev().max_by_key(|&frame| lit(frame))
}

fn seen_lit(sample: &Sample) -> bool {
    sample.sighting == Sighting::Seen && sample.level > 0.5
}

/// Width, height, and red, green and blue of every pixel: the frame with a numbered ring about every lamp, and below it
/// the trace of each, in words too. `still` is the frame of that number.
#[must_use]
pub fn picture(findings: &Findings, frame: usize, still: &Still) -> (u32, u32, Vec<u8>) {
    let key = crate::words::words(findings.language).say("picture-key");
    // A letter takes nine pixels.
    let of_key = 9 * key.chars().count() as u32 + 8;
    let width = (still.width as u32).max(NARROWEST).max(of_key);
    let each = (WORDS_HEIGHT + PLOT_HEIGHT + GAP) as u32;
    let below = GAP as u32 + each * findings.lamps.len() as u32 + WORDS_HEIGHT as u32;
    let height = still.height as u32 + below;
    let mut canvas = Canvas::new(width, height);
    canvas.paste(still);
    for (index, lamp) in findings.lamps.iter().enumerate() {
        let Ok(()) = mark(&mut canvas, lamp, index + 1, frame, still);
    }
    for (index, lamp) in findings.lamps.iter().enumerate() {
        let top = still.height as i32 + GAP + (index as u32 * each) as i32;
        let Ok(()) = plot(&mut canvas, lamp, index + 1, top, findings.language);
    }
    let style = MonoTextStyle::new(&FONT_9X15, INK);
    let at = Point::new(4, height as i32 - WORDS_HEIGHT);
    let Ok(_) = Text::with_baseline(&key, at, style, Baseline::Top).draw(&mut canvas);
    (canvas.width, canvas.height, canvas.rgb)
}

/// A ring about a lamp with its number: dark in light, so that it is seen on any ground.
fn mark(
    canvas: &mut Canvas,
    lamp: &Lamp,
    number: usize,
    frame: usize,
    still: &Still,
) -> Result<(), Infallible> {
    let there = lamp
        .places
        .get(frame)
        .copied()
        .filter(|place| place.0.is_finite());
    let (x, y) = there.unwrap_or((lamp.x, lamp.y));
    let centre = Point::new((x / still.scale) as i32, (y / still.scale) as i32);
    let radius = (1.6 * lamp.radius / still.scale).max(6.0) as u32 + 2;
    if !Rectangle::new(Point::zero(), Size::new(still.width as u32, still.height as u32)).contains(centre) {
        return Ok(());
    }
    let ring = |by: u32| Circle::with_center(centre, 2 * (radius + by) + 1);
    ring(1)
        .into_styled(PrimitiveStyle::with_stroke(PAPER, 4))
        .draw(canvas)?;
    ring(1)
        .into_styled(PrimitiveStyle::with_stroke(INK, 2))
        .draw(canvas)?;
    let label = number.to_string();
    let style = MonoTextStyle::new(&FONT_9X15, INK);
    let wide = 9 * label.len() as i32 + 4;
    // Inside the picture where the lamp is at its edge.
    let beside = (centre.x + radius as i32 + 5).min(still.width as i32 - wide);
    let at = Point::new(beside, (centre.y - 8).clamp(0, (still.height as i32 - 16).max(0)));
    Rectangle::new(at, Size::new(wide as u32, 16))
        .into_styled(PrimitiveStyle::with_fill(PAPER))
        .draw(canvas)?;
    Text::with_baseline(&label, at + Point::new(2, 0), style, Baseline::Top).draw(canvas)?;
    Ok(())
}

fn plot(
    canvas: &mut Canvas,
    lamp: &Lamp,
    number: usize,
    top: i32,
    language: Language,
) -> Result<(), Infallible> {
    let style = MonoTextStyle::new(&FONT_9X15, INK);
    let title = format!("{number}  {}", lamp_words(&lamp.trace, &lamp.measured, language));
    Text::with_baseline(&title, Point::new(4, top), style, Baseline::Top).draw(canvas)?;
    let (bright, dark) = (top + WORDS_HEIGHT, top + WORDS_HEIGHT + PLOT_HEIGHT);
    let words = crate::words::words(language);
    for (word, y) in [("plot-bright", bright), ("plot-dark", dark - 15)] {
        Text::with_baseline(&words.say(word), Point::new(4, y), style, Baseline::Top).draw(canvas)?;
    }
    let samples = &lamp.trace.samples;
    let Some((first, last)) = samples.first().zip(samples.last()) else {
        return Ok(());
    };
    let length_s = (last.time_s + last.span_s - first.time_s).max(1e-9);
    let across = f64::from(canvas.width as i32 - MARGIN - 4);
    let x = |time_s: f64| MARGIN + (across * (time_s - first.time_s) / length_s) as i32;
    let y = |level: f64| dark - (f64::from(PLOT_HEIGHT) * (level / HEADROOM).clamp(0.0, 1.0)) as i32;
    for sample in samples.iter().filter(|sample| sample.sighting != Sighting::Seen) {
        let (left, right) = (x(sample.time_s), x(sample.time_s + sample.span_s));
        Rectangle::new(
            Point::new(left, bright),
            Size::new((right - left).max(1) as u32, PLOT_HEIGHT as u32),
        )
        .into_styled(PrimitiveStyle::with_fill(UNSEEN))
        .draw(canvas)?;
    }
    Line::new(
        Point::new(MARGIN, dark),
        Point::new(canvas.width as i32 - 4, dark),
    )
    .into_styled(PrimitiveStyle::with_stroke(SOFT, 1))
    .draw(canvas)?;
    for second in 0..=length_s as usize {
        let at = x(first.time_s + second as f64);
        Line::new(Point::new(at, dark), Point::new(at, dark + 4))
            .into_styled(PrimitiveStyle::with_stroke(SOFT, 1))
            .draw(canvas)?;
    }
    let middle = |sample: &Sample| Point::new(x(sample.time_s + 0.5 * sample.span_s), y(sample.level));
    for pair in samples
        .windows(2)
        .filter(|pair| pair.iter().all(|s| s.sighting == Sighting::Seen))
    {
        Line::new(middle(&pair[0]), middle(&pair[1]))
            .into_styled(PrimitiveStyle::with_stroke(INK, 2))
            .draw(canvas)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::samples;

    /// Where in a picture of one grey a colour of ours was drawn.
    fn drawn(findings: &Findings, size: (usize, usize)) -> (u32, Vec<(usize, usize, [u8; 3])>) {
        let still = Still {
            width: size.0,
            height: size.1,
            scale: 1.0,
            rgb: vec![128; 3 * size.0 * size.1],
        };
        let (width, height, rgb) = picture(findings, 0, &still);
        assert_eq!(rgb.len(), 3 * (width * height) as usize);
        let pixels = rgb.chunks_exact(3).enumerate().map(|(i, pixel)| {
            let (x, y) = (i % width as usize, i / width as usize);
            (x, y, [pixel[0], pixel[1], pixel[2]])
        });
        (height, pixels.collect())
    }

    #[test]
    fn a_ring_goes_round_the_lamp_and_its_trace_is_below() {
        let findings = Findings {
            footage: samples::clip(),
            lamps: vec![samples::flashing()],
            judged: None,
            earlier: Vec::new(),
            photos: Vec::new(),
            language: Language::English,
        };
        let lamp = &findings.lamps[0];
        let (x, y) = (lamp.x, lamp.y);
        let size = (x as usize + 200, y as usize + 200);
        let (height, pixels) = drawn(&findings, size);
        let ink: Vec<f64> = pixels
            .iter()
            .filter(|(px, py, colour)| *py < size.1 && *px < size.0 && *colour == [INK.r(), INK.g(), INK.b()])
            .map(|(px, py, _)| (*px as f64 - x).hypot(*py as f64 - y))
            .filter(|distance| *distance < 3.0 * lamp.radius.max(6.0))
            .collect();
        assert!(ink.len() > 20, "a ring");
        assert!(
            ink.iter().all(|distance| *distance > lamp.radius),
            "the lamp itself is left to be seen"
        );
        let below = pixels
            .iter()
            .filter(|(_, py, colour)| *py > size.1 && colour[0] < 100)
            .count();
        assert!(below > 200 && height as usize > size.1 + PLOT_HEIGHT as usize);
    }
}
