//! Spots of floor, by what stands around them.

use super::with_article;
use sim::floor::world::{PinchId, Surroundings, World};
use sim::house::plan::{OpeningId, PieceId};

/// How a spot of floor lies to what is near it.
struct Whereabouts {
    /// "between", "by", "in".
    lies: &'static str,
    /// "the island and the table", "the hall".
    to: String,
}

impl Whereabouts {
    fn of(world: &World, pinch: PinchId) -> Whereabouts {
        let plan = &world.plan;
        let piece = |p: PieceId| with_article(&plan.furniture[p].name);
        let zone = world.zone_of(pinch).map(|z| with_article(&plan.zones[z].name));
        let in_zone = |at: String| zone.as_ref().map_or(at.clone(), |z| format!("{at} in {z}"));
        let same = |a: PieceId, b: PieceId| plan.furniture[a].name == plan.furniture[b].name;
        let (lies, to) = match world.surroundings(pinch) {
            Surroundings::Opening(o) => ("at", way(world, o)),
            Surroundings::Stairs(_) => ("on", "the stairs".into()),
            Surroundings::Foot(_) => ("at", "the foot of the stairs".into()),
            Surroundings::Head(_) => ("at", "the head of the stairs".into()),
            Surroundings::Between(a, b) if same(a, b) => ("beside", in_zone(piece(a))),
            Surroundings::Between(a, b) => {
                ("between", in_zone(format!("{} and {}", piece(a), piece(b))))
            }
            Surroundings::Beside(a) => ("by", in_zone(piece(a))),
            Surroundings::Room(r) => {
                ("in", zone.unwrap_or_else(|| with_article(&plan.rooms[r].name)))
            }
        };
        Whereabouts { lies, to }
    }
}

/// Where a spot is: "between the island and the table", "at the doorway between the hall and the
/// kitchen".
pub fn at_spot(world: &World, pinch: PinchId) -> String {
    let Whereabouts { lies, to } = Whereabouts::of(world, pinch);
    format!("{lies} {to}")
}

/// The same as what jams: "the floor between the island and the table", "the doorway between the
/// hall and the kitchen".
pub fn spot_as_place(world: &World, pinch: PinchId) -> String {
    match Whereabouts::of(world, pinch) {
        Whereabouts { lies: "in" | "at" | "on", to } => to,
        Whereabouts { lies, to } => format!("the floor {lies} {to}"),
    }
}

/// A way through by its name, or by its rooms if the file gives it none.
fn way(world: &World, o: OpeningId) -> String {
    let opening = &world.plan.openings[o];
    let rooms: Vec<String> =
        opening.rooms().map(|r| with_article(&world.plan.rooms[r].name)).collect();
    match rooms.as_slice() {
        [a, b] if !opening.named => format!("the doorway between {a} and {b}"),
        _ => with_article(&opening.name),
    }
}

/// Whether the name of a place speaks of more than one thing: "the stairs".
pub fn is_many(what: &str) -> bool {
    let joints = [" of ", " between ", " to ", " by "];
    let end = joints.iter().filter_map(|joint| what.find(joint)).min().unwrap_or(what.len());
    let head = &what[..end];
    let is_one = ["ss", "us", "is"].iter().any(|end| head.ends_with(end));
    head.starts_with("the ") && head.ends_with('s') && !is_one
}

/// "jams", or "jam" of more than one thing.
pub fn jams_verb(what: &str) -> &'static str {
    if is_many(what) { "jam" } else { "jams" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_things_jam_and_one_thing_jams() {
        for many in ["the stairs", "the patio doors"] {
            assert_eq!(jams_verb(many), "jam", "{many}");
        }
        let one =
            ["the hall", "the foot of the stairs", "the doorway between the den and the stairs"];
        for one in one.into_iter().chain(["the pass", "the floor by the chairs", "hall to stairs"])
        {
            assert_eq!(jams_verb(one), "jams", "{one}");
        }
    }
}
