//! Who does not get on: stops where they are, wants something else, gives up.

use super::person::State;
use super::wants::LOOKS_AGAIN;
use super::{GIVES_UP, STUCK, STUCK_SCRIPT, Trial};
use crate::base::units::{FOOT, Tick, ticks};
use crate::crowd::bodies::{BodyId, Doing};
use crate::crowd::measure::Count;
use crate::floor::world::SpotId;

/// Who gets no nearer to a place among talkers for so many seconds, and cannot stop where they are,
/// looks for other company.
const OTHER_COMPANY: f64 = 10.0;
/// Who stays within so many meters for so many seconds gets nowhere: wants something else, or has
/// everybody near move on. Common practice.
const GETS_NOWHERE: (f64, f64) = (2.0 * FOOT, 40.0);

/// Who gets nowhere for so many seconds, whatever they want, has those who sit near get up, too,
/// and stays for a while. Common practice.
const SHUT_IN: f64 = 60.0;

impl Trial<'_> {
    /// Whether somebody has been under way for too long and turns to something else.
    pub(super) fn tires(&mut self, id: BodyId, now: Tick) -> bool {
        let gone = self.walked_for(id, now);
        let person = &self.people[id];
        if person.agenda.is_scripted() && !person.is_host {
            return self.gives_up_script(id, now);
        }
        let optional = !matches!(
            person.state,
            State::Leaving | State::InLine { .. } | State::ToPosition { .. }
        );
        let nowhere = self.gets_nowhere(id, now);
        let shut_in = nowhere && now > self.people[id].shut_in.1 + ticks(SHUT_IN);
        if nowhere {
            self.make_way(id, shut_in, now);
        }
        if optional && (gone > GIVES_UP || nowhere) {
            self.recorder.count(Count::GaveUp);
            self.abandon(id, now);
            self.people[id].set_out = now;
            if shut_in && !self.people[id].is_host {
                // stops trying for a while and talks to those around
                self.stand(id, State::Loose, Doing::Talk, now + ticks(LOOKS_AGAIN), now);
            } else {
                self.decide(id, now);
            }
            return true;
        }
        if self.people[id].state == State::Leaving && gone > STUCK {
            self.recorder.count(Count::Stuck);
            self.people[id].set_out = now;
        }
        false
    }

    /// Whether somebody under way has stayed in one place for long.
    pub(super) fn gets_nowhere(&mut self, id: BodyId, now: Tick) -> bool {
        let at = self.floor.bodies[id].to;
        let person = &mut self.people[id];
        if person.shut_in.0.distance(at) > GETS_NOWHERE.0 {
            person.shut_in = (at, now);
        }
        // who sets out sooner than they meant to has been kept there only since
        person.shut_in.1 = person.shut_in.1.min(now);
        if person.anchor.1 < person.set_out || person.anchor.0.distance(at) > GETS_NOWHERE.0 {
            person.anchor = (at, now);
        }
        now > person.anchor.1 + ticks(GETS_NOWHERE.1)
    }

    /// Whether somebody who cannot get to a place among talkers stops where they are, or looks for
    /// other company where that is no place to stand.
    pub(super) fn settles(&mut self, id: BodyId, now: Tick) -> bool {
        let State::ToCircle(circle) = self.people[id].state else {
            return false;
        };
        let body = &self.floor.bodies[id];
        let (waited, (x, y)) = (body.stuck_for(now), body.to.meters());
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

    /// A scripted guest who does not reach a stop in an hour is counted as stuck and ends where
    /// they are.
    fn gives_up_script(&mut self, id: BodyId, now: Tick) -> bool {
        let stuck = self.walked_for(id, now) > STUCK_SCRIPT;
        if stuck {
            self.recorder.count(Count::Stuck);
            self.give_up_visits(id, now);
            self.leave_line(id, now);
            self.finished += 1;
            self.stand(id, State::Loose, Doing::Talk, Tick::MAX, now);
        }
        stuck
    }

    /// Takes a scripted guest who gives up out of a line, or off the position they were called to.
    fn leave_line(&mut self, id: BodyId, now: Tick) {
        let spot = match self.people[id].state {
            State::InLine { spot, .. } => {
                self.lines.leave(spot, id);
                spot
            }
            State::ToPosition { spot, position } => {
                self.lines.vacate(spot, position, false);
                spot
            }
            _ => return,
        };
        self.people[id].state = State::Loose;
        self.advance(spot, now);
    }

    /// Frees what somebody was on the way to.
    pub(super) fn abandon(&mut self, id: BodyId, now: Tick) {
        match self.people[id].state {
            State::ToSpot { spot, .. } => self.give_up_on(id, spot, now),
            State::ToSeat(seat) => self.seats[seat] = None,
            State::ToCircle(circle) => self.talk.leave(circle),
            _ => {}
        }
    }

    /// A visit on the way to a spot ends without service.
    fn give_up_on(&mut self, id: BodyId, spot: SpotId, now: Tick) {
        let set_out = self.people[id].set_out;
        let since = self.people[id].wanting[self.world.spots[spot].serves as usize]
            .take()
            .map_or(set_out, |w| w.1);
        self.recorder.in_vain(spot, since, now);
    }

    /// Ends whatever somebody waits for, in line, on the way, or elsewhere after a full line turned
    /// them away.
    pub(super) fn give_up_visits(&mut self, id: BodyId, now: Tick) {
        match self.people[id].state {
            State::ToSpot { spot, .. } => self.give_up_on(id, spot, now),
            State::InLine { spot, .. } => self.give_up_line(id, spot, now),
            State::ToPosition { spot, position } if self.world.spots[spot].is_first(position) => {
                self.give_up_line(id, spot, now)
            }
            _ => {}
        }
        self.stop_wanting(id, now);
    }

    /// Who was turned away by full lines and never got it has waited until now.
    pub(super) fn stop_wanting(&mut self, id: BodyId, now: Tick) {
        for (spot, since) in std::mem::take(&mut self.people[id].wanting).into_iter().flatten() {
            self.recorder.in_vain(spot, since, now);
        }
    }

    fn give_up_line(&mut self, id: BodyId, spot: SpotId, now: Tick) {
        self.recorder.stood(spot, self.people[id].joined, now);
        let since = self.people[id].waited_since(self.world.spots[spot].serves);
        self.recorder.in_vain(spot, since, now);
    }
}
