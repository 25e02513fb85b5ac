//! Gaps before furniture that are too narrow for what they are for.

use super::{Fault, Purpose, TOLD, swings};
use crate::base::units::INCH;
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

/// Each gap that is too narrow, once: from the piece that asks for more.
pub(super) fn faults(world: &World, gaps: &[Gap]) -> Vec<Fault> {
    let found: Vec<Fault> = gaps.iter().filter_map(|gap| fault(world, gaps, gap)).collect();
    let mut kept: Vec<Fault> = vec![];
    for fault in found {
        match kept.iter().position(|k| is_twin(k, &fault)) {
            Some(i) if missing(&kept[i]) < missing(&fault) - ROUNDING => kept[i] = fault,
            Some(_) => {}
            None => kept.push(fault),
        }
    }
    kept
}

fn missing(fault: &Fault) -> f64 {
    fault.missing().unwrap_or(0.0)
}

/// Whether two faults are of one gap, seen from either piece, or of two ends of one piece for the
/// same purpose.
fn is_twin(a: &Fault, b: &Fault) -> bool {
    let (Fault::Gap { gap: a, purpose: p, .. }, Fault::Gap { gap: b, purpose: q, .. }) = (a, b)
    else {
        return false;
    };
    let facing = a.to == Bound::Piece(b.piece) && b.to == Bound::Piece(a.piece);
    facing || (a.piece == b.piece && a.to == b.to && (p == q || a.side == b.side))
}

fn fault(world: &World, all: &[Gap], gap: &Gap) -> Option<Fault> {
    let piece = &world.plan.furniture[gap.piece];
    let least = |p: &Purpose| p.least(piece);
    let purpose = purposes(world, all, gap, piece)
        .into_iter()
        .max_by(|a, b| least(a).total_cmp(&least(b)))?;
    (gap.clear < purpose.least(piece) - TOLD).then(|| Fault::Gap {
        gap: *gap,
        purpose,
        least: purpose.least(piece),
    })
}

/// What the floor before an edge has to be wide enough for.
fn purposes(world: &World, all: &[Gap], gap: &Gap, piece: &Furniture) -> Vec<Purpose> {
    let room = &world.plan.rooms[piece.room];
    let facing = match gap.to {
        Bound::Piece(other) => Some((other, &world.plan.furniture[other])),
        Bound::Wall | Bound::Leaf(_) => None,
    };
    // a run that turns a corner, or a range built into it: nobody stands between
    if is_worked_at(piece)
        && facing.is_some_and(|(_, f)| is_worked_at(f) && !is_used_across(f, gap.out))
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
    let used = piece.sides.contains(&gap.side);
    let serves = is_served_at(world, gap);
    let used_there = |(other, f): (PieceId, &Furniture)| {
        is_worked_at(f) || world.spots.iter().any(|s| s.name == world.plan.furniture[other].name)
    };
    let mut purposes = vec![];
    if is_sat_at(all, gap, piece) {
        purposes.push(if facing.is_some_and(used_there) {
            Purpose::PastDiners
        } else {
            Purpose::Chair
        });
    }
    if used && is_worked_at(piece) && facing.is_some_and(|(_, f)| is_worked_at(f)) {
        purposes.push(Purpose::Work);
    }
    if (used && is_worked_at(piece)) || serves {
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

/// Whether somebody cooks or cleans at a piece.
fn is_worked_at(f: &Furniture) -> bool {
    matches!(
        f.kind,
        Kind::Counter | Kind::Island | Kind::Range | Kind::Sink | Kind::Fridge | Kind::Dishwasher
    )
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
