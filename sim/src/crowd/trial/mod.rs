//! One trial: the event loop. It alone passes events between walking, lines and talk. A pure
//! function of world, seed and trial number.

mod entrance;
mod moves;
mod person;
mod making_room;
mod stuck;
mod wants;

use crate::base::chance::Key;
use crate::base::ids::TiVec;
use crate::base::units::{TICKS, Tick, seconds, ticks};
use crate::crowd::bodies::{Body, BodyId, Doing, Floor};
use crate::crowd::lines::Lines;
use crate::crowd::measure::{Count, Recorder, Tally, Trace, Traces};
use crate::crowd::talk::Talk;
use crate::crowd::walk::Eyes;
use crate::evening::scenario::{Errand, Scenario, Serves};
use crate::floor::world::{SeatId, SpotId, World};
use crate::house::plan::RoomId;
use entrance::Door;
use person::{Person, State};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// What a trial also keeps.
#[derive(Clone, Copy, Debug, Default)]
pub struct Keep {
    /// Where everybody is, on a half-second clock.
    pub traces: Traces,
    /// The nearest two bodies ever are.
    pub bodies: bool,
}

/// Traces are sampled this often, in ticks.
pub const SAMPLE: Tick = TICKS / 2;
/// A trial ends this long after the evening, whoever is still there, in seconds.
const AFTER_END: f64 = 7200.0;
/// Nobody on an evening gets farther than this, in seconds of one walk: then they are counted as
/// stuck.
const STUCK: f64 = 600.0;
/// A scripted guest who does not reach the next stop in so many seconds of walking is stuck.
const STUCK_SCRIPT: f64 = 3600.0;
/// Nobody has more events a second all evening long: a step takes 0.45 s, and who cannot get on
/// looks again every 0.3 s.
const EVENTS_EACH: f64 = 8.0;
/// Events of scripts before one counts as endless: in all, and for each stop of each guest.
const SCRIPT_EVENTS: (u64, u64) = (20_000_000, 100);
/// Events at one moment before a trial counts as endless: in all, and for each guest.
const AT_ONCE: (u64, u64) = (100_000, 40);
/// A guest gives up getting somewhere after this many seconds of one walk, and wants something
/// else: common practice.
const GIVES_UP: f64 = 240.0;

/// Timers that belong to no body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Timer {
    /// Look whether the next guest can come in.
    Admit,
    /// A serving position has rested.
    Rested(SpotId, usize),
}

/// Everything that changes during a trial.
struct Trial<'w> {
    world: &'w World,
    key: Key,
    floor: Floor,
    lines: Lines,
    talk: Talk,
    recorder: Recorder,
    eyes: Eyes,
    people: Vec<Person>,
    door: Door,
    timers: BinaryHeap<Reverse<(Tick, Timer)>>,
    /// Coats at each spot.
    coats: TiVec<SpotId, u32>,
    seats: TiVec<SeatId, Option<BodyId>>,
    guests_inside: u32,
    /// Scripted guests sent into each room so far.
    sent_into: BTreeMap<RoomId, usize>,
    /// Scripted guests who have done all their stops.
    finished: usize,
}

/// Runs one trial.
pub fn run(world: &World, seed: u64, trial: u32, keep: Keep) -> (Tally, Vec<Trace>) {
    let key = Key { seed, trial, person: 0 };
    let recorder = Recorder::new(world, trial, keep.traces);
    let mut t = Trial {
        world,
        key,
        floor: Floor::new(&world.plan, &world.grid, world.scenario.model.reversed),
        lines: Lines::new(&world.spots),
        talk: Talk::new(),
        recorder: if keep.bodies { recorder.check_bodies() } else { recorder },
        eyes: Eyes::default(),
        people: vec![],
        door: Door::new(world, key),
        timers: BinaryHeap::new(),
        coats: vec![0; world.spots.len()].into(),
        seats: vec![None; world.seats.len()].into(),
        guests_inside: 0,
        sent_into: BTreeMap::new(),
        finished: 0,
    };
    t.fill_rooms();
    t.place_hosts();
    t.live();
    t.recorder.finish()
}

/// Events in all and at one moment that no trial has unless it would never end.
fn most_events(scenario: &Scenario) -> (u64, u64) {
    let scripted: u64 = scenario.errands.iter().map(|e| u64::from(e.guests)).sum();
    let stops = |e: &Errand| u64::from(e.guests) * e.stops.len() as u64 * u64::from(e.repeat);
    let seconds = scenario.lead() + scenario.lasts + AFTER_END;
    let people = f64::from(scenario.guests + scenario.hosts);
    let usual = match scripted {
        0 => (people * seconds * EVENTS_EACH) as u64,
        _ => SCRIPT_EVENTS.0 + SCRIPT_EVENTS.1 * scenario.errands.iter().map(stops).sum::<u64>(),
    };
    let most = scenario.model.most_events.unwrap_or(usual);
    (most, most.min(AT_ONCE.0 + AT_ONCE.1 * scripted.max(u64::from(scenario.guests))))
}

impl Trial<'_> {
    fn live(&mut self) {
        let evening = !self.world.scenario.is_scripted();
        let scenario = &self.world.scenario;
        let end = if evening {
            ticks(scenario.lead() + scenario.lasts + AFTER_END)
        } else {
            scenario.model.ends.map_or(Tick::MAX, ticks)
        };
        let (most, most_at_once) = most_events(scenario);
        let mut next_sample = 0;
        let (mut last, mut at_once, mut events) = (0, 0, 0);
        while let Some(now) = self.next_moment().filter(|&t| t < end) {
            while self.recorder.is_tracing() && next_sample <= now {
                self.recorder.sample(&self.floor, next_sample);
                next_sample += SAMPLE;
            }
            let lines = &self.lines;
            self.recorder.until(self.world, &self.floor, now, |spot| lines.waiting(spot));
            at_once = if now == last { at_once + 1 } else { 0 };
            events += 1;
            if events > most || at_once > most_at_once {
                let whose = self.floor.pop().map(|next| self.floor.bodies[next.1].person);
                self.recorder.endless(whose, now);
                break;
            }
            self.happen(now);
            last = now;
            if self.is_over() {
                break;
            }
        }
        self.leave_waiting(last);
        self.recorder.ended(self.guests_inside, events, last);
    }

    /// Who waits when the trial ends has waited until then, in line, on the way and outside.
    fn leave_waiting(&mut self, now: Tick) {
        for id in self.floor.ids().collect::<Vec<_>>() {
            self.give_up_visits(id, now);
        }
        let door = self.world.spots_for(Serves::Door).first().copied();
        for (spot, since) in door
            .into_iter()
            .flat_map(|spot| self.door.still_outside().map(move |since| (spot, since)))
        {
            self.recorder.in_vain(spot, since, now);
        }
    }

    fn next_moment(&mut self) -> Option<Tick> {
        let timer = self.timers.peek().map(|t| t.0.0);
        [self.floor.next_tick(), self.door.next(), timer].into_iter().flatten().min()
    }

    /// The first thing due: arrivals, then timers, then people.
    fn happen(&mut self, now: Tick) {
        if self.door.next() == Some(now) {
            if self.door.arrive(now) {
                self.recorder.count(Count::Wanted(Serves::Door));
            }
            self.admit(now);
        } else if self.timers.peek().is_some_and(|t| t.0.0 == now) {
            match self.timers.pop().map(|t| t.0.1) {
                Some(Timer::Admit) => self.admit(now),
                Some(Timer::Rested(spot, position)) => {
                    self.lines.rested(spot, position);
                    self.advance(spot, now);
                }
                None => {}
            }
        } else if let Some((_, id)) = self.floor.pop() {
            self.wakes(id, now);
        }
    }

    fn is_over(&self) -> bool {
        self.door.is_done() && self.guests_inside as usize == self.finished
    }

    fn set_timer(&mut self, at: Tick, timer: Timer) {
        self.timers.push(Reverse((at, timer)));
    }

    /// A body's event: the rest of a squeeze, a step, or the end of what it stands for.
    /// Nobody changes their mind in the middle of a step.
    fn wakes(&mut self, id: BodyId, now: Tick) {
        let end = self.floor.bodies[id].end;
        if now < end {
            return self.floor.wake(id, end);
        }
        if !self.floor.bodies[id].path.is_empty() {
            return self.squeeze_on(id, now);
        }
        if self.floor.bodies[id].doing() == Doing::Squeeze {
            self.floor.does(id, Doing::Walk);
            self.recorder.changed(id, &self.floor.bodies[id], now);
        }
        if self.people[id].state.is_under_way() {
            return self.walk_on(id, now);
        }
        if self.is_displaced(id) && self.people[id].until > now {
            return self.return_home(id, now);
        }
        match self.people[id].state {
            _ if self.people[id].until > now => {
                let until = self.people[id].until;
                if until < Tick::MAX {
                    self.floor.wake(id, until);
                }
            }
            State::Served { spot, position } => self.service_ends(id, spot, position, now),
            State::Sitting(seat) => self.get_up(id, seat, now),
            State::Talking(circle) => {
                self.talk.leave(circle);
                self.decide(id, now);
            }
            State::Hosting => self.next_post(id, now),
            _ => self.decide(id, now),
        }
    }

    /// Puts a person with a body on the floor.
    fn enter(&mut self, person: Person, body: Body, now: Tick) -> BodyId {
        let is_guest = !person.is_host;
        self.guests_inside += u32::from(is_guest);
        let id = self.floor.enter(body);
        if id < self.people.len() {
            self.people[id] = person;
        } else {
            self.people.push(person);
        }
        self.recorder.entered(id, is_guest, now, self.guests_inside);
        self.recorder.changed(id, &self.floor.bodies[id], now);
        id
    }

    fn do_what(&mut self, id: BodyId, doing: Doing, now: Tick) {
        self.floor.does(id, doing);
        self.recorder.changed(id, &self.floor.bodies[id], now);
    }

    /// Stands until a moment, doing something.
    fn stand(&mut self, id: BodyId, state: State, doing: Doing, until: Tick, now: Tick) {
        let body = &mut self.floor.bodies[id];
        body.target = None;
        body.starts_afresh(now);
        body.slow_since = None;
        body.blocker = None;
        let person = &mut self.people[id];
        person.state = state;
        person.until = until;
        person.home = Some(self.floor.bodies[id].to);
        person.shut_in = (self.floor.bodies[id].to, if until < Tick::MAX { until } else { now });
        self.recorder.arrived(id);
        self.do_what(id, doing, now);
        if until < Tick::MAX {
            self.floor.wake(id, until.max(now));
        }
    }

    fn walked_for(&self, id: BodyId, now: Tick) -> f64 {
        seconds(now.saturating_sub(self.people[id].set_out))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::small_house::house;

    fn evening(more: &str, trial: u32) -> Tally {
        let keep = Keep { bodies: true, ..Keep::default() };
        run(&house(more), 7, trial, keep).0
    }

    #[test]
    fn everybody_comes_and_goes_home() {
        let tally = evening("", 0);
        assert_eq!((tally.came, tally.left, tally.stayed), (12, 12, 0));
        assert!(tally.endless.is_none());
    }

    #[test]
    fn everybody_gets_food_and_drinks_and_nobody_walks_into_anybody() {
        let world = house("");
        let tally = evening("", 1);
        let served = |serves: Serves| -> u32 {
            world.spots_for(serves).iter().map(|&spot| tally.served[spot]).sum()
        };
        assert!(served(Serves::Food) >= 12, "{:?}", tally.served);
        assert!(served(Serves::Drinks) >= 12, "{:?}", tally.served);
        // two bodies turned sideways, less a centimeter
        assert!(tally.nearest > 0.224, "{} m", tally.nearest);
    }

    #[test]
    fn a_trial_is_the_same_each_time_and_another_one_is_another_evening() {
        let print = |tally: &Tally| format!("{tally:?}");
        assert_eq!(print(&evening("", 3)), print(&evening("", 3)));
        assert_ne!(print(&evening("", 3)), print(&evening("", 4)));
    }

    #[test]
    fn an_evening_is_the_same_whether_ways_are_known_or_found_again() {
        let mut world = house("");
        let print = |world: &World| format!("{:?}", run(world, 7, 3, Keep::default()).0);
        let first = print(&world);
        assert_eq!(print(&world), first);
        world.forget_ways();
        assert_eq!(print(&world), first);
    }

    #[test]
    fn a_script_is_walked_from_stop_to_stop() {
        let script =
            "[[errand]]\nguests = 3\nstops = [\"bar\", \"powder\", \"leave\"]\nrepeat = 1\n";
        let tally = evening(script, 0);
        assert_eq!((tally.came, tally.left), (3, 3));
        assert!(tally.served.iter().filter(|&&n| n == 3).count() >= 2, "{:?}", tally.served);
    }
}
