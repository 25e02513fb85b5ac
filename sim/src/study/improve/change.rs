//! What a change to a house or an evening is: what is done, what it takes, and the edits it makes.

use crate::base::units::INCH;
use crate::evening::edit::Edits;
use crate::evening::scenario::Serves;
use crate::house::plan::said::Compass;
use crate::study::where_to::sites::Site;

/// An opening or a hall is made wider by so much, in meters: 6 in, a step a carpenter and a
/// designer both think in (common practice).
pub(super) const WIDER: f64 = 6.0 * INCH;

/// What a change takes, the least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Takes {
    /// Asking, opening, carrying: nothing is bought.
    Arranging,
    /// A piece is bought or hired, or somebody is.
    Hiring,
    /// A carpenter.
    Building,
}

impl Takes {
    /// All.
    pub const ALL: [Takes; 3] = [Takes::Arranging, Takes::Hiring, Takes::Building];
}

/// How a piece is moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Move {
    /// By so many meters in a direction.
    By(Compass, f64),
    /// By a quarter turn about its middle.
    Turned,
}

/// What is changed.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A door that is shut is opened.
    Open(String),
    /// An opening is made wider: from and to, in meters.
    WiderOpening(String, f64, f64),
    /// A hall is made wider, from and to in meters.
    WiderHall {
        /// The hall.
        hall: String,
        /// Its width now, in meters.
        from: f64,
        /// Its new width.
        to: f64,
        /// Rooms that become narrower by as much.
        takes: Vec<String>,
        /// Pieces that have no floor any more.
        away: Vec<String>,
    },
    /// A second piece serves it as well.
    Second(Serves, Site),
    /// A new piece serves it instead.
    Instead(Serves, Site),
    /// A piece, or a room, that is there serves it instead of the first that does.
    On(Serves, String),
    /// A piece, or a room, that is there serves it as well.
    Also(Serves, String),
    /// So many folding chairs.
    Chairs(u32, Site),
    /// A door is hung another way: the room its leaf swings into, and the side of its hinge.
    Hung(String, String, Compass),
    /// A wider door: the widths sold, in meters.
    WiderDoor(String, f64, f64),
    /// A piece is used from both long sides.
    BothSides(String),
    /// A glass front: what is inside is in sight.
    InSight(String),
    /// The line runs toward this opening.
    LineTowards(String, String),
    /// A piece is taken away.
    Away(String),
    /// Food comes earlier by so many minutes.
    FoodEarlier(u32),
    /// Guests are asked to come over a longer time: minutes in which most come, before and after.
    Staggered(u32, u32),
    /// One more pours there.
    AnotherPourer(Serves),
    /// A piece stands a little elsewhere.
    Moved(String, Move),
}

impl What {
    /// What it takes.
    pub fn takes(&self) -> Takes {
        match self {
            What::WiderOpening(..)
            | What::WiderDoor(..)
            | What::WiderHall { .. }
            | What::Hung(..) => Takes::Building,
            What::Second(..)
            | What::Instead(..)
            | What::Chairs(..)
            | What::InSight(_)
            | What::AnotherPourer(_) => Takes::Hiring,
            _ => Takes::Arranging,
        }
    }
}

/// A change and its edits.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What is changed.
    pub what: What,
    /// What it edits.
    pub edits: Edits,
}

impl Change {
    /// Whether two changes are the same advice in other measures: the same piece moved, the same
    /// thing set up, the same line turned.
    pub fn is_like(&self, other: &Change) -> bool {
        match (&self.what, &other.what) {
            (What::Moved(a, _), What::Moved(b, _))
            | (What::LineTowards(a, _), What::LineTowards(b, _)) => a == b,
            (What::Second(a, _), What::Second(b, _))
            | (What::Instead(a, _), What::Instead(b, _)) => a == b,
            (What::On(a, _), What::On(b, _)) | (What::Also(a, _), What::Also(b, _)) => a == b,
            (What::Chairs(..), What::Chairs(..)) => true,
            (What::Hung(a, ..), What::Hung(b, ..)) => a == b,
            _ => false,
        }
    }
}
