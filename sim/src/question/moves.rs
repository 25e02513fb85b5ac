//! A piece moved by some inches, or turned by a quarter: what a designer tries first.

use super::placing::may_move;
use super::sites::{KEPT, before, before_opening, length, meets};
use crate::plan::said::Compass;
use crate::plan::{Edge, Furniture, Plan, Xy};
use crate::read::quoted;
use crate::units::INCH;
use crate::world::{World, usual_pull};
use geo::{Area, BooleanOps, BoundingRect, Polygon, Translate};

/// Steps tried each way, in metres: a hand, a chair's depth short, a passage's worth (6, 10 and 18 in: common practice).
const STEPS: [f64; 3] = [6.0 * INCH, 10.0 * INCH, 18.0 * INCH];
/// A piece this near to a wall stands against it, in metres (2 in): it moves along the wall only.
const AGAINST: f64 = 2.0 * INCH;

/// How a piece is moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Move {
    /// By so many metres in a direction.
    By(Compass, f64),
    /// By a quarter turn about its middle.
    Turned,
}

/// A piece and a move of it that leaves its floor free, with the text of an option.
pub struct Moved {
    /// The piece.
    pub piece: usize,
    /// How.
    pub how: Move,
    /// What is written under `[[option]]` for it.
    pub lines: String,
}

/// Every move of the pieces that two people could carry, in the rooms where guests are.
pub fn moves(world: &World) -> Vec<Moved> {
    let plan = &world.plan;
    let carried = |f: &Furniture| may_move(f.kind) && usual_pull(plan.rooms[f.room].usage) > 0.0 && world.is_reachable_room(f.room);
    let pieces = (0..plan.furniture.len()).filter(|&p| carried(&plan.furniture[p]));
    pieces.flat_map(|p| of_piece(plan, p)).collect()
}

fn of_piece(plan: &Plan, piece: usize) -> Vec<Moved> {
    let f = &plan.furniture[piece];
    let ways = Compass::ALL.into_iter().filter(|way| !stands_against(plan, f, way.opposite()));
    let shifts = ways.flat_map(|way| STEPS.map(|by| (way, by))).filter_map(|(way, by)| {
        let (dx, dy) = way.vector();
        let outline = f.outline.translate(dx * by, dy * by);
        (is_free(plan, piece, &outline) && leaves_floor(plan, piece, &outline, way)).then(|| moved(plan, piece, Move::By(way, by), &outline))
    });
    shifts.chain(turned(plan, piece)).collect()
}

/// A quarter turn, for a piece that stands against no wall.
fn turned(plan: &Plan, piece: usize) -> Option<Moved> {
    let f = &plan.furniture[piece];
    let is_square = (f.width - f.depth).abs() < INCH;
    if is_square || Compass::ALL.into_iter().any(|way| stands_against(plan, f, way)) {
        return None;
    }
    let Xy { x: cx, y: cy } = f.centre;
    let quarter = |c: &Xy| Xy { x: cx - (c.y - cy), y: cy + (c.x - cx) };
    let outline = Polygon::new(f.outline.exterior().coords().map(quarter).collect(), vec![]);
    let leaves = Compass::ALL.into_iter().all(|way| leaves_floor(plan, piece, &outline, way));
    (is_free(plan, piece, &outline) && leaves).then(|| moved(plan, piece, Move::Turned, &outline))
}

fn moved(plan: &Plan, piece: usize, how: Move, outline: &Polygon<f64>) -> Moved {
    let f = &plan.furniture[piece];
    let [west, south, ..] = plan.rooms[f.room].bounds();
    let [x, y, ..] = bounds(outline);
    let quarter = if how == Move::Turned { 90.0 } else { 0.0 };
    let turn = to_a_hundredth(f.facing.0.atan2(-f.facing.1).to_degrees() + quarter).rem_euclid(360.0);
    let put = format!("at = [{}, {}], turn = {turn}", length(x - west, plan.system), length(y - south, plan.system));
    Moved { piece, how, lines: format!("change = {{ {} = {{ {put} }} }}\n", quoted(&f.name)) }
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
    let middle = Xy { x: (w + e) / 2.0 + out.0 * (e - w) / 2.0, y: (s + n) / 2.0 + out.1 * (n - s) / 2.0 };
    Edge { out, middle, length: if out.0 == 0.0 { e - w } else { n - s } }
}

fn stands_against(plan: &Plan, f: &Furniture, way: Compass) -> bool {
    !is_inside(plan, f.room, &before(&edge(&f.outline, way), AGAINST))
}

fn is_inside(plan: &Plan, room: usize, zone: &Polygon<f64>) -> bool {
    zone.intersection(&plan.rooms[room].outline).unsigned_area() > zone.unsigned_area() - 1e-3
}

/// Whether a piece would stand on floor of its room, clear of others, and no farther into the way of openings than it does.
fn is_free(plan: &Plan, piece: usize, outline: &Polygon<f64>) -> bool {
    let f = &plan.furniture[piece];
    let others = plan.furniture.iter().enumerate().filter(|(i, o)| *i != piece && o.room == f.room);
    let in_way = |shape: &Polygon<f64>| plan.openings.iter().map(|o| before_opening(o).intersection(shape).unsigned_area()).sum::<f64>();
    is_inside(plan, f.room, outline) && others.into_iter().all(|(_, o)| !meets(&o.outline, outline)) && in_way(outline) <= in_way(&f.outline) + 1e-3
}

/// Whether a piece that comes nearer on one side ends against the wall there, or leaves floor to stand up and pass.
fn leaves_floor(plan: &Plan, piece: usize, outline: &Polygon<f64>, way: Compass) -> bool {
    let room = plan.furniture[piece].room;
    let side = edge(outline, way);
    let zone = before(&side, KEPT);
    let others = plan.furniture.iter().enumerate().filter(|(i, o)| *i != piece && o.room == room);
    let is_clear = || others.into_iter().all(|(_, o)| !meets(&o.outline, &zone));
    !is_inside(plan, room, &before(&side, AGAINST)) || is_inside(plan, room, &zone) && is_clear()
}
