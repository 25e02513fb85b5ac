//! What a host accepts: grades of an evening, and the bound each limit has for each grade.

use super::Serves;
use crate::base::units::SQUARE_FOOT;
use std::collections::BTreeMap;

/// How an evening at a headcount is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Nobody is in the way for long, and nobody waits long.
    Easy,
    /// A full house that still flows: what most hosts want of a party.
    Lively,
    /// Crowded, as at a reception that is short of space.
    Packed,
    /// Worse.
    TooMany,
}

impl Grade {
    /// Those a host can ask for, from the easiest.
    pub const ALL: [Grade; 3] = [Grade::Easy, Grade::Lively, Grade::Packed];

    /// Its word in files and sentences.
    pub fn word(self) -> &'static str {
        ["easy", "lively", "packed", "too many"][self as usize]
    }

    /// Reads the word; nobody asks for too many.
    pub fn from_word(word: &str) -> Option<Grade> {
        Grade::ALL.into_iter().find(|g| g.word() == word)
    }

    /// The next worse grade.
    pub fn worse(self) -> Option<Grade> {
        [Some(Grade::Lively), Some(Grade::Packed), Some(Grade::TooMany), None][self as usize]
    }

    /// The next better grade.
    pub fn better(self) -> Option<Grade> {
        [None, Some(Grade::Easy), Some(Grade::Lively), Some(Grade::Packed)][self as usize]
    }
}

/// What a host can set a bound for. Every bound is a comfort figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// Seconds the worst spot is jammed at most, on 9 evenings in 10.
    Jammed,
    /// Seconds that 9 visits in 10 wait less than, by what is served.
    Wait(Serves),
    /// Share of guests wanting a seat who find none.
    SeatsShort,
    /// Coats with no place.
    CoatsOver,
    /// Clear floor per guest, in m2.
    ClearFloor,
}

/// How a bound is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// A duration; in seconds.
    Time,
    /// A share, 0 to 1.
    Share,
    /// A whole number.
    Count,
    /// An area; in m2.
    Area,
}

impl Limit {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Limit> {
        let waits = Serves::ALL.into_iter().map(Limit::Wait);
        let others = [Limit::SeatsShort, Limit::CoatsOver, Limit::ClearFloor];
        std::iter::once(Limit::Jammed).chain(waits).chain(others)
    }

    /// Its key in `[limits]`; waits have one for each sort of spot in a table of theirs.
    pub fn key(self) -> &'static str {
        match self {
            Limit::Jammed => "jammed",
            Limit::Wait(_) => "wait",
            Limit::SeatsShort => "seats_short",
            Limit::CoatsOver => "coats_over",
            Limit::ClearFloor => "clear_floor",
        }
    }

    /// How its bound is written.
    pub fn unit(self) -> Unit {
        match self {
            Limit::Jammed | Limit::Wait(_) => Unit::Time,
            Limit::SeatsShort => Unit::Share,
            Limit::CoatsOver => Unit::Count,
            Limit::ClearFloor => Unit::Area,
        }
    }

    /// Whether the measure is to be at least the bound, and not at most.
    pub fn is_at_least(self) -> bool {
        match self {
            Limit::Jammed | Limit::Wait(_) | Limit::SeatsShort | Limit::CoatsOver => false,
            Limit::ClearFloor => true,
        }
    }

    /// The usual bound of a grade for an evening of so many seconds, if there is one.
    fn usual(self, grade: Grade, lasts: f64) -> Option<f64> {
        let g = (grade as usize).min(Grade::Packed as usize);
        match self {
            Limit::Jammed => {
                Some(JAMMED.get(g).copied().unwrap_or((JAMMED_SHARE * lasts).max(JAMMED[1])))
            }
            Limit::Wait(serves) => serves.waits().map(|minutes| minutes[g] * 60.0),
            Limit::SeatsShort => Some(SEATS_SHORT[g]),
            Limit::CoatsOver => Some(COATS_OVER[g]),
            Limit::ClearFloor => Some(CLEAR_FLOOR[g] * SQUARE_FOOT),
        }
    }
}

/// Jammed time in seconds: a minute an evening is hardly noticed, five are; from a share of the
/// evening on congestion is called significant (10 %: IMO MSC.1/Circ.1533, from memory).
const JAMMED: [f64; 2] = [60.0, 300.0];
/// See [`JAMMED`].
const JAMMED_SHARE: f64 = 0.10;
/// Share of those wanting a seat who find none: hardly anybody; a quarter (planners seat at least
/// 75 % at a buffet); half (planners seat 50 to 60 % where food is heavy).
const SEATS_SHORT: [f64; 3] = [0.05, 0.25, 0.50];
/// Coats with no place: two on a chair back, the heap an armchair takes, the heap a bed takes.
/// Common practice.
const COATS_OVER: [f64; 3] = [2.0, 10.0, 20.0];
/// Square feet of clear floor per guest: 16 for mingling at home (a TV host's rule, blog note
/// 2009); receptions with food are ample at 10 and tight at 6 (meetings trade press).
const CLEAR_FLOOR: [f64; 3] = [16.0, 10.0, 6.0];

/// So much milder is the wait of a grade than that of the one before, about.
const MILDER: f64 = 2.0;

/// The grade asked for, and what the file says over its bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The grade that questions are about.
    pub grade: Grade,
    /// The grade whose bounds are said here.
    pub said_for: Grade,
    /// Bounds that are said.
    pub said: BTreeMap<Limit, f64>,
}

impl Default for Limits {
    fn default() -> Self {
        Limits { grade: Grade::Lively, said_for: Grade::Lively, said: BTreeMap::new() }
    }
}

impl Limits {
    /// The bound of a limit for a grade and an evening of so many seconds; `None` where nothing
    /// bounds it. What is said replaces the bound of the grade it is said for; easier grades are at
    /// least as strict as that, fuller ones at most: where there are no usual bounds, each twice as
    /// mild as the one before, as waits are.
    pub fn bound(&self, limit: Limit, grade: Grade, lasts: f64) -> Option<f64> {
        let usual = limit.usual(grade, lasts);
        let (Some(&said), Some(usual)) = (self.said.get(&limit), usual) else {
            let milder = (grade as i32 - self.said_for as i32).max(0);
            return self.said.get(&limit).map(|said| said * MILDER.powi(milder)).or(usual);
        };
        let is_stricter = grade < self.said_for;
        Some(match grade == self.said_for {
            true => said,
            false if is_stricter == limit.is_at_least() => said.max(usual),
            false => said.min(usual),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVENING: f64 = 10_800.0;

    fn bounds(limits: &Limits, limit: Limit) -> Option<[f64; 3]> {
        let [easy, lively, packed] = Grade::ALL.map(|g| limits.bound(limit, g, EVENING));
        Some([easy?, lively?, packed?])
    }

    #[test]
    fn each_grade_is_milder_than_the_one_before() {
        let usual = |limit| Some((limit, bounds(&Limits::default(), limit)?));
        for (limit, [easy, lively, packed]) in Limit::all().filter_map(usual) {
            let sign = if limit.is_at_least() { -1.0 } else { 1.0 };
            assert!(sign * easy < sign * lively && sign * lively < sign * packed, "{limit:?}");
        }
    }

    #[test]
    fn a_bound_in_the_file_is_that_of_the_grade_asked_for_and_keeps_the_order() {
        let said = [(Limit::Jammed, 30.0), (Limit::ClearFloor, 8.0 * SQUARE_FOOT)];
        let limits = Limits { said: said.into(), ..Limits::default() };
        assert_eq!(bounds(&limits, Limit::Jammed), Some([30.0, 30.0, 1080.0]));
        let [easy, lively, packed] = bounds(&limits, Limit::ClearFloor).unwrap_or_default();
        assert_eq!(lively, 8.0 * SQUARE_FOOT);
        assert!(easy >= lively && packed <= lively);
    }

    #[test]
    fn what_has_no_usual_bound_has_the_one_said() {
        let glasses = Limit::Wait(Serves::Glasses);
        assert_eq!(bounds(&Limits::default(), glasses), None);
        let limits = Limits { said: [(glasses, 60.0)].into(), ..Limits::default() };
        assert_eq!(bounds(&limits, glasses), Some([60.0, 60.0, 120.0]));
    }
}
