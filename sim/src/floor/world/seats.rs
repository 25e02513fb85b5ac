//! Seats: on sofas and chairs, and on floor beside tables.

use super::{Position, SpotId, World};
use crate::base::ids::{TiVec, id};
use crate::base::units::{INCH, Point};
use crate::evening::scenario::Serves;
use crate::floor::routes::Target;
use crate::house::plan::{Edge, Furniture, PieceId, Side};

id! {
    /// The number of a seat in its world.
    SeatId
}

/// A place to sit.
#[derive(Clone, Copy, Debug)]
pub struct Seat {
    /// The piece.
    pub piece: PieceId,
    /// Where one stands before sitting down and after getting up, and where feet and knees, or the
    /// chair, take floor in between.
    pub approach: Target,
    /// Where the sitter is seen, and draws in to when somebody has to get past.
    pub on: Point,
}

/// Elbow room of a diner along a table, in meters (24 in: Panero & Zelnik 1979; NKBA guideline 9).
const PITCH: f64 = 24.0 * INCH;
/// A diner's chair takes 24 in behind the table (occupied chair 18-22 in: home-design course), so
/// its middle is so far from the edge, in meters; less where there is less.
const AT_TABLE: [f64; 3] = [24.0 * INCH - BODY, 0.38, 0.30];
/// Feet and knees take 12 to 18 in before a sofa (designers: sofa to coffee table), the same way.
const BEFORE: [f64; 3] = [14.0 * INCH - BODY, 0.18, 0.30];
/// Half a body, front to back, in meters (chest depth of 9.8 in and some clothing: ANSUR II).
const BODY: f64 = 0.15;
/// A diner's middle from the table's edge, drawn in, in meters (common practice).
const DRAWN_IN: f64 = 0.22;
/// A sitter's middle from the front edge of a sofa, inwards, in meters; half the depth of what is
/// less deep (common practice).
const ON_PIECE: f64 = 0.25;
/// Two sitters' feet are at least so far apart, in meters: seats nearer than that to another have
/// no floor of their own.
const APART: f64 = 0.34;

/// Nobody sits within so many meters of where guests stand at a spot: a diner and a guest at the
/// sideboard each take elbow room (24 in: NKBA guideline 9).
pub const ELBOW_ROOM: f64 = 24.0 * INCH;

/// From a laid side of a table to a piece that guests are served at, in meters, so that diners and
/// guests there each have their floor: the diner's chair, elbow room, and the guest's reach.
pub const DINERS_TO_SPOT: f64 = AT_TABLE[0] + ELBOW_ROOM + super::spots::REACH;

pub(super) fn lay(world: &mut World) {
    let (mut all, mut given_up): (Vec<Seat>, Vec<(PieceId, SpotId)>) = (vec![], vec![]);
    for (piece, f) in world.plan.furniture.iter_enumerated() {
        let (free, in_the_way): (Vec<Seat>, Vec<Seat>) =
            seats_of(world, piece, f).into_iter().partition(|s| spot_beside(world, s).is_none());
        let free: Vec<Seat> = free.into_iter().take(f.seats as usize).collect();
        let short = (f.seats as usize - free.len()).min(in_the_way.len());
        given_up.extend(
            in_the_way[..short].iter().filter_map(|s| Some((piece, spot_beside(world, s)?))),
        );
        all.extend(free);
    }
    world.seats_given_up = given_up;
    world.seats = all.into_iter().fold(TiVec::new(), |mut kept: TiVec<SeatId, Seat>, seat| {
        if kept.iter().all(|k| k.approach.point.distance(seat.approach.point) >= APART) {
            kept.push(seat);
        }
        kept
    });
}

/// The spot whose guests stand where a sitter would be.
fn spot_beside(world: &World, seat: &Seat) -> Option<SpotId> {
    let beside = |p: &Position| p.target.point.distance(seat.approach.point) < ELBOW_ROOM;
    world.spots.position(|s| {
        matches!(s.serves, Serves::Food | Serves::Drinks | Serves::Glasses)
            && s.positions.iter().any(beside)
    })
}

/// Every place to sit at a piece with floor for the sitter, the sides sat at first first.
fn seats_of(world: &World, piece: PieceId, f: &Furniture) -> Vec<Seat> {
    let at_table = f.kind.sat_at();
    let edges: Vec<Edge> = if at_table {
        [Side::Front, Side::Back, Side::Ends].iter().flat_map(|&s| f.edges_of(s)).collect()
    } else {
        f.edges()
    };
    let wishes = edges.iter().flat_map(|e| along(e, f.seats));
    let inwards = if at_table { -DRAWN_IN } else { ON_PIECE.min(f.depth / 2.0) };
    wishes
        .filter_map(|(edge, x, y)| {
            seat_at(
                world,
                piece,
                if at_table { &AT_TABLE } else { &BEFORE },
                edge.out,
                (x, y),
                inwards,
            )
        })
        .collect()
}

/// Seats that fit along an edge of so many meters, one at least.
pub fn seats_along(length: f64) -> u32 {
    ((length + 0.08) / PITCH).floor().max(1.0) as u32
}

/// Points along an edge, one elbow room apart, as many as are wanted and fit.
fn along(edge: &Edge, wanted: u32) -> Vec<(Edge, f64, f64)> {
    let fit = seats_along(edge.length);
    let n = fit.min(wanted.max(1));
    let (ux, uy) = (-edge.out.1, edge.out.0);
    let gap = edge.length / f64::from(n);
    (0..n)
        .map(|k| (f64::from(k) + 0.5) * gap - edge.length / 2.0)
        .map(|a| (*edge, edge.middle.x + ux * a, edge.middle.y + uy * a))
        .collect()
}

fn seat_at(
    world: &World,
    piece: PieceId,
    distances: &[f64],
    out: (f64, f64),
    (x, y): (f64, f64),
    inwards: f64,
) -> Option<Seat> {
    distances.iter().find_map(|d| {
        let (fx, fy) = (x + out.0 * d, y + out.1 * d);
        let legal = world.grid.clearance(fx, fy) >= crate::floor::routes::WALL;
        let approach = legal.then(|| world.reachable(fx, fy)).flatten()?;
        Some(Seat {
            piece,
            approach,
            on: Point::from_meters(x - out.0 * inwards, y - out.1 * inwards),
        })
    })
}
