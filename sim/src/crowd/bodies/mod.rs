//! The only changing state of a trial's floor: where every body is and goes, what each is doing,
//! who is near, each one's next event.

mod buckets;
mod fold;

use crate::base::units::{Point, Tick, UNIT};
use crate::floor::grid::Grid;
use crate::floor::routes::Target;
use crate::floor::world::SpotId;
use crate::house::plan::Plan;
use buckets::{Buckets, Entry};
use fold::{Fold, Side};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Index of a body on the floor.
pub type BodyId = usize;

/// What somebody is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doing {
    /// Not in the house.
    Away,
    /// Under way.
    Walk,
    /// Getting past somebody, both turned sideways.
    Squeeze,
    /// In line at a spot.
    Line(SpotId),
    /// Being served at a spot.
    At(SpotId),
    /// Standing and talking.
    Talk,
    /// Sitting.
    Sit,
    /// Hosting.
    Host,
}

/// One person on the floor: moving from `from` to `to` over `start..end`, then standing at `to`.
#[derive(Clone, Debug)]
#[repr(C, align(64))] // what everybody near looks at lies together in one cache line
pub struct Body {
    /// Number of the person.
    pub person: u32,
    /// Start of the step.
    pub from: Point,
    /// End of the step.
    pub to: Point,
    /// When it starts.
    pub start: Tick,
    /// When it ends.
    pub end: Tick,
    /// The step in meters.
    motion: Motion,
    /// What the person is doing.
    doing: Doing,
    /// Free pace on the flat in m/s.
    pub pace: f64,
    /// Free pace along stairs in m/s, if a script says it.
    pub stair_pace: Option<f64>,
    /// Where the person walks to.
    pub target: Option<Target>,
    /// Direction of the way there.
    pub way: (f64, f64),
    /// Direction of the last step.
    pub heading: (f64, f64),
    /// The nearest the person has come to the target, in seconds at 1 m/s.
    pub best: f64,
    /// Since when there is no getting on: the moment `best` was reached.
    pub best_at: Tick,
    /// Since when slower than half the pace.
    pub slow_since: Option<Tick>,
    /// Who was in the way at the last step.
    pub blocker: Option<BodyId>,
    /// Rest of a squeeze: points, the next one last.
    pub path: Vec<Point>,
    /// Backing out of a way too narrow for two, until then.
    pub backing: Option<Tick>,
    /// Where somebody sits, on a piece; the body itself is where feet and knees take floor.
    pub seat: Option<Point>,
}

/// A step in meters, worked out once: everybody near looks at it.
#[derive(Clone, Copy, Debug, Default)]
struct Motion {
    from: (f64, f64),
    to: (f64, f64),
    /// Metres a second.
    velocity: (f64, f64),
    speed: f64,
    /// Unit vector of the velocity; none for a body that stays where it is.
    toward: Option<(f64, f64)>,
}

impl Motion {
    fn of(from: Point, to: Point, time: Tick) -> Motion {
        let (from, to) = (from.meters(), to.meters());
        let seconds = crate::base::units::seconds(time);
        let velocity = match time {
            0 => (0.0, 0.0),
            _ => ((to.0 - from.0) / seconds, (to.1 - from.1) / seconds),
        };
        let speed = (velocity.0 * velocity.0 + velocity.1 * velocity.1).sqrt();
        let toward = (speed > 0.0).then(|| (velocity.0 / speed, velocity.1 / speed));
        Motion { from, to, velocity, speed, toward }
    }
}

impl Body {
    /// A body standing at a point.
    pub fn standing(person: u32, at: Point, pace: f64, now: Tick) -> Body {
        Body {
            person,
            from: at,
            to: at,
            start: now,
            end: now,
            motion: Motion::of(at, at, 0),
            doing: Doing::Walk,
            pace,
            stair_pace: None,
            target: None,
            way: (0.0, 0.0),
            heading: (0.0, 0.0),
            best: f64::INFINITY,
            best_at: now,
            slow_since: None,
            blocker: None,
            path: vec![],
            backing: None,
            seat: None,
        }
    }

    /// The same, doing something.
    pub fn while_doing(self, doing: Doing) -> Body {
        Body { doing, ..self }
    }

    /// The same with another free pace along stairs.
    pub fn on_stairs_at(self, stair_pace: Option<f64>) -> Body {
        Body { stair_pace, ..self }
    }

    /// Metres at a moment.
    pub fn at(&self, now: Tick) -> (f64, f64) {
        self.between(self.motion.from, self.motion.to, now)
    }

    /// Where on the way from one point to another a moment of the step is.
    fn between(&self, from: (f64, f64), to: (f64, f64), now: Tick) -> (f64, f64) {
        if now >= self.end {
            return to;
        }
        let share = now.saturating_sub(self.start) as f64 / (self.end - self.start).max(1) as f64;
        (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
    }

    /// What the person is doing.
    pub fn doing(&self) -> Doing {
        self.doing
    }

    /// Where others see the person: who sits is seen on the seat.
    pub fn seen_at(&self, now: Tick) -> (f64, f64) {
        self.on_own_level(0).seen_at(now)
    }

    /// The body as seen from its own copy of stairs.
    fn on_own_level(&self, id: BodyId) -> Neighbor<'_> {
        Neighbor { id, body: self, moved: Point { x: 0, y: 0 } }
    }

    /// Metres a second at a moment.
    pub fn velocity(&self, now: Tick) -> (f64, f64) {
        if now >= self.end { (0.0, 0.0) } else { self.motion.velocity }
    }

    /// Metres a second at a moment whatever the direction.
    pub fn speed(&self, now: Tick) -> f64 {
        if now >= self.end { 0.0 } else { self.motion.speed }
    }

    /// The direction of the present step, or of the way of somebody who stands.
    pub fn toward(&self, now: Tick) -> (f64, f64) {
        self.motion.toward.filter(|_| now < self.end).unwrap_or(self.way)
    }

    /// Seconds without getting on.
    pub fn stuck_for(&self, now: Tick) -> f64 {
        crate::base::units::seconds(now.saturating_sub(self.best_at))
    }

    /// Notes how far it still is.
    pub fn gets_on(&mut self, togo: f64, now: Tick) {
        if togo < self.best - GETTING_ON {
            self.best = togo;
            self.best_at = now;
        }
    }

    /// A new way begins.
    pub fn starts_afresh(&mut self, now: Tick) {
        self.best = f64::INFINITY;
        self.best_at = now;
        self.backing = None;
    }

    /// Whether under way rather than standing for a purpose.
    pub fn is_walking(&self) -> bool {
        matches!(self.doing, Doing::Walk | Doing::Squeeze)
    }
}

/// Somebody near, as seen from where one looks.
#[derive(Clone, Copy)]
pub struct Neighbor<'a> {
    /// Who.
    pub id: BodyId,
    /// The body, on its own copy of stairs.
    pub body: &'a Body,
    /// How far it is moved where one looks from the other copy of stairs, in units.
    pub moved: Point,
}

impl<'a> Neighbor<'a> {
    /// Metres at a moment.
    pub fn at(&self, now: Tick) -> (f64, f64) {
        if self.is_on_own_level() {
            return self.body.at(now);
        }
        let [from, to] = [self.body.from, self.body.to].map(|p| p.plus(self.moved).meters());
        self.body.between(from, to, now)
    }

    /// Where their step ends.
    pub fn to(&self) -> Point {
        self.body.to.plus(self.moved)
    }

    /// The same in meters.
    pub fn end(&self) -> (f64, f64) {
        if self.is_on_own_level() { self.body.motion.to } else { self.to().meters() }
    }

    fn is_on_own_level(&self) -> bool {
        self.moved == Point { x: 0, y: 0 }
    }

    /// Where they sit, if they do.
    pub fn seat(&self) -> Option<Point> {
        let seat = self.body.seat.filter(|_| self.body.doing == Doing::Sit);
        seat.map(|seat| seat.plus(self.moved))
    }

    /// Where the person is seen: who sits is seen on the seat.
    pub fn seen_at(&self, now: Tick) -> (f64, f64) {
        self.seat().map_or_else(|| self.at(now), Point::meters)
    }

    /// Where the present step ends and the points of a squeeze after it, in meters, in order.
    pub fn route(&self) -> impl Iterator<Item = (f64, f64)> + use<'a> {
        let (body, moved) = (self.body, self.moved);
        std::iter::once(&body.to).chain(body.path.iter().rev()).map(move |p| p.plus(moved).meters())
    }
}

/// How far one looks for others, in units east, west, north and south.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// For those under way, and those whose step has not ended.
    walking: i32,
    /// For those who stand or sit.
    standing: i32,
    /// The moment.
    now: Tick,
}

impl Reach {
    /// As far as anybody minds anybody: 4.4 m.
    pub const ALL: Reach = Reach { walking: FARTHEST, standing: FARTHEST, now: 0 };

    /// So many meters, at most as far as [`Reach::ALL`].
    pub fn within(meters: f64) -> Reach {
        let units = units(meters);
        Reach { walking: units, standing: units, now: 0 }
    }

    /// As far as anybody minds anybody, but for those who stand at a moment so many meters.
    pub fn standing_within(meters: f64, now: Tick) -> Reach {
        Reach { walking: FARTHEST, standing: units(meters), now }
    }

    /// So many meters for those under way at a moment, and for those who stand.
    pub fn around(walking: f64, standing: f64, now: Tick) -> Reach {
        Reach { walking: units(walking), standing: units(standing), now }
    }
}

fn units(meters: f64) -> i32 {
    ((meters / UNIT) as i32 + 1).min(FARTHEST)
}

/// Coming nearer by this much counts as getting on, in seconds at 1 m/s.
const GETTING_ON: f64 = 0.05;
/// Nobody minds anybody whose step ends farther than this, in units (4.4 m: 3.6 m seen ahead and a
/// long step).
const FARTHEST: i32 = 64 * 59;

/// All bodies and their next events.
pub struct Floor {
    /// Bodies by id; those not `in_use` are free to be taken again.
    pub bodies: Vec<Body>,
    in_use: Vec<bool>,
    free: Vec<BodyId>,
    folds: Vec<Fold>,
    buckets: Buckets,
    events: BinaryHeap<Reverse<(Tick, u32, u32)>>,
    next_event: Vec<Tick>,
    reversed: bool,
    inside: usize,
}

impl Floor {
    /// An empty floor under a lattice. With `reversed`, ties go to the later person.
    pub fn new(plan: &Plan, grid: &Grid, reversed: bool) -> Floor {
        Floor {
            bodies: vec![],
            in_use: vec![],
            free: vec![],
            folds: plan.stairs.iter().map(|s| Fold::new(plan, s)).collect(),
            buckets: Buckets::new(grid),
            events: BinaryHeap::new(),
            next_event: vec![],
            reversed,
            inside: 0,
        }
    }

    /// Bodies in the house.
    pub fn inside(&self) -> usize {
        self.inside
    }

    /// Ids in use, in order.
    pub fn ids(&self) -> impl Iterator<Item = BodyId> + '_ {
        (0..self.bodies.len()).filter(|&id| self.in_use[id])
    }

    /// Puts a body on the floor.
    pub fn enter(&mut self, body: Body) -> BodyId {
        let id = match self.free.pop() {
            Some(id) => {
                self.bodies[id] = body;
                self.in_use[id] = true;
                id
            }
            None => {
                self.bodies.push(body);
                self.in_use.push(true);
                self.next_event.push(Tick::MAX);
                self.bodies.len() - 1
            }
        };
        self.buckets.enter(Entry::of(id, &self.bodies[id]));
        self.next_event[id] = Tick::MAX;
        self.inside += 1;
        id
    }

    /// Takes a body off the floor.
    pub fn leave(&mut self, id: BodyId) {
        self.buckets.leave(id, self.bodies[id].to);
        self.in_use[id] = false;
        self.next_event[id] = Tick::MAX;
        self.bodies[id].doing = Doing::Away;
        self.free.push(id);
        self.inside -= 1;
    }

    /// Starts a step to a point, ending at a tick.
    pub fn step(&mut self, id: BodyId, to: Point, now: Tick, end: Tick) {
        let from = self.bodies[id].to;
        self.moves(id, from, to, (now, end.max(now)));
    }

    fn moves(&mut self, id: BodyId, from: Point, to: Point, (start, end): (Tick, Tick)) {
        let body = &mut self.bodies[id];
        let old = std::mem::replace(&mut body.to, to);
        (body.from, body.start, body.end) = (from, start, end);
        body.motion = Motion::of(from, to, end - start);
        let entry = Entry::of(id, body);
        self.buckets.moved(old, entry);
    }

    /// Changes what somebody is doing.
    pub fn does(&mut self, id: BodyId, doing: Doing) {
        self.bodies[id].doing = doing;
        if self.in_use[id] {
            self.buckets.moved(self.bodies[id].to, Entry::of(id, &self.bodies[id]));
        }
    }

    /// The same point on the other level for a body on stairs that has to change to it: to that of
    /// the half it is in, or, if it waits for somebody on the other copy of them, to that one.
    pub fn other_level(&self, id: BodyId, waits: bool) -> Option<Point> {
        let at = self.bodies[id].to;
        let (fold, side) = self.folds.iter().find_map(|f| Some((f, f.side(at)?)))?;
        let theirs =
            self.bodies[id].blocker.filter(|_| waits).and_then(|b| fold.side(self.bodies[b].to));
        (side != theirs.unwrap_or_else(|| fold.half(at, side))).then(|| at.plus(fold.across(side)))
    }

    /// Puts a body that stands at another point of the sheet.
    pub fn put(&mut self, id: BodyId, there: Point) {
        let end = self.bodies[id].end;
        self.moves(id, there, there, (end, end));
    }

    /// Calls `see` for every body but `id` whose step ends so near a point. From stairs also for
    /// those on their other level, and to everybody for those on stairs, as they are seen from the
    /// point's own level.
    pub fn near<'a>(
        &'a self,
        at: Point,
        reach: Reach,
        id: BodyId,
        mut see: impl FnMut(Neighbor<'a>),
    ) {
        self.near_on_sheet(at, reach, id, |id, body| see(body.on_own_level(id)));
        for fold in &self.folds {
            for (here, there) in [(Side::Lower, Side::Upper), (Side::Upper, Side::Lower)] {
                if fold.is_near(at, here) {
                    let (moved, on_stairs) = (fold.across(there), fold.side(at) == Some(here));
                    self.near_on_sheet(at.plus(fold.across(here)), reach, id, |id, body| {
                        if on_stairs || fold.side(body.to) == Some(there) {
                            see(Neighbor { id, body, moved });
                        }
                    });
                }
            }
        }
    }

    fn near_on_sheet<'a>(
        &'a self,
        at: Point,
        reach: Reach,
        id: BodyId,
        mut see: impl FnMut(BodyId, &'a Body),
    ) {
        self.buckets.near(at, reach, |other| {
            if other != id {
                see(other, &self.bodies[other]);
            }
        });
    }

    /// Sets the one next event of a body.
    pub fn wake(&mut self, id: BodyId, at: Tick) {
        self.next_event[id] = at;
        let person = self.bodies[id].person;
        let rank = if self.reversed { u32::MAX - person } else { person };
        self.events.push(Reverse((at, rank, id as u32)));
    }

    /// The tick of the next event.
    pub fn next_tick(&mut self) -> Option<Tick> {
        while let Some(&Reverse((at, _, id))) = self.events.peek() {
            if self.next_event[id as usize] == at && self.in_use[id as usize] {
                return Some(at);
            }
            self.events.pop();
        }
        None
    }

    /// Takes the next event.
    pub fn pop(&mut self) -> Option<(Tick, BodyId)> {
        self.next_tick()?;
        let Reverse((at, _, id)) = self.events.pop()?;
        self.next_event[id as usize] = Tick::MAX;
        Some((at, id as usize))
    }
}
