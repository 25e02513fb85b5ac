//! The answer of `improve`: the evening as it is, and every change that was tried.

use super::compare::Against;
use super::{Answer, Limit, Value, limit, round, run};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::study::improve::Improvement;
use sim::study::race::contest::Standing;

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Changes {
    /// The evening as it is.
    #[serde(flatten)]
    pub answer: Answer,
    /// Only what is lost at this place counts.
    pub place: Option<String>,
    /// Guests the house takes as it is, if that was asked.
    pub guests: Option<Value>,
    /// Every change that works on the floor.
    pub tried: Vec<Change>,
    /// Changes that do not work on the floor.
    pub refused: usize,
    /// Guests at the evenings they were tried on.
    pub tried_with: u32,
    /// The best of them over fresh evenings, the best first.
    pub best: Vec<Told>,
    /// Two of the best in one, where both take clearly more guests than either.
    pub together: Option<Both>,
}

/// Two changes in one.
#[derive(Debug, Serialize)]
pub struct Both {
    /// Which of the best, from 1.
    pub best: [usize; 2],
    /// Guests the house takes with both.
    pub guests: Value,
    /// Guests gained.
    pub gain: Value,
    /// The option to paste.
    pub option: String,
}

/// A change that was tried.
#[derive(Debug, Serialize)]
pub struct Change {
    /// What is changed.
    pub change: String,
    /// What it takes.
    pub takes: &'static str,
    /// Evenings it was tried for.
    pub evenings: usize,
    /// Minutes lost a guest more than as it is, over these.
    pub minutes_more: f64,
    /// The option to paste.
    pub option: String,
}

/// One of the best.
#[derive(Debug, Serialize)]
pub struct Told {
    /// What is changed.
    pub change: String,
    /// What it takes.
    pub takes: &'static str,
    /// Against the house as it is.
    pub against: Against,
    /// Whether every limit holds with it.
    pub fits: bool,
    /// Guests the house takes with it.
    pub guests: Option<Value>,
    /// Guests gained.
    pub gain: Option<Value>,
    /// Its limits, the most strained first.
    pub limits: Vec<Limit>,
    /// The option to paste.
    pub option: String,
}

/// The answer of `improve`.
pub fn improve(loaded: &Loaded, i: &Improvement, place: Option<&str>, sentence: String) -> Changes {
    let (world, trials) = (&i.race.worlds[0], &i.race.trials[0]);
    let mut document = run(loaded, world, trials, &i.as_it_is, [0, i.evenings]);
    document.head.question = "improve";
    document.head.answer = sentence;
    let tried = |(n, t): (usize, &sim::study::improve::Tried)| Change {
        change: words::improve::change(world, &t.change.what),
        takes: words::improve::takes(t.change.what.takes()),
        evenings: t.evenings,
        minutes_more: round(t.difference),
        option: words::improve::paste(i, n),
    };
    Changes {
        answer: document,
        place: place.map(String::from),
        guests: i.guests.map(|w| w.estimate().into()),
        tried: i.tried.iter().enumerate().map(tried).collect(),
        refused: i.refused,
        tried_with: i.tried_with,
        best: i.best.iter().map(|b| told(i, b)).collect(),
        together: i.together.as_ref().map(|t| Both {
            best: t.of.map(|n| n + 1),
            guests: t.guests.estimate().into(),
            gain: t.gain.into(),
            option: words::improve::paste_both(i, t),
        }),
    }
}

fn told(i: &Improvement, b: &Standing) -> Told {
    let what = &i.tried[b.entrant].change.what;
    Told {
        change: words::improve::change(&i.race.worlds[0], what),
        takes: words::improve::takes(what.takes()),
        against: b.against.into(),
        fits: b.evening.fits(),
        guests: b.guests.map(|w| w.estimate().into()),
        gain: b.gain.map(Value::from),
        limits: b.evening.limits.iter().map(|v| limit(&i.race.worlds[b.world], v)).collect(),
        option: words::improve::paste(i, b.entrant),
    }
}
