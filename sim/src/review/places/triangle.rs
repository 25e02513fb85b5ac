//! The work triangle of a kitchen: sink, range and fridge of one room, from front to front.

use crate::floor::world::World;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Furniture, RoomId, Side, Use};

/// What a triangle takes.
pub const CORNERS: [Kind; 3] = [Kind::Sink, Kind::Range, Kind::Fridge];

/// Rooms somebody cooks in: kitchens by their use, and open rooms with a range.
pub fn kitchens(world: &World) -> Vec<RoomId> {
    let cooks = |room: RoomId| {
        let mut pieces = world.plan.furniture.iter();
        pieces.any(|f| f.room == room && f.kind == Kind::Range)
    };
    let usage = |room: RoomId| world.plan.rooms[room].usage;
    let rooms = world.plan.named_rooms().keys();
    rooms.filter(|&r| usage(r) == Use::Kitchen || (cooks(r) && usage(r) != Use::Outdoors)).collect()
}

/// The first piece of a kind in a room.
pub fn first(world: &World, room: RoomId, kind: Kind) -> Option<&Furniture> {
    world.plan.furniture.iter().find(|f| f.room == room && f.kind == kind)
}

/// The middles of the fronts of sink, range and fridge, in meters; none if one is not drawn.
pub fn corners(world: &World, room: RoomId) -> Option<[(f64, f64); 3]> {
    let front = |kind: Kind| {
        let edge = first(world, room, kind)?.edges_of(Side::Front).into_iter().next()?;
        Some((edge.middle.x, edge.middle.y))
    };
    let [sink, range, fridge] = CORNERS.map(front);
    Some([sink?, range?, fridge?])
}
