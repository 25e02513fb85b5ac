//! Stands: the points of a coarse lattice that maps lead to.

use super::WALL;
use super::map::Map;
use crate::floor::grid::{Area, Grid};
use crate::house::plan::OpeningId;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// Pitch of stands, in meters.
pub(super) const STAND_PITCH: f64 = 0.6;
/// In a hall one stand in each square of this edge is walked to from afar, in meters.
const FAR_PITCH: f64 = 3.0;

/// A point of the coarse lattice with the map that leads to it.
pub(super) struct Stand {
    pub(super) node: usize,
    pub(super) region: usize,
    /// Share of the square that is floor, 0 to 1.
    pub(super) share: f64,
    pub(super) map: OnceLock<Arc<Local>>,
    /// In a hall the stand near it that is walked to from afar.
    pub(super) far: u32,
    /// The map of all of a hall to this stand, if it is one that is walked to from afar.
    pub(super) whole: OnceLock<Arc<Map>>,
}

impl Stand {
    /// The same with no map made yet.
    pub(super) fn unasked(&self) -> Stand {
        Stand { map: OnceLock::new(), whole: OnceLock::new(), ..*self }
    }

    pub(super) fn near(&self) -> Option<&Map> {
        Some(&self.map.get()?.map)
    }

    pub(super) fn whole(&self) -> Option<&Map> {
        self.whole.get().map(Arc::as_ref)
    }
}

/// The map of a room, or of the floor near, to one of its stands, and what is left from each of the
/// room's openings.
pub(super) struct Local {
    pub(super) map: Map,
    pub(super) rest: Vec<(OpeningId, f64)>,
    /// What is left from the stand that is walked to from afar.
    pub(super) far: Option<f64>,
}

/// A stand in each square of the coarse lattice of each area, by region: the node with the most air.
pub(super) fn laid(grid: &Grid, region_of: impl Fn(Area) -> Option<usize>) -> Vec<Stand> {
    let squares = |n: usize| {
        let p = grid.node_xy(n);
        ((p.y / STAND_PITCH).floor() as i64, (p.x / STAND_PITCH).floor() as i64)
    };
    let legal = (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= WALL);
    let square_of = |n: usize| match grid.area_at_node(n) {
        Area::Passage(_) => None,
        area => Some((region_of(area)?, squares(n))),
    };
    let nodes: Vec<_> = legal.filter_map(|n| Some((square_of(n)?, n))).collect();
    let mut best: BTreeMap<(usize, (i64, i64)), (usize, u32)> = BTreeMap::new();
    for run in nodes.chunk_by(|a, b| a.0 == b.0) {
        let (kept, nodes) = best.entry(run[0].0).or_insert((run[0].1, 0));
        *nodes += run.len() as u32;
        for &(_, n) in run {
            if grid.clear_at_node(n) > grid.clear_at_node(*kept) {
                *kept = n;
            }
        }
    }
    let share = |nodes: u32| f64::from(nodes) * (grid.step() / STAND_PITCH).powi(2);
    // the one nearest the middle of its square of the hall
    let square = |n: usize| {
        let p = grid.node_xy(n);
        let (i, j) = ((p.x / FAR_PITCH).floor(), (p.y / FAR_PITCH).floor());
        let (dx, dy) = (p.x / FAR_PITCH - i - 0.5, p.y / FAR_PITCH - j - 0.5);
        ((i as i64, j as i64), dx * dx + dy * dy)
    };
    let mut far: BTreeMap<(usize, (i64, i64)), (f64, u32)> = BTreeMap::new();
    for (i, (&(region, _), &(node, _))) in best.iter().enumerate() {
        let (square, off) = square(node);
        let nearest = far.entry((region, square)).or_insert((off, i as u32));
        if off < nearest.0 {
            *nearest = (off, i as u32);
        }
    }
    let stands = best.into_iter().map(|((region, _), (node, nodes))| {
        let far = far.get(&(region, square(node).0)).map_or(0, |f| f.1);
        let (map, whole) = (OnceLock::new(), OnceLock::new());
        Stand { node, region, share: share(nodes), map, far, whole }
    });
    stands.collect()
}
