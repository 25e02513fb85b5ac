//! Moving bodies: steps, squeezes, making room and going back, arriving.

use super::person::State;
use super::{GIVES_UP, STUCK, STUCK_SCRIPT, Timer, Trial};
use crate::floor::{BodyId, Doing};
use crate::lines::Order;
use crate::measure::Count;
use crate::routes::{Target, WALL};
use crate::units::{Point, TICKS, Tick, ticks};
use crate::walk::{self, Act, Step};
use crate::world::SpotId;

/// A target is reached within this many metres; when it is taken, within the second after waiting so many seconds.
const THERE: f64 = 0.06;
const NEARLY_THERE: (f64, f64) = (0.45, 1.5);
/// The same for stops of a script, where it does not matter who stands where.
const NEAR_A_STOP: (f64, f64) = (1.5, 1.5);
/// The same for a seat: nobody sits beside it.
const NEAR_A_SEAT: (f64, f64) = (0.15, 1.5);
/// Who is called up but cannot get there reaches over from within so many metres after so many seconds; so does who cannot close up in a line.
const REACHES_OVER: [(f64, f64); 2] = [(1.0, 10.0), (2.5, 40.0)];
/// Who gets no nearer to a place among talkers for so many seconds, and cannot stop where they are, looks for other company.
const OTHER_COMPANY: f64 = 10.0;
/// Who stays within so many metres for so many seconds gets nowhere: wants something else, or has everybody near move on. Common practice.
const GETS_NOWHERE: (f64, f64) = (0.3, 40.0);
/// Everybody who stands idly within so many metres of somebody who gets nowhere on the way home moves on.
const MAKES_WAY: f64 = 1.0;
/// Who has made room goes back when nobody comes within so many metres ahead and beside.
const PASSES_AHEAD: f64 = 1.5;
const PASSES_ASIDE: f64 = 0.6;
/// Looks again after so many seconds whether people still pass.
const STILL_PASSING: f64 = 0.8;
/// A sitter getting up past somebody who does not move asks again, turned, after so many seconds.
const GETS_UP_TURNED: f64 = 4.0;
/// Somebody on stairs who gets no farther for so many seconds looks at them from the level of whoever is in the way.
const WAITS_ON_STAIRS: f64 = 0.6;
/// An opening is reached within this many metres of its passage.
const IN_OPENING: f64 = 0.4;
/// A walker joins a line when within this many metres of its end.
const JOINS: f64 = 0.8;
/// Somebody who stands idly before a walker stuck for this many seconds moves on for good.
const MOVES_ON: f64 = 12.0;
/// Somebody who made room goes back after so many seconds.
const GOES_BACK: f64 = 2.5;
/// And makes room at most this often, in seconds.
const MAKES_ROOM_EVERY: f64 = 1.2;

impl Trial<'_> {
    /// Sends somebody to a target.
    pub(super) fn send(&mut self, id: BodyId, state: State, target: Target, doing: Doing, now: Tick) {
        let body = &mut self.floor.bodies[id];
        body.target = Some(target);
        body.starts_afresh(now);
        let was_walking = body.doing == Doing::Walk && self.people[id].state.is_under_way();
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
        let reaches = in_line && REACHES_OVER.iter().any(|r| left <= r.0 && waited >= r.1);
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
        let here = self.floor.bodies[id].to.metres();
        // near an end of stairs only one of their likenesses has the opening
        let is_floor = |p: &Point| self.world.grid.clearance(p.metres().0, p.metres().1) >= WALL.min(self.world.grid.clearance(here.0, here.1));
        if let Some(there) = self.floor.other_level(id, waits).filter(is_floor) {
            self.recorder.moved(self.world, id, &self.floor.bodies[id], now);
            self.floor.put(id, there);
        }
    }

    /// Whether somebody has come as far as they had to without a point to stand on: into an opening, or out of the house.
    fn is_through(&self, id: BodyId) -> bool {
        let (x, y) = self.floor.bodies[id].to.metres();
        match self.people[id].state {
            State::Through(opening) => self.world.routes.to_opening(&self.world.grid, x, y, opening).is_some_and(|d| d <= IN_OPENING),
            State::Leaving => self.world.is_out(x, y),
            _ => false,
        }
    }

    /// Whether no wall is between somebody and a target, and for a stop of a script no doorway either: who waits before the door of
    /// a room is not in it.
    fn is_at_hand(&self, id: BodyId, target: &Target) -> bool {
        let (at, there) = (self.floor.bodies[id].to.metres(), target.point.metres());
        let grid = &self.world.grid;
        match self.people[id].state {
            State::ToStop => grid.area_at(at.0, at.1) == grid.area_at(there.0, there.1),
            _ => grid.is_clear_line(at, there, 0.0),
        }
    }

    /// Whether somebody has been under way for too long and turns to something else.
    fn tires(&mut self, id: BodyId, now: Tick) -> bool {
        let gone = self.walked_for(id, now);
        let person = &self.people[id];
        if person.agenda.is_scripted() && !person.is_host {
            return self.gives_up_script(id, now);
        }
        let optional = !matches!(person.state, State::Leaving | State::InLine { .. } | State::ToPosition { .. });
        let nowhere = self.gets_nowhere(id, now);
        if nowhere {
            self.make_way(id, now);
        }
        if optional && (gone > GIVES_UP || nowhere) {
            self.recorder.count(Count::GaveUp);
            self.abandon(id, now);
            self.people[id].set_out = now;
            self.decide(id, now);
            return true;
        }
        if self.people[id].state == State::Leaving && gone > STUCK {
            self.recorder.count(Count::Stuck);
            self.people[id].set_out = now;
        }
        false
    }

    /// Whether somebody under way has stayed in one place for long.
    fn gets_nowhere(&mut self, id: BodyId, now: Tick) -> bool {
        let at = self.floor.bodies[id].to;
        let person = &mut self.people[id];
        if person.anchor.1 < person.set_out || person.anchor.0.distance(at) > GETS_NOWHERE.0 {
            person.anchor = (at, now);
        }
        now > person.anchor.1 + ticks(GETS_NOWHERE.1)
    }

    /// Everybody who stands idly near somebody moves on for good.
    fn make_way(&mut self, id: BodyId, now: Tick) {
        let at = self.floor.bodies[id].to;
        let mut near = vec![];
        self.floor.near(at, id, |other, body| {
            if body.to.distance(at) < MAKES_WAY && now >= body.end {
                near.push(other);
            }
        });
        for other in near {
            let person = &mut self.people[other];
            if matches!(person.state, State::Talking(_) | State::Loose) && !person.agenda.is_scripted() && person.until > now {
                person.until = now;
                self.floor.wake(other, now + 1);
            }
        }
    }

    /// Whether somebody who cannot get to a place among talkers stops where they are, or looks for other company where that is no place to stand.
    fn settles(&mut self, id: BodyId, now: Tick) -> bool {
        let State::ToCircle(circle) = self.people[id].state else {
            return false;
        };
        let body = &self.floor.bodies[id];
        let (waited, (x, y)) = (body.stuck_for(now), body.to.metres());
        if waited < self.world.scenario.habits.settles_after {
            return false;
        }
        if let Some(here) = self.world.may_stand(x, y) {
            self.talk.settle(circle, here);
            self.begin_talk(id, circle, now);
            return true;
        }
        if waited < OTHER_COMPANY {
            return false;
        }
        self.talk.leave(circle);
        self.floor.bodies[id].starts_afresh(now);
        self.find_company(id, now);
        true
    }

    /// A scripted guest who does not reach a stop in an hour is counted as stuck and ends where they are.
    fn gives_up_script(&mut self, id: BodyId, now: Tick) -> bool {
        let stuck = self.walked_for(id, now) > STUCK_SCRIPT;
        if stuck {
            self.recorder.count(Count::Stuck);
            self.finished += 1;
            self.stand(id, State::Loose, Doing::Talk, Tick::MAX, now);
        }
        stuck
    }

    /// Frees what somebody was on the way to.
    fn abandon(&mut self, id: BodyId, now: Tick) {
        match self.people[id].state {
            State::ToSpot { spot, .. } => {
                let set_out = self.people[id].set_out;
                let since = self.people[id].wanting[self.world.spots[spot].serves as usize].take().map_or(set_out, |w| w.1);
                self.recorder.served(spot, since, now);
            }
            State::ToSeat(seat) => self.seats[seat] = None,
            State::ToCircle(circle) => self.talk.leave(circle),
            _ => {}
        }
    }

    fn take(&mut self, id: BodyId, step: Step, now: Tick) {
        let counts = self.floor.bodies[id].doing == Doing::Walk;
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

    fn step_to(&mut self, id: BodyId, to: Point, time: Tick, now: Tick) {
        self.recorder.moved(self.world, id, &self.floor.bodies[id], now);
        let body = &mut self.floor.bodies[id];
        let (from, end) = (body.to.metres(), to.metres());
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
        if self.floor.bodies[id].doing == Doing::Walk {
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

    /// A standing person is asked to let a walker past.
    fn ask(&mut self, id: BodyId, walker: BodyId, now: Tick) {
        let body = &self.floor.bodies[id];
        let lately = now < self.people[id].asked + ticks(MAKES_ROOM_EVERY) && self.people[id].asked > 0;
        let busy = now < body.end || !body.path.is_empty();
        if lately || busy || self.people[id].state.is_under_way() {
            return;
        }
        let person = &mut self.people[id];
        let idle = matches!(person.state, State::Talking(_) | State::Loose) && !person.agenda.is_scripted();
        if idle && self.floor.bodies[walker].stuck_for(now) > MOVES_ON {
            person.until = now;
            person.asked = now;
            return self.floor.wake(id, now + 1);
        }
        if let State::Sitting(seat) = person.state {
            return self.draw_in(id, seat, now);
        }
        if let Some((to, time)) = walk::make_room(&self.floor, self.world, &mut self.eyes, id, walker, now) {
            self.people[id].asked = now;
            self.people[id].home = self.people[id].home.or(Some(self.floor.bodies[id].to));
            self.step_to(id, to, time, now);
            let back = now + time + ticks(GOES_BACK);
            self.floor.wake(id, back.min(self.people[id].until.max(now + time)));
        }
    }

    /// A sitter draws in feet and knees, or the chair.
    fn draw_in(&mut self, id: BodyId, seat: usize, now: Tick) {
        let on = self.world.seats[seat].on;
        let body = &self.floor.bodies[id];
        if body.to == on {
            return;
        }
        if let Some((to, time)) = walk::shift(&self.floor, self.world, &mut self.eyes, id, on, false, now) {
            self.people[id].asked = now;
            self.step_to(id, to, time, now);
            self.floor.wake(id, now + time + ticks(GOES_BACK));
        }
    }

    /// Whether somebody under way is about to pass a point.
    fn is_passed(&self, id: BodyId, at: Point) -> bool {
        let (x, y) = at.metres();
        let mut passed = false;
        self.floor.near(at, id, |_, other| {
            let (ox, oy) = other.to.metres();
            let (dx, dy) = (x - ox, y - oy);
            let (ahead, aside) = (dx * other.way.0 + dy * other.way.1, (dx * other.way.1 - dy * other.way.0).abs());
            passed |= other.doing == Doing::Walk && (-0.2..PASSES_AHEAD).contains(&ahead) && aside < PASSES_ASIDE;
        });
        passed
    }

    /// Whether somebody standing is not where they mean to stand.
    pub(super) fn is_displaced(&self, id: BodyId) -> bool {
        let stands = matches!(self.people[id].state, State::Talking(_) | State::Hosting | State::Loose | State::InLine { .. } | State::Sitting(_));
        stands && self.people[id].home.is_some_and(|h| h.distance(self.floor.bodies[id].to) > THERE)
    }

    /// Goes back to where one stood, if the way is free; otherwise tries again.
    pub(super) fn return_home(&mut self, id: BodyId, now: Tick) {
        let Some(home) = self.people[id].home else {
            return;
        };
        let gets_up = self.people[id].until <= now;
        if !gets_up && self.is_passed(id, home) {
            return self.floor.wake(id, (now + ticks(STILL_PASSING)).min(self.people[id].until.max(now + 1)));
        }
        let late = gets_up && now > self.people[id].until + ticks(GETS_UP_TURNED);
        let next = match walk::shift(&self.floor, self.world, &mut self.eyes, id, home, late, now) {
            Some((to, time)) => {
                self.step_to(id, to, time, now);
                now + time
            }
            None if gets_up => {
                self.ask_before(id, home, now);
                now + ticks(STILL_PASSING)
            }
            None => now + ticks(2.0 * GOES_BACK),
        };
        self.floor.wake(id, next.min(self.people[id].until.max(now + 1)));
    }

    /// Asks whoever stands nearest a point to make room.
    pub(super) fn ask_before(&mut self, id: BodyId, home: Point, now: Tick) {
        let ((x, y), (hx, hy)) = (self.floor.bodies[id].to.metres(), home.metres());
        let distance = (hx - x).hypot(hy - y).max(0.01);
        self.floor.bodies[id].way = ((hx - x) / distance, (hy - y) / distance);
        let mut nearest: Option<(f64, BodyId)> = None;
        self.floor.near(home, id, |other, body| {
            let away = body.to.distance(home);
            if away < 0.5 && nearest.is_none_or(|n| (away, other) < n) {
                nearest = Some((away, other));
            }
        });
        if let Some((_, other)) = nearest {
            self.ask(other, id, now);
        }
    }

    fn arrive(&mut self, id: BodyId, now: Tick) {
        match self.people[id].state {
            State::InLine { spot, lane, slot, .. } => {
                self.stand(id, State::InLine { spot, lane, slot, walking: false }, Doing::Line(spot), Tick::MAX, now);
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
        let lane = if self.people[id].agenda.is_scripted() { self.lines.shortest(spot, s) } else { lane };
        let Some(slot) = self.lines.tail(spot, s, lane) else {
            let near = self.floor.bodies[id].target.is_some_and(|t| t.point.distance(self.floor.bodies[id].to) < 2.0);
            if near {
                self.turn_away(id, spot, now);
                return Aim::Settled;
            }
            return self.floor.bodies[id].target.map_or(Aim::Settled, Aim::At);
        };
        let first = s.positions[s.lanes[lane].positions[0]].target;
        let target = s.lanes[lane].slots.get(slot).copied().unwrap_or(first);
        let at = self.floor.bodies[id].to;
        let joins = at.distance(target.point) <= JOINS || (slot == 0 && at.distance(first.point) <= JOINS);
        let sees = self.world.grid.is_clear_line(at.metres(), target.point.metres(), 0.0);
        if joins && sees {
            self.people[id].joined = now;
            self.lines.join(spot, lane, id, now);
            self.send(id, State::InLine { spot, lane, slot, walking: true }, target, Doing::Line(spot), now);
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
                    self.send(who, State::InLine { spot, lane, slot, walking: true }, target, Doing::Line(spot), now);
                }
                Order::Serve(spot, position) => {
                    self.people[who].joined = joined;
                    self.send(who, State::ToPosition { spot, position }, s.positions[position].target, Doing::Line(spot), now);
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
