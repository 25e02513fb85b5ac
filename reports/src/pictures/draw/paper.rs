//! What the drawing library draws on: an SVG document, with what that library knows nothing of,
//! images and letters with a light edge.

use crate::pictures::draw::style::PAPER;
use base64::Engine;
use plotters::element::{Drawable, PointCollection};
use plotters::style::RGBColor;
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle, FontTransform,
};
use std::convert::Infallible;
use svg::Document;
use svg::node::Node;
use svg::node::element::{Image, Polygon, Polyline, Rectangle, Text as Words};

/// The drawing library measures letters this many times larger than it wants them written (its own
/// figure).
pub(super) const LARGER: f64 = 1.24;
/// Width of the light edge round letters, in thousandths of their document.
const EDGE: u32 = 50;
/// The families letters are written in: ours, and what every machine has.
const FAMILIES: &str = "Lato, 'Helvetica Neue', Arial, sans-serif";

/// A document being drawn, of a size in its own units.
pub(super) struct Paper<'a> {
    size: (u32, u32),
    document: &'a mut Document,
}

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

impl<'a> Paper<'a> {
    /// Begins a document on empty paper, to be shown at a size in picture units.
    pub(super) fn new(document: &'a mut Document, size: (u32, u32), shown: (f64, f64)) -> Self {
        *document = Document::new()
            .set("role", "img")
            .set("width", shown.0)
            .set("height", shown.1)
            .set("viewBox", (0, 0, size.0, size.1));
        let mut paper = Paper { size, document };
        paper.put(
            Rectangle::new().set("width", size.0).set("height", size.1).set("fill", hex(PAPER)),
        );
        paper
    }

    fn put(&mut self, node: impl Node) {
        self.document.append(node);
    }
}

/// A color as SVG writes it.
fn hex(RGBColor(r, g, b): RGBColor) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}

fn ink(color: BackendColor) -> String {
    let (r, g, b) = color.rgb;
    hex(RGBColor(r, g, b))
}

fn points(path: impl IntoIterator<Item = BackendCoord>) -> String {
    path.into_iter().map(|(x, y)| format!("{x},{y}")).collect::<Vec<_>>().join(" ")
}

impl DrawingBackend for Paper<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    /// Nothing is drawn dot by dot: lines, outlines and circles are drawn as paths.
    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Drawn {
        debug_assert!(false, "paper takes polygons, paths and letters");
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.put(
            Polyline::new()
                .set("points", points(path))
                .set("fill", "none")
                .set("stroke", ink(style.color()))
                .set("stroke-width", style.stroke_width())
                .set("opacity", style.color().alpha),
        );
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.put(
            Polygon::new()
                .set("points", points(path))
                .set("fill", ink(style.color()))
                .set("opacity", style.color().alpha),
        );
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, at: BackendCoord) -> Drawn {
        self.put(words(text, style, at));
        Ok(())
    }
}

fn words<S: BackendTextStyle>(text: &str, style: &S, (x, y): BackendCoord) -> Words {
    let anchor = match style.anchor().h_pos {
        HPos::Left => "start",
        HPos::Right => "end",
        HPos::Center => "middle",
    };
    let lower = match style.anchor().v_pos {
        VPos::Top => "0.76em",
        VPos::Center => "0.5ex",
        VPos::Bottom => "-0.5ex",
    };
    let words = Words::new(text)
        .set("x", x)
        .set("y", y)
        .set("dy", lower)
        .set("text-anchor", anchor)
        .set("font-family", FAMILIES)
        .set("font-size", style.size() / LARGER)
        .set("fill", ink(style.color()));
    let words = match style.style() {
        FontStyle::Bold => words.set("font-weight", "bold"),
        _ => words,
    };
    match style.transform() {
        FontTransform::Rotate270 => words.set("transform", format!("rotate(270, {x}, {y})")),
        _ => words,
    }
}

/// A node of our own at a point of what is drawn, made when it is known where that is.
pub(super) struct Placed<F> {
    at: BackendCoord,
    node: F,
}

/// Letters with a light edge, in some style.
pub(super) fn edged(
    text: &str,
    at: BackendCoord,
    style: impl BackendTextStyle,
) -> Placed<impl Fn(BackendCoord) -> Words> {
    let node = move |at| {
        words(text, &style, at)
            .set("paint-order", "stroke")
            .set("stroke", "#fffdf8")
            .set("stroke-width", EDGE)
            .set("stroke-linejoin", "round")
    };
    Placed { at, node }
}

/// A PNG file stretched over a rectangle.
pub(super) fn stretched(
    png: &[u8],
    at: BackendCoord,
    (width, height): (i32, i32),
) -> Placed<impl Fn(BackendCoord) -> Image> {
    let data = base64::engine::general_purpose::STANDARD.encode(png);
    let node = move |(x, y)| {
        Image::new()
            .set("x", x)
            .set("y", y)
            .set("width", width)
            .set("height", height)
            .set("preserveAspectRatio", "none")
            .set("href", format!("data:image/png;base64,{data}"))
    };
    Placed { at, node }
}

impl<'a, F> PointCollection<'a, BackendCoord> for &'a Placed<F> {
    type Point = &'a BackendCoord;
    type IntoIter = std::iter::Once<&'a BackendCoord>;

    fn point_iter(self) -> Self::IntoIter {
        std::iter::once(&self.at)
    }
}

impl<F: Fn(BackendCoord) -> N, N: Node> Drawable<Paper<'_>> for Placed<F> {
    fn draw<I: Iterator<Item = BackendCoord>>(
        &self,
        at: I,
        paper: &mut Paper,
        _: (u32, u32),
    ) -> Drawn {
        at.for_each(|at| paper.put((self.node)(at)));
        Ok(())
    }
}
