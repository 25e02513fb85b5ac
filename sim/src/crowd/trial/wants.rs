//! What people turn to next, and what happens when they get there: service, seats, circles, posts.

use super::person::State;
use super::{Timer, Trial};
use crate::base::chance::Purpose;
use crate::base::units::{Point, Tick, ticks};
use crate::crowd::bodies::{BodyId, Doing, Reach};
use crate::crowd::lines::Onward;
use crate::crowd::measure::Count;
use crate::crowd::talk::Seated;
use crate::crowd::walk;
use crate::evening::agenda::Want;
use crate::evening::scenario::Serves;
use crate::evening::scenario::occasion::COAT_BACK;
use crate::floor::world::{Duty, SeatId, SpotId, Stop};

/// Who finds a line full tries again after so many seconds: common practice.
const TRIES_AGAIN: f64 = 240.0;
/// Who finds the line for coats full on the way home talks for so many seconds more: common
/// practice.
const COMES_BACK: f64 = 120.0;
/// Who finds no floor to stand on looks again after so many seconds.
pub(super) const LOOKS_AGAIN: f64 = 45.0;
/// Nobody may be nearer than this to a seat when somebody sits down, in meters.
const SEAT_FREE: f64 = 0.32;
/// Somebody who cannot sit down yet tries again after so many seconds.
const SITS_DOWN_AGAIN: f64 = 0.5;
/// … and after so many seconds in all stays standing.
const STANDS_INSTEAD: f64 = 15.0;
/// Seconds it takes from one place along a buffet to the next.
const STEP_ALONG: f64 = 1.2;
/// Hosts make ready in the kitchen for this many seconds, and set down and clear at a table for
/// this many: common practice.
const IN_KITCHEN: f64 = 420.0;
const AT_TABLE: f64 = 240.0;
/// Who greets or pours looks this often, in seconds, whether it is time to go on.
const LOOKS_ROUND: f64 = 60.0;

impl Trial<'_> {
    /// Turns somebody to what they want next.
    pub(super) fn decide(&mut self, id: BodyId, now: Tick) {
        if self.people[id].is_host {
            return self.next_post(id, now);
        }
        match self.people[id].agenda.next(now) {
            Want::Leave => self.leave(id, now),
            Want::Serve(serves) => self.go_for(id, serves, now),
            Want::Sit(time) => self.find_seat(id, time, now),
            Want::NextStop => self.next_stop(id, now),
            Want::Company if self.people[id].agenda.is_scripted() => {
                self.finished += 1;
                self.stand(id, State::Loose, Doing::Talk, Tick::MAX, now);
            }
            Want::Company => self.find_company(id, now),
        }
    }

    fn next_stop(&mut self, id: BodyId, now: Tick) {
        let Some((errand, done)) = self.people[id].errand else {
            return;
        };
        let stops = &self.world.stops[errand];
        self.people[id].errand = Some((errand, done + 1));
        self.people[id].set_out = now;
        match stops[(done % stops.len() as u64) as usize] {
            Stop::Leave => self.send(id, State::Leaving, self.world.outside, Doing::Walk, now),
            Stop::Through(opening) if self.people[id].agenda.has_more_stops() => self.send(
                id,
                State::Through(opening),
                self.world.through(opening),
                Doing::Walk,
                now,
            ),
            Stop::Through(opening) => match self.world.before_opening(opening) {
                Some(target) => self.send(id, State::ToStop, target, Doing::Walk, now),
                None => self.decide(id, now),
            },
            Stop::Room(room) => {
                let nth = self.sent_into.entry(room).or_default();
                let target = self.world.nth_in_room(room, *nth);
                *nth += 1;
                match target {
                    Some(target) => self.send(id, State::ToStop, target, Doing::Walk, now),
                    None => self.decide(id, now),
                }
            }
            Stop::Spot(spot) => self.walk_to_spot(id, spot, now),
        }
    }

    fn leave(&mut self, id: BodyId, now: Tick) {
        // who found the line for coats full still waits for the coat
        let person = &mut self.people[id];
        let coat = person.coat_at.and_then(|_| person.wanting[Serves::Coats as usize].take());
        self.stop_wanting(id, now);
        self.people[id].wanting[Serves::Coats as usize] = coat;
        match self.people[id].coat_at.take() {
            Some(spot) => {
                self.people[id].fetching = true;
                self.people[id].agenda.put_off(Want::Leave, now);
                self.walk_to_spot(id, spot, now);
            }
            None => self.send(id, State::Leaving, self.world.outside, Doing::Walk, now),
        }
    }

    /// Sets out for a spot that serves something: the soonest served, counting the way and the
    /// line. Coats go to the first that is not full.
    fn go_for(&mut self, id: BodyId, serves: Serves, now: Tick) {
        let spots = self.world.spots_for(serves);
        let pick = match serves {
            Serves::Coats => spots
                .iter()
                .copied()
                .find(|&s| self.world.spots[s].holds.is_none_or(|h| self.coats[s] < h)),
            _ => self.soonest(id, spots, now),
        };
        match pick {
            Some(spot) => {
                if serves == Serves::Coats {
                    self.coats[spot] += 1;
                    self.people[id].coat_at = Some(spot);
                }
                let glasses = self.world.spots_for(Serves::Glasses);
                match glasses.first() {
                    Some(&g)
                        if serves == Serves::Drinks
                            && self.people[id].visits[Serves::Drinks as usize] == 0
                            && self.people[id].visits[Serves::Glasses as usize] == 0 =>
                    {
                        self.people[id].agenda.put_off(Want::Serve(Serves::Drinks), now);
                        self.walk_to_spot(id, g, now);
                    }
                    _ => self.walk_to_spot(id, spot, now),
                }
            }
            None => {
                if serves == Serves::Coats {
                    self.recorder.count(Count::CoatOver);
                }
                self.decide(id, now);
            }
        }
    }

    fn soonest(&self, id: BodyId, spots: &[SpotId], now: Tick) -> Option<SpotId> {
        let (x, y) = self.floor.bodies[id].at(now);
        let cost = |&spot: &SpotId| {
            let s = &self.world.spots[spot];
            let way = self
                .world
                .routes
                .lead(&self.world.grid, x, y, &s.positions[0].target)
                .map_or(f64::INFINITY, |l| l.togo / self.floor.bodies[id].pace);
            let ahead = self.lines.waiting(spot) as f64 / s.lanes.len().max(1) as f64;
            way + ahead * if s.walked { s.serving.headway } else { s.serving.time }
        };
        spots.iter().copied().min_by(|a, b| cost(a).total_cmp(&cost(b)).then(a.cmp(b)))
    }

    fn walk_to_spot(&mut self, id: BodyId, spot: SpotId, now: Tick) {
        let s = &self.world.spots[spot];
        if self.people[id].wanting[s.serves as usize].is_none() {
            self.recorder.count(Count::Wanted(s.serves));
        }
        let lane = self.lines.shortest(spot, s);
        let slot = self.lines.tail(spot, s, lane);
        let first = s.positions[s.lanes[lane].positions[0]].target;
        let target = slot
            .and_then(|k| s.lanes[lane].slots.get(k))
            .or(s.lanes[lane].slots.last())
            .copied()
            .unwrap_or(first);
        self.send(id, State::ToSpot { spot, lane }, target, Doing::Walk, now);
    }

    /// A full line: tries again later.
    pub(super) fn turn_away(&mut self, id: BodyId, spot: SpotId, now: Tick) {
        self.recorder.count(Count::TurnedAway(spot));
        let serves = self.world.spots[spot].serves;
        self.people[id].wanting[serves as usize].get_or_insert((spot, now));
        let later = now + ticks(TRIES_AGAIN);
        let person = &mut self.people[id];
        if let Some((errand, done)) = person.errand {
            person.errand = Some((errand, done.saturating_sub(1)));
            self.stand(id, State::Loose, Doing::Talk, now + ticks(LOOKS_AGAIN), now);
            self.people[id].agenda.again();
            return;
        }
        if person.fetching {
            person.coat_at = Some(spot);
            person.fetching = false;
            person.sit_for = ticks(COMES_BACK);
            return self.find_company(id, now);
        }
        if serves == Serves::Coats {
            self.coats[spot] = self.coats[spot].saturating_sub(1);
            person.coat_at = None;
        }
        match serves {
            // who goes for a drink again goes for a glass first again
            Serves::Glasses => person.agenda.postpone(Want::Serve(Serves::Drinks), later),
            _ => person.agenda.put_off(Want::Serve(serves), later),
        }
        self.decide(id, now);
    }

    pub(super) fn service_time(&mut self, id: BodyId, spot: SpotId) -> Tick {
        let s = &self.world.spots[spot];
        if s.walked {
            return ticks((s.serving.headway - STEP_ALONG).max(1.0));
        }
        let person = &mut self.people[id];
        let visit = person.next_visit(s.serves);
        let factor = if person.fetching { COAT_BACK } else { 1.0 };
        ticks(s.service(person.key, visit, factor))
    }

    pub(super) fn begin_service(&mut self, id: BodyId, spot: SpotId, position: usize, now: Tick) {
        let s = &self.world.spots[spot];
        if s.is_first(position) {
            self.recorder.stood(spot, self.people[id].joined, now);
            let since = self.people[id].waited_since(s.serves);
            self.recorder.served(spot, since, now);
        }
        let until = now + self.service_time(id, spot);
        self.stand(id, State::Served { spot, position }, Doing::At(spot), until, now);
    }

    pub(super) fn service_ends(&mut self, id: BodyId, spot: SpotId, position: usize, now: Tick) {
        let s = &self.world.spots[spot];
        if s.serves == Serves::Door {
            self.decide(id, now);
            return self.admit(now);
        }
        if s.walked {
            match self.lines.walk_on(spot, s, position) {
                Onward::To(next) => {
                    let behind = self.lines.before(spot, s, position);
                    self.send(
                        id,
                        State::ToPosition { spot, position: next },
                        s.positions[next].target,
                        Doing::At(spot),
                        now,
                    );
                    self.nudge(behind, now);
                    return self.advance(spot, now);
                }
                Onward::Blocked => {
                    self.people[id].until = Tick::MAX;
                    return;
                }
                Onward::Done => {}
            }
        }
        let behind = self.lines.before(spot, s, position);
        let rests = s.serving.gap > 0.0;
        self.lines.vacate(spot, position, rests);
        if rests {
            self.set_timer(now + ticks(s.serving.gap), Timer::Rested(spot, position));
        }
        if std::mem::take(&mut self.people[id].fetching) {
            self.coats[spot] = self.coats[spot].saturating_sub(1);
        }
        self.people[id].agenda.served(s.serves, now);
        self.decide(id, now);
        self.nudge(behind, now);
        self.advance(spot, now);
    }

    /// Somebody whose next place along a buffet was taken looks again.
    fn nudge(&mut self, behind: Option<BodyId>, now: Tick) {
        if let Some(id) = behind
            && matches!(self.people[id].state, State::Served { .. })
            && self.people[id].until == Tick::MAX
        {
            self.people[id].until = now;
            self.floor.wake(id, now);
        }
    }

    fn find_seat(&mut self, id: BodyId, time: Tick, now: Tick) {
        self.recorder.count(Count::SeatWanted);
        let (x, y) = self.floor.bodies[id].at(now);
        let free = self.seats.keys().filter(|&s| self.seats[s].is_none());
        let cost = |s: SeatId| {
            self.world
                .routes
                .lead(&self.world.grid, x, y, &self.world.seats[s].approach)
                .map_or(f64::INFINITY, |l| l.togo)
        };
        let nearest = free
            .map(|s| (cost(s), s))
            .filter(|c| c.0.is_finite())
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.people[id].sit_for = time;
        match nearest {
            Some((_, seat)) => {
                self.seats[seat] = Some(id);
                self.send(
                    id,
                    State::ToSeat(seat),
                    self.world.seats[seat].approach,
                    Doing::Walk,
                    now,
                );
            }
            None => {
                self.recorder.count(Count::SeatShort);
                self.find_company(id, now);
            }
        }
    }

    /// Sits down once nobody stands or passes between the seat and its floor.
    pub(super) fn sit_down(&mut self, id: BodyId, seat: SeatId, now: Tick) {
        let on = self.world.seats[seat].on;
        if self.is_taken(id, on, now) {
            if self.floor.bodies[id].stuck_for(now) > STANDS_INSTEAD {
                self.seats[seat] = None;
                self.recorder.count(Count::SeatShort);
                return self.find_company(id, now);
            }
            self.ask_before(id, on, now);
            return self.floor.wake(id, now + ticks(SITS_DOWN_AGAIN));
        }
        let until = now + std::mem::take(&mut self.people[id].sit_for);
        self.floor.bodies[id].seat = Some(self.world.seats[seat].on);
        self.stand(id, State::Sitting(seat), Doing::Sit, until, now);
    }

    /// Whether anybody else is at a point, or on the way over it.
    fn is_taken(&self, id: BodyId, at: Point, now: Tick) -> bool {
        let mut taken = false;
        self.floor.near(at, Reach::ALL, id, |other| {
            taken |= walk::passes_near(other, at, SEAT_FREE, now)
        });
        taken
    }

    /// Gets up where feet and knees are; who has drawn in moves out first.
    pub(super) fn get_up(&mut self, id: BodyId, seat: SeatId, now: Tick) {
        if self.is_displaced(id) {
            self.return_home(id, now);
            return;
        }
        self.seats[seat] = None;
        self.floor.bodies[id].seat = None;
        self.decide(id, now);
    }

    pub(super) fn find_company(&mut self, id: BodyId, now: Tick) {
        let person = &mut self.people[id];
        person.talks += 1;
        let mut stream = person.key.stream(Purpose::Talk, person.talks);
        let from = self.floor.bodies[id].at(now);
        match self.talk.find(self.world, id, from, &mut stream) {
            Some((circle, target)) => {
                self.send(id, State::ToCircle(circle), target, Doing::Walk, now)
            }
            None => {
                let standing_meal = std::mem::take(&mut self.people[id].sit_for);
                let until = now + standing_meal.max(ticks(LOOKS_AGAIN));
                let due = self.people[id].agenda.next_due().max(now + ticks(LOOKS_AGAIN));
                self.stand(id, State::Loose, Doing::Talk, until.min(due), now);
            }
        }
    }

    pub(super) fn begin_talk(&mut self, id: BodyId, circle: Seated, now: Tick) {
        let person = &mut self.people[id];
        let mut stream = person.key.stream(Purpose::Talk, (1 << 20) + person.talks);
        let mean = self.world.scenario.talk.spell;
        let spell = ticks(stream.duration(mean, mean * 0.5).max(30.0));
        let plate = std::mem::take(&mut person.sit_for);
        let due = person.agenda.next_due().max(now + 1);
        let until = if plate > 0 { now + plate } else { (now + spell).min(due) };
        self.stand(id, State::Talking(circle), Doing::Talk, until, now);
    }

    /// Somebody who hosts goes on to the next post of their round. Who greets does so while guests
    /// are expected; who pours stays.
    pub(super) fn next_post(&mut self, id: BodyId, now: Tick) {
        let person = &self.people[id];
        let round = &self.world.rounds[person.round];
        let greets = |turn: usize| self.world.posts[round[turn]].duty == Duty::Greet;
        let mut turn = (person.turn + 1) % round.len();
        if greets(turn) && round.len() > 1 {
            turn = (turn + 1) % round.len();
        }
        let stays = greets(person.turn) && !self.door.is_done();
        let post = round[turn];
        let taken = (0..self.people.len())
            .any(|o| o != id && self.people[o].is_host && self.people[o].post(self.world) == post);
        if stays || turn == person.turn || taken {
            return self.host_at_post(id, now);
        }
        self.people[id].turn = turn;
        self.send(id, State::ToPost, self.world.posts[post].target, Doing::Walk, now);
    }

    pub(super) fn host_at_post(&mut self, id: BodyId, now: Tick) {
        let person = &mut self.people[id];
        person.talks += 1;
        let mut stream = person.key.stream(Purpose::Hosting, person.talks);
        let mean = match self.world.posts[person.post(self.world)].duty {
            Duty::Kitchen => IN_KITCHEN,
            Duty::Table => AT_TABLE,
            Duty::Greet | Duty::Pour(_) => LOOKS_ROUND,
        };
        let until = now + ticks(stream.duration(mean, mean / 3.0).max(10.0));
        self.stand(id, State::Hosting, Doing::Host, until, now);
    }
}
