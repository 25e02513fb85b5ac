//! Zones: named parts of a room. They say where something is; guests don't know them.

use super::RoomId;
use super::room::Room;
use super::said::Said;
use crate::base::ids::TiSlice;
use crate::house::problem::{BadName, BadRoom, File, Named, Problem};

/// A named part of a room.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Its name.
    pub name: String,
    /// The room's index.
    pub room: RoomId,
    /// West, south, east and north end, in meters.
    pub bounds: [f64; 4],
}

impl Zone {
    /// Whether a point lies in it.
    pub fn has(&self, (x, y): (f64, f64)) -> bool {
        let [w, s, e, n] = self.bounds;
        (w..=e).contains(&x) && (s..=n).contains(&y)
    }
}

/// A zone reaches at most this far beyond its room, in meters: a rounded measure.
const ROUNDED: f64 = 0.02;

/// Places zones in their rooms; those that don't fit are problems.
pub(super) fn place(
    said: &Said,
    names: &TiSlice<RoomId, &str>,
    rooms: &TiSlice<RoomId, Option<Room>>,
    problems: &mut Vec<Problem>,
) -> Vec<Zone> {
    let mut zones: Vec<Zone> = vec![];
    for (i, z) in said.zones.iter().enumerate() {
        let Some(room) = names.position(|n| *n == z.room) else {
            problems.push(Problem::unknown_name(
                File::Plan,
                format!("zone/{i}/room"),
                Named::Room,
                &z.room,
                &names.raw,
            ));
            continue;
        };
        let Some(bounds) = rooms[room].as_ref().map(Room::bounds) else {
            continue;
        };
        let [w, s, e, n] = bounds;
        let own = [w + z.at.0, s + z.at.1, w + z.at.0 + z.size.0, s + z.at.1 + z.size.1];
        if own[2] > e + ROUNDED || own[3] > n + ROUNDED {
            let out = BadRoom::ZoneOutside { name: z.name.clone(), room: z.room.clone() };
            problems.push(Problem::of_plan(format!("zone/{i}/size"), out));
            continue;
        }
        if zones.iter().any(|other| other.name == z.name) || names.contains(&z.name.as_str()) {
            let taken = BadName::ZoneTaken { name: z.name.clone() };
            problems.push(Problem::of_plan(format!("zone/{i}/name"), taken));
            continue;
        }
        zones.push(Zone { name: z.name.clone(), room, bounds: own });
    }
    zones
}
