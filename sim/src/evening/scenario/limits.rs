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

/// The bounds of one grade. Every bound is a comfort figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Bounds {
    /// Seconds the worst spot is jammed at most, on 9 evenings in 10.
    pub jammed: f64,
    /// Seconds that 9 visits in 10 wait less than, by what is served.
    pub wait: BTreeMap<Serves, f64>,
    /// Share of guests wanting a seat who find none.
    pub seats_short: f64,
    /// Coats with no place.
    pub coats_over: f64,
    /// Clear floor per guest, in m2.
    pub clear_floor: f64,
}

/// Jammed time in seconds: a minute an evening is hardly noticed, five are; from a share of the
/// evening on congestion is called significant (10 %: IMO MSC.1/Circ.1533, from memory).
const JAMMED: [f64; 2] = [60.0, 300.0];
/// See [`JAMMED`].
const JAMMED_SHARE: f64 = 0.10;
/// Waits in minutes, easy, lively and packed: common practice. Who serves 200 from one side of a
/// buffet takes 100 min (wedding hosts), and one toilet for 50 guests, the trade's most, lets 1 in
/// 10 wait about 10 min.
const WAITS: [(Serves, [f64; 3]); 5] = [
    (Serves::Food, [3.0, 6.0, 12.0]),
    (Serves::Drinks, [1.5, 3.0, 6.0]),
    (Serves::Powder, [3.0, 5.0, 10.0]),
    (Serves::Coats, [2.0, 3.0, 5.0]),
    (Serves::Door, [2.0, 3.0, 5.0]),
];
/// Share of those wanting a seat who find none: hardly anybody; a quarter (planners seat at least
/// 75 % at a buffet); half (planners seat 50 to 60 % where food is heavy).
const SEATS_SHORT: [f64; 3] = [0.05, 0.25, 0.50];
/// Coats with no place: two on a chair back, the heap an armchair takes, the heap a bed takes.
/// Common practice.
const COATS_OVER: [f64; 3] = [2.0, 10.0, 20.0];
/// Square feet of clear floor per guest: 16 for mingling at home (a TV host's rule, blog note
/// 2009); receptions with food are ample at 10 and tight at 6 (meetings trade press).
const CLEAR_FLOOR: [f64; 3] = [16.0, 10.0, 6.0];

/// The grade asked for, and what the file says over its bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The grade that questions are about.
    pub grade: Grade,
    /// The grade whose bounds are said here.
    pub said_for: Grade,
    /// See [`Bounds::jammed`].
    pub jammed: Option<f64>,
    /// See [`Bounds::wait`].
    pub wait: BTreeMap<Serves, f64>,
    /// See [`Bounds::seats_short`].
    pub seats_short: Option<f64>,
    /// See [`Bounds::coats_over`].
    pub coats_over: Option<f64>,
    /// See [`Bounds::clear_floor`].
    pub clear_floor: Option<f64>,
}

impl Default for Limits {
    fn default() -> Self {
        Limits {
            grade: Grade::Lively,
            said_for: Grade::Lively,
            jammed: None,
            wait: BTreeMap::new(),
            seats_short: None,
            coats_over: None,
            clear_floor: None,
        }
    }
}

impl Limits {
    /// The bounds of a grade for an evening of so many seconds. What is said replaces the bound of
    /// the grade it is said for; easier grades are at least as strict as that, fuller ones at most.
    pub fn bounds(&self, grade: Grade, lasts: f64) -> Bounds {
        let g = (grade as usize).min(Grade::Packed as usize);
        let jammed = JAMMED.get(g).copied().unwrap_or((JAMMED_SHARE * lasts).max(JAMMED[1]));
        Bounds {
            jammed: self.said(self.jammed, grade, jammed, f64::min, f64::max),
            wait: WAITS
                .iter()
                .map(|&(s, minutes)| {
                    (
                        s,
                        self.said(
                            self.wait.get(&s).copied(),
                            grade,
                            minutes[g] * 60.0,
                            f64::min,
                            f64::max,
                        ),
                    )
                })
                .collect(),
            seats_short: self.said(self.seats_short, grade, SEATS_SHORT[g], f64::min, f64::max),
            coats_over: self.said(self.coats_over, grade, COATS_OVER[g], f64::min, f64::max),
            clear_floor: self.said(
                self.clear_floor,
                grade,
                CLEAR_FLOOR[g] * SQUARE_FOOT,
                f64::max,
                f64::min,
            ),
        }
    }

    fn said(
        &self,
        said: Option<f64>,
        grade: Grade,
        usual: f64,
        stricter: fn(f64, f64) -> f64,
        milder: fn(f64, f64) -> f64,
    ) -> f64 {
        match said {
            None => usual,
            Some(bound) if grade == self.said_for => bound,
            Some(bound) if grade < self.said_for => stricter(bound, usual),
            Some(bound) => milder(bound, usual),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVENING: f64 = 10_800.0;

    #[test]
    fn each_grade_is_milder_than_the_one_before() {
        let [easy, lively, packed] = Grade::ALL.map(|g| Limits::default().bounds(g, EVENING));
        for (a, b) in [(&easy, &lively), (&lively, &packed)] {
            assert!(
                a.jammed < b.jammed
                    && a.seats_short < b.seats_short
                    && a.coats_over < b.coats_over
                    && a.clear_floor > b.clear_floor
            );
            assert!(a.wait.iter().all(|(serves, seconds)| *seconds < b.wait[serves]));
        }
    }

    #[test]
    fn a_bound_in_the_file_is_that_of_the_grade_asked_for_and_keeps_the_order() {
        let limits = Limits {
            jammed: Some(30.0),
            clear_floor: Some(8.0 * SQUARE_FOOT),
            ..Limits::default()
        };
        let [easy, lively, packed] = Grade::ALL.map(|g| limits.bounds(g, EVENING));
        assert_eq!((easy.jammed, lively.jammed, packed.jammed), (30.0, 30.0, 1080.0));
        assert_eq!(lively.clear_floor, 8.0 * SQUARE_FOOT);
        assert!(easy.clear_floor >= lively.clear_floor && packed.clear_floor <= lively.clear_floor);
    }
}
