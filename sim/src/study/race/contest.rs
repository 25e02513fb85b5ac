//! Changes held against the house as it is: raced where it fills up, the best told from fresh
//! evenings, by guests first and then by time.

use crate::base::parallel::{Watch, in_order};
use crate::base::stats::Estimate;
use crate::evening::edit::Edits;
use crate::evening::scenario::Scenario;
use crate::files::Loaded;
use crate::floor::world::World;
use crate::study::capacity::effort::Effort as Search;
use crate::study::capacity::{
    Asked as Headcount, Capacity, Whole, answer as capacity, clearly, gain,
};
use crate::study::evening::{Evening, answer as evening};
use crate::study::race::{Effort, Paired, Race, Score};
use std::cmp::Ordering;

/// How an entrant does against the house as it is, over fresh evenings.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Which of the entrants that work on the floor.
    pub entrant: usize,
    /// Its house among those of the final.
    pub world: usize,
    /// Minutes lost a guest.
    pub lost: Estimate,
    /// Against the house as it is.
    pub against: Paired,
    /// Guests the house takes with it, if it has an answer.
    pub guests: Option<Whole>,
    /// Guests gained.
    pub gain: Option<Estimate>,
    /// The evening with it.
    pub evening: Evening,
}

impl Standing {
    /// Whether it saves time at the cost of guests: it is not the best then, whatever time it
    /// saves.
    pub fn takes_fewer(&self) -> bool {
        takes_fewer(self.gain)
    }

    /// Guests clearly gained: 0 where the evenings leave it open.
    pub fn clearly_gained(&self) -> f64 {
        clearly(self.gain)
    }

    /// Whether it is clearly better than the house as it is: takes more guests, or saves time and
    /// takes no fewer.
    pub fn is_better(&self) -> bool {
        is_better(self.gain, self.against)
    }
}

/// Whether clearly fewer guests are taken.
pub fn takes_fewer(gain: Option<Estimate>) -> bool {
    gain.is_some_and(|gain| gain.high.round() < 0.0)
}

/// Whether a change is clearly better: it takes more guests, or saves time and takes no fewer.
pub fn is_better(gain: Option<Estimate>, against: Paired) -> bool {
    clearly(gain) > 0.0
        || (!takes_fewer(gain) && against.is_clear() && against.difference.value < 0.0)
}

/// The better of two changes first: those that take clearly fewer guests last, then by guests
/// clearly gained, then by minutes lost.
pub fn better_first(a: (Option<Estimate>, Paired), b: (Option<Estimate>, Paired)) -> Ordering {
    takes_fewer(a.0)
        .cmp(&takes_fewer(b.0))
        .then(clearly(b.0).total_cmp(&clearly(a.0)))
        .then(a.1.difference.value.total_cmp(&b.1.difference.value))
}

/// The outcome.
pub struct Contest {
    /// The house as it is, then that of each standing, over the same fresh evenings with the
    /// scenario's guests.
    pub finals: Race,
    /// The best entrants, the best first.
    pub standings: Vec<Standing>,
    /// The headcount of the house as it is, by the search `capacity` does.
    pub today: Option<Capacity>,
    /// For each entrant that works on the floor, minutes lost a guest more than as it is, and the
    /// evenings it was raced for.
    pub raced: Vec<(f64, usize)>,
    /// Guests in the race.
    pub guests: u32,
}

impl Contest {
    /// Guests the house takes as it is.
    pub fn before(&self) -> Option<Whole> {
        self.today.as_ref().and_then(|c| c.guests())
    }
}

/// What is held against what.
pub struct Rules<'a> {
    /// What counts.
    pub score: Score,
    /// So many of the best are told.
    pub keep: usize,
    /// Seed.
    pub seed: u64,
    /// Evenings.
    pub effort: Effort,
    /// Who counts evenings.
    pub watch: &'a dyn Watch,
}

/// The house with changes and so many guests, if it works on the floor, beside the house as it is.
pub fn changed(world: &World, loaded: &Loaded, edits: &Edits, guests: u32) -> Option<World> {
    let (plan, scenario) = loaded.with(edits).ok()?;
    world.beside(plan, Scenario { guests, ..scenario }).ok()
}

/// The headcount with changes, by the search that `capacity` does with the same seed; a
/// shorter one beside few evenings.
pub fn headcount(
    loaded: &Loaded,
    edits: &Edits,
    (seed, evenings): (u64, u32),
    watch: &dyn Watch,
) -> Option<Capacity> {
    searched(loaded, edits, seed, Search::beside(evenings), watch)
}

/// The same, if it is more than so many guests.
pub fn headcount_beyond(
    loaded: &Loaded,
    edits: &Edits,
    beyond: u32,
    (seed, evenings): (u64, u32),
    watch: &dyn Watch,
) -> Option<Whole> {
    let effort = Search { beyond, ..Search::beside(evenings) };
    searched(loaded, edits, seed, effort, watch)?.guests().filter(|w| w.value > beyond)
}

fn searched(
    loaded: &Loaded,
    edits: &Edits,
    seed: u64,
    effort: Search,
    watch: &dyn Watch,
) -> Option<Capacity> {
    let (plan, scenario) = loaded.with(edits).ok()?;
    let asked = Headcount { place: None, all_grades: false, seed, effort };
    capacity(&plan, &scenario, asked, watch).ok()
}

/// Entrants with their houses, as far as they work on the floor.
pub fn entered<T>(
    world: &World,
    loaded: &Loaded,
    entrants: Vec<T>,
    edits: impl Fn(&T) -> &Edits + Sync,
    guests: u32,
) -> (Vec<T>, Vec<World>)
where
    T: Sync,
{
    let built = in_order(&entrants, |e| changed(world, loaded, edits(e), guests), &|| ());
    entrants.into_iter().zip(built).filter_map(|(e, w)| Some((e, w?))).unzip()
}

/// Holds entrants against the house as it is, `world`. They are raced at the headcount at which the
/// house gives out, where what would let it take more shows; if only a place counts, at the
/// scenario's. Returns the entrants that work on the floor with the outcome.
pub fn hold<T>(
    loaded: &Loaded,
    world: World,
    entrants: Vec<T>,
    edits: impl Fn(&T) -> &Edits + Sync,
    alike: impl Fn(&T, &T) -> bool,
    rules: Rules,
) -> (Vec<T>, Contest)
where
    T: Sync,
{
    let (seed, last, watch) = (rules.seed, rules.effort.last, rules.watch);
    let today = headcount(loaded, &Edits::default(), (seed, last), watch);
    let before = today.as_ref().and_then(|c| c.guests());
    let by_guests = rules.score == Score::Limits;
    let full = before.map(|w| w.value).filter(|n| by_guests && *n > 0);
    let guests = full.unwrap_or(world.scenario.guests);
    let (entrants, mut worlds) = entered(&world, loaded, entrants, &edits, guests);
    let Some(base) = changed(&world, loaded, &Edits::default(), guests) else {
        let finals = Race::new(vec![world], seed);
        let nothing = Contest { finals, standings: vec![], today, raced: vec![], guests };
        return (vec![], nothing);
    };
    worlds.insert(0, base);
    let mut race = Race::new(worlds, seed).by(rules.score.clone());
    let are_alike = |a: usize, b: usize| alike(&entrants[a - 1], &entrants[b - 1]);
    let (ranked, raced) = race.halve(rules.keep, rules.effort.first, &are_alike, watch);
    drop(race);
    let house = |v: &usize| {
        let house = changed(&world, loaded, edits(&entrants[v - 1]), world.scenario.guests)?;
        Some((v - 1, house))
    };
    let (best, houses): (Vec<usize>, Vec<World>) = ranked.iter().filter_map(house).unzip();
    let finals = finals(world, houses, &rules);
    let takes = |entrant: usize| {
        headcount(loaded, edits(&entrants[entrant]), (seed, last), watch)?.guests()
    };
    let standings = best.iter().enumerate();
    let standings = standings.map(|(i, &e)| standing(&finals, i + 1, e, (takes(e), before)));
    let standings = ranked_by(standings.collect(), by_guests);
    let raced = raced.into_iter().skip(1).collect();
    (entrants, Contest { finals, standings, today, raced, guests })
}

/// The house as it is and the best others, over the same fresh evenings.
fn finals(world: World, houses: Vec<World>, rules: &Rules) -> Race {
    let worlds = std::iter::once(world).chain(houses).collect();
    let mut finals = Race::new(worlds, rules.seed).by(rules.score.clone());
    let all: Vec<usize> = (0..finals.worlds.len()).collect();
    rules.watch.expect(u64::from(rules.effort.last) * all.len() as u64);
    finals.play(&all, 0..rules.effort.last, rules.watch);
    finals
}

/// How one of the houses of the final does, given the guests it takes and those taken as it is.
fn standing(
    finals: &Race,
    world: usize,
    entrant: usize,
    (guests, before): (Option<Whole>, Option<Whole>),
) -> Standing {
    Standing {
        entrant,
        world,
        lost: finals.mean_lost(world),
        against: finals.against(world, 0),
        guests,
        gain: guests.zip(before).and_then(|(now, before)| gain(now, before)),
        evening: evening(&finals.worlds[world], &finals.trials[world]),
    }
}

/// The best first. Where a place was asked for, what counts is lost there: guests only where they
/// are fewer.
fn ranked_by(mut standings: Vec<Standing>, by_guests: bool) -> Vec<Standing> {
    let counts = |s: &Standing| (s.gain.filter(|_| by_guests || s.takes_fewer()), s.against);
    standings.sort_by(|a, b| better_first(counts(a), counts(b)));
    standings
}
