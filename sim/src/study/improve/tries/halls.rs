//! Halls made wider.

use crate::base::units::{INCH, Written};
use crate::evening::edit::Edits;
use crate::files::Loaded;
use crate::floor::world::World;
use crate::house::edit::{HouseEdit, RoomEdit};
use crate::house::plan::said::Compass;
use crate::house::plan::{PieceId, Plan, RoomId, Use};
use crate::study::improve::change::{Change, WIDER, What};
use std::collections::BTreeSet;

/// A room narrower than this is a hall to walk along, in meters (6 ft).
const NARROW_ROOM: f64 = 72.0 * INCH;

/// Halls made wider at the cost of the rooms that would otherwise move: the house stays as large as
/// it is.
pub(super) fn wider_halls(loaded: &Loaded, world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let halls = plan.rooms.keys().filter(|&r| {
        let usage = plan.rooms[r].usage;
        let walked =
            !usage.is_private() && !matches!(usage, Use::Closet | Use::Stairs | Use::Outdoors);
        walked && plan.rooms[r].narrow_side() < NARROW_ROOM && world.is_reachable_room(r)
    });
    halls.filter_map(|r| wider_hall(loaded, plan, r)).collect()
}

fn wider_hall(loaded: &Loaded, plan: &Plan, hall: RoomId) -> Option<Change> {
    let [w, s, e, n] = plan.rooms[hall].bounds();
    let across = if e - w <= n - s { 0 } else { 1 };
    let alone = Edits::of_house(sized(plan, &[(hall, WIDER)], across));
    let (moved, _) = loaded.with(&alone).ok()?;
    let low = |p: &Plan, r: RoomId| p.rooms[r].bounds()[across];
    let neighbors: Vec<RoomId> = plan
        .rooms
        .keys()
        .filter(|&r| r != hall && (low(&moved, r) - low(plan, r) - WIDER).abs() < 1e-6)
        .collect();
    // rooms beside the hall give way; rooms behind them stay where they are if they can be flush
    // with the far side, or give way too
    let (beside, behind): (Vec<RoomId>, Vec<RoomId>) =
        neighbors.iter().partition(|&&r| touches(plan, hall, r, across));
    let ways = [(beside, behind), (neighbors, vec![])];
    ways.into_iter().find_map(|(takes, flush)| {
        let wider = widened(plan, (hall, across), &takes, &flush)?;
        in_the_same_house(loaded, plan, (hall, &takes), wider)
    })
}

/// A hall made wider along an axis, rooms that become narrower by as much, and others flush with
/// the far side. Stairs keep their size, and so do rooms that are no rectangles.
fn widened(
    plan: &Plan,
    (hall, across): (RoomId, usize),
    takes: &[RoomId],
    flush: &[RoomId],
) -> Option<Vec<HouseEdit>> {
    let may_change =
        |&r: &RoomId| is_rectangle(plan, r) && (r == hall || plan.stairs_of(r).is_none());
    if !takes.iter().chain([&hall]).all(may_change) {
        return None;
    }
    let far = [Compass::East, Compass::North][across];
    let name = |r: &RoomId| plan.rooms[*r].name.clone();
    let sizes: Vec<(RoomId, f64)> =
        takes.iter().map(|&r| (r, -WIDER)).chain([(hall, WIDER)]).collect();
    let flush = flush.iter().map(|r| HouseEdit::Room(name(r), RoomEdit::Flush(far)));
    Some(sized(plan, &sizes, across).into_iter().chain(flush).collect())
}

/// The change, without the pieces that lose their floor by it, if the house stays as large as it
/// is.
fn in_the_same_house(
    loaded: &Loaded,
    plan: &Plan,
    (hall, takes): (RoomId, &[RoomId]),
    wider: Vec<HouseEdit>,
) -> Option<Change> {
    let mut edits = Edits::of_house(wider);
    let away = without_floor(loaded, plan, &edits);
    edits.house.extend(away.iter().cloned().map(HouseEdit::Remove));
    let (built, _) = loaded.with(&edits).ok()?;
    let same = built.bounds().iter().zip(plan.bounds()).all(|(a, b)| (a - b).abs() < 1e-6);
    let from = plan.rooms[hall].narrow_side();
    let name = |r: RoomId| plan.rooms[r].name.clone();
    let takes = takes.iter().map(|&r| name(r)).collect();
    same.then(|| Change {
        what: What::WiderHall { hall: name(hall), from, to: from + WIDER, takes, away },
        edits,
    })
}

/// Only a rectangle can be made narrower by its size.
fn is_rectangle(plan: &Plan, room: RoomId) -> bool {
    let [w, s, e, n] = plan.rooms[room].bounds();
    (plan.rooms[room].area() - (e - w) * (n - s)).abs() < 1e-6
}

/// Whether a room begins where a hall ends along an axis, and they lie beside each other across it.
fn touches(plan: &Plan, hall: RoomId, room: RoomId, axis: usize) -> bool {
    let (h, r) = (plan.rooms[hall].bounds(), plan.rooms[room].bounds());
    let other = 1 - axis;
    (r[axis] - h[axis + 2] - plan.walls).abs() < 1e-6
        && r[other] < h[other + 2]
        && r[other + 2] > h[other]
}

/// Movable pieces that a change leaves without floor.
fn without_floor(loaded: &Loaded, plan: &Plan, edits: &Edits) -> Vec<String> {
    let problems = loaded.with(edits).err().unwrap_or_default();
    let pieces = problems
        .iter()
        .filter_map(|p| p.at.strip_prefix("furniture/")?.split('/').next()?.parse::<usize>().ok());
    // one that would stand in two others is told twice
    let pieces: BTreeSet<usize> = pieces.collect();
    pieces
        .into_iter()
        .filter_map(|i| plan.furniture.get(PieceId::from(i)))
        .filter(|f| f.kind.may_move())
        .map(|f| f.name.clone())
        .collect()
}

/// Rooms that change along one axis by so many meters.
fn sized(plan: &Plan, rooms: &[(RoomId, f64)], axis: usize) -> Vec<HouseEdit> {
    let sized = |&(r, by): &(RoomId, f64)| {
        let [w, s, e, n] = plan.rooms[r].bounds();
        let mut size = [e - w, n - s];
        size[axis] += by;
        let size = size.map(|m| Written::new(m, plan.system));
        HouseEdit::Room(plan.rooms[r].name.clone(), RoomEdit::Size(size))
    };
    rooms.iter().map(sized).collect()
}
