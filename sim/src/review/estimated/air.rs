//! Air and warmth: carbon dioxide as a cue to open doors, and the heat guests bring. No health advice
//! and no design of ventilation.

use crate::house::plan::{Plan, Use};
use crate::review::estimated::lacks::Lacks;
use crate::review::estimated::noise::volume;
use crate::review::verdict::{AtMost, Verdict};

/// Carbon dioxide of a guest who stands and talks, in L/s (0.0052 at 1.2 met: ASHRAE 62.1, from
/// memory; more at a party).
pub const PARTY: f64 = 0.006;
/// Fresh air of a closed house, volumes an hour (example of a mass balance; 0.35 is usual).
const CLOSED: f64 = 0.35;
/// Outdoor air, in ppm.
const OUTDOORS: f64 = 420.0;
/// Heat of a standing guest, in W: sensible, and in all (ASHRAE Fundamentals 2013, ch. 18, table 1).
pub const HEAT: [f64; 2] = [75.0, 130.0];
/// A clear height of a patio door, in meters (6 ft 8 in).
const DOOR: f64 = 2.03;

/// Carbon dioxide over outdoors in the long run, in ppm, with so much fresh air each in L/s.
pub fn steady(each: f64, fresh: f64) -> f64 {
    each / fresh * 1e6
}

/// Carbon dioxide after some hours, in ppm, of guests who give off `each` L/s, in a volume of m3 with
/// `fresh` m3/s, from 600 ppm.
pub fn after(guests: f64, each: f64, volume: f64, fresh: f64, hours: f64) -> f64 {
    const BEFORE: f64 = 600.0;
    let long_run = OUTDOORS + steady(each, fresh * 1000.0 / guests.max(1.0));
    long_run + (BEFORE - long_run) * (-fresh * hours * 3600.0 / volume).exp()
}

/// Air through an open door with no wind, in m3/s: Cd A / 3 sqrt(g H dT / T), Cd 0.6 (Warren; BS
/// 5925; from memory).
pub fn through_door(width: f64, height: f64, warmer: f64) -> f64 {
    const KELVIN: f64 = 293.0;
    0.6 * width * height / 3.0 * (9.81 * height * warmer / KELVIN).sqrt()
}

/// Air of an evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Guests.
    pub guests: u32,
    /// Carbon dioxide after an hour with doors shut, in ppm.
    pub shut: f64,
    /// The same with the widest door to the outdoors open, and 5 K warmer inside; none without one.
    pub open: Option<f64>,
    /// Whether doors stay shut that evening.
    pub stays_shut: bool,
    /// Heat they bring, in W: sensible, and in all.
    pub heat: [f64; 2],
}

/// About 700 ppm over outdoors (7.5 L/s each) pleases 8 visitors in 10 (ASHRAE technical FAQ 35);
/// twice that is stuffy to most (common practice).
const STUFFY: AtMost = AtMost(OUTDOORS + 700.0, OUTDOORS + 1400.0);

impl Air {
    /// With a door open, if there is one and the weather is for it. On an evening for shut doors,
    /// opening one for a while helps: then what would be stuffy is tight.
    pub fn verdict(&self) -> Verdict {
        let shut = STUFFY.of(self.shut);
        match self.open.map(|open| STUFFY.of(open.min(self.shut))) {
            Some(open) if !self.stays_shut => open,
            Some(Verdict::Passes) if shut == Verdict::Fails => Verdict::Tight,
            _ => shut,
        }
    }
}

/// Air of so many guests, on an evening when doors stay shut or not; what is lacking where the plan
/// does not say enough.
pub fn air(plan: &Plan, guests: Option<u32>, stays_shut: bool) -> Result<Air, Lacks> {
    let guests = guests.ok_or(Lacks::Guests)?;
    let shut_off = |usage: Use| usage.is_set_apart() || matches!(usage, Use::Kids | Use::Outdoors);
    let some = plan.rooms.iter().any(|r| !shut_off(r.usage));
    let rooms = plan
        .rooms
        .iter_enumerated()
        .filter(|(_, r)| r.usage != Use::Outdoors && (!some || !shut_off(r.usage)));
    let volumes = rooms.map(|(r, _)| volume(plan, r).ok_or(Lacks::Ceiling(r)));
    let volume = volumes.sum::<Result<f64, Lacks>>()?;
    let closed = CLOSED * volume / 3600.0;
    let to_air = plan.openings.iter().filter(|o| {
        let outdoors = o.rooms().any(|r| plan.rooms[r].usage == Use::Outdoors);
        o.to_outside() || outdoors
    });
    let door = to_air.map(|o| o.clear).reduce(f64::max);
    let n = f64::from(guests);
    Ok(Air {
        guests,
        shut: after(n, PARTY, volume, closed, 1.0),
        stays_shut,
        open: door.map(|w| after(n, PARTY, volume, closed + through_door(w, DOOR, 5.0), 1.0)),
        heat: HEAT.map(|each| n * each),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seven_and_a_half_liters_each_are_700_ppm() {
        let found = steady(0.0052, 7.5);
        assert!((found - 693.0).abs() < 1.0 && (found / 700.0 - 1.0).abs() < 0.02, "{found}");
    }

    #[test]
    fn ten_standing_guests_heat_as_ashrae_says() {
        assert_eq!(HEAT.map(|w| 10.0 * w), [750.0, 1300.0]);
    }

    #[test]
    fn an_open_door_brings_air_for_28_guests() {
        // 0.9 by 2.0 m, 5 K: 0.21 m3/s
        assert!((through_door(0.9, 2.0, 5.0) - 0.21).abs() < 0.005);
    }

    #[test]
    fn a_closed_house_fills_up() {
        // 40 guests, 300 m3, 0.0052 L/s each: 0.35 volumes an hour, and 3
        for (changes, expected) in
            [(0.35, [1716.0, 2653.0, 4099.0]), (3.0, [1107.0, 1220.0, 1250.0])]
        {
            for (hours, ppm) in [0.5, 1.0, 2.0].into_iter().zip(expected) {
                let found = after(40.0, 0.0052, 300.0, changes * 300.0 / 3600.0, hours);
                assert!((found - ppm).abs() < 2.0, "{found} ppm, not {ppm}");
            }
        }
    }
}
