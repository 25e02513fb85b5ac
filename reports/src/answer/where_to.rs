//! The answer of `where`: today's evening, and every place that was looked at.

use super::compare::Against;
use super::{Answer, Value, round, run};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::study::where_to::Placing;

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Places {
    /// The evening as it is.
    #[serde(flatten)]
    pub answer: Answer,
    /// What is placed.
    pub serves: &'static str,
    /// Places there was floor for.
    pub feasible: usize,
    /// Places that were raced, today's first.
    pub looked_at: Vec<Place>,
    /// Guests at the evenings they were raced on.
    pub raced_with: u32,
    /// Guests the house takes as it is.
    pub guests: Option<Value>,
    /// The best others, over fresh evenings, the best first.
    pub best: Vec<Best>,
}

/// A place that was raced.
#[derive(Debug, Serialize)]
pub struct Place {
    /// How it stands there.
    pub stands: String,
    /// Level, from the lowest.
    pub level: usize,
    /// Middle, in meters.
    pub x_m: f64,
    /// Middle, in meters.
    pub y_m: f64,
    /// Evenings it was raced for.
    pub evenings: usize,
    /// Minutes lost a guest more than today, over these.
    pub minutes_more: f64,
}

/// One of the best.
#[derive(Debug, Serialize)]
pub struct Best {
    /// How it stands there.
    pub stands: String,
    /// Minutes lost a guest.
    pub minutes_lost: Value,
    /// Against today.
    pub against: Against,
    /// Guests the house takes with it there.
    pub guests: Option<Value>,
    /// Guests gained.
    pub gain: Option<Value>,
    /// Whether every limit holds there.
    pub fits: bool,
    /// The option to paste.
    pub option: String,
}

/// The answer of `where`.
pub fn where_to(loaded: &Loaded, p: &Placing) -> Places {
    let mut document = run(loaded, &p.world, &p.today, &p.evening, [0, p.evenings]);
    document.head.question = "where";
    document.head.answer = words::where_to::sentence(p);
    let looked = |(i, l): (usize, &sim::study::where_to::Looked)| Place {
        stands: words::where_to::exactly(p, i),
        level: p.world.plan.level_at(l.at.y),
        x_m: round(l.at.x),
        y_m: round(p.world.plan.true_y(l.at.y)),
        evenings: l.evenings,
        minutes_more: round(l.difference),
    };
    let best = |f: &sim::study::race::contest::Standing| Best {
        stands: words::where_to::exactly(p, p.place(f)),
        minutes_lost: f.lost.into(),
        against: f.against.into(),
        guests: f.guests.map(|w| w.estimate().into()),
        gain: f.gain.map(Value::from),
        fits: f.evening.fits(),
        option: words::where_to::paste(p, p.place(f)),
    };
    Places {
        answer: document,
        serves: p.serves.word(),
        feasible: p.feasible,
        raced_with: p.raced_with,
        guests: p.guests.map(|w| w.estimate().into()),
        looked_at: p.places.iter().enumerate().map(looked).collect(),
        best: p.finalists.iter().map(best).collect(),
    }
}
