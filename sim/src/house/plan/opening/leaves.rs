//! Leaves of doors: which way they swing, and whether they stand in the way.

use super::{Opening, Style};
use crate::base::ids::TiSlice;
use crate::base::units::INCH;
use crate::house::plan::room::{Room, Use};
use crate::house::plan::said::{Compass, SaidOpening};
use crate::house::plan::{OUTSIDE, RoomId, Xy};
use crate::house::problem::{BadOpening, Problem};
use geo::Polygon;

/// A leaf on hinges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaf {
    /// Hinge, in meters.
    pub hinge: Xy,
    /// Its free edge when shut.
    pub shut: Xy,
    /// Its free edge when open at a right angle.
    pub open: Xy,
    /// Whether the open leaf stands in the way: said in the file, and not a closet's or a
    /// bathroom's, which are shut between uses.
    pub stands: bool,
}

/// Thickness of a leaf, in meters (1 3/4 in: common practice).
pub const LEAF_THICKNESS: f64 = 1.75 * INCH;
/// How far a lever stands off the face of a leaf, in meters (2 1/2 in: hardware catalogues, from
/// memory).
pub const LEVER_DEPTH: f64 = 2.5 * INCH;
/// From the free edge of a leaf, where its lever ends and begins, in meters: a backset of 2 3/8 in
/// with half a rose before it, and a lever that points to the hinge, 5 1/4 in with its rose
/// (hardware catalogues, from memory).
pub const LEVER: [f64; 2] = [6.5 * INCH, 1.25 * INCH];

impl Leaf {
    /// The floor it sweeps: a quarter round its hinge.
    pub fn swept(&self) -> Polygon<f64> {
        let from = |to: Xy| (to.x - self.hinge.x, to.y - self.hinge.y);
        let (shut, open) = (from(self.shut), from(self.open));
        let arc = (0..=12).map(|k| {
            let (sin, cos) = (f64::from(k) * 7.5).to_radians().sin_cos();
            Xy {
                x: self.hinge.x + shut.0 * cos + open.0 * sin,
                y: self.hinge.y + shut.1 * cos + open.1 * sin,
            }
        });
        Polygon::new(std::iter::once(self.hinge).chain(arc).collect(), vec![])
    }

    /// Its width, in meters.
    pub fn width(&self) -> f64 {
        (self.open.x - self.hinge.x).hypot(self.open.y - self.hinge.y)
    }
}

/// Leaves as said, or as they usually hang: out of closets, into the house, into the smaller room.
pub(super) fn leaves(
    i: usize,
    o: &SaidOpening,
    opening: &Opening,
    rooms: &TiSlice<RoomId, Option<Room>>,
    problems: &mut Vec<Problem>,
) -> Vec<Leaf> {
    let count = match opening.style {
        Style::Hinged => 1,
        Style::Double => 2,
        _ => {
            if o.swing_into.is_some() {
                let none = BadOpening::NoLeaf { style: opening.style.word() };
                problems.push(Problem::of_plan(format!("opening/{i}/swing"), none));
            }
            return vec![];
        }
    };
    let Some(outward) = swings_outward(i, o, opening, rooms, problems) else {
        return vec![];
    };
    let said_hinge = o.hinge.map(Compass::vector);
    let at_start = said_hinge.is_some_and(|v| opening.along.0 * v.0 + opening.along.1 * v.1 < 0.0)
        || said_hinge.is_none();
    let private = opening
        .rooms()
        .filter_map(|r| rooms[r].as_ref())
        .any(|r| r.usage == Use::Closet || r.usage.is_private());
    let face = (opening.depth / 2.0) * if outward { 1.0 } else { -1.0 };
    let width = opening.sold / f64::from(count);
    let leaf = |from_start: bool| {
        let sign = if from_start { -1.0 } else { 1.0 };
        let edge = sign * opening.sold / 2.0;
        let swing = if outward { face + width } else { face - width };
        Leaf {
            hinge: opening.point(edge, face),
            shut: opening.point(edge - sign * width, face),
            open: opening.point(edge, swing),
            stands: o.swing_into.is_some() && !private,
        }
    };
    if count == 2 { vec![leaf(true), leaf(false)] } else { vec![leaf(at_start)] }
}

fn swings_outward(
    i: usize,
    o: &SaidOpening,
    opening: &Opening,
    rooms: &TiSlice<RoomId, Option<Room>>,
    problems: &mut Vec<Problem>,
) -> Option<bool> {
    let area =
        |r: Option<RoomId>| r.and_then(|r| rooms[r].as_ref()).map_or(f64::INFINITY, Room::area);
    let is_closet = |r: Option<RoomId>| {
        r.and_then(|r| rooms[r].as_ref()).is_some_and(|r| r.usage == Use::Closet)
    };
    let [inner, other] = opening.sides();
    let Some(into) = &o.swing_into else {
        return Some(if is_closet(inner) || is_closet(other) {
            is_closet(inner)
        } else {
            area(other) < area(inner)
        });
    };
    let name =
        |r: Option<RoomId>| r.and_then(|r| rooms[r].as_ref()).map_or(OUTSIDE, |r| r.name.as_str());
    let sides = [name(inner), name(other)];
    match sides.iter().position(|s| s == into) {
        Some(side) => Some(side == 1),
        None => {
            let (into, rooms) = (into.clone(), sides.map(String::from));
            let elsewhere = BadOpening::SwingsElsewhere { into, rooms };
            problems.push(Problem::of_plan(format!("opening/{i}/swing"), elsewhere));
            None
        }
    }
}
