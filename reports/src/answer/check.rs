//! What `check --json` says of a plan.

use super::{FORMAT, Inputs, assumed, inputs, program, round};
use crate::words;
use serde::Serialize;
use sim::files::Loaded;
use sim::floor::faults::{Disagreement, Fault, narrow_for_wheelchairs};
use sim::floor::world::World;
use sim::floor::world::aisles::Aisle;
use sim::house::plan::{OUTSIDE, Opening, Plan, Room, Stairs};

/// What `check` understood, and what it would change.
#[derive(Debug, Serialize)]
pub struct Understood {
    /// Always 1.
    pub format: u32,
    /// Program and version.
    pub program: String,
    /// `check`.
    pub question: &'static str,
    /// The files.
    pub inputs: Inputs,
    /// The answer in a sentence.
    pub answer: String,
    /// Rooms, in file order.
    pub rooms: Vec<RoomSize>,
    /// Stairs, in file order.
    pub stairs: Vec<Flight>,
    /// Openings, in file order.
    pub openings: Vec<ClearWidth>,
    /// Clear floor next to furniture.
    pub aisles: Vec<AisleWidth>,
    /// Clear floor guests can use.
    pub clear_floor_m2: f64,
    /// Seats guests can use.
    pub seats: usize,
    /// Measures that disagree, in sentences.
    pub disagree: Vec<String>,
    /// What is worth changing, the worst first.
    pub faults: Vec<Faulty>,
    /// Openings that are too narrow for a wheelchair.
    pub too_narrow_for_wheelchairs: Vec<String>,
    /// What was chosen or assumed.
    pub assumed: Vec<String>,
    /// The caution.
    pub caution: String,
}

/// A room.
#[derive(Debug, Serialize)]
pub struct RoomSize {
    /// Its name.
    pub name: String,
    /// Its level; empty where the house has one.
    pub level: String,
    /// What it is used as.
    pub r#use: &'static str,
    /// Area inside, in m2.
    pub area_m2: f64,
    /// Inside, in meters.
    pub east_west_m: f64,
    /// Inside, in meters.
    pub north_south_m: f64,
}

/// A flight of stairs.
#[derive(Debug, Serialize)]
pub struct Flight {
    /// Its name.
    pub name: String,
    /// The levels it joins, the lower one first.
    pub levels: [String; 2],
    /// Floor to floor, in meters.
    pub rise_m: f64,
    /// Length on the plan, in meters.
    pub run_m: f64,
    /// Risers.
    pub risers: u32,
    /// Depth of a tread, in meters.
    pub tread_m: f64,
}

/// An opening.
#[derive(Debug, Serialize)]
pub struct ClearWidth {
    /// Its name.
    pub name: String,
    /// Its rooms, or `outside`.
    pub joins: [String; 2],
    /// How it is closed.
    pub style: &'static str,
    /// Clear width, in meters.
    pub clear_m: f64,
    /// Whether guests walk through it.
    pub open: bool,
}

/// Clear floor before a side of a piece.
#[derive(Debug, Serialize)]
pub struct AisleWidth {
    /// The piece.
    pub before: String,
    /// Which side of it.
    pub side: &'static str,
    /// Clear width, in meters.
    pub clear_m: f64,
}

/// One thing worth changing.
#[derive(Debug, Serialize)]
pub struct Faulty {
    /// In a sentence.
    pub says: String,
    /// What is missing, as far as that can be told.
    pub missing_m: Option<f64>,
}

/// The answer of `check`.
pub fn check(
    loaded: &Loaded,
    world: &World,
    aisles: &[Aisle],
    faults: &[Fault],
    disagree: &[Disagreement],
) -> Understood {
    let plan = &world.plan;
    let openings = plan.openings.iter().zip(&world.open);
    let narrow = narrow_for_wheelchairs(plan).into_iter();
    Understood {
        format: FORMAT,
        program: program(),
        question: "check",
        inputs: inputs(loaded),
        answer: words::check::understood(world, disagree.len(), faults.len()),
        rooms: plan.named_rooms().iter().map(|r| room(plan, r)).collect(),
        stairs: plan.stairs.iter().map(|s| flight(plan, s)).collect(),
        openings: openings.map(|(o, open)| opening(plan, o, *open)).collect(),
        aisles: aisles.iter().map(|a| aisle(plan, a)).collect(),
        clear_floor_m2: round(world.clear_floor),
        seats: world.seats.len(),
        disagree: disagree.iter().map(|d| words::check::disagreement(plan, d)).collect(),
        faults: faults.iter().map(|f| faulty(world, f)).collect(),
        too_narrow_for_wheelchairs: narrow.map(|o| plan.openings[o].name.clone()).collect(),
        assumed: assumed(world),
        caution: words::CAUTION.to_string(),
    }
}

fn room(plan: &Plan, r: &Room) -> RoomSize {
    let [w, s, e, n] = r.bounds();
    RoomSize {
        name: r.name.clone(),
        level: plan.levels[r.level].name.clone(),
        r#use: r.usage.word(),
        area_m2: round(r.area()),
        east_west_m: round(e - w),
        north_south_m: round(n - s),
    }
}

fn flight(plan: &Plan, s: &Stairs) -> Flight {
    Flight {
        name: plan.rooms[s.rooms[0]].name.clone(),
        levels: s.rooms.map(|r| plan.levels[plan.rooms[r].level].name.clone()),
        rise_m: round(s.rise),
        run_m: round(s.run),
        risers: s.risers(),
        tread_m: round(s.tread()),
    }
}

fn opening(plan: &Plan, o: &Opening, open: bool) -> ClearWidth {
    ClearWidth {
        name: o.name.clone(),
        joins: o.sides().map(|r| r.map_or(OUTSIDE, |r| &plan.rooms[r].name).to_string()),
        style: o.style.word(),
        clear_m: round(o.clear),
        open,
    }
}

fn aisle(plan: &Plan, a: &Aisle) -> AisleWidth {
    AisleWidth {
        before: plan.furniture[a.piece].name.clone(),
        side: a.side.word(),
        clear_m: round(a.clear),
    }
}

fn faulty(world: &World, fault: &Fault) -> Faulty {
    Faulty { says: words::check::fault(world, fault), missing_m: fault.missing().map(round) }
}
