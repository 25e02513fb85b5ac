//! Jams: at each second, the circles of floor in which somebody is held up among others, and for
//! how long.

use super::{BIN, Jam, Tally};
use crate::base::units::{TICKS, Tick};
use crate::crowd::bodies::{BodyId, Floor, Reach};
use crate::floor::world::{PINCH_RADIUS, PinchId, World};
use std::collections::{BTreeMap, BTreeSet};

/// A jam: somebody is held up in a circle that holds so many people, whatever they are doing. Two
/// who meet settle it between them; it takes a third, who stands, waits or comes, to shut a way.
/// That three should be held up in the same second was tried: with 60 guests in a house of 490 sq
/// ft fewer than one of them walks at a time, and it happens for a second an evening, though
/// somebody is held up for seven minutes.
const JAM_PEOPLE: usize = 3;
/// Leaving begins this many seconds before the end: two thirds leave within 20 min of it.
const RUSH: f64 = 1200.0;
/// Jams with no more than so many seconds between them are told as one.
const ONE_JAM: u32 = 10;

/// The jam that is on, and when the leaving rush begins.
pub(super) struct Jams {
    /// Seconds of the jam that is on, by spot.
    on: BTreeMap<PinchId, u32>,
    /// First and last second of it.
    span: (u32, u32),
    rush: u32,
}

impl Jams {
    pub(super) fn new(world: &World) -> Jams {
        let rush = (world.scenario.lead() + world.scenario.lasts - RUSH).max(0.0) as u32;
        let rush = if world.scenario.is_scripted() { u32::MAX } else { rush };
        Jams { on: BTreeMap::new(), span: (0, 0), rush }
    }

    /// Looks for jams at a second, among those held up.
    pub(super) fn second(
        &mut self,
        world: &World,
        floor: &Floor,
        held: &[BodyId],
        second: u32,
        tally: &mut Tally,
    ) {
        if !self.on.is_empty() && second > self.span.1 + ONE_JAM {
            self.close(tally);
        }
        let now = Tick::from(second) * TICKS;
        let jammed: BTreeSet<PinchId> =
            held.iter().flat_map(|&id| jammed_round(world, floor, id, now)).collect();
        jammed.into_iter().for_each(|pinch| self.jam(pinch, second, tally));
    }

    fn jam(&mut self, pinch: PinchId, second: u32, tally: &mut Tally) {
        if self.on.is_empty() {
            self.span.0 = second;
        }
        self.span.1 = second;
        *self.on.entry(pinch).or_default() += 1;
        if second < self.rush {
            *tally.jammed.entry(pinch).or_default() += 1;
            *tally.jam_bins.entry((pinch, second / BIN)).or_default() += 1;
        } else {
            *tally.jammed_leaving.entry(pinch).or_default() += 1;
        }
    }

    /// Tells the jam that was on: at the spot where it lasted longest.
    pub(super) fn close(&mut self, tally: &mut Tally) {
        let longest = std::mem::take(&mut self.on)
            .into_iter()
            .max_by_key(|&(pinch, seconds)| (seconds, std::cmp::Reverse(pinch)));
        if let Some((pinch, seconds)) = longest {
            tally.jams.push(Jam {
                pinch,
                from: self.span.0,
                to: self.span.1,
                seconds,
                leaving: self.span.0 >= self.rush,
            });
        }
    }
}

/// The spots round somebody held up whose circle holds enough people, with no wall or furniture
/// between them and its middle.
fn jammed_round(world: &World, floor: &Floor, id: BodyId, now: Tick) -> Vec<PinchId> {
    let me = &floor.bodies[id];
    let mine = me.at(now);
    let mut people = vec![mine];
    floor.near(me.to, Reach::ALL, id, |other| {
        let at = other.at(now);
        if super::distance(at, mine) <= 2.0 * PINCH_RADIUS {
            people.push(at);
        }
    });
    if people.len() < JAM_PEOPLE {
        return vec![];
    }
    let people: Vec<(f64, f64)> = people.into_iter().map(|p| world.below(p)).collect();
    let sees = |middle: (f64, f64), p: (f64, f64)| {
        super::distance(middle, p) <= PINCH_RADIUS && world.grid.is_clear_line(middle, p, 0.0)
    };
    let holds = |&pinch: &PinchId| {
        let middle = world.pinches.get(pinch).at;
        sees(middle, people[0])
            && people[1..].iter().filter(|&&p| sees(middle, p)).take(JAM_PEOPLE - 1).count()
                == JAM_PEOPLE - 1
    };
    world.pinches.around(people[0]).filter(holds).collect()
}
