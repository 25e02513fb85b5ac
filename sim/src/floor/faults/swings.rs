//! Doors that hit something as they swing, and pieces that stand before openings.

use super::{Fault, Hit, Purpose};
use crate::base::units::{INCH, QUARTER_INCH};
use crate::floor::grid::is_way;
use crate::floor::world::World;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, Leaf, Opening, OpeningId, PieceId, Plan, Side, Use};
use geo::{Area, BooleanOps, BoundingRect, Distance, Euclidean, Point, Polygon, Rect};

/// Leaves may meet by so much, in meters: the tape is no truer.
const SLACK: f64 = QUARTER_INCH;
/// Half of a diner's chair, in meters (occupied chair 18 to 22 in: home-design course).
const HALF_A_CHAIR: f64 = 9.0 * INCH;
/// Fridges wider than this have two doors, in meters (36 in ones mostly do, 30 in ones mostly
/// don't: common practice).
const ONE_DOOR: f64 = 33.0 * INCH;
/// An oven's door let down, in meters, from memory.
const OVEN_DOOR: f64 = 20.0 * INCH;
/// An opening is free if so much of it can be walked through, in meters (a walkway); a narrower one
/// if nearly all of it can.
const FREE: f64 = Purpose::WALKWAY;
/// What an opening may lose to a piece beside it, in meters: a turned shoulder gets by (2 in).
const NIBBLED: f64 = 2.0 * INCH;
/// Floor before an opening that has to be free, in meters: between furniture people get about in 24
/// in (HUD 1973 in Time-Saver Standards).
const BEFORE: f64 = 24.0 * INCH;

/// Everything that is wrong at doors.
pub(super) fn faults(world: &World) -> Vec<Fault> {
    let plan = &world.plan;
    let swings = plan
        .openings
        .keys()
        .flat_map(|o| plan.openings[o].leaves.iter().flat_map(move |leaf| hits(world, o, leaf)));
    let mut found: Vec<Fault> = vec![];
    for fault in swings {
        match found.iter_mut().find(|f| is_same(f, &fault)) {
            Some(known) if known.missing() < fault.missing() => *known = fault,
            Some(_) => {}
            None => found.push(fault),
        }
    }
    found.extend(
        plan.openings
            .keys()
            .filter(|&o| is_way(plan, o, &world.open))
            .filter_map(|o| blocked(plan, o)),
    );
    found
}

/// Whether two swings are of the same two things.
fn is_same(a: &Fault, b: &Fault) -> bool {
    match (a, b) {
        (
            Fault::Swing { opening: a, hits: Hit::Leaf(b), .. },
            Fault::Swing { opening: c, hits: Hit::Leaf(d), .. },
        ) => (a, b) == (c, d) || (a, b) == (d, c),
        (Fault::Swing { opening: a, hits: h, .. }, Fault::Swing { opening: b, hits: i, .. }) => {
            a == b && h == i
        }
        _ => false,
    }
}

/// How deep the opened door of an appliance is, in meters.
pub(super) fn appliance_door(f: &Furniture) -> Option<f64> {
    match f.kind {
        Kind::Fridge if f.width > ONE_DOOR => Some(f.width / 2.0),
        Kind::Fridge | Kind::Dishwasher => Some(f.width),
        Kind::Range => Some(OVEN_DOOR),
        _ => None,
    }
}

/// What a leaf hits.
fn hits(world: &World, opening: OpeningId, leaf: &Leaf) -> Vec<Fault> {
    let plan = &world.plan;
    let swept = leaf.swept();
    let said = plan.openings[opening].swing_said;
    let fault =
        |hits: Hit, by: f64| (by > SLACK).then_some(Fault::Swing { opening, hits, by, said });
    let others = plan.openings.iter_enumerated().filter(|(o, _)| *o != opening);
    let leaves = others.flat_map(|(o, other)| other.leaves.iter().map(move |l| (Hit::Leaf(o), l)));
    let leaves = leaves.map(|(hit, other)| {
        let theirs = other.swept();
        (hit, reach_into(other, &theirs, &swept).min(reach_into(leaf, &swept, &theirs)))
    });
    let pieces =
        plan.furniture.iter_enumerated().filter(|(_, f)| plan.rooms[f.room].usage != Use::Closet);
    let bodies = pieces.clone().map(|(i, f)| (Hit::Piece(i), reach_into(leaf, &swept, &f.outline)));
    let doors = pieces
        .filter_map(|(i, f)| Some((Hit::Appliance(i), reach_into(leaf, &swept, &opened(f)?))));
    let seats = world.seats.iter().filter(|s| plan.furniture[s.piece].kind.sat_at()).map(|s| {
        let (x, y) = s.approach.point.meters();
        (Hit::Seat(s.piece), reach_into(leaf, &swept, &square((x, y), HALF_A_CHAIR)))
    });
    let mut all: Vec<Fault> = leaves
        .chain(bodies)
        .chain(doors)
        .chain(seats)
        .filter_map(|(hit, by)| fault(hit, by))
        .collect();
    // a leaf that hits a piece hits its door and its chairs as well
    let hit_pieces: Vec<PieceId> =
        all.iter()
            .filter_map(|f| {
                if let Fault::Swing { hits: Hit::Piece(p), .. } = f { Some(*p) } else { None }
            })
            .collect();
    all.retain(|f| !matches!(f, Fault::Swing { hits: Hit::Seat(p) | Hit::Appliance(p), .. } if hit_pieces.contains(p)));
    all
}

/// How far a leaf reaches into something it sweeps over, in meters; 0 if it does not.
fn reach_into(leaf: &Leaf, swept: &Polygon<f64>, what: &Polygon<f64>) -> f64 {
    let near = swept
        .bounding_rect()
        .zip(what.bounding_rect())
        .is_some_and(|(a, b)| geo::Intersects::intersects(&a, &b));
    let shared = if near { swept.intersection(what) } else { geo::MultiPolygon(vec![]) };
    // a door that just touches its neighbor along an edge shares no floor with it
    if shared.unsigned_area() < 1e-4 {
        0.0
    } else {
        (leaf.width() - Euclidean.distance(&Point::from(leaf.hinge), &shared)).max(0.0)
    }
}

/// The floor the opened door of an appliance takes before its front.
fn opened(f: &Furniture) -> Option<Polygon<f64>> {
    let deep = appliance_door(f)?;
    f.edges_of(Side::Front).first().map(|edge| edge.floor_before(deep))
}

fn square((x, y): (f64, f64), half: f64) -> Polygon<f64> {
    Rect::new((x - half, y - half), (x + half, y + half)).to_polygon()
}

/// The piece that stands nearest before an opening, if too little of its clear width is left free.
fn blocked(plan: &Plan, opening: OpeningId) -> Option<Fault> {
    let o = &plan.openings[opening];
    let strip = o.box_of(o.clear, BEFORE);
    let sides =
        [-1.0, 1.0].into_iter().zip(o.sides()).filter_map(|(sign, room)| Some((sign, room?)));
    let sides = sides.filter(|(_, room)| !plan.rooms[*room].usage.is_private());
    let faults = sides.filter_map(|(sign, room)| {
        let before: Vec<(PieceId, [f64; 2], f64)> = plan
            .furniture
            .iter_enumerated()
            .filter(|(_, f)| f.room == room)
            .filter_map(|(i, f)| {
                let (span, through) = spans(o, &f.outline.intersection(&strip))?;
                let near = (through[0].abs().min(through[1].abs()) - o.depth / 2.0).max(0.0);
                (sign * (through[0] + through[1]) > 0.0).then_some((i, span, near))
            })
            .collect();
        let free = widest_free(o.clear, &before);
        let (piece, _, before) = before.into_iter().min_by(|a, b| a.2.total_cmp(&b.2))?;
        (free < o.clear.min(FREE) - NIBBLED).then_some(Fault::Blocked {
            opening,
            piece,
            before,
            free,
        })
    });
    faults.min_by(|a, b| free_of(a).total_cmp(&free_of(b)))
}

fn free_of(fault: &Fault) -> f64 {
    if let Fault::Blocked { free, .. } = fault { *free } else { f64::INFINITY }
}

/// What some floor takes along an opening's wall and through it, from its middle, in meters.
fn spans(o: &Opening, floor: &geo::MultiPolygon<f64>) -> Option<([f64; 2], [f64; 2])> {
    use geo::CoordsIter;
    if floor.unsigned_area() < 1e-4 {
        return None;
    }
    let of = |v: (f64, f64)| {
        let at = floor.coords_iter().map(|c| (c.x - o.center.x) * v.0 + (c.y - o.center.y) * v.1);
        at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], a| [low.min(a), high.max(a)])
    };
    Some((of(o.along), of(o.through)))
}

/// The widest part of a clear width that nothing stands before.
fn widest_free(clear: f64, before: &[(PieceId, [f64; 2], f64)]) -> f64 {
    let mut spans: Vec<[f64; 2]> = before.iter().map(|b| b.1).collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut free, mut from) = (0.0f64, -clear / 2.0);
    for [low, high] in spans {
        free = free.max(low - from);
        from = from.max(high);
    }
    free.max(clear / 2.0 - from)
}
