//! How far does a headcount move with what nobody has measured about guests? The search is asked again with each habit at its plausible ends.

use super::capacity::{Asked, Capacity, NoCapacity, Whole, answer};
use super::headcount::Effort;
use crate::parallel::Watch;
use crate::plan::Plan;
use crate::scenario::Scenario;

/// What guests do that no source settles, or the rule by which they count as held up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Habit {
    /// Mean time with one talk group, in seconds.
    Spell,
    /// How large talk groups are: the rate of their law.
    GroupSize,
    /// How near a walker comes before standing people step aside, in metres.
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
    pub const ALL: [Habit; 6] = [Habit::Spell, Habit::GroupSize, Habit::MakesRoom, Habit::Settles, Habit::Perch, Habit::HeldBelow];

    /// The plausible ends, as shares of the scenario's own figure. Assumptions: half and twice, where nothing narrows them; mean sizes of talk groups
    /// seen in public lie between 1.5 and 2.3 (Coleman & James 1961 and others), which are rates of 0.9 to 2.
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

/// Evenings a search at one end looks at first: a guess for those who wait.
const FIRST_LOOKS: u32 = 6;

/// Asks for the headcount at the grade asked for with each habit at its ends; the widest swing first. Guests at an end are those of the answer and
/// the change against the same small search with the usual figures: both play the same evenings, so that their luck cancels out.
pub fn swings(plan: &Plan, scenario: &Scenario, c: &Capacity, asked: Asked, watch: &dyn Watch) -> Result<Vec<Swing>, NoCapacity> {
    let each = Effort::ASIDE.spend + FIRST_LOOKS * Effort::ASIDE.locate;
    watch.expect(u64::from((1 + 2 * Habit::ALL.len() as u32) * each));
    let answered = c.guests().map_or(c.looked, |w| w.value);
    let takes = |changed: Scenario| -> Result<u32, NoCapacity> {
        let near = Scenario { guests: answered.max(1), ..changed };
        let there = answer(plan, &near, Asked { all_grades: false, effort: Effort::ASIDE, ..asked }, &Quietly(watch))?;
        Ok(there.guests().map_or(there.looked, |w| w.value))
    };
    let base = takes(scenario.clone())?;
    let mut all = vec![];
    for habit in Habit::ALL {
        let usual = habit.of(scenario);
        let at = |share: f64| Ok((usual * share, (answered + takes(habit.with(scenario, usual * share))?).saturating_sub(base)));
        let [low, high] = habit.ends();
        all.push(Swing { habit, usual, ends: [at(low)?, at(high)?] });
    }
    all.sort_by_key(|s| (std::cmp::Reverse(s.width()), s.habit));
    Ok(all)
}

/// Counts evenings, and lets nobody announce more of them.
struct Quietly<'a>(&'a dyn Watch);

impl Watch for Quietly<'_> {
    fn expect(&self, _: u64) {}

    fn done(&self) {
        self.0.done();
    }
}

/// The headcount's range with other habits of guests: what each habit moves it by, down and up, added in squares as independent errors are, and
/// with them the range of the evenings themselves.
pub fn range(w: Whole, swings: &[Swing]) -> (u32, u32) {
    let value = f64::from(w.value);
    let moved = |sign: f64| {
        let furthest = |s: &Swing| s.ends.iter().map(|e| sign * (f64::from(e.1) - value)).fold(0.0, f64::max);
        swings.iter().map(|s| furthest(s).powi(2)).sum::<f64>()
    };
    let (down, up) = (f64::from(w.value - w.low.min(w.value)), w.high.map_or(0.0, |h| f64::from(h.max(w.value) - w.value)));
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
    fn each_end_is_the_scenario_with_one_figure_changed() {
        let usual = Scenario::of(crate::scenario::Occasion::Cocktails, 20);
        for habit in Habit::ALL {
            let [low, high] = habit.ends();
            assert!(low < 1.0 && high > 1.0);
            let changed = habit.with(&usual, 3.0 * habit.of(&usual));
            assert!((habit.of(&changed) - 3.0 * habit.of(&usual)).abs() < 1e-12);
            assert!(Habit::ALL.iter().all(|h| *h == habit || h.of(&changed) == h.of(&usual)));
        }
    }
}
