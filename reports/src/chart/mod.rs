//! Pictures: small data in, SVG out. One picture a file; style constants once.

mod capacity;
mod difference;
mod heat;
mod house;
mod lines;
mod places;
mod raster;
mod sheet;
mod style;

pub use capacity::capacity;
pub use difference::difference;
pub use heat::{Field, crowding, highest, holdups};
pub use house::plan;
pub use lines::lines;
pub use places::places;
pub use sheet::{Undrawn, png};

/// What stands at the foot of every picture, so that it can travel alone.
#[derive(Clone, Debug)]
pub struct Foot {
    /// Title of the scenario or plan.
    pub title: String,
    /// Trials, seed, program.
    pub run: String,
}
