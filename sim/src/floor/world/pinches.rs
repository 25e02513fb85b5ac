//! Spots at which jams are judged: circles of one radius, a foot apart, all over the floor,
//! whatever its rooms are called.

use super::{PlaceId, World};
use crate::base::ids::{TiVec, id};
use crate::base::units::FOOT;

id! {
    /// The number of such a spot in its world.
    PinchId
}

/// Radius of the circle in which people can be in one another's way, in meters: 5 ft across, the
/// turning circle of the trade (ADA 304.3), and about as far as an arm and a plate reach on either
/// side. Assumption.
pub const PINCH_RADIUS: f64 = 2.5 * FOOT;
/// Distance between neighboring spots, in meters: small beside the radius, so that no drawing of a
/// house falls between them.
const APART: f64 = FOOT;

/// A spot of floor at which jams are judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pinch {
    /// Its middle, in meters.
    pub at: (f64, f64),
    /// The room or opening its middle is in.
    pub place: PlaceId,
}

/// All of them, to be found by a point.
#[derive(Clone, Debug, Default)]
pub struct Pinches {
    all: TiVec<PinchId, Pinch>,
    /// Index of each lattice point that is floor.
    at: Vec<Option<PinchId>>,
    across: usize,
    up: usize,
    origin: (f64, f64),
}

impl Pinches {
    /// A spot.
    pub fn get(&self, id: PinchId) -> &Pinch {
        &self.all[id]
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// The spots whose circle holds a point, in order.
    pub fn around(&self, (x, y): (f64, f64)) -> impl Iterator<Item = PinchId> + '_ {
        let span = |v: f64, n: usize| {
            let low = ((v - PINCH_RADIUS) / APART).ceil().max(0.0) as usize;
            let high = ((v + PINCH_RADIUS) / APART).floor();
            low..((high + 1.0).max(0.0) as usize).min(n)
        };
        let (columns, rows) =
            (span(x - self.origin.0, self.across), span(y - self.origin.1, self.up));
        let ids = rows
            .flat_map(move |j| columns.clone().filter_map(move |i| self.at[j * self.across + i]));
        ids.filter(move |&id| squared(self.get(id).at, (x, y)) <= PINCH_RADIUS * PINCH_RADIUS)
    }

    /// The spot nearest a point, if one is within reach.
    pub fn nearest(&self, at: (f64, f64)) -> Option<PinchId> {
        // mostly one at a corner of the square it is in: all others are as far as its edge
        let beside = nearest_of(self.corners(at).map(|id| (squared(self.get(id).at, at), id)));
        match beside {
            Some((away, id)) if away < APART * APART => Some(id),
            _ => nearest_of(self.around(at).map(|id| (squared(self.get(id).at, at), id)))
                .map(|n| n.1),
        }
    }

    /// The spots at the corners of the square of the lattice that a point is in.
    fn corners(&self, (x, y): (f64, f64)) -> impl Iterator<Item = PinchId> + '_ {
        let (i, j) = ((x - self.origin.0) / APART, (y - self.origin.1) / APART);
        let (i, j) = (i.max(0.0) as usize, j.max(0.0) as usize);
        let square = [(i, j), (i + 1, j), (i, j + 1), (i + 1, j + 1)].into_iter();
        let on_lattice = move |&(i, j): &(usize, usize)| i < self.across && j < self.up;
        square.filter(on_lattice).filter_map(|(i, j)| self.at[j * self.across + i])
    }
}

pub(super) fn lay(world: &mut World) {
    let grid = &world.grid;
    let origin = grid.origin.meters();
    let count = |nodes: usize| (nodes as f64 * grid.step() / APART) as usize + 1;
    let (across, up) = (count(grid.width), count(grid.height));
    let mut pinches =
        Pinches { all: TiVec::new(), at: vec![None; across * up], across, up, origin };
    for n in 0..across * up {
        let at = (origin.0 + (n % across) as f64 * APART, origin.1 + (n / across) as f64 * APART);
        let inside = |place: &PlaceId| Some(*place) != world.places.last_key();
        let Some(place) = world.place_of[grid.nearest_node(at.0, at.1)].filter(inside) else {
            continue;
        };
        if grid.clearance(at.0, at.1) > 0.0 && world.below(at) == at {
            pinches.at[n] = Some(pinches.all.push_and_get_key(Pinch { at, place }));
        }
    }
    world.pinches = pinches;
}

fn nearest_of(spots: impl Iterator<Item = (f64, PinchId)>) -> Option<(f64, PinchId)> {
    spots.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
}

fn squared(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)
}
