//! Pictures: small data in, SVG out. One picture a file; style constants once.

mod capacity;
mod card;
mod difference;
mod heat;
mod house;
mod labels;
mod legend;
mod levels;
mod lines;
mod marks;
mod panels;
mod pieces;
mod places;
mod plan;
mod raster;
mod sheet;
mod stage;
mod style;

pub use capacity::capacity;
pub use card::{CardText, card};
pub use difference::difference;
pub use heat::{Field, LINES_SAY, Worst, bare, crowding, highest, holdups};
pub use lines::lines;
pub use panels::{HEADCOUNTS_SAY, Panel, evening, headcounts};
pub use places::places;
pub use plan::plan;
pub use sheet::{Undrawn, png};
pub use stage::{Stage, stage};

/// What stands at the foot of every picture, so that it can travel alone.
#[derive(Clone, Debug)]
pub struct Foot {
    /// Title of the scenario or plan.
    pub title: String,
    /// Trials, seed, program.
    pub run: String,
}

/// Where a picture is going to be seen.
#[derive(Clone, Copy, Debug)]
pub enum Mount<'a> {
    /// Alone, as a picture of record: with its title, what it is from, and the caution.
    Alone(&'a Foot),
    /// On a page, which says all that around it.
    Page,
}
