//! What a plan file said, before anything is placed or checked. Lengths in meters.

use super::made_of::{Core, Finish, MadeOf};
use super::{Side, Style, Use, catalog::Kind};
use crate::base::units::System;

/// A whole plan file.
#[derive(Clone, Debug)]
pub struct Said {
    /// `title`.
    pub title: String,
    /// `units`.
    pub system: System,
    /// `walls`.
    pub walls: f64,
    /// `levels`, from the lowest; none if the house has one.
    pub levels: Vec<String>,
    /// `[[room]]`.
    pub rooms: Vec<SaidRoom>,
    /// `[[opening]]`.
    pub openings: Vec<SaidOpening>,
    /// `[[furniture]]`.
    pub furniture: Vec<SaidFurniture>,
    /// `[[zone]]`.
    pub zones: Vec<SaidZone>,
    /// `[[window]]`.
    pub windows: Vec<SaidWindow>,
    /// `ceiling`, `finish`, `inside_walls`, `[parking]`, `[owns]`.
    pub made_of: MadeOf,
}

/// A window as said.
#[derive(Clone, Debug)]
pub struct SaidWindow {
    /// `room`.
    pub room: String,
    /// `wall`.
    pub wall: Compass,
    /// `width`.
    pub width: f64,
    /// Gap to that end of the wall.
    pub gap: Option<(Compass, f64)>,
}

/// A named part of a room as said.
#[derive(Clone, Debug)]
pub struct SaidZone {
    /// `name`.
    pub name: String,
    /// `room`.
    pub room: String,
    /// `at`: from the room's south-west corner, in meters; that corner if not said.
    pub at: (f64, f64),
    /// `size`: east-west and north-south, in meters.
    pub size: (f64, f64),
}

/// Clear floor as said.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// East-west and north-south size.
    Size(f64, f64),
    /// Corners in order, from the south-west corner of the room's own frame.
    Outline(Vec<(f64, f64)>),
}

/// A compass direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Compass {
    /// +y.
    North,
    /// -y.
    South,
    /// +x.
    East,
    /// -x.
    West,
}

impl Compass {
    /// All four.
    pub const ALL: [Compass; 4] = [Compass::North, Compass::South, Compass::East, Compass::West];

    /// The unit vector pointing there.
    pub fn vector(self) -> (f64, f64) {
        match self {
            Compass::North => (0.0, 1.0),
            Compass::South => (0.0, -1.0),
            Compass::East => (1.0, 0.0),
            Compass::West => (-1.0, 0.0),
        }
    }

    /// The other way.
    pub fn opposite(self) -> Self {
        match self {
            Compass::North => Compass::South,
            Compass::South => Compass::North,
            Compass::East => Compass::West,
            Compass::West => Compass::East,
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Compass::North => "north",
            Compass::South => "south",
            Compass::East => "east",
            Compass::West => "west",
        }
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Self> {
        Compass::ALL.into_iter().find(|c| c.word() == word)
    }

    /// Whether it runs north-south.
    pub fn is_vertical(self) -> bool {
        matches!(self, Compass::North | Compass::South)
    }
}

/// Where a room goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Put {
    /// Nothing said: only the first room may do that.
    Origin,
    /// South-west corner.
    At(f64, f64),
    /// On a side of another room.
    Beside {
        /// Which side of it.
        side: Compass,
        /// The other room's name.
        of: String,
        /// Aligned with this end of it.
        flush: Option<Compass>,
        /// Or this far from its south or west end (may be negative).
        offset: Option<f64>,
    },
}

/// A room as said.
#[derive(Clone, Debug)]
pub struct SaidRoom {
    /// `name`.
    pub name: String,
    /// `size` or `outline`.
    pub shape: Shape,
    /// `at`, `east_of` and so on.
    pub put: Put,
    /// `use`.
    pub usage: Option<Use>,
    /// `level`.
    pub level: Option<String>,
    /// `levels`: of stairs.
    pub levels: Option<[String; 2]>,
    /// `up`: of stairs.
    pub up: Option<Compass>,
    /// `rise`: of stairs.
    pub rise: Option<f64>,
    /// `ceiling`.
    pub ceiling: Option<f64>,
    /// `finish`.
    pub finish: Option<Finish>,
}

/// An opening as said.
#[derive(Clone, Debug)]
pub struct SaidOpening {
    /// `name`.
    pub name: Option<String>,
    /// `joins`.
    pub joins: [String; 2],
    /// `style`.
    pub style: Option<Style>,
    /// `width`.
    pub width: Option<f64>,
    /// `clear`.
    pub clear: Option<f64>,
    /// `wall`: of the first room named that is not `outside`.
    pub wall: Option<Compass>,
    /// `north`, `south`, `east`, `west`: gap from the opening to that end of the shared wall.
    pub gap: Option<(Compass, f64)>,
    /// `swing.into`.
    pub swing_into: Option<String>,
    /// `swing.hinge`.
    pub hinge: Option<Compass>,
    /// `opens`: the end of a sliding door that opens.
    pub opens: Option<Compass>,
    /// `steps`.
    pub steps: Option<u32>,
    /// `core`.
    pub core: Option<Core>,
}

/// A piece of furniture as said.
#[derive(Clone, Debug)]
pub struct SaidFurniture {
    /// `name`.
    pub name: Option<String>,
    /// `kind`.
    pub kind: Kind,
    /// `room`.
    pub room: String,
    /// `size`: along its front, front to back.
    pub size: Option<(f64, f64)>,
    /// `outline`: corners in order, from its own south-west corner.
    pub outline: Option<Vec<(f64, f64)>>,
    /// `height`.
    pub height: Option<f64>,
    /// `seats`.
    pub seats: Option<u32>,
    /// Gaps to walls.
    pub gaps: Vec<(Compass, f64)>,
    /// `at`: south-west corner of its footprint in the room.
    pub at: Option<(f64, f64)>,
    /// `turn` in degrees counter-clockwise from facing south.
    pub turn: Option<f64>,
    /// `use_from`.
    pub use_from: Option<Vec<SaidSide>>,
    /// `rod`.
    pub rod: Option<f64>,
    /// `glass_front`.
    pub glass_front: bool,
    /// `place_settings`.
    pub place_settings: Option<u32>,
}

/// A side of a piece as said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaidSide {
    /// `front`, `back`, `ends`.
    Own(Side),
    /// A compass word.
    Compass(Compass),
}
