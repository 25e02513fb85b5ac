//! Are the headcounts honest? Whole searches over made-up houses whose true capacity is known.

use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::chance::{Chance, Key, Purpose};
use crate::base::parallel::in_order;
use crate::base::stats::threshold::Rise;
use crate::study::capacity::effort::{Budget, Effort};
use crate::study::capacity::gives::Gives;
use crate::study::capacity::headcount::find;
use crate::study::capacity::seen::{Bounded, Played, Reckoned, Shown, Source};
use statrs::distribution::{Binomial, DiscreteCDF};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "S4",
        question: Question::Figures,
        kind: Kind::Gate,
        title: "how often the interval of a headcount holds the truth, before it is made whole",
        source: "synthetic response curves, the whole search",
        known: Known::Computed,
        slow: true,
        measure: real_valued,
    },
    Check {
        id: "S5",
        question: Question::Figures,
        kind: Kind::Gate,
        title: "the same for the whole headcount",
        source: "synthetic response curves, the whole search",
        known: Known::Computed,
        slow: true,
        measure: whole,
    },
    Check {
        id: "S6",
        question: Question::Figures,
        kind: Kind::Gate,
        title: "the same for the quick search behind grades that were not asked for",
        source: "synthetic response curves, the whole search",
        known: Known::Computed,
        slow: true,
        measure: quick,
    },
];

/// Searches a curve.
const SEARCHES: u32 = 1000;

/// A made-up limit: how its measure goes with guests.
#[derive(Clone, Copy)]
enum Law {
    /// Jams on a share of evenings with a logistic rise in ln(guests): half at the first figure,
    /// with the second as slope.
    Logistic(f64, f64),
    /// Jams come singly, more often as a power of guests: 1 - exp(-(n / first)^second).
    Single(f64, f64),
    /// A share of visits waits too long, on half of the evenings only: whole evenings are good or
    /// bad.
    Clustered(f64, f64),
    /// The same, where paper foretells which evenings are bad, and with a few less guests.
    Foretold(f64, f64),
    /// Coats beyond so many places, each guest with a coat on 95 of 100.
    Coats(u32),
    /// An amount that grows as a power of guests: 1 at the first figure.
    Power(f64, f64),
}

impl Law {
    fn bounded(self) -> Bounded {
        match self {
            Law::Logistic(..) | Law::Single(..) | Law::Clustered(..) | Law::Foretold(..) => {
                Bounded { rise: Rise::Share, bound: 0.1 }
            }
            Law::Coats(_) => Bounded { rise: Rise::Amount, bound: 2.0 },
            Law::Power(..) => Bounded { rise: Rise::Amount, bound: 2.0 },
        }
    }

    /// The true mean; between whole headcounts on the straight line where guests are counted.
    fn mean(self, guests: f64) -> f64 {
        match self {
            Law::Logistic(at, slope) | Law::Clustered(at, slope) | Law::Foretold(at, slope) => {
                logistic(guests, at, slope)
            }
            Law::Single(at, power) => 1.0 - (-(guests / at).powf(power)).exp(),
            Law::Power(at, power) => (guests / at).powf(power),
            Law::Coats(places) => {
                let (low, share) = (guests.floor(), guests.fract());
                coats_over(low as u64, places) * (1.0 - share)
                    + coats_over(low as u64 + 1, places) * share
            }
        }
    }

    /// What an evening shows; `of_trial` is the same at every headcount.
    fn shown(self, guests: u32, of_trial: f64, own: &mut Chance) -> Shown {
        let mean = self.mean(f64::from(guests));
        let luck = if own.happens(0.5) { of_trial } else { own.uniform() };
        match self {
            Law::Logistic(..) | Law::Single(..) => Shown::of(f64::from(u8::from(luck < mean)), 1.0),
            Law::Clustered(..) => {
                let (measure, weight) = visits(guests, mean, luck, own);
                Shown::of(measure, weight)
            }
            Law::Foretold(..) => {
                let (measure, weight) = visits(guests, mean, of_trial, own);
                Shown { measure, weight, on_paper: self.on_paper(guests, of_trial, own) }
            }
            Law::Coats(places) => {
                let coats = (0..guests).filter(|_| own.happens(COATS)).count() as u32;
                Shown::of(f64::from(coats.saturating_sub(places)), 1.0)
            }
            Law::Power(..) => Shown::of(-mean * (1.0 - luck).ln(), 1.0),
        }
    }

    /// What an evening shows on paper.
    fn on_paper(self, guests: u32, of_trial: f64, own: &mut Chance) -> Option<Reckoned> {
        let Law::Foretold(at, slope) = self else { return None };
        Some(visits(guests, logistic(f64::from(guests), PAPER_TAKES * at, slope), of_trial, own))
    }

    /// The true real-valued headcount, by halving.
    fn truth(self) -> f64 {
        let bound = self.bounded().bound;
        let halve = |(low, high): (f64, f64), _| {
            let middle = (low + high) / 2.0;
            if self.mean(middle) > bound { (low, middle) } else { (middle, high) }
        };
        (0..60).fold((1.0, 400.0), halve).0
    }
}

const COATS: f64 = 0.95;
/// Guests a limit allows on paper, as a share of those it allows on the floor.
const PAPER_TAKES: f64 = 0.93;
/// Evenings on paper that tell what is usual, and the number of the first.
const ON_PAPER: std::ops::Range<u32> = 4_000_000..4_001_000;

fn logistic(guests: f64, at: f64, slope: f64) -> f64 {
    1.0 / (1.0 + (-(guests / at).ln() * slope).exp())
}

/// Visits of a good or a bad evening, of which as many are half of the time: the share that waits
/// too long, and their number.
fn visits(guests: u32, mean: f64, luck: f64, own: &mut Chance) -> (f64, f64) {
    let visits = guests.div_ceil(2) + own.below(guests);
    let share = if luck < 0.5 { (2.0 * mean).min(1.0) } else { (2.0 * mean - 1.0).max(0.0) };
    let over = (0..visits).filter(|_| own.happens(share)).count();
    (over as f64 / f64::from(visits), f64::from(visits))
}

/// Mean number of coats without a place: the sum over k of the chance of more than k.
fn coats_over(guests: u64, places: u32) -> f64 {
    let Ok(law) = Binomial::new(COATS, guests) else {
        return f64::NAN;
    };
    (u64::from(places)..guests).map(|k| 1.0 - law.cdf(k)).sum()
}

/// Made-up houses: the name, the limits, and the one whose interval is looked at; otherwise all
/// together.
const CURVES: [(&str, &[Law], Option<usize>); 12] = [
    ("steep logistic", &[Law::Logistic(31.0, 9.0)], None),
    ("flat logistic", &[Law::Logistic(80.0, 4.0)], None),
    ("small house", &[Law::Logistic(12.5, 7.0)], None),
    ("jams that come singly", &[Law::Single(40.0, 5.0)], None),
    ("waits, good and bad evenings", &[Law::Clustered(52.0, 6.0)], None),
    ("waits that paper foretells", &[Law::Foretold(52.0, 6.0)], None),
    (
        "such waits in a small house with jams",
        &[Law::Foretold(19.0, 6.0), Law::Single(21.5, 5.0)],
        None,
    ),
    ("coats over the rod", &[Law::Coats(36)], None),
    ("an amount", &[Law::Power(30.0, 4.0)], None),
    (
        "three that give out together",
        &[Law::Logistic(31.0, 9.0), Law::Single(37.42, 5.0), Law::Clustered(35.1, 6.0)],
        None,
    ),
    (
        "a limit that gives out later",
        &[Law::Logistic(31.0, 9.0), Law::Logistic(40.0, 7.0)],
        Some(1),
    ),
    ("waits that get long later", &[Law::Single(37.42, 5.0), Law::Clustered(44.0, 6.0)], Some(1)),
];

/// A made-up house, with the number of the search that looks at it.
struct House<'a> {
    laws: &'a [Law],
    number: u32,
}

impl House<'_> {
    fn key(&self, trial: u32, person: u32) -> Key {
        Key { seed: u64::from(self.number), trial, person }
    }

    /// What is the same of a limit at every headcount of a trial, and what is not.
    fn chances(&self, limit: usize, p: Played) -> (f64, Chance) {
        let of_trial = self.key(p.trial, limit as u32).stream(Purpose::Resample, 0).uniform();
        let own = self.key(p.trial, 1000 * (limit as u32 + 1) + p.guests);
        (of_trial, own.stream(Purpose::Resample, 1))
    }
}

impl Source for House<'_> {
    fn play(&mut self, asked: &[Played]) -> Vec<Vec<Shown>> {
        let one = |p: &Played, (l, law): (usize, &Law)| {
            let (of_trial, mut own) = self.chances(l, *p);
            law.shown(p.guests, of_trial, &mut own)
        };
        asked.iter().map(|p| self.laws.iter().enumerate().map(|l| one(p, l)).collect()).collect()
    }

    fn usual_on_paper(&mut self, guests: u32) -> Vec<Option<Vec<Reckoned>>> {
        let one = |(l, law): (usize, &Law)| {
            let evening = |trial| {
                let (of_trial, mut own) = self.chances(l, Played { guests, trial });
                law.on_paper(guests, of_trial, &mut own)
            };
            ON_PAPER.map(evening).collect()
        };
        self.laws.iter().enumerate().map(one).collect()
    }
}

fn search(laws: &[Law], looked_at: Option<usize>, effort: Effort, number: u32) -> Gives {
    let limits: Vec<Bounded> = laws.iter().map(|l| l.bounded()).collect();
    let budget = Budget { around: 40, most: 300, farthest: 300, effort };
    let mut house = House { laws, number };
    let found = find(&limits, budget, &[], &mut house, &|_| ());
    looked_at.map_or_else(|| found.together(), |l| found.limits[l])
}

/// Share of searches in percent whose interval holds the truth, as `inside` sees it.
fn coverage(
    laws: &[Law],
    looked_at: Option<usize>,
    effort: Effort,
    inside: fn(f64, f64, f64) -> bool,
) -> f64 {
    let counted = laws.iter().enumerate().filter(|(l, _)| looked_at.is_none_or(|one| one == *l));
    let truth = counted.map(|(_, l)| l.truth()).fold(f64::INFINITY, f64::min);
    let numbers: Vec<u32> = (0..SEARCHES).collect();
    let holds = |n: &u32| matches!(search(laws, looked_at, effort, *n), Gives::At { low, high, .. } if inside(low, truth, high));
    let held = in_order(&numbers, holds, &|| ());
    100.0 * held.iter().filter(|h| **h).count() as f64 / f64::from(SEARCHES)
}

fn rows(expected: Expected, inside: fn(f64, f64, f64) -> bool) -> Vec<Row> {
    CURVES
        .iter()
        .map(|(name, laws, looked_at)| {
            Row::exact(*name, "%", expected, coverage(laws, *looked_at, Effort::WHOLE, inside))
        })
        .collect()
}

fn real_valued() -> Result<Vec<Row>, String> {
    Ok(rows(Expected::Between(93.0, 97.0), |low, truth, high| low <= truth && truth <= high))
}

/// Whether the interval made whole holds the truth made whole.
fn holds_whole(low: f64, truth: f64, high: f64) -> bool {
    low.floor() <= truth.floor() && truth.floor() <= high.floor()
}

fn whole() -> Result<Vec<Row>, String> {
    Ok(rows(Expected::AtLeast(93.0), holds_whole))
}

/// A quick search follows no later limits: only houses where all limits together are asked for.
fn quick() -> Result<Vec<Row>, String> {
    let together = CURVES.iter().filter(|c| c.2.is_none());
    let row = |(name, laws, _): &(&str, &[Law], Option<usize>)| {
        let held = coverage(laws, None, Effort::ASIDE, holds_whole);
        Row::exact(*name, "%", Expected::AtLeast(93.0), held)
    };
    Ok(together.map(row).collect())
}
