//! Places: every point of floor belongs to one. An opening owns its clear width through the wall
//! and 3 ft into each room.

use crate::floor::grid::{Area, Grid, is_way};
use crate::house::plan::{OUTSIDE, Opening, Plan, Room};
use geo::BoundingRect;

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

/// All places of a plan.
pub(super) fn of(plan: &Plan) -> Vec<Place> {
    let room =
        |(i, r): (usize, &Room)| Place { name: r.name.clone(), room: Some(i), opening: None };
    let opening =
        |(i, o): (usize, &Opening)| Place { name: o.name.clone(), room: None, opening: Some(i) };
    let mut places: Vec<Place> = plan.named_rooms().iter().enumerate().map(room).collect();
    places.extend(plan.openings.iter().enumerate().map(opening));
    places.push(Place { name: OUTSIDE.into(), room: None, opening: None });
    places
}

/// The place of each lattice node, `PlaceId::MAX` off all of them: that of the opening through whose
/// wall it is nearest, if it is on its own floor, or of its area.
pub(super) fn of_nodes(plan: &Plan, grid: &Grid, open: &[bool]) -> Vec<PlaceId> {
    let rooms = plan.named_rooms().len();
    let outside = (rooms + plan.openings.len()) as PlaceId;
    let by_area = |n: usize| match grid.area_at_node(n) {
        Area::None => PlaceId::MAX,
        Area::Outside(_) => outside,
        Area::Room(r) => plan.named_room(r as usize) as PlaceId,
        Area::Passage(o) => rooms as PlaceId + o,
    };
    let mut places: Vec<PlaceId> = (0..grid.len()).map(by_area).collect();
    let mut nearest = vec![f64::INFINITY; grid.len()];
    for o in (0..plan.openings.len()).filter(|&o| is_way(plan, o, open)) {
        let opening = &plan.openings[o];
        let Some(ends) = opening.box_of(opening.clear, Opening::REACH).bounding_rect() else {
            continue;
        };
        let (columns, lines) =
            grid.nodes_within([ends.min().x, ends.min().y, ends.max().x, ends.max().y]);
        for n in lines.flat_map(|j| columns.clone().map(move |i| j * grid.width + i)) {
            let p = grid.node_xy(n);
            let through = owns(opening, grid.area_at_node(n), p.x, p.y);
            if let Some(through) = through.filter(|through| *through < nearest[n]) {
                nearest[n] = through;
                places[n] = (rooms + o) as PlaceId;
            }
        }
    }
    places
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
