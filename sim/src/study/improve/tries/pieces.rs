//! Pieces taken away, or bought and hired: a second bar, a rack, chairs.

use crate::base::units::{INCH, Written};
use crate::evening::edit::Edits;
use crate::evening::scenario::Serves;
use crate::floor::world::{ELBOW_ROOM, World, usual_pull};
use crate::house::edit::{HouseEdit, NewPiece};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{RoomId, Use};
use crate::study::evening::{Subject, bound_asked};
use crate::study::improve::change::{Change, What};
use crate::study::where_to::sites::{Piece, Site, sites, thinned};
use crate::study::where_to::{added, free_name, rooms, served_as_well_by, served_first_by};

/// Places tried for a second bar or a rack.
const SITES: usize = 4;

/// Movable pieces where guests are that serve nothing.
pub(super) fn away(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let serves = |name: &str| world.spots.iter().any(|s| s.name == name);
    let kinds = |k: Kind| k.may_move() && !matches!(k, Kind::Rack | Kind::Cooler | Kind::Grill);
    let pieces = plan.furniture.iter().filter(|f| {
        kinds(f.kind) && usual_pull(plan.rooms[f.room].usage) > 0.0 && !serves(&f.name)
    });
    pieces
        .map(|f| Change {
            what: What::Away(f.name.clone()),
            edits: Edits::of_house([HouseEdit::Remove(f.name.clone())]),
        })
        .collect()
}

/// A second bar; a rack for coats, as well as where they are now, or instead.
pub(super) fn seconds(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    let mut all = vec![];
    for (serves, kind, wish) in
        [(Serves::Drinks, Kind::Bar, "second bar"), (Serves::Coats, Kind::Rack, "coat rack")]
    {
        let Some(&first) = world.spots_for(serves).first() else {
            continue;
        };
        let usual = kind.usual();
        let (width, depth, name) = (usual.width.m(), usual.depth.m(), free_name(plan, wish));
        let rooms = rooms(world, serves);
        for site in thinned(sites(world, &Piece { width, depth, moved: None }, &rooms), SITES) {
            let new = |holds| {
                let size = [width, depth].map(|m| Written::new(m, plan.system));
                [HouseEdit::Add(added(world, (kind, &name), size, &site, holds))].into()
            };
            all.push(Change {
                what: What::Second(serves, site),
                edits: Edits { house: new(None), evening: served_as_well_by(world, serves, &name) },
            });
            if serves == Serves::Coats {
                let holds = Some(world.spots[first].holds.unwrap_or(0));
                let evening = served_first_by(world, serves, &name);
                all.push(Change {
                    what: What::Instead(serves, site),
                    edits: Edits { house: new(holds), evening },
                });
            }
        }
    }
    all
}

/// Rows of folding chairs, the longest first; a chair is so deep, in meters (20 in: common
/// practice).
const ROWS: [u32; 2] = [4, 2];
const CHAIR: f64 = 20.0 * INCH;

/// More chairs, where guests look for seats.
pub(super) fn chairs(world: &World) -> Vec<Change> {
    let plan = &world.plan;
    if bound_asked(world, Subject::SeatsShort).is_none() {
        return vec![];
    }
    let sits = |r: &RoomId| !matches!(plan.rooms[*r].usage, Use::Kitchen | Use::Hall);
    let rooms: Vec<RoomId> = rooms(world, Serves::Food).into_iter().filter(sits).collect();
    ROWS.into_iter().flat_map(|count| rows_of(world, count, &rooms)).collect()
}

/// So many chairs in a row against walls of some rooms.
fn rows_of(world: &World, count: u32, rooms: &[RoomId]) -> Vec<Change> {
    let plan = &world.plan;
    let (width, name) = (f64::from(count) * ELBOW_ROOM, free_name(plan, "folding chairs"));
    let size = [width, CHAIR].map(|m| Written::new(m, plan.system));
    let all = sites(world, &Piece { width, depth: CHAIR, moved: None }, rooms);
    let walls: Vec<Site> = all.into_iter().filter(|s| !s.against.is_free()).collect();
    let row = |site: Site| {
        let bench = added(world, (Kind::Bench, &name), size, &site, None);
        let chairs = NewPiece { seats: Some(count), ..bench };
        Change { what: What::Chairs(count, site), edits: Edits::of_house([HouseEdit::Add(chairs)]) }
    };
    thinned(walls, SITES).into_iter().map(row).collect()
}
