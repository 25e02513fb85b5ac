//! One house with different headcounts, and the evenings played in each for the search.

use crate::base::parallel::{Watch, in_order};
use crate::base::stats::Estimate;
use crate::crowd::on_paper::{OnPaper, reckon};
use crate::evening::scenario::{Grade, Scenario};
use crate::floor::world::{PinchId, World};
use crate::house::plan::Plan;
use crate::house::problem::Problem;
use crate::study::capacity::headcount::LOCATING;
use crate::study::capacity::seen::{Played, Reckoned, Shown};
use crate::study::ensemble::{Ensemble, Summary, extend};
use crate::study::evening::jams::jams;
use crate::study::evening::{Evenings, Subject, measure, measure_on_paper, shown, shown_on_paper};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Headcounts that differ by no more than this share tell of each other.
const ABOUT: f64 = 0.06;
/// Headcounts told beside the answer, at most.
const AROUND: usize = 5;
/// Each is more than the next fewer by at least this share.
const APART: f64 = 0.15;

/// A house with a headcount, and the evenings played in it: those of the first look apart from the
/// others.
pub(super) struct House {
    pub(super) world: World,
    looked: Ensemble,
    spent: Ensemble,
    /// The same evenings on paper, by trial.
    on_paper: BTreeMap<u32, OnPaper>,
    /// Others on paper, once asked for.
    usual_on_paper: Vec<OnPaper>,
}

/// Evenings on paper by which it is told what is usual, and the number of the first: none of those
/// played is among them.
const ON_PAPER: u32 = 1000;
const FIRST_ON_PAPER: u32 = 4_000_000;

impl House {
    /// Evenings played.
    fn played(&self) -> usize {
        self.looked.len() + self.spent.len()
    }

    /// The house with the evenings that are told of it: those of the first look only where there
    /// are no others.
    fn told(self) -> Evenings {
        Evenings::new(self.world, if self.spent.is_empty() { self.looked } else { self.spent })
    }

    /// The measure of a limit over all evenings, moved by as much as they show less on paper than
    /// is usual: what is told of neighboring headcounts is not to depend on whose evenings were
    /// lucky. The interval is as wide as without.
    pub(super) fn measure(&self, subject: Subject) -> Estimate {
        let trials = self.looked.trials.iter().chain(&self.spent.trials).cloned().collect();
        let all = Ensemble { trials, ..Ensemble::new(self.spent.seed) };
        let shown = measure(&self.world, &all, subject);
        let on_paper = |papers: Vec<&OnPaper>| measure_on_paper(&self.world, &papers, subject);
        let usual = on_paper(self.usual_on_paper.iter().collect());
        let luck = on_paper(self.on_paper.values().collect()).zip(usual).map(|(here, u)| here - u);
        let tells = !self.usual_on_paper.is_empty() && shown.value > 0.0;
        match luck.filter(|_| tells) {
            Some(luck) => {
                let [value, low, high] =
                    [shown.value, shown.low, shown.high].map(|x| (x - luck).max(0.0));
                Estimate { value, low, high }
            }
            None => shown,
        }
    }
}

/// Houses with different headcounts.
pub(super) struct Houses<'a> {
    plan: &'a Plan,
    scenario: &'a Scenario,
    seed: u64,
    at: BTreeMap<u32, House>,
}

impl<'a> Houses<'a> {
    /// None but the one with the scenario's guests, or what is wrong with it.
    pub(super) fn new(
        plan: &'a Plan,
        scenario: &'a Scenario,
        seed: u64,
    ) -> Result<Houses<'a>, Vec<Problem>> {
        let mut houses = Houses { plan, scenario, seed, at: BTreeMap::new() };
        houses.build(scenario.guests)?;
        Ok(houses)
    }

    /// The house with the scenario's guests.
    pub(super) fn as_asked(&self) -> &World {
        &self.at[&self.scenario.guests].world
    }

    /// Houses in which evenings were played, by headcount, the fewest guests first.
    pub(super) fn played(&self) -> impl Iterator<Item = (u32, &House)> {
        self.at.iter().filter(|(_, h)| h.played() > 0).map(|(n, h)| (*n, h))
    }

    /// Of houses with about as many guests the one with most evenings, by headcount, the fewest
    /// guests first: the others say the same less surely.
    pub(super) fn surest(&self) -> Vec<(u32, &House)> {
        let mut all: Vec<(u32, &House)> = self.played().collect();
        all.sort_by_key(|(guests, house)| (Reverse(house.played()), *guests));
        let mut surest: Vec<(u32, &House)> = vec![];
        for (guests, house) in all {
            let apart = |other: u32| f64::from(guests.abs_diff(other)) > ABOUT * f64::from(guests);
            if surest.iter().all(|s| apart(s.0)) {
                surest.push((guests, house));
            }
        }
        surest.sort_by_key(|s| s.0);
        surest
    }

    /// All evenings played, by headcount.
    pub(super) fn known(&self) -> Vec<Played> {
        let of = |(&guests, house): (&u32, &House)| {
            let trials = house.looked.trials.iter().chain(&house.spent.trials);
            trials.map(|s| Played { guests, trial: s.tally.trial }).collect::<Vec<_>>()
        };
        self.at.iter().flat_map(of).collect()
    }

    fn build(&mut self, guests: u32) -> Result<(), Vec<Problem>> {
        if !self.at.contains_key(&guests) {
            let (plan, scenario) =
                (self.plan.clone(), Scenario { guests, ..self.scenario.clone() });
            let world = match self.at.values().next() {
                Some(house) => house.world.beside(plan, scenario)?,
                None => World::new(plan, scenario)?,
            };
            self.at.insert(
                guests,
                House {
                    world,
                    looked: Ensemble::new(self.seed),
                    spent: Ensemble::new(self.seed),
                    on_paper: BTreeMap::new(),
                    usual_on_paper: vec![],
                },
            );
        }
        Ok(())
    }

    /// Plays evenings, or takes those that another grade has played; a headcount that cannot be put
    /// on the floor shows nothing.
    pub(super) fn play(
        &mut self,
        subjects: &[Subject],
        grade: Grade,
        asked: &[Played],
        watch: &dyn Watch,
    ) -> Vec<Vec<Shown>> {
        asked
            .chunk_by(|a, b| a.guests == b.guests)
            .flat_map(|same| self.play_at(same[0].guests, subjects, grade, same, watch))
            .collect()
    }

    /// The worst spot of floor at the headcount that is told of some guests.
    pub(super) fn worst_spot_at(&self, guests: u32) -> Option<PinchId> {
        let there = &self.at[&self.told_of(guests)?];
        let evenings = if there.spent.is_empty() { &there.looked } else { &there.spent };
        jams(&there.world, evenings).first().map(|j| j.pinch)
    }

    /// The headcount that is told of some guests: of those about as many the one with most evenings
    /// spent, otherwise the nearest.
    fn told_of(&self, guests: u32) -> Option<u32> {
        let off = |n: u32| n.abs_diff(guests);
        let far = |n: u32| if f64::from(off(n)) <= ABOUT * f64::from(guests) { 0 } else { off(n) };
        self.played()
            .min_by_key(|(n, h)| (far(*n), Reverse(h.spent.len()), off(*n), *n))
            .map(|(n, _)| n)
    }

    /// The house at the headcount that is told of some guests, and those at headcounts about that
    /// one, each a good step from the next.
    pub(super) fn told(mut self, guests: u32) -> Option<(Evenings, Vec<Evenings>)> {
        let told = self.told_of(guests).unwrap_or(self.scenario.guests);
        let at = self.at.remove(&told)?.told();
        Some((at, self.around(told)))
    }

    fn around(self, one: u32) -> Vec<Evenings> {
        let far = |a: u32, b: u32| (f64::from(a) / f64::from(b)).ln().abs();
        let mut others: Vec<(u32, House)> =
            self.at.into_iter().filter(|(_, h)| h.played() > 0).collect();
        others.sort_by(|a, b| far(a.0, one).total_cmp(&far(b.0, one)));
        let mut told: Vec<(u32, House)> = vec![];
        for (guests, house) in others {
            let is_apart = |from: u32| far(guests, from) >= APART.ln_1p();
            if told.len() < AROUND && is_apart(one) && told.iter().all(|t| is_apart(t.0)) {
                told.push((guests, house));
            }
        }
        told.sort_by_key(|t| t.0);
        told.into_iter().map(|t| t.1.told()).collect()
    }

    fn play_at(
        &mut self,
        guests: u32,
        subjects: &[Subject],
        grade: Grade,
        asked: &[Played],
        watch: &dyn Watch,
    ) -> Vec<Vec<Shown>> {
        let nothing = vec![vec![Shown::NOTHING; subjects.len()]; asked.len()];
        if self.build(guests).is_err() {
            return nothing;
        }
        let Some(House { world, looked, spent, on_paper, .. }) = self.at.get_mut(&guests) else {
            return nothing;
        };
        let trials = if asked.iter().all(|p| p.trial >= LOCATING) { looked } else { spent };
        let known: BTreeSet<u32> = trials.trials.iter().map(|s| s.tally.trial).collect();
        let numbers: Vec<(usize, u32)> =
            asked.iter().filter(|p| !known.contains(&p.trial)).map(|p| (0, p.trial)).collect();
        extend(std::slice::from_mut(trials), &[&*world], &numbers, watch);
        for (_, trial) in numbers {
            on_paper.insert(trial, reckon(world, self.seed, trial));
        }
        let by_trial: BTreeMap<u32, &Summary> =
            trials.trials.iter().map(|s| (s.tally.trial, s)).collect();
        let of = |p: &Played| {
            let (summary, paper) = (by_trial.get(&p.trial)?, on_paper.get(&p.trial)?);
            let one = |&subject: &Subject| {
                let (measure, weight) = shown(world, summary, subject, grade);
                let on_paper = shown_on_paper(world, paper, subject, grade);
                Shown { measure, weight, on_paper }
            };
            Some(subjects.iter().map(one).collect())
        };
        asked
            .iter()
            .map(|p| of(p).unwrap_or_else(|| vec![Shown::NOTHING; subjects.len()]))
            .collect()
    }

    /// What other evenings at a headcount show on paper, for each limit that paper knows.
    pub(super) fn usual_on_paper(
        &mut self,
        guests: u32,
        subjects: &[Subject],
        grade: Grade,
    ) -> Vec<Option<Vec<Reckoned>>> {
        let Some(House { world, usual_on_paper, .. }) = self.at.get_mut(&guests) else {
            return vec![];
        };
        if usual_on_paper.is_empty() {
            let numbers: Vec<u32> = (FIRST_ON_PAPER..FIRST_ON_PAPER + ON_PAPER).collect();
            *usual_on_paper = in_order(&numbers, |&trial| reckon(world, self.seed, trial), &|| ());
        }
        let one = |&subject: &Subject| {
            usual_on_paper.iter().map(|p| shown_on_paper(world, p, subject, grade)).collect()
        };
        subjects.iter().map(one).collect()
    }
}
