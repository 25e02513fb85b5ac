//! A sheet of paper: the one place that talks to the drawing libraries. Everything is in picture
//! units, y downwards.

use crate::pictures::draw::paper::{LARGER, Paper, edged, stretched};
use crate::pictures::draw::style::{INK, WIDTH};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{FontStyle, register_font};
use sim::files::turns_text;
use std::sync::Once;

/// The typeface, embedded so that no font has to be installed (OFL, see assets/OFL.txt).
const REGULAR: &[u8] = include_bytes!("../../../assets/Lato-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../assets/Lato-Bold.ttf");
const FACE: &str = "Lato";
/// The drawing library works in whole numbers: so many to a picture unit.
const FINE: f64 = 10.0;
/// Pixels of a PNG to a picture unit.
const CRISP: f32 = 2.0;
/// The drawing library measures letters so many times larger than they are written, a hundredth less
/// to be safe.
const MEASURED: f64 = LARGER - 0.01;

/// Why a picture could not be made.
#[derive(Debug)]
pub struct Undrawn(pub String);

/// A point in picture units.
pub(crate) type At = (f64, f64);

/// One thing on a sheet.
enum Mark {
    Fill(Vec<At>, RGBColor, f64),
    Line(Vec<At>, RGBColor, f64),
    Text { at: At, text: String, ink: Ink, upright: bool },
    Raster { at: At, size: At, png: Vec<u8> },
}

/// Where a text hangs from its point.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Anchor {
    Left,
    Middle,
    Right,
}

/// How a text is written.
#[derive(Clone, Copy)]
pub(crate) struct Ink {
    pub size: f64,
    pub anchor: Anchor,
    pub color: RGBColor,
    pub bold: bool,
    /// A light edge, for text over a drawing.
    pub halo: bool,
}

/// A sheet being drawn.
pub(crate) struct Sheet {
    height: f64,
    marks: Vec<Mark>,
}

impl Sheet {
    pub(crate) fn new() -> Sheet {
        Sheet { height: 0.0, marks: vec![] }
    }

    /// Makes the sheet at least so high.
    pub(crate) fn reach(&mut self, y: f64) {
        self.height = self.height.max(y);
    }

    pub(crate) fn fill(&mut self, points: Vec<At>, color: RGBColor, opacity: f64) {
        self.marks.push(Mark::Fill(points, color, opacity));
    }

    pub(crate) fn line(&mut self, points: Vec<At>, color: RGBColor, width: f64) {
        self.marks.push(Mark::Line(points, color, width));
    }

    pub(crate) fn text(&mut self, at: At, text: &str, size: f64, anchor: Anchor) {
        self.write(at, text, Ink { size, anchor, color: INK, bold: false, halo: false });
    }

    pub(crate) fn write(&mut self, at: At, text: &str, ink: Ink) {
        self.marks.push(Mark::Text { at, text: text.to_string(), ink, upright: false });
    }

    /// Text that runs upwards.
    pub(crate) fn write_up(&mut self, at: At, text: &str, size: f64, color: RGBColor) {
        let ink = Ink { size, anchor: Anchor::Middle, color, bold: false, halo: true };
        self.marks.push(Mark::Text { at, text: text.to_string(), ink, upright: true });
    }

    /// A field of color as one image: rows from the top, red green blue alpha.
    pub(crate) fn raster(
        &mut self,
        at: At,
        size: At,
        (width, height): (usize, usize),
        rgba: &[u8],
    ) -> Result<(), Undrawn> {
        let mut png = vec![];
        let mut encoder = png::Encoder::new(&mut png, width as u32, height as u32);
        encoder.set_color(png::ColorType::Rgba);
        encoder.set_depth(png::BitDepth::Eight);
        let written = encoder.write_header().and_then(|mut w| w.write_image_data(rgba));
        written.map_err(|e| Undrawn(e.to_string()))?;
        self.marks.push(Mark::Raster { at, size, png });
        Ok(())
    }

    /// Writes text in lines no wider than `width`; returns the y below the last one.
    pub(crate) fn paragraph(
        &mut self,
        at: At,
        text: &str,
        size: f64,
        width: f64,
        color: RGBColor,
        bold: bool,
    ) -> f64 {
        let mut y = at.1;
        for line in wrap(text, size, width) {
            self.write(
                (at.0, y),
                &line,
                Ink { size, anchor: Anchor::Left, color, bold, halo: false },
            );
            y += size * 1.28;
        }
        self.reach(y);
        y
    }

    /// The finished picture as SVG.
    pub(crate) fn svg(&self) -> Result<String, Undrawn> {
        fonts();
        let size = ((WIDTH * FINE) as u32, (self.height * FINE).ceil() as u32);
        let shown = (WIDTH, (f64::from(size.1) / FINE).ceil());
        let mut document = svg::Document::new();
        {
            let area = Paper::new(&mut document, size, shown).into_drawing_area();
            for mark in &self.marks {
                draw(&area, mark)?;
            }
        }
        Ok(document.to_string())
    }
}

fn undrawn(e: impl std::fmt::Display) -> Undrawn {
    Undrawn(e.to_string())
}

fn fonts() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = register_font(FACE, FontStyle::Normal, REGULAR);
        let _ = register_font(FACE, FontStyle::Bold, BOLD);
    });
}

fn fine((x, y): At) -> (i32, i32) {
    ((x * FINE).round() as i32, (y * FINE).round() as i32)
}

type Area<'a> = DrawingArea<Paper<'a>, plotters::coord::Shift>;

fn draw(area: &Area, mark: &Mark) -> Result<(), Undrawn> {
    match mark {
        Mark::Fill(points, color, opacity) => area
            .draw(&Polygon::new(
                points.iter().map(|p| fine(*p)).collect::<Vec<_>>(),
                color.mix(*opacity).filled(),
            ))
            .map_err(undrawn),
        Mark::Line(points, color, width) => {
            let style = color.stroke_width((width * FINE).round().max(1.0) as u32);
            area.draw(&PathElement::new(points.iter().map(|p| fine(*p)).collect::<Vec<_>>(), style))
                .map_err(undrawn)
        }
        Mark::Raster { at, size, png } => {
            area.draw(&stretched(png, fine(*at), fine(*size))).map_err(undrawn)
        }
        Mark::Text { at, text, ink: Ink { size, anchor, color, bold, halo }, upright } => {
            let font = (FACE, size * FINE).into_font().style(if *bold {
                FontStyle::Bold
            } else {
                FontStyle::Normal
            });
            let font = if *upright { font.transform(FontTransform::Rotate270) } else { font };
            let h = match anchor {
                Anchor::Left => HPos::Left,
                Anchor::Middle => HPos::Center,
                Anchor::Right => HPos::Right,
            };
            let style = TextStyle::from(font).color(color).pos(Pos::new(h, VPos::Center));
            let (text, at) = (printable(text), fine(*at));
            if *halo {
                area.draw(&edged(&text, at, style)).map_err(undrawn)
            } else {
                area.draw(&Text::new(text, at, style)).map_err(undrawn)
            }
        }
    }
}

/// Without characters that no picture can hold: control characters, marks of direction, and the two
/// that XML forbids.
fn printable(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control() && !turns_text(*c) && !matches!(c, '\u{fffe}' | '\u{ffff}'))
        .collect()
}

/// A circle about a point.
pub(crate) fn circle((x, y): At, r: f64) -> Vec<At> {
    let point = |k: u32| {
        let (s, c) = (f64::from(k) / 40.0 * std::f64::consts::TAU).sin_cos();
        (x + r * c, y + r * s)
    };
    (0..=40).map(point).collect()
}

/// Width of a text in picture units.
pub(crate) fn text_width(text: &str, size: f64) -> f64 {
    fonts();
    let font = (FACE, size * FINE).into_font();
    font.box_size(&printable(text))
        .map_or(text.len() as f64 * size * 0.5, |(w, _)| f64::from(w) / FINE / MEASURED)
}

/// Breaks a text into lines no wider than `width`.
pub(crate) fn wrap(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for word in text.split_whitespace().flat_map(|w| broken(w, size, width)) {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// A word in pieces no wider than `width`.
fn broken(word: &str, size: f64, width: f64) -> Vec<String> {
    if text_width(word, size) <= width {
        return vec![word.to_string()];
    }
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        match pieces.last_mut() {
            Some(piece)
                if piece.is_empty() || text_width(&format!("{piece}{c}"), size) <= width =>
            {
                piece.push(c)
            }
            _ => pieces.push(c.to_string()),
        }
    }
    pieces
}

/// A text cut to a width, with an ellipsis.
pub(crate) fn fitted(text: &str, size: f64, width: f64) -> String {
    if text_width(text, size) <= width {
        return text.to_string();
    }
    let chars: Vec<char> = text.chars().collect();
    let longest = (0..chars.len()).rev().find(|&n| {
        text_width(&format!("{}…", chars[..n].iter().collect::<String>()), size) <= width
    });
    longest.map_or(String::new(), |n| format!("{}…", chars[..n].iter().collect::<String>()))
}

/// Whether our typeface lacks a letter: it has those of European languages and their punctuation.
fn is_foreign(c: char) -> bool {
    !matches!(c, '\u{0000}'..='\u{024f}' | '\u{0370}'..='\u{052f}' | '\u{1e00}'..='\u{1fff}' | '\u{2000}'..='\u{22ff}')
}

/// An SVG of ours as a crisp PNG. Letters that our typeface lacks are taken from the fonts of the
/// machine, if it has any with them.
pub fn png(svg: &str) -> Result<Vec<u8>, Undrawn> {
    use resvg::{tiny_skia, usvg};
    let mut options = usvg::Options::default();
    let faces = options.fontdb_mut();
    faces.load_font_data(REGULAR.to_vec());
    faces.load_font_data(BOLD.to_vec());
    faces.set_sans_serif_family(FACE);
    if svg.chars().any(is_foreign) {
        faces.load_system_fonts();
    }
    let tree = usvg::Tree::from_str(svg, &options).map_err(undrawn)?;
    let size = tree.size();
    let mut pixels = tiny_skia::Pixmap::new(
        (size.width() * CRISP).ceil() as u32,
        (size.height() * CRISP).ceil() as u32,
    )
    .ok_or(Undrawn("no room for the picture".into()))?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(CRISP, CRISP), &mut pixels.as_mut());
    pixels.encode_png().map_err(undrawn)
}
