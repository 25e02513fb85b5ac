//! Openings: how they are closed, how wide they are clear, and the floor in and before them.

mod leaves;
mod placing;

pub use leaves::{LEAF_THICKNESS, LEVER, LEVER_DEPTH, Leaf};
pub(super) use placing::{Among, check_leaves_and_edges, place};

use super::made_of::Core;
use super::room::{Use, polygon};
use super::{RoomId, Xy};
use crate::base::units::{FOOT, INCH};
use geo::Polygon;

/// How an opening is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Style {
    Cased,
    Hinged,
    Double,
    Sliding,
    Folding,
    Pocket,
}

impl Style {
    /// All styles.
    pub const ALL: [Style; 6] =
        [Style::Cased, Style::Hinged, Style::Double, Style::Sliding, Style::Folding, Style::Pocket];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        ["cased", "hinged", "double", "sliding", "folding", "pocket"][self as usize]
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Style> {
        Style::ALL.into_iter().find(|s| s.word() == word)
    }

    /// Clear width in meters from the width sold, with its source. Hinged: leaf less 2 in (hinge
    /// side and stop; ADA 404.2.3 as explained by hinge makers, 1.75 to 2.4 in). Double: both
    /// leaves less 3 in. Sliding: half less 3 in for stiles. Folding: less 7 in of stacked leaves
    /// (6 to 8). Pocket: less 1.5 in of handle stop (1 to 2). The last four are common practice.
    pub fn clear(self, sold: f64) -> (f64, &'static str) {
        let (clear, source) = match self {
            Style::Cased => (sold, "cased: the whole width"),
            Style::Hinged => (sold - 2.0 * INCH, "leaf less 2 in: hinge makers on ADA 404.2.3"),
            Style::Double => (sold - 3.0 * INCH, "both leaves less 3 in: common practice"),
            Style::Sliding => (sold / 2.0 - 3.0 * INCH, "half less 3 in: common practice"),
            Style::Folding => (sold - 7.0 * INCH, "less 7 in of stacked leaves: common practice"),
            Style::Pocket => (sold - 1.5 * INCH, "less 1.5 in of handle stop: common practice"),
        };
        (clear.max(0.0), source)
    }

    /// Usual width sold, in meters: 30 in inside, 36 in outside, wider for styles made of several
    /// leaves (common practice).
    fn usual_width(self, to_outside: bool) -> f64 {
        match self {
            Style::Double => 60.0 * INCH,
            Style::Sliding => 72.0 * INCH,
            Style::Folding => 96.0 * INCH,
            _ if to_outside => 36.0 * INCH,
            _ => 30.0 * INCH,
        }
    }
}

/// A door or cased opening.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Its name.
    pub name: String,
    /// Whether the file gave the name.
    pub named: bool,
    /// The room it is opened from.
    pub inner: RoomId,
    /// The room behind it; `None` for outside.
    pub outer: Option<RoomId>,
    /// How it is closed.
    pub style: Style,
    /// Width sold, in meters.
    pub sold: f64,
    /// Clear width, in meters, never rounded.
    pub clear: f64,
    /// Middle of the clear width, half way through the wall.
    pub center: Xy,
    /// From there along the wall to the middle of the frame, in meters: not 0 where one panel of a
    /// slider opens.
    pub frame: f64,
    /// Unit vector along the wall.
    pub along: (f64, f64),
    /// Unit vector through the wall, out of the first room.
    pub through: (f64, f64),
    /// Thickness of the wall there, in meters.
    pub depth: f64,
    /// Its leaves.
    pub leaves: Vec<Leaf>,
    /// Whether the file says how they swing.
    pub swing_said: bool,
    /// Steps up to it from outside, or between its rooms, if said.
    pub steps: Option<u32>,
    /// What its leaves are made of, if said.
    pub core: Option<Core>,
}

/// How far a passage reaches into the rooms so that floors join without a seam, in meters.
const SEAM: f64 = 0.01;

impl Opening {
    /// The room on either side, first the one it is opened from; `None` for outside.
    pub fn sides(&self) -> [Option<RoomId>; 2] {
        [Some(self.inner), self.outer]
    }

    /// The rooms it joins.
    pub fn rooms(&self) -> impl Iterator<Item = RoomId> + use<> {
        self.sides().into_iter().flatten()
    }

    /// Whether it is an opening of a room.
    pub fn joins(&self, room: RoomId) -> bool {
        self.rooms().any(|r| r == room)
    }

    /// Whether it leads out of the house's rooms.
    pub fn to_outside(&self) -> bool {
        self.outer.is_none()
    }

    /// A point `along` meters from the middle along the wall and `through` meters from it outwards.
    pub fn point(&self, along: f64, through: f64) -> Xy {
        Xy {
            x: self.center.x + self.along.0 * along + self.through.0 * through,
            y: self.center.y + self.along.1 * along + self.through.1 * through,
        }
    }

    /// Floor through the wall, `reach` meters beyond its faces on both sides, `wide` meters wide.
    pub fn box_of(&self, wide: f64, reach: f64) -> Polygon<f64> {
        let (w, d) = (wide / 2.0, self.depth / 2.0 + reach);
        let corners =
            [(-w, -d), (w, -d), (w, d), (-w, d)].map(|(a, t)| self.point(a, t)).map(|p| (p.x, p.y));
        polygon(&corners)
    }

    /// Along the wall from the middle of the clear width to the ends of the frame, in meters.
    pub fn frame_ends(&self) -> [f64; 2] {
        let half = self.sold.max(self.clear) / 2.0;
        [self.frame - half, self.frame + half]
    }

    /// Floor through the wall as wide as the frame, `reach` meters beyond its faces on both sides.
    pub fn frame_box(&self, reach: f64) -> Polygon<f64> {
        let ([from, to], d) = (self.frame_ends(), self.depth / 2.0 + reach);
        let corners = [(from, -d), (to, -d), (to, d), (from, d)]
            .map(|(a, t)| self.point(a, t))
            .map(|p| (p.x, p.y));
        polygon(&corners)
    }

    /// The passage through the wall: its true clear width.
    pub fn passage(&self) -> Polygon<f64> {
        self.box_of(self.clear, SEAM)
    }
}

/// The name of a way out that has none of its own.
pub fn door_name(room: &str) -> String {
    let kind = if Use::from_name(room) == Use::Outdoors { "gate" } else { "door" };
    format!("{room} {kind}")
}

impl Opening {
    /// Reach of an opening's own floor into each room, in meters (3 ft).
    pub const REACH: f64 = 3.0 * FOOT;
    /// An opening at least this wide joins two rooms into one: people stand in it and walk through
    /// it at a slant (5 ft). Common practice.
    pub const WIDE: f64 = 5.0 * FOOT;

    /// Whether it is so wide that it joins its rooms into one.
    pub fn is_wide(&self) -> bool {
        self.clear >= Opening::WIDE - 1e-6
    }
}
