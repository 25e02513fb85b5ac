//! For tests of the floor and the crowd: one room with a bar at its north wall, a table for food from
//! both sides, and a powder room to the east.

#![expect(clippy::panic, reason = "a test whose house is wrong has to fail")]

use crate::base::units::{FOOT, Point};
use crate::evening::scenario::Serves;
use crate::files::{Asked, read};
use crate::floor::world::{SpotId, World};

const PLAN: &str = r#"
format = 1
room = [
  { name = "parlor", size = ["24ft", "20ft"] },
  { name = "powder", size = ["5ft", "6ft"], east_of = "parlor", flush = "south" },
]
opening = [
  { name = "front door", joins = ["outside", "parlor"], wall = "south", style = "cased", width = "4ft" },
  { name = "powder door", joins = ["parlor", "powder"], style = "cased", width = "30in" },
]
furniture = [
  { kind = "bar", room = "parlor", north = 0, west = "9ft", size = ["5ft", "2ft"], use_from = "front" },
  { kind = "table", name = "buffet", room = "parlor", at = ["3ft", "6ft"], size = ["8ft", "30in"], turn = 0, use_from = ["front", "back"] },
]
"#;

/// The house with an evening in whose file stand `more` lines.
pub(crate) fn house(more: &str) -> World {
    let evening = format!(
        "format = 1\nplan = \"plan.toml\"\noccasion = \"buffet\"\nguests = 12\n\
         place = {{ food = [\"buffet\"], drinks = [\"bar\"], powder = [\"powder\"] }}\n{more}"
    );
    let load =
        |path: &str| Ok(if path == "plan.toml" { PLAN.to_string() } else { evening.clone() });
    let read = read("evening.toml", &load, &Asked::default()).map_err(|r| r.problems);
    let loaded = read.unwrap_or_else(|problems| panic!("{problems:?}"));
    World::new(loaded.plan, loaded.scenario).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// The first spot that serves something.
pub(crate) fn spot(world: &World, serves: Serves) -> SpotId {
    world.spots_for(serves)[0]
}

/// A point in feet from the parlor's south-west corner.
pub(crate) fn point((x, y): (f64, f64)) -> Point {
    Point::from_meters(x * FOOT, y * FOOT)
}
