//! Where to: travel-time maps over the lattice. One map over the whole house for each opening, one over its own room for each
//! stand (a point of a coarse lattice); together they give the way from anywhere to any point of floor.

use crate::grid::{Area, Grid, is_way};
use crate::parallel::in_order;
use crate::plan::{Opening, Plan};
use crate::units::Point;
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::sync::OnceLock;

/// A walking guest's middle keeps at least this far from walls and furniture, in metres (half of a turned body and some air).
pub const WALL: f32 = 0.15;
/// Walking within this many metres of a wall is slower, so that people keep off walls (Bosina et al. 2016: they do; distance from the prototype).
const SHY: f32 = 0.40;
/// Near walls people look this far ahead along their way, in metres, so many times.
const AHEAD: (f64, u32) = (0.2, 3);
/// By how much at the wall itself.
const SHYNESS: f32 = 0.25;
/// Pitch of stands, in metres.
const STAND_PITCH: f64 = 0.6;
/// Stands within this many metres of a point are asked first.
const NEAR_STAND: f64 = 1.5;
/// A room's own maps reach this far beyond its openings, in metres.
const MARGIN: f64 = 0.6;
/// Within this many metres of the target, with the way clear, guests walk straight.
const STRAIGHT: f64 = 1.4;

/// Travel time over a rectangle of the lattice, in seconds at 1 m/s; infinite where there is no way.
struct Map {
    left: usize,
    bottom: usize,
    width: usize,
    height: usize,
    time: Vec<f32>,
}

/// A rectangle of nodes with those that belong to it.
struct Region {
    left: usize,
    bottom: usize,
    width: usize,
    height: usize,
    member: Vec<bool>,
}

/// A point of the coarse lattice with the map that leads to it.
struct Stand {
    node: usize,
    region: usize,
    map: OnceLock<Local>,
}

/// The map of a room to one of its stands, and what is left from each of the room's openings.
struct Local {
    map: Map,
    rest: Vec<(usize, f64)>,
}

/// A point guests can be sent to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// The point itself.
    pub point: Point,
    /// Whose map leads there.
    map: Leads,
}

/// The map that leads to a target.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Leads {
    /// Of a stand near it.
    Stand(u32),
    /// Of an opening, to any point of its passage.
    Through(u32),
}

/// Which way and how far.
#[derive(Clone, Copy, Debug)]
pub struct Lead {
    /// Unit vector.
    pub way: (f64, f64),
    /// Seconds at 1 m/s to the target.
    pub togo: f64,
    /// Whether the way is straight to the target.
    pub straight: bool,
}

/// All maps of a plan.
pub struct Routes {
    openings: Vec<Option<Map>>,
    regions: Vec<Region>,
    /// Region of each room, then of the ground outside each opening.
    region_ways: Vec<Vec<usize>>,
    stands: Vec<Stand>,
    /// Stands of each region.
    stands_of: Vec<std::ops::Range<usize>>,
    rooms: usize,
    narrow: OnceLock<Map>,
}

impl Routes {
    /// Makes the maps to openings at once, the others when first asked for.
    pub fn new(plan: &Plan, open: &[bool], grid: &Grid) -> Routes {
        let ways: Vec<Option<usize>> = (0..plan.openings.len()).map(|o| is_way(plan, o, open).then_some(o)).collect();
        let whole = whole_region(grid);
        let openings = in_order(&ways, |way| way.map(|o| Map::to_opening(grid, &whole, o)), &|| ());
        let mut regions = vec![];
        let mut region_ways = vec![];
        for room in 0..plan.rooms.len() {
            let ways_of: Vec<usize> = ways.iter().flatten().copied().filter(|&o| plan.openings[o].rooms.contains(&Some(room))).collect();
            regions.push(region(grid, Area::Room(room as u16), &ways_of, &plan.openings));
            region_ways.push(ways_of);
        }
        for (o, way) in ways.iter().enumerate() {
            let ways_of: Vec<usize> = way.iter().copied().filter(|&o| plan.openings[o].to_outside()).collect();
            regions.push(region(grid, Area::Outside(o as u16), &ways_of, &plan.openings));
            region_ways.push(ways_of);
        }
        let mut routes = Routes { openings, regions, region_ways, stands: vec![], stands_of: vec![], rooms: plan.rooms.len(), narrow: OnceLock::new() };
        routes.lay_stands(grid);
        routes
    }

    fn region_of(&self, area: Area) -> Option<usize> {
        match area {
            Area::Room(r) => Some(r as usize),
            Area::Outside(o) | Area::Passage(o) => Some(self.rooms + o as usize),
            Area::None => None,
        }
    }

    /// Puts a stand in each square of the coarse lattice of each area: the node with the most air.
    fn lay_stands(&mut self, grid: &Grid) {
        let squares = |n: usize| {
            let p = grid.node_xy(n);
            ((p.y / STAND_PITCH).floor() as i64, (p.x / STAND_PITCH).floor() as i64)
        };
        let mut best: std::collections::BTreeMap<(usize, (i64, i64)), usize> = std::collections::BTreeMap::new();
        for n in (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= WALL) {
            if matches!(grid.area_at_node(n), Area::Passage(_)) {
                continue;
            }
            let Some(region) = self.region_of(grid.area_at_node(n)) else {
                continue;
            };
            let kept = best.entry((region, squares(n))).or_insert(n);
            if grid.clear_at_node(n) > grid.clear_at_node(*kept) {
                *kept = n;
            }
        }
        self.stands = best.into_iter().map(|((region, _), node)| Stand { node, region, map: OnceLock::new() }).collect();
        self.stands_of =
            (0..self.regions.len()).map(|r| self.stands.partition_point(|s| s.region < r)..self.stands.partition_point(|s| s.region <= r)).collect();
    }

    /// A target at a point of floor; `None` if the point is in a wall or no stand of its area leads there.
    pub fn target(&self, grid: &Grid, x: f64, y: f64) -> Option<Target> {
        if grid.clearance(x, y) < WALL - 0.01 {
            return None;
        }
        let region = self.region_of(grid.area_at(x, y))?;
        let away = |s: usize| {
            let p = grid.node_xy(self.stands[s].node);
            ((p.x - x) * (p.x - x) + (p.y - y) * (p.y - y), s)
        };
        let mut near: Vec<(f64, usize)> = self.stands_of[region].clone().map(away).filter(|n| n.0 < NEAR_STAND * NEAR_STAND).collect();
        if near.is_empty() {
            near = self.stands_of[region].clone().map(away).collect();
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let seen = near.iter().find(|(_, s)| {
            let p = grid.node_xy(self.stands[*s].node);
            grid.is_clear_line((x, y), (p.x, p.y), 0.10)
        });
        let stand = seen.or(near.first())?.1 as u32;
        Some(Target { point: Point::from_metres(x, y), map: Leads::Stand(stand) })
    }

    /// Every stand as a target, with its room.
    pub fn stands(&self, grid: &Grid) -> Vec<(usize, Target)> {
        let in_rooms = self.stands.iter().enumerate().filter(|(_, s)| s.region < self.rooms);
        in_rooms.map(|(i, s)| (s.region, Target { point: grid.node_point(s.node), map: Leads::Stand(i as u32) })).collect()
    }

    /// The passage of an opening as a target: any point of it will do.
    pub fn through(&self, opening: usize, middle: Point) -> Target {
        Target { point: middle, map: Leads::Through(opening as u32) }
    }

    fn local(&self, grid: &Grid, stand: u32) -> &Local {
        let s = &self.stands[stand as usize];
        s.map.get_or_init(|| {
            let map = Map::solve(grid, &self.regions[s.region], &[(s.node, 0.0)]);
            let rest = self.region_ways[s.region].iter().filter_map(|&o| Some((o, map.at_opening(grid, o)?))).collect();
            Local { map, rest }
        })
    }

    /// The way from a point to a target; `None` where there is none.
    pub fn lead(&self, grid: &Grid, x: f64, y: f64, target: &Target) -> Option<Lead> {
        match target.map {
            Leads::Stand(stand) => self.lead_to_point(grid, x, y, target.point, stand),
            Leads::Through(o) => {
                let (way, togo) = self.openings[o as usize].as_ref()?.lead(grid, x, y)?;
                Some(Lead { way, togo, straight: false })
            }
        }
    }

    fn lead_to_point(&self, grid: &Grid, x: f64, y: f64, point: Point, stand: u32) -> Option<Lead> {
        let (tx, ty) = point.metres();
        let (dx, dy) = (tx - x, ty - y);
        let distance = (dx * dx + dy * dy).sqrt();
        if distance < 1e-3 {
            return Some(Lead { way: (0.0, 0.0), togo: 0.0, straight: true });
        }
        if distance < STRAIGHT && grid.is_clear_line((x, y), (tx, ty), (WALL - 0.02).min(grid.clearance(tx, ty) - 0.005).min(grid.clearance(x, y) - 0.005)) {
            return Some(Lead { way: (dx / distance, dy / distance), togo: distance, straight: true });
        }
        let local = self.local(grid, stand);
        if let Some((way, togo)) = local.map.lead(grid, x, y) {
            return Some(Lead { way, togo, straight: false });
        }
        let via = local.rest.iter().filter_map(|&(o, rest)| Some((self.openings[o].as_ref()?.value(grid, x, y)? + rest, o)));
        let (togo, o) = via.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
        let (way, _) = self.openings[o].as_ref()?.lead(grid, x, y)?;
        Some(Lead { way, togo, straight: false })
    }

    /// Seconds at 1 m/s from a point to the passage of an opening; `None` if there is no way.
    pub fn to_opening(&self, grid: &Grid, x: f64, y: f64, opening: usize) -> Option<f64> {
        self.openings[opening].as_ref()?.value(grid, x, y)
    }

    /// The points of the way from a point down to an opening, every `pace` metres, and on to its outer side at most `most` points; stairs end it.
    pub fn path_to_opening(&self, grid: &Grid, from: (f64, f64), opening: usize, pace: f64, most: usize) -> Vec<(f64, f64)> {
        let Some(map) = self.openings[opening].as_ref() else {
            return vec![];
        };
        let mut path = vec![];
        let (mut x, mut y) = from;
        let small = 0.05;
        let mut gone = 0.0;
        while path.len() < most {
            let Some((way, togo)) = map.descend(grid, x, y) else {
                break;
            };
            if togo < 0.02 || (way.0 == 0.0 && way.1 == 0.0) || grid.twin(grid.nearest_node(x, y)).is_some() {
                break;
            }
            (x, y, gone) = (x + way.0 * small, y + way.1 * small, gone + small);
            if gone + 1e-9 >= pace {
                path.push((x, y));
                gone = 0.0;
            }
        }
        path
    }

    /// Seconds to the nearest floor with room for two, and the way there.
    pub fn to_room_for_two(&self, grid: &Grid, x: f64, y: f64, half_width: f32) -> Option<((f64, f64), f64)> {
        let map = self.narrow.get_or_init(|| {
            let wide: Vec<(usize, f32)> = (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= half_width).map(|n| (n, 0.0)).collect();
            Map::solve(grid, &whole_region(grid), &wide)
        });
        map.descend(grid, x, y)
    }
}

fn whole_region(grid: &Grid) -> Region {
    let member = (0..grid.len()).map(|n| grid.clear_at_node(n) >= WALL).collect();
    Region { left: 0, bottom: 0, width: grid.width, height: grid.height, member }
}

/// The nodes of one area, its passages, and a margin beyond them.
fn region(grid: &Grid, area: Area, ways: &[usize], openings: &[Opening]) -> Region {
    let beyond = |n: usize| {
        let p = grid.node_xy(n);
        ways.iter().any(|&o| {
            let opening = &openings[o];
            let (dx, dy) = (p.x - opening.centre.x, p.y - opening.centre.y);
            let along = (dx * opening.along.0 + dy * opening.along.1).abs();
            let through = (dx * opening.through.0 + dy * opening.through.1).abs();
            along <= opening.clear / 2.0 && through <= opening.depth / 2.0 + MARGIN
        })
    };
    let legal = |n: usize| grid.clear_at_node(n) >= WALL;
    let members: Vec<usize> = (0..grid.len()).filter(|&n| legal(n) && (grid.area_at_node(n) == area || beyond(n))).collect();
    let (mut left, mut bottom, mut right, mut top) = (usize::MAX, usize::MAX, 0, 0);
    for &n in &members {
        let (i, j) = (n % grid.width, n / grid.width);
        (left, bottom, right, top) = (left.min(i), bottom.min(j), right.max(i), top.max(j));
    }
    if members.is_empty() {
        return Region { left: 0, bottom: 0, width: 0, height: 0, member: vec![] };
    }
    let (width, height) = (right - left + 1, top - bottom + 1);
    let mut member = vec![false; width * height];
    members.iter().for_each(|&n| member[(n / grid.width - bottom) * width + n % grid.width - left] = true);
    Region { left, bottom, width, height, member }
}

/// How much slower a metre is at a distance from the wall.
fn slowness(clear: f32) -> f32 {
    1.0 + SHYNESS * ((SHY - clear) / (SHY - WALL)).clamp(0.0, 1.0)
}

impl Map {
    fn to_opening(grid: &Grid, whole: &Region, opening: usize) -> Map {
        let seeds: Vec<(usize, f32)> =
            (0..grid.len()).filter(|&n| grid.area_at_node(n) == Area::Passage(opening as u16) && grid.clear_at_node(n) >= WALL).map(|n| (n, 0.0)).collect();
        Map::solve(grid, whole, &seeds)
    }

    /// First-order fast marching from seeds over a region (Sethian 1996), slower near walls and on stairs. Over the whole lattice stairs
    /// lead from level to level: the same point of them on either is as far.
    fn solve(grid: &Grid, region: &Region, seeds: &[(usize, f32)]) -> Map {
        let (w, h) = (region.width, region.height);
        let mut time = vec![f32::INFINITY; w * h];
        let mut done = vec![false; w * h];
        let mut heap: BinaryHeap<Reverse<(u32, u32)>> = BinaryHeap::new();
        for &(n, t) in seeds {
            let (i, j) = ((n % grid.width).wrapping_sub(region.left), (n / grid.width).wrapping_sub(region.bottom));
            if i < w && j < h && region.member[j * w + i] {
                time[j * w + i] = t;
                heap.push(Reverse((t.to_bits(), (j * w + i) as u32)));
            }
        }
        let whole = w == grid.width && h == grid.height;
        let step = grid.step() as f32;
        let value = |time: &[f32], k: usize, dx: isize, dy: isize| {
            let (i, j) = ((k % w) as isize + dx, (k / w) as isize + dy);
            if i < 0 || j < 0 || i as usize >= w || j as usize >= h { f32::INFINITY } else { time[j as usize * w + i as usize] }
        };
        while let Some(Reverse((_, k))) = heap.pop() {
            let k = k as usize;
            if std::mem::replace(&mut done[k], true) {
                continue;
            }
            if let Some(twin) = whole.then(|| grid.twin(k)).flatten().filter(|&t| time[k] < time[t]) {
                time[twin] = time[k];
                heap.push(Reverse((time[k].to_bits(), twin as u32)));
            }
            for (dx, dy) in [(1isize, 0isize), (-1, 0), (0, 1), (0, -1)] {
                let (i, j) = ((k % w) as isize + dx, (k / w) as isize + dy);
                if i < 0 || j < 0 || i as usize >= w || j as usize >= h {
                    continue;
                }
                let n = j as usize * w + i as usize;
                if done[n] || !region.member[n] {
                    continue;
                }
                let a = value(&time, n, -1, 0).min(value(&time, n, 1, 0));
                let b = value(&time, n, 0, -1).min(value(&time, n, 0, 1));
                let node = (region.bottom + n / w) * grid.width + region.left + n % w;
                let t = eikonal(a, b, step * slowness(grid.clear_at_node(node)) * grid.slower_at_node(node));
                if t < time[n] {
                    time[n] = t;
                    heap.push(Reverse((t.to_bits(), n as u32)));
                }
            }
        }
        let mut map = Map { left: region.left, bottom: region.bottom, width: w, height: h, time };
        map.spread_into_walls(step);
        map
    }

    /// Gives nodes without a value next to nodes with one a higher value, so that slopes near walls point off the wall.
    fn spread_into_walls(&mut self, step: f32) {
        for _ in 0..2 {
            let old = self.time.clone();
            for k in (0..old.len()).filter(|&k| old[k].is_infinite()) {
                let (i, j) = ((k % self.width) as isize, (k / self.width) as isize);
                let around = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)];
                let near = around.iter().filter_map(|&(dx, dy)| {
                    let (i, j) = (i + dx, j + dy);
                    let there = i >= 0 && j >= 0 && (i as usize) < self.width && (j as usize) < self.height;
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
        let (i, j) = ((n % grid.width).wrapping_sub(self.left), (n / grid.width).wrapping_sub(self.bottom));
        if i >= self.width.saturating_sub(1) || j >= self.height.saturating_sub(1) {
            return None;
        }
        let k = j * self.width + i;
        let mut t = [self.time[k], self.time[k + 1], self.time[k + self.width], self.time[k + self.width + 1]];
        let top = t.iter().copied().filter(|v| v.is_finite()).fold(f32::NEG_INFINITY, f32::max);
        if top == f32::NEG_INFINITY {
            return None;
        }
        t.iter_mut().filter(|v| v.is_infinite()).for_each(|v| *v = top + 0.1);
        Some((t, fx, fy))
    }

    /// Seconds at 1 m/s from a point.
    fn value(&self, grid: &Grid, x: f64, y: f64) -> Option<f64> {
        let ([a, b, c, d], fx, fy) = self.corners(grid, x, y)?;
        let (low, high) = (a + (b - a) * fx, c + (d - c) * fx);
        Some(f64::from(low + (high - low) * fy))
    }

    /// The way to walk on, and the seconds from here. Near walls, where the steepest way down turns from place to place, it is that to
    /// a point a little ahead on it: who steps along the slope at their feet walks to and fro across a narrow hall.
    fn lead(&self, grid: &Grid, x: f64, y: f64) -> Option<((f64, f64), f64)> {
        let (first, togo) = self.descend(grid, x, y)?;
        if grid.clearance(x, y) > SHY {
            return Some((first, togo));
        }
        let (mut px, mut py, mut way) = (x, y, first);
        for _ in 0..AHEAD.1 {
            (px, py) = (px + way.0 * AHEAD.0, py + way.1 * AHEAD.0);
            match self.descend(grid, px, py).filter(|(next, _)| next.0 * first.0 + next.1 * first.1 > 0.0) {
                Some((next, _)) => way = next,
                None => return Some((first, togo)),
            }
        }
        let (dx, dy) = (px - x, py - y);
        let length = (dx * dx + dy * dy).sqrt();
        Some((if length > 0.0 { (dx / length, dy / length) } else { first }, togo))
    }

    /// The steepest way down as a unit vector, and the seconds from here.
    fn descend(&self, grid: &Grid, x: f64, y: f64) -> Option<((f64, f64), f64)> {
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

    /// The least value in the passage of an opening.
    fn at_opening(&self, grid: &Grid, opening: usize) -> Option<f64> {
        let mut least = f32::INFINITY;
        for k in 0..self.time.len() {
            let node = (self.bottom + k / self.width) * grid.width + self.left + k % self.width;
            if grid.area_at_node(node) == Area::Passage(opening as u16) && grid.clear_at_node(node) >= WALL {
                least = least.min(self.time[k]);
            }
        }
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
