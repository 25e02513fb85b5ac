//! The answer of `compare`: the first arrangement's evening, and how every arrangement does against
//! it.

use super::{Answer, Limit, Value, run};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::study::compare::Comparison;
use sim::study::race::Paired;

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Compared {
    /// The evening of the arrangement that all are held against.
    #[serde(flatten)]
    pub answer: Answer,
    /// Every arrangement, the one that all are held against first.
    pub arrangements: Vec<Arrangement>,
}

/// An arrangement.
#[derive(Debug, Serialize)]
pub struct Arrangement {
    /// Its name.
    pub name: String,
    /// What the file says it costs.
    pub cost: Option<f64>,
    /// Whether every limit holds at its headcount.
    pub fits: bool,
    /// Minutes lost a guest.
    pub minutes_lost: Value,
    /// Against the first.
    pub against: Against,
    /// Guests it takes, if that was asked.
    pub guests: Option<Value>,
    /// Guests more than the first takes.
    pub gain: Option<Value>,
    /// Guests gained for each 1,000 of cost.
    pub gain_per_1000: Option<Value>,
    /// Its limits, the most strained first.
    pub limits: Vec<Limit>,
}

/// A paired difference.
#[derive(Debug, Serialize)]
pub struct Against {
    /// Minutes lost a guest more; below 0 is better.
    pub minutes: Value,
    /// Share of resamples in which it loses less.
    pub better: f64,
}

impl From<Paired> for Against {
    fn from(p: Paired) -> Against {
        Against { minutes: p.difference.into(), better: super::round(p.better) }
    }
}

/// The answer of `compare`.
pub fn compare(loaded: &Loaded, c: &Comparison) -> Compared {
    let (world, trials) = (&c.race.worlds[0], &c.race.trials[0]);
    let mut document = run(loaded, world, trials, &c.evenings[0], [0, trials.len() as u32]);
    document.head.question = "compare";
    document.head.answer = words::compare::sentence(c);
    Compared {
        answer: document,
        arrangements: (0..c.cases.len()).map(|i| arrangement(c, i)).collect(),
    }
}

fn arrangement(c: &Comparison, i: usize) -> Arrangement {
    let (world, s, evening) = (&c.race.worlds[i], &c.standings[i], &c.evenings[i]);
    Arrangement {
        name: c.cases[i].name.clone(),
        cost: c.cases[i].cost,
        fits: evening.fits(),
        minutes_lost: s.lost.into(),
        against: s.against.into(),
        guests: s.guests.map(|w| w.estimate().into()),
        gain: s.gain.map(Value::from),
        gain_per_1000: s.gain_per_1000.map(Value::from),
        limits: evening.limits.iter().map(|v| super::limit(world, v)).collect(),
    }
}
