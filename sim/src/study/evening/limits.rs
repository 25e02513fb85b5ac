//! What is measured against each limit: over many evenings, on one, and how it rises with guests. A
//! limit is bounded in the scenario (`evening/scenario/limits.rs`); everything else of it is here.

use crate::base::stats::threshold::Rise;
use crate::base::stats::{Estimate, quantile};
use crate::base::units::seconds;
use crate::crowd::on_paper::OnPaper;
use crate::evening::scenario::{Grade, Limit, Serves};
use crate::floor::world::{PlaceId, SpotId, World};
use crate::study::ensemble::{Ensemble, Summary};
use crate::study::evening::Evening;

/// What a limit is about in a house.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Subject {
    /// Seconds the evening's own worst spot is jammed, which 9 evenings in 10 stay below; of all
    /// spots, or of those in one place.
    Jammed(Option<PlaceId>),
    /// Seconds 9 visits in 10 to a spot wait less than.
    Wait(SpotId),
    /// Share of those wanting a seat who find none.
    SeatsShort,
    /// Coats with no place.
    CoatsOver,
    /// Clear floor per guest, in m2 (at least).
    ClearFloor,
}

/// Share of visits that wait less than the usual wait, and of evenings jammed for less than the
/// usual time.
pub const USUAL: f64 = 0.9;
/// A share of nothing at all is taken as this: some hundreds of evenings cannot tell never from
/// once in two hundred.
const NEVER: f64 = 0.005;

/// What limits are about in a house: waits for each of its spots, the others once.
pub fn subjects(world: &World) -> impl Iterator<Item = Subject> + '_ {
    Limit::all().flat_map(|limit| match limit {
        Limit::Jammed => vec![Subject::Jammed(None)],
        Limit::Wait(serves) => world.spots_for(serves).iter().copied().map(Subject::Wait).collect(),
        Limit::SeatsShort => vec![Subject::SeatsShort],
        Limit::CoatsOver => vec![Subject::CoatsOver],
        Limit::ClearFloor => vec![Subject::ClearFloor],
    })
}

impl Subject {
    /// The limit it is bounded by.
    pub fn limit(self, world: &World) -> Limit {
        match self {
            Subject::Jammed(_) => Limit::Jammed,
            Subject::Wait(spot) => Limit::Wait(world.spots[spot].serves),
            Subject::SeatsShort => Limit::SeatsShort,
            Subject::CoatsOver => Limit::CoatsOver,
            Subject::ClearFloor => Limit::ClearFloor,
        }
    }

    /// Whether the measure is to be at least the bound, and not at most.
    pub fn is_at_least(self) -> bool {
        self == Subject::ClearFloor
    }

    /// Whether a measure is within a bound.
    pub fn is_within(self, value: f64, bound: f64) -> bool {
        if self.is_at_least() { value >= bound } else { value <= bound }
    }

    /// How what an evening shows of it rises with guests, given its bound, and the bound of that:
    /// 9 in 10 stay below a bound where at most one in ten is above it. `None` if it takes no
    /// evening to tell.
    pub fn rise(self, bound: f64) -> Option<(Rise, f64)> {
        match self {
            Subject::Jammed(_) | Subject::Wait(_) => Some((Rise::Share, 1.0 - USUAL)),
            Subject::SeatsShort => Some((Rise::Share, bound.max(NEVER))),
            Subject::CoatsOver => Some((Rise::Amount, bound)),
            Subject::ClearFloor => None,
        }
    }
}

/// The bound of a grade; `None` where there is nothing to bound: no line of that sort, no seats, no
/// place for coats.
pub fn bound(world: &World, subject: Subject, grade: Grade) -> Option<f64> {
    let is_there = match subject {
        Subject::Jammed(_) | Subject::Wait(_) | Subject::ClearFloor => true,
        Subject::SeatsShort => !world.seats.is_empty(),
        Subject::CoatsOver => !world.spots_for(Serves::Coats).is_empty(),
    };
    world.scenario.bound(subject.limit(world), grade).filter(|_| is_there)
}

/// The bound of the grade asked for.
pub fn bound_asked(world: &World, subject: Subject) -> Option<f64> {
    bound(world, subject, world.scenario.limits.grade)
}

/// The measure of a limit over many trials.
pub fn measure(world: &World, trials: &Ensemble, subject: Subject) -> Estimate {
    match subject {
        Subject::Jammed(place) => trials.quantile_of(USUAL, |s| jammed(world, s, place)),
        Subject::Wait(spot) => trials.wait_quantile(spot, USUAL),
        Subject::SeatsShort => trials.mean_of(seats_short).within(0.0, 1.0),
        Subject::CoatsOver => trials.mean_of(|s| f64::from(s.tally.coats_over)),
        Subject::ClearFloor => floor_each(world),
    }
}

/// The measure as an evening's answer has it; `None` if nobody came to the spot it is about.
pub(super) fn measured(world: &World, e: &Evening, subject: Subject) -> Option<Estimate> {
    match subject {
        Subject::Jammed(_) => Some(e.jammed),
        Subject::Wait(spot) => {
            e.spots.iter().find(|s| s.spot == spot && s.visits.value > 0.0).map(|s| s.p90)
        }
        Subject::SeatsShort => Some(e.seats_short),
        Subject::CoatsOver => Some(e.coats_over),
        Subject::ClearFloor => Some(floor_each(world)),
    }
}

/// What one evening shows of a limit: the share above its bound or an amount, and how much that
/// counts for.
pub fn shown(world: &World, s: &Summary, subject: Subject, grade: Grade) -> (f64, f64) {
    let bound = bound(world, subject, grade).unwrap_or(f64::INFINITY);
    match subject {
        Subject::Jammed(place) => {
            (f64::from(u8::from(f64::from(jammed(world, s, place)) > bound)), 1.0)
        }
        Subject::Wait(spot) => longer(s.tally.waits[spot].iter().map(|&w| seconds(w)), bound),
        Subject::SeatsShort => (seats_short(s), 1.0),
        Subject::CoatsOver => (f64::from(s.tally.coats_over), 1.0),
        Subject::ClearFloor => (0.0, 0.0),
    }
}

/// The same of the evening on paper; `None` where paper tells nothing of the limit.
pub fn shown_on_paper(
    world: &World,
    paper: &OnPaper,
    subject: Subject,
    grade: Grade,
) -> Option<(f64, f64)> {
    let bound = bound(world, subject, grade).unwrap_or(f64::INFINITY);
    match subject {
        Subject::Wait(spot) if is_on_paper(world, spot) => {
            Some(longer(paper.waits[spot].iter().copied(), bound))
        }
        Subject::SeatsShort => Some((share(paper.seats_short, paper.seats_wanted), 1.0)),
        _ => None,
    }
}

/// The measure of a limit over many evenings on paper; `None` where paper tells nothing of it.
pub fn measure_on_paper(world: &World, papers: &[&OnPaper], subject: Subject) -> Option<f64> {
    let each = papers.iter();
    match subject {
        Subject::Wait(spot) if is_on_paper(world, spot) => {
            let waits = each.flat_map(|p| p.waits[spot].iter().map(|w| w.round() as u32));
            Some(f64::from(quantile(&waits.collect::<Vec<_>>(), USUAL)))
        }
        Subject::SeatsShort => {
            let short: f64 = each.map(|p| share(p.seats_short, p.seats_wanted)).sum();
            Some(short / papers.len().max(1) as f64)
        }
        _ => None,
    }
}

/// Nobody stands in line at the door on paper.
fn is_on_paper(world: &World, spot: SpotId) -> bool {
    world.spots[spot].serves != Serves::Door
}

/// Share of waits, in seconds, that are longer than a bound, and their number.
fn longer(waits: impl ExactSizeIterator<Item = f64>, bound: f64) -> (f64, f64) {
    let all = waits.len() as f64;
    let over = waits.filter(|w| w.round() > bound).count();
    (over as f64 / all.max(1.0), all)
}

fn share(of: u32, all: u32) -> f64 {
    f64::from(of) / f64::from(all.max(1))
}

/// Seconds of jam at an evening's own worst spot, before the leaving rush; of all spots, or of
/// those in one place.
pub fn jammed(world: &World, s: &Summary, place: Option<PlaceId>) -> u32 {
    let Some(p) = place else {
        return s.jammed;
    };
    let there = s.tally.jammed.iter().filter(|(pinch, _)| world.pinches.get(**pinch).place == p);
    there.map(|(_, n)| *n).max().unwrap_or(0)
}

/// Share of those wanting a seat on an evening who found none.
pub fn seats_short(s: &Summary) -> f64 {
    share(s.tally.seats_short, s.tally.seats_wanted)
}

fn floor_each(world: &World) -> Estimate {
    Estimate::exact(world.clear_floor / f64::from(world.scenario.guests.max(1)))
}

/// In words a limit can be named by: "jammed: hall".
pub fn name(world: &World, subject: &Subject) -> String {
    match subject {
        Subject::Jammed(None) => "jammed".into(),
        Subject::Jammed(Some(place)) => format!("jammed: {}", world.places[*place].name),
        Subject::Wait(spot) => {
            let s = &world.spots[*spot];
            format!(
                "wait: {}",
                if s.serves == Serves::Powder || s.serves.word() == s.name {
                    s.name.clone()
                } else {
                    format!("{} at {}", s.serves.word(), s.name)
                }
            )
        }
        Subject::SeatsShort => "seats short".into(),
        Subject::CoatsOver => "coats over".into(),
        Subject::ClearFloor => "clear floor per guest".into(),
    }
}
