//! What does this evening look like? Every limit against its measure, every place, every spot.

pub mod jams;
pub mod limits;

use crate::base::stats::{Estimate, quantile};
use crate::base::units::seconds;
use crate::crowd::measure::Cause;
use crate::evening::scenario::Grade;
use crate::floor::world::{PinchId, PlaceId, SpotId, World};
use crate::study::ensemble::{Ensemble, Summary};
use crate::study::evening::jams::{JamReport, jams, most_lost};
use limits::{measured, subjects};
use std::sync::OnceLock;

pub use limits::{
    Subject, USUAL, bound, bound_asked, jammed, measure, measure_on_paper, name, seats_short,
    shown, shown_on_paper,
};

/// A limit against its measure.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// What it is about.
    pub subject: Subject,
    /// The bound of the grade asked for.
    pub bound: f64,
    /// The bounds of each grade a host can ask for, from the easiest.
    pub bounds: [f64; 3],
    /// The measure with its interval.
    pub value: Estimate,
    /// Whether the measure is within the bound.
    pub holds: bool,
    /// The best grade whose bound holds.
    pub grade: Grade,
}

impl Verdict {
    /// A measure against the bounds of every grade; `None` where there is nothing to bound.
    pub fn new(world: &World, subject: Subject, value: Estimate) -> Option<Verdict> {
        let [easy, lively, packed] = Grade::ALL.map(|g| bound(world, subject, g));
        let bounds = [easy?, lively?, packed?];
        let bound = bound(world, subject, world.scenario.limits.grade)?;
        let kept =
            Grade::ALL.into_iter().find(|g| subject.is_within(value.value, bounds[*g as usize]));
        Some(Verdict {
            subject,
            bound,
            bounds,
            value,
            holds: subject.is_within(value.value, bound),
            grade: kept.unwrap_or(Grade::TooMany),
        })
    }

    /// Whether the whole interval is on the same side of the bound.
    pub fn is_clear(&self) -> bool {
        let within = |v: f64| self.subject.is_within(v, self.bound);
        within(self.value.low) == self.holds && within(self.value.high) == self.holds
    }

    /// Whether the interval has the bound of a grade within it. Nothing bounds what is too many.
    pub fn is_close_to(&self, grade: Grade) -> bool {
        let bound = self.bounds.get(grade as usize);
        bound.is_some_and(|&b| {
            self.subject.is_within(self.value.low, b) != self.subject.is_within(self.value.high, b)
        })
    }

    /// How far over the bound, as a ratio; 1 at the bound.
    pub fn strain(&self) -> f64 {
        let (a, b) = if self.subject.is_at_least() {
            (self.bound, self.value.value)
        } else {
            (self.value.value, self.bound)
        };
        if b > 0.0 {
            a / b
        } else if a > 0.0 {
            f64::INFINITY
        } else {
            0.0
        }
    }
}

/// A room or opening over all evenings: the time lost in it.
#[derive(Clone, Debug)]
pub struct PlaceReport {
    /// The place.
    pub place: PlaceId,
    /// Guest-minutes lost an evening.
    pub lost_minutes: Estimate,
    /// Guest-minutes lost an evening by cause, most first.
    pub causes: Vec<(Cause, f64)>,
}

/// A spot over all evenings.
#[derive(Clone, Debug)]
pub struct SpotReport {
    /// The spot.
    pub spot: SpotId,
    /// Visits an evening.
    pub visits: Estimate,
    /// Mean wait in seconds.
    pub mean: Estimate,
    /// Median wait in seconds.
    pub p50: Estimate,
    /// Nine visits in ten wait less, in seconds.
    pub p90: Estimate,
    /// Longest wait of all evenings, in seconds.
    pub longest_wait: f64,
    /// People in line on average over the evening.
    pub line: Estimate,
    /// Longest line in 9 evenings of 10.
    pub longest_line: u32,
    /// Guests a full line turned away, an evening.
    pub turned_away: Estimate,
    /// Visits that end without being served, an evening.
    pub unserved: Estimate,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Evening {
    /// Every limit, the most strained first.
    pub limits: Vec<Verdict>,
    /// Spots of floor that jam, the worst first.
    pub jams: Vec<JamReport>,
    /// The spot of floor where most time is lost, with its guest-minutes an evening.
    pub most_lost: Option<(PinchId, f64)>,
    /// Rooms and openings where time is lost, the most first.
    pub places: Vec<PlaceReport>,
    /// Spots, in the order guests meet them.
    pub spots: Vec<SpotReport>,
    /// Seconds the evening's own worst spot is jammed: 9 evenings in 10 stay below.
    pub jammed: Estimate,
    /// The same on the typical evening.
    pub jammed_typically: Estimate,
    /// Share of evenings with a jam anywhere before the leaving rush.
    pub any_jam: Estimate,
    /// Minutes lost per guest and evening: to others and in lines.
    pub minutes_lost: Estimate,
    /// Of these, in lines.
    pub minutes_waited: Estimate,
    /// Share of those wanting a seat who found none.
    pub seats_short: Estimate,
    /// Coats with no place.
    pub coats_over: Estimate,
    /// Squeezes past somebody, an evening.
    pub squeezes: Estimate,
}

impl Evening {
    /// The worst grade of any limit.
    pub fn grade(&self) -> Grade {
        self.limits.iter().map(|v| v.grade).max().unwrap_or(Grade::Easy)
    }

    /// Whether every limit of the grade asked for holds.
    pub fn fits(&self) -> bool {
        self.limits.iter().all(|v| v.holds)
    }

    /// The strain of the most strained limit; 1 at its bound.
    pub fn most_strain(&self) -> f64 {
        self.limits.iter().map(Verdict::strain).fold(0.0, f64::max)
    }

    /// How far limits are over their bounds, all together, each as a share of its own.
    pub fn all_over(&self) -> f64 {
        self.limits.iter().map(|l| (l.strain() - 1.0).max(0.0)).sum()
    }

    /// What is worst: a jam that does not hold, or else the most strained limit that does not.
    pub fn trouble(&self) -> Option<&Verdict> {
        let mut broken = self.limits.iter().filter(|v| !v.holds);
        let jam = broken.clone().find(|v| matches!(v.subject, Subject::Jammed(_)));
        jam.or_else(|| broken.next())
    }

    /// What keeps the evening from the next better grade.
    pub fn in_the_way(&self) -> Vec<&Verdict> {
        let grade = self.grade();
        self.limits.iter().filter(|v| v.grade == grade && grade > Grade::Easy).collect()
    }

    /// The next better grade, if all that keeps the evening from it is too close to call.
    pub fn close_to_better(&self) -> Option<Grade> {
        let next = self.grade().better()?;
        self.in_the_way().iter().all(|v| v.is_close_to(next)).then_some(next)
    }

    /// The next worse grade, if some limit of the evening's own grade is too close to call.
    pub fn close_to_worse(&self) -> Option<Grade> {
        let grade = self.grade();
        self.limits.iter().any(|v| v.is_close_to(grade)).then(|| grade.worse()).flatten()
    }

    /// The worst spot of floor, if any jams.
    pub fn jams_first(&self) -> Option<&JamReport> {
        self.jams.first()
    }

    /// Whether jams are too short to count: the evening is easy as far as they go.
    pub fn is_calm(&self) -> bool {
        self.limits
            .iter()
            .all(|v| !matches!(v.subject, Subject::Jammed(_)) || v.grade == Grade::Easy)
    }

    /// The room or opening where most time is lost.
    pub fn worst(&self) -> Option<&PlaceReport> {
        self.places.first()
    }
}

/// Places with less loss than this, in guest-minutes an evening, are left out.
const WORTH_TELLING: f64 = 0.05;

/// A house, the evenings played in it, and what they come to.
pub struct Evenings {
    /// The house.
    pub world: World,
    /// Its evenings.
    pub trials: Ensemble,
    evening: OnceLock<Evening>,
}

impl Evenings {
    /// A house with its evenings.
    pub fn new(world: World, trials: Ensemble) -> Evenings {
        Evenings { world, trials, evening: OnceLock::new() }
    }

    /// What they come to, worked out when first asked for.
    pub fn evening(&self) -> &Evening {
        self.evening.get_or_init(|| answer(&self.world, &self.trials))
    }
}

/// Reads the answer off the trials.
pub fn answer(world: &World, trials: &Ensemble) -> Evening {
    let guests = f64::from(world.scenario.guests.max(1));
    let spots: Vec<SpotReport> = world.spots.keys().map(|s| spot(world, trials, s)).collect();
    let mut evening = Evening {
        limits: vec![],
        jams: jams(world, trials),
        most_lost: most_lost(world, trials),
        places: places(world, trials),
        spots,
        jammed: measure(world, trials, Subject::Jammed(None)),
        jammed_typically: trials.quantile_of(0.5, |s| s.jammed),
        any_jam: trials.any_jam_risk(),
        minutes_lost: trials.mean_of(|s| minutes_lost(world, s)),
        minutes_waited: trials.mean_of(|s| s.waited / guests / 60.0),
        seats_short: measure(world, trials, Subject::SeatsShort),
        coats_over: measure(world, trials, Subject::CoatsOver),
        squeezes: trials.mean_of(|s| f64::from(s.tally.squeezes)),
    };
    evening.limits = limits(world, &evening);
    evening
}

/// Minutes lost per guest on an evening: to others and in lines.
pub fn minutes_lost(world: &World, s: &Summary) -> f64 {
    (s.lost + s.waited) / f64::from(world.scenario.guests.max(1)) / 60.0
}

/// Minutes lost to others at a place per guest on an evening.
pub fn minutes_lost_at(world: &World, s: &Summary, place: PlaceId) -> f64 {
    let ticks: u64 = s.tally.lost.iter().filter(|((p, _), _)| *p == place).map(|(_, t)| t).sum();
    ticks as f64 / crate::base::units::TICKS as f64 / 60.0 / f64::from(world.scenario.guests.max(1))
}

fn limits(world: &World, e: &Evening) -> Vec<Verdict> {
    let against = |subject| Verdict::new(world, subject, measured(world, e, subject)?);
    let mut limits: Vec<Verdict> = subjects(world).filter_map(against).collect();
    limits.sort_by(|a, b| b.strain().total_cmp(&a.strain()));
    limits
}

fn places(world: &World, trials: &Ensemble) -> Vec<PlaceReport> {
    let report = |place| PlaceReport {
        place,
        lost_minutes: trials.lost_minutes(place),
        causes: trials.causes(place),
    };
    let mut places: Vec<PlaceReport> =
        world.places.keys().map(report).filter(|p| p.lost_minutes.value >= WORTH_TELLING).collect();
    places.sort_by(|a, b| {
        b.lost_minutes.value.total_cmp(&a.lost_minutes.value).then(a.place.cmp(&b.place))
    });
    places
}

fn spot(world: &World, trials: &Ensemble, spot: SpotId) -> SpotReport {
    let longest: Vec<u32> = trials.trials.iter().map(|s| s.tally.longest[spot]).collect();
    // scripts have no stated end: their lines are averaged over the time they took
    let scripted = world.scenario.is_scripted();
    let evening = (world.scenario.lead() + world.scenario.lasts).max(1.0);
    let span = |s: &Summary| {
        if scripted { seconds(s.tally.span).max(1.0) } else { evening }
    };
    SpotReport {
        spot,
        visits: trials.mean_of(|s| s.tally.waits[spot].len() as f64),
        mean: trials.mean_wait(spot).within(0.0, f64::INFINITY),
        p50: trials.wait_quantile(spot, 0.5),
        p90: trials.wait_quantile(spot, USUAL),
        longest_wait: trials
            .trials
            .iter()
            .flat_map(|s| s.tally.waits[spot].iter())
            .max()
            .map_or(0.0, |&w| seconds(w)),
        line: trials
            .mean_of(|s| s.tally.lines[spot].iter().map(|&n| f64::from(n)).sum::<f64>() / span(s)),
        longest_line: quantile(&longest, 0.9),
        turned_away: trials.mean_of(|s| f64::from(s.tally.turned_away[spot])),
        unserved: trials
            .mean_of(|s| s.tally.waits[spot].len() as f64 - f64::from(s.tally.served[spot])),
    }
}
