//! Houses and evenings to measure with: the demos, with other headcounts.
#![allow(clippy::unwrap_used)]

use sim::evening::scenario::Scenario;
use sim::files::{Asked, Loaded, read};
use sim::floor::world::World;
use std::path::Path;

/// A demo's evening.
pub fn demo(name: &str) -> Loaded {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let path = folder.join(format!("{name}.toml")).display().to_string();
    let load = |path: &str| std::fs::read_to_string(path).map_err(|e| e.to_string());
    read(&path, &load, &Asked::default()).unwrap()
}

/// A demo's evening on the floor with so many guests.
pub fn with_guests(name: &str, guests: u32) -> World {
    let Loaded { plan, scenario, .. } = demo(name);
    World::new(plan, Scenario { guests, ..scenario }).unwrap()
}
