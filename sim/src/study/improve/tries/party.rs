//! The party at other times: food comes earlier, guests come over a longer time.

use crate::evening::edit::{Edits, EveningEdit};
use crate::evening::scenario::{Arrivals, MIDDLE_80, NINE_IN_TEN, Serves};
use crate::floor::world::World;
use crate::study::improve::change::{Change, What};

/// Food comes earlier by so many minutes.
const EARLIER: u32 = 30;
/// Arrivals are spread over so many times as long.
const STAGGERED: f64 = 1.5;
/// Guests are asked to come within such a share of the evening (our own judgement: who comes later
/// finds others leaving).
const COMING: f64 = 2.0 / 3.0;

/// Food half an hour earlier.
pub(super) fn earlier(world: &World) -> Option<Change> {
    let s = &world.scenario;
    world.spots_for(Serves::Food).first().filter(|_| s.needs.meal)?;
    // all are called at once, whatever is said of a single spot
    let at = f64::from(s.start) + s.serving_of("", Serves::Food).at / 60.0 - f64::from(EARLIER);
    let minutes = at.round().rem_euclid(1440.0) as u32;
    Some(Change {
        what: What::FoodEarlier(EARLIER),
        edits: Edits::of_evening([EveningEdit::ServedAt(Serves::Food, minutes)]),
    })
}

/// Guests asked to come over a longer time.
pub(super) fn staggered(world: &World) -> Option<Change> {
    let Arrivals::Curve { b, lead, .. } = world.scenario.arrivals else {
        return None;
    };
    let now = (b * MIDDLE_80).round();
    let then = (now * STAGGERED).round();
    let late = STAGGERED * b * NINE_IN_TEN - lead;
    // nobody is asked to come after the food is served
    let served =
        world.scenario.needs.meal.then(|| world.scenario.serving_of("", Serves::Food).at / 60.0);
    let fits = then * 60.0 <= world.scenario.lasts * COMING && served.is_none_or(|at| late <= at);
    fits.then(|| Change {
        what: What::Staggered(now as u32, then as u32),
        edits: Edits::of_evening([EveningEdit::MostWithin(then as u32)]),
    })
}
