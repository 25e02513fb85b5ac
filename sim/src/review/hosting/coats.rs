//! Coats: rod against coats by weather, what is left over, and where a rack fits.

use crate::evening::scenario::{Serves, Weather};
use crate::floor::world::{SpotId, World};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{RoomId, Use};
use crate::review::places::tables::dining_tables;
use crate::review::verdict::{AtMost, Verdict};
use crate::study::where_to::rooms;
use crate::study::where_to::sites::{Piece, Site, sites};

/// Where coats go.
#[derive(Clone, Debug, PartialEq)]
pub struct Coats {
    /// The places, and how many coats of that weather each holds.
    pub places: Vec<(SpotId, u32)>,
    /// Guests, if a scenario says.
    pub guests: Option<u32>,
    /// The weather, if a scenario says; otherwise it is winter, which a closet has to be made for.
    pub weather: Weather,
    /// Whether it rains.
    pub rain: bool,
    /// Diners the table seats.
    pub diners: u32,
    /// Places where a rack with 5 ft of rod fits, one a room, those nearer the way in first.
    pub racks: Vec<Site>,
}

/// The most coats that may be left over: 2 (the usual limit of an evening).
const OVER: AtMost = AtMost(0.0, 2.0);

/// People who hand out coats, each in so many seconds, in so many minutes: 14 to 18 s (coat-check
/// firm).
pub fn attendants(coats: u32, seconds: f64, minutes: f64) -> u32 {
    (f64::from(coats) * seconds / (minutes * 60.0)).ceil() as u32
}

/// Coats on so much rod, in meters: 4 in a winter coat, 2 in a light one (closet notes).
pub fn coats_on(rod: f64, weather: Weather) -> u32 {
    (rod / weather.coat_width() + 1e-6) as u32
}

impl Coats {
    /// Coats all places hold.
    pub fn hold(&self) -> u32 {
        self.places.iter().map(|p| p.1).sum()
    }

    /// Coats the guests bring.
    pub fn come(&self) -> Option<u32> {
        let share = self.weather.coat_share(self.rain);
        self.guests.map(|n| (f64::from(n) * share).round() as u32)
    }

    /// Coats with nowhere to go.
    pub fn over(&self) -> Option<u32> {
        self.come().map(|come| come.saturating_sub(self.hold()))
    }

    /// Against the guests of the scenario; without one, a closet should hold as many coats as the
    /// table seats (home builder's note).
    pub fn verdict(&self) -> Verdict {
        match self.over() {
            Some(over) => OVER.of(f64::from(over)),
            None if self.places.is_empty() => Verdict::Fails,
            None => Verdict::passes_if(self.hold() >= self.diners, Verdict::Tight),
        }
    }
}

/// Looks at all of it, for guests and weather if somebody says.
pub fn coats(world: &World, guests: Option<u32>, weather: Option<Weather>, rain: bool) -> Coats {
    let weather = weather.unwrap_or(Weather::Cold);
    let width = world.scenario.weather.coat_width();
    let holds = |&spot: &SpotId| {
        let held = world.spots[spot].holds?;
        let kind = world.plan.piece(&world.spots[spot].name).map(|p| world.plan.furniture[p].kind);
        // a bed takes coats, not rod
        let rod = f64::from(held) * width;
        Some((spot, if kind == Some(Kind::Bed) { held } else { coats_on(rod, weather) }))
    };
    Coats {
        places: world.spots_for(Serves::Coats).iter().filter_map(holds).collect(),
        guests,
        weather,
        rain,
        diners: dining_tables(&world.plan).map(|(_, f)| f.seats).max().unwrap_or(0),
        racks: racks(world),
    }
}

fn racks(world: &World) -> Vec<Site> {
    let usual = Kind::Rack.usual();
    let rack = Piece { width: usual.width.m(), depth: usual.depth.m(), moved: None };
    // nobody looks for a rack in a bedroom, least of all upstairs
    let bedroom = |room: RoomId| world.plan.rooms[room].usage == Use::Bedroom;
    // a rack among the guests takes floor of theirs
    let among = |room: RoomId| {
        matches!(world.plan.rooms[room].usage, Use::Living | Use::Dining | Use::Kitchen)
    };
    let mut found: Vec<(i64, Site)> = vec![];
    let mut rooms = rooms(world, Serves::Coats);
    rooms.retain(|&r| !bedroom(r));
    for site in sites(world, &rack, &rooms) {
        let middle = site.middle();
        let before = world.to_entry(middle.x, middle.y).map_or(i64::MAX, |t| (t * 1e3) as i64);
        match found.iter_mut().find(|f| f.1.room == site.room) {
            Some(known) if known.0 <= before => {}
            Some(known) => *known = (before, site),
            None => found.push((before, site)),
        }
    }
    found.sort_by_key(|&(before, site)| (among(site.room), before, site.room));
    found.into_iter().map(|f| f.1).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::FOOT;

    #[test]
    fn closets_hold_what_closet_notes_say() {
        // 3 ft: 6 to 12 winter coats; 5 ft at 4 in: 15
        assert!((6..=12).contains(&coats_on(3.0 * FOOT, Weather::Cold)));
        assert_eq!(coats_on(5.0 * FOOT, Weather::Cold), 15);
        assert_eq!(coats_on(5.0 * FOOT, Weather::Mild), 30);
    }

    #[test]
    fn a_closet_holds_as_many_coats_as_the_table_seats() {
        let coats = |rod: f64, diners: u32| {
            let spot = SpotId::from(0);
            let (places, weather) = (vec![(spot, coats_on(rod, Weather::Cold))], Weather::Cold);
            Coats { places, guests: None, weather, rain: false, diners, racks: vec![] }.verdict()
        };
        assert_eq!(coats(3.0 * FOOT, 8), Verdict::Passes);
        assert_eq!(coats(3.0 * FOOT, 10), Verdict::Tight);
    }

    #[test]
    fn two_hundred_coats_in_a_quarter_of_an_hour_take_three_or_four_people() {
        for seconds in [14.0, 16.0, 18.0] {
            assert!((3..=4).contains(&attendants(200, seconds, 15.0)), "{seconds} s");
        }
    }
}
