//! Colours and sizes of every picture, each written once. The look of a printed plan: thin dark
//! walls on warm paper.

use plotters::style::RGBColor;

/// Paper.
pub(crate) const PAPER: RGBColor = RGBColor(0xfb, 0xf9, 0xf4);
/// Clear floor indoors.
pub(crate) const FLOOR: RGBColor = RGBColor(0xff, 0xff, 0xff);
/// Ground outdoors.
pub(crate) const GROUND: RGBColor = RGBColor(0xee, 0xf1, 0xea);
/// Walls and main text.
pub(crate) const INK: RGBColor = RGBColor(0x26, 0x2b, 0x33);
/// Second text, furniture outlines.
pub(crate) const SOFT: RGBColor = RGBColor(0x6f, 0x6a, 0x60);
/// Outlines of furniture.
pub(crate) const PIECE_LINE: RGBColor = RGBColor(0x8a, 0x84, 0x78);
/// Contours of heat.
pub(crate) const CONTOUR: RGBColor = RGBColor(0x3a, 0x35, 0x2c);
/// Lines from names to what they name.
pub(crate) const LEADER: RGBColor = RGBColor(0x5a, 0x60, 0x6b);
/// Furniture.
pub(crate) const PIECE: RGBColor = RGBColor(0xf6, 0xf2, 0xe9);
/// Dimensions and marks.
pub(crate) const MARK: RGBColor = RGBColor(0x1d, 0x5f, 0x8a);
/// Marks of what is new: the hue of good places.
pub(crate) const NEW: RGBColor = RGBColor(0x1b, 0x6e, 0x43);
/// Bands of charts.
pub(crate) const BAND: RGBColor = RGBColor(0xbf, 0xd3, 0xe0);
/// Bounds a host accepts.
pub(crate) const BOUND: RGBColor = RGBColor(0xa3, 0x3b, 0x20);
/// Bars of waits.
pub(crate) const BAR: RGBColor = RGBColor(0xd9, 0x8f, 0x3e);

/// Width of every picture in its own units; text is sized to be read when this is 390 pixels wide,
/// as on a phone.
pub(crate) const WIDTH: f64 = 600.0;
/// Margin.
pub(crate) const MARGIN: f64 = 22.0;
/// Text sizes: the height of a line. Letters are written 1.24 times smaller, so that the smallest
/// are 11 px high on a phone.
pub(crate) const TITLE: f64 = 36.0;
/// See [`TITLE`].
pub(crate) const TEXT: f64 = 26.0;
/// See [`TITLE`].
pub(crate) const SMALL: f64 = 22.5;
/// Names of furniture, where there is little room.
pub(crate) const TINY: f64 = 21.1;
