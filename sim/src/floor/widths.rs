//! How wide the floor is: the clear width across any point of it, true to the tape at any angle, and
//! the widest way from one point to every other. Leaves to others: what a way has to be wide enough
//! for.

use crate::floor::grid::{Area, Grid};
use crate::floor::routes::WALL;
use crate::floor::world::World;
use crate::house::plan::OpeningId;
use geo::{Distance, Euclidean, Line, Point, Polygon};
use std::collections::BinaryHeap;

/// Two edges face each other across a point if the cosine between the ways to them is below this.
const ACROSS: f64 = -0.5;
/// An end of a width so near to the passage of an opening is its jamb, in meters.
const AT_JAMB: f64 = 0.01;

/// The clear width across a point, in meters, and the points it lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Width {
    /// Clear width.
    pub clear: f64,
    /// From the nearest edge of the floor to the nearest one across from it.
    pub ends: [(f64, f64); 2],
}

/// What a node of floor is narrow between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Between {
    /// Nothing within the most that was looked for.
    Open,
    /// The jambs of an opening.
    Jambs(OpeningId),
    /// Walls or pieces at these points.
    Edges([(f64, f64); 2]),
}

/// The floor of a house to be measured.
pub struct Widths<'w> {
    world: &'w World,
    edges: Vec<Line<f64>>,
    passages: Vec<(OpeningId, Polygon<f64>)>,
}

impl<'w> Widths<'w> {
    /// The floor of a house.
    pub fn new(world: &'w World) -> Widths<'w> {
        let rings = world.grid.floor.iter();
        let rings = rings.flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
        let passages = world.plan.openings.iter_enumerated().map(|(o, opening)| {
            // jambs are where the clear width ends, not where the floor of a leaf does
            (o, opening.box_of(opening.clear, 0.0))
        });
        Widths {
            world,
            edges: rings.flat_map(|r| r.lines()).collect(),
            passages: passages.collect(),
        }
    }

    /// Distance from a point of floor to the nearest edge, in meters, exact.
    pub fn clearance(&self, at: (f64, f64)) -> f64 {
        let squared = |l: &Line<f64>| {
            let way = way_to(l, at);
            way.0 * way.0 + way.1 * way.1
        };
        self.edges.iter().map(squared).fold(f64::INFINITY, f64::min).sqrt()
    }

    /// Distance from a point along a unit vector to the first edge, in meters; infinite where there is
    /// none.
    pub fn ahead(&self, from: (f64, f64), along: (f64, f64)) -> f64 {
        // from the edge of a piece on
        const OFF: f64 = 0.002;
        let (x, y) = (from.0 + along.0 * OFF, from.1 + along.1 * OFF);
        let hit = |l: &Line<f64>| {
            let (ax, ay) = (l.start.x - x, l.start.y - y);
            let cross = along.0 * l.dy() - along.1 * l.dx();
            let distance = (ax * l.dy() - ay * l.dx()) / cross;
            let share = (ax * along.1 - ay * along.0) / cross;
            let meets = cross.abs() > 1e-12 && distance >= 0.0 && (0.0..=1.0).contains(&share);
            meets.then_some(distance + OFF)
        };
        self.edges.iter().filter_map(hit).fold(f64::INFINITY, f64::min)
    }

    /// The clear width across a point, if edges are within `most` meters on both sides of it.
    pub fn across(&self, (x, y): (f64, f64), most: f64) -> Option<Width> {
        let near = self.edges.iter().filter_map(|l| {
            let way = way_to(l, (x, y));
            let squared = way.0 * way.0 + way.1 * way.1;
            (squared < most * most && squared > 1e-18).then_some((squared, way))
        });
        let mut ways: Vec<(f64, (f64, f64))> = near.collect();
        ways.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (first, one) = *ways.first()?;
        let faces = |(squared, w): &&(f64, (f64, f64))| {
            w.0 * one.0 + w.1 * one.1 < ACROSS * (squared * first).sqrt()
        };
        let (_, other) = *ways.iter().find(faces)?;
        Some(Width {
            clear: (one.0 - other.0).hypot(one.1 - other.1),
            ends: [one, other].map(|w| (x + w.0, y + w.1)),
        })
    }

    /// The clear width at a node of floor, `most` meters where it is at least that, and what it lies
    /// between; `None` where nobody walks.
    pub fn at_node(&self, node: usize, most: f64) -> Option<(f64, Between)> {
        let (grid, plan) = (&self.world.grid, &self.world.plan);
        let clear = grid.clear_at_node(node);
        if clear < WALL {
            return None;
        }
        if let Area::Passage(o) = grid.area_at_node(node) {
            return Some((plan.openings[o].clear.min(most), Between::Jambs(o)));
        }
        let at = grid.node_xy(node);
        let is_room = matches!(grid.area_at_node(node), Area::Room(_));
        if f64::from(clear) >= most / 2.0 || !is_room {
            return Some((most, Between::Open));
        }
        Some(match self.across((at.x, at.y), most).filter(|w| w.clear < most) {
            None => (most, Between::Open),
            Some(width) => match self.jambs(width.ends) {
                Some(o) => (plan.openings[o].clear.min(most), Between::Jambs(o)),
                None => (width.clear, Between::Edges(width.ends)),
            },
        })
    }

    /// The opening both ends of a width are jambs of.
    fn jambs(&self, ends: [(f64, f64); 2]) -> Option<OpeningId> {
        self.passages.iter().find(|(_, p)| ends.iter().all(|&e| is_at(p, e))).map(|(o, _)| *o)
    }

    /// Whether an end of a width is a jamb of an opening.
    pub fn is_jamb(&self, end: (f64, f64)) -> bool {
        self.passages.iter().any(|(_, p)| is_at(p, end))
    }
}

/// From a point to the nearest one of an edge.
fn way_to(l: &Line<f64>, (x, y): (f64, f64)) -> (f64, f64) {
    let (dx, dy) = (l.dx(), l.dy());
    let along = (x - l.start.x) * dx + (y - l.start.y) * dy;
    let share = (along / (dx * dx + dy * dy).max(1e-12)).clamp(0.0, 1.0);
    (l.start.x + dx * share - x, l.start.y + dy * share - y)
}

/// Whether a point lies on a passage or at its jambs.
fn is_at(passage: &Polygon<f64>, (x, y): (f64, f64)) -> bool {
    Euclidean.distance(&Point::new(x, y), passage) < AT_JAMB
}

/// For each node the least ease on the easiest way to it from a node, and the node where that is;
/// `None` where nobody gets. The ease of a node is whatever the caller makes of its width; `None`
/// bars it.
pub fn easiest_ways(grid: &Grid, ease: &[Option<f64>], start: usize) -> Vec<Option<(f64, usize)>> {
    let mut best: Vec<Option<(f64, usize)>> = vec![None; ease.len()];
    let micro = |w: f64| (w * 1e6) as u64;
    let mut heap = BinaryHeap::from([(u64::MAX, start)]);
    best[start] = Some((f64::INFINITY, start));
    let mut done = vec![false; ease.len()];
    while let Some((_, node)) = heap.pop() {
        let Some((so_far, at)) = best[node].filter(|_| !std::mem::replace(&mut done[node], true))
        else {
            continue;
        };
        for next in neighbors(grid, node) {
            let Some(here) = ease[next].filter(|_| !done[next]) else {
                continue;
            };
            let then = if here < so_far { (here, next) } else { (so_far, at) };
            if best[next].is_none_or(|b| then.0 > b.0) {
                best[next] = Some(then);
                heap.push((micro(then.0.min(1e6)), next));
            }
        }
    }
    best
}

/// Nodes one step away, and the same point of stairs on their other level.
pub fn neighbors(grid: &Grid, node: usize) -> impl Iterator<Item = usize> + '_ {
    let (i, j) = ((node % grid.width) as isize, (node / grid.width) as isize);
    let steps = [(-1, 0), (1, 0), (0, -1), (0, 1)].into_iter().map(move |(a, b)| (i + a, j + b));
    let on = steps.filter(|&(a, b)| {
        a >= 0 && b >= 0 && (a as usize) < grid.width && (b as usize) < grid.height
    });
    on.map(|(a, b)| b as usize * grid.width + a as usize).chain(grid.twin(node))
}
