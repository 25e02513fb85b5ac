//! The widest way from the way in to every opening and spot, and where it narrows under a walkway.

use super::{Fault, Goal, Purpose, TOLD};
use crate::base::units::INCH;
use crate::evening::scenario::Serves;
use crate::floor::grid::{Area, Grid, is_way};
use crate::floor::routes::WALL;
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, bound_at};
use crate::house::plan::Use;
use std::collections::BinaryHeap;

/// Floor so near to where guests are served is theirs, in meters: the piece served at is no narrow
/// place (2 ft 6 in).
const AT_SPOT: f64 = 30.0 * INCH;
/// Two edges face each other across a point if the cosine between the ways to them is below this.
const ACROSS: f64 = -0.5;

/// Ways under a walkway, each narrow place once, with the nearest goal behind it.
pub(super) fn faults(world: &World) -> Vec<Fault> {
    let least = Purpose::WALKWAY;
    let widths: Vec<Option<f64>> =
        (0..world.grid.len()).map(|n| width_at(world, n, least)).collect();
    let start =
        world.grid.nearest_node(world.outside.point.meters().0, world.outside.point.meters().1);
    let narrowest = widest_ways(&world.grid, &widths, start);
    let mut found: Vec<Fault> = vec![];
    for (to, node) in goals(world) {
        let Some((clear, at)) = narrowest[node].filter(|(clear, _)| *clear < least - TOLD) else {
            continue;
        };
        let Some((_, between)) = across(world, at, least) else {
            continue;
        };
        let is_known = |f: &Fault| matches!(f, Fault::Way { between: b, .. } if *b == between || *b == [between[1], between[0]]);
        if !found.iter().any(is_known) {
            found.push(Fault::Way { to, between, clear, least });
        }
    }
    found
}

/// Where guests have to get to, the nearest to the way in first: spots, and openings that are ways.
fn goals(world: &World) -> Vec<(Goal, usize)> {
    let ways = world
        .plan
        .openings
        .keys()
        .filter(|&o| o != world.entry && is_way(&world.plan, o, &world.open));
    let openings = ways.map(|o| (Goal::Opening(o), world.plan.openings[o].center));
    let served = world
        .spots
        .iter_enumerated()
        .filter(|(_, s)| !matches!(s.serves, Serves::Door | Serves::Powder));
    let at = |p: &crate::floor::world::Position| {
        let (x, y) = p.target.point.meters();
        crate::house::plan::Xy { x, y }
    };
    let spots = served.flat_map(|(i, s)| s.positions.first().map(|p| (Goal::Spot(i), at(p))));
    let mut all: Vec<(Goal, usize, f64)> = openings
        .chain(spots)
        .filter_map(|(goal, at)| {
            Some((goal, world.grid.nearest_node(at.x, at.y), world.to_entry(at.x, at.y)?))
        })
        .collect();
    all.sort_by(|a, b| a.2.total_cmp(&b.2));
    all.into_iter().map(|(goal, node, _)| (goal, node)).collect()
}

/// The clear width of the floor at a node, in meters: no more than the least asked for, where it is
/// at least that; `None` off the floor. Openings have their own clear widths, and stairs and the
/// ground outside theirs.
fn width_at(world: &World, node: usize, least: f64) -> Option<f64> {
    let clear = world.grid.clear_at_node(node);
    if clear < WALL {
        return None;
    }
    let at = world.grid.node_xy(node);
    let on_stairs = matches!(world.grid.area_at_node(node), Area::Room(r) if world.plan.rooms[r].usage == Use::Stairs);
    let inside = matches!(world.grid.area_at_node(node), Area::Room(_));
    if f64::from(clear) >= least / 2.0
        || !inside
        || on_stairs
        || is_at_opening(world, (at.x, at.y), least)
        || is_at_spot(world, (at.x, at.y))
    {
        return Some(least);
    }
    Some(across(world, (at.x, at.y), least).map_or(least, |(wide, _)| wide.min(least)))
}

/// Whether a point lies in an opening or so near before it that its jambs are what is near.
fn is_at_opening(world: &World, (x, y): (f64, f64), least: f64) -> bool {
    world.plan.openings.iter().any(|o| {
        let (dx, dy) = (x - o.center.x, y - o.center.y);
        let (along, through) =
            (dx * o.along.0 + dy * o.along.1, dx * o.through.0 + dy * o.through.1);
        along.abs() <= o.clear / 2.0 && through.abs() <= o.depth / 2.0 + least / 2.0
    })
}

fn is_at_spot(world: &World, (x, y): (f64, f64)) -> bool {
    let near = |p: &crate::floor::world::Position| {
        let (px, py) = p.target.point.meters();
        (px - x).hypot(py - y) <= AT_SPOT
    };
    world.spots.iter().flat_map(|s| &s.positions).any(near)
}

/// The clear width across a point, and what it lies between: the nearest edge of the floor, and the
/// nearest one across from it.
fn across(world: &World, (x, y): (f64, f64), most: f64) -> Option<(f64, [Bound; 2])> {
    let rings =
        world.grid.floor.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
    let near = rings.flat_map(|r| r.lines()).map(|l| {
        let (dx, dy) = (l.end.x - l.start.x, l.end.y - l.start.y);
        let share = (((x - l.start.x) * dx + (y - l.start.y) * dy)
            / (dx * dx + dy * dy).max(1e-12))
        .clamp(0.0, 1.0);
        (l.start.x + dx * share - x, l.start.y + dy * share - y)
    });
    let mut ways: Vec<(f64, (f64, f64))> =
        near.map(|w| (w.0.hypot(w.1), w)).filter(|(d, _)| *d < most && *d > 1e-9).collect();
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (first, one) = *ways.first()?;
    let (_, other) =
        *ways.iter().find(|(d, w)| (w.0 * one.0 + w.1 * one.1) / (d * first) < ACROSS)?;
    let between = [one, other].map(|w| bound_at(world, (x + w.0, y + w.1)));
    Some(((one.0 - other.0).hypot(one.1 - other.1), between))
}

/// For each node the narrowest width on the widest way to it from a node, and where that is.
fn widest_ways(
    grid: &Grid,
    widths: &[Option<f64>],
    start: usize,
) -> Vec<Option<(f64, (f64, f64))>> {
    let mut best: Vec<Option<(f64, (f64, f64))>> = vec![None; widths.len()];
    let micro = |w: f64| (w * 1e6) as u64;
    let mut heap = BinaryHeap::from([(u64::MAX, start)]);
    best[start] = Some((f64::INFINITY, (0.0, 0.0)));
    let mut done = vec![false; widths.len()];
    while let Some((_, node)) = heap.pop() {
        let Some((so_far, at)) = best[node].filter(|_| !std::mem::replace(&mut done[node], true))
        else {
            continue;
        };
        for next in neighbors(grid, node) {
            let Some(wide) = widths[next].filter(|_| !done[next]) else {
                continue;
            };
            let p = grid.node_xy(next);
            let then = if wide < so_far { (wide, (p.x, p.y)) } else { (so_far, at) };
            if best[next].is_none_or(|b| then.0 > b.0) {
                best[next] = Some(then);
                heap.push((micro(then.0.min(1e6)), next));
            }
        }
    }
    best
}

/// Nodes one step away, and the same point of stairs on their other level.
fn neighbors(grid: &Grid, node: usize) -> impl Iterator<Item = usize> + '_ {
    let (i, j) = ((node % grid.width) as isize, (node / grid.width) as isize);
    let steps = [(-1, 0), (1, 0), (0, -1), (0, 1)].into_iter().map(move |(a, b)| (i + a, j + b));
    let on = steps.filter(|&(a, b)| {
        a >= 0 && b >= 0 && (a as usize) < grid.width && (b as usize) < grid.height
    });
    on.map(|(a, b)| b as usize * grid.width + a as usize).chain(grid.twin(node))
}
