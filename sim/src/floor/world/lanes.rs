//! Lanes: where lines stand. Fixed at set-up: from the position back along the way in, on through
//! the door, a slot every 0.5 m, against the nearer wall, none before another opening, none in
//! another lane.

use super::{SpotId, World};
use crate::evening::scenario::Serves;
use crate::floor::grid::{APRON_ASIDE, APRON_DEPTH, Area};
use crate::floor::routes::Target;
use crate::house::plan::{Opening, OpeningId, RoomId};

/// Distance between people in line, in meters (0.47 m when spaced: British metric data).
const SLOT: f64 = 0.5;
/// A lane ends where its next slot would be farther than this from the last, in meters: the clear
/// ways of an opening and some more.
const LONGEST_GAP: f64 = 2.5;
/// The longest lane, in slots.
const LONGEST: usize = 60;
/// No slot is nearer than this to the middle of an opening the lane does not go through, in meters
/// (3 ft).
const CLEAR_OF_OPENINGS: f64 = Opening::REACH;
/// People in line stand this far from a wall, in meters, where there is one within [`WALL_WITHIN`].
const FROM_WALL: f64 = 0.27;
const WALL_WITHIN: f64 = 0.8;
/// Out of doors people in line stand this far from the house, and this far beside the middle of the
/// step, in meters.
const OFF_HOUSE: f64 = 0.35;
const BESIDE_STEP: f64 = 0.75;
/// Least distance between slots of different lanes and other serving positions, in meters.
const APART: f64 = 0.45;

/// Lays the lanes of all spots slot by slot in turn, so that every lane gets the floor nearest its
/// own head.
pub(super) fn lay(world: &mut World) {
    let mut taken: Vec<Xy> = world
        .spots
        .iter()
        .flat_map(|s| s.positions.iter())
        .map(|p| p.target.point.meters())
        .collect();
    let lined = world.spots.keys().filter(|&s| world.spots[s].serves != Serves::Door);
    let mut growing: Vec<Growing> = lined
        .flat_map(|s| (0..world.spots[s].lanes.len()).map(move |l| (s, l)))
        .map(|(s, l)| Growing::new(world, s, l))
        .collect();
    for _ in 0..LONGEST {
        for lane in &mut growing {
            if let Some(slot) = lane.next(world, &taken) {
                taken.push(slot.point.meters());
                lane.slots.push(slot);
            }
        }
    }
    for lane in growing {
        world.spots[lane.spot].lanes[lane.lane].slots = lane.slots;
    }
}

/// A lane being laid along its way.
struct Growing {
    spot: SpotId,
    lane: usize,
    path: Vec<Xy>,
    /// The next point of the way to look at.
    next: usize,
    /// The slot laid last, or the position.
    last: Xy,
    /// The private room the position is in: its line waits outside.
    private: Option<RoomId>,
    /// Openings the way goes through.
    through: Vec<OpeningId>,
    slots: Vec<Target>,
}

impl Growing {
    fn new(world: &World, spot: SpotId, lane: usize) -> Growing {
        let first = world.spots[spot].lanes[lane].positions[0];
        let start = world.spots[spot].positions[first].target.point.meters();
        let said = world
            .scenario
            .lines
            .get(&world.spots[spot].name)
            .and_then(|way| world.plan.opening(way))
            .filter(|&o| world.open[o]);
        let toward = said.unwrap_or(world.entry);
        let mut path =
            world.routes.path_to_opening(&world.grid, start, toward, SLOT / 5.0, LONGEST * 10);
        if toward != world.entry {
            path.extend(straight_on(world, toward, &path));
        } else if !is_outside_entry(world, start) {
            path.extend(out_of_doors(world));
        }
        let through = openings_on(world, &path);
        Growing {
            spot,
            lane,
            path,
            next: 0,
            last: start,
            private: private_room(world, start),
            through,
            slots: vec![],
        }
    }

    /// The next slot along the way; `None` where the lane ends.
    fn next(&mut self, world: &World, taken: &[Xy]) -> Option<Target> {
        while self.next < self.path.len() {
            let (x, y) = self.path[self.next];
            let at = beside_wall(world, x, y);
            let gap = distance(at, self.last);
            if gap > LONGEST_GAP && !self.slots.is_empty() {
                self.next = self.path.len();
                return None;
            }
            self.next += 1;
            if gap + 1e-9 >= SLOT && self.may_stand(world, at, taken) {
                self.last = at;
                return world.reachable(at.0, at.1);
            }
        }
        None
    }

    fn may_stand(&self, world: &World, at: Xy, taken: &[Xy]) -> bool {
        let in_private = self
            .private
            .is_some_and(|r| world.room_at(at.0, at.1) == Some(r) || near_own_door(world, r, at));
        let in_passage = matches!(world.grid.area_at(at.0, at.1), Area::Passage(_));
        let apart = self.slots.iter().all(|s| distance(s.point.meters(), at) >= SLOT - 0.02);
        !in_private
            && !in_passage
            && apart
            && is_free(world, at, taken, &self.through)
            && world.reachable(at.0, at.1).is_some()
    }
}

type Xy = (f64, f64);

fn is_outside_entry(world: &World, at: Xy) -> bool {
    world.grid.area_at(at.0, at.1) == Area::Outside(world.entry)
}

/// The way on from the way in, along the house and then out from it, on the side with more ground;
/// the step itself stays free.
fn out_of_doors(world: &World) -> Vec<Xy> {
    let o = &world.plan.openings[world.entry];
    let near = o.depth / 2.0 + OFF_HOUSE;
    let turn = o.clear / 2.0 + APRON_ASIDE - OFF_HOUSE;
    let side = |sign: f64| {
        let beside = (0..)
            .map(|k| BESIDE_STEP + f64::from(k) * SLOT / 5.0)
            .take_while(|a| *a <= turn)
            .map(|a| (sign * a, near));
        let outward = (1..)
            .map(|k| near + f64::from(k) * SLOT / 5.0)
            .take_while(|t| *t <= o.depth / 2.0 + APRON_DEPTH)
            .map(|t| (sign * turn, t));
        let points: Vec<(f64, f64)> =
            beside.chain(outward).map(|(a, t)| o.point(a, t)).map(|p| (p.x, p.y)).collect();
        points.into_iter().filter(|p| is_outside_entry(world, *p)).collect::<Vec<_>>()
    };
    let (one, other) = (side(1.0), side(-1.0));
    if one.len() >= other.len() { one } else { other }
}

/// Straight on through an opening, as far as there is floor: the way a line goes that does not run
/// to the way in.
fn straight_on(world: &World, opening: OpeningId, path: &[Xy]) -> Vec<Xy> {
    let o = &world.plan.openings[opening];
    let off = |&(x, y): &Xy| (x - o.center.x) * o.through.0 + (y - o.center.y) * o.through.1;
    // the side it comes from is that of the last point off the sill
    let Some(from) = path.iter().rev().map(off).find(|d| d.abs() > 0.1) else {
        return vec![];
    };
    let sign = if from > 0.0 { -1.0 } else { 1.0 };
    let points =
        (1..LONGEST * 5).map(|k| o.point(0.0, sign * (k as f64) * SLOT / 5.0)).map(|p| (p.x, p.y));
    points.take_while(|&(x, y)| world.grid.clearance(x, y) > 0.2).collect()
}

/// The private room a position is in: its line waits outside.
fn private_room(world: &World, at: Xy) -> Option<RoomId> {
    world.room_at(at.0, at.1).filter(|&r| {
        world.plan.rooms[r].usage.is_private()
            || world.plan.rooms[r].usage == crate::house::plan::Use::Closet
    })
}

/// The first in line for a private room leaves its door free to open.
fn near_own_door(world: &World, room: RoomId, at: Xy) -> bool {
    let doors = world.plan.openings.iter().filter(|o| o.joins(room));
    doors.into_iter().any(|o| distance((o.center.x, o.center.y), at) < o.depth / 2.0 + 0.55)
}

fn openings_on(world: &World, path: &[Xy]) -> Vec<OpeningId> {
    let on =
        |o: &Opening| path.iter().any(|&(x, y)| distance((o.center.x, o.center.y), (x, y)) < 0.3);
    world.plan.openings.keys().filter(|&o| on(&world.plan.openings[o])).collect()
}

fn is_free(world: &World, at: Xy, taken: &[Xy], through: &[OpeningId]) -> bool {
    let clear_of_lanes = taken.iter().all(|&t| distance(t, at) >= APART);
    let others = world.plan.openings.iter_enumerated().filter(|(o, _)| {
        !through.contains(o) && crate::floor::grid::is_way(&world.plan, *o, &world.open)
    });
    clear_of_lanes
        && others
            .into_iter()
            .all(|(_, o)| distance((o.center.x, o.center.y), at) >= CLEAR_OF_OPENINGS)
}

fn distance(a: Xy, b: Xy) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}

/// Moves a slot to the nearest wall within reach.
fn beside_wall(world: &World, x: f64, y: f64) -> (f64, f64) {
    const WAYS: [(f64, f64); 4] = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    if matches!(world.grid.area_at(x, y), Area::Outside(_)) {
        return (x, y);
    }
    let near = WAYS
        .iter()
        .map(|&w| (world.grid.reach(x, y, w, WALL_WITHIN), w))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    match near {
        Some((d, w)) if d > FROM_WALL && d < WALL_WITHIN => {
            (x + w.0 * (d - FROM_WALL), y + w.1 * (d - FROM_WALL))
        }
        _ => (x, y),
    }
}
