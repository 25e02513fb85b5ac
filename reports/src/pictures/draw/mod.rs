//! Paper: shapes and text go in, SVG and pixels come out. Knows nothing of houses.

pub(crate) mod style;
mod paper;
pub(crate) mod sheet;
pub(crate) mod legend;
