//! Which single change buys most, and what is the least that makes a headcount fit?

use super::capacity::{Asked as Headcount, Whole, answer as capacity};
use super::changes::{Change, changes};
use super::compare::gain;
use super::evening::{Evening, Subject, answer as evening};
use super::headcount::Effort as Search;
use super::race::{Effort, Paired, Race, Score, changed, distinct};
use crate::parallel::{Watch, in_order};
use crate::read::Loaded;
use crate::stats::Estimate;
use crate::world::{PinchId, World};
use std::cmp::Ordering;

/// Changes told with intervals and guests gained.
pub const BEST: usize = 3;

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

/// One of the best, over fresh evenings.
#[derive(Clone, Debug)]
pub struct Best {
    /// Which of those tried.
    pub tried: usize,
    /// Against the house as it is.
    pub against: Paired,
    /// Guests the house takes with it, if it has an answer.
    pub guests: Option<Whole>,
    /// Guests gained.
    pub gain: Option<Estimate>,
    /// The evening with it.
    pub evening: Evening,
    /// The house with it.
    pub world: usize,
}

impl Best {
    /// Whether it saves time at the cost of guests: it is not the best then, whatever time it saves.
    pub fn takes_fewer(&self) -> bool {
        self.gain.is_some_and(|gain| gain.high < 0.0)
    }

    /// Guests clearly gained: 0 where the evenings leave it open.
    pub fn clearly_gained(&self) -> f64 {
        self.gain.filter(|gain| gain.low > 0.0).map_or(0.0, |gain| gain.value)
    }
}

/// The answer.
pub struct Improvement {
    /// Houses: as it is, then with each change.
    pub race: Race,
    /// The evening as it is.
    pub as_it_is: Evening,
    /// Guests it takes as it is, if that was asked and has an answer.
    pub guests: Option<Whole>,
    /// What gives out first beyond them, and the worst spot of floor if that is what jams.
    pub gives_out: Option<(Subject, Option<PinchId>)>,
    /// Every change that works on the floor.
    pub tried: Vec<Tried>,
    /// Changes that do not work on the floor.
    pub refused: usize,
    /// The best ones, the best first: those that take clearly fewer guests last, those with which the guests fit first, then by guests clearly
    /// gained unless a place was asked for, then by minutes lost. Where a headcount is to fit, those that make it fit by what they take, then the
    /// nearest to it.
    pub best: Vec<Best>,
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
    let count = all.len();
    let built = in_order(&all, |c| changed(loaded, &c.lines), &|| ());
    let (changes, mut worlds): (Vec<Change>, Vec<World>) = all.into_iter().zip(built).filter_map(|(c, w)| Some((c, w?))).unzip();
    let refused = count - changes.len();
    worlds.insert(0, world);
    let score = match asked {
        Asked::Most(Some(place)) => Score::At(worlds[0].places[place].name.clone()),
        Asked::Most(None) => Score::Limits,
        Asked::Fits => Score::All,
    };
    let mut race = Race::new(worlds, seed).by(score);
    match asked {
        Asked::Most(_) => most(loaded, race, changes, refused, (seed, effort), watch),
        Asked::Fits => {
            let all: Vec<usize> = (0..race.worlds.len()).collect();
            watch.expect(u64::from(effort.last) * all.len() as u64);
            race.play(&all, 0..effort.last, watch);
            fitting(race, changes, refused, effort.last)
        }
    }
}

fn most(loaded: &Loaded, mut race: Race, changes: Vec<Change>, refused: usize, (seed, effort): (u64, Effort), watch: &dyn Watch) -> Improvement {
    let (ranked, raced) = race.halve(BEST, effort, &|a, b| changes[a - 1].is_like(&changes[b - 1]), watch);
    let tried: Vec<Tried> =
        changes.into_iter().zip(raced.into_iter().skip(1)).map(|(change, (difference, evenings))| Tried { change, difference, evenings }).collect();
    let headcount = |lines: &str| {
        let (plan, scenario) = if lines.is_empty() { (loaded.plan.clone(), loaded.scenario.clone()) } else { loaded.with(lines).ok()? };
        capacity(&plan, &scenario, Headcount { place: None, all_grades: false, seed, effort: Search::QUICK }, watch).ok()
    };
    let today = headcount("");
    let before = today.as_ref().and_then(|c| c.guests());
    let mut best: Vec<Best> = ranked
        .into_iter()
        .map(|v| {
            let now = headcount(&tried[v - 1].change.lines).and_then(|c| c.guests());
            let gained = now.zip(before).and_then(|(now, before)| gain(now, before));
            Best { tried: v - 1, against: race.against(v, 0), guests: now, gain: gained, evening: evening(&race.worlds[v], &race.trials[v]), world: v }
        })
        .collect();
    let by_guests = *race.score() == Score::Limits;
    best.sort_by(|a, b| {
        let refuses = |x: &Best| (x.takes_fewer(), !x.evening.fits());
        let gained = || if by_guests { b.clearly_gained().total_cmp(&a.clearly_gained()) } else { Ordering::Equal };
        refuses(a).cmp(&refuses(b)).then_with(gained).then(a.against.difference.value.total_cmp(&b.against.difference.value))
    });
    let as_it_is = evening(&race.worlds[0], &race.trials[0]);
    let gives_out = today.and_then(|c| c.graded(loaded.scenario.limits.grade).and_then(|g| Some((g.first?, g.pinch))));
    Improvement { as_it_is, guests: before, gives_out, tried, refused, best, evenings: effort.last, race }
}

fn fitting(race: Race, changes: Vec<Change>, refused: usize, evenings: u32) -> Improvement {
    let tried: Vec<Tried> = changes
        .into_iter()
        .enumerate()
        .map(|(i, change)| Tried { change, difference: race.against(i + 1, 0).difference.value, evenings: evenings as usize })
        .collect();
    let each: Vec<Evening> = (1..race.worlds.len()).map(|w| evening(&race.worlds[w], &race.trials[w])).collect();
    let strain = |t: usize| each[t].limits.iter().map(|l| l.strain()).fold(0.0, f64::max);
    let key = |t: usize| (!each[t].fits(), each[t].fits().then(|| tried[t].change.what.takes()));
    let mut ranked: Vec<usize> = (0..tried.len()).collect();
    ranked.sort_by(|&a, &b| key(a).cmp(&key(b)).then(strain(a).total_cmp(&strain(b))));
    let best = distinct(&ranked, &|a, b| tried[a].change.is_like(&tried[b].change)).into_iter().take(BEST);
    let best = best.map(|t| Best { tried: t, against: race.against(t + 1, 0), guests: None, gain: None, evening: each[t].clone(), world: t + 1 }).collect();
    Improvement { as_it_is: evening(&race.worlds[0], &race.trials[0]), guests: None, gives_out: None, tried, refused, best, evenings, race }
}
