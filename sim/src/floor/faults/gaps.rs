//! Gaps before furniture that are too narrow for what they are for.

use super::{Fault, Purpose, swings};
use crate::base::units::{INCH, TOLD};
use crate::evening::scenario::Serves;
use crate::floor::world::aisles::{Bound, Gap};
use crate::floor::world::{World, seats_along};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, PieceId, Side};

/// A side with less floor before it is not meant to be sat at, in meters (an occupied chair takes
/// 18 to 22 in: home-design course).
const CHAIR: f64 = 20.0 * INCH;

/// A gap measured from either side is the same but for so much, in meters.
const ROUNDING: f64 = 1e-6;

/// A gap that is for something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// The gap.
    pub gap: Gap,
    /// What it is for: of several purposes the one that takes the most floor.
    pub purpose: Purpose,
    /// The least width for that, in meters.
    pub least: f64,
}

impl Judged {
    /// Metres missing; below 0 where there is more than the least.
    fn missing(&self) -> f64 {
        self.least - self.gap.clear
    }
}

/// Each gap that is too narrow, once.
pub(super) fn faults(world: &World, gaps: &[Gap]) -> Vec<Fault> {
    let short = judged(world, gaps).into_iter().filter(|j| j.gap.clear < j.least - TOLD);
    short.map(|Judged { gap, purpose, least }| Fault::Gap { gap, purpose, least }).collect()
}

/// Each gap that is for something, once: from the piece that asks for more.
pub fn judged(world: &World, gaps: &[Gap]) -> Vec<Judged> {
    let mut kept: Vec<Judged> = vec![];
    for judged in gaps.iter().filter_map(|gap| judge(world, gaps, gap)) {
        match kept.iter().position(|k| is_twin(k, &judged)) {
            Some(i) if kept[i].missing() < judged.missing() - ROUNDING => kept[i] = judged,
            Some(_) => {}
            None => kept.push(judged),
        }
    }
    kept
}

/// Whether two are of one gap, seen from either piece, or of two ends of one piece for the same
/// purpose.
fn is_twin(
    Judged { gap: a, purpose: p, .. }: &Judged,
    Judged { gap: b, purpose: q, .. }: &Judged,
) -> bool {
    let facing = a.to == Bound::Piece(b.piece) && b.to == Bound::Piece(a.piece);
    facing || (a.piece == b.piece && a.to == b.to && (p == q || a.side == b.side))
}

fn judge(world: &World, all: &[Gap], gap: &Gap) -> Option<Judged> {
    let piece = &world.plan.furniture[gap.piece];
    let purpose = purposes(world, all, gap, piece)
        .into_iter()
        .max_by(|a, b| a.least(piece).total_cmp(&b.least(piece)))?;
    Some(Judged { gap: *gap, purpose, least: purpose.least(piece) })
}

/// What the floor before an edge has to be wide enough for.
fn purposes(world: &World, all: &[Gap], gap: &Gap, piece: &Furniture) -> Vec<Purpose> {
    let room = &world.plan.rooms[piece.room];
    let facing = match gap.to {
        Bound::Piece(other) => Some((other, &world.plan.furniture[other])),
        Bound::Wall | Bound::Leaf(_) => None,
    };
    let used = piece.sides.contains(&gap.side);
    // a run that turns a corner, or a range built into it: nobody stands between
    if piece.kind.is_worked_at()
        && facing.is_some_and(|(_, f)| {
            f.kind.is_worked_at()
                && !is_used_across(f, gap.out)
                && !(used && is_square(piece, f) && is_stood_at(piece, gap))
        })
    {
        return vec![];
    }
    if room.usage.is_private() {
        return match (piece.kind, gap.side) {
            (Kind::Toilet, Side::Front) => vec![Purpose::Toilet],
            (Kind::Toilet, Side::Ends) => vec![Purpose::BesideToilet],
            _ => vec![],
        };
    }
    let serves = is_served_at(world, gap);
    let used_there = |(other, f): (PieceId, &Furniture)| {
        f.kind.is_worked_at()
            || world.spots.iter().any(|s| s.name == world.plan.furniture[other].name)
    };
    let mut purposes = vec![];
    if is_sat_at(all, gap, piece) {
        purposes.push(if facing.is_some_and(used_there) {
            Purpose::PastDiners
        } else {
            Purpose::Chair
        });
    }
    if used && piece.kind.is_worked_at() && facing.is_some_and(|(_, f)| f.kind.is_worked_at()) {
        purposes.push(Purpose::Work);
    }
    if (used && piece.kind.is_worked_at()) || serves {
        purposes.push(Purpose::Walkway);
    }
    if used
        && matches!(piece.kind, Kind::Sofa | Kind::Armchair)
        && facing.is_some_and(|(_, f)| f.is_low())
    {
        purposes.push(Purpose::Knees);
    }
    if gap.side == Side::Front && swings::appliance_door(piece).is_some() {
        purposes.push(Purpose::ApplianceDoor);
    }
    purposes
}

/// Whether a piece is used from the side that faces against a direction.
fn is_used_across(f: &Furniture, out: (f64, f64)) -> bool {
    f.edges().iter().any(|e| e.out.0 * out.0 + e.out.1 * out.1 < -0.9)
}

/// Fronts are parallel or square within 3 degrees, as cosines.
const ASKEW: std::ops::Range<f64> = 0.05..0.9986;

/// Whether two pieces stand parallel or square to each other, so that a line straight out from one
/// measures the floor between.
pub fn is_square(a: &Furniture, b: &Furniture) -> bool {
    let along = a.facing.0 * b.facing.0 + a.facing.1 * b.facing.1;
    !ASKEW.contains(&along.abs())
}

/// Pieces nearer than this stand in one run, in meters.
pub const ONE_RUN: f64 = 3.0 * INCH;
/// A corner less deep than this is no floor to stand on, in meters (12 in).
const CORNER: f64 = 12.0 * INCH;
/// What juts less than this before one end of a side shuts nobody out, in meters (6 in).
const JUTS: f64 = 6.0 * INCH;

/// Whether somebody would stand in a gap before the side of a piece, to what is not used from there:
/// not in the corner of two runs, but before a range with the end of an island across.
fn is_stood_at(piece: &Furniture, gap: &Gap) -> bool {
    let length = piece.edges_of(gap.side).first().map_or(0.0, |e| e.length);
    let (dx, dy) = (gap.from.0 - piece.center.x, gap.from.1 - piece.center.y);
    let off_middle = (dy * gap.out.0 - dx * gap.out.1).abs();
    (gap.clear >= CORNER && off_middle <= length / 2.0 - JUTS)
        || (gap.clear >= ONE_RUN && off_middle <= length / 4.0)
}

/// Whether guests are served on the floor before an edge.
fn is_served_at(world: &World, gap: &Gap) -> bool {
    let piece = &world.plan.furniture[gap.piece];
    let spots = world.spots.iter().filter(|s| {
        s.name == piece.name
            && matches!(s.serves, Serves::Food | Serves::Drinks | Serves::Coats | Serves::Glasses)
    });
    spots.flat_map(|s| &s.positions).any(|p| lies_before(piece, gap, p.target.point.meters()))
}

/// Whether diners sit on the floor before an edge: sides are sat at in turn, front, back and ends,
/// until the seats are used up, whether or not guests at a spot take the floor on some evening.
fn is_sat_at(all: &[Gap], gap: &Gap, piece: &Furniture) -> bool {
    if !piece.kind.sat_at() || gap.clear < CHAIR {
        return false;
    }
    let open = all.iter().filter(|g| g.piece == gap.piece && g.clear >= CHAIR);
    let length = |side: Side| piece.edges_of(side).first().map_or(0.0, |e| e.length);
    let before: u32 = open.filter(|g| g.side < gap.side).map(|g| seats_along(length(g.side))).sum();
    before < piece.seats
}

/// Whether a point lies straight out from an edge.
fn lies_before(piece: &Furniture, gap: &Gap, (x, y): (f64, f64)) -> bool {
    let Some(edge) = piece.edges_of(gap.side).into_iter().find(|e| e.out == gap.out) else {
        return false;
    };
    let (dx, dy) = (x - edge.middle.x, y - edge.middle.y);
    let (out, along) = (dx * gap.out.0 + dy * gap.out.1, dy * gap.out.0 - dx * gap.out.1);
    out > 0.0 && along.abs() <= edge.length / 2.0
}
