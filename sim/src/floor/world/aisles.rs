//! Clear widths before the sides of furniture, true to the tape: from the edge straight out to the
//! next piece or wall.

use super::World;
use crate::floor::grid::walk_in;
use crate::house::plan::{
    Edge, Furniture, LEAF_THICKNESS, LEVER_DEPTH, Leaf, OpeningId, PieceId, Side, Xy,
};
use geo::orient::{Direction, Orient};
use geo::{Distance, Euclidean, Intersects, Line, Point};

/// What a straight line across the floor comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// A piece of furniture.
    Piece(PieceId),
    /// The open leaf of an opening.
    Leaf(OpeningId),
    /// A wall, or what else ends the floor.
    Wall,
}

/// The floor before one edge of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The piece.
    pub piece: PieceId,
    /// The side the edge belongs to.
    pub side: Side,
    /// Outward unit vector of the edge.
    pub out: (f64, f64),
    /// The point of the edge before which it is least, in meters.
    pub from: (f64, f64),
    /// Least clear distance over the length of the edge, in meters.
    pub clear: f64,
    /// What it is clear to.
    pub to: Bound,
}

/// The clear floor before one side of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Aisle {
    /// The piece.
    pub piece: PieceId,
    /// The side.
    pub side: Side,
    /// Least clear distance over the length of the side, in meters.
    pub clear: f64,
}

/// A narrower gap is no way at all, in meters (12 in).
const NARROWEST: f64 = 0.305;
/// Wider floor than this is no aisle, in meters (6 ft).
const WIDEST: f64 = 1.83;
/// What ends a line is a piece if the end is so near its outline, in meters.
const AT_PIECE: f64 = 0.005;

/// The gaps before every edge of every piece on floor that guests walk.
pub fn gaps(world: &World) -> Vec<Gap> {
    let pieces =
        world.plan.furniture.iter_enumerated().filter(|(_, f)| walk_in(&world.plan, f.room));
    let edges = pieces.flat_map(|(piece, f)| {
        [Side::Front, Side::Back, Side::Ends]
            .into_iter()
            .flat_map(move |side| edges(f, side).into_iter().map(move |e| (piece, side, e)))
    });
    edges
        .map(|(piece, side, edge)| {
            let (clear, from, end) = before(world, &edge);
            Gap { piece, side, out: edge.out, from, clear, to: bound_off(world, end, Some(piece)) }
        })
        .collect()
}

/// The edges of a side of a piece; those of its outline, where it has corners of its own.
fn edges(f: &Furniture, side: Side) -> Vec<Edge> {
    if f.outline.exterior().0.len() == CORNERS_OF_A_BOX {
        return f.edges_of(side);
    }
    let outs: Vec<(f64, f64)> = f.edges_of(side).iter().map(|e| e.out).collect();
    let lines = f.outline.orient(Direction::Default);
    let edges = lines.exterior().lines().filter_map(|l| {
        let (dx, dy) = (l.dx(), l.dy());
        let length = dx.hypot(dy);
        // counter-clockwise: the floor outside is on the right
        let out = (dy / length.max(1e-9), -dx / length.max(1e-9));
        let middle = Xy { x: l.start.x + dx / 2.0, y: l.start.y + dy / 2.0 };
        let faces = outs.iter().any(|o| o.0 * out.0 + o.1 * out.1 > FACES);
        (faces && length > 0.02).then_some(Edge { out, middle, length })
    });
    edges.collect()
}

/// A closed ring of four corners.
const CORNERS_OF_A_BOX: usize = 5;
/// An edge belongs to a side if it faces its way within 25 degrees, as a cosine.
const FACES: f64 = 0.9;

/// Aisles from 12 in to 6 ft wide before all sides of every piece.
pub fn aisles(gaps: &[Gap]) -> Vec<Aisle> {
    let wide = gaps.iter().filter(|g| g.clear >= NARROWEST && g.clear < WIDEST);
    wide.fold(vec![], |mut found: Vec<Aisle>, g| {
        match found.last_mut() {
            Some(last) if (last.piece, last.side) == (g.piece, g.side) => {
                last.clear = last.clear.min(g.clear)
            }
            _ => found.push(Aisle { piece: g.piece, side: g.side, clear: g.clear }),
        }
        found
    })
}

/// The piece or wall a point on the edge of the floor belongs to.
pub fn bound_at(world: &World, at: (f64, f64)) -> Bound {
    bound_off(world, at, None)
}

/// The same, seen from a piece, which is not before itself.
pub fn bound_off(world: &World, (x, y): (f64, f64), own: Option<PieceId>) -> Bound {
    let at = Point::new(x, y);
    let near = |f: &Furniture| Euclidean.distance(&at, &f.outline) < AT_PIECE;
    let mut pieces = world.plan.furniture.iter_enumerated();
    let piece = pieces.find(|(p, f)| Some(*p) != own && near(f)).map(|(p, _)| p);
    let leaf = || {
        let standing = world
            .plan
            .openings
            .iter_enumerated()
            .flat_map(|(o, op)| op.leaves.iter().filter(|l| l.stands).map(move |l| (o, l)));
        let near = |l: &Leaf| {
            Euclidean.distance(&at, &Line::new(l.hinge, l.open)) < LEAF_THICKNESS + LEVER_DEPTH
        };
        standing.into_iter().find(|(_, l)| near(l)).map(|(o, _)| Bound::Leaf(o))
    };
    piece.map(Bound::Piece).or_else(leaf).unwrap_or(Bound::Wall)
}

/// The least distance from points along an edge straight out to the edge of clear floor, from
/// where, and to where; from near its middle, if that is as near.
fn before(world: &World, edge: &Edge) -> (f64, (f64, f64), (f64, f64)) {
    let (ux, uy) = (-edge.out.1, edge.out.0);
    let points =
        [4, 3, 5, 2, 6, 1, 7, 0, 8].map(|k| (f64::from(k) / 8.0 - 0.5) * (edge.length - 0.01));
    let each = points.map(|a| {
        let from = (
            edge.middle.x + ux * a + edge.out.0 * 0.002,
            edge.middle.y + uy * a + edge.out.1 * 0.002,
        );
        // what stands against a wall has no floor before it
        let on_floor = world.grid.floor.intersects(&Point::new(from.0, from.1));
        let distance = if on_floor { ray(world, from, edge.out) } else { 0.0 };
        (distance + 0.002, from, (from.0 + edge.out.0 * distance, from.1 + edge.out.1 * distance))
    });
    each.into_iter().fold((f64::INFINITY, (0.0, 0.0), (0.0, 0.0)), |best, next| {
        if next.0 < best.0 - 1e-6 { next } else { best }
    })
}

/// Distance along a ray to the first edge of clear floor.
fn ray(world: &World, from: (f64, f64), along: (f64, f64)) -> f64 {
    let rings =
        world.grid.floor.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
    let hits = rings.flat_map(|r| r.lines()).filter_map(|l| {
        let (ax, ay) = (l.start.x - from.0, l.start.y - from.1);
        let (dx, dy) = (l.end.x - l.start.x, l.end.y - l.start.y);
        let cross = along.0 * dy - along.1 * dx;
        if cross.abs() < 1e-12 {
            return None;
        }
        let distance = (ax * dy - ay * dx) / cross;
        let share = (ax * along.1 - ay * along.0) / cross;
        (distance >= 0.0 && (-1e-9..=1.0 + 1e-9).contains(&share)).then_some(distance)
    });
    hits.fold(f64::INFINITY, f64::min)
}
