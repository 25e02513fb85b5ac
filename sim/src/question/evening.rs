//! What does this evening look like? Every limit against its measure, every place, every spot.

use crate::ensemble::{Ensemble, Summary};
use crate::measure::{BIN, Cause};
use crate::scenario::Serves;
use crate::stats::{Estimate, quantile};
use crate::units::seconds;
use crate::world::World;

/// What a limit is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Subject {
    /// Share of evenings with a jam at a place.
    JamRisk(usize),
    /// Seconds 9 visits in 10 to a spot wait less than.
    Wait(usize),
    /// Share of those wanting a seat who find none.
    SeatsShort,
    /// Coats with no place.
    CoatsOver,
    /// Clear floor a guest, in m2 (at least).
    ClearFloor,
}

/// A limit against its measure.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// What it is about.
    pub subject: Subject,
    /// The bound.
    pub bound: f64,
    /// The measure with its interval.
    pub value: Estimate,
    /// Whether the measure is within the bound.
    pub holds: bool,
}

impl Verdict {
    /// Whether the whole interval is on the same side of the bound.
    pub fn is_clear(&self) -> bool {
        let within = |v: f64| {
            if self.subject == Subject::ClearFloor { v >= self.bound } else { v <= self.bound }
        };
        within(self.value.low) == self.holds && within(self.value.high) == self.holds
    }

    /// How far over the bound, as a ratio; 1 at the bound.
    pub fn strain(&self) -> f64 {
        let (a, b) = if self.subject == Subject::ClearFloor { (self.bound, self.value.value) } else { (self.value.value, self.bound) };
        if b > 0.0 {
            a / b
        } else if a > 0.0 {
            f64::INFINITY
        } else {
            0.0
        }
    }
}

/// A place over all evenings.
#[derive(Clone, Debug)]
pub struct PlaceReport {
    /// The place.
    pub place: usize,
    /// Share of evenings with a jam there before the leaving rush.
    pub jam_risk: Estimate,
    /// Share of evenings with a jam there in the leaving rush.
    pub leaving_jam_risk: Estimate,
    /// Minutes of jam an evening.
    pub jam_minutes: Estimate,
    /// Guest-minutes lost an evening.
    pub lost_minutes: Estimate,
    /// Seconds after the start between which most of the jam minutes fall.
    pub when: Option<(i64, i64)>,
    /// Guest-minutes lost an evening by cause, most first.
    pub causes: Vec<(Cause, f64)>,
}

/// A spot over all evenings.
#[derive(Clone, Debug)]
pub struct SpotReport {
    /// The spot.
    pub spot: usize,
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
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Evening {
    /// Every limit, the most strained first.
    pub limits: Vec<Verdict>,
    /// Places where anything happened, the worst first.
    pub places: Vec<PlaceReport>,
    /// Spots, in the order guests meet them.
    pub spots: Vec<SpotReport>,
    /// Share of evenings with a jam anywhere before the leaving rush.
    pub any_jam: Estimate,
    /// Minutes lost a guest and evening: to others and in lines.
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
    /// Whether every limit holds.
    pub fn fits(&self) -> bool {
        self.limits.iter().all(|v| v.holds)
    }

    /// What is worst: the most strained jam that does not hold, or else the most strained limit that does not.
    pub fn trouble(&self) -> Option<&Verdict> {
        let mut broken = self.limits.iter().filter(|v| !v.holds);
        let jam = broken.clone().find(|v| matches!(v.subject, Subject::JamRisk(_)));
        jam.or_else(|| broken.next())
    }

    /// The place that jams most often, if any does.
    pub fn jams_first(&self) -> Option<&PlaceReport> {
        self.worst().filter(|p| p.jam_risk.value > 0.0)
    }

    /// The place with the highest jam risk, or else where most time is lost.
    pub fn worst(&self) -> Option<&PlaceReport> {
        self.places.first()
    }
}

/// Share of visits that wait less than the usual wait.
pub const USUAL: f64 = 0.9;
/// Share of a place's jam seconds that its "mostly" has to cover.
const MOSTLY: f64 = 0.6;
/// Places with less loss than this, in guest-minutes an evening, and no jam are left out.
const WORTH_TELLING: f64 = 0.05;

/// Reads the answer off the trials.
pub fn answer(world: &World, trials: &Ensemble) -> Evening {
    let guests = f64::from(world.scenario.guests.max(1));
    let places = places(world, trials);
    let spots: Vec<SpotReport> = (0..world.spots.len()).map(|s| spot(world, trials, s)).collect();
    let mut evening = Evening {
        limits: vec![],
        places,
        spots,
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

/// Minutes lost a guest on an evening: to others and in lines.
pub fn minutes_lost(world: &World, s: &Summary) -> f64 {
    (s.lost + s.waited) / f64::from(world.scenario.guests.max(1)) / 60.0
}

/// Minutes lost a guest to others at a place on an evening.
pub fn minutes_lost_at(world: &World, s: &Summary, place: usize) -> f64 {
    let ticks: u64 = s.tally.lost.iter().filter(|((p, _), _)| *p as usize == place).map(|(_, t)| t).sum();
    ticks as f64 / crate::units::TICKS as f64 / 60.0 / f64::from(world.scenario.guests.max(1))
}

fn limits(world: &World, e: &Evening) -> Vec<Verdict> {
    let jams = e.places.iter().filter(|p| p.jam_risk.value > 0.0).map(|p| (Subject::JamRisk(p.place), p.jam_risk));
    let mut measured: Vec<(Subject, Estimate)> = jams.collect();
    if measured.is_empty()
        && let Some(worst) = e.worst()
    {
        measured.push((Subject::JamRisk(worst.place), worst.jam_risk));
    }
    measured.extend(e.spots.iter().filter(|s| s.visits.value > 0.0).map(|s| (Subject::Wait(s.spot), s.p90)));
    measured.extend([(Subject::SeatsShort, e.seats_short), (Subject::CoatsOver, e.coats_over), (Subject::ClearFloor, floor_each(world))]);
    let mut limits: Vec<Verdict> = measured.into_iter().filter_map(|(subject, value)| verdict(world, subject, value)).collect();
    limits.sort_by(|a, b| b.strain().total_cmp(&a.strain()));
    limits
}

/// A measure against its bound; `None` if the scenario sets none.
fn verdict(world: &World, subject: Subject, value: Estimate) -> Option<Verdict> {
    let bound = bound(world, subject)?;
    let holds = if subject == Subject::ClearFloor { value.value >= bound } else { value.value <= bound };
    Some(Verdict { subject, bound, value, holds })
}

/// The bound the host sets, if any.
pub fn bound(world: &World, subject: Subject) -> Option<f64> {
    let l = &world.scenario.limits;
    match subject {
        Subject::JamRisk(_) => Some(l.jam_risk),
        Subject::Wait(spot) => l.wait.get(&world.spots[spot].serves).copied(),
        Subject::SeatsShort => Some(l.seats_short),
        Subject::CoatsOver => Some(l.coats_over),
        Subject::ClearFloor => Some(l.clear_floor),
    }
}

/// The measure of a limit over many trials.
pub fn measure(world: &World, trials: &Ensemble, subject: Subject) -> Estimate {
    match subject {
        Subject::JamRisk(place) => trials.jam_risk(place),
        Subject::Wait(spot) => trials.wait_quantile(spot, USUAL),
        Subject::SeatsShort => trials.mean_of(seats_short),
        Subject::CoatsOver => trials.mean_of(|s| f64::from(s.tally.coats_over)),
        Subject::ClearFloor => floor_each(world),
    }
}

/// Share of those wanting a seat on an evening who found none.
pub fn seats_short(s: &Summary) -> f64 {
    f64::from(s.tally.seats_short) / f64::from(s.tally.seats_wanted.max(1))
}

fn floor_each(world: &World) -> Estimate {
    Estimate::exact(world.clear_floor / f64::from(world.scenario.guests.max(1)))
}

fn places(world: &World, trials: &Ensemble) -> Vec<PlaceReport> {
    let mut places: Vec<PlaceReport> = (0..world.places.len())
        .map(|place| PlaceReport {
            place,
            jam_risk: trials.jam_risk(place),
            leaving_jam_risk: trials.leaving_jam_risk(place),
            jam_minutes: trials.jam_minutes(place),
            lost_minutes: trials.lost_minutes(place),
            when: when(world, trials, place),
            causes: trials.causes(place),
        })
        .filter(|p| p.jam_risk.value > 0.0 || p.leaving_jam_risk.value > 0.0 || p.lost_minutes.value >= WORTH_TELLING)
        .collect();
    places.sort_by(|a, b| b.jam_risk.value.total_cmp(&a.jam_risk.value).then(b.lost_minutes.value.total_cmp(&a.lost_minutes.value)));
    places
}

/// The shortest run of bins that covers most of the jam seconds, as seconds after the start.
fn when(world: &World, trials: &Ensemble, place: usize) -> Option<(i64, i64)> {
    let bins = trials.jam_bins(place);
    let total: u64 = bins.values().sum();
    let keys: Vec<u32> = bins.keys().copied().collect();
    let mut best: Option<(u32, u32)> = None;
    for (i, &from) in keys.iter().enumerate() {
        let mut sum = 0;
        for &to in &keys[i..] {
            sum += bins[&to];
            if sum as f64 >= MOSTLY * total as f64 {
                if best.is_none_or(|(a, b)| to - from < b - a) {
                    best = Some((from, to));
                }
                break;
            }
        }
    }
    let lead = world.scenario.lead() as i64;
    best.map(|(from, to)| (i64::from(from * BIN) - lead, i64::from((to + 1) * BIN) - lead))
}

fn spot(world: &World, trials: &Ensemble, spot: usize) -> SpotReport {
    let longest: Vec<u32> = trials.trials.iter().map(|s| s.tally.longest[spot]).collect();
    let span = (world.scenario.lead() + world.scenario.lasts).max(1.0);
    SpotReport {
        spot,
        visits: trials.mean_of(|s| s.tally.waits[spot].len() as f64),
        mean: trials.mean_wait(spot),
        p50: trials.wait_quantile(spot, 0.5),
        p90: trials.wait_quantile(spot, USUAL),
        longest_wait: trials.trials.iter().flat_map(|s| s.tally.waits[spot].iter()).max().map_or(0.0, |&w| seconds(w)),
        line: trials.mean_of(|s| s.tally.lines[spot].iter().map(|&n| f64::from(n)).sum::<f64>() / span),
        longest_line: quantile(&longest, 0.9),
        turned_away: trials.mean_of(|s| f64::from(s.tally.turned_away[spot])),
    }
}

/// In words a limit can be named by: "jam risk: hall".
pub fn name(world: &World, subject: &Subject) -> String {
    match subject {
        Subject::JamRisk(place) => format!("jam risk: {}", world.places[*place].name),
        Subject::Wait(spot) => {
            let s = &world.spots[*spot];
            format!(
                "wait: {}",
                if s.serves == Serves::Powder || s.serves.word() == s.name { s.name.clone() } else { format!("{} at {}", s.serves.word(), s.name) }
            )
        }
        Subject::SeatsShort => "seats short".into(),
        Subject::CoatsOver => "coats over".into(),
        Subject::ClearFloor => "clear floor a guest".into(),
    }
}
