//! What stands around a spot of floor: what it is called by.

use super::{PinchId, PlaceId, PlaceOf, World};
use crate::house::plan::{Furniture, OpeningId, PieceId, RoomId, Use};
use geo::{Contains, Distance, Euclidean, Point as GeoPoint};

/// What a spot of floor is told by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surroundings {
    /// In an opening, or on the floor before it.
    Opening(OpeningId),
    /// On stairs: those of this index.
    Stairs(usize),
    /// Before the lower end of stairs.
    Foot(usize),
    /// Before their upper end.
    Head(usize),
    /// Between two pieces.
    Between(PieceId, PieceId),
    /// Beside a piece.
    Beside(PieceId),
    /// Where no piece is near: in this room.
    Room(RoomId),
}

/// A piece is near a spot up to so many meters from its middle (4 ft).
const NEAR: f64 = 1.22;
/// Two pieces face each other across a spot if the cosine between the ways to them is below this.
const ACROSS: f64 = -0.2;
/// Openings this wide or wider are no doorway but a room that goes on, in meters (6 ft).
const DOORWAY: f64 = 1.83;

impl World {
    /// What a spot of floor is told by.
    pub fn surroundings(&self, pinch: PinchId) -> Surroundings {
        let spot = self.pinches.get(pinch);
        if let Some(stairs) = self.at_stairs(spot.place, spot.at) {
            return stairs;
        }
        let doorway =
            self.places[spot.place].opening().filter(|&o| self.plan.openings[o].clear < DOORWAY);
        if let Some(o) = doorway {
            return Surroundings::Opening(o);
        }
        let pieces = self.pieces_near(spot.at);
        let across = pieces
            .iter()
            .skip(1)
            .find(|(_, way, _)| pieces[0].1.0 * way.0 + pieces[0].1.1 * way.1 < ACROSS);
        match (pieces.first(), across) {
            (Some(a), Some(b)) => Surroundings::Between(a.2, b.2),
            (Some(a), None) => Surroundings::Beside(a.2),
            (None, _) => match self.places[spot.place].of {
                PlaceOf::Room(r) => Surroundings::Room(r),
                PlaceOf::Opening(o) => Surroundings::Opening(o),
                PlaceOf::Outside => Surroundings::Opening(self.entry),
            },
        }
    }

    /// The zone a spot of floor lies in, if any.
    pub fn zone_of(&self, pinch: PinchId) -> Option<usize> {
        let at = self.pinches.get(pinch).at;
        self.plan.zones.iter().position(|z| z.has(at))
    }

    fn at_stairs(&self, place: PlaceId, at: (f64, f64)) -> Option<Surroundings> {
        if let Some(room) = self.room_at(at.0, at.1)
            && let Some(i) = self.plan.stairs.iter().position(|s| s.rooms.contains(&room))
        {
            return Some(Surroundings::Stairs(i));
        }
        let opening = self.places[place].opening()?;
        let joins = |room: RoomId| self.plan.openings[opening].joins(room);
        self.plan.stairs.iter().enumerate().find_map(|(i, s)| {
            if joins(s.rooms[0]) {
                Some(Surroundings::Foot(i))
            } else if joins(s.rooms[1]) {
                Some(Surroundings::Head(i))
            } else {
                None
            }
        })
    }

    /// Pieces near a point that can be seen from it, the nearest first: distance, the way to them,
    /// index. What stands in another is not told.
    fn pieces_near(&self, (x, y): (f64, f64)) -> Vec<(f64, (f64, f64), PieceId)> {
        let at = GeoPoint::new(x, y);
        let in_open = |f: &Furniture| self.plan.rooms[f.room].usage != Use::Closet;
        let part = |i: PieceId, f: &Furniture| {
            self.plan
                .furniture
                .iter_enumerated()
                .any(|(j, o)| j != i && o.outline.contains(&GeoPoint::from(f.center)))
        };
        let near =
            self.plan.furniture.iter_enumerated().filter(|(i, f)| in_open(f) && !part(*i, f));
        let mut found: Vec<(f64, (f64, f64), PieceId)> = near
            .filter_map(|(i, f)| {
                let distance = Euclidean.distance(&at, &f.outline);
                let (dx, dy) = self.way_to(f, (x, y));
                let length = dx.hypot(dy).max(1e-9);
                let seen = || self.grid.is_clear_line((x, y), (x + dx * 0.9, y + dy * 0.9), 0.0);
                (distance <= NEAR && seen()).then_some((distance, (dx / length, dy / length), i))
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
        found
    }

    /// The way from a point to the nearest point of a piece's outline.
    fn way_to(&self, f: &Furniture, (x, y): (f64, f64)) -> (f64, f64) {
        let ways = f.outline.exterior().lines().map(|l| {
            let (dx, dy) = (l.end.x - l.start.x, l.end.y - l.start.y);
            let share = (((x - l.start.x) * dx + (y - l.start.y) * dy)
                / (dx * dx + dy * dy).max(1e-12))
            .clamp(0.0, 1.0);
            (l.start.x + dx * share - x, l.start.y + dy * share - y)
        });
        ways.min_by(|a, b| a.0.hypot(a.1).total_cmp(&b.0.hypot(b.1))).unwrap_or((0.0, 0.0))
    }
}
