//! A piece moved by some inches, or turned by a quarter: what a designer tries first.

use crate::base::units::{INCH, System, Written};
use crate::evening::edit::Edits;
use crate::floor::world::{World, usual_pull};
use crate::house::edit::{HouseEdit, PieceEdit};
use crate::house::plan::said::Compass;
use crate::house::plan::{Edge, Furniture, PieceId, Plan, RoomId, Xy};
use crate::study::improve::change::{Change, Move, What};
use crate::study::where_to::sites::{KEPT, SLIVER, before_opening, meets};
use geo::{Area, BooleanOps, BoundingRect, Polygon, Translate};

/// Steps tried each way, in meters (6, 10 and 18 in: common practice).
const STEPS: [f64; 3] = [6.0 * INCH, 10.0 * INCH, 18.0 * INCH];
/// The same where plans are in meters.
const STEPS_METRIC: [f64; 3] = [0.15, 0.25, 0.45];
/// A piece this near to a wall stands against it, in meters (2 in): it moves along the wall only.
const AGAINST: f64 = 2.0 * INCH;

/// Every move of the pieces that two people could carry, in the rooms where guests are.
pub(super) fn moves(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let carried = |f: &Furniture| {
        f.kind.may_move()
            && usual_pull(plan.rooms[f.room].usage) > 0.0
            && world.is_reachable_room(f.room)
    };
    let pieces = plan.furniture.keys().filter(|&p| carried(&plan.furniture[p]));
    pieces.flat_map(|p| of_piece(plan, p)).collect()
}

fn steps(system: System) -> [f64; 3] {
    if system == System::Metres { STEPS_METRIC } else { STEPS }
}

fn of_piece(plan: &Plan, piece: PieceId) -> Vec<Change> {
    let f = &plan.furniture[piece];
    if has_company(plan, piece) {
        return vec![];
    }
    let ways = Compass::ALL.into_iter().filter(|way| !stands_against(plan, f, way.opposite()));
    let shifts =
        ways.flat_map(|way| steps(plan.system).map(|by| (way, by))).filter_map(|(way, by)| {
            let (dx, dy) = way.vector();
            let outline = f.outline.translate(dx * by, dy * by);
            (is_free(plan, piece, &outline) && leaves_floor(plan, piece, &outline))
                .then(|| moved(plan, piece, Move::By(way, by), &outline))
        });
    shifts.chain(turned(plan, piece)).collect()
}

/// A quarter turn, for a piece that stands against no wall.
fn turned(plan: &Plan, piece: PieceId) -> Option<Change> {
    let f = &plan.furniture[piece];
    let is_square = (f.width - f.depth).abs() < INCH;
    if is_square || Compass::ALL.into_iter().any(|way| stands_against(plan, f, way)) {
        return None;
    }
    let Xy { x: cx, y: cy } = f.center;
    let quarter = |c: &Xy| Xy { x: cx - (c.y - cy), y: cy + (c.x - cx) };
    let outline = Polygon::new(f.outline.exterior().coords().map(quarter).collect(), vec![]);
    (is_free(plan, piece, &outline) && leaves_floor(plan, piece, &outline))
        .then(|| moved(plan, piece, Move::Turned, &outline))
}

fn moved(plan: &Plan, piece: PieceId, how: Move, outline: &Polygon<f64>) -> Change {
    let f = &plan.furniture[piece];
    let [west, south, ..] = plan.rooms[f.room].bounds();
    let [x, y, ..] = bounds(outline);
    let quarter = if how == Move::Turned { 90.0 } else { 0.0 };
    let turn =
        to_a_hundredth(f.facing.0.atan2(-f.facing.1).to_degrees() + quarter).rem_euclid(360.0);
    // a side said by the compass would be another side after a turn
    let used = (how == Move::Turned && f.sides_said).then(|| PieceEdit::UseFrom(f.sides.clone()));
    let corner = [x - west, y - south].map(|meters| Written::new(meters, plan.system));
    let edits =
        [PieceEdit::At { room: None, corner }, PieceEdit::Turn(turn)].into_iter().chain(used);
    Change {
        what: What::Moved(f.name.clone(), how),
        edits: Edits::of_house(edits.map(|edit| HouseEdit::Piece(f.name.clone(), edit))),
    }
}

/// Finer than anybody turns a piece.
fn to_a_hundredth(degrees: f64) -> f64 {
    (degrees * 100.0).round() / 100.0
}

fn bounds(outline: &Polygon<f64>) -> [f64; 4] {
    outline.bounding_rect().map_or([0.0; 4], |r| [r.min().x, r.min().y, r.max().x, r.max().y])
}

/// The side of the box about a piece that faces a way.
fn edge(outline: &Polygon<f64>, way: Compass) -> Edge {
    let [w, s, e, n] = bounds(outline);
    let out = way.vector();
    let middle =
        Xy { x: (w + e) / 2.0 + out.0 * (e - w) / 2.0, y: (s + n) / 2.0 + out.1 * (n - s) / 2.0 };
    Edge { out, middle, length: if out.0 == 0.0 { e - w } else { n - s } }
}

/// Whether most of a side stands at a wall.
fn stands_against(plan: &Plan, f: &Furniture, way: Compass) -> bool {
    is_at_a_wall(plan, f.room, &edge(&f.outline, way))
}

fn is_at_a_wall(plan: &Plan, room: RoomId, side: &Edge) -> bool {
    let strip = side.floor_before(AGAINST);
    outside(plan, room, &strip) > strip.unsigned_area() / 2.0
}

/// How much of a zone is not in a room, in m2.
fn outside(plan: &Plan, room: RoomId, zone: &Polygon<f64>) -> f64 {
    zone.unsigned_area() - zone.intersection(&plan.rooms[room].outline).unsigned_area()
}

fn others(plan: &Plan, piece: PieceId) -> impl Iterator<Item = &Furniture> {
    let room = plan.furniture[piece].room;
    plan.furniture
        .iter_enumerated()
        .filter(move |(i, o)| *i != piece && o.room == room)
        .map(|(_, o)| o)
}

/// Whether another piece stands at this one, a chair at its table: they belong together.
fn has_company(plan: &Plan, piece: PieceId) -> bool {
    let f = &plan.furniture[piece];
    let zones: Vec<Polygon<f64>> =
        Compass::ALL.into_iter().map(|way| edge(&f.outline, way).floor_before(AGAINST)).collect();
    others(plan, piece).any(|o| {
        meets(&o.outline, &f.outline)
            || zones.iter().any(|z| z.intersection(&o.outline).unsigned_area() > 0.0)
    })
}

/// Whether a piece would stand on floor of its room, clear of others, and no farther in the way of
/// openings and of sides in use than it does.
fn is_free(plan: &Plan, piece: PieceId, outline: &Polygon<f64>) -> bool {
    let f = &plan.furniture[piece];
    let openings = plan.openings.iter().map(before_opening);
    let kept: Vec<Polygon<f64>> = openings
        .chain(others(plan, piece).flat_map(|o| o.edges()).map(|e| e.floor_before(KEPT)))
        .collect();
    let no_worse = |zone: &Polygon<f64>| {
        zone.intersection(outline).unsigned_area()
            <= zone.intersection(&f.outline).unsigned_area() + SLIVER
    };
    outside(plan, f.room, outline) < SLIVER
        && others(plan, piece).all(|o| !meets(&o.outline, outline))
        && kept.iter().all(no_worse)
}

/// Whether every side of a piece ends against a wall, or keeps as much floor to stand up and pass
/// as it has.
fn leaves_floor(plan: &Plan, piece: PieceId, outline: &Polygon<f64>) -> bool {
    let f = &plan.furniture[piece];
    let taken = |side: &Edge| {
        let zone = side.floor_before(KEPT);
        outside(plan, f.room, &zone)
            + others(plan, piece)
                .map(|o| zone.intersection(&o.outline).unsigned_area())
                .sum::<f64>()
    };
    Compass::ALL.into_iter().all(|way| {
        let side = edge(outline, way);
        is_at_a_wall(plan, f.room, &side) || taken(&side) <= taken(&edge(&f.outline, way)) + SLIVER
    })
}
