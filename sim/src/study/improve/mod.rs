//! Which single change buys most, and what is the least that makes a headcount fit?

pub mod change;
pub mod tries;
mod fitting;

use crate::base::parallel::Watch;
use crate::base::stats::Estimate;
use crate::evening::edit::Edits;
use crate::files::Loaded;
use crate::floor::world::{PinchId, PlaceId, World};
use crate::study::capacity::{Whole, clearly, gain};
use crate::study::evening::{Evening, Subject, answer as evening};
use crate::study::improve::change::Change;
use crate::study::improve::tries::changes;
use crate::study::race::contest::{Rules, Standing, headcount_beyond, hold};
use crate::study::race::{Effort, Race, Score};

/// Changes told with intervals and guests gained.
pub const BEST: usize = 3;

/// A change that works on the floor, and how it did.
#[derive(Clone, Debug)]
pub struct Tried {
    /// The change.
    pub change: Change,
    /// Minutes lost a guest more than as it is (at the place asked for, if one was), over the
    /// evenings it was tried for.
    pub difference: f64,
    /// Evenings it was tried for.
    pub evenings: usize,
}

/// Two of the best changes in one.
#[derive(Clone, Debug)]
pub struct Together {
    /// Which of the best.
    pub of: [usize; 2],
    /// What both edit.
    pub edits: Edits,
    /// Guests the house takes with both.
    pub guests: Whole,
    /// Guests gained.
    pub gain: Estimate,
}

/// The answer.
pub struct Improvement {
    /// What was asked.
    pub asked: Asked,
    /// Houses: as it is, then with each of the best changes, over the same fresh evenings.
    pub race: Race,
    /// The evening as it is.
    pub as_it_is: Evening,
    /// Guests it takes as it is, if that was asked and has an answer.
    pub guests: Option<Whole>,
    /// What gives out first beyond them, and the worst spot of floor if that is what jams.
    pub gives_out: Option<(Subject, Option<PinchId>)>,
    /// Every change that works on the floor.
    pub tried: Vec<Tried>,
    /// Guests at the evenings all were tried on.
    pub tried_with: u32,
    /// Changes that do not work on the floor.
    pub refused: usize,
    /// The best ones, the best first: by guests clearly gained unless a place was asked for, then
    /// by minutes lost; those that take clearly fewer guests last. Where a headcount is to fit,
    /// those that make it fit by what they take, then the nearest to it.
    pub best: Vec<Standing>,
    /// Two of them in one, if both take clearly more guests than either.
    pub together: Option<Together>,
    /// Fresh evenings.
    pub evenings: u32,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// What buys most, in all or at a place.
    Most(Option<PlaceId>),
    /// What makes the scenario's headcount fit.
    Fits,
}

/// Tries every single change. `world` is the house as it is.
pub fn answer(
    loaded: &Loaded,
    world: World,
    asked: Asked,
    seed: u64,
    effort: Effort,
    watch: &dyn Watch,
) -> Improvement {
    let all = changes(loaded, &world);
    match asked {
        Asked::Most(place) => {
            let score = place.map_or(Score::Limits, |p| Score::At(world.places[p].name.clone()));
            most(loaded, world, (asked, all), Rules { score, keep: BEST, seed, effort, watch })
        }
        Asked::Fits => fitting::fitting(
            loaded,
            world,
            all,
            Rules { score: Score::Fit, keep: fitting::KEPT, seed, effort, watch },
        ),
    }
}

fn tried(changes: Vec<Change>, raced: &[(f64, usize)]) -> Vec<Tried> {
    changes
        .into_iter()
        .zip(raced)
        .map(|(change, &(difference, evenings))| Tried { change, difference, evenings })
        .collect()
}

fn most(
    loaded: &Loaded,
    world: World,
    (asked, all): (Asked, Vec<Change>),
    rules: Rules,
) -> Improvement {
    let (count, seed, evenings, watch) = (all.len(), rules.seed, rules.effort.last, rules.watch);
    let by_guests = rules.score == Score::Limits;
    let (changes, contest) = hold(loaded, world, all, |c| &c.edits, Change::is_like, rules);
    let refused = count - changes.len();
    let tried = tried(changes, &contest.raced);
    let before = contest.before();
    let pair = |of: [usize; 2]| {
        together(loaded, &tried, &contest.standings, before, of, ((seed, evenings), watch))
    };
    let pairs = pairs(if by_guests { contest.standings.len() } else { 0 });
    let best_pair = pairs.filter_map(pair).min_by(|a, b| b.gain.value.total_cmp(&a.gain.value));
    let grade = loaded.scenario.limits.grade;
    Improvement {
        asked,
        as_it_is: evening(&contest.finals.worlds[0], &contest.finals.trials[0]),
        guests: before,
        gives_out: contest
            .today
            .as_ref()
            .and_then(|c| c.graded(grade))
            .and_then(|g| Some((g.first?, g.pinch))),
        tried,
        tried_with: contest.guests,
        refused,
        best: contest.standings,
        together: best_pair,
        evenings,
        race: contest.finals,
    }
}

/// Every two of so many, the first ones first.
fn pairs(many: usize) -> impl Iterator<Item = [usize; 2]> {
    (0..many).flat_map(move |b| (0..b).map(move |a| [a, b]))
}

/// Two of the best in one, if they go together and take clearly more guests than either.
fn together(
    loaded: &Loaded,
    tried: &[Tried],
    best: &[Standing],
    before: Option<Whole>,
    of: [usize; 2],
    (draw, watch): ((u64, u32), &dyn Watch),
) -> Option<Together> {
    let [a, b] = [best.get(of[0])?, best.get(of[1])?];
    let edits = tried[a.entrant].change.edits.and(&tried[b.entrant].change.edits)?;
    let single = [a, b].into_iter().filter_map(|s| s.guests).map(|w| w.value).max()?;
    // most pairs take no more than the better of the two
    let guests = headcount_beyond(loaded, &edits, single, draw, watch)?;
    let more_than =
        |s: &Standing| s.guests.is_some_and(|single| clearly(gain(guests, single)) > 0.0);
    (more_than(a) && more_than(b)).then_some(Together {
        of,
        edits,
        guests,
        gain: gain(guests, before?)?,
    })
}
