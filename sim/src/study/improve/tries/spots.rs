//! Spots used another way, with what is in the house.

use crate::evening::edit::{Edits, EveningEdit};
use crate::evening::scenario::Serves;
use crate::floor::grid::is_way;
use crate::floor::world::{SpotId, World, usual_pull};
use crate::house::edit::{HouseEdit, PieceEdit};
use crate::house::plan::{Furniture, Opening, RoomId, Side};
use crate::study::improve::change::{Change, What};
use crate::study::where_to::{served_as_well_by, served_first_by, there};

/// There is room behind a piece if floor is clear so far from its edge, in meters: where a guest
/// stands.
const STANDING: f64 = 0.30;
/// Other openings tried for the line of a powder room.
const WAYS: usize = 3;

/// Lines for rooms that are used one at a time, turned toward another opening near them.
pub(super) fn lines_of_rooms(world: &World) -> Vec<Change> {
    let private = |s: &SpotId| {
        world.plan.room(&world.spots[*s].name).filter(|&r| world.plan.rooms[r].usage.is_private())
    };
    let rooms = world
        .spots_for(Serves::Powder)
        .iter()
        .filter_map(|s| private(s).map(|r| (world.spots[*s].name.clone(), r)));
    rooms
        .flat_map(|(name, room)| {
            ways_near(world, room).into_iter().map(move |way| toward(&name, &way))
        })
        .collect()
}

fn toward(spot: &str, way: &str) -> Change {
    let edit = EveningEdit::LineToward { spot: spot.into(), opening: way.into() };
    Change { what: What::LineTowards(spot.into(), way.into()), edits: Edits::of_evening([edit]) }
}

/// Openings between open rooms of its level, the nearest to a room's own door first, but for the
/// way in, to which lines run anyway.
fn ways_near(world: &World, room: RoomId) -> Vec<String> {
    let plan = &world.plan;
    let Some(door) = plan.openings.iter().find(|o| o.joins(room)) else {
        return vec![];
    };
    let open = |r: RoomId| usual_pull(plan.rooms[r].usage) > 0.0;
    let ways = plan.openings.iter_enumerated().filter(|(i, o)| {
        *i != world.entry && is_way(plan, *i, &world.open) && !o.to_outside() && o.rooms().all(open)
    });
    let level = |o: &Opening| plan.level_at(o.center.y);
    let ways = ways.filter(|(_, o)| level(o) == level(door));
    let mut near: Vec<(f64, String)> = ways
        .map(|(_, o)| {
            ((o.center.x - door.center.x).hypot(o.center.y - door.center.y), o.name.clone())
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    near.into_iter().take(WAYS).map(|n| n.1).collect()
}

/// Pieces that serve from one long side only.
pub(super) fn both_sides(world: &World) -> Vec<Change> {
    let pieces = world
        .spots
        .iter()
        .filter_map(|s| world.plan.piece(&s.name))
        .map(|p| &world.plan.furniture[p]);
    let room_behind = |f: &Furniture| {
        let unused = if f.sides.contains(&Side::Front) { Side::Back } else { Side::Front };
        f.edges_of(unused).iter().any(|e| {
            world.grid.clearance(e.middle.x + e.out.0 * STANDING, e.middle.y + e.out.1 * STANDING)
                > 0.0
        })
    };
    let one_sided = pieces.filter(|f| {
        f.sides.contains(&Side::Front) != f.sides.contains(&Side::Back) && room_behind(f)
    });
    let mut one_sided: Vec<&Furniture> = one_sided.collect();
    one_sided.dedup_by(|a, b| a.name == b.name);
    one_sided
        .into_iter()
        .map(|f| Change {
            what: What::BothSides(f.name.clone()),
            edits: of_piece(&f.name, PieceEdit::UseFrom(vec![Side::Front, Side::Back])),
        })
        .collect()
}

/// Glasses behind glass.
pub(super) fn in_sight(world: &World) -> Vec<Change> {
    let hidden = world
        .spots_for(Serves::Glasses)
        .iter()
        .map(|&s| &world.spots[s])
        .filter(|s| s.search > 0.0);
    hidden
        .map(|s| Change {
            what: What::InSight(s.name.clone()),
            edits: of_piece(&s.name, PieceEdit::GlassFront),
        })
        .collect()
}

fn of_piece(name: &str, edit: PieceEdit) -> Edits {
    Edits::of_house([HouseEdit::Piece(name.into(), edit)])
}

/// Food, drinks, coats and the powder room at what is there already: instead, or as well.
pub(super) fn on_what_is_there(world: &World) -> Vec<Change> {
    let served = |serves: &Serves| !world.spots_for(*serves).is_empty();
    let all =
        [Serves::Food, Serves::Drinks, Serves::Coats, Serves::Powder].into_iter().filter(served);
    all.flat_map(|serves| {
        // a powder room is not given up for another, and coats have the rack
        let names = there(world, serves);
        let instead = names
            .clone()
            .into_iter()
            .filter(move |_| matches!(serves, Serves::Food | Serves::Drinks));
        let instead = instead.map(move |name| Change {
            edits: Edits::of_evening(served_first_by(world, serves, &name)),
            what: What::On(serves, name),
        });
        let also = names.into_iter().map(move |name| Change {
            edits: Edits::of_evening(served_as_well_by(world, serves, &name)),
            what: What::Also(serves, name),
        });
        instead.chain(also)
    })
    .collect()
}

/// One more who pours.
pub(super) fn pourers(world: &World) -> Option<Change> {
    let poured = world
        .spots_for(Serves::Drinks)
        .iter()
        .map(|&s| &world.spots[s])
        .find(|s| s.serving.poured)?;
    let more = poured.serving.at_once.unwrap_or(1) + 1;
    Some(Change {
        what: What::AnotherPourer(Serves::Drinks),
        edits: Edits::of_evening([EveningEdit::AtOnce(poured.name.clone(), more)]),
    })
}
