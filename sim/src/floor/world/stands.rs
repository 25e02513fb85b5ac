//! Where people like to stand and talk: points of floor, each with its pull.

use super::World;
use crate::base::units::INCH;
use crate::evening::scenario::Serves;
use crate::floor::routes::Target;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Edge, Furniture, RoomId, Side, Use};
use std::sync::atomic::{AtomicU8, Ordering};

/// A place to stand and talk: a point of floor and how much people like it.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// The room.
    pub room: RoomId,
    /// The point.
    pub target: Target,
    /// Metres to the nearest lane, serving position, seat or opening.
    pub free: f64,
    /// Relative pull.
    pub pull: u64,
    /// For a stand at the edge of a piece: the way out from it.
    pub perch: Option<(f64, f64)>,
}

/// Pull of a stand on the way between the door and a spot, against one off it: common practice.
const ON_A_WAY: f64 = 0.3;
/// Pull of a stand in a lane, at a serving position, a seat or an opening: common practice.
const IN_THE_WAY: f64 = 0.05;
/// Pull of a stand near food or drinks: common practice.
const NEAR_FOOD: f64 = 2.0;
/// So near, in meters.
const NEAR: f64 = 3.0;
/// Talkers seldom stand nearer than this to lanes, serving positions, seats and openings, in
/// meters: common practice.
pub const KEPT_FREE: f64 = 0.45;
/// Nobody talks nearer than this to a wall, in meters.
const FROM_WALL: f32 = 0.25;

/// How much people like to stand and talk in a room, by its use: drawn to kitchen, then living.
/// Common practice, a knob in `[talk] pull`.
pub fn usual_pull(usage: Use) -> f64 {
    match usage {
        Use::Kitchen => 3.0,
        Use::Living => 2.0,
        Use::Dining | Use::Outdoors => 1.5,
        Use::Office | Use::Other => 0.7,
        Use::Hall => 0.5,
        Use::Bedroom
        | Use::Powder
        | Use::Bath
        | Use::Closet
        | Use::Laundry
        | Use::Stairs
        | Use::Kids => 0.0,
    }
}

type Xy = (f64, f64);

/// Nobody has asked yet whether a node is good to stand at.
const UNASKED: u8 = 2;

pub(super) fn lay(world: &mut World) {
    let avoid = points_to_keep_free(world);
    let ways = main_ways(world);
    let mut stands: Vec<Stand> = world
        .routes
        .stands(&world.grid)
        .into_iter()
        .filter_map(|(room, target, share)| stand(world, room, target, share, &avoid, &ways))
        .collect();
    stands.extend(perches(world).into_iter().filter_map(|(room, target, out)| {
        let s = stand(world, room, target, 1.0, &avoid, &ways)?;
        Some(Stand {
            pull: (s.pull as f64 * world.scenario.habits.perch) as u64,
            perch: Some(out),
            ..s
        })
    }));
    world.stands = stands;
    world.good_to_stand = (0..world.grid.len()).map(|_| AtomicU8::new(UNASKED)).collect();
    world.kept_free = avoid;
    world.stand_pulls = world
        .stands
        .iter()
        .scan(0, |sum, s: &Stand| {
            *sum += s.pull;
            Some(*sum)
        })
        .collect();
}

/// A stand at a point, its pull by the room, by what is near, and by the share of its square that
/// is floor: a sliver draws few, however walls run.
fn stand(
    world: &World,
    room: RoomId,
    target: Target,
    share: f64,
    avoid: &[Xy],
    ways: &[Xy],
) -> Option<Stand> {
    let at = target.point.meters();
    let r = &world.plan.rooms[room];
    let pull =
        world.scenario.talk.pull.get(&r.name).copied().unwrap_or_else(|| usual_pull(r.usage));
    if pull <= 0.0
        || r.usage.is_private()
        || world.to_entry(at.0, at.1).is_none()
        || world.grid.clearance(at.0, at.1) < FROM_WALL
    {
        return None;
    }
    let free = avoid.iter().map(|p| squared(*p, at).sqrt()).fold(f64::INFINITY, f64::min);
    let on_a_way = ways.iter().any(|w| squared(*w, at) < KEPT_FREE * KEPT_FREE);
    let place = if free < KEPT_FREE {
        IN_THE_WAY
    } else if on_a_way {
        ON_A_WAY
    } else {
        1.0
    };
    let weight = pull * place * share * if is_near_food(world, target) { NEAR_FOOD } else { 1.0 };
    Some(Stand { room, target, free, pull: (weight * 1000.0) as u64, perch: None })
}

/// Who leans on a piece stands so far from its edge, in meters: common practice.
const PERCHED: f64 = 0.28;
/// Elbow room of somebody at an edge, in meters (24 in: NKBA guideline 9).
const PERCH_PITCH: f64 = 24.0 * INCH;

/// Points along the edges of pieces people like to stand at, with their room and the way out from
/// the edge.
fn perches(world: &World) -> Vec<(RoomId, Target, Xy)> {
    let laid =
        |f: &Furniture| world.spots.iter().any(|s| s.serves == Serves::Food && s.name == f.name);
    let leant_on = |f: &&Furniture| {
        matches!(f.kind, Kind::Island | Kind::Counter | Kind::Bar | Kind::Hearth | Kind::Piano)
            || laid(f)
    };
    let pieces = world.plan.furniture.iter().filter(leant_on);
    pieces
        .flat_map(|f| {
            [Side::Front, Side::Back, Side::Ends]
                .into_iter()
                .flat_map(|s| f.edges_of(s))
                .map(move |e| (f.room, e))
        })
        .flat_map(|(r, e)| along(world, r, e))
        .collect()
}

fn along(world: &World, room: RoomId, edge: Edge) -> Vec<(RoomId, Target, Xy)> {
    let n = (edge.length / PERCH_PITCH + 1e-6).floor() as usize;
    let gap = edge.length / n.max(1) as f64;
    let at = |k: usize| {
        let a = (k as f64 + 0.5) * gap - edge.length / 2.0;
        (
            edge.middle.x - edge.out.1 * a + edge.out.0 * PERCHED,
            edge.middle.y + edge.out.0 * a + edge.out.1 * PERCHED,
        )
    };
    let in_room = |&(x, y): &Xy| world.room_at(x, y) == Some(room);
    (0..n)
        .map(at)
        .filter(in_room)
        .filter_map(|(x, y)| Some((room, world.reachable(x, y)?, edge.out)))
        .collect()
}

/// Nobody stands to talk nearer than this to seats, serving positions, the heads of lines and the
/// middles of openings, in meters.
const OFF_WAYS: f64 = 0.40;
/// Passage beside somebody who stands, from their middle, in meters (passage only: 24 in, HUD
/// 1973).
const PASSAGE: f64 = 24.0 * INCH;
/// Four axes, every 45 degrees.
const AXES: [(f64, f64); 4] = [
    (1.0, 0.0),
    (0.0, 1.0),
    (std::f64::consts::FRAC_1_SQRT_2, std::f64::consts::FRAC_1_SQRT_2),
    (-std::f64::consts::FRAC_1_SQRT_2, std::f64::consts::FRAC_1_SQRT_2),
];

impl World {
    /// The point as a target, if somebody may stop there to talk.
    pub fn may_stand(&self, x: f64, y: f64) -> Option<Target> {
        (self.is_good_to_stand(x, y) && self.grid.clearance(x, y) >= crate::floor::routes::WALL)
            .then(|| self.reachable(x, y))
            .flatten()
    }

    /// Whether a point of floor is off openings, the heads of lines, seats and serving positions,
    /// and others can pass whoever stands there.
    pub fn is_good_to_stand(&self, x: f64, y: f64) -> bool {
        let n = self.grid.nearest_node(x, y);
        // whoever asks first finds the same
        match self.good_to_stand[n].load(Ordering::Relaxed) {
            UNASKED => {
                let good = self.is_good_node(n);
                self.good_to_stand[n].store(u8::from(good), Ordering::Relaxed);
                good
            }
            known => known == u8::from(true),
        }
    }

    fn is_good_node(&self, n: usize) -> bool {
        let p = self.grid.node_xy(n);
        let at = (p.x, p.y);
        let in_passage = || {
            self.place_at(p.x, p.y)
                .and_then(|p| self.places[p].opening())
                .is_some_and(|o| !self.plan.openings[o].is_wide())
        };
        let kept = || self.kept_free.iter().any(|p| squared(*p, at) < OFF_WAYS * OFF_WAYS);
        self.grid.clear_at_node(n) > 0.0
            && !in_passage()
            && !kept()
            && self.stairs_at(p.x, p.y).is_none()
            && self.can_be_passed(at)
    }

    /// Whether whoever stands at a point leaves a passage on one side, whichever way others go.
    fn can_be_passed(&self, (x, y): Xy) -> bool {
        let leaves = |(ax, ay): Xy| self.grid.reach(x, y, (ax, ay), PASSAGE) >= PASSAGE;
        f64::from(self.grid.clearance(x, y)) >= PASSAGE
            || AXES.iter().all(|&(ax, ay)| leaves((ax, ay)) || leaves((-ax, -ay)))
    }
}

fn is_near_food(world: &World, target: Target) -> bool {
    let feeds = world.spots.iter().filter(|s| matches!(s.serves, Serves::Food | Serves::Drinks));
    feeds.flat_map(|s| s.positions.iter()).any(|p| p.target.point.distance(target.point) < NEAR)
}

/// Points that talkers leave free: the heads of lanes, serving positions, seats, the middles of
/// openings that are not wide.
fn points_to_keep_free(world: &World) -> Vec<Xy> {
    const HEAD: usize = 6;
    let lanes = world
        .spots
        .iter()
        .flat_map(|s| s.lanes.iter())
        .flat_map(|l| l.slots.iter().take(HEAD))
        .map(|t| t.point.meters());
    let positions =
        world.spots.iter().flat_map(|s| s.positions.iter()).map(|p| p.target.point.meters());
    let seats = world.seats.iter().map(|s| s.approach.point.meters());
    let openings = world
        .plan
        .openings
        .iter_enumerated()
        .filter(|(i, o)| world.open[*i] && !o.is_wide())
        .map(|(_, o)| (o.center.x, o.center.y));
    lanes.chain(positions).chain(seats).chain(openings).collect()
}

/// Points of the ways between the door and the spots, every foot.
fn main_ways(world: &World) -> Vec<Xy> {
    let from =
        world.spots.iter().flat_map(|s| s.positions.first()).map(|p| p.target.point.meters());
    from.flat_map(|p| world.routes.path_to_opening(&world.grid, p, world.entry, 0.3, 400)).collect()
}

fn squared(a: Xy, b: Xy) -> f64 {
    (a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)
}
