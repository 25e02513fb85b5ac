//! How far does a headcount move with what nobody has measured about guests? Evenings about the
//! answer, with each habit at its plausible ends.

use crate::base::parallel::Watch;
use crate::base::stats::threshold::Rise;
use crate::evening::scenario::Scenario;
use crate::floor::world::World;
use crate::house::plan::Plan;
use crate::study::capacity::{Asked, Capacity, NoCapacity, Whole, bounded, most_guests};
use crate::study::ensemble::{Ensemble, extend};
use crate::study::evening::{Subject, shown};

/// What guests do that no source settles, or the rule by which they count as held up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Habit {
    /// Mean time with one talk group, in seconds.
    Spell,
    /// How large talk groups are: the rate of their law.
    GroupSize,
    /// How near a walker comes before standing people step aside, in meters.
    MakesRoom,
    /// Seconds until somebody who cannot reach a talk group stops where they are.
    Settles,
    /// How much likelier people stand at an island, counter, bar, hearth or laid table.
    Perch,
    /// Share of the distance on an empty floor below which somebody counts as held up.
    HeldBelow,
}

impl Habit {
    /// All.
    pub const ALL: [Habit; 6] = [
        Habit::Spell,
        Habit::GroupSize,
        Habit::MakesRoom,
        Habit::Settles,
        Habit::Perch,
        Habit::HeldBelow,
    ];

    /// The plausible ends, as shares of the scenario's own figure. Assumptions: half and twice,
    /// where nothing narrows them; mean sizes of talk groups seen in public lie between 1.5 and 2.3
    /// (Coleman & James 1961 and others), which are rates of 0.9 to 2.
    pub fn ends(self) -> [f64; 2] {
        match self {
            Habit::Spell | Habit::MakesRoom | Habit::Perch => [0.5, 2.0],
            Habit::GroupSize => [0.65, 1.43],
            Habit::Settles => [1.0 / 3.0, 3.0],
            Habit::HeldBelow => [0.5, 1.5],
        }
    }

    /// The scenario's figure.
    pub fn of(self, s: &Scenario) -> f64 {
        match self {
            Habit::Spell => s.talk.spell,
            Habit::GroupSize => s.talk.rate,
            Habit::MakesRoom => s.habits.makes_room_within,
            Habit::Settles => s.habits.settles_after,
            Habit::Perch => s.habits.perch,
            Habit::HeldBelow => s.habits.held_below,
        }
    }

    /// The scenario with another figure.
    pub fn with(self, s: &Scenario, value: f64) -> Scenario {
        let mut s = s.clone();
        match self {
            Habit::Spell => s.talk.spell = value,
            Habit::GroupSize => s.talk.rate = value,
            Habit::MakesRoom => s.habits.makes_room_within = value,
            Habit::Settles => s.habits.settles_after = value,
            Habit::Perch => s.habits.perch = value,
            Habit::HeldBelow => s.habits.held_below = value,
        }
        s
    }
}

/// A headcount with a habit at its two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// The habit.
    pub habit: Habit,
    /// The scenario's own figure.
    pub usual: f64,
    /// The figure at each end, and the guests there.
    pub ends: [(f64, u32); 2],
}

impl Swing {
    /// Guests between the two ends.
    pub fn width(&self) -> u32 {
        self.ends[0].1.abs_diff(self.ends[1].1)
    }
}

/// The plan of runs is gone through so often, each time with another evening …
const EVENINGS: u32 = 4;
/// … and as often again until chance moves no headcount by more than this share, with each habit …
const SURE: f64 = 0.01;
/// … but no more often than this.
const MOST_EVENINGS: u32 = 16;
/// Headcounts of the runs, as shares of the answer: as far apart as the line of a share stays
/// straight.
const FEWER: f64 = 0.85;
const MORE: f64 = 1.18;
/// Limits that give out beyond this many times the answer are not moved before the first one by any
/// habit.
const CLOSE: f64 = 1.3;
/// Factors of the runs: the headcount, and each habit.
const FACTORS: usize = 1 + Habit::ALL.len();
/// Runs with all signs, and as many with all signs turned.
const RUNS: usize = 24;
/// The first run of twelve in which every two of eleven factors stand at each pair of ends equally
/// often (Plackett & Burman 1946, Biometrika 33:305); the next ten shift it by one each, and in the
/// last all are low.
const FIRST_RUN: [bool; 11] =
    [true, true, false, true, true, true, false, false, false, true, false];

/// Whether a factor is at its high end in a run. The second dozen is the first one turned over, so
/// that no pair of habits is taken for a third.
fn is_high(run: usize, factor: usize) -> bool {
    let first = run % 12 < 11 && FIRST_RUN[(factor + run % 12) % 11];
    first == (run < 12)
}

/// Asks how far each habit moves the headcount at the grade asked for; the widest swing first, none
/// where nothing gives out.
///
/// All habits are varied together, by a plan of runs, at headcounts on either side of the answer,
/// with the same evenings in each run: so every evening tells of every habit. What a habit does to
/// a limit is turned into guests by what the headcount does to it.
pub fn swings(
    plan: &Plan,
    scenario: &Scenario,
    c: &Capacity,
    asked: Asked,
    watch: &dyn Watch,
) -> Result<Vec<Swing>, NoCapacity> {
    let Some(answer) = c.together.value().filter(|v| *v >= 1.0) else {
        return Ok(vec![]);
    };
    let guests = headcounts(answer, most(&c.at.world));
    let worlds = (0..RUNS)
        .map(|run| built(&c.at.world, plan, scenario, guests, run))
        .collect::<Result<Vec<_>, _>>()?;
    let span = f64::from(guests[1]).ln() - f64::from(guests[0]).ln();
    let limits: Vec<(Subject, f64)> =
        c.limits.iter().filter_map(|l| Some((l.subject, l.gives.value()?))).collect();
    // one that is far, or takes no evening to tell, keeps the others from being moved beyond it, and
    // is not moved itself
    let moves = |l: &(Subject, f64)| l.1 <= CLOSE * answer && l.0 != Subject::ClearFloor;
    let (close, far): (Vec<_>, Vec<_>) = limits.into_iter().partition(moves);
    let shows = play(&worlds, &close, span, asked.seed, watch);
    let moved: Vec<(f64, [f64; FACTORS])> = close
        .iter()
        .zip(&shows)
        .map(|((_, at), shows)| (*at, shows.moves(span)))
        .chain(far.iter().map(|(_, at)| (*at, [0.0; FACTORS])))
        .chain([(most(&c.at.world), [0.0; FACTORS])])
        .collect();
    let mut all: Vec<Swing> = Habit::ALL
        .into_iter()
        .enumerate()
        .map(|(k, habit)| swing(habit, habit.of(scenario), 1 + k, &moved))
        .collect();
    all.sort_by_key(|s| (std::cmp::Reverse(s.width()), s.habit));
    Ok(all)
}

/// Plays the runs until it is sure what they show of some limits; not at all if there are none.
fn play(
    worlds: &[World],
    limits: &[(Subject, f64)],
    span: f64,
    seed: u64,
    watch: &dyn Watch,
) -> Vec<Shows> {
    let each: Vec<&World> = worlds.iter().collect();
    let mut evenings: Vec<Ensemble> = worlds.iter().map(|_| Ensemble::new(seed)).collect();
    let mut shows = vec![];
    if limits.is_empty() {
        return shows;
    }
    for from in (0..MOST_EVENINGS).step_by(EVENINGS as usize) {
        watch.expect(RUNS as u64 * u64::from(EVENINGS));
        let numbers = from..from + EVENINGS;
        let trials: Vec<(usize, u32)> =
            (0..RUNS).flat_map(|run| numbers.clone().map(move |trial| (run, trial))).collect();
        extend(&mut evenings, &each, &trials, watch);
        shows = limits.iter().map(|(subject, _)| Shows::of(worlds, &evenings, *subject)).collect();
        if shows.iter().all(|shows: &Shows| shows.are_sure(span)) {
            break;
        }
    }
    shows
}

/// The most guests a house is simulated with.
fn most(world: &World) -> f64 {
    f64::from(most_guests(world))
}

/// Headcounts on either side of an answer, of which no more than the most are simulated.
fn headcounts(answer: f64, most: f64) -> [u32; 2] {
    let low = (answer * FEWER).max(1.0).floor();
    [low as u32, (answer * MORE).ceil().min(most).max(low + 1.0) as u32]
}

/// The house of a run.
fn built(
    beside: &World,
    plan: &Plan,
    scenario: &Scenario,
    guests: [u32; 2],
    run: usize,
) -> Result<World, NoCapacity> {
    let at = |s: Scenario, (k, habit): (usize, Habit)| {
        let value = habit.of(&s) * habit.ends()[usize::from(is_high(run, 1 + k))];
        habit.with(&s, value)
    };
    let there = Scenario { guests: guests[usize::from(is_high(run, 0))], ..scenario.clone() };
    let changed = Habit::ALL.into_iter().enumerate().fold(there, at);
    beside.beside(plan.clone(), changed).map_err(NoCapacity::Problems)
}

/// Guests with a habit at its ends: the fewest that any limit takes there. `moved` tells where each
/// gives out and how far each factor moves it, low to high, on a logarithmic scale.
fn swing(habit: Habit, usual: f64, factor: usize, moved: &[(f64, [f64; FACTORS])]) -> Swing {
    let [low, high] = habit.ends();
    let way = high.ln() - low.ln();
    let takes = |share: f64| {
        moved
            .iter()
            .map(|(at, by)| at * (by[factor] * share.ln() / way).exp())
            .fold(f64::INFINITY, f64::min)
    };
    Swing { habit, usual, ends: [low, high].map(|share| (usual * share, takes(share) as u32)) }
}

/// What the runs show of a limit: for each evening of the plan and each run, its measure and what
/// it counts for.
struct Shows {
    rise: Rise,
    evenings: Vec<[(f64, f64); RUNS]>,
}

impl Shows {
    fn of(worlds: &[World], evenings: &[Ensemble], subject: Subject) -> Shows {
        let grade = worlds[0].scenario.limits.grade;
        let at = |trial: usize| {
            std::array::from_fn(|run| {
                shown(&worlds[run], &evenings[run].trials[trial], subject, grade)
            })
        };
        Shows {
            rise: bounded(&worlds[0], subject, grade).rise,
            evenings: (0..evenings[0].len()).map(at).collect(),
        }
    }

    /// How far each factor at its high end lets the limit take more guests than at its low end, as
    /// a logarithm; 0 for the headcount itself. What chance alone would show is taken off: it would
    /// widen the range.
    fn moves(&self, span: f64) -> [f64; FACTORS] {
        let (all, chance) = (self.ratios(None), self.chance());
        std::array::from_fn(|factor| {
            let sure = (all[factor].powi(2) - chance[factor]).max(0.0).sqrt();
            if factor == 0 { 0.0 } else { -span * sure * all[factor].signum() }
        })
    }

    /// Whether what each factor does is known closely, as a logarithm of guests.
    fn are_sure(&self, span: f64) -> bool {
        self.ratios(None)[0] > 0.0 && self.chance().iter().all(|c| span * c.sqrt() <= SURE)
    }

    /// The variance of the ratios, by the jackknife over evenings.
    fn chance(&self) -> [f64; FACTORS] {
        let without: Vec<[f64; FACTORS]> =
            (0..self.evenings.len()).map(|left_out| self.ratios(Some(left_out))).collect();
        let n = without.len() as f64;
        std::array::from_fn(|factor| {
            let mean = without.iter().map(|r| r[factor]).sum::<f64>() / n;
            without.iter().map(|r| (r[factor] - mean).powi(2)).sum::<f64>() * (n - 1.0) / n
        })
    }

    /// What each factor does to the limit, as a share of what the headcount does; 0 where the
    /// headcount does nothing.
    fn ratios(&self, left_out: Option<usize>) -> [f64; FACTORS] {
        let effects: [f64; FACTORS] = std::array::from_fn(|factor| {
            self.line(factor, true, left_out) - self.line(factor, false, left_out)
        });
        effects.map(|e| if effects[0] > LEAST_EFFECT { e / effects[0] } else { 0.0 })
    }

    /// The line of the measure with a factor at one end.
    fn line(&self, factor: usize, high: bool, left_out: Option<usize>) -> f64 {
        let kept = self.evenings.iter().enumerate().filter(|(trial, _)| Some(*trial) != left_out);
        let there = kept
            .flat_map(|(_, runs)| runs.iter().enumerate())
            .filter(|(run, _)| is_high(*run, factor) == high);
        let (sum, weight) =
            there.fold((0.0, 0.0), |(sum, weight), (_, (y, w))| (sum + y * w, weight + w));
        match self.rise {
            // half an evening either way, so that never has a value
            Rise::Share => ((sum + 0.5) / (weight - sum + 0.5)).ln(),
            Rise::Amount => sum / weight.max(1.0),
        }
    }
}

/// A headcount that does less than this to a limit tells nothing of guests.
const LEAST_EFFECT: f64 = 1e-6;

/// The headcount's range with other habits of guests: what each habit moves it by, down and up,
/// added in squares as independent errors are, and with them the range of the evenings themselves.
pub fn range(w: Whole, swings: &[Swing]) -> (u32, u32) {
    let value = f64::from(w.value);
    let moved = |sign: f64| {
        let furthest =
            |s: &Swing| s.ends.iter().map(|e| sign * (f64::from(e.1) - value)).fold(0.0, f64::max);
        swings.iter().map(|s| furthest(s).powi(2)).sum::<f64>()
    };
    let (down, up) = (
        f64::from(w.value - w.low.min(w.value)),
        w.high.map_or(0.0, |h| f64::from(h.max(w.value) - w.value)),
    );
    let low = value - (moved(-1.0) + down * down).sqrt();
    let high = value + (moved(1.0) + up * up).sqrt();
    (low.round().max(0.0) as u32, high.round() as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: Whole = Whole { value: 40, low: 37, high: Some(42) };

    #[test]
    fn habits_that_change_nothing_leave_the_range_of_the_evenings() {
        let same = Swing { habit: Habit::Perch, usual: 2.0, ends: [(1.0, 40), (4.0, 40)] };
        assert_eq!(range(USUAL, &[same, same]), (37, 42));
    }

    #[test]
    fn what_habits_move_is_added_in_squares() {
        let spell = Swing { habit: Habit::Spell, usual: 720.0, ends: [(360.0, 36), (1440.0, 45)] };
        // 3 and 4 guests down make 5
        assert_eq!(range(USUAL, &[spell]).0, 35);
        assert!(range(USUAL, &[spell]).1 >= 45);
    }

    #[test]
    fn every_two_factors_stand_at_each_pair_of_ends_equally_often() {
        for a in 0..FACTORS {
            for b in (0..FACTORS).filter(|b| *b != a) {
                let runs = |at: (bool, bool)| {
                    (0..RUNS).filter(|&r| (is_high(r, a), is_high(r, b)) == at).count()
                };
                assert!(
                    [(false, false), (false, true), (true, false), (true, true)]
                        .into_iter()
                        .all(|at| runs(at) == RUNS / 4)
                );
            }
        }
    }

    /// A limit that breaks the likelier the more guests come, and less with one habit.
    fn shows(breaks: impl Fn(usize, usize) -> bool) -> Shows {
        let at = |trial: usize| {
            std::array::from_fn(|run| (f64::from(u8::from(breaks(trial, run))), 1.0))
        };
        Shows { rise: Rise::Share, evenings: (0..MOST_EVENINGS as usize).map(at).collect() }
    }

    #[test]
    fn a_habit_that_does_what_the_headcount_does_moves_the_limit_by_their_span() {
        let both = shows(|trial, run| {
            trial < 2 + 5 * usize::from(is_high(run, 0)) + 5 * usize::from(is_high(run, 3))
        });
        let moves = both.moves(0.3);
        assert!((moves[3] + 0.3).abs() < 0.03, "{moves:?}");
        assert!(moves.iter().enumerate().all(|(k, m)| k == 3 || *m == 0.0), "{moves:?}");
    }

    #[test]
    fn luck_moves_nothing() {
        // breaks by a scatter of trial and run that knows no habit
        let luck = shows(|trial, run| {
            (trial * 7 + run * 13 + (trial * run) % 11) % 10 < 2 + 4 * usize::from(is_high(run, 0))
        });
        assert!(luck.moves(0.3).iter().all(|m| m.abs() < 0.06), "{:?}", luck.moves(0.3));
    }

    #[test]
    fn each_end_is_the_scenario_with_one_figure_changed() {
        let usual = Scenario::of(crate::evening::scenario::Occasion::Cocktails, 20);
        for habit in Habit::ALL {
            let [low, high] = habit.ends();
            assert!(low < 1.0 && high > 1.0);
            let changed = habit.with(&usual, 3.0 * habit.of(&usual));
            assert!((habit.of(&changed) - 3.0 * habit.of(&usual)).abs() < 1e-12);
            assert!(Habit::ALL.iter().all(|h| *h == habit || h.of(&changed) == h.of(&usual)));
        }
    }
}
