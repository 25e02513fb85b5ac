//! Jams: who was held up lately in each place, and whether enough of them were near one another.

use super::{BIN, Jam, Tally, distance};
use crate::floor::{BodyId, Floor};
use crate::units::{FOOT, TICKS, Tick};
use crate::world::World;
use std::collections::BTreeMap;

/// A jam: so many different guests held up in one place …
const JAM_PEOPLE: usize = 3;
/// … each within this many metres of where another was (5 ft) …
const JAM_REACH: f64 = 5.0 * FOOT;
/// … within so many seconds. Fixed after looking at the demos from 10 to 60 guests: a rule that asks for three held up
/// at once, at every second for 20 s, is hardly ever met below 8 sq ft a guest, because somebody always gets through;
/// with this one the row house crosses 10 % where the home rule of 16 sq ft a guest puts it.
const JAM_WITHIN: u32 = 30;
/// Leaving begins this many seconds before the end: two thirds leave within 20 min of it.
const RUSH: f64 = 1200.0;

/// Somebody held up at a second.
#[derive(Clone, Copy, Debug)]
struct HeldUp {
    second: u32,
    id: BodyId,
    at: (f64, f64),
}

/// Those held up lately, and the jams that last.
pub(super) struct Jams {
    /// Who was held up lately, when and where, by place.
    lately: Vec<Vec<HeldUp>>,
    /// The jam that lasts at a place, as an index of the tally's.
    open: BTreeMap<usize, usize>,
    /// Second at which the leaving rush begins.
    rush: u32,
}

impl Jams {
    pub(super) fn new(world: &World) -> Jams {
        let rush = (world.scenario.lead() + world.scenario.lasts - RUSH).max(0.0) as u32;
        let rush = if world.scenario.errands.is_empty() { rush } else { u32::MAX };
        Jams { lately: vec![vec![]; world.places.len()], open: BTreeMap::new(), rush }
    }

    /// Looks for jams at a second, among those held up.
    pub(super) fn second(&mut self, world: &World, floor: &Floor, held: &[BodyId], second: u32, tally: &mut Tally) {
        if held.is_empty() && self.lately.iter().all(Vec::is_empty) {
            return;
        }
        for &id in held {
            let at = floor.bodies[id].at(Tick::from(second) * TICKS);
            if let Some(place) = world.place_at(at.0, at.1) {
                self.lately[place].push(HeldUp { second, id, at: world.below(at) });
            }
        }
        for place in 0..self.lately.len() {
            self.lately[place].retain(|h| h.second + JAM_WITHIN > second);
            if together(&self.lately[place]) >= JAM_PEOPLE {
                self.jam(place, second, tally);
            } else {
                self.open.remove(&place);
            }
        }
    }

    /// A second of jam at a place.
    fn jam(&mut self, place: usize, second: u32, tally: &mut Tally) {
        let first = self.lately[place].first().map_or(second, |h| h.second);
        let index = *self.open.entry(place).or_insert_with(|| {
            tally.jams.push(Jam { place, from: first, to: second, leaving: first >= self.rush });
            tally.jams.len() - 1
        });
        let jam = &mut tally.jams[index];
        let seconds = if jam.to == second { second - jam.from + 1 } else { second - jam.to };
        jam.to = second;
        if !jam.leaving {
            *tally.jam_bins.entry((place as u16, second / BIN)).or_default() += seconds;
        }
    }
}

/// How many different guests were held up within reach of where another was.
fn together(held: &[HeldUp]) -> usize {
    let linked = |h: &HeldUp| held.iter().any(|o| o.id != h.id && distance(o.at, h.at) <= JAM_REACH);
    let mut ids: Vec<BodyId> = held.iter().filter(|h| linked(h)).map(|h| h.id).collect();
    ids.sort_unstable();
    ids.dedup();
    ids.len()
}
