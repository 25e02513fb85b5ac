//! Which is the least change that makes a headcount fit? Changes of each sort of effort are raced at
//! the headcount, the best of each are played in full, and the least that makes it fit comes first.
//! What is told of them comes from evenings that chose nothing.

use super::change::{Change, Takes};
use super::{Asked, BEST, Improvement, Tried, tried};
use crate::base::parallel::Watch;
use crate::evening::edit::Edits;
use crate::files::Loaded;
use crate::floor::world::World;
use crate::study::evening::{Evening, answer as evening};
use crate::study::race::Race;
use crate::study::race::contest::{Rules, Standing, changed, entered};
use std::collections::BTreeMap;

/// Changes of each sort of effort that are played in full.
pub(super) const KEPT: usize = 4;
/// Evenings that choose among the last are numbered from here: none that is told is among them.
const CHOOSING: u32 = 3_000_000;

/// Changes that were raced, and the houses of those that are played in full.
struct Heats {
    tried: Vec<Tried>,
    /// The house as it is, then those of the best of each sort.
    worlds: Vec<World>,
    /// Which change made each of them, but for the first.
    entrants: Vec<usize>,
}

/// Tries changes at the scenario's headcount.
pub(super) fn fitting(
    loaded: &Loaded,
    world: World,
    all: Vec<Change>,
    rules: Rules,
) -> Improvement {
    let (count, guests, evenings) = (all.len(), world.scenario.guests, rules.effort.last);
    let mut heats = Heats { tried: vec![], worlds: vec![world], entrants: vec![] };
    for takes in Takes::ALL {
        let sort = all.iter().filter(|c| c.what.takes() == takes).cloned().collect();
        heats.race(loaded, sort, guests, &rules);
    }
    let Heats { tried, worlds, entrants } = heats;
    let takes = |world: usize| tried[entrants[world - 1]].change.what.takes();
    let (finals, chosen) = finals(worlds, &takes, &rules);
    let best = chosen.iter().map(|&w| standing(&finals, w, entrants[w - 1])).collect();
    Improvement {
        asked: Asked::Fits,
        as_it_is: told(&finals, 0),
        guests: None,
        gives_out: None,
        refused: count - tried.len(),
        tried,
        tried_with: guests,
        best,
        together: None,
        evenings,
        race: finals,
    }
}

impl Heats {
    /// Races changes of a sort against the house as it is, and keeps the best.
    fn race(&mut self, loaded: &Loaded, sort: Vec<Change>, guests: u32, rules: &Rules) {
        let today = &self.worlds[0];
        let (sort, houses) = entered(today, loaded, sort, |c| &c.edits, guests);
        let base = changed(today, loaded, &Edits::default(), guests);
        let Some(base) = base.filter(|_| !sort.is_empty()) else {
            return;
        };
        let field = std::iter::once(base).chain(houses).collect();
        let mut race = Race::new(field, rules.seed).by(rules.score.clone());
        let is_like = |a: usize, b: usize| sort[a - 1].is_like(&sort[b - 1]);
        let (ranked, raced) = race.halve(rules.keep, rules.effort.first, &is_like, rules.watch);
        let mut houses: Vec<Option<World>> = race.worlds.into_iter().map(Some).collect();
        self.worlds.extend(ranked.iter().filter_map(|&v| houses[v].take()));
        self.entrants.extend(ranked.iter().map(|v| self.tried.len() + v - 1));
        self.tried.extend(tried(sort, &raced[1..]));
    }
}

/// The best of all sorts, chosen on evenings of their own and played on fresh ones with the house
/// as it is; the best first.
fn finals(worlds: Vec<World>, takes: &dyn Fn(usize) -> Takes, rules: &Rules) -> (Race, Vec<usize>) {
    let (last, watch): (u32, &dyn Watch) = (rules.effort.last, rules.watch);
    let mut finals = Race::new(worlds, rules.seed);
    watch.expect(u64::from(last) * (finals.worlds.len() + BEST) as u64);
    let mut chosen: Vec<usize> = (1..finals.worlds.len()).collect();
    finals.play(&chosen, CHOOSING..CHOOSING + last, watch);
    least_first(&finals, takes, &mut chosen);
    chosen.truncate(BEST);
    finals.forget();
    let played: Vec<usize> = std::iter::once(0).chain(chosen.iter().copied()).collect();
    finals.play(&played, 0..last, watch);
    least_first(&finals, takes, &mut chosen);
    (finals, chosen)
}

fn told(finals: &Race, world: usize) -> Evening {
    evening(&finals.worlds[world], &finals.trials[world])
}

fn standing(finals: &Race, world: usize, entrant: usize) -> Standing {
    Standing {
        entrant,
        world,
        lost: finals.mean_lost(world),
        against: finals.against(world, 0),
        guests: None,
        gain: None,
        evening: told(finals, world),
    }
}

/// Houses in which every limit holds first, by what they take and how far off the nearest limit is,
/// then the nearest to it: those whose limits together are least over their bounds.
fn least_first(finals: &Race, takes: &dyn Fn(usize) -> Takes, worlds: &mut [usize]) {
    let key = |world: usize| {
        let e = told(finals, world);
        let strain = if e.fits() { e.most_strain() } else { e.all_over() };
        ((!e.fits(), e.fits().then(|| takes(world))), strain)
    };
    let keys: BTreeMap<usize, _> = worlds.iter().map(|&w| (w, key(w))).collect();
    worlds.sort_by(|a, b| keys[a].0.cmp(&keys[b].0).then(keys[a].1.total_cmp(&keys[b].1)));
}
