//! Lanes: where lines stand. Fixed at set-up: from the position back along the way in, a slot every 0.5 m, against the nearer wall,
//! none before another opening, none in another lane.

use super::World;
use crate::grid::Area;
use crate::plan::Opening;
use crate::routes::Target;
use crate::scenario::Serves;

/// Distance between people in line, in metres (0.47 m when spaced: British metric data).
const SLOT: f64 = 0.5;
/// The longest lane, in slots.
const LONGEST: usize = 60;
/// No slot is nearer than this to the middle of an opening the lane does not go through, in metres (3 ft).
const CLEAR_OF_OPENINGS: f64 = Opening::REACH;
/// People in line stand this far from a wall, in metres, where there is one within [`WALL_WITHIN`].
const FROM_WALL: f64 = 0.27;
const WALL_WITHIN: f64 = 0.8;
/// Least distance between slots of different lanes and other serving positions, in metres.
const APART: f64 = 0.45;

pub(super) fn lay(world: &mut World) {
    let mut taken: Vec<(f64, f64)> = world.spots.iter().flat_map(|s| s.positions.iter()).map(|p| p.target.point.metres()).collect();
    for s in 0..world.spots.len() {
        if world.spots[s].serves == Serves::Door {
            continue;
        }
        for l in 0..world.spots[s].lanes.len() {
            let first = world.spots[s].lanes[l].positions[0];
            let position = world.spots[s].positions[first].target;
            let slots = slots(world, position, &taken);
            taken.extend(slots.iter().map(|t| t.point.metres()));
            world.spots[s].lanes[l].slots = slots;
        }
    }
}

fn slots(world: &World, position: Target, taken: &[(f64, f64)]) -> Vec<Target> {
    let start = position.point.metres();
    let path = world.routes.path_to_opening(&world.grid, start, world.entry, SLOT / 5.0, LONGEST * 10);
    let private = private_room(world, start);
    let through = openings_on(world, &path);
    let mut slots: Vec<Target> = vec![];
    let mut last = start;
    for &(x, y) in &path {
        if slots.len() >= LONGEST {
            break;
        }
        let (x, y) = beside_wall(world, x, y);
        let apart = distance((x, y), last);
        let in_private = private.is_some() && world.room_at(x, y) == private;
        if apart + 1e-9 < SLOT || in_private || !is_free(world, x, y, taken, &through) {
            continue;
        }
        if matches!(world.grid.area_at(x, y), Area::Passage(_)) || private.is_some_and(|r| near_own_door(world, r, x, y)) {
            continue;
        }
        if slots.iter().any(|s| distance(s.point.metres(), (x, y)) < SLOT - 0.02) {
            continue;
        }
        if let Some(target) = world.reachable(x, y) {
            slots.push(target);
            last = (x, y);
        }
    }
    slots
}

/// The private room a position is in: its line waits outside.
fn private_room(world: &World, at: (f64, f64)) -> Option<usize> {
    world.room_at(at.0, at.1).filter(|&r| world.plan.rooms[r].usage.is_private() || world.plan.rooms[r].usage == crate::plan::Use::Closet)
}

/// The first in line for a private room leaves its door free to open.
fn near_own_door(world: &World, room: usize, x: f64, y: f64) -> bool {
    let doors = world.plan.openings.iter().filter(|o| o.rooms.contains(&Some(room)));
    doors.into_iter().any(|o| distance((o.centre.x, o.centre.y), (x, y)) < o.depth / 2.0 + 0.55)
}

fn openings_on(world: &World, path: &[(f64, f64)]) -> Vec<usize> {
    let on = |o: &Opening| path.iter().any(|&(x, y)| distance((o.centre.x, o.centre.y), (x, y)) < 0.3);
    (0..world.plan.openings.len()).filter(|&o| on(&world.plan.openings[o])).collect()
}

fn is_free(world: &World, x: f64, y: f64, taken: &[(f64, f64)], through: &[usize]) -> bool {
    let clear_of_lanes = taken.iter().all(|&t| distance(t, (x, y)) >= APART);
    let others = world.plan.openings.iter().enumerate().filter(|(o, _)| !through.contains(o) && crate::grid::is_way(&world.plan, *o, &world.open));
    clear_of_lanes && others.into_iter().all(|(_, o)| distance((o.centre.x, o.centre.y), (x, y)) >= CLEAR_OF_OPENINGS)
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}

/// Moves a slot to the nearest wall within reach.
fn beside_wall(world: &World, x: f64, y: f64) -> (f64, f64) {
    const WAYS: [(f64, f64); 4] = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    if matches!(world.grid.area_at(x, y), Area::Outside(_)) {
        return (x, y);
    }
    let near = WAYS.iter().map(|&w| (world.grid.reach(x, y, w, WALL_WITHIN), w)).min_by(|a, b| a.0.total_cmp(&b.0));
    match near {
        Some((d, w)) if d > FROM_WALL && d < WALL_WITHIN => (x + w.0 * (d - FROM_WALL), y + w.1 * (d - FROM_WALL)),
        _ => (x, y),
    }
}
