//! Clear floor as exact polygons: the floor of rooms, openings and the ground outside, less what
//! stands on it.

use crate::base::ids::TiSlice;
use crate::base::units::FOOT;
use crate::house::plan::{
    LEAF_THICKNESS, LEVER, LEVER_DEPTH, Opening, OpeningId, Plan, RoomId, Use,
};
use geo::orient::Direction;
use geo::{BooleanOps, Coord, Line, LineString, MultiPolygon, Orient, Polygon, unary_union};

/// A closet less than this deep or wide is served from the floor before it, in meters (3 ft: a 2 ft
/// rod and room to stand).
const WALK_IN: f64 = 3.0 * FOOT;
/// Depth of the ground outside a way out that guests can stand on, in meters.
pub const APRON_DEPTH: f64 = 1.8;
/// How far it reaches beyond the opening on either side, in meters: a step and some walk beside it.
pub const APRON_ASIDE: f64 = 1.5;

/// Whether guests can stand in a room.
pub fn walk_in(plan: &Plan, room: RoomId) -> bool {
    let r = &plan.rooms[room];
    r.usage != Use::Closet || r.narrow_side() >= WALK_IN
}

/// Whether an opening is a way for guests: open, and no shallow closet behind it.
pub fn is_way(plan: &Plan, opening: OpeningId, open: &TiSlice<OpeningId, bool>) -> bool {
    open[opening] && plan.openings[opening].rooms().all(|r| walk_in(plan, r))
}

/// The ground outside a way out, rooms not taken off.
pub(in crate::floor) fn apron(opening: &Opening) -> Polygon<f64> {
    let (half, near, far) = (
        opening.clear / 2.0 + APRON_ASIDE,
        opening.depth / 2.0 - 0.001,
        opening.depth / 2.0 + APRON_DEPTH,
    );
    let corners =
        [(-half, near), (half, near), (half, far), (-half, far)].map(|(a, t)| opening.point(a, t));
    Polygon::new(LineString::from(corners.to_vec()), vec![])
}

/// The ground outside each way out.
pub(super) fn aprons(plan: &Plan, ways: &[OpeningId]) -> Vec<(OpeningId, MultiPolygon<f64>)> {
    let clear = |o: OpeningId| {
        let ground = MultiPolygon::new(vec![apron(&plan.openings[o])]);
        plan.rooms.iter().fold(ground, |ground, room| ground.difference(&room.outline))
    };
    let out = ways.iter().filter(|&&o| plan.openings[o].to_outside());
    out.map(|&o| (o, clear(o))).collect()
}

/// All floor of an empty house, with the leaves of its open doors.
pub(super) fn empty_floor(
    plan: &Plan,
    ways: &[OpeningId],
    aprons: &[(OpeningId, MultiPolygon<f64>)],
) -> MultiPolygon<f64> {
    let rooms = plan.rooms.keys().filter(|&r| walk_in(plan, r));
    let rooms = rooms.map(|r| plan.rooms[r].outline.clone());
    let ground = aprons.iter().flat_map(|(_, ground)| ground.iter().cloned());
    let passages = ways.iter().map(|&o| plan.openings[o].passage());
    let leaves = ways.iter().flat_map(|&o| leaf_boxes(&plan.openings[o]));
    joined(rooms.chain(ground).chain(passages)).difference(&joined(leaves))
}

/// What the furniture leaves of it.
pub(super) fn clear_floor(empty: &MultiPolygon<f64>, plan: &Plan) -> MultiPolygon<f64> {
    let pieces = plan.furniture.iter().filter(|f| walk_in(plan, f.room));
    empty.difference(&joined(pieces.map(|f| f.outline.clone())))
}

fn joined(polygons: impl Iterator<Item = Polygon<f64>>) -> MultiPolygon<f64> {
    // all rings run the same way round, or one hides another
    let polygons: Vec<_> = polygons.map(|p| p.orient(Direction::Default)).collect();
    unary_union(&polygons)
}

/// The edges of polygons.
pub(super) fn edges(polygons: &[Polygon<f64>]) -> Vec<Line<f64>> {
    let rings = polygons.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
    rings.flat_map(LineString::lines).collect()
}

/// What the open leaves of an opening take: each stands in the opening with its edge, up to the
/// clear width, and its lever in the way.
fn leaf_boxes(opening: &Opening) -> Vec<Polygon<f64>> {
    let boxes = opening.leaves.iter().filter(|l| l.stands).flat_map(|leaf| {
        let unit = |from: Coord<f64>, to: Coord<f64>| {
            ((to.x - from.x) / leaf.width(), (to.y - from.y) / leaf.width())
        };
        let (across, out) = (unit(leaf.hinge, leaf.shut), unit(leaf.hinge, leaf.open));
        let at = |(into, along): (f64, f64)| Coord {
            x: leaf.hinge.x + across.0 * into + out.0 * along,
            y: leaf.hinge.y + across.1 * into + out.1 * along,
        };
        let piece = |into: [f64; 2], along: [f64; 2]| {
            let corners = [
                (into[0], along[0]),
                (into[1], along[0]),
                (into[1], along[1]),
                (into[0], along[1]),
            ]
            .map(at);
            Polygon::new(LineString::from(corners.to_vec()), vec![])
        };
        // the clear width is counted from its face
        let face = (opening.sold - opening.clear) / 2.0;
        let lever = LEVER.map(|from_edge| leaf.width() - from_edge);
        [
            piece([face - LEAF_THICKNESS, face], [0.0, leaf.width()]),
            piece([face, face + LEVER_DEPTH], lever),
        ]
    });
    boxes.collect()
}
