//! The widest way from the way in to every opening and spot, and where it narrows under a walkway.

use super::{Fault, Goal, Purpose};
use crate::base::units::INCH;
use crate::base::units::TOLD;
use crate::evening::scenario::Serves;
use crate::floor::grid::{Area, is_way};
use crate::floor::routes::WALL;
use crate::floor::widths::{Widths, easiest_ways};
use crate::floor::world::World;
use crate::floor::world::aisles::bound_at;
use crate::house::plan::Use;

/// Floor so near to where guests are served is theirs, in meters: the piece served at is no narrow
/// place (2 ft 6 in).
const AT_SPOT: f64 = 30.0 * INCH;

/// Ways under a walkway, each narrow place once, with the nearest goal behind it.
pub(super) fn faults(world: &World) -> Vec<Fault> {
    let least = Purpose::WALKWAY;
    let floor = Widths::new(world);
    let widths: Vec<Option<f64>> =
        (0..world.grid.len()).map(|n| width_at(world, &floor, n, least)).collect();
    let start =
        world.grid.nearest_node(world.outside.point.meters().0, world.outside.point.meters().1);
    let narrowest = easiest_ways(&world.grid, &widths, start);
    let mut found: Vec<Fault> = vec![];
    for (to, node) in goals(world) {
        let Some((clear, at)) = narrowest[node].filter(|(clear, _)| *clear < least - TOLD) else {
            continue;
        };
        let p = world.grid.node_xy(at);
        let Some(width) = floor.across((p.x, p.y), least) else {
            continue;
        };
        let between = width.ends.map(|end| bound_at(world, end));
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
fn width_at(world: &World, floor: &Widths, node: usize, least: f64) -> Option<f64> {
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
    Some(floor.across((at.x, at.y), least).map_or(least, |w| w.clear.min(least)))
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
