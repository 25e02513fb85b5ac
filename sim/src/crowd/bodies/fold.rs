//! The two copies of stairs, as bodies on the floor see them.

use super::FARTHEST;
use crate::base::units::Point;
use crate::house::plan::{Plan, Stairs};

/// The two copies of stairs: the same floor on two levels of the sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fold {
    /// South-west and north-east corner of the lower one.
    low: [Point; 2],
    /// From the lower one to the upper one.
    by: Point,
    /// Which way is up.
    up: (i32, i32),
}

impl Fold {
    pub(super) fn new(plan: &Plan, stairs: &Stairs) -> Fold {
        let [w, s, e, n] = plan.rooms[stairs.rooms[0]].bounds();
        let (x, y) = stairs.up.vector();
        let low = [Point::from_meters(w, s), Point::from_meters(e, n)];
        Fold { low, by: Point::from_meters(0.0, plan.across(stairs)), up: (x as i32, y as i32) }
    }

    /// Which copy a point is on: the lower one, the upper one, or none.
    pub(super) fn side(&self, at: Point) -> Option<Side> {
        let on = |p: Point| {
            p.x >= self.low[0].x
                && p.y >= self.low[0].y
                && p.x <= self.low[1].x
                && p.y <= self.low[1].y
        };
        if on(at) {
            Some(Side::Lower)
        } else if on(at.minus(self.by)) {
            Some(Side::Upper)
        } else {
            None
        }
    }

    /// The copy of the half of the stairs that a point of one of them is in.
    pub(super) fn half(&self, at: Point, side: Side) -> Side {
        let at = if side == Side::Upper { at.minus(self.by) } else { at };
        let twice = Point {
            x: 2 * at.x - self.low[0].x - self.low[1].x,
            y: 2 * at.y - self.low[0].y - self.low[1].y,
        };
        if twice.x * self.up.0 + twice.y * self.up.1 > 0 { Side::Upper } else { Side::Lower }
    }

    /// From a copy to the other one.
    pub(super) fn across(&self, from: Side) -> Point {
        if from == Side::Lower { self.by } else { Point { x: -self.by.x, y: -self.by.y } }
    }

    /// Whether a point is so near a copy that it matters who is on it.
    pub(super) fn is_near(&self, at: Point, side: Side) -> bool {
        let at = if side == Side::Upper { at.minus(self.by) } else { at };
        let off = |v: i32, low: i32, high: i32| v >= low - FARTHEST && v <= high + FARTHEST;
        off(at.x, self.low[0].x, self.low[1].x) && off(at.y, self.low[0].y, self.low[1].y)
    }
}

/// One of the copies of stairs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Lower,
    Upper,
}
