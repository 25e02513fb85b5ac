//! The powder room: how far it is from the party, whether its door is seen, what it opens onto, and
//! where a line stands.

use super::sight::{Outlook, standing_points};
use crate::base::units::{FOOT, INCH};
use crate::evening::scenario::Serves;
use crate::floor::paths::shortest;
use crate::floor::widths::Widths;
use crate::floor::world::World;
use crate::house::plan::{OpeningId, RoomId, Use};
use crate::review::places::hubs::{Hub, HubOf, Role, is_walked, level, main_room};
use crate::review::verdict::{AtMost, Verdict};
use crate::review::walking::ways::{WIDEST, is_mouth};

/// Points from which nobody should look at the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// Seats, at tables and elsewhere.
    Seats,
    /// The kitchen.
    Kitchen,
    /// The front door.
    WayIn,
}

/// How many of some points look at the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    /// Which points.
    pub from: From,
    /// So many see it.
    pub seeing: usize,
    /// Of so many.
    pub of: usize,
}

/// A line of three before the door.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Where the first three stand, in meters: fewer where there is no floor for more.
    pub stands: Vec<(f64, f64)>,
    /// The rooms they stand in, from the door on, each once.
    pub rooms: Vec<RoomId>,
    /// The least width of the floor they stand on, in meters, [`WIDEST`] at most.
    pub floor: f64,
}

/// A door of a powder room that guests use.
#[derive(Clone, Debug, PartialEq)]
pub struct Powder {
    /// The room.
    pub room: RoomId,
    /// The door.
    pub door: OpeningId,
    /// What it opens onto; none for the outside.
    pub onto: Option<RoomId>,
    /// Whether that is the main room.
    pub onto_main: bool,
    /// The way from the main room, in meters, if there is one on foot.
    pub away: Option<f64>,
    /// Whether it is on the level of the main room.
    pub same_level: bool,
    /// Who looks at the door.
    pub seen: Vec<Seen>,
    /// A line of three; the first door of a room only.
    pub line: Option<Line>,
}

/// Near, but not in the entertaining rooms (designers); how near is common practice: a walk of 40 ft
/// is still near, and nobody finds what is 70 ft away.
const AWAY: AtMost = AtMost(40.0 * FOOT, 70.0 * FOOT);
/// A walkway and somebody in line beside it, in meters: 36 in (NKBA guideline 7) and 24 in (Highway
/// Capacity Manual 2010).
pub const WALKWAY_AND_LINE: f64 = 60.0 * INCH;
/// People in a line of this length have to stand somewhere.
const LINE: usize = 3;
/// A door is looked at from this far before it, in meters.
const BEFORE: f64 = 0.05;

impl Powder {
    /// How far it is.
    pub fn distance(&self) -> Verdict {
        match self.away {
            Some(away) if self.same_level => AWAY.of(away),
            Some(_) => Verdict::Tight,
            None => Verdict::Fails,
        }
    }

    /// It never opens into kitchen or dining (designers; common practice), and rather not into the
    /// living room.
    pub fn opens_onto(&self, world: &World) -> Verdict {
        match self.onto.map(|r| world.plan.rooms[r].usage) {
            Some(Use::Kitchen | Use::Dining) => Verdict::Fails,
            Some(Use::Living | Use::Outdoors) | None => Verdict::Tight,
            Some(_) if self.onto_main => Verdict::Tight,
            Some(_) => Verdict::Passes,
        }
    }

    /// Screened from the entry, living and dining rooms (a design adviser backed by HUD).
    pub fn view(&self) -> Verdict {
        let of = |s: &Seen| match s.seeing {
            0 => Verdict::Passes,
            n if 4 * n > s.of && s.from != From::WayIn => Verdict::Fails,
            _ => Verdict::Tight,
        };
        self.seen.iter().map(of).fold(Verdict::Passes, Verdict::and)
    }

    /// Where its door is, in meters.
    pub fn at(&self, world: &World) -> (f64, f64) {
        let c = world.plan.openings[self.door].center;
        (c.x, c.y)
    }
}

impl Line {
    /// Whether three can wait without closing a walkway.
    pub fn verdict(&self) -> Verdict {
        if self.stands.len() < LINE {
            Verdict::Fails
        } else {
            Verdict::passes_if(self.floor >= WALKWAY_AND_LINE - 0.01, Verdict::Tight)
        }
    }
}

/// Every door of every powder room guests use.
pub fn powders(world: &World, floor: &Widths, hubs: &[Hub], eyes: [&Outlook; 2]) -> Vec<Powder> {
    let rooms = hubs.iter().filter(|h| h.role == Role::Powder);
    rooms.flat_map(|hub| doors(world, floor, hubs, hub, eyes)).collect()
}

fn doors(
    world: &World,
    floor: &Widths,
    hubs: &[Hub],
    hub: &Hub,
    eyes: [&Outlook; 2],
) -> Vec<Powder> {
    let HubOf::Room(room) = hub.of else { return vec![] };
    let main = main_room(world, hubs);
    let away = main.and_then(|main| {
        let path = shortest(&world.grid, main.heart, hub.heart, &|n| is_walked(world, n));
        path.map(|p| p.length)
    });
    let same_level = main.is_none_or(|main| level(world, hub) == level(world, &main));
    let all = world.plan.openings.iter_enumerated().filter(|(_, o)| o.joins(room));
    all.enumerate()
        .map(|(k, (door, opening))| {
            let sign = if opening.inner == room { 1.0 } else { -1.0 };
            let out = (opening.through.0 * sign, opening.through.1 * sign);
            let face = [-0.4, 0.0, 0.4]
                .map(|k| opening.point(k * opening.clear, sign * (opening.depth / 2.0 + BEFORE)))
                .map(|p| (p.x, p.y));
            let onto = opening.sides().into_iter().find(|r| *r != Some(room)).flatten();
            Powder {
                room,
                door,
                onto,
                onto_main: main.is_some_and(|main| onto == Some(main.room)),
                away,
                same_level,
                seen: seen(world, hubs, eyes, (&face, out)),
                line: (k == 0).then(|| line(world, floor, room)),
            }
        })
        .collect()
}

/// Whether somebody looks at a door, and not along its wall: the way there is at least 15 degrees off
/// the wall, as a sine.
fn looks_at(from: (f64, f64), at: (f64, f64), out: (f64, f64)) -> bool {
    const OFF_WALL: f64 = 0.26;
    let (dx, dy) = (from.0 - at.0, from.1 - at.1);
    dx * out.0 + dy * out.1 >= OFF_WALL * dx.hypot(dy)
}

fn seen(
    world: &World,
    hubs: &[Hub],
    [standing, sitting]: [&Outlook; 2],
    (face, out): (&[(f64, f64)], (f64, f64)),
) -> Vec<Seen> {
    let level_of = |y: f64| world.plan.level_at(y);
    let here = face.first().map_or(0, |f| level_of(f.1));
    let seats = world.seats.iter().filter(|s| {
        let room = &world.plan.rooms[world.plan.furniture[s.piece].room];
        room.level == here && room.usage != Use::Outdoors
    });
    let seats: Vec<(f64, f64)> = seats.map(|s| s.on.meters()).collect();
    let of = |role: Role| hubs.iter().find(|h| h.role == role && level(world, h) == here);
    let kitchen = of(Role::Kitchen).map(|h| standing_points(world, h)).unwrap_or_default();
    let way_in: Vec<(f64, f64)> = of(Role::WayIn).map(|h| h.at(world)).into_iter().collect();
    [
        (From::Seats, seats, sitting),
        (From::Kitchen, kitchen, standing),
        (From::WayIn, way_in, standing),
    ]
    .into_iter()
    .filter(|(_, points, _)| !points.is_empty())
    .map(|(from, points, outlook)| {
        let sees = |p: (f64, f64)| face.iter().any(|&f| looks_at(p, f, out) && outlook.sees(p, f));
        Seen { from, seeing: points.iter().filter(|&&p| sees(p)).count(), of: points.len() }
    })
    .collect()
}

fn line(world: &World, floor: &Widths, room: RoomId) -> Line {
    let name = &world.plan.rooms[room].name;
    let spot = world.spots.iter().find(|s| s.serves == Serves::Powder && s.name == *name);
    let slots = spot.and_then(|s| s.lanes.first()).map(|l| l.slots.iter()).unwrap_or_default();
    let stands: Vec<(f64, f64)> = slots.take(LINE).map(|t| t.point.meters()).collect();
    let width = |&(x, y): &(f64, f64)| {
        let (wide, between) = floor.at_node(world.grid.nearest_node(x, y), WIDEST)?;
        // beside an opening the room goes on
        (!is_mouth(world, floor, wide, &between)).then_some(wide)
    };
    let mut rooms: Vec<RoomId> = stands.iter().filter_map(|&(x, y)| world.room_at(x, y)).collect();
    rooms.dedup();
    Line { floor: stands.iter().filter_map(width).fold(WIDEST, f64::min), rooms, stands }
}
