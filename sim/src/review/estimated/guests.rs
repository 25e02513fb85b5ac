//! How many guests the rooms take by the home rule, before anything is simulated.

use crate::base::units::{FOOT, SQUARE_FOOT};
use crate::house::plan::Plan;
use crate::house::plan::catalog::Kind;
use crate::review::verdict::{AtMost, Verdict};
use geo::Area;

/// Floor of a guest who mingles at home: 16 sq ft of floor less counters and tables (a TV host's
/// rule, noted 2009), in m2.
pub const EACH: f64 = 16.0 * SQUARE_FOOT;
/// At less floor each nobody gets through: 6 sq ft (caterers: 6 to 10 standing), in m2.
pub const PACKED: f64 = 6.0 * SQUARE_FOOT;
/// Of those invited so many don't come to a home party: "invite 50, expect 40" (planners).
pub const COMES: f64 = 0.8;
/// More guests than fit come and go (the same rule).
pub const COME_AND_GO: f64 = 5.0;

/// Guests on so much floor less counters and tables, in m2.
pub fn guests(floor: f64) -> u32 {
    (floor / EACH + 1e-6) as u32
}

/// How many to invite if so many fit.
pub fn invite(guests: u32) -> u32 {
    ((f64::from(guests) + COME_AND_GO) / COMES).round() as u32
}

/// The home rule for a house.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HomeRule {
    /// Floor of kitchen, dining and living rooms less counters and tables, in m2.
    pub floor: f64,
    /// Guests on it.
    pub guests: u32,
    /// How many to invite.
    pub invite: u32,
    /// Guests who come, if somebody says.
    pub come: Option<u32>,
}

impl HomeRule {
    /// Floor of each who comes, in m2.
    pub fn each(&self) -> Option<f64> {
        self.come.map(|n| self.floor / f64::from(n.max(1)))
    }

    /// Against the rule; beyond what caterers reckon it fails.
    pub fn verdict(&self) -> Option<Verdict> {
        let come = self.come?;
        let packed = (self.floor / PACKED).max(f64::from(self.guests));
        Some(AtMost(f64::from(self.guests), packed).of(f64::from(come)))
    }
}

/// Applies it, to guests if somebody says how many; `None` without such rooms.
pub fn home_rule(plan: &Plan, come: Option<u32>) -> Option<HomeRule> {
    let rooms = plan.rooms.iter().filter(|r| r.usage.gathers());
    let pieces = plan.furniture.iter().filter(|f| {
        plan.rooms[f.room].usage.gathers()
            && !f.is_low()
            && matches!(f.kind, Kind::Counter | Kind::Island | Kind::Table | Kind::Fridge)
    });
    let taken: f64 = pieces.map(|f| f.outline.unsigned_area()).sum();
    let floor = rooms.map(|r| r.area()).sum::<f64>() - taken;
    let guests = guests(floor);
    (floor > FOOT).then(|| HomeRule { floor, guests, invite: invite(guests), come })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rules_own_example_comes_back() {
        // 12 x 16, 12 x 10 and 10 x 10 ft less 2 x 10 and 4 x 6: 368 sq ft, 23 guests, invite 35
        let floor: f64 = 12.0 * 16.0 + 12.0 * 10.0 + 10.0 * 10.0 - 2.0 * 10.0 - 4.0 * 6.0;
        assert_eq!(floor, 368.0);
        assert_eq!(guests(floor * SQUARE_FOOT), 23);
        assert_eq!(invite(23), 35);
    }
}
