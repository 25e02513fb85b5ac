//! How many guests, what gives out first, what next? Limits of an evening put to the search for a headcount.

use super::evening::{Subject, USUAL, bound, measure, seats_short};
use super::headcount::{Bounded, Budget, Effort, Found, Gives, LOCATING, Played, Shown, find, least};
use crate::ensemble::{Ensemble, Summary, extend};
use crate::parallel::Watch;
use crate::plan::Plan;
use crate::problem::Problem;
use crate::scenario::{Scenario, Serves};
use crate::stats::Estimate;
use crate::stats::threshold::Rise;
use crate::units::{SQUARE_FOOT, seconds};
use crate::world::World;
use std::collections::BTreeMap;

/// Nobody asks a home for more guests.
pub const MOST_GUESTS: u32 = 300;
/// Clear floor a guest below which no evening is simulated, in sq ft: a dense crowd stands at 4.5 (Jacobs 1967, from memory).
const DENSEST: f64 = 4.5;

/// A share of nothing at all is taken as this: some hundreds of evenings cannot tell never from once in two hundred.
const NEVER: f64 = 0.005;

/// What one limit allows.
#[derive(Clone, Debug)]
pub struct LimitCurve {
    /// What it is about.
    pub subject: Subject,
    /// The bound.
    pub bound: f64,
    /// Where it gives out.
    pub gives: Gives,
    /// Its measure at every headcount looked at.
    pub curve: Vec<(u32, Estimate)>,
}

/// Whole guests with an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Whole {
    /// The largest headcount at which every limit holds.
    pub value: u32,
    /// Lower end of the 95 % interval.
    pub low: u32,
    /// Upper end of the 95 % interval, if anything that was seen bounds it.
    pub high: Option<u32>,
}

impl Whole {
    /// As a figure; infinite where there is no upper end.
    pub fn estimate(self) -> Estimate {
        Estimate { value: f64::from(self.value), low: f64::from(self.low), high: self.high.map_or(f64::INFINITY, f64::from) }
    }
}

/// Whole guests a limit allows; `None` if it never gives out.
pub fn whole(gives: Gives) -> Option<Whole> {
    let floor = |x: f64| (x + 1e-9).floor() as u32;
    match gives {
        Gives::Never => None,
        Gives::AtOnce => Some(Whole { value: 0, low: 0, high: Some(0) }),
        Gives::At { value, low, high } => Some(Whole { value: floor(value), low: floor(low), high: high.is_finite().then(|| floor(high)) }),
    }
}

/// The answer.
pub struct Capacity {
    /// Every limit, the first to give out first; those that never do last.
    pub limits: Vec<LimitCurve>,
    /// All limits together.
    pub together: Gives,
    /// The most guests looked at.
    pub looked: u32,
    /// Evenings at each headcount of the second stage.
    pub played: BTreeMap<u32, u32>,
    /// The house at the headcount looked at that is nearest to the answer, and its evenings.
    pub at: (World, Ensemble),
}

impl Capacity {
    /// Whole guests, if any limit gives out.
    pub fn guests(&self) -> Option<Whole> {
        whole(self.together)
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub enum NoCapacity {
    /// Something is wrong on the floor.
    Problems(Vec<Problem>),
    /// There is no place of that name: the names there are.
    NoPlace(Vec<String>),
    /// Scripts have no headcount.
    Scripted,
}

/// Searches for the largest headcount. With `place`, only what happens there counts: jams at the place, and lines at its spots.
pub fn answer(plan: &Plan, scenario: &Scenario, place: Option<&str>, seed: u64, effort: Effort, watch: &dyn Watch) -> Result<Capacity, NoCapacity> {
    if !scenario.errands.is_empty() {
        return Err(NoCapacity::Scripted);
    }
    let mut houses = Houses { plan, scenario, seed, at: BTreeMap::new() };
    houses.build(scenario.guests).map_err(NoCapacity::Problems)?;
    let world = &houses.at[&scenario.guests].world;
    let subjects = subjects(world, place)?;
    let limits: Vec<Bounded> = subjects.iter().map(|&s| bounded(world, s)).collect();
    let floor = world.clear_floor;
    let counts_floor = place.is_none();
    let most = MOST_GUESTS.min((floor / (DENSEST * SQUARE_FOOT)) as u32).max(1);
    let around = scenario.guests.min(most);
    let budget = Budget { around, most, effort };
    watch.expect(u64::from(USUAL_STEPS * effort.locate + effort.spend));
    let mut play = |asked: &[Played]| houses.play(&subjects, asked, watch);
    let found = find(&limits, budget, &mut play);
    let floor_gives = exactly(floor / scenario.limits.clear_floor, most);
    told(houses, &subjects, found, counts_floor.then_some(floor_gives))
}

/// Headcounts the first stage usually looks at: a guess for those who wait.
const USUAL_STEPS: u32 = 9;

/// A limit known without error; beyond the most that is simulated nothing is said.
fn exactly(guests: f64, most: u32) -> Gives {
    match guests {
        g if g < 1.0 => Gives::AtOnce,
        g if g > f64::from(most) + 1.0 => Gives::Never,
        g => Gives::At { value: g, low: g, high: g },
    }
}

/// A house with a headcount, and the evenings played in it: those of the first look apart from the others.
struct House {
    world: World,
    looked: Ensemble,
    spent: Ensemble,
}

impl House {
    /// All evenings, without their rasters.
    fn all(&self) -> Ensemble {
        Ensemble { trials: self.looked.trials.iter().chain(&self.spent.trials).cloned().collect(), ..Ensemble::new(self.spent.seed) }
    }
}

/// Houses with different headcounts.
struct Houses<'a> {
    plan: &'a Plan,
    scenario: &'a Scenario,
    seed: u64,
    at: BTreeMap<u32, House>,
}

impl Houses<'_> {
    fn build(&mut self, guests: u32) -> Result<(), Vec<Problem>> {
        if !self.at.contains_key(&guests) {
            let world = World::new(self.plan.clone(), Scenario { guests, ..self.scenario.clone() })?;
            self.at.insert(guests, House { world, looked: Ensemble::new(self.seed), spent: Ensemble::new(self.seed) });
        }
        Ok(())
    }

    /// Plays evenings; a headcount that cannot be put on the floor shows nothing.
    fn play(&mut self, subjects: &[Subject], asked: &[Played], watch: &dyn Watch) -> Vec<Vec<Shown>> {
        asked.chunk_by(|a, b| a.guests == b.guests).flat_map(|same| self.play_at(same[0].guests, subjects, same, watch)).collect()
    }

    fn play_at(&mut self, guests: u32, subjects: &[Subject], asked: &[Played], watch: &dyn Watch) -> Vec<Vec<Shown>> {
        let nothing = vec![vec![(0.0, 0.0); subjects.len()]; asked.len()];
        if self.build(guests).is_err() {
            return nothing;
        }
        let Some(House { world, looked, spent }) = self.at.get_mut(&guests) else {
            return nothing;
        };
        let trials = if asked.iter().all(|p| p.trial >= LOCATING) { looked } else { spent };
        let before = trials.len();
        let numbers: Vec<(usize, u32)> = asked.iter().map(|p| (0, p.trial)).collect();
        extend(std::slice::from_mut(trials), &[&*world], &numbers, &|| watch.done());
        trials.trials[before..].iter().map(|s| subjects.iter().map(|&subject| shown(world, s, subject)).collect()).collect()
    }
}

/// What an evening shows of a limit.
fn shown(world: &World, s: &Summary, subject: Subject) -> Shown {
    match subject {
        Subject::JamRisk(place) => (f64::from(u8::from(s.tally.jams.iter().any(|j| j.place == place && !j.leaving))), 1.0),
        Subject::Wait(spot) => {
            let waits = &s.tally.waits[spot];
            let bound = bound(world, subject).unwrap_or(f64::INFINITY);
            let over = waits.iter().filter(|&&w| seconds(w).round() > bound).count();
            (over as f64 / waits.len().max(1) as f64, waits.len() as f64)
        }
        Subject::SeatsShort => (seats_short(s), 1.0),
        Subject::CoatsOver => (f64::from(s.tally.coats_over), 1.0),
        Subject::ClearFloor => (0.0, 0.0),
    }
}

/// A limit as the search sees it: 9 visits in 10 wait less than the bound where at most one in ten waits longer.
fn bounded(world: &World, subject: Subject) -> Bounded {
    let said = bound(world, subject).unwrap_or(f64::INFINITY);
    match subject {
        Subject::CoatsOver => Bounded { rise: Rise::Amount, bound: said },
        Subject::Wait(_) => Bounded { rise: Rise::Share, bound: 1.0 - USUAL },
        _ => Bounded { rise: Rise::Share, bound: said.max(NEVER) },
    }
}

/// The limits that count, but for clear floor.
fn subjects(world: &World, place: Option<&str>) -> Result<Vec<Subject>, NoCapacity> {
    let lined = (0..world.spots.len()).filter(|&s| world.spots[s].serves != Serves::Door && bound(world, Subject::Wait(s)).is_some());
    let Some(name) = place else {
        let jams = (0..world.places.len()).map(Subject::JamRisk);
        return Ok(jams.chain(lined.map(Subject::Wait)).chain([Subject::SeatsShort, Subject::CoatsOver]).collect());
    };
    let Some(place) = world.places.iter().position(|p| p.name == name) else {
        return Err(NoCapacity::NoPlace(world.places.iter().map(|p| p.name.clone()).collect()));
    };
    let in_place = |s: &usize| {
        world.spots[*s].positions.iter().any(|p| {
            let (x, y) = p.target.point.metres();
            world.place_at(x, y) == Some(place)
        })
    };
    Ok(std::iter::once(Subject::JamRisk(place)).chain(lined.filter(in_place).map(Subject::Wait)).collect())
}

fn told(mut houses: Houses, subjects: &[Subject], found: Found, floor: Option<Gives>) -> Result<Capacity, NoCapacity> {
    let together = floor.map_or(found.together(), |f| least(found.together(), f));
    let gives = subjects.iter().copied().zip(found.limits.iter().copied()).chain(floor.map(|f| (Subject::ClearFloor, f)));
    let mut limits: Vec<LimitCurve> = gives.filter_map(|(subject, gives)| curve(&houses, subject, gives)).collect();
    limits.sort_by(|a, b| a.gives.value().unwrap_or(f64::INFINITY).total_cmp(&b.gives.value().unwrap_or(f64::INFINITY)));
    let answer = whole(together).map_or(found.looked, |w| w.value);
    let played = |h: &House| h.looked.len() + h.spent.len();
    let most_played = houses.at.iter().filter(|(_, h)| played(h) > 0).map(|(n, h)| (n.abs_diff(answer), std::cmp::Reverse(played(h)), *n)).min();
    let nearest = most_played.map_or(houses.scenario.guests, |m| m.2);
    let House { world, looked, spent } = houses.at.remove(&nearest).ok_or(NoCapacity::Problems(vec![]))?;
    let trials = if spent.is_empty() { looked } else { spent };
    Ok(Capacity { limits, together, looked: found.looked, played: found.played, at: (world, trials) })
}

/// A limit with its curve; `None` for a place where nothing ever jams.
fn curve(houses: &Houses, subject: Subject, gives: Gives) -> Option<LimitCurve> {
    let played = houses.at.iter().map(|(guests, house)| (*guests, &house.world, house.all())).filter(|(_, _, trials)| !trials.is_empty());
    let curve: Vec<(u32, Estimate)> = played.map(|(guests, world, trials)| (guests, measure(world, &trials, subject))).collect();
    let quiet = matches!(subject, Subject::JamRisk(_)) && curve.iter().all(|(_, e)| e.value == 0.0);
    let world = &houses.at.values().next()?.world;
    (!quiet).then_some(LimitCurve { subject, bound: bound(world, subject)?, gives, curve })
}
