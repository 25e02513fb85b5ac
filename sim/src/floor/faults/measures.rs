//! Measures of a plan that can't all be true, or that surprise.

use crate::base::units::QUARTER_INCH;
use crate::house::plan::{OpeningId, PieceId, Plan, Room, RoomId};

/// Measures that disagree. Lengths in meters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Disagreement {
    /// Two rooms face each other nearer or farther than the walls are thick.
    Walls {
        /// The rooms, the first of the file first.
        rooms: [RoomId; 2],
        /// What is between them.
        apart: f64,
    },
    /// An opening is wider clear than it is sold.
    Clear(OpeningId),
    /// A piece has gaps to two opposite walls that don't fit between them.
    Gaps(PieceId),
}

/// Rooms face each other at the plan's wall thickness, give or take this, in meters.
const TRUE_WALL: f64 = QUARTER_INCH;
/// Rooms that share less of a wall than this, in meters, don't face each other.
const FACING: f64 = 0.3;
/// Rooms farther apart than this, in meters, have something between them.
const NEIGHBORS: f64 = 0.4;

/// Everything that disagrees: walls, then openings, then pieces.
pub fn disagreements(plan: &Plan) -> Vec<Disagreement> {
    let wider = plan
        .openings
        .keys()
        .filter(|&o| plan.openings[o].clear > plan.openings[o].sold + 1e-6)
        .map(Disagreement::Clear);
    let off = plan
        .furniture
        .keys()
        .filter(|&f| plan.furniture[f].gap_off.is_some())
        .map(Disagreement::Gaps);
    walls(plan).into_iter().chain(wider).chain(off).collect()
}

fn walls(plan: &Plan) -> Vec<Disagreement> {
    let mut found = vec![];
    for (i, a) in plan.rooms.iter_enumerated() {
        for (j, b) in plan.rooms[..i].iter_enumerated() {
            let is_off = |apart: &f64| (apart - plan.walls).abs() > TRUE_WALL;
            let apart = apart(a, b).filter(|apart| *apart < NEIGHBORS).filter(is_off);
            found.extend(apart.map(|apart| Disagreement::Walls { rooms: [j, i], apart }));
        }
    }
    found
}

/// What is between two rooms that face each other.
fn apart(a: &Room, b: &Room) -> Option<f64> {
    let ([aw, as_, ae, an], [bw, bs, be, bn]) = (a.bounds(), b.bounds());
    let (across, along) = (ae.min(be) - aw.max(bw), an.min(bn) - as_.max(bs));
    if across < 0.0 && along > FACING {
        Some(-across)
    } else {
        (along < 0.0 && across > FACING).then_some(-along)
    }
}
