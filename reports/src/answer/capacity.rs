//! The answer of `capacity`: an evening at the headcount looked at nearest to the answer, with what
//! each limit alone allows.

use super::{Answer, Value, run};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::floor::world::World;
use sim::study::capacity::gives::Gives;
use sim::study::capacity::habits;
use sim::study::capacity::{self, Capacity, LimitCurve, whole};
use sim::study::evening::{Evenings, Verdict, measure, name};

/// The whole document.
#[derive(Debug, Serialize)]
pub struct Headcounts {
    /// The evening at `measured_at` guests; `headcount` and `limits` are those of the question.
    #[serde(flatten)]
    pub answer: Answer,
    /// Guests of the evening that is told.
    pub measured_at: u32,
    /// The most guests that were looked at.
    pub looked_up_to: u32,
    /// Only what happens at this place counts.
    pub place: Option<String>,
    /// Guests to invite, if a share of them stays away.
    pub invite: Option<u32>,
    /// Each grade's headcount, from the easiest.
    pub grades: Vec<Graded>,
    /// How far the headcount moves with other habits of guests, where anything gives out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub habits: Option<Habits>,
    /// Each limit's measure against guests, the first limit to give out first.
    pub curves: Vec<Curve>,
}

/// What a grade allows.
#[derive(Debug, Serialize)]
pub struct Graded {
    /// The grade.
    pub grade: &'static str,
    /// The largest headcount at which every limit keeps it; `null` where nothing gives out up to
    /// `looked_up_to`.
    pub headcount: Option<Value>,
    /// The limit that gives out first.
    pub gives_out: Option<String>,
    /// Where, if a jam does.
    pub place: Option<String>,
}

/// How far the headcount moves with what nobody has measured.
#[derive(Debug, Serialize)]
pub struct Habits {
    /// Lower end, the range of the evenings included.
    pub low: u32,
    /// Upper end.
    pub high: u32,
    /// Each habit, the widest swing first.
    pub swings: Vec<Swing>,
}

/// A habit and the headcount at its plausible ends.
#[derive(Debug, Serialize)]
pub struct Swing {
    /// The knob in the scenario.
    pub knob: &'static str,
    /// Its figure there, in seconds or meters where it has a unit.
    pub usual: f64,
    /// Its plausible ends.
    pub ends: [End; 2],
}

/// A figure of a habit and the guests with it.
#[derive(Debug, Serialize)]
pub struct End {
    /// The figure.
    pub at: f64,
    /// The headcount.
    pub guests: u32,
}

/// A limit's measure against guests.
#[derive(Debug, Serialize)]
pub struct Curve {
    /// The limit.
    pub limit: String,
    /// Its bound.
    pub bound: f64,
    /// The measure.
    pub points: Vec<Point>,
}

/// A measure at a headcount.
#[derive(Debug, Serialize)]
pub struct Point {
    /// Guests.
    pub guests: u32,
    /// The measure.
    #[serde(flatten)]
    pub value: Value,
}

/// The answer of `capacity`.
pub fn capacity(loaded: &Loaded, c: &Capacity, place: Option<&str>) -> Headcounts {
    let Evenings { world, trials, .. } = &c.at;
    let evening = c.at.evening();
    let first = trials.trials.first().map_or(0, |s| s.tally.trial);
    let mut document = run(loaded, world, trials, evening, [first, first + trials.len() as u32]);
    document.head.question = "capacity";
    document.caution = words::capacity::caution(c);
    document.head.answer = words::capacity::sentence(world, c, place);
    let looked = f64::from(c.looked);
    document.headcount = c
        .guests()
        .map_or(Value { value: looked, low: looked, high: f64::INFINITY }, |w| w.estimate().into());
    document.limits = c.limits.iter().filter_map(|l| limit(c, l)).collect();
    Headcounts {
        answer: document,
        measured_at: world.scenario.guests,
        looked_up_to: c.looked,
        place: place.map(String::from),
        invite: words::capacity::invite(world, c).map(|i| i.0),
        grades: c.grades.iter().map(|g| graded(world, g)).collect(),
        habits: habits(c),
        curves: c.limits.iter().map(|l| curve(c, l)).collect(),
    }
}

fn habits(c: &Capacity) -> Option<Habits> {
    let (low, high) = words::capacity::habits::ends(c)?;
    let swing = |s: &habits::Swing| Swing {
        knob: words::capacity::habits::knob(s.habit),
        usual: super::round(s.usual),
        ends: s.ends.map(|(at, guests)| End { at: super::round(at), guests }),
    };
    Some(Habits { low, high, swings: c.swings.iter().map(swing).collect() })
}

fn graded(world: &World, g: &capacity::Graded) -> Graded {
    Graded {
        grade: g.grade.word(),
        headcount: g.guests().map(|w| w.estimate().into()),
        gives_out: g.first.map(|s| name(world, &s)),
        place: g.pinch.map(|p| words::at_spot(world, p)),
    }
}

fn limit(c: &Capacity, l: &LimitCurve) -> Option<super::Limit> {
    let Evenings { world, trials, .. } = &c.at;
    let verdict = Verdict::new(world, l.subject, measure(world, trials, l.subject))?;
    let holds = l.gives == Gives::Never
        || l.gives.value().is_some_and(|g| f64::from(world.scenario.guests) <= g);
    Some(super::Limit {
        holds,
        headcount: whole(l.gives).map(|w| w.estimate().into()),
        ..super::limit(world, &verdict)
    })
}

fn curve(c: &Capacity, l: &LimitCurve) -> Curve {
    let point =
        |&(guests, e): &(u32, sim::base::stats::Estimate)| Point { guests, value: e.into() };
    Curve {
        limit: name(&c.at.world, &l.subject),
        bound: super::round(l.bound),
        points: l.curve.iter().map(point).collect(),
    }
}
