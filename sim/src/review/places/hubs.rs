//! The places of a house that guests go between: ways in, rooms, named parts of an open room, and a
//! dining table that stands in one.

use crate::base::units::FOOT;
use crate::floor::grid::{Area, walk_in};
use crate::floor::routes::WALL;
use crate::floor::world::World;
use crate::house::plan::{OpeningId, PieceId, RoomId, Use, Zone};
use crate::review::places::tables::dining_tables;
use geo::BoundingRect;

/// What a hub is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Role {
    WayIn,
    Kitchen,
    Dining,
    Living,
    Outdoors,
    Powder,
    Coats,
    Stairs,
    SideDoor,
}

/// What a hub is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HubOf {
    /// The floor just inside a way out.
    Opening(OpeningId),
    /// A room.
    Room(RoomId),
    /// A named part of a room, by its number.
    Zone(usize),
    /// The floor round a dining table.
    Table(PieceId),
}

/// A place guests go to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hub {
    /// What it is for.
    pub role: Role,
    /// What it is.
    pub of: HubOf,
    /// Its room; for a way out the one inside.
    pub room: RoomId,
    /// West, south, east and north end of it in its room, in meters.
    pub bounds: [f64; 4],
    /// The node of its floor that is the most open, and of those the one nearest its middle.
    pub heart: usize,
}

/// Floor round a table that belongs to it, in meters (3 ft: a chair and elbow room).
const ROUND_TABLE: f64 = 3.0 * FOOT;
/// Hubs of one role at most: those after them in the file are left out.
const MOST: usize = 3;

/// Every hub that guests can get to, by role.
pub fn hubs(world: &World) -> Vec<Hub> {
    let plan = &world.plan;
    let mut found: Vec<Hub> = plan
        .ways_out()
        .filter(|(o, opening)| world.open[*o] && plan.rooms[opening.inner].usage != Use::Outdoors)
        .filter_map(|(o, _)| at_way_out(world, o))
        .collect();
    found.extend(plan.named_rooms().keys().filter_map(|r| of_room(world, r)));
    found.extend((0..plan.zones.len()).filter_map(|z| of_zone(world, z)));
    if !found.iter().any(|h| h.role == Role::Dining) {
        found.extend(of_table(world));
    }
    // a part of a room that has a name stands for the room
    let named: Vec<(Role, RoomId)> =
        found.iter().filter(|h| matches!(h.of, HubOf::Zone(_))).map(|h| (h.role, h.room)).collect();
    found.retain(|h| !matches!(h.of, HubOf::Room(_)) || !named.contains(&(h.role, h.room)));
    found.sort_by_key(|h| h.role);
    let few = found.chunk_by(|a, b| a.role == b.role).flat_map(|same| same.iter().take(MOST));
    few.copied().collect()
}

/// The largest room or part of one that guests gather in.
pub fn main_room(world: &World, hubs: &[Hub]) -> Option<Hub> {
    let area = |h: &Hub| (h.bounds[2] - h.bounds[0]) * (h.bounds[3] - h.bounds[1]);
    let gather = |role: Role| {
        // on the level guests come in on, if there is one
        let of = hubs.iter().filter(|h| h.role == role);
        of.max_by(|a, b| {
            let here = |h: &Hub| level(world, h) == entry_level(world);
            here(a).cmp(&here(b)).then(area(a).total_cmp(&area(b)))
        })
        .copied()
    };
    gather(Role::Living).or_else(|| gather(Role::Dining)).or_else(|| gather(Role::Kitchen))
}

/// The level of a hub.
pub fn level(world: &World, hub: &Hub) -> usize {
    world.plan.rooms[hub.room].level
}

/// The level guests come in on.
pub fn entry_level(world: &World) -> usize {
    world.plan.rooms[world.plan.openings[world.entry].inner].level
}

impl Hub {
    /// Whether a node of floor belongs to it.
    pub fn has(&self, world: &World, node: usize) -> bool {
        let p = world.grid.node_xy(node);
        let [w, s, e, n] = self.bounds;
        // what is left of a room whose other parts have names
        let is_other = || {
            let mut zones = world.plan.zones.iter().filter(|z| z.room == self.room);
            matches!(self.of, HubOf::Room(_))
                && zones.any(|z| zone_role(z).is_some() && z.has((p.x, p.y)))
        };
        world.grid.area_at_node(node) == Area::Room(self.room)
            && (w..=e).contains(&p.x)
            && (s..=n).contains(&p.y)
            && !is_other()
    }

    /// The way out it is at, if it is at one.
    pub fn opening(&self) -> Option<OpeningId> {
        if let HubOf::Opening(o) = self.of { Some(o) } else { None }
    }

    /// Where its heart is, in meters.
    pub fn at(&self, world: &World) -> (f64, f64) {
        let p = world.grid.node_xy(self.heart);
        (p.x, p.y)
    }
}

fn role(world: &World, room: RoomId) -> Option<Role> {
    let r = &world.plan.rooms[room];
    match r.usage {
        Use::Kitchen => Some(Role::Kitchen),
        Use::Dining => Some(Role::Dining),
        Use::Living => Some(Role::Living),
        Use::Outdoors => Some(Role::Outdoors),
        Use::Powder => Some(Role::Powder),
        // a family bath only where there is no powder room
        Use::Bath => {
            let has_powder = world.plan.rooms.iter().any(|r| r.usage == Use::Powder);
            (!has_powder).then_some(Role::Powder)
        }
        // a house of one room
        Use::Other | Use::Bedroom => {
            let gathers = world.plan.rooms.iter().any(|r| r.usage.gathers());
            (!gathers).then_some(Role::Living)
        }
        Use::Closet => r.takes_coats().then_some(Role::Coats),
        Use::Stairs => Some(Role::Stairs),
        _ => None,
    }
}

fn at_way_out(world: &World, o: OpeningId) -> Option<Hub> {
    let opening = &world.plan.openings[o];
    let inside = opening.point(0.0, -(opening.depth / 2.0 + 0.45));
    let heart = world.grid.nearest_node(inside.x, inside.y);
    let is_floor = world.grid.clear_at_node(heart) >= WALL;
    let [dx, dy] = [inside.x, inside.y];
    is_floor.then_some(Hub {
        role: if o == world.entry { Role::WayIn } else { Role::SideDoor },
        of: HubOf::Opening(o),
        room: opening.inner,
        bounds: [dx, dy, dx, dy],
        heart,
    })
}

fn of_room(world: &World, room: RoomId) -> Option<Hub> {
    let role = role(world, room)?;
    let bounds = world.plan.rooms[room].bounds();
    let heart = if walk_in(&world.plan, room) {
        heart(world, room, bounds)?
    } else {
        before_closet(world, room)?
    };
    Some(Hub { role, of: HubOf::Room(room), room, bounds, heart })
}

/// The floor before the opening of a closet too shallow to stand in.
fn before_closet(world: &World, room: RoomId) -> Option<usize> {
    let opening = world.plan.openings.iter().find(|o| o.joins(room))?;
    let off = opening.depth / 2.0 + 0.4;
    let sign = if opening.inner == room { 1.0 } else { -1.0 };
    let before = opening.point(0.0, sign * off);
    let node = world.grid.nearest_node(before.x, before.y);
    reachable(world, node).then_some(node)
}

/// What a named part of a room is for, by its name.
fn zone_role(zone: &Zone) -> Option<Role> {
    match Use::from_name(&zone.name) {
        Use::Kitchen => Some(Role::Kitchen),
        Use::Dining => Some(Role::Dining),
        Use::Living => Some(Role::Living),
        _ => None,
    }
}

fn of_zone(world: &World, zone: usize) -> Option<Hub> {
    let z = &world.plan.zones[zone];
    let role = zone_role(z)?;
    let heart = heart(world, z.room, z.bounds)?;
    Some(Hub { role, of: HubOf::Zone(zone), room: z.room, bounds: z.bounds, heart })
}

/// The largest dining table indoors.
fn of_table(world: &World) -> Option<Hub> {
    let plan = &world.plan;
    let (piece, table) =
        dining_tables(plan).max_by_key(|(p, f)| (f.seats, std::cmp::Reverse(*p)))?;
    let rect = table.outline.bounding_rect()?;
    let bounds = [
        rect.min().x - ROUND_TABLE,
        rect.min().y - ROUND_TABLE,
        rect.max().x + ROUND_TABLE,
        rect.max().y + ROUND_TABLE,
    ];
    let heart = heart(world, table.room, bounds)?;
    Some(Hub { role: Role::Dining, of: HubOf::Table(piece), room: table.room, bounds, heart })
}

/// Nodes people walk over.
pub fn is_walked(world: &World, node: usize) -> bool {
    world.grid.clear_at_node(node) >= WALL
}

fn reachable(world: &World, node: usize) -> bool {
    let p = world.grid.node_xy(node);
    is_walked(world, node) && world.to_entry(p.x, p.y).is_some()
}

/// Clear floor is as open as another if it differs by less, in meters.
const AS_OPEN: f64 = 0.10;

fn heart(world: &World, room: RoomId, [w, s, e, n]: [f64; 4]) -> Option<usize> {
    let (columns, rows) = world.grid.nodes_within([w, s, e, n]);
    let (cx, cy) = ((w + e) / 2.0, (s + n) / 2.0);
    let nodes = rows.flat_map(|j| columns.clone().map(move |i| (i, j)));
    let nodes = nodes.map(|(i, j)| j * world.grid.width + i);
    let inside = nodes.filter(|&node| {
        world.grid.area_at_node(node) == Area::Room(room) && reachable(world, node)
    });
    inside.min_by_key(|&node| {
        let p = world.grid.node_xy(node);
        let open = (f64::from(world.grid.clear_at_node(node)) / AS_OPEN) as i64;
        (-open, ((p.x - cx).hypot(p.y - cy) * 1000.0) as i64, node)
    })
}
