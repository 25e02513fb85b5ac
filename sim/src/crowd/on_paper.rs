//! An evening on paper: the same guests with the same wants, each as long at a spot as on the floor,
//! with lines but without a floor. Nobody walks, talks or is in the way. It takes a three-hundredth
//! of the time, and shows how much of a trial's figures is the luck of who came when and wanted what:
//! a control variate.

use crate::base::chance::Key;
use crate::base::ids::TiVec;
use crate::base::units::{Tick, seconds, ticks};
use crate::evening::agenda::{Agenda, Want};
use crate::evening::guests;
use crate::evening::scenario::Serves;
use crate::evening::scenario::occasion::COAT_BACK;
use crate::floor::world::{Spot, SpotId, World};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// What an evening on paper shows.
#[derive(Clone, Debug)]
pub struct OnPaper {
    /// Seconds each visit to a spot stood in line.
    pub waits: TiVec<SpotId, Vec<f64>>,
    /// How often a seat was wanted.
    pub seats_wanted: u32,
    /// How often there was none.
    pub seats_short: u32,
}

/// Seconds it takes to get to a spot, and the next in line to take the place of who was served.
/// Rough: what is reckoned with it is only held against itself. Common practice.
const GETS_THERE: f64 = 10.0;

/// A guest.
struct Person {
    key: Key,
    agenda: Agenda,
    visits: [u32; Serves::ALL.len()],
    coat_at: Option<SpotId>,
}

/// Everything that changes during an evening.
struct Paper<'w> {
    world: &'w World,
    people: Vec<Person>,
    /// When each of those served at once at a spot is free again.
    free: TiVec<SpotId, Vec<Tick>>,
    /// Coats at each spot.
    coats: TiVec<SpotId, u32>,
    /// When each seat is free again.
    seats: Vec<Tick>,
    shown: OnPaper,
}

/// Reckons a trial of an evening; a script shows nothing.
pub fn reckon(world: &World, seed: u64, trial: u32) -> OnPaper {
    let scenario = &world.scenario;
    let guests = if scenario.is_scripted() { vec![] } else { guests::draw(scenario, seed, trial) };
    let mut due: BinaryHeap<Reverse<(Tick, usize)>> =
        guests.iter().enumerate().map(|(i, guest)| Reverse((ticks(guest.arrives), i))).collect();
    let person = |guest: &guests::Guest| Person {
        key: guest.key,
        agenda: Agenda::draw(guest, scenario),
        visits: [0; Serves::ALL.len()],
        coat_at: None,
    };
    let mut paper = Paper {
        world,
        people: guests.iter().map(person).collect(),
        free: world.spots.iter().map(|s| vec![0; served_at_once(s)]).collect(),
        coats: vec![0; world.spots.len()].into(),
        seats: vec![0; world.seats.len()],
        shown: OnPaper {
            waits: vec![vec![]; world.spots.len()].into(),
            seats_wanted: 0,
            seats_short: 0,
        },
    };
    while let Some(Reverse((now, who))) = due.pop() {
        due.extend(paper.next(who, now).map(|then| Reverse((then, who))));
    }
    paper.shown
}

fn served_at_once(spot: &Spot) -> usize {
    if spot.walked { spot.lanes.len() } else { spot.positions.len() }
}

impl Paper<'_> {
    /// What somebody does next, and when it is over; `None` once they have left.
    fn next(&mut self, who: usize, now: Tick) -> Option<Tick> {
        match self.people[who].agenda.next(now) {
            Want::Leave => {
                if let Some(spot) = self.people[who].coat_at.take() {
                    self.serve(who, spot, COAT_BACK, now);
                }
                None
            }
            Want::Serve(serves) => {
                let Some(spot) = self.spot_for(serves) else {
                    return Some(now);
                };
                if serves == Serves::Coats {
                    self.coats[spot] += 1;
                    self.people[who].coat_at = Some(spot);
                }
                let end = self.serve(who, spot, 1.0, now);
                self.people[who].agenda.served(serves, end);
                Some(end)
            }
            Want::Sit(time) => Some(self.sit(now, time)),
            Want::Company | Want::NextStop => {
                let due = self.people[who].agenda.next_due();
                (now < due && due < Tick::MAX).then_some(due)
            }
        }
    }

    /// The spot that serves soonest; for coats the first that is not full.
    fn spot_for(&self, serves: Serves) -> Option<SpotId> {
        let mut spots = self.world.spots_for(serves).iter().copied();
        if serves == Serves::Coats {
            let has_room =
                |&s: &SpotId| self.world.spots[s].holds.is_none_or(|h| self.coats[s] < h);
            return spots.find(has_room);
        }
        spots.min_by_key(|&s| self.free[s].iter().min().copied())
    }

    /// Stands in line at a spot and is served; returns when that is over.
    fn serve(&mut self, who: usize, spot: SpotId, factor: f64, now: Tick) -> Tick {
        let (s, person) = (&self.world.spots[spot], &mut self.people[who]);
        let joins = now + ticks(GETS_THERE);
        let Some(place) = self.free[spot].iter_mut().min() else {
            return joins;
        };
        let begins = joins.max(*place);
        self.shown.waits[spot].push(seconds(begins - joins));
        if s.walked {
            *place = begins + ticks(s.serving.headway);
            let places = s.positions.len() / s.lanes.len().max(1);
            return begins + ticks(s.serving.headway * places as f64);
        }
        let visits = &mut person.visits[s.serves as usize];
        *visits += 1;
        let ends = begins + ticks(s.service(person.key, *visits, factor));
        *place = ends + ticks(s.serving.gap + GETS_THERE);
        ends
    }

    /// Sits down for so long if there is a seat; returns when that is over.
    fn sit(&mut self, now: Tick, time: Tick) -> Tick {
        self.shown.seats_wanted += 1;
        match self.seats.iter_mut().find(|free| **free <= now) {
            Some(seat) => {
                *seat = now + time;
                *seat
            }
            None => {
                self.shown.seats_short += 1;
                now
            }
        }
    }
}

#[cfg(test)]
#[expect(clippy::expect_used, reason = "a test whose house is wrong has to fail")]
mod tests {
    use super::*;
    use crate::crowd::trial::{Keep, run};
    use crate::evening::scenario::Scenario;
    use crate::floor::small_house::house;

    fn with(guests: u32) -> World {
        let usual = house("");
        let scenario = Scenario { guests, ..usual.scenario.clone() };
        World::new(usual.plan.clone(), scenario).expect("as many guests as there is floor for")
    }

    fn waits(world: &World, serves: Serves, waits: impl Fn(SpotId) -> Vec<f64>) -> Vec<f64> {
        world.spots_for(serves).iter().flat_map(|&spot| waits(spot)).collect()
    }

    fn mean(waits: &[f64]) -> f64 {
        waits.iter().sum::<f64>() / waits.len().max(1) as f64
    }

    #[test]
    fn a_single_guest_waits_for_nobody() {
        let paper = reckon(&with(1), 7, 0);
        assert!(paper.waits.iter().any(|w| !w.is_empty()));
        assert!(paper.waits.iter().flatten().all(|w| *w == 0.0), "{paper:?}");
    }

    #[test]
    fn the_more_come_the_longer_they_wait() {
        let long = |guests| {
            let world = with(guests);
            let papers: Vec<OnPaper> = (0..20).map(|trial| reckon(&world, 7, trial)).collect();
            mean(&papers.iter().flat_map(|p| p.waits.iter().flatten().copied()).collect::<Vec<_>>())
        };
        assert!(long(6) < long(12) && long(12) < long(24));
    }

    #[test]
    fn guests_go_where_they_go_on_the_floor_and_wait_long_on_the_same_evenings() {
        let world = with(12);
        let (mut floor, mut paper) = (vec![], vec![]);
        for trial in 0..40 {
            let (tally, reckoned) =
                (run(&world, 7, trial, Keep::default()).0, reckon(&world, 7, trial));
            let on_floor = |spot: SpotId| tally.waits[spot].iter().map(|&w| seconds(w)).collect();
            floor.push(waits(&world, Serves::Powder, on_floor));
            paper.push(waits(&world, Serves::Powder, |spot| reckoned.waits[spot].clone()));
        }
        let visits = |all: &[Vec<f64>]| all.iter().map(Vec::len).sum::<usize>() as f64;
        assert!((visits(&floor) / visits(&paper) - 1.0).abs() < 0.1);
        let means = |all: &[Vec<f64>]| all.iter().map(|w| mean(w)).collect::<Vec<f64>>();
        let (floor, paper) = (means(&floor), means(&paper));
        let along = |a: &[f64], b: &[f64]| -> f64 {
            let (ma, mb) = (mean(a), mean(b));
            a.iter().zip(b).map(|(a, b)| (a - ma) * (b - mb)).sum()
        };
        let both = along(&floor, &paper) / (along(&floor, &floor) * along(&paper, &paper)).sqrt();
        assert!(both > 0.5, "a correlation of {both}");
    }
}
