//! Who is at the door: arrivals of an evening or of scripts, the wait outside, coming in; and who
//! is there from the start.

use super::person::{Person, State};
use super::{Timer, Trial};
use crate::base::chance::{Chance, Key, Purpose};
use crate::base::units::{Point, Tick, ticks};
use crate::crowd::bodies::{Body, Doing, Reach};
use crate::evening::agenda::Agenda;
use crate::evening::guests::{self, Guest};
use crate::evening::scenario::{Errand, Every, From, MOST_INSIDE, Mix, Serves};
use crate::floor::grid::Area;
use crate::floor::world::World;
use crate::house::plan::RoomId;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, VecDeque};

/// Streams of scripts are keyed by persons from here on.
const ERRAND_KEYS: u32 = 1 << 25;
/// Guests at the door look again this often, in seconds.
const LOOK_AGAIN: f64 = 0.5;
/// Nobody comes in while somebody is this near the entry point, in meters.
const ROOM_TO_ENTER: f64 = 0.55;

/// Who comes to the door next of one script.
struct Script {
    errand: usize,
    left: u32,
    next: Tick,
    stream: Chance,
}

/// Somebody at the door.
enum Caller {
    Guest(Box<Guest>),
    Scripted(usize),
}

/// The door.
pub(super) struct Door {
    guests: VecDeque<Guest>,
    scripts: Vec<Script>,
    upcoming: BinaryHeap<Reverse<(Tick, usize)>>,
    waiting: VecDeque<(Tick, Caller)>,
    next_person: u32,
    looking: bool,
}

impl Door {
    pub(super) fn new(world: &World, key: Key) -> Door {
        let mut door = Door {
            guests: VecDeque::new(),
            scripts: vec![],
            upcoming: BinaryHeap::new(),
            waiting: VecDeque::new(),
            next_person: 0,
            looking: false,
        };
        if !world.scenario.is_scripted() {
            let mut guests = guests::draw(&world.scenario, key.seed, key.trial);
            guests.sort_by(|a, b| a.arrives.total_cmp(&b.arrives).then(a.number.cmp(&b.number)));
            door.guests = guests.into();
            door.next_person = world.scenario.guests;
        }
        for (i, errand) in world.scenario.errands.iter().enumerate() {
            if errand.from == From::Outside {
                door.add_script(i, errand, key);
            }
        }
        door
    }

    fn add_script(&mut self, errand: usize, said: &Errand, key: Key) {
        let stream = Key { person: ERRAND_KEYS + errand as u32, ..key }.stream(Purpose::Errand, 0);
        let mut script = Script { errand, left: said.guests, next: ticks(said.delay), stream };
        script.next += script.gap(said, true);
        self.upcoming.push(Reverse((script.next, self.scripts.len())));
        self.scripts.push(script);
    }

    /// When somebody next comes to the door.
    pub(super) fn next(&self) -> Option<Tick> {
        let guest = self.guests.front().map(|g| ticks(g.arrives));
        let scripted = self.upcoming.peek().map(|u| u.0.0);
        guest.into_iter().chain(scripted).min()
    }

    /// Since when each guest of the evening has waited who is still outside; scripts do not wait.
    pub(super) fn still_outside(&self) -> impl Iterator<Item = Tick> + '_ {
        self.waiting
            .iter()
            .filter(|(_, caller)| matches!(caller, Caller::Guest(_)))
            .map(|(since, _)| *since)
    }

    /// Whether everybody who will come has come in.
    pub(super) fn is_done(&self) -> bool {
        self.guests.is_empty() && self.upcoming.is_empty() && self.waiting.is_empty()
    }

    /// Somebody comes to the door; whether it is a guest of the evening, who will be greeted.
    pub(super) fn arrive(&mut self, now: Tick) -> bool {
        if self.guests.front().is_some_and(|g| ticks(g.arrives) <= now) {
            let guest = self.guests.pop_front();
            self.waiting.extend(guest.map(|g| (now, Caller::Guest(Box::new(g)))));
            return true;
        }
        if let Some(Reverse((_, s))) = self.upcoming.pop() {
            let script = &mut self.scripts[s];
            script.left -= 1;
            self.waiting.push_back((now, Caller::Scripted(script.errand)));
        }
        false
    }

    /// Puts the next one of each script in the calendar.
    fn schedule(&mut self, world: &World) {
        for (s, script) in self.scripts.iter_mut().enumerate() {
            let pending = self.upcoming.iter().any(|u| u.0.1 == s);
            if script.left > 0 && !pending {
                script.next += script.gap(&world.scenario.errands[script.errand], false);
                self.upcoming.push(Reverse((script.next, s)));
            }
        }
    }
}

impl Script {
    /// Ticks to the next arrival.
    fn gap(&mut self, said: &Errand, first: bool) -> Tick {
        match said.arrive {
            Every::Together => 0,
            Every::Exponential(mean) => ticks(self.stream.exponential(mean)),
            Every::Fixed(gap) => {
                if first {
                    0
                } else {
                    ticks(gap)
                }
            }
            Every::Uniform(within) => {
                ticks(self.stream.exponential(within / f64::from(said.guests + 1)))
            }
        }
    }
}

impl Trial<'_> {
    /// Lets in whoever is next, if there is room inside the door and nobody is being greeted.
    pub(super) fn admit(&mut self, now: Tick) {
        self.door.looking = false;
        self.door.schedule(self.world);
        let evening = !self.world.scenario.is_scripted();
        while !self.door.waiting.is_empty() {
            let full = self.floor.inside() >= MOST_INSIDE as usize;
            if full || !self.entry_is_free(now) {
                return self.look_again(now);
            }
            let Some((since, caller)) = self.door.waiting.pop_front() else {
                return;
            };
            match caller {
                Caller::Guest(guest) => self.greet(*guest, since, now),
                Caller::Scripted(errand) => self.let_in(errand, now),
            }
            if evening {
                break;
            }
        }
        if !self.door.waiting.is_empty() {
            self.look_again(now);
        }
    }

    fn look_again(&mut self, now: Tick) {
        if !self.door.looking {
            self.door.looking = true;
            self.set_timer(now + ticks(LOOK_AGAIN), Timer::Admit);
        }
    }

    fn entry_is_free(&self, now: Tick) -> bool {
        let at = self.world.outside.point;
        let (x, y) = at.meters();
        let mut free = true;
        let near = |a: (f64, f64)| {
            (a.0 - x) * (a.0 - x) + (a.1 - y) * (a.1 - y) < ROOM_TO_ENTER * ROOM_TO_ENTER
        };
        self.floor.near(at, Reach::ALL, usize::MAX, |other| {
            free &= !near(other.at(now)) && !other.route().any(near);
        });
        free
    }

    /// A guest of the evening is greeted on the step.
    fn greet(&mut self, guest: Guest, since: Tick, now: Tick) {
        let agenda = Agenda::draw(&guest, &self.world.scenario);
        let mut person = Person::new(guest.key, agenda);
        let door = self.world.spots_for(Serves::Door)[0];
        person.joined = since;
        let at = self.world.outside.point;
        let body = Body::standing(guest.number, at, guest.pace, now).while_doing(Doing::At(door));
        let id = self.enter(person, body, now);
        self.recorder.served(door, since, now);
        let until = now + self.service_time(id, door);
        self.stand(id, State::Served { spot: door, position: 0 }, Doing::At(door), until, now);
    }

    /// A scripted guest comes in.
    fn let_in(&mut self, errand: usize, now: Tick) {
        let at = self.world.outside.point;
        let id = self.scripted(errand, at, now);
        self.decide(id, now);
    }

    fn scripted(&mut self, errand: usize, at: Point, now: Tick) -> usize {
        let said = &self.world.scenario.errands[errand];
        let number = self.door.next_person;
        self.door.next_person += 1;
        let key = Key { person: number, ..self.key };
        let pace = said.pace.unwrap_or_else(|| guests::pace(key, &Mix::default()));
        let stops = said.stops.len() as u64 * u64::from(said.repeat);
        let mut person = Person::new(key, Agenda::scripted(stops));
        person.errand = Some((errand, 0));
        self.enter(person, Body::standing(number, at, pace, now).on_stairs_at(said.stair_pace), now)
    }

    /// Fills rooms with scripted guests who are there from the start.
    pub(super) fn fill_rooms(&mut self) {
        for (i, errand) in self.world.scenario.errands.iter().enumerate() {
            let From::Room(name) = &errand.from else {
                continue;
            };
            let Some(room) = self.world.plan.room(name) else {
                continue;
            };
            let mut stream =
                Key { person: ERRAND_KEYS + i as u32, ..self.key }.stream(Purpose::Fill, 0);
            let mut gaps =
                Key { person: ERRAND_KEYS + i as u32, ..self.key }.stream(Purpose::Errand, 0);
            let mut start = ticks(errand.delay);
            for at in self.fill(room, errand.guests as usize, &mut stream) {
                let id = self.scripted(i, at, 0);
                start += match errand.arrive {
                    Every::Together => 0,
                    Every::Exponential(mean) => ticks(gaps.exponential(mean)),
                    Every::Fixed(gap) => ticks(gap),
                    Every::Uniform(_) => 0,
                };
                let own = if let Every::Uniform(within) = errand.arrive {
                    ticks(errand.delay + within * gaps.uniform())
                } else {
                    start
                };
                self.stand(id, State::Loose, Doing::Talk, own, 0);
            }
        }
    }

    /// Points of a room, apart from one another, in random order.
    fn fill(&self, room: RoomId, wanted: usize, stream: &mut Chance) -> Vec<Point> {
        let grid = &self.world.grid;
        let mut nodes: Vec<usize> = (0..grid.len())
            .filter(|&n| grid.area_at_node(n) == Area::Room(room) && grid.clear_at_node(n) >= 0.2)
            .collect();
        for i in (1..nodes.len()).rev() {
            nodes.swap(i, stream.below(i as u32 + 1) as usize);
        }
        let taken: Vec<Point> = self.floor.ids().map(|id| self.floor.bodies[id].to).collect();
        for apart in [0.6, 0.5, 0.42, 0.36] {
            let mut points: Vec<Point> = vec![];
            for &n in &nodes {
                let p = grid.node_point(n);
                if points.len() < wanted
                    && points.iter().chain(&taken).all(|q| q.distance(p) >= apart)
                {
                    points.push(p);
                }
            }
            if points.len() >= wanted || apart < 0.4 {
                return points;
            }
        }
        vec![]
    }

    /// Who hosts stands at the first post of their round from the start.
    pub(super) fn place_hosts(&mut self) {
        for (round, posts) in self.world.rounds.iter().enumerate() {
            let number = self.door.next_person;
            self.door.next_person += 1;
            let first = |turn: &usize| {
                let at = self.world.posts[posts[*turn]].target.point;
                self.floor.ids().all(|id| self.floor.bodies[id].to.distance(at) >= 0.4)
            };
            let Some(turn) = (0..posts.len()).find(first) else {
                continue;
            };
            let at = self.world.posts[posts[turn]].target.point;
            let key = Key { person: number, ..self.key };
            let mut person = Person::new(key, Agenda::default());
            (person.is_host, person.round, person.turn) = (true, round, turn);
            let id = self.enter(
                person,
                Body::standing(number, at, crate::evening::scenario::occasion::PACE[0], 0),
                0,
            );
            self.host_at_post(id, 0);
        }
    }
}
