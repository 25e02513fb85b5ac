//! Which arrangement is better, and by how much? Variants on the same evenings, and the guests the
//! best of them gain.

use crate::base::parallel::Watch;
use crate::base::stats::Estimate;
use crate::evening::scenario::Scenario;
use crate::floor::world::World;
use crate::house::plan::Plan;
use crate::house::problem::Problem;
use crate::study::capacity::effort::Effort;
use crate::study::capacity::{Asked, NoCapacity, Whole, answer as capacity, gain};
use crate::study::evening::{Evening, answer as evening};
use crate::study::race::contest::{better_first, is_better};
use crate::study::race::{Paired, Race};

/// Guests gained are asked of so many, those that lose the least time.
pub const BEST: usize = 6;

/// One of the arrangements.
#[derive(Clone, Debug)]
pub struct Case {
    /// What it is called.
    pub name: String,
    /// What the file says it costs.
    pub cost: Option<f64>,
    /// The plan with it.
    pub plan: Plan,
    /// The scenario with it.
    pub scenario: Scenario,
}

/// How an arrangement does against the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Minutes lost a guest.
    pub lost: Estimate,
    /// Against the first one, on the same evenings.
    pub against: Paired,
    /// Guests it takes, if that was asked and has an answer.
    pub guests: Option<Whole>,
    /// Guests more than the first takes.
    pub gain: Option<Estimate>,
    /// Guests gained for each 1,000 of cost.
    pub gain_per_1000: Option<Estimate>,
}

/// The answer.
pub struct Comparison {
    /// The arrangements, the one that all are held against first.
    pub cases: Vec<Case>,
    /// Their worlds and evenings.
    pub race: Race,
    /// What the evenings of each come to.
    pub evenings: Vec<Evening>,
    /// How each does; the first against itself.
    pub standings: Vec<Standing>,
}

impl Comparison {
    /// The arrangements but the first, the best first: by guests clearly gained, as far as they
    /// were asked, then by minutes lost; those that take clearly fewer guests last.
    pub fn ranked(&self) -> Vec<usize> {
        let mut ranked: Vec<usize> = (1..self.cases.len()).collect();
        let by = |c: usize| (self.standings[c].gain, self.standings[c].against);
        ranked.sort_by(|&a, &b| better_first(by(a), by(b)).then(a.cmp(&b)));
        ranked
    }

    /// All of them, the best first; the first stands after those that are clearly better.
    pub fn in_order(&self) -> Vec<usize> {
        let mut all = self.ranked();
        let better = |c: &&usize| is_better(self.standings[**c].gain, self.standings[**c].against);
        all.insert(all.iter().take_while(better).count(), 0);
        all
    }
}

/// Plays `trials` evenings of each arrangement and asks the first and the best [`BEST`] for their
/// headcounts. An arrangement that does not work on the floor is told with its number.
pub fn answer(
    cases: Vec<Case>,
    seed: u64,
    trials: u32,
    watch: &dyn Watch,
) -> Result<Comparison, (usize, Vec<Problem>)> {
    let fits = |world: World| world.too_many().map_or(Ok(world), |p| Err(vec![p]));
    let mut worlds: Vec<World> = vec![];
    for (i, c) in cases.iter().enumerate() {
        let (plan, scenario) = (c.plan.clone(), c.scenario.clone());
        let built = match worlds.first() {
            Some(first) => first.beside(plan, scenario),
            None => World::new(plan, scenario),
        };
        worlds.push(built.and_then(fits).map_err(|p| (i, p))?);
    }
    let mut race = Race::new(worlds, seed);
    let all: Vec<usize> = (0..cases.len()).collect();
    watch.expect(u64::from(trials) * all.len() as u64);
    race.play(&all, 0..trials, watch);
    let standing = |c: usize| Standing {
        lost: race.mean_lost(c),
        against: race.against(c, 0),
        guests: None,
        gain: None,
        gain_per_1000: None,
    };
    let standings = all.iter().map(|&c| standing(c)).collect();
    let evenings = race.worlds.iter().zip(&race.trials).map(|(w, t)| evening(w, t)).collect();
    let mut comparison = Comparison { cases, race, evenings, standings };
    comparison.count_guests(seed, watch);
    Ok(comparison)
}

impl Comparison {
    fn count_guests(&mut self, seed: u64, watch: &dyn Watch) {
        let mut asked = vec![0];
        asked.extend(
            self.ranked().into_iter().filter(|&c| !self.standings[c].against.is_same()).take(BEST),
        );
        if asked.len() < 2 {
            return;
        }
        let takes: Vec<Option<Whole>> = asked
            .iter()
            .map(|&c| guests(&self.cases[c], (seed, self.race.trials[0].len() as u32), watch))
            .collect();
        for (&c, &now) in asked.iter().zip(&takes) {
            let standing = &mut self.standings[c];
            standing.guests = now;
            standing.gain =
                now.zip(takes[0]).and_then(|(now, before)| gain(now, before)).filter(|_| c > 0);
            standing.gain_per_1000 = self.cases[c]
                .cost
                .filter(|cost| *cost > 0.0)
                .and_then(|cost| Some(standing.gain?.scaled(1000.0 / cost)));
        }
    }
}

/// Guests a house takes, by the search that `capacity` does.
fn guests(case: &Case, (seed, evenings): (u64, u32), watch: &dyn Watch) -> Option<Whole> {
    let found: Result<_, NoCapacity> = capacity(
        &case.plan,
        &case.scenario,
        Asked { place: None, all_grades: false, seed, effort: Effort::beside(evenings) },
        watch,
    );
    found.ok()?.guests()
}
