//! Who is near a walker, and whether a step keeps clear of them.

use super::params::*;
use crate::base::units::{Point, Tick, seconds};
use crate::crowd::bodies::{Body, BodyId, Doing, Floor, Neighbor, Reach};
use crate::floor::world::World;
use std::cell::Cell;

/// Whether no wall or furniture is between, worked out when first needed, since it is costly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    Unknown,
    Yes,
    No,
}

/// Somebody near, at the moment of the step.
#[derive(Clone, Debug)]
pub(super) struct Near {
    pub id: BodyId,
    /// How far they are moved: they are on the other level's copy of stairs, in units.
    pub moved: Point,
    /// Where from the walker, in meters.
    pub rel: (f64, f64),
    /// Where their step ends, from the walker.
    pub end: (f64, f64),
    pub distance: f64,
    /// How far their step still goes.
    pub goes: f64,
    pub velocity: (f64, f64),
    /// Seconds until their step ends.
    pub rest: f64,
    pub doing: Doing,
    /// Whether they come against the walker's way.
    pub comes: bool,
    /// Whether they go the walker's way.
    pub along: bool,
    pub squeezing: bool,
    /// Unseen people do not slow anybody, but are not run into round a corner.
    pub seen: Cell<Seen>,
}

impl Near {
    /// Whether they are on the walker's own copy of stairs, or on none.
    pub(super) fn is_on_this_level(&self) -> bool {
        self.moved == Point { x: 0, y: 0 }
    }

    pub(super) fn is_moving(&self) -> bool {
        self.velocity != (0.0, 0.0)
    }

    /// Where their step ends and the points of their squeeze after it, as the walker sees them.
    fn route<'a>(&self, floor: &'a Floor) -> impl Iterator<Item = (f64, f64)> + 'a {
        Neighbor { id: self.id, body: &floor.bodies[self.id], moved: self.moved }.route()
    }

    /// Whether the walker at `at` sees them.
    pub(super) fn is_seen(&self, world: &World, at: (f64, f64)) -> bool {
        if self.seen.get() == Seen::Unknown {
            let clear = world.grid.is_clear_line(at, (at.0 + self.rel.0, at.1 + self.rel.1), 0.0);
            self.seen.set(if clear { Seen::Yes } else { Seen::No });
        }
        self.seen.get() == Seen::Yes
    }
}

/// Everybody a walker going `way` has to mind, nearest first.
pub(super) fn look(floor: &Floor, id: BodyId, way: (f64, f64), now: Tick, found: &mut Vec<Near>) {
    found.clear();
    let me = &floor.bodies[id];
    let at = me.at(now);
    let reach = me.pace * LONG_STEP + MEETS;
    let eyes = eyes(me, Reach::standing_within(SEES_STANDING, now), now);
    floor.near(me.to, eyes, id, |other| {
        let (there, rel, squared) = seen_from(at, other, now);
        let walks = now < other.body.end || other.body.doing() == Doing::Walk;
        let range = if walks { SEES_WALKERS } else { SEES_STANDING };
        if squared >= range * range {
            return;
        }
        let ahead = rel.0 * way.0 + rel.1 * way.1;
        let slows = ahead > -0.3 && squared < SLOWS * SLOWS;
        let comes = walks && ahead > 0.0 && (way.0 * rel.1 - way.1 * rel.0).abs() < COMES_WITHIN;
        if slows || comes || is_close(other, there, squared, reach, now) {
            let seen = if !slows && !comes {
                Seen::No
            } else if squared < 0.09 {
                Seen::Yes
            } else {
                Seen::Unknown
            };
            add(other, rel, way, seen, at, now, found);
        }
    });
    // distances are not negative, so their bits are in order
    found.sort_unstable_by_key(|n| (n.distance.to_bits(), n.id));
}

/// Everybody whom somebody who stands could run into with a step of so many meters, in no order.
pub(super) fn look_around(
    floor: &Floor,
    id: BodyId,
    length: f64,
    now: Tick,
    found: &mut Vec<Near>,
) {
    found.clear();
    let me = &floor.bodies[id];
    let at = me.at(now);
    let reach = length + CORE + 2.0 * ROUNDS;
    // who comes is near within a step to either side of where it ends, who sits within the piece
    let eyes = eyes(me, Reach::around(reach + 2.0 * LONGEST, reach + SEAT_AWAY, now), now);
    floor.near(me.to, eyes, id, |other| {
        let (there, rel, squared) = seen_from(at, other, now);
        // who sits is near also where the seat is, and who squeezes where they get to
        let spreads = other.body.doing() == Doing::Sit || !other.body.path.is_empty();
        if (spreads && squared < SLOWS * SLOWS) || is_close(other, there, squared, reach, now) {
            add(other, rel, (0.0, 0.0), Seen::No, at, now, found);
        }
    });
}

/// The seat of somebody who sits is nearer to their feet than this, in meters.
const SEAT_AWAY: f64 = 1.0;

/// How far somebody looks who stands where their step ended; before its end, all around it.
fn eyes(me: &Body, reach: Reach, now: Tick) -> Reach {
    if now < me.end { Reach::ALL } else { reach }
}

/// Where somebody is, where from `at`, and how far squared.
fn seen_from(at: (f64, f64), other: Neighbor, now: Tick) -> ((f64, f64), (f64, f64), f64) {
    let there = other.at(now);
    let rel = (there.0 - at.0, there.1 - at.1);
    (there, rel, rel.0 * rel.0 + rel.1 * rel.1)
}

/// Whether somebody is within reach, or could come within reach before their step ends.
fn is_close(other: Neighbor, there: (f64, f64), squared: f64, reach: f64, now: Tick) -> bool {
    if squared < reach * reach || now >= other.body.end {
        return squared < reach * reach;
    }
    let end = other.end();
    let goes =
        ((end.0 - there.0) * (end.0 - there.0) + (end.1 - there.1) * (end.1 - there.1)).sqrt();
    squared < (reach + goes) * (reach + goes)
}

/// Adds somebody, and their seat, if they sit: nobody walks between a sitter's feet and the seat.
fn add(
    other: Neighbor,
    rel: (f64, f64),
    way: (f64, f64),
    seen: Seen,
    at: (f64, f64),
    now: Tick,
    found: &mut Vec<Near>,
) {
    found.push(near_of(other, rel, way, seen, at, now));
    let seat = other.seat().map(Point::meters);
    found.extend(seat.map(|(x, y)| on_seat(other, (x - at.0, y - at.1), seen)));
}

/// Steps end up to so far from where they were meant to, in meters: two units.
const ROUNDS: f64 = 0.002;

fn near_of(
    other: Neighbor,
    rel: (f64, f64),
    way: (f64, f64),
    seen: Seen,
    me: (f64, f64),
    now: Tick,
) -> Near {
    let (body, end) = (other.body, other.end());
    let (speed, toward) = (body.speed(now), body.toward(now));
    let rest = seconds(body.end.saturating_sub(now));
    let same = toward.0 * way.0 + toward.1 * way.1;
    Near {
        id: other.id,
        moved: other.moved,
        rel,
        distance: (rel.0 * rel.0 + rel.1 * rel.1).sqrt(),
        end: (end.0 - me.0, end.1 - me.1),
        velocity: body.velocity(now),
        rest,
        goes: speed * rest + ROUNDS,
        doing: body.doing(),
        comes: matches!(body.doing(), Doing::Walk | Doing::Squeeze) && same < -0.3,
        along: same > 0.25,
        squeezing: !body.path.is_empty(),
        seen: Cell::new(seen),
    }
}

/// The seat of somebody who sits, as a body.
fn on_seat(other: Neighbor, rel: (f64, f64), seen: Seen) -> Near {
    Near {
        id: other.id,
        moved: other.moved,
        rel,
        end: rel,
        distance: (rel.0 * rel.0 + rel.1 * rel.1).sqrt(),
        goes: ROUNDS,
        velocity: (0.0, 0.0),
        rest: 0.0,
        doing: Doing::Sit,
        comes: false,
        along: false,
        squeezing: false,
        seen: Cell::new(seen),
    }
}

/// The least distance over the motion of the walker to `to` (from the walker, in meters) in `time`
/// seconds, and of the other until both stand.
pub(super) fn least_distance(n: &Near, to: (f64, f64), time: f64) -> f64 {
    if n.rest <= 0.0 {
        return origin_to_segment(n.rel, (n.rel.0 - to.0, n.rel.1 - to.1));
    }
    let both = time.min(n.rest);
    let me_at = |t: f64| {
        if time > 0.0 { (to.0 * (t / time).min(1.0), to.1 * (t / time).min(1.0)) } else { to }
    };
    let other_at = |t: f64| {
        let share = if n.rest > 0.0 { (t / n.rest).min(1.0) } else { 1.0 };
        (n.rel.0 + (n.end.0 - n.rel.0) * share, n.rel.1 + (n.end.1 - n.rel.1) * share)
    };
    let gap = |t: f64| {
        let (a, b) = (me_at(t), other_at(t));
        (b.0 - a.0, b.1 - a.1)
    };
    let last = time.max(n.rest);
    origin_to_segment(gap(0.0), gap(both)).min(origin_to_segment(gap(both), gap(last)))
}

fn origin_to_segment(a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let squared = dx * dx + dy * dy;
    let share =
        if squared > 0.0 { (-(a.0 * dx + a.1 * dy) / squared).clamp(0.0, 1.0) } else { 0.0 };
    let (x, y) = (a.0 + dx * share, a.1 + dy * share);
    (x * x + y * y).sqrt()
}

/// Distance from a point to a segment, in meters.
pub(super) fn point_to_segment(p: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    origin_to_segment((a.0 - p.0, a.1 - p.1), (b.0 - p.0, b.1 - p.1))
}

/// Whether a step keeps `core` from everybody, or at least gets no nearer to those who are nearer
/// already. Returns the first who is in the way.
pub(super) fn hit(
    floor: &Floor,
    near: &[Near],
    from: (f64, f64),
    to: (f64, f64),
    time: f64,
    core: f64,
) -> Option<BodyId> {
    let length = (to.0 * to.0 + to.1 * to.1).sqrt();
    near.iter()
        .filter(|n| n.squeezing || n.distance <= length + n.goes + core)
        .find(|n| {
            let keep = core.min(n.distance - 0.001).max(CORE_TURNED.min(n.distance - 1e-6));
            let crossed = n.squeezing && crosses_path(n.route(floor), from, to, keep);
            crossed || least_distance(n, to, time) < keep
        })
        .map(|n| n.id)
}

/// Whether a straight step comes near the rest of a squeeze.
fn crosses_path(
    route: impl Iterator<Item = (f64, f64)>,
    from: (f64, f64),
    to: (f64, f64),
    keep: f64,
) -> bool {
    let end = (from.0 + to.0, from.1 + to.1);
    let path: Vec<(f64, f64)> = route.collect();
    path.windows(2).any(|w| segments_apart((w[0], w[1]), (from, end)) < keep)
}

/// Distance between two segments that do not cross, in meters; between their nearest ends if they
/// do.
fn segments_apart(a: Segment, b: Segment) -> f64 {
    let ends = point_to_segment(a.0, b.0, b.1).min(point_to_segment(a.1, b.0, b.1));
    ends.min(point_to_segment(b.0, a.0, a.1)).min(point_to_segment(b.1, a.0, a.1))
}

fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}

type Segment = ((f64, f64), (f64, f64));

/// Whether a point is at least `keep` from where everybody but two is and goes, and from their
/// squeezes.
pub(super) fn is_free_of_others(
    floor: &Floor,
    near: &[Near],
    from: (f64, f64),
    points: &[Point],
    but: BodyId,
    keep: f64,
) -> bool {
    let reach = points.iter().map(|p| apart(p.meters(), from)).fold(0.0, f64::max);
    let spreads = |n: &Near| n.squeezing || n.doing == Doing::Sit;
    let could_meet = |n: &&Near| spreads(n) || n.distance <= reach + n.goes + keep + ROUNDS;
    near.iter().filter(|n| n.id != but).filter(could_meet).all(|n| {
        let start = (from.0 + n.rel.0, from.1 + n.rel.1);
        let theirs: Vec<(f64, f64)> = std::iter::once(start).chain(n.route(floor)).collect();
        points.windows(2).all(|w| {
            theirs
                .windows(2)
                .all(|t| segments_apart((w[0].meters(), w[1].meters()), (t[0], t[1])) >= keep)
        })
    })
}
