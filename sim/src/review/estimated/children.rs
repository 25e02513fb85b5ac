//! Children: floor, level, bath, and whether somebody sees them.

use crate::base::units::SQUARE_FOOT;
use crate::floor::world::World;
use crate::house::plan::{RoomId, Use};
use crate::review::places::hubs::{Hub, entry_level, main_room};
use crate::review::rooms::sight::{ENOUGH, Outlook, standing_points, standing_points_of};
use crate::review::verdict::Verdict;

/// Floor of a child: 35 sq ft (licensed care), in m2.
pub const EACH: f64 = 35.0 * SQUARE_FOOT;

/// A room for children.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Children {
    /// The room.
    pub room: RoomId,
    /// Children it takes.
    pub takes: u32,
    /// Whether it is on the level of the party.
    pub same_level: bool,
    /// Whether a bathroom is on its level (sitters' pages).
    pub bath: bool,
    /// Share of standing points in the main room that see into it.
    pub watched: f64,
}

impl Children {
    /// It takes a child, and a bathroom on its level (sitters' pages); on the level of the party and
    /// in view (as a kitchen is of the living room) nobody has to stay with them all evening (common
    /// practice).
    pub fn verdict(&self) -> Verdict {
        let seen = ENOUGH.of(self.watched) == Verdict::Passes;
        let near = Verdict::passes_if(self.same_level && seen, Verdict::Tight);
        Verdict::passes_if(self.bath && self.takes > 0, Verdict::Fails).and(near)
    }
}

/// Children on so much floor, in m2.
pub fn takes(floor: f64) -> u32 {
    (floor / EACH + 1e-6) as u32
}

/// Rooms for children.
pub fn children(world: &World, hubs: &[Hub], outlook: &Outlook) -> Vec<Children> {
    let plan = &world.plan;
    let main = main_room(world, hubs).map(|h| standing_points(world, &h)).unwrap_or_default();
    let rooms = plan.rooms.iter_enumerated().filter(|(_, r)| r.usage == Use::Kids);
    rooms
        .map(|(room, r)| {
            let inside = standing_points_of(world, room, r.bounds());
            let seeing = outlook.seeing(&main, &inside);
            Children {
                room,
                takes: takes(r.area()),
                same_level: r.level == entry_level(world),
                bath: plan.rooms.iter().any(|b| b.usage.is_private() && b.level == r.level),
                watched: seeing as f64 / main.len().max(1) as f64,
            }
        })
        .collect()
}
