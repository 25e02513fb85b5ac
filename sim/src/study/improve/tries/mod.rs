//! Every single change that a host or a designer could try on a house, one file for each sort.

mod moves;
mod openings;
mod halls;
mod spots;
mod pieces;
mod party;

use crate::files::Loaded;
use crate::floor::world::World;
use crate::study::improve::change::Change;

/// Every single change there is to try on a house as it is. Some may turn out not to work on the
/// floor.
pub fn changes(loaded: &Loaded, world: &World) -> Vec<Change> {
    let mut all = vec![];
    all.extend(openings::opened(world));
    all.extend(moves::moves(world));
    all.extend(spots::lines_of_rooms(world));
    all.extend(spots::both_sides(world));
    all.extend(spots::in_sight(world));
    all.extend(party::earlier(world));
    all.extend(party::staggered(world));
    all.extend(pieces::away(world));
    all.extend(spots::on_what_is_there(world));
    all.extend(pieces::seconds(world));
    all.extend(pieces::chairs(world));
    all.extend(openings::hung(world));
    all.extend(spots::pourers(world));
    all.extend(openings::wider_openings(world));
    all.extend(halls::wider_halls(loaded, world));
    all
}
