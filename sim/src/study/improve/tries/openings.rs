//! Changes of doors and openings: opened, rehung, replaced, made wider.

use crate::base::units::{INCH, System, Written};
use crate::evening::edit::{Edits, EveningEdit};
use crate::floor::grid::is_way;
use crate::floor::world::World;
use crate::house::edit::{HouseEdit, OpeningEdit};
use crate::house::plan::said::Compass;
use crate::house::plan::{Leaf, Opening, Plan, Style, Use, Xy};
use crate::study::improve::change::{Change, WIDER, What};
use crate::study::where_to::sites::{inner, meets};

/// Openings wider than this are no narrow place, in meters (8 ft).
const WIDE_OPENING: f64 = 96.0 * INCH;

/// Doors that are shut, opened.
pub(super) fn opened(world: &World) -> Vec<Change> {
    let shut = world.plan.openings.iter().zip(&world.open).filter(|(_, open)| !**open);
    shut.map(|(o, _)| Change {
        what: What::Open(o.name.clone()),
        edits: Edits::of_evening([EveningEdit::Open(o.name.clone())]),
    })
    .collect()
}

/// Doors whose leaf stands in the way, hung on the other side, or to swing into the other room.
pub(super) fn hung(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let standing = plan
        .openings
        .iter()
        .filter(|o| o.leaves.len() == 1 && o.leaves[0].stands && !o.to_outside());
    standing
        .flat_map(|o| {
            let leaf = &o.leaves[0];
            let toward =
                |at: &Xy, v: (f64, f64)| (at.x - o.center.x) * v.0 + (at.y - o.center.y) * v.1;
            let hinge = Compass::ALL.into_iter().find(|c| {
                c.vector().0 * o.along.0 + c.vector().1 * o.along.1 != 0.0
                    && toward(&leaf.hinge, c.vector()) > o.clear / 4.0
            });
            let into = usize::from(toward(&leaf.open, o.through) > toward(&leaf.hinge, o.through));
            let name = |side: usize| o.sides()[side].map(|r| plan.rooms[r].name.clone());
            let ways = [(into, hinge.map(Compass::opposite)), (1 - into, hinge)];
            ways.into_iter()
                .filter_map(move |(side, hinge)| Some((o.name.clone(), name(side)?, hinge?)))
                .collect::<Vec<_>>()
        })
        .filter(|(door, into, hinge)| swings_clear(plan, door, into, *hinge))
        .map(|(door, into, hinge)| {
            let swing = OpeningEdit::Swing { into: into.clone(), hinge };
            Change { edits: edits(&door, swing), what: What::Hung(door, into, hinge) }
        })
        .collect()
}

/// Whether a leaf has floor to swing over in a room: no stairs, no piece and no other leaf that
/// stands there.
fn swings_clear(plan: &Plan, door: &str, into: &str, hinge: Compass) -> bool {
    let (Some(o), Some(room)) = (plan.openings.iter().find(|o| o.name == door), plan.room(into))
    else {
        return false;
    };
    let (side, inward) = (hinge.vector(), if o.outer == Some(room) { 1.0 } else { -1.0 });
    let along = if side.0 * o.along.0 + side.1 * o.along.1 > 0.0 { 1.0 } else { -1.0 };
    let face = o.depth / 2.0;
    let at =
        |across: f64, deep: f64| o.point(along * (o.sold / 2.0 - across), inward * (face + deep));
    let leaf =
        Leaf { hinge: at(0.0, 0.0), shut: at(o.sold, 0.0), open: at(0.0, o.sold), stands: true };
    // what only touches it is not hit
    let swept = inner(&leaf.swept());
    let pieces = plan.furniture.iter().filter(|f| f.room == room);
    let leaves = plan
        .openings
        .iter()
        .filter(|other| other.name != o.name)
        .flat_map(|other| &other.leaves)
        .filter(|leaf| leaf.stands);
    plan.rooms[room].usage != Use::Stairs
        && pieces.into_iter().all(|f| !meets(&f.outline, &swept))
        && leaves.into_iter().all(|leaf| {
            !geo::Intersects::intersects(&swept, &geo::Line::new(leaf.hinge, leaf.open))
        })
}

/// Openings made wider: doors as they are sold, others by some inches.
pub(super) fn wider_openings(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let ways = plan
        .openings
        .iter_enumerated()
        .filter(|(i, o)| is_way(plan, *i, &world.open) && o.clear < WIDE_OPENING);
    ways.filter_map(|(_, o)| {
        if o.style == Style::Hinged {
            wider_door(o, plan.system)
        } else {
            Some(wider_opening(o, plan.system))
        }
    })
    .collect()
}

fn wider_opening(o: &Opening, system: System) -> Change {
    let to = o.clear + WIDER;
    Change {
        what: What::WiderOpening(o.name.clone(), o.clear, to),
        edits: edits(&o.name, OpeningEdit::Clear(Written::new(to, system))),
    }
}

/// Widths of leaves as they are sold, in meters: in inches (common practice), and those of DIN
/// 18101 (from memory).
const SOLD: [f64; 6] =
    [24.0 * INCH, 28.0 * INCH, 30.0 * INCH, 32.0 * INCH, 36.0 * INCH, 42.0 * INCH];
const SOLD_METRIC: [f64; 5] = [0.61, 0.735, 0.86, 0.985, 1.11];
/// A wider door is wider by so much at least, in meters.
const DOOR_WIDER: f64 = 4.0 * INCH;

/// The next wider door that is sold, for a single one on hinges.
fn wider_door(o: &Opening, system: System) -> Option<Change> {
    let sold: &[f64] = if system == System::Feet { &SOLD } else { &SOLD_METRIC };
    let to = sold.iter().copied().find(|w| *w >= o.sold + DOOR_WIDER - 1e-6)?;
    let [sold, clear] = [to, Style::Hinged.clear(to).0].map(|m| Written::new(m, system));
    Some(Change {
        what: What::WiderDoor(o.name.clone(), o.sold, to),
        edits: edits(&o.name, OpeningEdit::Width { sold, clear }),
    })
}

fn edits(opening: &str, edit: OpeningEdit) -> Edits {
    Edits::of_house([HouseEdit::Opening(opening.into(), edit)])
}
