//! A checked plan: rooms, openings, furniture, in meters. Knows no guests and no grid.
//! Built from what a file said by `Plan::build`; a plan that exists is sound.

pub mod catalog;
mod furniture;
pub mod made_of;
mod opening;
mod room;
pub mod said;
mod stairs;
mod wall;
mod window;
mod zone;

pub use furniture::Edge;
pub use furniture::{Furniture, GapOff, Side};
pub use opening::{LEAF_THICKNESS, LEVER, LEVER_DEPTH, Leaf, Opening, Style, door_name};
pub use room::{Room, Use};
pub use stairs::{Level, Stairs};
pub use wall::THICKEST_WALL;
pub use window::Window;
pub use zone::Zone;

use crate::base::ids::{TiSlice, TiVec, id};
use crate::base::units::System;
use crate::house::problem::{BadName, Problem, nearest};
use made_of::MadeOf;
use said::{Compass, Said};
use std::collections::BTreeMap;

/// The name of everything outside the house.
pub const OUTSIDE: &str = "outside";
/// The name of the stop at which guests go home.
pub const LEAVE: &str = "leave";

id! {
    /// The number of a room in its plan.
    RoomId
}
id! {
    /// The number of an opening in its plan.
    OpeningId
}
id! {
    /// The number of a piece of furniture in its plan.
    PieceId
}

/// A point in meters.
pub type Xy = geo::Coord<f64>;

/// Something the file left out, and what was taken instead.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// The room, opening or piece.
    pub item: String,
    /// What was taken.
    pub figure: Figure,
}

/// What was taken where the file says nothing. Lengths in meters.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// An opening is hinged.
    Hinged,
    /// Its width, by whether it leads outside.
    Width(f64),
    /// Its clear width, and where that comes from.
    Clear(f64, &'static str),
    /// A slider opens at this end of its wall, the one nearer the middle of the room.
    OpensAt(Compass),
    /// Stairs rise so far.
    Rise(f64),
    /// A room is on this level.
    Level(String),
    /// A piece is so wide and so deep, and where that comes from.
    Size([f64; 2], &'static str),
    /// A piece has so many seats, and where that comes from.
    Seats(u32, &'static str),
}

/// Rooms, openings and furniture of a house.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What the person calls it.
    pub title: String,
    /// The units it is written in.
    pub system: System,
    /// Thickness of walls between neighbors, in meters.
    pub walls: f64,
    /// Levels from the lowest; one at least.
    pub levels: Vec<Level>,
    /// Rooms in file order, then the upper ends of stairs.
    pub rooms: TiVec<RoomId, Room>,
    /// Stairs in file order.
    pub stairs: Vec<Stairs>,
    /// Openings in file order.
    pub openings: TiVec<OpeningId, Opening>,
    /// Furniture in file order.
    pub furniture: TiVec<PieceId, Furniture>,
    /// Named parts of rooms, in file order.
    pub zones: Vec<Zone>,
    /// Windows, in file order.
    pub windows: Vec<Window>,
    /// What it is made of and has.
    pub made_of: MadeOf,
    /// Every figure that was assumed.
    pub assumed: Vec<Assumed>,
}

impl Plan {
    /// Builds a plan from what a file said, or tells everything that is wrong with it.
    pub fn build(said: &Said) -> Result<Plan, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut assumed = Vec::new();
        let mut rooms = TiVec::from(room::place(said, &mut problems));
        room::check_size(&rooms.raw, &mut problems);
        let before = problems.len();
        let on_level = stairs::levels_of(said, &mut problems);
        let (levels, stairs) = stairs::spread(said, &mut rooms, &on_level, &mut assumed);
        let names: TiVec<RoomId, &str> = said.rooms.iter().map(|r| r.name.as_str()).collect();
        let levels_are_clear = problems.len() == before;
        if levels_are_clear {
            room::check_overlaps(&rooms.raw, names.len(), levels.len() > 1, &mut problems);
        }
        let mut openings = opening::place(
            &opening::Among { said, names: &names, rooms: &rooms, stairs: &stairs },
            &mut assumed,
            &mut problems,
        );
        if !levels_are_clear {
            // who is on the wrong level shares no wall with anybody
            problems.retain(|p| !(p.at.starts_with("opening/") && p.at.ends_with("/joins")));
        }
        let zones = zone::place(said, &names, &rooms, &mut problems);
        let windows = window::place(said, &names, &rooms, &mut problems);
        let mut furniture = furniture::place(said, &names, &rooms, &mut assumed, &mut problems);
        name_all(&names, &mut openings, &mut furniture, &mut problems);
        if !problems.is_empty() {
            return Err(problems);
        }
        let rooms = rooms.into_iter().flatten().collect();
        let plan = Plan {
            title: said.title.clone(),
            system: said.system,
            walls: said.walls,
            levels,
            rooms,
            stairs,
            openings: openings.into_iter().flatten().collect(),
            furniture: furniture.into_iter().flatten().collect(),
            zones,
            windows,
            made_of: said.made_of,
            assumed,
        };
        let mut problems = Vec::new();
        opening::check_leaves_and_edges(&plan, &mut problems);
        furniture::check_overlaps(&plan, &mut problems);
        stairs::check(&plan, &mut problems);
        if problems.is_empty() { Ok(plan) } else { Err(problems) }
    }

    /// The room of a name.
    pub fn room(&self, name: &str) -> Option<RoomId> {
        self.rooms.position(|r| r.name == name)
    }

    /// The opening of a name.
    pub fn opening(&self, name: &str) -> Option<OpeningId> {
        self.openings.position(|o| o.name == name)
    }

    /// The piece of furniture of a name.
    pub fn piece(&self, name: &str) -> Option<PieceId> {
        self.furniture.position(|f| f.name == name)
    }

    /// Every name a scenario may use for a place or a piece.
    pub fn names(&self) -> Vec<&str> {
        let rooms = self.rooms.iter().map(|r| r.name.as_str());
        let openings = self.openings.iter().map(|o| o.name.as_str());
        rooms.chain(openings).chain(self.furniture.iter().map(|f| f.name.as_str())).collect()
    }

    /// The name nearest to one that does not exist.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, &self.names())
    }

    /// West, south, east and north end of everything, in meters.
    pub fn bounds(&self) -> [f64; 4] {
        let points = self.rooms.iter().flat_map(|r| r.outline.exterior().coords());
        let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        points.fold(start, |b, p| [b[0].min(p.x), b[1].min(p.y), b[2].max(p.x), b[3].max(p.y)])
    }

    /// West, south, east and north end of what is on a level, on the sheet, in meters; `None` if
    /// nothing is.
    pub fn bounds_of_level(&self, level: usize) -> Option<[f64; 4]> {
        let rooms = self.rooms.iter().filter(|r| r.level == level).map(Room::bounds);
        rooms.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
    }

    /// Rooms that the file names; the upper ends of stairs are not among them.
    pub fn named_rooms(&self) -> &TiSlice<RoomId, Room> {
        &self.rooms[..RoomId::from(self.rooms.len() - self.stairs.len())]
    }

    /// The room as the file names it: of the upper end of stairs, their lower one.
    pub fn named_room(&self, room: RoomId) -> RoomId {
        self.stairs.iter().find(|s| s.rooms[1] == room).map_or(room, |s| s.rooms[0])
    }

    /// The stairs a room is an end of.
    pub fn stairs_of(&self, room: RoomId) -> Option<&Stairs> {
        self.stairs.iter().find(|s| s.rooms.contains(&room))
    }

    /// The level of a point of the sheet by its north coordinate, in meters.
    pub fn level_at(&self, y: f64) -> usize {
        self.levels.iter().position(|l| y >= l.from).unwrap_or(self.levels.len() - 1)
    }

    /// The true north coordinate of a point of the sheet, in meters.
    pub fn true_y(&self, y: f64) -> f64 {
        y - self.levels[self.level_at(y)].moved
    }

    /// How far north of their lower copy the upper one of stairs lies on the sheet, in meters.
    pub fn across(&self, stairs: &Stairs) -> f64 {
        let [low, high] = stairs.rooms.map(|r| self.levels[self.rooms[r].level].moved);
        high - low
    }

    /// Openings to the outside.
    pub fn ways_out(&self) -> impl Iterator<Item = (OpeningId, &Opening)> {
        self.openings.iter_enumerated().filter(|(_, o)| o.to_outside())
    }
}

/// Gives unnamed openings and pieces their names and checks that every name is used once.
fn name_all(
    rooms: &TiSlice<RoomId, &str>,
    openings: &mut [Option<Opening>],
    furniture: &mut [Option<Furniture>],
    problems: &mut Vec<Problem>,
) {
    let mut taken: BTreeMap<String, String> =
        [OUTSIDE, LEAVE].iter().map(|n| (n.to_string(), "the program".to_string())).collect();
    let mut claim = |name: &str, at: String, problems: &mut Vec<Problem>| match taken.get(name) {
        Some(by) => {
            let taken = BadName::Taken { name: name.into(), by: by.clone() };
            problems.push(Problem::of_plan(at, taken))
        }
        None => {
            taken.insert(name.to_string(), at.replace('/', " "));
        }
    };
    for (i, name) in rooms.iter().enumerate() {
        claim(name, format!("room/{i}/name"), problems);
    }
    for (i, o) in openings
        .iter()
        .enumerate()
        .filter_map(|(i, o)| o.as_ref().map(|o| (i, o)))
        .filter(|(_, o)| o.named)
    {
        claim(&o.name, format!("opening/{i}/name"), problems);
    }
    for (i, f) in furniture
        .iter()
        .enumerate()
        .filter_map(|(i, f)| f.as_ref().map(|f| (i, f)))
        .filter(|(_, f)| f.named)
    {
        claim(&f.name, format!("furniture/{i}/name"), problems);
    }
    let mut free = |wish: &str| {
        let name = (1..)
            .map(|n| if n == 1 { wish.to_string() } else { format!("{wish} {n}") })
            .find(|n| !taken.contains_key(n))
            .unwrap_or_default();
        taken.insert(name.clone(), "another piece".into());
        name
    };
    openings.iter_mut().flatten().filter(|o| !o.named).for_each(|o| o.name = free(&o.name));
    furniture.iter_mut().flatten().filter(|f| !f.named).for_each(|f| f.name = free(&f.name));
}
