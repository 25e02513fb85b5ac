//! Places: every point of floor belongs to one. An opening owns its clear width through the wall
//! and 3 ft into each room.

use crate::base::ids::{TiSlice, TiVec, id};
use crate::floor::grid::{Area, Grid, is_way};
use crate::house::plan::{OUTSIDE, Opening, OpeningId, Plan, Room, RoomId};
use geo::BoundingRect;

id! {
    /// The number of a place in its world.
    PlaceId
}

/// A room, an opening with its own floor, or the ground outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its name: that of the room or opening, or `outside`.
    pub name: String,
    /// What it is.
    pub of: PlaceOf,
}

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaceOf {
    /// A room without the floor of its openings.
    Room(RoomId),
    /// An opening with its own floor.
    Opening(OpeningId),
    /// The ground outside.
    Outside,
}

impl Place {
    /// The opening, if it is one.
    pub fn opening(&self) -> Option<OpeningId> {
        if let PlaceOf::Opening(o) = self.of { Some(o) } else { None }
    }
}

/// All places of a plan.
pub(super) fn of(plan: &Plan) -> TiVec<PlaceId, Place> {
    let room = |(i, r): (RoomId, &Room)| Place { name: r.name.clone(), of: PlaceOf::Room(i) };
    let opening =
        |(i, o): (OpeningId, &Opening)| Place { name: o.name.clone(), of: PlaceOf::Opening(i) };
    let mut places: TiVec<PlaceId, Place> =
        plan.named_rooms().iter_enumerated().map(room).collect();
    places.extend(plan.openings.iter_enumerated().map(opening));
    places.push(Place { name: OUTSIDE.into(), of: PlaceOf::Outside });
    places
}

/// The place of each lattice node, if it is in one: that of the opening through whose
/// wall it is nearest, if it is on its own floor, or of its area.
pub(super) fn of_nodes(
    plan: &Plan,
    grid: &Grid,
    open: &TiSlice<OpeningId, bool>,
) -> Vec<Option<PlaceId>> {
    let rooms = plan.named_rooms().len();
    let of_opening = |o: OpeningId| PlaceId::from(rooms + usize::from(o));
    let outside = PlaceId::from(rooms + plan.openings.len());
    let by_area = |n: usize| match grid.area_at_node(n) {
        Area::None => None,
        Area::Outside(_) => Some(outside),
        Area::Room(r) => Some(PlaceId::from(usize::from(plan.named_room(r)))),
        Area::Passage(o) => Some(of_opening(o)),
    };
    let mut places: Vec<Option<PlaceId>> = (0..grid.len()).map(by_area).collect();
    let mut nearest = vec![f64::INFINITY; grid.len()];
    for o in plan.openings.keys().filter(|&o| is_way(plan, o, open)) {
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
                places[n] = Some(of_opening(o));
            }
        }
    }
    places
}

/// Distance through the wall if the point is the opening's own.
fn owns(o: &Opening, area: Area, x: f64, y: f64) -> Option<f64> {
    let joined = match area {
        Area::Room(r) => o.joins(r),
        Area::Passage(_) => true,
        _ => false,
    };
    let (dx, dy) = (x - o.center.x, y - o.center.y);
    let along = (dx * o.along.0 + dy * o.along.1).abs();
    let through = (dx * o.through.0 + dy * o.through.1).abs();
    (joined && along <= o.clear / 2.0 && through <= o.depth / 2.0 + Opening::REACH)
        .then_some(through)
}
