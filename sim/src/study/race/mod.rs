//! Variants on the same evenings: the same guests with the same thirst at the same minute, so that
//! what differs is the house.

pub mod contest;

use crate::base::chance::{Key, Purpose};
use crate::base::parallel::Watch;
use crate::base::stats::{Estimate, mean};
use crate::floor::world::World;
use crate::study::ensemble::{Ensemble, extend};
use crate::study::evening::{answer as evening, minutes_lost, minutes_lost_at};
use std::collections::BTreeMap;
use std::ops::Range;

/// Resamples of whole evenings behind a share.
const RESAMPLES: u32 = 2000;

/// What counts in a race.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Score {
    /// Minutes lost a guest, to others and in lines.
    All,
    /// The most strained limit, which decides how many guests a house takes; then minutes lost.
    Limits,
    /// How far all limits together are over their bounds, which decides whether guests fit; then
    /// minutes lost.
    Fit,
    /// Minutes lost a guest to others at the place of a name.
    At(String),
}

/// Strains are told apart in steps of this share of the bound over the square root of the evenings:
/// few evenings say little. Our own judgement.
const TOLD_APART: f64 = 0.5;

/// Effort of a race.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Evenings of the first round for each variant.
    pub first: u32,
    /// Fresh evenings for the best.
    pub last: u32,
}

impl Effort {
    /// So many fresh evenings; the first round has four, if they are not fewer: on the same guests
    /// they show what matters.
    pub fn of(last: u32) -> Effort {
        Effort { first: last.min(4), last }
    }
}

/// Variants of a house with the evenings played in each.
pub struct Race {
    score: Score,
    /// The variants.
    pub worlds: Vec<World>,
    /// Their evenings.
    pub trials: Vec<Ensemble>,
}

/// How a variant does against another on the same evenings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paired {
    /// Minutes lost a guest more than the other's; below 0 is better.
    pub difference: Estimate,
    /// Share of resamples of the evenings in which it loses less.
    pub better: f64,
}

impl Paired {
    /// Whether every evening was the same to the minute.
    pub fn is_same(self) -> bool {
        self.difference.low == 0.0 && self.difference.high == 0.0
    }

    /// Whether the interval leaves no doubt which one is better.
    pub fn is_clear(self) -> bool {
        self.difference.low > 0.0 || self.difference.high < 0.0
    }
}

impl Race {
    /// No evenings yet.
    pub fn new(worlds: Vec<World>, seed: u64) -> Race {
        let trials = worlds.iter().map(|_| Ensemble::new(seed)).collect();
        Race { score: Score::All, worlds, trials }
    }

    /// The same by another score.
    pub fn by(self, score: Score) -> Race {
        Race { score, ..self }
    }

    /// What counts.
    pub fn score(&self) -> &Score {
        &self.score
    }

    /// Drops all evenings.
    pub fn forget(&mut self) {
        self.trials.iter_mut().for_each(|t| *t = Ensemble::new(t.seed));
    }

    /// Plays the same trials in each of some variants, in parallel over both.
    pub fn play(&mut self, variants: &[usize], range: Range<u32>, watch: &dyn Watch) {
        let worlds: Vec<&World> = self.worlds.iter().collect();
        let all: Vec<(usize, u32)> =
            range.flat_map(|trial| variants.iter().map(move |&v| (v, trial))).collect();
        extend(&mut self.trials, &worlds, &all, watch);
    }

    /// Minutes lost a guest on each evening of a variant, in order.
    pub fn lost(&self, variant: usize) -> Vec<f64> {
        let world = &self.worlds[variant];
        let each = self.trials[variant].trials.iter();
        match &self.score {
            Score::All | Score::Limits | Score::Fit => {
                each.map(|s| minutes_lost(world, s)).collect()
            }
            Score::At(name) => {
                let place = world.places.position(|p| p.name == *name);
                each.map(|s| place.map_or(0.0, |p| minutes_lost_at(world, s, p))).collect()
            }
        }
    }

    /// How near to its bound, or beyond it, a variant's most strained limit is, or how far over
    /// theirs all of them are, in steps that its evenings tell apart. All the same where limits do
    /// not count.
    fn strain(&self, variant: usize) -> f64 {
        let told = || evening(&self.worlds[variant], &self.trials[variant]);
        let strain = match self.score {
            Score::All | Score::At(_) => return 0.0,
            Score::Limits => told().most_strain(),
            Score::Fit => told().all_over(),
        };
        (strain * (self.trials[variant].len() as f64).sqrt() / TOLD_APART).round()
    }

    /// Mean minutes lost a guest of a variant.
    pub fn mean_lost(&self, variant: usize) -> Estimate {
        mean(&self.lost(variant))
    }

    /// One variant against another, on the evenings both have played from their first one on.
    pub fn against(&self, variant: usize, other: usize) -> Paired {
        let differences: Vec<f64> =
            self.lost(variant).iter().zip(self.lost(other)).map(|(a, b)| a - b).collect();
        let seed = self.trials[variant].seed;
        Paired { difference: mean(&differences), better: share_below(&differences, seed) }
    }
}

/// Variants played side by side.
const AT_ONCE: usize = 8;
/// Evenings of a race are numbered from here: none of the fresh ones at its end is among them.
const RACING: u32 = 2_000_000;

impl Race {
    /// Races all variants but the first, which takes part in every round: the best by the score
    /// stay, a third after the first round and half after each later one, and play as many evenings
    /// again as they have, until `keep` are left at most. Returns who is left, best first, and for every variant its mean minutes more than the
    /// first over the evenings it was raced for, with their number. To be picked makes a figure
    /// look better than it is: what is told of the best has to come from other evenings. Of
    /// variants that are `alike` only the better one is among the last.
    pub fn halve(
        &mut self,
        keep: usize,
        first: u32,
        alike: &dyn Fn(usize, usize) -> bool,
        watch: &dyn Watch,
    ) -> (Vec<usize>, Vec<(f64, usize)>) {
        let mut left: Vec<usize> = (1..self.worlds.len()).collect();
        watch.expect(evenings_of_a_race(left.len(), keep, first));
        let (mut from, mut to) = (RACING, RACING + first);
        for round in 0.. {
            let playing: Vec<usize> = std::iter::once(0).chain(left.iter().copied()).collect();
            for group in playing.chunks(AT_ONCE) {
                self.play(group, from..to, watch);
                // most will not be played again: their ways would fill the memory
                let done = group.iter().filter(|&&v| round == 0 && v != 0);
                done.for_each(|&v| self.worlds[v].forget_ways());
            }
            let scores: BTreeMap<usize, (f64, f64)> = left
                .iter()
                .map(|&v| (v, (self.strain(v), self.against(v, 0).difference.value)))
                .collect();
            left.sort_by(|a, b| {
                let ((s, m), (t, n)) = (scores[a], scores[b]);
                s.total_cmp(&t).then(m.total_cmp(&n)).then(a.cmp(b))
            });
            left = leaders_first(&left, alike);
            let out = left.split_off(stay(left.len(), keep, round));
            out.into_iter().for_each(|v| self.worlds[v].forget_ways());
            if left.len() <= keep {
                left = distinct(&left, alike);
                break;
            }
            (from, to) = (to, to + (to - RACING));
        }
        let raced = (0..self.worlds.len())
            .map(|v| (self.against(v, 0).difference.value, self.trials[v].len()))
            .collect();
        (left, raced)
    }
}

/// The best of each kind before the rest, each in order: so that one thing in many measures does
/// not crowd out all others.
fn leaders_first(ranked: &[usize], alike: &dyn Fn(usize, usize) -> bool) -> Vec<usize> {
    let leaders = distinct(ranked, alike);
    let rest = ranked.iter().copied().filter(|v| !leaders.contains(v));
    leaders.iter().copied().chain(rest).collect()
}

/// Those that are like none before them, in order.
pub fn distinct(ranked: &[usize], alike: &dyn Fn(usize, usize) -> bool) -> Vec<usize> {
    ranked.iter().fold(vec![], |mut kept: Vec<usize>, &v| {
        if !kept.iter().any(|&k| alike(k, v)) {
            kept.push(v);
        }
        kept
    })
}

/// How many of so many stay after a round. Most changes do nothing or harm, and a few evenings on
/// the same guests show it.
fn stay(many: usize, keep: usize, round: u32) -> usize {
    many.div_ceil(if round == 0 { 3 } else { 2 }).max(keep).min(many)
}

/// Evenings of all variants until `keep` of so many are left.
fn evenings_of_a_race(mut many: usize, keep: usize, first: u32) -> u64 {
    let (mut evenings, mut round, mut length) = (0, 0, u64::from(first));
    loop {
        evenings += length * (many as u64 + 1);
        many = stay(many, keep, round);
        if many <= keep {
            return evenings;
        }
        length = if round == 0 { length } else { 2 * length };
        round += 1;
    }
}

/// Share of resamples of some differences whose mean is below 0; half of those at 0.
fn share_below(differences: &[f64], seed: u64) -> f64 {
    let n = differences.len() as u32;
    let mut stream = Key { seed, trial: 0, person: 0 }.stream(Purpose::Resample, 1);
    let below = (0..RESAMPLES).map(|_| {
        let sum: f64 = (0..n).map(|_| differences[stream.below(n) as usize]).sum();
        if sum < 0.0 {
            1.0
        } else if sum == 0.0 {
            0.5
        } else {
            0.0
        }
    });
    below.sum::<f64>() / f64::from(RESAMPLES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_race_ends_when_the_best_are_found() {
        // 58 changes and the house as it is: 8 evenings, 8 more, 16 more, 32 more
        let (mut left, mut round) = (vec![58], 0);
        while left[round] > 3 {
            left.push(stay(left[round], 3, round as u32));
            round += 1;
        }
        assert_eq!(left, [58, 20, 10, 5, 3]);
        assert_eq!(evenings_of_a_race(58, 3, 8), 8 * 59 + 8 * 21 + 16 * 11 + 32 * 6);
    }

    #[test]
    fn of_few_all_stay_and_one_round_is_played() {
        for many in 0..=3 {
            assert_eq!(stay(many, 3, 0), many);
            assert_eq!(evenings_of_a_race(many, 3, 8), 8 * (many as u64 + 1));
        }
    }
}
