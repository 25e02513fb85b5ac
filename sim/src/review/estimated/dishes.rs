//! Plates and glasses against what is owned; loads and hours of dishwashers.

use crate::evening::scenario::Occasion;
use crate::house::plan::Plan;
use crate::house::plan::catalog::Kind;
use crate::review::verdict::{AtMost, Verdict};

/// Pieces a guest uses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pieces {
    /// Glasses: 3 (rental notes: 2 to 4).
    pub glasses: f64,
    /// Cups.
    pub cups: f64,
    /// Plates, small ones too: a buffet 1.75 and 1.25 for dessert, bites 2 small ones (rental
    /// notes).
    pub plates: f64,
    /// Forks, knives and spoons.
    pub cutlery: f64,
}

/// What a guest uses by occasion (rental notes; sums are arithmetic).
pub fn pieces(occasion: Occasion) -> Pieces {
    match occasion {
        Occasion::Cocktails => Pieces { glasses: 3.0, cups: 0.0, plates: 2.0, cutlery: 1.0 },
        Occasion::Buffet => Pieces { glasses: 3.0, cups: 1.0, plates: 3.0, cutlery: 4.0 },
    }
}

/// Place settings of a 24 in machine whose file says nothing: 12 to 16 are usual (trade).
pub const SETTINGS: u32 = 14;
/// Of a setting: a glass and a cup, three plates and bowls, five pieces of cutlery (appliance notes).
const A_SETTING: [f64; 3] = [2.0, 3.0, 5.0];
/// Hours of a load: a cycle of 2 (90 min to 2.5 h: trade) and 20 min to unload and load again
/// (common practice).
pub const HOURS: f64 = 2.0 + 20.0 / 60.0;

/// Loads of so many guests in machines of so many settings: that of the fullest rack.
pub fn loads(guests: u32, p: Pieces, settings: u32) -> u32 {
    let n = f64::from(guests);
    let racks = [p.glasses + p.cups, p.plates, p.cutlery];
    let each =
        racks.iter().zip(A_SETTING).map(|(used, held)| n * used / (held * f64::from(settings)));
    each.fold(0.0, f64::max).ceil() as u32
}

/// Dishes of an evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dishes {
    /// Guests reckoned with.
    pub guests: u32,
    /// Place settings of one machine.
    pub settings: u32,
    /// Machines in the plan.
    pub machines: u32,
    /// Loads in all.
    pub loads: u32,
    /// Glasses and plates they use.
    pub used: [u32; 2],
    /// Glasses and plates owned, if said.
    pub owned: [Option<u32>; 2],
}

impl Dishes {
    /// Hours with so many machines.
    pub fn hours(&self, machines: u32) -> f64 {
        f64::from(self.loads.div_ceil(machines.max(1))) * HOURS
    }

    /// Whether glasses and plates last without washing; unknown unless said.
    pub fn owned(&self) -> Verdict {
        let one = |k: usize| match self.owned[k] {
            None => Verdict::Unknown,
            Some(n) if n >= self.used[k] => Verdict::Passes,
            Some(n) if 2 * n >= self.used[k] => Verdict::Tight,
            Some(_) => Verdict::Fails,
        };
        one(0).and(one(1))
    }

    /// Whether the machine is done by the next day: within 7 h over night, or by noon (common
    /// practice).
    pub fn washing(&self) -> Verdict {
        if self.machines == 0 {
            return Verdict::Unknown;
        }
        AtMost(7.0, 14.0).of(self.hours(self.machines))
    }
}

/// Dishes of so many guests.
pub fn dishes(plan: &Plan, guests: u32, occasion: Occasion) -> Dishes {
    let machines = plan.furniture.iter().filter(|f| f.kind == Kind::Dishwasher);
    let settings = machines.clone().filter_map(|f| f.place_settings).min().unwrap_or(SETTINGS);
    let p = pieces(occasion);
    let used = [p.glasses, p.plates].map(|each| (f64::from(guests) * each).ceil() as u32);
    Dishes {
        guests,
        settings,
        machines: machines.count() as u32,
        loads: loads(guests, p, settings),
        used,
        owned: [plan.made_of.glasses, plan.made_of.plates],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thirty_guests_at_a_buffet_fill_a_machine_five_times() {
        // 30 guests, 14 settings: glasses and cups 120/28 = 4.3, plates 90/42 = 2.1
        assert_eq!(loads(30, pieces(Occasion::Buffet), 14), 5);
    }

    #[test]
    fn a_second_machine_halves_the_hours() {
        let d = Dishes {
            guests: 30,
            settings: 14,
            machines: 1,
            loads: 6,
            used: [90, 90],
            owned: [None, None],
        };
        assert_eq!(d.hours(1), 2.0 * d.hours(2));
        assert!((Dishes { loads: 5, ..d }.hours(1) - 11.7).abs() < 0.05);
    }
}
