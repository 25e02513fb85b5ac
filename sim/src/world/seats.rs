//! Seats: on sofas and chairs, and on floor beside tables.

use super::World;
use crate::plan::{Edge, Furniture};
use crate::routes::Target;
use crate::units::INCH;

/// A place to sit.
#[derive(Clone, Copy, Debug)]
pub struct Seat {
    /// The piece.
    pub piece: usize,
    /// Where one stands before sitting down and after getting up.
    pub approach: Target,
    /// Whether the sitter is on floor where others walk (at a table) rather than on the piece.
    pub on_floor: bool,
}

/// Elbow room of a diner along a table, in metres (24 in: Panero & Zelnik 1979; NKBA guideline 9).
const PITCH: f64 = 24.0 * INCH;
/// Middle of a seated diner from the table's edge, in metres (common practice).
const AT_TABLE: f64 = 0.22;
/// Where one stands before a sofa, nearest wish first, in metres from its edge.
const BEFORE: [f64; 4] = [0.30, 0.24, 0.18, 0.45];

pub(super) fn lay(world: &mut World) {
    let seats = world.plan.furniture.iter().enumerate().flat_map(|(i, f)| seats_of(world, i, f)).collect();
    world.seats = seats;
}

fn seats_of(world: &World, piece: usize, f: &Furniture) -> Vec<Seat> {
    let edges: Vec<Edge> = if f.kind.sat_at() {
        [crate::plan::Side::Front, crate::plan::Side::Back, crate::plan::Side::Ends].iter().flat_map(|&s| f.edges_of(s)).collect()
    } else {
        f.edges()
    };
    let wishes = edges.iter().flat_map(|e| along(e, f.seats));
    wishes.filter_map(|(edge, x, y)| seat_at(world, piece, f.kind.sat_at(), edge.out, x, y)).take(f.seats as usize).collect()
}

/// Points along an edge, one elbow room apart, as many as are wanted and fit.
fn along(edge: &Edge, wanted: u32) -> Vec<(Edge, f64, f64)> {
    let fit = ((edge.length + 0.08) / PITCH).floor().max(1.0) as u32;
    let n = fit.min(wanted.max(1));
    let (ux, uy) = (-edge.out.1, edge.out.0);
    let gap = edge.length / f64::from(n);
    (0..n).map(|k| (f64::from(k) + 0.5) * gap - edge.length / 2.0).map(|a| (*edge, edge.middle.x + ux * a, edge.middle.y + uy * a)).collect()
}

fn seat_at(world: &World, piece: usize, on_floor: bool, out: (f64, f64), x: f64, y: f64) -> Option<Seat> {
    let distances: &[f64] = if on_floor { &[AT_TABLE] } else { &BEFORE };
    distances.iter().find_map(|d| {
        let (x, y) = (x + out.0 * d, y + out.1 * d);
        let legal = world.grid.clearance(x, y) >= crate::routes::WALL;
        legal.then(|| world.reachable(x, y)).flatten().map(|approach| Seat { piece, approach, on_floor })
    })
}
