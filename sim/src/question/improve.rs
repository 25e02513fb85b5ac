//! Which single change buys most, and what is the least that makes a headcount fit?

use super::capacity::Whole;
use super::changes::{Change, changes};
use super::compare::gain;
use super::contest::{Rules, Standing, clearly, entered, headcount, hold};
use super::evening::{Evening, Subject, answer as evening};

use super::race::{Effort, Race, Score};
use crate::parallel::Watch;
use crate::read::{Loaded, merged};
use crate::stats::Estimate;
use crate::world::{PinchId, World};

/// Changes told with intervals and guests gained.
pub const BEST: usize = 3;
/// Changes that are played in full where a headcount is to fit.
const FITTING: usize = 12;

/// A change that works on the floor, and how it did.
#[derive(Clone, Debug)]
pub struct Tried {
    /// The change.
    pub change: Change,
    /// Minutes lost a guest more than as it is (at the place asked for, if one was), over the evenings it was tried for.
    pub difference: f64,
    /// Evenings it was tried for.
    pub evenings: usize,
}

/// Two of the best changes in one.
#[derive(Clone, Debug)]
pub struct Together {
    /// Which of the best.
    pub of: [usize; 2],
    /// What is written under `[[option]]` for both.
    pub lines: String,
    /// Guests the house takes with both.
    pub guests: Whole,
    /// Guests gained.
    pub gain: Estimate,
}

/// The answer.
pub struct Improvement {
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
    /// The best ones, the best first: by guests clearly gained unless a place was asked for, then by minutes lost; those that take clearly fewer
    /// guests last. Where a headcount is to fit, those that make it fit by what they take, then the nearest to it.
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
    Most(Option<usize>),
    /// What makes the scenario's headcount fit.
    Fits,
}

/// Tries every single change. `world` is the house as it is.
pub fn answer(loaded: &Loaded, world: World, asked: Asked, seed: u64, effort: Effort, watch: &dyn Watch) -> Improvement {
    let all = changes(loaded, &world);
    match asked {
        Asked::Most(place) => {
            let score = place.map_or(Score::Limits, |p| Score::At(world.places[p].name.clone()));
            most(loaded, world, all, Rules { score, keep: BEST, seed, effort, watch })
        }
        Asked::Fits => fitting(loaded, world, all, Rules { score: Score::Limits, keep: FITTING, seed, effort, watch }),
    }
}

fn tried(changes: Vec<Change>, raced: &[(f64, usize)]) -> Vec<Tried> {
    changes.into_iter().zip(raced).map(|(change, &(difference, evenings))| Tried { change, difference, evenings }).collect()
}

fn most(loaded: &Loaded, world: World, all: Vec<Change>, rules: Rules) -> Improvement {
    let (count, seed, evenings, watch) = (all.len(), rules.seed, rules.effort.last, rules.watch);
    let by_guests = rules.score == Score::Limits;
    let (changes, contest) = hold(loaded, world, all, |c| &c.lines, Change::is_like, rules);
    let refused = count - changes.len();
    let tried = tried(changes, &contest.raced);
    let before = contest.before();
    let pair = |a: usize, b: usize| together(loaded, &tried, &contest.standings, before, [a, b], ((seed, evenings), watch));
    let pairs = if by_guests { [pair(0, 1), pair(0, 2)] } else { [None, None] };
    let best_pair = pairs.into_iter().flatten().max_by(|a, b| a.gain.value.total_cmp(&b.gain.value));
    let grade = loaded.scenario.limits.grade;
    Improvement {
        as_it_is: evening(&contest.finals.worlds[0], &contest.finals.trials[0]),
        guests: before,
        gives_out: contest.today.as_ref().and_then(|c| c.graded(grade)).and_then(|g| Some((g.first?, g.pinch))),
        tried,
        tried_with: contest.guests,
        refused,
        best: contest.standings,
        together: best_pair,
        evenings,
        race: contest.finals,
    }
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
    let lines = merged(&tried[a.entrant].change.lines, &tried[b.entrant].change.lines)?;
    let guests = headcount(loaded, &lines, draw, watch)?.guests()?;
    let more_than = |s: &Standing| s.guests.is_some_and(|single| clearly(gain(guests, single)) > 0.0);
    (more_than(a) && more_than(b)).then_some(Together { of, lines, guests, gain: gain(guests, before?)? })
}

/// Every change is raced at the headcount, and the best are played in full: the least that makes it fit comes first.
fn fitting(loaded: &Loaded, world: World, all: Vec<Change>, Rules { score, keep, seed, effort, watch }: Rules) -> Improvement {
    let (count, guests) = (all.len(), world.scenario.guests);
    let (changes, mut worlds) = entered(loaded, all, |c| &c.lines, guests);
    worlds.insert(0, world);
    let mut race = Race::new(worlds, seed).by(score);
    let (ranked, raced) = race.halve(keep, effort.first, &|a, b| changes[a - 1].is_like(&changes[b - 1]), watch);
    let mut worlds: Vec<Option<World>> = std::mem::take(&mut race.worlds).into_iter().map(Some).collect();
    let finalists = std::iter::once(0).chain(ranked.iter().copied());
    let mut finals = Race::new(finalists.filter_map(|v| worlds[v].take()).collect(), seed);
    let playing: Vec<usize> = (0..finals.worlds.len()).collect();
    watch.expect(u64::from(effort.last) * playing.len() as u64);
    finals.play(&playing, 0..effort.last, watch);
    let refused = count - changes.len();
    let tried = tried(changes, &raced[1..]);
    let standing = |(i, &v): (usize, &usize)| {
        let (world, lost, against) = (i + 1, finals.mean_lost(i + 1), finals.against(i + 1, 0));
        Standing { entrant: v - 1, world, lost, against, guests: None, gain: None, evening: evening(&finals.worlds[world], &finals.trials[world]) }
    };
    let mut best: Vec<Standing> = ranked.iter().enumerate().map(standing).collect();
    let strain = |s: &Standing| s.evening.limits.iter().map(|l| l.strain()).fold(0.0, f64::max);
    let key = |s: &Standing| (!s.evening.fits(), s.evening.fits().then(|| tried[s.entrant].change.what.takes()));
    best.sort_by(|a, b| key(a).cmp(&key(b)).then(strain(a).total_cmp(&strain(b))));
    best.truncate(BEST);
    let as_it_is = evening(&finals.worlds[0], &finals.trials[0]);
    Improvement { as_it_is, guests: None, gives_out: None, tried, tried_with: guests, refused, best, together: None, evenings: effort.last, race: finals }
}
