//! Making room: standing people step aside for whoever passes and go back, sitters draw in,
//! everybody near somebody shut in moves on.

use super::Trial;
use super::moves::THERE;
use super::person::State;
use crate::base::units::{Point, Tick, ticks};
use crate::crowd::bodies::{BodyId, Doing, Reach};
use crate::crowd::walk;
use crate::floor::world::SeatId;

/// Who has made room goes back when nobody comes within so many meters ahead and beside.
const PASSES_AHEAD: f64 = 1.5;
const PASSES_ASIDE: f64 = 0.6;
/// So far from a point is somebody about to pass it, at most: both of the above.
const PASSES_WITHIN: f64 = PASSES_AHEAD + PASSES_ASIDE;
/// Whoever stands within so many meters of a point stands at it.
const STANDS_AT: f64 = 0.5;
/// Looks again after so many seconds whether people still pass.
const STILL_PASSING: f64 = 0.8;
/// A sitter getting up past somebody who does not move asks again, turned, after so many seconds.
const GETS_UP_TURNED: f64 = 4.0;
/// Somebody who stands idly before a walker stuck for this many seconds moves on for good.
const MOVES_ON: f64 = 12.0;
/// Somebody who made room goes back after so many seconds.
const GOES_BACK: f64 = 2.5;
/// And makes room at most this often, in seconds.
const MAKES_ROOM_EVERY: f64 = 1.2;
/// Everybody who stands idly within so many meters of somebody who gets nowhere on the way home
/// moves on.
const MAKES_WAY: f64 = 1.0;

impl Trial<'_> {
    /// A standing person is asked to let a walker past.
    pub(super) fn ask(&mut self, id: BodyId, walker: BodyId, now: Tick) {
        let body = &self.floor.bodies[id];
        let lately =
            now < self.people[id].asked + ticks(MAKES_ROOM_EVERY) && self.people[id].asked > 0;
        let busy = now < body.end || !body.path.is_empty();
        if lately || busy || self.people[id].state.is_under_way() {
            return;
        }
        let person = &mut self.people[id];
        let idle = matches!(person.state, State::Talking(_) | State::Loose)
            && !person.agenda.is_scripted();
        if idle && self.floor.bodies[walker].stuck_for(now) > MOVES_ON {
            person.until = now;
            person.asked = now;
            return self.floor.wake(id, now + 1);
        }
        if let State::Sitting(seat) = person.state {
            return self.draw_in(id, seat, now);
        }
        if let Some((to, time)) =
            walk::make_room(&self.floor, self.world, &mut self.eyes, id, walker, now)
        {
            self.people[id].asked = now;
            self.people[id].home = self.people[id].home.or(Some(self.floor.bodies[id].to));
            self.step_to(id, to, time, now);
            let back = now + time + ticks(GOES_BACK);
            self.floor.wake(id, back.min(self.people[id].until.max(now + time)));
        }
    }

    /// A sitter draws in feet and knees, or the chair.
    fn draw_in(&mut self, id: BodyId, seat: SeatId, now: Tick) {
        let on = self.world.seats[seat].on;
        let body = &self.floor.bodies[id];
        if body.to == on {
            return;
        }
        if let Some((to, time)) =
            walk::shift(&self.floor, self.world, &mut self.eyes, id, on, false, now)
        {
            self.people[id].asked = now;
            self.step_to(id, to, time, now);
            self.floor.wake(id, now + time + ticks(GOES_BACK));
        }
    }

    /// Whether somebody under way is about to pass a point.
    fn is_passed(&self, id: BodyId, at: Point) -> bool {
        let (x, y) = at.meters();
        let mut passed = false;
        self.floor.near(at, Reach::within(PASSES_WITHIN), id, |other| {
            let ((ox, oy), way) = (other.end(), other.body.way);
            let (dx, dy) = (x - ox, y - oy);
            let (ahead, aside) = (dx * way.0 + dy * way.1, (dx * way.1 - dy * way.0).abs());
            passed |= other.body.doing() == Doing::Walk
                && (-0.2..PASSES_AHEAD).contains(&ahead)
                && aside < PASSES_ASIDE;
        });
        passed
    }

    /// Whether somebody standing is not where they mean to stand.
    pub(super) fn is_displaced(&self, id: BodyId) -> bool {
        let stands = matches!(
            self.people[id].state,
            State::Talking(_)
                | State::Hosting
                | State::Loose
                | State::InLine { .. }
                | State::Sitting(_)
        );
        stands && self.people[id].home.is_some_and(|h| h.distance(self.floor.bodies[id].to) > THERE)
    }

    /// Goes back to where one stood, if the way is free; otherwise tries again.
    pub(super) fn return_home(&mut self, id: BodyId, now: Tick) {
        let Some(home) = self.people[id].home else {
            return;
        };
        let gets_up = self.people[id].until <= now;
        if !gets_up && self.is_passed(id, home) {
            return self
                .floor
                .wake(id, (now + ticks(STILL_PASSING)).min(self.people[id].until.max(now + 1)));
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
        let ((x, y), (hx, hy)) = (self.floor.bodies[id].to.meters(), home.meters());
        let distance = (hx - x).hypot(hy - y).max(0.01);
        self.floor.bodies[id].way = ((hx - x) / distance, (hy - y) / distance);
        let mut nearest: Option<(f64, BodyId)> = None;
        self.floor.near(home, Reach::within(STANDS_AT), id, |other| {
            let away = other.to().distance(home);
            if away < STANDS_AT && nearest.is_none_or(|n| (away, other.id) < n) {
                nearest = Some((away, other.id));
            }
        });
        if let Some((_, other)) = nearest {
            self.ask(other, id, now);
        }
    }

    /// Everybody who stands idly near somebody moves on for good; for somebody shut in those who
    /// sit there get up, too.
    pub(super) fn make_way(&mut self, id: BodyId, shut_in: bool, now: Tick) {
        let at = self.floor.bodies[id].to;
        let mut near = vec![];
        self.floor.near(at, Reach::within(MAKES_WAY), id, |other| {
            if other.to().distance(at) < MAKES_WAY && now >= other.body.end {
                near.push(other.id);
            }
        });
        for other in near {
            let person = &mut self.people[other];
            let idle = matches!(person.state, State::Talking(_) | State::Loose)
                || (shut_in && matches!(person.state, State::Sitting(_)));
            if idle && !person.agenda.is_scripted() && person.until > now {
                person.until = now;
                self.floor.wake(other, now + 1);
            }
        }
    }
}
