//! When stuck, each after its own patience: side-step, creep, squeeze past, back out. Standing
//! people make room. The ladder always ends: whoever is in the way long enough lets one past.

use super::near::{self, Near};
use super::params::*;
use super::speed::{Sight, cross, dot};
use super::{Act, Eyes};
use crate::base::units::{Point, Tick, ticks};
use crate::crowd::bodies::{BodyId, Doing, Floor};
use crate::floor::routes::{Lead, WALL};
use crate::floor::world::World;

/// What a stuck walker tries; `None` to wait, or to walk on if that is possible.
#[expect(clippy::too_many_arguments, reason = "the whole of one moment")]
pub(super) fn next(
    floor: &Floor,
    world: &World,
    sight: &Sight,
    lead: &Lead,
    id: BodyId,
    stuck: f64,
    now: Tick,
    blocked: bool,
) -> Option<Act> {
    if lead.way == (0.0, 0.0) {
        return None;
    }
    let faced = (stuck >= FACED_AFTER).then(|| who_faces(floor, sight, id, stuck, now)).flatten();
    if let Some(other) = faced {
        if let Some(act) = squeeze(floor, world, sight, other, now) {
            return Some(act);
        }
        if stuck >= BACK_OUT_AFTER && should_back_out(world, sight, other) {
            return Some(Act::BackOut(ticks(BACKING)));
        }
    }
    if stuck >= GIVE_WAY_AFTER && gives_way(floor, sight, now) {
        return Some(Act::BackOut(ticks(GIVING_WAY)));
    }
    if stuck >= turns_back_after(id) && !stands_in_a_crowd(sight) {
        return Some(Act::BackOut(ticks(TURNING_BACK)));
    }
    let side_step = (blocked && stuck >= SIDE_STEP_AFTER)
        .then(|| side_step(floor, world, sight, lead))
        .flatten();
    side_step.or_else(|| {
        (blocked && stuck >= CREEP_AFTER && !waits_behind(sight))
            .then(|| creep(floor, world, sight, lead, stuck))
            .flatten()
    })
}

fn on_floor(world: &World, sight: &Sight, to: (f64, f64)) -> bool {
    let margin = WALL.min(sight.clear);
    let end = (sight.at.0 + to.0, sight.at.1 + to.1);
    world.grid.clearance(end.0, end.1) >= margin
        && world.grid.is_clear_line(sight.at, end, passing(margin))
}

fn act_to(sight: &Sight, to: (f64, f64), time: f64) -> Act {
    Act::Go(Point::from_meters(sight.at.0 + to.0, sight.at.1 + to.1), ticks(time).max(1))
}

/// A step to the side from which the way ahead is faster, right before left.
fn side_step(floor: &Floor, world: &World, sight: &Sight, lead: &Lead) -> Option<Act> {
    let right = (lead.way.1, -lead.way.0);
    let here = sight.pace(lead.way).pace;
    [0.15, -0.15, 0.30, -0.30].iter().find_map(|&offset: &f64| {
        let to = (right.0 * offset, right.1 * offset);
        let time = offset.abs() / SIDEWAYS;
        if !on_floor(world, sight, to)
            || near::hit(floor, sight.near, sight.at, to, time, CORE).is_some()
        {
            return None;
        }
        let moved: Vec<Near> = sight
            .near
            .iter()
            .map(|n| Near { rel: (n.rel.0 - to.0, n.rel.1 - to.1), ..n.clone() })
            .collect();
        let there = sight.moved(to, &moved).pace(lead.way).pace;
        (there > here + 0.2).then(|| act_to(sight, to, time))
    })
}

/// Three inches at a shuffle, with a turned shoulder after a while.
fn creep(floor: &Floor, world: &World, sight: &Sight, lead: &Lead, stuck: f64) -> Option<Act> {
    let core = match stuck {
        s if s < 2.0 => CORE,
        s if s < 4.0 => CORE_CREEPING,
        _ => CORE_TURNED + 0.002,
    };
    let length: f64 = 0.076;
    let time = length / CREEP;
    let (fx, fy) = lead.way;
    FAN.iter().take(FAN.len() - 1).flat_map(|&(cos, sin)| [(cos, -sin), (cos, sin)]).find_map(
        |(cos, sin)| {
            let h = (fx * cos - fy * sin, fx * sin + fy * cos);
            let length = if lead.straight { length.min(lead.togo) } else { length };
            let to = (h.0 * length, h.1 * length);
            let free = on_floor(world, sight, to)
                && near::hit(floor, sight.near, sight.at, to, time, core).is_none();
            (free && length > 0.004).then(|| act_to(sight, to, time))
        },
    )
}

/// Somebody near ahead to squeeze past: one who faces the walker and is stuck too, somebody
/// standing who did not make room, after a long time anybody.
fn who_faces(floor: &Floor, sight: &Sight, id: BodyId, stuck: f64, now: Tick) -> Option<BodyId> {
    let in_reach = |n: &&Near| {
        n.is_on_this_level()
            && n.distance <= SQUEEZE_REACH
            && dot(n.rel, sight.way) > 0.3 * n.distance
            && !n.squeezing
            && !n.is_moving()
            && n.is_seen(sight.world, sight.at)
    };
    let may = |n: &&Near| {
        let other = &floor.bodies[n.id];
        let their_stuck = other.stuck_for(now);
        match n.doing {
            Doing::Walk => {
                (dot(other.way, sight.way) < 0.0 && their_stuck >= FACED_AFTER)
                    || (stuck >= ANYBODY_AFTER && dot(other.way, sight.way) < 0.3)
            }
            Doing::Talk | Doing::Host | Doing::Line(_) => stuck >= SQUEEZE_AFTER + 1.0,
            Doing::At(_) => stuck >= ANYBODY_AFTER,
            // who sits draws in instead
            Doing::Sit | Doing::Squeeze | Doing::Away => false,
        }
    };
    sight.near.iter().filter(in_reach).find(may).map(|n| n.id).filter(|&o| o != id)
}

/// Two arcs round the middle between the two, each on the walker's right if it can be, both turned
/// sideways.
fn squeeze(floor: &Floor, world: &World, sight: &Sight, other: BodyId, now: Tick) -> Option<Act> {
    let me = sight.at;
    let them = floor.bodies[other].at(now);
    let (dx, dy) = (them.0 - me.0, them.1 - me.1);
    let distance = (dx * dx + dy * dy).sqrt();
    if distance < CORE_TURNED {
        return None;
    }
    let u = (dx / distance, dy / distance);
    let left = (-u.1, u.0);
    let middle = ((me.0 + them.0) / 2.0, (me.1 + them.1) / 2.0);
    for side in [1.0, -1.0] {
        for shift in [0.0, 0.05, -0.05, 0.10, -0.10, 0.15, -0.15, 0.20, -0.20] {
            let arc = |sign: f64| -> Vec<Point> {
                // cosine and sine of the pieces' angles, 0 to 180 degrees by 30
                const PIECES: [(f64, f64); SQUEEZE_PIECES] = [
                    (0.866_025_403_784_438_6, 0.5),
                    (0.5, 0.866_025_403_784_438_6),
                    (0.0, 1.0),
                    (-0.5, 0.866_025_403_784_438_6),
                    (-0.866_025_403_784_438_6, 0.5),
                    (-1.0, 0.0),
                ];
                PIECES
                    .iter()
                    .map(|(cos, sin)| {
                        let (a, b) = (
                            -sign * cos * distance / 2.0,
                            -sign * side * SQUEEZE_SIDE * sin + shift * sin,
                        );
                        Point::from_meters(
                            middle.0 + u.0 * a + left.0 * b,
                            middle.1 + u.1 * a + left.1 * b,
                        )
                    })
                    .collect()
            };
            let (mine, theirs) = (arc(1.0), arc(-1.0));
            if free_arc(floor, world, sight, other, me, &mine)
                && free_arc(floor, world, sight, other, them, &theirs)
            {
                return Some(Act::Squeeze {
                    with: other,
                    mine,
                    theirs,
                    piece: ticks(SQUEEZE_PIECE),
                });
            }
        }
    }
    None
}

fn free_arc(
    floor: &Floor,
    world: &World,
    sight: &Sight,
    other: BodyId,
    from: (f64, f64),
    arc: &[Point],
) -> bool {
    let points: Vec<Point> =
        std::iter::once(Point::from_meters(from.0, from.1)).chain(arc.iter().copied()).collect();
    let margin = WALL_TURNED.min(world.grid.clearance(from.0, from.1));
    let on_floor = points.windows(2).all(|w| {
        let (a, b) = (w[0].meters(), w[1].meters());
        let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
        world.grid.clearance(b.0, b.1) >= margin
            && world.grid.clearance(middle.0, middle.1) >= margin
    });
    on_floor
        && near::is_free_of_others(floor, sight.near, sight.at, &points, other, CORE_TURNED + 0.004)
}

/// Whether somebody who goes the same way stands right ahead: it is no use pressing on them.
fn waits_behind(sight: &Sight) -> bool {
    let right_ahead = |n: &Near| {
        let (ahead, aside) = (dot(n.rel, sight.way), cross(sight.way, n.rel).abs());
        n.along && !n.is_moving() && ahead > 0.0 && ahead < RIGHT_AHEAD.0 && aside < RIGHT_AHEAD.1
    };
    sight.near.iter().any(right_ahead)
}

/// Seconds without getting on after which somebody turns back a few steps and tries again. Each has
/// a patience of their own: two in one opening that turn back at the same moment meet there again.
fn turns_back_after(id: BodyId) -> f64 {
    TURNS_BACK_AFTER * (1.0 + (id as f64 * GOLDEN).fract())
}

/// Whether somebody under way the same way is before the walker: then the walker waits their turn.
fn stands_in_a_crowd(sight: &Sight) -> bool {
    let before = |n: &Near| {
        n.doing == Doing::Walk
            && n.along
            && dot(n.rel, sight.way) > 0.5 * n.distance
            && n.distance < CROWD_WITHIN
    };
    sight.near.iter().any(before)
}

/// Whether a clump that faces itself is to be dissolved by this walker: of two directions always
/// the same one goes back, those behind with those before them.
fn gives_way(floor: &Floor, sight: &Sight, now: Tick) -> bool {
    let yields = sight.way.0 * YIELDS.0 + sight.way.1 * YIELDS.1 > 0.0;
    let faces = |n: &&Near| {
        let other = &floor.bodies[n.id];
        let opposed = n.doing == Doing::Walk
            && dot(other.way, sight.way) < -0.3
            && dot(n.rel, sight.way) > 0.0;
        opposed
            && n.distance <= SEES_CLUMP
            && (other.backing.is_some_and(|until| until > now)
                || other.stuck_for(now) >= SQUEEZE_AFTER)
    };
    yields && sight.near.iter().any(|n| faces(&n))
}

/// Whether the way to room for two leads away from the other: then this is the one with the shorter
/// way back.
fn should_back_out(world: &World, sight: &Sight, other: BodyId) -> bool {
    let back = world.routes.to_room_for_two(&world.grid, sight.at.0, sight.at.1);
    let them = sight.near.iter().find(|n| n.id == other);
    matches!((back, them), (Some((way, togo)), Some(n)) if togo > 0.02 && dot(way, n.rel) < 0.0)
}

/// Where somebody standing moves to let a walker past: to the side they are on already, a little,
/// onto free floor. Returns the point and the ticks it takes.
pub fn make_room(
    floor: &Floor,
    world: &World,
    eyes: &mut Eyes,
    id: BodyId,
    walker: BodyId,
    now: Tick,
) -> Option<(Point, Tick)> {
    near::look_around(floor, id, MAKES_ROOM[0], now, &mut eyes.0);
    let (me, way) = (floor.bodies[id].at(now), floor.bodies[walker].way);
    let from = floor.bodies[walker].at(now);
    let side = if cross(way, (me.0 - from.0, me.1 - from.1)) >= 0.0 { 1.0 } else { -1.0 };
    let clear = world.grid.clearance(me.0, me.1);
    let away = (-way.1, way.0);
    let tries = [(side, 0.0), (side * 0.7, 0.7), (-side, 0.0), (side * 0.7, -0.7), (0.0, 1.0)];
    tries.iter().flat_map(|t| MAKES_ROOM.map(|d| (t, d))).find_map(|(&(a, b), d)| {
        let to = ((away.0 * a + way.0 * b) * d, (away.1 * a + way.1 * b) * d);
        let end = (me.0 + to.0, me.1 + to.1);
        let time = d / SIDEWAYS;
        let helps = || {
            cross(way, (end.0 - from.0, end.1 - from.1)).abs()
                > cross(way, (me.0 - from.0, me.1 - from.1)).abs() + 0.05
                || b > 0.9
        };
        let on_floor = || world.grid.clearance(end.0, end.1) >= WALL.min(clear);
        let clear_line = || world.grid.is_clear_line(me, end, passing(WALL.min(clear)));
        let free = || near::hit(floor, &eyes.0, me, to, time, CORE).is_none();
        (helps() && on_floor() && free() && clear_line())
            .then(|| (Point::from_meters(end.0, end.1), ticks(time)))
    })
}

/// Somebody makes room by so many meters, as far as there is floor.
const MAKES_ROOM: [f64; 3] = [0.35, 0.22, 0.12];
/// Who goes back to where they stood shifts by so many meters at a time at most.
const SHIFTS: f64 = 0.3;

/// A straight shift of somebody standing to a point nearby, if nobody is in the way, or with a
/// turned body; at most 0.3 m at a time.
pub fn shift(
    floor: &Floor,
    world: &World,
    eyes: &mut Eyes,
    id: BodyId,
    to: Point,
    turned: bool,
    now: Tick,
) -> Option<(Point, Tick)> {
    let core = if turned { CORE_TURNED + 0.002 } else { CORE };
    near::look_around(floor, id, SHIFTS, now, &mut eyes.0);
    let me = floor.bodies[id].at(now);
    let (x, y) = to.meters();
    let (dx, dy) = (x - me.0, y - me.1);
    let distance = (dx * dx + dy * dy).sqrt();
    let share = (SHIFTS / distance.max(0.001)).min(1.0);
    let by = (dx * share, dy * share);
    let time = distance * share / SIDEWAYS;
    let end = (me.0 + by.0, me.1 + by.1);
    let margin = WALL.min(world.grid.clearance(x, y)).min(world.grid.clearance(me.0, me.1));
    let on_floor = world.grid.clearance(end.0, end.1) >= margin
        && world.grid.is_clear_line(me, end, passing(margin));
    let free = on_floor && near::hit(floor, &eyes.0, me, by, time, core).is_none();
    free.then(|| (Point::from_meters(end.0, end.1), ticks(time).max(1)))
}

impl<'a> Sight<'a> {
    /// The same moment seen from a little to the side.
    fn moved<'b>(&self, by: (f64, f64), near: &'b [Near]) -> Sight<'b>
    where
        'a: 'b,
    {
        self.seen_from((self.at.0 + by.0, self.at.1 + by.1), near)
    }
}
