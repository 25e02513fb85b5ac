//! Clear widths before the sides of furniture, true to the tape: from the edge straight out to the next piece or wall.

use super::World;
use crate::grid::walk_in;
use crate::plan::{Edge, Side};

/// The clear floor before one side of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Aisle {
    /// The piece.
    pub piece: usize,
    /// The side.
    pub side: Side,
    /// Least clear distance over the length of the side, in metres.
    pub clear: f64,
}

/// A narrower gap is no way at all, in metres (12 in).
const NARROWEST: f64 = 0.305;
/// Wider floor than this is no aisle, in metres (6 ft).
const WIDEST: f64 = 1.83;

/// Aisles from 12 in to 6 ft wide before all sides of every piece on floor that guests walk.
pub fn aisles(world: &World) -> Vec<Aisle> {
    let mut found = vec![];
    for (piece, f) in world.plan.furniture.iter().enumerate().filter(|(_, f)| walk_in(&world.plan, f.room)) {
        for side in [Side::Front, Side::Back, Side::Ends] {
            let clear = f.edges_of(side).iter().map(|e| before(world, e)).filter(|c| *c >= NARROWEST).fold(f64::INFINITY, f64::min);
            if clear < WIDEST {
                found.push(Aisle { piece, side, clear });
            }
        }
    }
    found
}

/// The least distance from points along an edge straight out to the edge of clear floor.
fn before(world: &World, edge: &Edge) -> f64 {
    let (ux, uy) = (-edge.out.1, edge.out.0);
    let points = (0..=8).map(|k| (f64::from(k) / 8.0 - 0.5) * (edge.length - 0.01));
    points
        .map(|a| ray(world, (edge.middle.x + ux * a + edge.out.0 * 0.002, edge.middle.y + uy * a + edge.out.1 * 0.002), edge.out) + 0.002)
        .fold(f64::INFINITY, f64::min)
}

/// Distance along a ray to the first edge of clear floor.
fn ray(world: &World, from: (f64, f64), along: (f64, f64)) -> f64 {
    let rings = world.grid.floor.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
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
