//! Pictures: small data in, SVG out. One picture a file; style constants once.

/// Paper: lines, type, colors, labels that find floor of their own.
mod draw;
/// The house from above, and what is drawn on it.
mod house;
/// The house to watch guests in.
mod stage;
/// Graphs.
mod graphs;
/// The picture for a phone.
mod card;

pub use card::{CardText, card};
pub use draw::sheet::{Undrawn, png};
pub use graphs::capacity::capacity;
pub use graphs::waiting::lines;
pub use house::difference::difference;
pub use house::drawn::plan::plan;
pub use house::drawn::review::{MARKS_SAY, Numbered, review};
pub use house::drawn::sight::sight;
pub use house::heat::{Field, LINES_SAY, Worst, bare, crowding, highest, holdups};
pub use house::panels::{HEADCOUNTS_SAY, Panel, evening, headcounts};
pub use house::places::places;
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
