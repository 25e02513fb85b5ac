//! Cars: how many come, how many find a place, and who is blocked in.

use crate::base::units::FOOT;
use crate::house::plan::made_of::Parking;
use crate::review::verdict::Verdict;

/// Guests in a car: 2.05 (BTS, NHTS 2001, social and recreational trips).
pub const IN_A_CAR: f64 = 2.05;
/// A car on a drive takes 19 ft, at a curb 23 ft (town codes), in meters.
const ON_DRIVE: f64 = 19.0 * FOOT;
/// See [`ON_DRIVE`].
const AT_CURB: f64 = 23.0 * FOOT;
/// A lane takes 9 ft (town codes); two cars abreast take 18, in meters.
const LANE: f64 = 9.0 * FOOT;

/// Cars of so many guests.
pub fn cars(guests: u32) -> u32 {
    (f64::from(guests) / IN_A_CAR).ceil() as u32
}

/// Cars against places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cars {
    /// Cars that come, if a scenario says how many guests.
    pub come: Option<u32>,
    /// Places on the drive.
    pub drive: u32,
    /// Of these, places behind another car.
    pub blocked: u32,
    /// Places at the curb and marked ones.
    pub free: u32,
}

impl Cars {
    /// All places.
    pub fn places(&self) -> u32 {
        self.drive + self.free
    }

    /// Cars with no place, and cars that cannot leave before others do: those fill the places
    /// behind last.
    pub fn over(&self) -> Option<[u32; 2]> {
        let come = self.come?;
        let blocked = come.min(self.places()).saturating_sub(self.places() - self.blocked);
        Some([come.saturating_sub(self.places()), blocked])
    }

    /// Everybody parks, and nobody is blocked in.
    pub fn verdict(&self) -> Verdict {
        match self.over() {
            None => Verdict::Unknown,
            Some([0, 0]) => Verdict::Passes,
            Some([0, _]) => Verdict::Tight,
            Some(_) => Verdict::Fails,
        }
    }
}

/// Places of what the plan says.
pub fn parking(said: Parking, guests: Option<u32>) -> Cars {
    let whole = |x: f64| (x + 1e-6) as u32;
    let (lanes, deep) = said.drive.map_or((0, 0), |(wide, long)| {
        let [wide, long] = [wide.min(long), wide.max(long)];
        (whole(wide / LANE), whole(long / ON_DRIVE))
    });
    let curb = said.street.map_or(0, |length| whole(length / AT_CURB));
    Cars {
        come: guests.map(cars),
        drive: lanes * deep,
        blocked: lanes * deep.saturating_sub(1),
        free: curb + said.spaces.unwrap_or(0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forty_guests_come_in_twenty_cars() {
        // 19.5, and 20 places of 23 ft are 460 ft of curb
        assert_eq!(cars(40), 20);
        let street = Parking { street: Some(460.0 * FOOT), ..Parking::default() };
        assert_eq!(parking(street, Some(40)).places(), 20);
    }

    #[test]
    fn who_parks_behind_another_is_blocked_in() {
        let drive = Parking { drive: Some((18.0 * FOOT, 40.0 * FOOT)), ..Parking::default() };
        let cars = parking(drive, Some(8));
        assert_eq!((cars.drive, cars.blocked, cars.over()), (4, 2, Some([0, 2])));
        assert_eq!(cars.verdict(), Verdict::Tight);
    }
}
