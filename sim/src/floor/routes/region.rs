//! Floor that a map covers: a rectangle of the lattice, and how long each of its nodes takes.

use super::WALL;
use super::map::PARTS;
use crate::base::ids::TiVec;
use crate::floor::grid::{Area, Grid, apron};
use crate::house::plan::{Opening, OpeningId, Plan, RoomId, Use};
use geo::BoundingRect;
use std::sync::Arc;

/// Walking within this many meters of a wall is slower, so that people keep off walls (Bosina et
/// al. 2016: they do; distance from the prototype).
pub(super) const SHY: f32 = 0.40;
/// By how much at the wall itself.
const SHYNESS: f32 = 0.25;
/// Maps cover all of a room, or of rooms joined by wide openings, whose rectangle, with the margin
/// beyond openings, is this large, in m2 (7,500 sq ft).
const SMALL: f64 = 700.0;
/// A room's own maps reach this far beyond its openings, in meters.
const MARGIN: f64 = 0.6;

/// A rectangle of nodes: for each what it takes to cross at 1 m/s, 0 for those that guests can't be
/// at or that don't belong to it.
#[derive(Clone)]
pub(super) struct Region {
    pub(super) left: usize,
    pub(super) bottom: usize,
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) cost: Vec<u32>,
    /// What belongs to it: all of the lattice without.
    part: Option<Arc<Part>>,
}

/// The nodes of areas, their openings, and a margin beyond them.
struct Part {
    areas: Vec<Area>,
    openings: Vec<Opening>,
}

impl Part {
    fn has(&self, grid: &Grid, n: usize) -> bool {
        let beyond = |o: &Opening| {
            let p = grid.node_xy(n);
            let (dx, dy) = (p.x - o.center.x, p.y - o.center.y);
            let along = (dx * o.along.0 + dy * o.along.1).abs();
            let through = (dx * o.through.0 + dy * o.through.1).abs();
            along <= o.clear / 2.0 && through <= o.depth / 2.0 + MARGIN
        };
        self.areas.contains(&grid.area_at_node(n)) || self.openings.iter().any(beyond)
    }

    /// West, south, east and north end in meters.
    fn ends(&self, plan: &Plan) -> Option<[f64; 4]> {
        let of_area = |area: &Area| match *area {
            Area::Room(r) => plan.rooms[r].outline.bounding_rect(),
            Area::Outside(o) => apron(&plan.openings[o]).bounding_rect(),
            Area::None | Area::Passage(_) => None,
        };
        let of_opening = |o: &Opening| o.box_of(o.clear, MARGIN).bounding_rect();
        let rects = self
            .areas
            .iter()
            .filter_map(of_area)
            .chain(self.openings.iter().filter_map(of_opening));
        rects
            .map(|r| [r.min().x, r.min().y, r.max().x, r.max().y])
            .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
    }
}

/// A region, and the nodes of the lattice at which it differs from the one before.
pub(super) type Mended = (Arc<Region>, Arc<[usize]>);

impl Region {
    /// Everything guests can walk on.
    pub(super) fn whole(grid: &Grid) -> Region {
        let cost = (0..grid.len()).map(|n| cost(grid, n)).collect();
        Region { left: 0, bottom: 0, width: grid.width, height: grid.height, cost, part: None }
    }

    /// Some areas with openings of theirs.
    pub(super) fn of(grid: &Grid, plan: &Plan, areas: &[Area], openings: &[OpeningId]) -> Region {
        let openings = openings.iter().map(|&o| plan.openings[o].clone()).collect();
        let part = Arc::new(Part { areas: areas.to_vec(), openings });
        let Some(ends) = part.ends(plan) else {
            let cost = vec![];
            return Region { left: 0, bottom: 0, width: 0, height: 0, cost, part: Some(part) };
        };
        let (columns, rows) = grid.nodes_within(ends);
        let nodes = rows.clone().flat_map(|j| columns.clone().map(move |i| j * grid.width + i));
        let cost = nodes.map(|n| if part.has(grid, n) { cost(grid, n) } else { 0 }).collect();
        Region {
            left: *columns.start(),
            bottom: *rows.start(),
            width: columns.count(),
            height: rows.count(),
            cost,
            part: Some(part),
        }
    }

    /// The same where clear floor is another at some nodes of the lattice, and those of them at
    /// which this makes a difference.
    pub(super) fn mended(self: &Arc<Region>, grid: &Grid, changed: &[usize]) -> Mended {
        let mut region = self.clone();
        let mut differing = vec![];
        for &n in changed {
            let Some(k) = self.index(grid, n) else {
                continue;
            };
            let belongs = self.part.as_ref().is_none_or(|part| part.has(grid, n));
            let cost = if belongs { cost(grid, n) } else { 0 };
            if cost != self.cost[k] {
                Arc::make_mut(&mut region).cost[k] = cost;
                differing.push(n);
            }
        }
        (region, differing.into())
    }

    /// Whether it is all of the lattice.
    pub(super) fn is_whole(&self) -> bool {
        self.part.is_none()
    }

    /// Whether its maps are so small that each covers all of it.
    pub(super) fn is_small(&self, grid: &Grid) -> bool {
        self.nodes() as f64 * grid.step() * grid.step() <= SMALL
    }

    /// Nodes of its rectangle.
    pub(super) fn nodes(&self) -> usize {
        self.cost.len()
    }

    /// Where a node of the lattice is in it, if it is in its rectangle.
    pub(super) fn index(&self, grid: &Grid, n: usize) -> Option<usize> {
        let i = (n % grid.width).checked_sub(self.left).filter(|i| *i < self.width)?;
        let j = (n / grid.width).checked_sub(self.bottom).filter(|j| *j < self.height)?;
        Some(j * self.width + i)
    }

    /// The nodes of its rectangle east, west, north and south of one.
    pub(super) fn beside(&self, k: usize) -> impl Iterator<Item = usize> + use<> {
        let (w, i, j) = (self.width, k % self.width, k / self.width);
        let there = [
            (i + 1 < w).then(|| k + 1),
            (i > 0).then(|| k - 1),
            (j + 1 < self.height).then(|| k + w),
            (j > 0).then(|| k - w),
        ];
        there.into_iter().flatten()
    }

    /// The lesser time east or west of a node, and north or south of it.
    pub(super) fn least_beside(&self, time: &[u32], k: usize) -> (u32, u32) {
        let (w, i) = (self.width, k % self.width);
        let west = if i > 0 { time[k - 1] } else { u32::MAX };
        let east = if i + 1 < w { time[k + 1] } else { u32::MAX };
        let south = if k >= w { time[k - w] } else { u32::MAX };
        let north = time.get(k + w).copied().unwrap_or(u32::MAX);
        (west.min(east), south.min(north))
    }

    /// The part of it within some nodes of a node, east and west, north and south.
    pub(super) fn window(&self, grid: &Grid, node: usize, reach: usize) -> Region {
        let (i, j) = (node % grid.width - self.left, node / grid.width - self.bottom);
        let (west, south) = (i.saturating_sub(reach), j.saturating_sub(reach));
        let (width, height) =
            ((i + reach + 1).min(self.width) - west, (j + reach + 1).min(self.height) - south);
        let row = |j: usize| self.cost[(south + j) * self.width + west..][..width].iter().copied();
        Region {
            left: self.left + west,
            bottom: self.bottom + south,
            width,
            height,
            cost: (0..height).flat_map(row).collect(),
            part: self.part.clone(),
        }
    }

    /// Nodes of the map of one stand.
    pub(super) fn nodes_of_a_map(&self, grid: &Grid, reach: usize) -> usize {
        if self.is_small(grid) {
            self.nodes()
        } else {
            self.width.min(2 * reach + 1) * self.height.min(2 * reach + 1)
        }
    }
}

/// What a node takes to cross at 1 m/s, in parts of a second: more near walls and on stairs; 0 where
/// nobody's middle can be.
fn cost(grid: &Grid, n: usize) -> u32 {
    let clear = grid.clear_at_node(n);
    if clear < WALL {
        return 0;
    }
    (grid.step() as f32 * slowness(clear) * grid.slower_at_node(n) * PARTS).round() as u32
}

/// How much slower a meter is at a distance from the wall.
fn slowness(clear: f32) -> f32 {
    1.0 + SHYNESS * ((SHY - clear) / (SHY - WALL)).clamp(0.0, 1.0)
}

/// For each room the first of the rooms it is joined with by wide openings, stairs apart.
fn joined(plan: &Plan, ways: &[OpeningId]) -> TiVec<RoomId, RoomId> {
    let mut first: TiVec<RoomId, RoomId> = plan.rooms.keys().collect();
    let on_floor = |r: RoomId| plan.rooms[r].usage != Use::Stairs;
    for o in ways.iter().map(|&o| &plan.openings[o]) {
        let (a, Some(b)) = (o.inner, o.outer) else {
            continue;
        };
        if o.is_wide() && on_floor(a) && on_floor(b) {
            let (low, high) = (first[a].min(first[b]), first[a].max(first[b]));
            first.iter_mut().filter(|f| **f == high).for_each(|f| *f = low);
        }
    }
    first
}

/// For each opening the nodes of its passage on which people can stand, in order.
pub(super) fn passages(grid: &Grid, openings: usize) -> TiVec<OpeningId, Vec<usize>> {
    let mut passages = TiVec::from(vec![vec![]; openings]);
    for n in (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= WALL) {
        if let Area::Passage(o) = grid.area_at_node(n) {
            passages[o].push(n);
        }
    }
    passages
}

/// The region of each room and then of the ground outside each opening, with the ways of each. Rooms
/// that are joined have the same.
pub(super) fn regions(
    plan: &Plan,
    grid: &Grid,
    ways: &[OpeningId],
) -> Vec<(Arc<Region>, Vec<OpeningId>)> {
    let mut regions: Vec<(Arc<Region>, Vec<OpeningId>)> = vec![];
    let joined = joined(plan, ways);
    for (room, &first) in joined.iter_enumerated() {
        let of_rooms = |regions: &[(Arc<Region>, Vec<OpeningId>)]| match regions
            .get(usize::from(first))
        {
            Some(same) if first < room => same.clone(),
            _ => {
                let rooms: Vec<RoomId> = joined.keys().filter(|&r| joined[r] == first).collect();
                region_of(plan, grid, ways, &rooms)
            }
        };
        regions.push(of_rooms(&regions));
    }
    let outside = |o: OpeningId| {
        let leads_out = ways.contains(&o) && plan.openings[o].to_outside();
        let ways_of: Vec<OpeningId> = leads_out.then_some(o).into_iter().collect();
        let areas: Vec<Area> = ways_of.iter().map(|&o| Area::Outside(o)).collect();
        (Region::of(grid, plan, &areas, &ways_of).into(), ways_of)
    };
    regions.extend(plan.openings.keys().map(outside));
    regions
}

fn region_of(
    plan: &Plan,
    grid: &Grid,
    ways: &[OpeningId],
    rooms: &[RoomId],
) -> (Arc<Region>, Vec<OpeningId>) {
    let leads_in = |o: &OpeningId| plan.openings[*o].rooms().any(|r| rooms.contains(&r));
    let ways_of: Vec<OpeningId> = ways.iter().copied().filter(leads_in).collect();
    let areas: Vec<Area> = rooms.iter().map(|&r| Area::Room(r)).collect();
    (Region::of(grid, plan, &areas, &ways_of).into(), ways_of)
}

/// Some regions mended, those that were the same together.
pub(super) fn mended(
    regions: &[Arc<Region>],
    grid: &Grid,
    changed: &[usize],
) -> (Vec<Arc<Region>>, Vec<Arc<[usize]>>) {
    let mut mended: Vec<Mended> = vec![];
    for (i, region) in regions.iter().enumerate() {
        let same = regions[..i].iter().position(|before| Arc::ptr_eq(before, region));
        mended.push(match same {
            Some(same) => mended[same].clone(),
            None => region.mended(grid, changed),
        });
    }
    mended.into_iter().unzip()
}
