//! One travel-time map: the way down it, and how it is found by marching over a region of the
//! lattice. Times are whole numbers, so that a map has one solution however it is reached: one
//! mended where the floor changed is the same to the bit as one made anew.

use super::SHY;
use super::region::Region;
use crate::floor::grid::Grid;
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::ops::Range;

/// Near walls people look this far ahead along their way, in meters, so many times.
const AHEAD: (f64, u32) = (0.2, 3);
/// Parts of a second in which times are counted: what one node takes is known to a hundredth of a
/// percent.
pub(super) const PARTS: f32 = 65536.0;
/// No way leads there.
const NOWHERE: u32 = u32::MAX;
/// Times from this on are no times of ways: those of nodes off the floor beside nodes with a time
/// have it added, those of nodes beside such nodes twice.
const OFF_FLOOR: u32 = 1 << 30;

/// Where more than one node in so many lost its time, all are found anew: to take a time away and
/// find it again is twice the work.
const WORTH_MENDING: usize = 8;

/// Travel time over a rectangle of the lattice at 1 m/s.
pub(super) struct Map {
    left: usize,
    bottom: usize,
    width: usize,
    height: usize,
    time: Vec<u32>,
}

/// A map while it is being made. Each node takes the least time that the times beside it allow: the
/// first-order scheme of fast marching (Sethian 1996).
struct March<'a> {
    grid: &'a Grid,
    region: &'a Region,
    /// Nodes of the region that are where the ways lead, in order.
    ends: &'a [usize],
    time: Vec<u32>,
    /// Nodes whose time became less, in the lower half, and that time, in the upper half, the least
    /// first; those with another time by now are stale.
    open: BinaryHeap<Reverse<u64>>,
}

impl March<'_> {
    /// The time a node's neighbors give it.
    fn time_by_neighbors(&self, k: usize) -> u32 {
        let cost = self.region.cost[k];
        if cost == 0 {
            return NOWHERE;
        }
        if self.ends.binary_search(&k).is_ok() {
            return 0;
        }
        let (across, along) = self.region.least_beside(&self.time, k);
        let twin = self.twin(k).map_or(NOWHERE, |t| self.time[t]);
        eikonal(across, along, cost).min(step_over(twin))
    }

    /// The same point of stairs on their other level: over the whole lattice stairs lead from level
    /// to level.
    fn twin(&self, k: usize) -> Option<usize> {
        self.region.is_whole().then(|| self.grid.twin(k)).flatten()
    }

    fn lower(&mut self, k: usize, time: u32) {
        if time < self.time[k] {
            self.time[k] = time;
            self.open.push(Reverse(u64::from(time) << 32 | k as u64));
        }
    }

    /// Hands times on until none becomes less.
    fn settle(&mut self) {
        while let Some(Reverse(next)) = self.open.pop() {
            let (time, k) = ((next >> 32) as u32, next as u32 as usize);
            if time > self.time[k] {
                continue;
            }
            if let Some(twin) = self.twin(k).filter(|&t| self.region.cost[t] > 0) {
                self.lower(twin, step_over(time));
            }
            for n in self.region.beside(k) {
                let cost = self.region.cost[n];
                if cost > 0 && self.time[n] > time {
                    let (across, along) = self.region.least_beside(&self.time, n);
                    self.lower(n, eikonal(across, along, cost));
                }
            }
        }
    }

    /// Takes away the times that rested on floor that is gone or slower now, and tells whose; `None`
    /// once it is less work to find all times anew.
    fn forget(&mut self, changed: &[usize]) -> Option<Vec<usize>> {
        let most = self.time.len() / WORTH_MENDING;
        let mut forgotten = vec![];
        let on_way = |time: &[u32], k: usize| time[k] < OFF_FLOOR;
        let mut doubtful: BinaryHeap<Reverse<(u32, usize)>> = changed
            .iter()
            .filter(|&&k| on_way(&self.time, k))
            .map(|&k| Reverse((self.time[k], k)))
            .collect();
        // a time rests on lesser ones only: in their order each is looked at once
        while let Some(Reverse((before, k))) = doubtful.pop() {
            if !on_way(&self.time, k) || self.time_by_neighbors(k) <= before {
                continue;
            }
            self.time[k] = NOWHERE;
            forgotten.push(k);
            if forgotten.len() > most {
                return None;
            }
            let beside = self.region.beside(k).chain(self.twin(k));
            let resting = beside.filter(|&n| on_way(&self.time, n) && self.time[n] > before);
            doubtful.extend(resting.map(|n| Reverse((self.time[n], n))));
        }
        Some(forgotten)
    }
}

/// Stairs met on their other level are a moment farther, so that no time rests on itself.
fn step_over(time: u32) -> u32 {
    if time < OFF_FLOOR { time + 1 } else { NOWHERE }
}

/// The time of a node by the lesser of those on either side across and along: rounded up, so that it
/// never rests on its own.
fn eikonal(across: u32, along: u32, cost: u32) -> u32 {
    let (low, high) = (across.min(along), across.max(along));
    if low >= OFF_FLOOR {
        return NOWHERE;
    }
    if high - low >= cost {
        return low + cost;
    }
    let (cost, apart) = (u64::from(cost), u64::from(high - low));
    let root = ((2 * cost * cost - apart * apart) as f64).sqrt() as u32;
    (low + high + root).div_ceil(2)
}

impl Map {
    /// The map to some nodes of the lattice, given in order.
    pub(super) fn solve(grid: &Grid, region: &Region, to: &[usize]) -> Map {
        Map::marched(grid, region, to, &vec![NOWHERE; region.nodes()], &[])
    }

    /// The same map where the floor of its region is another at some nodes of the lattice.
    pub(super) fn mended(
        &self,
        grid: &Grid,
        region: &Region,
        to: &[usize],
        changed: &[usize],
    ) -> Map {
        Map::marched(grid, region, to, &self.time, changed)
    }

    fn marched(
        grid: &Grid,
        region: &Region,
        to: &[usize],
        before: &[u32],
        changed: &[usize],
    ) -> Map {
        let on_region = |nodes: &[usize]| -> Vec<usize> {
            nodes.iter().filter_map(|&n| region.index(grid, n)).collect()
        };
        let (ends, changed) = (on_region(to), on_region(changed));
        let time = before.to_vec();
        let mut march = March { grid, region, ends: &ends, time, open: BinaryHeap::new() };
        let Some(forgotten) = march.forget(&changed) else {
            return Map::solve(grid, region, to);
        };
        for &k in ends.iter().chain(&changed).chain(&forgotten) {
            march.lower(k, march.time_by_neighbors(k));
        }
        march.settle();
        let mut map = Map {
            left: region.left,
            bottom: region.bottom,
            width: region.width,
            height: region.height,
            time: march.time,
        };
        map.spread_into_walls((grid.step() as f32 * PARTS) as u32, before);
        map
    }

    /// All it knows.
    #[cfg(test)]
    pub(super) fn times(&self) -> &[u32] {
        &self.time
    }

    /// Whether it covers the nodes of a region.
    pub(super) fn covers(&self, region: &Region) -> bool {
        (self.left, self.bottom, self.width, self.height)
            == (region.left, region.bottom, region.width, region.height)
    }

    /// Gives nodes off the floor next to nodes with a time a higher one, and those next to these, so
    /// that slopes near walls point off the wall. Where times are as before, so are these.
    fn spread_into_walls(&mut self, step: u32, before: &[u32]) {
        let off = self.off_floor_near_changes(before);
        off.iter().for_each(|&k| self.time[k] = NOWHERE);
        for from in [0..OFF_FLOOR, OFF_FLOOR..2 * OFF_FLOOR] {
            let alone = off.iter().filter(|&&k| self.time[k] == NOWHERE);
            let spread: Vec<(usize, u32)> = alone
                .filter_map(|&k| {
                    let low = self.least_around(k, &from)?;
                    Some((k, low + OFF_FLOOR + step + step / 2))
                })
                .collect();
            spread.into_iter().for_each(|(k, time)| self.time[k] = time);
        }
    }

    /// Nodes off the floor in each row between the first and the last that are within two of one
    /// whose time changed: all of them in a new map.
    fn off_floor_near_changes(&self, before: &[u32]) -> Vec<usize> {
        let rows = self.time.chunks(self.width.max(1)).zip(before.chunks(self.width.max(1)));
        let changed: Vec<Option<(usize, usize)>> = rows
            .map(|(now, then)| {
                let differs = |i: &usize| now[*i] != then[*i] && now[*i].min(then[*i]) < OFF_FLOOR;
                Some(((0..now.len()).find(differs)?, (0..now.len()).rfind(differs)?))
            })
            .collect();
        let near = |j: usize| {
            let rows = &changed[j.saturating_sub(2)..(j + 3).min(self.height)];
            let ends = rows.iter().flatten().copied();
            ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        };
        let off = |j: usize| {
            let (first, last) = near(j)?;
            let columns = first.saturating_sub(2)..(last + 3).min(self.width);
            Some(columns.map(move |i| j * self.width + i))
        };
        let nodes = (0..self.height).filter_map(off).flatten();
        nodes.filter(|&k| self.time[k] >= OFF_FLOOR).collect()
    }

    /// The least of the times within some bounds that the eight nodes round one have.
    fn least_around(&self, k: usize, bounds: &Range<u32>) -> Option<u32> {
        let (i, j) = (k % self.width, k / self.width);
        let columns = i.saturating_sub(1)..(i + 2).min(self.width);
        let rows = j.saturating_sub(1)..(j + 2).min(self.height);
        let row = |j: usize| &self.time[j * self.width..][columns.clone()];
        rows.flat_map(row).copied().filter(|t| bounds.contains(t)).min()
    }

    /// Seconds of a node, infinite where no way leads.
    fn seconds(&self, k: usize) -> f32 {
        match self.time[k] {
            NOWHERE => f32::INFINITY,
            time => (time % OFF_FLOOR) as f32 / PARTS,
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
        let mut t = [k, k + 1, k + self.width, k + self.width + 1].map(|k| self.seconds(k));
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
            Some(self.seconds(j * self.width + i))
        };
        let least = passage.iter().filter_map(time).fold(f32::INFINITY, f32::min);
        least.is_finite().then_some(f64::from(least))
    }
}
