//! Places: every point of floor belongs to one. An opening owns its clear width through the wall
//! and 3 ft into each room.

use super::World;
use crate::floor::grid::{Area, is_way};
use crate::house::plan::Opening;

/// Index of a place.
pub type PlaceId = u16;

/// A room, an opening with its own floor, or the ground outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its name: that of the room or opening, or `outside`.
    pub name: String,
    /// The room, for rooms.
    pub room: Option<usize>,
    /// The opening, for openings.
    pub opening: Option<usize>,
}

pub(super) fn lay(world: &mut World) {
    let plan = &world.plan;
    let room = |(i, r): (usize, &crate::house::plan::Room)| Place {
        name: r.name.clone(),
        room: Some(i),
        opening: None,
    };
    let opening =
        |(i, o): (usize, &Opening)| Place { name: o.name.clone(), room: None, opening: Some(i) };
    let mut places: Vec<Place> = plan.named_rooms().iter().enumerate().map(room).collect();
    places.extend(plan.openings.iter().enumerate().map(opening));
    places.push(Place { name: crate::house::plan::OUTSIDE.into(), room: None, opening: None });
    let rooms = plan.named_rooms().len();
    let ways: Vec<usize> =
        (0..plan.openings.len()).filter(|&o| is_way(plan, o, &world.open)).collect();
    let outside = (places.len() - 1) as PlaceId;
    world.place_of = (0..world.grid.len())
        .map(|n| {
            let p = world.grid.node_xy(n);
            let area = world.grid.area_at_node(n);
            let owner = ways
                .iter()
                .copied()
                .filter_map(|o| owns(&plan.openings[o], area, p.x, p.y).map(|d| (d, o)));
            let nearest = owner.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            match (nearest, area) {
                (_, Area::None) => PlaceId::MAX,
                (_, Area::Outside(_)) => outside,
                (Some((_, o)), _) => (rooms + o) as PlaceId,
                (None, Area::Room(r)) => plan.named_room(r as usize) as PlaceId,
                (None, Area::Passage(o)) => rooms as PlaceId + o,
            }
        })
        .collect();
    world.places = places;
}

/// Distance through the wall if the point is the opening's own.
fn owns(o: &Opening, area: Area, x: f64, y: f64) -> Option<f64> {
    let joined = match area {
        Area::Room(r) => o.rooms.contains(&Some(r as usize)),
        Area::Passage(_) => true,
        _ => false,
    };
    let (dx, dy) = (x - o.center.x, y - o.center.y);
    let along = (dx * o.along.0 + dy * o.along.1).abs();
    let through = (dx * o.through.0 + dy * o.through.1).abs();
    (joined && along <= o.clear / 2.0 && through <= o.depth / 2.0 + Opening::REACH)
        .then_some(through)
}
