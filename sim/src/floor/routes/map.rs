//! One travel-time map: fast marching over a region of the lattice, and the way down it.

use super::WALL;
use crate::floor::grid::{Area, Grid};
use crate::house::plan::Opening;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Walking within this many meters of a wall is slower, so that people keep off walls (Bosina et
/// al. 2016: they do; distance from the prototype).
const SHY: f32 = 0.40;
/// Near walls people look this far ahead along their way, in meters, so many times.
const AHEAD: (f64, u32) = (0.2, 3);
/// By how much at the wall itself.
const SHYNESS: f32 = 0.25;
/// Maps cover all of a room, or of rooms joined by wide openings, whose rectangle is this large, in
/// m2 (7,500 sq ft).
const SMALL: f64 = 700.0;
/// A room's own maps reach this far beyond its openings, in meters.
const MARGIN: f64 = 0.6;

/// Travel time over a rectangle of the lattice, in seconds at 1 m/s; infinite where there is no
/// way.
pub(super) struct Map {
    left: usize,
    bottom: usize,
    width: usize,
    height: usize,
    time: Vec<f32>,
}

/// A rectangle of nodes: for each how many seconds it takes to cross at 1 m/s, infinite for those
/// that don't belong to it.
pub(super) struct Region {
    left: usize,
    bottom: usize,
    width: usize,
    height: usize,
    cost: Vec<f32>,
}

impl Region {
    /// Whether its maps are so small that each covers all of it.
    pub(super) fn is_small(&self, grid: &Grid) -> bool {
        self.nodes() as f64 * grid.step() * grid.step() <= SMALL
    }

    /// Nodes of its rectangle.
    pub(super) fn nodes(&self) -> usize {
        self.cost.len()
    }

    /// Where a node of the lattice is in it, if it is in its rectangle.
    fn index(&self, grid: &Grid, n: usize) -> Option<usize> {
        let i = (n % grid.width).checked_sub(self.left).filter(|i| *i < self.width)?;
        let j = (n / grid.width).checked_sub(self.bottom).filter(|j| *j < self.height)?;
        Some(j * self.width + i)
    }

    /// The nodes of its rectangle east, west, north and south of one.
    fn beside(&self, k: usize) -> impl Iterator<Item = usize> + use<> {
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
    fn least_beside(&self, time: &[f32], k: usize) -> (f32, f32) {
        let (w, i) = (self.width, k % self.width);
        let west = if i > 0 { time[k - 1] } else { f32::INFINITY };
        let east = if i + 1 < w { time[k + 1] } else { f32::INFINITY };
        let south = if k >= w { time[k - w] } else { f32::INFINITY };
        let north = time.get(k + w).copied().unwrap_or(f32::INFINITY);
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

/// Everything guests can walk on.
pub(super) fn whole_region(grid: &Grid) -> Region {
    let is_floor = |n: usize| grid.clear_at_node(n) >= WALL;
    let cost = (0..grid.len()).map(|n| if is_floor(n) { cost(grid, n) } else { f32::INFINITY });
    let cost = cost.collect();
    Region { left: 0, bottom: 0, width: grid.width, height: grid.height, cost }
}

/// For each opening the nodes of its passage on which people can stand.
pub(super) fn passages(grid: &Grid, openings: usize) -> Vec<Vec<usize>> {
    let mut passages = vec![vec![]; openings];
    for n in (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= WALL) {
        if let Area::Passage(o) = grid.area_at_node(n) {
            passages[usize::from(o)].push(n);
        }
    }
    passages
}

/// The nodes of areas, their passages, and a margin beyond them.
pub(super) fn region(grid: &Grid, areas: &[Area], ways: &[usize], openings: &[Opening]) -> Region {
    let beyond = |n: usize| {
        let p = grid.node_xy(n);
        ways.iter().any(|&o| {
            let opening = &openings[o];
            let (dx, dy) = (p.x - opening.center.x, p.y - opening.center.y);
            let along = (dx * opening.along.0 + dy * opening.along.1).abs();
            let through = (dx * opening.through.0 + dy * opening.through.1).abs();
            along <= opening.clear / 2.0 && through <= opening.depth / 2.0 + MARGIN
        })
    };
    let legal = |n: usize| grid.clear_at_node(n) >= WALL;
    let members: Vec<usize> = (0..grid.len())
        .filter(|&n| legal(n) && (areas.contains(&grid.area_at_node(n)) || beyond(n)))
        .collect();
    let (mut left, mut bottom, mut right, mut top) = (usize::MAX, usize::MAX, 0, 0);
    for &n in &members {
        let (i, j) = (n % grid.width, n / grid.width);
        (left, bottom, right, top) = (left.min(i), bottom.min(j), right.max(i), top.max(j));
    }
    if members.is_empty() {
        return Region { left: 0, bottom: 0, width: 0, height: 0, cost: vec![] };
    }
    let (width, height) = (right - left + 1, top - bottom + 1);
    let mut region = Region { left, bottom, width, height, cost: vec![] };
    region.cost = vec![f32::INFINITY; width * height];
    for n in members {
        let k = (n / grid.width - bottom) * width + n % grid.width - left;
        region.cost[k] = cost(grid, n);
    }
    region
}

/// Seconds to cross a node at 1 m/s: more near walls and on stairs.
fn cost(grid: &Grid, n: usize) -> f32 {
    grid.step() as f32 * slowness(grid.clear_at_node(n)) * grid.slower_at_node(n)
}

/// How much slower a meter is at a distance from the wall.
fn slowness(clear: f32) -> f32 {
    1.0 + SHYNESS * ((SHY - clear) / (SHY - WALL)).clamp(0.0, 1.0)
}

impl Map {
    /// The map to a passage, given its nodes.
    pub(super) fn to_opening(grid: &Grid, whole: &Region, passage: &[usize]) -> Map {
        let seeds: Vec<(usize, f32)> = passage.iter().map(|&n| (n, 0.0)).collect();
        Map::solve(grid, whole, &seeds)
    }

    /// First-order fast marching from seeds over a region (Sethian 1996). Over the whole lattice
    /// stairs lead from level to level: the same point of them on either is as far.
    pub(super) fn solve(grid: &Grid, region: &Region, seeds: &[(usize, f32)]) -> Map {
        let (w, h) = (region.width, region.height);
        let whole = w == grid.width && h == grid.height;
        let mut time = vec![f32::INFINITY; w * h];
        let mut done = vec![false; w * h];
        let mut heap: BinaryHeap<Reverse<(u32, u32)>> = BinaryHeap::new();
        for &(n, t) in seeds {
            if let Some(k) = region.index(grid, n).filter(|&k| region.cost[k].is_finite()) {
                time[k] = t;
                heap.push(Reverse((t.to_bits(), k as u32)));
            }
        }
        while let Some(Reverse((_, k))) = heap.pop() {
            let k = k as usize;
            if std::mem::replace(&mut done[k], true) {
                continue;
            }
            if let Some(twin) = whole.then(|| grid.twin(k)).flatten().filter(|&t| time[k] < time[t])
            {
                time[twin] = time[k];
                heap.push(Reverse((time[k].to_bits(), twin as u32)));
            }
            for n in region.beside(k) {
                let cost = region.cost[n];
                if done[n] || cost.is_infinite() {
                    continue;
                }
                let (across, along) = region.least_beside(&time, n);
                let t = eikonal(across, along, cost);
                if t < time[n] {
                    time[n] = t;
                    heap.push(Reverse((t.to_bits(), n as u32)));
                }
            }
        }
        let mut map = Map { left: region.left, bottom: region.bottom, width: w, height: h, time };
        map.spread_into_walls(grid.step() as f32);
        map
    }

    /// Gives nodes without a value next to nodes with one a higher value, so that slopes near walls
    /// point off the wall.
    fn spread_into_walls(&mut self, step: f32) {
        for _ in 0..2 {
            let old = self.time.clone();
            for k in (0..old.len()).filter(|&k| old[k].is_infinite()) {
                let (i, j) = ((k % self.width) as isize, (k / self.width) as isize);
                let around = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)];
                let near = around.iter().filter_map(|&(dx, dy)| {
                    let (i, j) = (i + dx, j + dy);
                    let there =
                        i >= 0 && j >= 0 && (i as usize) < self.width && (j as usize) < self.height;
                    there.then(|| old[j as usize * self.width + i as usize])
                });
                let low = near.fold(f32::INFINITY, f32::min);
                if low.is_finite() {
                    self.time[k] = low + 1.5 * step;
                }
            }
        }
    }

    /// The four values round a point, and how far into the square it is.
    fn corners(&self, grid: &Grid, x: f64, y: f64) -> Option<([f32; 4], f32, f32)> {
        let (n, fx, fy) = grid.square(x, y)?;
        let (i, j) =
            ((n % grid.width).wrapping_sub(self.left), (n / grid.width).wrapping_sub(self.bottom));
        if i >= self.width.saturating_sub(1) || j >= self.height.saturating_sub(1) {
            return None;
        }
        let k = j * self.width + i;
        let mut t = [
            self.time[k],
            self.time[k + 1],
            self.time[k + self.width],
            self.time[k + self.width + 1],
        ];
        let top = t.iter().copied().filter(|v| v.is_finite()).fold(f32::NEG_INFINITY, f32::max);
        if top == f32::NEG_INFINITY {
            return None;
        }
        t.iter_mut().filter(|v| v.is_infinite()).for_each(|v| *v = top + 0.1);
        Some((t, fx, fy))
    }

    /// Seconds at 1 m/s from a point.
    pub(super) fn value(&self, grid: &Grid, x: f64, y: f64) -> Option<f64> {
        let ([a, b, c, d], fx, fy) = self.corners(grid, x, y)?;
        let (low, high) = (a + (b - a) * fx, c + (d - c) * fx);
        Some(f64::from(low + (high - low) * fy))
    }

    /// The way to walk on, and the seconds from here. Near walls, where the steepest way down turns
    /// from place to place, it is that to a point a little ahead on it: who steps along the slope
    /// at their feet walks to and fro across a narrow hall.
    pub(super) fn lead(&self, grid: &Grid, x: f64, y: f64) -> Option<((f64, f64), f64)> {
        let (first, togo) = self.descend(grid, x, y)?;
        if grid.clearance(x, y) > SHY {
            return Some((first, togo));
        }
        let (mut px, mut py, mut way) = (x, y, first);
        for _ in 0..AHEAD.1 {
            (px, py) = (px + way.0 * AHEAD.0, py + way.1 * AHEAD.0);
            match self
                .descend(grid, px, py)
                .filter(|(next, _)| next.0 * first.0 + next.1 * first.1 > 0.0)
            {
                Some((next, _)) => way = next,
                None => return Some((first, togo)),
            }
        }
        let (dx, dy) = (px - x, py - y);
        let length = (dx * dx + dy * dy).sqrt();
        Some((if length > 0.0 { (dx / length, dy / length) } else { first }, togo))
    }

    /// The steepest way down as a unit vector, and the seconds from here.
    pub(super) fn descend(&self, grid: &Grid, x: f64, y: f64) -> Option<((f64, f64), f64)> {
        let ([a, b, c, d], fx, fy) = self.corners(grid, x, y)?;
        let (gx, gy) = ((b - a) * (1.0 - fy) + (d - c) * fy, (c - a) * (1.0 - fx) + (d - b) * fx);
        let length = (gx * gx + gy * gy).sqrt();
        let (low, high) = (a + (b - a) * fx, c + (d - c) * fx);
        let value = f64::from(low + (high - low) * fy);
        if length < 1e-6 {
            return Some(((0.0, 0.0), value));
        }
        Some(((f64::from(-gx / length), f64::from(-gy / length)), value))
    }

    /// The least value in a passage, given its nodes.
    pub(super) fn at_passage(&self, grid: &Grid, passage: &[usize]) -> Option<f64> {
        let time = |&n: &usize| {
            let i = (n % grid.width).checked_sub(self.left).filter(|i| *i < self.width)?;
            let j = (n / grid.width).checked_sub(self.bottom).filter(|j| *j < self.height)?;
            Some(self.time[j * self.width + i])
        };
        let least = passage.iter().filter_map(time).fold(f32::INFINITY, f32::min);
        least.is_finite().then_some(f64::from(least))
    }
}

fn eikonal(a: f32, b: f32, cost: f32) -> f32 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    if high - low >= cost {
        return low + cost;
    }
    let sum = low + high;
    let root = sum * sum - 2.0 * (low * low + high * high - cost * cost);
    (sum + root.max(0.0).sqrt()) / 2.0
}
