//! Moving bodies: setting out, steps, squeezes, arriving, lines.

use super::person::State;
use super::{Timer, Trial};
use crate::base::units::{Point, TICKS, Tick};
use crate::crowd::bodies::{BodyId, Doing};
use crate::crowd::lines::Order;
use crate::crowd::measure::Count;
use crate::crowd::walk::{self, Act, Step};
use crate::floor::routes::{Target, WALL};
use crate::floor::world::SpotId;

/// A target is reached within this many meters; when it is taken, within the second after waiting
/// so many seconds.
pub(super) const THERE: f64 = 0.06;
const NEARLY_THERE: (f64, f64) = (0.45, 1.5);
/// The same for stops of a script, where it does not matter who stands where.
const NEAR_A_STOP: (f64, f64) = (1.5, 1.5);
/// The same for a seat: nobody sits beside it.
const NEAR_A_SEAT: (f64, f64) = (0.15, 1.5);
/// Who is called up but cannot get there reaches over from within so many meters after so many
/// seconds; so does who cannot close up in a line.
const REACHES_OVER: (f64, f64) = (1.0, 10.0);
/// The same within so many meters for who gets nowhere at all.
const REACHES_FAR: f64 = 2.5;
/// Somebody on stairs who gets no farther for so many seconds looks at them from the level of
/// whoever is in the way.
const WAITS_ON_STAIRS: f64 = 0.6;
/// An opening is reached within this many meters of its passage.
const IN_OPENING: f64 = 0.4;
/// A walker joins a line when within this many meters of its end.
const JOINS: f64 = 0.8;

impl Trial<'_> {
    /// Sends somebody to a target.
    pub(super) fn send(
        &mut self,
        id: BodyId,
        state: State,
        target: Target,
        doing: Doing,
        now: Tick,
    ) {
        let body = &mut self.floor.bodies[id];
        body.target = Some(target);
        body.starts_afresh(now);
        let was_walking = body.doing() == Doing::Walk && self.people[id].state.is_under_way();
        self.people[id].state = state;
        self.people[id].home = None;
        if doing == Doing::Walk && !was_walking {
            self.people[id].set_out = now;
            let has_to = !matches!(state, State::ToCircle(_));
            self.recorder.set_out(id, has_to, now);
        } else if doing != Doing::Walk {
            self.people[id].set_out = now;
            self.recorder.arrived(id);
        }
        self.do_what(id, doing, now);
        let moving_until = self.floor.bodies[id].end;
        if self.floor.bodies[id].path.is_empty() {
            self.floor.wake(id, moving_until.max(now));
        }
    }

    /// The next step of somebody under way, or their arrival.
    pub(super) fn walk_on(&mut self, id: BodyId, now: Tick) {
        let Some(mut target) = self.floor.bodies[id].target else {
            return self.decide(id, now);
        };
        if let State::ToSpot { spot, lane } = self.people[id].state {
            match self.join_or_aim(id, spot, lane, now) {
                Aim::At(t) => target = t,
                Aim::Settled => return,
            }
        }
        self.change_level(id, now);
        if self.floor.bodies[id].backing.is_some_and(|until| until <= now) {
            self.floor.bodies[id].starts_afresh(now);
        }
        let body = &self.floor.bodies[id];
        let left = body.to.distance(target.point);
        let waited = body.stuck_for(now);
        let state = self.people[id].state;
        let near = match state {
            State::ToStop => NEAR_A_STOP,
            State::ToSeat(_) => NEAR_A_SEAT,
            _ => NEARLY_THERE,
        };
        let in_line = matches!(state, State::InLine { .. } | State::ToPosition { .. });
        let at_hand = left <= REACHES_OVER.0 && waited >= REACHES_OVER.1;
        let reaches = in_line && (at_hand || (left <= REACHES_FAR && self.gets_nowhere(id, now)));
        let nearly = left <= near.0 && waited >= near.1 && self.is_at_hand(id, &target);
        if left <= THERE || nearly || reaches || self.is_through(id) {
            return self.arrive(id, now);
        }
        if self.tires(id, now) || self.settles(id, now) {
            return;
        }
        let step = walk::step(&self.floor, self.world, &mut self.eyes, id, &target, now);
        self.take(id, step, now);
    }

    fn change_level(&mut self, id: BodyId, now: Tick) {
        let waits = self.floor.bodies[id].stuck_for(now) >= WAITS_ON_STAIRS;
        let here = self.floor.bodies[id].to.meters();
        // near an end of stairs only one of their copies has the opening
        let is_floor = |p: &Point| {
            self.world.grid.clearance(p.meters().0, p.meters().1)
                >= WALL.min(self.world.grid.clearance(here.0, here.1))
        };
        if let Some(there) = self.floor.other_level(id, waits).filter(is_floor) {
            self.recorder.moved(self.world, id, &self.floor.bodies[id], now);
            self.floor.put(id, there);
        }
    }

    /// Whether somebody has come as far as they had to without a point to stand on: into an
    /// opening, or out of the house.
    fn is_through(&self, id: BodyId) -> bool {
        let (x, y) = self.floor.bodies[id].to.meters();
        match self.people[id].state {
            State::Through(opening) => self
                .world
                .routes
                .to_opening(&self.world.grid, x, y, opening)
                .is_some_and(|d| d <= IN_OPENING),
            State::Leaving => self.world.is_out(x, y),
            _ => false,
        }
    }

    /// Whether no wall is between somebody and a target, and for a stop of a script no doorway
    /// either: a guest before the door of a room is not in it, and a guest who stops in the doorway
    /// shuts others out.
    fn is_at_hand(&self, id: BodyId, target: &Target) -> bool {
        let (at, there) = (self.floor.bodies[id].to.meters(), target.point.meters());
        let grid = &self.world.grid;
        match self.people[id].state {
            State::ToStop => {
                let place = |(x, y): (f64, f64)| self.world.place_at(x, y);
                let in_a_doorway = place(at)
                    .is_some_and(|p| self.world.places[p].opening().is_some())
                    && place(at) != place(there);
                grid.area_at(at.0, at.1) == grid.area_at(there.0, there.1) && !in_a_doorway
            }
            _ => grid.is_clear_line(at, there, 0.0),
        }
    }

    fn take(&mut self, id: BodyId, step: Step, now: Tick) {
        let counts = self.floor.bodies[id].doing() == Doing::Walk;
        let body = &mut self.floor.bodies[id];
        body.way = step.way;
        body.blocker = step.blocker;
        let slow = step.slow;
        body.slow_since = if slow { body.slow_since.or(Some(now)) } else { None };
        body.gets_on(step.togo, now);
        if counts {
            self.recorder.stepped(self.world, &self.floor, id, &step, now);
        }
        let asked = step.ask.filter(|_| !matches!(step.act, Act::Squeeze { .. }));
        match step.act {
            Act::Go(to, time) => self.step_to(id, to, time, now),
            Act::Wait(time) => self.floor.wake(id, now + time),
            Act::BackOut(time) => {
                self.floor.bodies[id].starts_afresh(now);
                self.floor.bodies[id].backing = Some(now + time);
                self.floor.wake(id, now + TICKS / 50);
            }
            Act::Squeeze { with, mine, theirs, piece } => {
                self.recorder.count(Count::Squeeze);
                self.begin_squeeze(id, mine, piece, now);
                self.begin_squeeze(with, theirs, piece, now);
            }
        }
        // whoever makes room minds the step that has just begun
        if let Some(other) = asked {
            self.ask(other, id, now);
        }
    }

    pub(super) fn step_to(&mut self, id: BodyId, to: Point, time: Tick, now: Tick) {
        self.recorder.moved(self.world, id, &self.floor.bodies[id], now);
        let body = &mut self.floor.bodies[id];
        let (from, end) = (body.to.meters(), to.meters());
        let length = body.to.distance(to);
        if length > 0.01 {
            body.heading = ((end.0 - from.0) / length, (end.1 - from.1) / length);
        }
        self.floor.step(id, to, now, now + time.max(1));
        self.floor.wake(id, now + time.max(1));
    }

    fn begin_squeeze(&mut self, id: BodyId, mut points: Vec<Point>, piece: Tick, now: Tick) {
        points.reverse();
        self.people[id].home = self.people[id].home.or(Some(self.floor.bodies[id].to));
        self.floor.bodies[id].path = points;
        self.floor.bodies[id].backing = None;
        self.people[id].piece = piece;
        if self.floor.bodies[id].doing() == Doing::Walk {
            self.do_what(id, Doing::Squeeze, now);
        }
        self.squeeze_on(id, now);
    }

    /// The next piece of a squeeze.
    pub(super) fn squeeze_on(&mut self, id: BodyId, now: Tick) {
        if let Some(to) = self.floor.bodies[id].path.pop() {
            let piece = self.people[id].piece;
            self.step_to(id, to, piece, now);
            self.floor.bodies[id].best_at = now;
        }
    }

    fn arrive(&mut self, id: BodyId, now: Tick) {
        match self.people[id].state {
            State::InLine { spot, lane, slot, .. } => {
                self.stand(
                    id,
                    State::InLine { spot, lane, slot, walking: false },
                    Doing::Line(spot),
                    Tick::MAX,
                    now,
                );
            }
            State::ToPosition { spot, position } => self.begin_service(id, spot, position, now),
            State::ToSeat(seat) => self.sit_down(id, seat, now),
            State::ToCircle(circle) => self.begin_talk(id, circle, now),
            State::Leaving => self.go_home(id, now),
            State::ToPost => self.host_at_post(id, now),
            _ => self.decide(id, now),
        }
    }

    fn go_home(&mut self, id: BodyId, now: Tick) {
        self.recorder.arrived(id);
        self.recorder.went(self.world, id, &self.floor.bodies[id], now);
        self.guests_inside -= u32::from(!self.people[id].is_host);
        self.floor.leave(id);
        if !self.door.is_done() {
            self.set_timer(now, Timer::Admit);
        }
    }

    /// Near the end of the lane: joins it. Otherwise: where its end is now.
    fn join_or_aim(&mut self, id: BodyId, spot: SpotId, lane: usize, now: Tick) -> Aim {
        let s = &self.world.spots[spot];
        let lane =
            if self.people[id].agenda.is_scripted() { self.lines.shortest(spot, s) } else { lane };
        let Some(slot) = self.lines.tail(spot, s, lane) else {
            let near = self.floor.bodies[id]
                .target
                .is_some_and(|t| t.point.distance(self.floor.bodies[id].to) < 2.0);
            if near {
                self.turn_away(id, spot, now);
                return Aim::Settled;
            }
            return self.floor.bodies[id].target.map_or(Aim::Settled, Aim::At);
        };
        let first = s.positions[s.lanes[lane].positions[0]].target;
        let target = s.lanes[lane].slots.get(slot).copied().unwrap_or(first);
        let at = self.floor.bodies[id].to;
        let joins =
            at.distance(target.point) <= JOINS || (slot == 0 && at.distance(first.point) <= JOINS);
        let sees = || self.world.grid.is_clear_line(at.meters(), target.point.meters(), 0.0);
        if joins && sees() {
            self.people[id].joined = now;
            self.lines.join(spot, lane, id, now);
            self.send(
                id,
                State::InLine { spot, lane, slot, walking: true },
                target,
                Doing::Line(spot),
                now,
            );
            self.advance(spot, now);
            return Aim::Settled;
        }
        if self.floor.bodies[id].target != Some(target) {
            self.floor.bodies[id].target = Some(target);
            self.floor.bodies[id].starts_afresh(now);
        }
        self.people[id].state = State::ToSpot { spot, lane };
        Aim::At(target)
    }

    /// Carries out what the lines want done at a spot.
    pub(super) fn advance(&mut self, spot: SpotId, now: Tick) {
        let s = &self.world.spots[spot];
        for (who, order, joined) in self.lines.advance(spot, s) {
            match order {
                Order::Slot(spot, lane, slot) => {
                    let first = s.positions[s.lanes[lane].positions[0]].target;
                    let target = s.lanes[lane].slots.get(slot).copied().unwrap_or(first);
                    self.send(
                        who,
                        State::InLine { spot, lane, slot, walking: true },
                        target,
                        Doing::Line(spot),
                        now,
                    );
                }
                Order::Serve(spot, position) => {
                    self.people[who].joined = joined;
                    self.send(
                        who,
                        State::ToPosition { spot, position },
                        s.positions[position].target,
                        Doing::Line(spot),
                        now,
                    );
                }
            }
        }
    }
}

/// Where a walker to a spot goes on to.
enum Aim {
    At(Target),
    Settled,
}
