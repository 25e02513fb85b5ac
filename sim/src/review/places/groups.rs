//! Groups of seats in which people talk: seats of one room that are near enough to one another.

use crate::base::units::FOOT;
use crate::floor::world::World;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{PieceId, RoomId};
use geo::{ConvexHull, MultiPoint, Point, Polygon};

/// Seats among which people talk.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The room.
    pub room: RoomId,
    /// Its pieces.
    pub pieces: Vec<PieceId>,
    /// Where heads are, in meters.
    pub heads: Vec<(f64, f64)>,
}

/// People talk in a circle of 10 ft (HUD 1973 in Time-Saver Standards), in meters.
pub const CIRCLE: f64 = 10.0 * FOOT;
/// Heads up to so far apart belong to one group, in meters: 8 to 12 ft (home-design course).
pub const TOGETHER: f64 = 12.0 * FOOT;

impl Group {
    /// The farthest two heads are apart, in meters.
    pub fn across(&self) -> f64 {
        let pairs = self.heads.iter().flat_map(|a| self.heads.iter().map(move |b| (a, b)));
        pairs.map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1)).fold(0.0, f64::max)
    }

    /// The floor among its pieces.
    pub fn floor(&self, world: &World) -> Polygon<f64> {
        let corners = |p: &PieceId| world.plan.furniture[*p].outline.exterior().points();
        let points: Vec<Point<f64>> = self.pieces.iter().flat_map(corners).collect();
        MultiPoint(points).convex_hull()
    }

    /// The middle of the heads, in meters.
    pub fn middle(&self) -> (f64, f64) {
        let n = self.heads.len().max(1) as f64;
        let (x, y) = self.heads.iter().fold((0.0, 0.0), |s, h| (s.0 + h.0, s.1 + h.1));
        (x / n, y / n)
    }
}

/// Whether somebody sits on a piece to talk, not at it to eat.
pub fn is_talked_from(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Sofa
            | Kind::Armchair
            | Kind::Chair
            | Kind::Bench
            | Kind::Hearth
            | Kind::Ottoman
            | Kind::Stool
    )
}

/// Groups of two seats and more, the largest first: a piece joins the first group of its room in
/// which it is near enough to every head.
pub fn groups(world: &World) -> Vec<Group> {
    let mut found: Vec<Group> = vec![];
    for (piece, f) in world.plan.furniture.iter_enumerated() {
        let seats = world.seats.iter().filter(|s| s.piece == piece);
        let heads: Vec<(f64, f64)> = seats.map(|s| s.on.meters()).collect();
        if heads.is_empty() || !is_talked_from(f.kind) {
            continue;
        }
        let near = |g: &Group| {
            g.room == f.room
                && g.heads
                    .iter()
                    .all(|a| heads.iter().all(|b| (a.0 - b.0).hypot(a.1 - b.1) <= TOGETHER))
        };
        match found.iter_mut().find(|g| near(g)) {
            Some(group) => {
                group.pieces.push(piece);
                group.heads.extend(heads);
            }
            None => found.push(Group { room: f.room, pieces: vec![piece], heads }),
        }
    }
    found.retain(|g| g.heads.len() >= 2);
    found.sort_by_key(|g| std::cmp::Reverse(g.heads.len()));
    found
}
