//! What would give a narrow place its width: a piece moved, if there is floor for it, or a wider
//! opening or room.

use crate::base::units::INCH;
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, Gap};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{OpeningId, PieceId, RoomId, Use};
use crate::review::walking::gaps::Before;
use crate::review::walking::ways::{Doorway, Narrowing, WALKWAY};
use geo::{Area, BooleanOps, Translate};

/// A change that gives a narrow place its width. Lengths in meters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mend {
    /// Move a piece.
    Move {
        /// The piece.
        piece: PieceId,
        /// How far.
        by: f64,
        /// Which way.
        toward: (f64, f64),
    },
    /// Take a smaller piece.
    Smaller {
        /// The piece.
        piece: PieceId,
        /// By how much.
        by: f64,
    },
    /// Make an opening wider, to a clear width.
    Widen(OpeningId, f64),
    /// Build a room wider.
    Wall {
        /// The room.
        room: RoomId,
        /// By how much.
        by: f64,
    },
}

/// Pieces are moved by whole inches.
fn inches_up(meters: f64) -> f64 {
    (meters / INCH - 0.01).ceil().max(1.0) * INCH
}

/// What would give the floor before furniture its width, the best first; `befores` are all that were
/// judged. Whether a move does harm elsewhere has to be tried.
pub fn of_gap(world: &World, gaps: &[Gap], befores: &[Before], b: &Before) -> Vec<Mend> {
    let back = (-b.gap.out.0, -b.gap.out.1);
    let sides = [(Bound::Piece(b.gap.piece), back), (b.gap.to, b.gap.out)];
    let room = world.plan.furniture[b.gap.piece].room;
    mends(world, gaps, befores, sides, b.asked.1 - b.gap.clear, room)
}

/// What would widen a narrow place on a way.
pub fn of_narrowing(world: &World, gaps: &[Gap], befores: &[Before], n: &Narrowing) -> Vec<Mend> {
    let (dx, dy) = (n.ends[1].0 - n.ends[0].0, n.ends[1].1 - n.ends[0].1);
    let length = dx.hypot(dy).max(1e-9);
    let across = (dx / length, dy / length);
    let sides = [(n.between[0], (-across.0, -across.1)), (n.between[1], across)];
    mends(world, gaps, befores, sides, WALKWAY.1 - n.clear, n.room)
}

/// What would widen an opening.
pub fn of_doorway(d: &Doorway) -> Mend {
    Mend::Widen(d.opening, d.asked.1)
}

/// A move this far off the way across a narrow place hardly widens it, as a cosine.
const ALONG: f64 = 0.35;
/// A piece is not made smaller than this share of itself.
const STILL_OF_USE: f64 = 0.75;

/// Of what is on two sides of a narrow place, each with the way off it.
fn mends(
    world: &World,
    gaps: &[Gap],
    befores: &[Before],
    sides: [(Bound, (f64, f64)); 2],
    missing: f64,
    room: RoomId,
) -> Vec<Mend> {
    let pieces: Vec<(PieceId, (f64, f64))> = sides
        .into_iter()
        .filter_map(|(bound, off)| if let Bound::Piece(p) = bound { Some((p, off)) } else { None })
        .collect();
    let may = pieces.iter().filter(|(p, _)| is_placed(world.plan.furniture[*p].kind));
    let moves = may.flat_map(|&(piece, off)| {
        // along its own sides: a corner that juts out is cleared either way
        let facing = world.plan.furniture[piece].facing;
        let axes = [facing, (-facing.1, facing.0)];
        let ways = axes.into_iter().flat_map(|(x, y)| [(x, y), (-x, -y)]);
        ways.map(move |toward| (piece, toward, toward.0 * off.0 + toward.1 * off.1))
    });
    let mut moves: Vec<(PieceId, (f64, f64), f64)> = moves
        .filter(|(.., share)| *share > ALONG)
        .map(|(piece, toward, share)| (piece, toward, inches_up(missing / share)))
        .filter(|&(piece, toward, by)| slack(gaps, befores, piece, toward) >= by)
        .collect();
    moves.sort_by(|a, b| a.2.total_cmp(&b.2));
    let moves = moves.into_iter().map(|(piece, toward, by)| Mend::Move { piece, by, toward });
    let by = inches_up(missing);
    let smaller = pieces.iter().filter(|(p, off)| is_made_smaller(world, *p, *off, by));
    let smaller = smaller.map(|&(piece, _)| Mend::Smaller { piece, by });
    // stairs are built once
    let fixed = world.plan.rooms[room].usage == Use::Stairs;
    let wall = (pieces.is_empty() && !fixed).then_some(Mend::Wall { room, by });
    moves.chain(smaller).chain(wall).collect()
}

/// Whether a piece could stand elsewhere: on a drawing islands and toilets are not built yet.
fn is_placed(kind: Kind) -> bool {
    kind.may_move()
        || matches!(kind, Kind::Island | Kind::Toilet | Kind::Basin | Kind::Fridge | Kind::Hearth)
}

/// Whether a smaller one still does.
fn is_made_smaller(world: &World, piece: PieceId, off: (f64, f64), by: f64) -> bool {
    let f = &world.plan.furniture[piece];
    let along = (f.facing.0 * off.0 + f.facing.1 * off.1).abs();
    let size = if along > std::f64::consts::FRAC_1_SQRT_2 { f.depth } else { f.width };
    let kinds = [Kind::Table, Kind::Island, Kind::Counter, Kind::Sideboard, Kind::Sofa, Kind::Bar];
    kinds.contains(&f.kind) && size - by >= STILL_OF_USE * size
}

/// Between furniture where people get about, in meters (24 in: HUD 1973 in Time-Saver Standards).
const ABOUT: f64 = 24.0 * INCH;

/// Floor that a piece can give up on one side, in meters.
fn slack(gaps: &[Gap], befores: &[Before], piece: PieceId, toward: (f64, f64)) -> f64 {
    let same_way = |a: (f64, f64)| a.0 * toward.0 + a.1 * toward.1 > 0.9;
    let there = gaps.iter().filter(|g| g.piece == piece && same_way(g.out));
    let needs = |g: &Gap| {
        let own = |b: &&Before| b.gap.piece == piece && same_way(b.gap.out);
        let facing =
            |b: &&Before| b.gap.to == Bound::Piece(piece) && same_way((-b.gap.out.0, -b.gap.out.1));
        let asked = befores.iter().filter(|b| own(b) || facing(b)).map(|b| b.asked.1);
        // against a wall is where a piece may stand; before another people get about
        let least = if g.to == Bound::Wall { 0.0 } else { ABOUT };
        g.clear - asked.fold(least, f64::max)
    };
    there.map(needs).reduce(f64::min).unwrap_or(0.0)
}

/// The house with a piece moved; `None` where it would not stand on its room's floor or would stand
/// in something else.
pub fn moved(world: &World, piece: PieceId, by: (f64, f64)) -> Option<World> {
    const SLIVER: f64 = 1e-3;
    let mut plan = world.plan.clone();
    let f = &mut plan.furniture[piece];
    f.outline = f.outline.translate(by.0, by.1);
    f.center = geo::Coord { x: f.center.x + by.0, y: f.center.y + by.1 };
    let (outline, room, shares) = (f.outline.clone(), f.room, f.kind.may_share_floor());
    let inside = outline.difference(&plan.rooms[room].outline).unsigned_area() < SLIVER;
    let free = plan.furniture.iter_enumerated().all(|(other, o)| {
        other == piece
            || o.room != room
            || shares
            || o.kind.may_share_floor()
            || o.outline.intersection(&outline).unsigned_area() < SLIVER
    });
    (inside && free).then(|| world.beside(plan, world.scenario.clone()).ok()).flatten()
}
