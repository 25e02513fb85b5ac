//! How many guests, what gives out first, what next? Limits of an evening put to the search for a
//! headcount.

pub mod effort;
pub mod gives;
pub mod seen;
pub mod headcount;
mod houses;
pub mod habits;

use crate::base::parallel::Watch;
use crate::base::stats::Estimate;
use crate::base::stats::threshold::Rise;
use crate::evening::scenario::{Grade, Scenario};
use crate::floor::world::{PinchId, World};
use crate::house::plan::Plan;
use crate::house::problem::Problem;
use crate::study::capacity::effort::{Budget, Effort};
use crate::study::capacity::gives::{Gives, least};
use crate::study::capacity::habits::Swing;
use crate::study::capacity::headcount::{Found, find};
use crate::study::capacity::houses::Houses;
use crate::study::capacity::seen::{Bounded, Played, Reckoned, Shown, Source};
use crate::study::evening::limits::subjects as subjects_in;
use crate::study::evening::{Evenings, Subject, bound, bound_asked};
use std::collections::BTreeMap;

/// Nobody asks a home for more guests.
pub const MOST_GUESTS: u32 = 300;

/// What one limit allows at a grade.
#[derive(Clone, Debug)]
pub struct LimitCurve {
    /// What it is about.
    pub subject: Subject,
    /// The bound.
    pub bound: f64,
    /// Where it gives out.
    pub gives: Gives,
    /// Its measure at the headcounts looked at, each a little apart from the next.
    pub curve: Vec<(u32, Estimate)>,
}

impl LimitCurve {
    /// The most guests at which it was seen to hold.
    pub fn held_to(&self) -> Option<u32> {
        self.curve
            .iter()
            .rfind(|(_, e)| self.subject.is_within(e.value, self.bound))
            .map(|(guests, _)| *guests)
    }
}

/// What a grade allows.
#[derive(Clone, Debug)]
pub struct Graded {
    /// The grade.
    pub grade: Grade,
    /// All its limits together.
    pub together: Gives,
    /// The limit that gives out first, if any does.
    pub first: Option<Subject>,
    /// The spot of floor that is worst there, where a jam gives out first.
    pub pinch: Option<PinchId>,
}

impl Graded {
    /// Whole guests, if any limit gives out.
    pub fn guests(&self) -> Option<Whole> {
        whole(self.together)
    }
}

/// Whole guests with an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Whole {
    /// The largest headcount at which every limit holds.
    pub value: u32,
    /// Lower end of the 95 % interval.
    pub low: u32,
    /// Upper end of the 95 % interval, if anything that was seen bounds it.
    pub high: Option<u32>,
}

impl Whole {
    /// As a figure; infinite where there is no upper end.
    pub fn estimate(self) -> Estimate {
        Estimate {
            value: f64::from(self.value),
            low: f64::from(self.low),
            high: self.high.map_or(f64::INFINITY, f64::from),
        }
    }
}

/// Whole guests a limit allows; `None` if it never gives out.
pub fn whole(gives: Gives) -> Option<Whole> {
    let floor = |x: f64| (x + 1e-9).floor() as u32;
    match gives {
        Gives::Never => None,
        Gives::AtOnce => Some(Whole { value: 0, low: 0, high: Some(0) }),
        Gives::At { value, low, high } => Some(Whole {
            value: floor(value),
            low: floor(low),
            high: high.is_finite().then(|| floor(high)),
        }),
    }
}

/// The difference of two whole headcounts, if both are bounded, with an interval from those of both
/// (Zou & Donner 2008, Stat. Med. 27:1693).
pub fn gain(now: Whole, before: Whole) -> Option<Estimate> {
    let figures = |w: Whole| Some((f64::from(w.value), f64::from(w.low), f64::from(w.high?)));
    let ((a, al, ah), (b, bl, bh)) = (figures(now)?, figures(before)?);
    let value = a - b;
    Some(Estimate {
        value,
        low: value - (a - al).hypot(bh - b),
        high: value + (ah - a).hypot(b - bl),
    })
}

/// Guests clearly gained: 0 where the evenings leave it open. Guests are whole: less than half of
/// one is none.
pub fn clearly(gain: Option<Estimate>) -> f64 {
    gain.filter(|gain| gain.low.round() > 0.0).map_or(0.0, |gain| gain.value)
}

/// The answer.
pub struct Capacity {
    /// Each grade, from the easiest.
    pub grades: Vec<Graded>,
    /// Every limit of the grade asked for, the first to give out first; those that never do last.
    pub limits: Vec<LimitCurve>,
    /// All of these limits together.
    pub together: Gives,
    /// The most guests looked at.
    pub looked: u32,
    /// Evenings at each headcount of the second stage.
    pub played: BTreeMap<u32, u32>,
    /// How far the answer moves with other habits of guests, the widest swing first; empty unless
    /// asked, and where nothing gives out.
    pub swings: Vec<Swing>,
    /// The house at a headcount looked at that is about the answer, and its evenings.
    pub at: Evenings,
    /// The same at headcounts about that one, each a good step from the next, the fewest guests
    /// first; for pictures.
    pub around: Vec<Evenings>,
}

impl Capacity {
    /// What a grade allows, if it was asked.
    pub fn graded(&self, grade: Grade) -> Option<&Graded> {
        self.grades.iter().find(|g| g.grade == grade)
    }

    /// Whole guests at the grade asked for, if any limit gives out.
    pub fn guests(&self) -> Option<Whole> {
        whole(self.together)
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub enum NoCapacity {
    /// Something is wrong on the floor.
    Problems(Vec<Problem>),
    /// There is no place of that name: the names there are.
    NoPlace(Vec<String>),
    /// Scripts have no headcount.
    Scripted,
}

/// What is asked of [`answer`].
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Only what happens at the place of this name counts: jams there, and lines at its spots.
    pub place: Option<&'a str>,
    /// Whether the other grades are asked too.
    pub all_grades: bool,
    /// Seed.
    pub seed: u64,
    /// How much is spent on the grade asked for.
    pub effort: Effort,
}

/// Searches for the largest headcount at the grade asked for, and at the others if they are asked.
pub fn answer(
    plan: &Plan,
    scenario: &Scenario,
    asked: Asked,
    watch: &dyn Watch,
) -> Result<Capacity, NoCapacity> {
    if scenario.is_scripted() {
        return Err(NoCapacity::Scripted);
    }
    let mut houses = Houses::new(plan, scenario, asked.seed).map_err(NoCapacity::Problems)?;
    let world = houses.as_asked();
    let subjects = subjects(world, asked.place)?;
    let most = most_guests(world);
    let others: Vec<Grade> = Grade::ALL
        .into_iter()
        .filter(|&g| asked.all_grades && g != scenario.limits.grade)
        .collect();
    watch.expect(
        u64::from(USUAL_STEPS * asked.effort.locate + asked.effort.spend)
            + others.len() as u64 * u64::from(Effort::ASIDE.spend),
    );
    let mut search = Search {
        houses: &mut houses,
        subjects: &subjects,
        whole_house: asked.place.is_none(),
        most,
        watch,
    };
    let (main, found) = search.grade(scenario.limits.grade, scenario.guests, asked.effort);
    let near = whole(main.together).map_or(scenario.guests, |w| w.value.max(1));
    let mut grades = vec![main];
    for grade in others {
        let about =
            f64::from(near) * if grade < scenario.limits.grade { EASIER } else { 1.0 / EASIER };
        grades.push(search.grade(grade, (about as u32).max(1), Effort::ASIDE).0);
    }
    grades.sort_by_key(|g| g.grade);
    in_order(&mut grades);
    let floor = search.whole_house.then(|| search.floor(scenario.limits.grade));
    told(houses, &subjects, grades, found, floor)
}

/// The most guests a house is simulated with.
pub(super) fn most_guests(world: &World) -> u32 {
    MOST_GUESTS.min(world.holds())
}

/// Evenings are spent in full up to so many guests; with more of them an evening takes longer, and
/// tells more.
const SIZED_FOR: f64 = 50.0;

/// Evenings for a search that begins at so many guests: as many as take about the same time, at least
/// a quarter.
fn sized(effort: Effort, around: u32) -> u32 {
    let share = (SIZED_FOR / f64::from(around.max(1))).clamp(0.25, 1.0);
    (f64::from(effort.spend) * share) as u32
}

/// Where the search for another grade begins, as a share of the headcount of the fuller one.
const EASIER: f64 = 0.7;

/// A fuller grade takes at least as many guests: where the evenings say otherwise, they do not tell
/// the two apart.
fn in_order(grades: &mut [Graded]) {
    for i in (1..grades.len()).rev() {
        let fuller = grades[i].together;
        let easier = &mut grades[i - 1].together;
        if let (Gives::At { value, high, .. }, Some(most)) = (&mut *easier, fuller.value()) {
            *value = value.min(most);
            *high = high.max(*value);
        }
        if *easier == Gives::Never {
            *easier = fuller;
        }
    }
}

/// A search for what grades allow, in one house.
struct Search<'a, 'b> {
    houses: &'a mut Houses<'b>,
    subjects: &'a [Subject],
    whole_house: bool,
    most: u32,
    watch: &'a dyn Watch,
}

impl Search<'_, '_> {
    fn grade(&mut self, grade: Grade, around: u32, effort: Effort) -> (Graded, Found) {
        let world = self.houses.as_asked();
        let limits: Vec<Bounded> =
            self.subjects.iter().map(|&s| bounded(world, s, grade)).collect();
        let effort = Effort { spend: sized(effort, around), ..effort };
        let most = self.most_at(grade, 1.0);
        let farthest = self.most_at(grade, effort.follow);
        let budget = Budget { around: around.clamp(1, most), most, farthest, effort };
        let (subjects, watch) = (self.subjects, self.watch);
        let floor = self.whole_house.then(|| self.floor(grade));
        let known = self.houses.known();
        let mut at_grade = AtGrade { houses: &mut *self.houses, subjects, grade, watch };
        let found = find(&limits, budget, &known, &mut at_grade, &|first| {
            let floor = floor.and_then(Gives::value).unwrap_or(f64::INFINITY);
            let about = first.min(floor).min(f64::from(most));
            watch.about(about as u32, grade.word());
        });
        let together = floor.map_or(found.together(), |f| least(found.together(), f));
        let each = self
            .subjects
            .iter()
            .copied()
            .zip(found.limits.iter().copied())
            .chain(floor.map(|f| (Subject::ClearFloor, f)));
        let first = each
            .filter_map(|(s, g)| Some((g.value()?, s)))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|f| f.1);
        let pinch = first
            .filter(|s| matches!(s, Subject::Jammed(_)))
            .and_then(|_| self.houses.worst_spot_at(whole(together)?.value));
        (Graded { grade, together, first, pinch }, found)
    }

    /// The most guests looked at for a grade: where its floor gives out, or as far beyond as limits
    /// are followed.
    fn most_at(&self, grade: Grade, follow: f64) -> u32 {
        match self.whole_house.then(|| self.floor(grade)).and_then(Gives::value) {
            Some(guests) => ((guests * follow).ceil() as u32).clamp(1, self.most),
            None => self.most,
        }
    }

    /// Clear floor needs no evenings.
    fn floor(&self, grade: Grade) -> Gives {
        let world = self.houses.as_asked();
        match bound(world, Subject::ClearFloor, grade) {
            Some(each) => exactly(world.clear_floor / each, self.most),
            None => Gives::Never,
        }
    }
}

/// Houses as the search for a grade sees them.
struct AtGrade<'a, 'b> {
    houses: &'a mut Houses<'b>,
    subjects: &'a [Subject],
    grade: Grade,
    watch: &'a dyn Watch,
}

impl Source for AtGrade<'_, '_> {
    fn play(&mut self, asked: &[Played]) -> Vec<Vec<Shown>> {
        self.houses.play(self.subjects, self.grade, asked, self.watch)
    }

    fn usual_on_paper(&mut self, guests: u32) -> Vec<Option<Vec<Reckoned>>> {
        self.houses.usual_on_paper(guests, self.subjects, self.grade)
    }
}

/// Headcounts the first stage usually looks at: a guess for those who wait.
const USUAL_STEPS: u32 = 4;

/// A limit known without error; beyond the most that is simulated nothing is said.
fn exactly(guests: f64, most: u32) -> Gives {
    match guests {
        g if g < 1.0 => Gives::AtOnce,
        g if g > f64::from(most) + 1.0 => Gives::Never,
        g => Gives::At { value: g, low: g, high: g },
    }
}

/// A limit as the search sees it.
pub(super) fn bounded(world: &World, subject: Subject, grade: Grade) -> Bounded {
    let said = bound(world, subject, grade).unwrap_or(f64::INFINITY);
    let (rise, bound) = subject.rise(said).unwrap_or((Rise::Share, said));
    Bounded { rise, bound }
}

/// The limits that count, but for clear floor.
fn subjects(world: &World, place: Option<&str>) -> Result<Vec<Subject>, NoCapacity> {
    let counts = |s: &Subject| bound_asked(world, *s).is_some_and(|b| s.rise(b).is_some());
    let Some(name) = place else {
        return Ok(subjects_in(world).filter(counts).collect());
    };
    let Some(place) = world.places.position(|p| p.name == name) else {
        return Err(NoCapacity::NoPlace(world.places.iter().map(|p| p.name.clone()).collect()));
    };
    let in_place = |s: &Subject| {
        let Subject::Wait(spot) = s else { return false };
        world.spots[*spot].positions.iter().any(|p| {
            let (x, y) = p.target.point.meters();
            world.place_at(x, y) == Some(place)
        })
    };
    let lined = subjects_in(world).filter(counts).filter(in_place);
    Ok(std::iter::once(Subject::Jammed(Some(place))).chain(lined).collect())
}

fn told(
    houses: Houses,
    subjects: &[Subject],
    grades: Vec<Graded>,
    found: Found,
    floor: Option<Gives>,
) -> Result<Capacity, NoCapacity> {
    let together = floor.map_or(found.together(), |f| least(found.together(), f));
    let gives = subjects
        .iter()
        .copied()
        .zip(found.limits.iter().copied())
        .chain(floor.map(|f| (Subject::ClearFloor, f)));
    let mut limits: Vec<LimitCurve> =
        gives.filter_map(|(subject, gives)| curve(&houses, subject, gives, found.looked)).collect();
    limits.sort_by(|a, b| {
        a.gives
            .value()
            .unwrap_or(f64::INFINITY)
            .total_cmp(&b.gives.value().unwrap_or(f64::INFINITY))
    });
    let answer = whole(together).map_or(found.looked, |w| w.value);
    let (at, around) = houses.told(answer).ok_or(NoCapacity::Problems(vec![]))?;
    Ok(Capacity {
        grades,
        limits,
        together,
        looked: found.looked,
        played: found.played,
        swings: vec![],
        at,
        around,
    })
}

/// A limit with its curve. One that holds as far as it was followed may give out at headcounts
/// played for another grade.
fn curve(houses: &Houses, subject: Subject, gives: Gives, followed: u32) -> Option<LimitCurve> {
    let curve: Vec<(u32, Estimate)> = houses
        .surest()
        .into_iter()
        .map(|(guests, house)| (guests, house.measure(subject)))
        .collect();
    let bound = bound_asked(houses.as_asked(), subject)?;
    let gives = if gives == Gives::Never {
        beyond(&curve, |v| subject.is_within(v, bound), bound, followed)
    } else {
        gives
    };
    Some(LimitCurve { subject, bound, gives, curve })
}

/// Where a curve crosses its bound beyond the headcounts a limit was followed to, if it clearly
/// does: between the last headcount clearly within the bound and the first clearly beyond it, most
/// likely where a straight line between the two about the crossing meets the bound.
fn beyond(
    curve: &[(u32, Estimate)],
    within: impl Fn(f64) -> bool,
    bound: f64,
    followed: u32,
) -> Gives {
    let Some(breaks) = curve.iter().position(|(_, e)| !within(e.low) && !within(e.high)) else {
        return Gives::Never;
    };
    let before = &curve[..breaks];
    let (Some(clear), Some(last)) = (
        before.iter().rposition(|(_, e)| within(e.low) && within(e.high)),
        before.iter().rposition(|(_, e)| within(e.value)),
    ) else {
        return Gives::Never;
    };
    let ((a, at_a), (b, at_b)) = (&curve[last], &curve[last + 1]);
    let share = (bound - at_a.value) / (at_b.value - at_a.value);
    let value = f64::from(*a) + share * f64::from(b - a);
    let (low, high) = (f64::from(curve[clear].0), f64::from(curve[breaks].0));
    if value > f64::from(followed) {
        Gives::At { value, low: low.min(value), high: high.max(value) }
    } else {
        Gives::Never
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_that_breaks_beyond_what_was_followed_is_read_off_the_curve() {
        let e =
            |value: f64, apart: f64| Estimate { value, low: value - apart, high: value + apart };
        let curve = [(20, e(1.0, 0.5)), (40, e(4.0, 1.5)), (50, e(6.0, 1.5)), (70, e(9.0, 1.0))];
        let gives = |followed| beyond(&curve, |v| v <= 5.0, 5.0, followed);
        assert_eq!(gives(30), Gives::At { value: 45.0, low: 20.0, high: 70.0 });
        assert_eq!(gives(60), Gives::Never);
        assert_eq!(beyond(&curve[..3], |v| v <= 5.0, 5.0, 30), Gives::Never);
    }
}
