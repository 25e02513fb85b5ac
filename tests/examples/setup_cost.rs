//! What it takes to put a house on the floor, and to put it there again with one piece moved by half
//! a foot, for counting instructions:
//! `valgrind --tool=callgrind --callgrind-out-file=/tmp/cg.out PROGRAM SCENARIO PIECE HOW`, where HOW is
//! `read` (only the files), `anew` (and the house with the piece moved), `beside` (and then the same
//! from the house as it was), or `anew-ways`, `beside-ways` (and the ways to everywhere in it).

use sim::base::units::{FOOT, Written};
use sim::evening::edit::Edits;
use sim::evening::scenario::Scenario;
use sim::files::{Asked, Loaded, read};
use sim::floor::world::World;
use sim::house::edit::{HouseEdit, PieceEdit};
use sim::house::plan::Plan;
use std::process::ExitCode;

fn main() -> ExitCode {
    match asked() {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn asked() -> Result<String, String> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [path, piece, how] = args.as_slice() else {
        return Err("say which scenario, which piece and how: setup_cost SCENARIO PIECE HOW".into());
    };
    let load = |path: &str| std::fs::read_to_string(path).map_err(|e| e.to_string());
    let loaded = read(path, &load, &Asked::default()).map_err(|r| format!("{:?}", r.problems))?;
    let (plan, scenario) = moved(&loaded, piece)?;
    let laid =
        |plan: Plan, scenario: Scenario| World::new(plan, scenario).map_err(|p| format!("{p:?}"));
    let (how, walks) = how.strip_suffix("-ways").map_or((how.as_str(), false), |how| (how, true));
    let mut ways = 0;
    let mut walk = |world: World| {
        ways = if walks { ways_in(&world) } else { 0 };
        world
    };
    match how {
        "read" => {}
        "anew" => {
            walk(laid(plan, scenario)?);
        }
        "beside" => {
            let world = walk(laid(loaded.plan, loaded.scenario)?);
            walk(world.beside(plan, scenario).map_err(|p| format!("{p:?}"))?);
        }
        _ => return Err("read, anew or beside".into()),
    }
    Ok(format!("{ways} ways"))
}

/// The house with a piece moved by half a foot, the first way that the plan allows.
fn moved(loaded: &Loaded, piece: &str) -> Result<(Plan, Scenario), String> {
    let plan = &loaded.plan;
    let f = plan.piece(piece).map(|p| &plan.furniture[p]).ok_or(format!("no {piece}"))?;
    let [west, south, ..] = plan.rooms[f.room].bounds();
    let half = [f.facing.0, f.facing.1].map(f64::abs);
    let (dx, dy) = (
        (half[1] * f.width + half[0] * f.depth) / 2.0,
        (half[0] * f.width + half[1] * f.depth) / 2.0,
    );
    let from = [f.center.x - dx - west, f.center.y - dy - south];
    let works = [[0.5, 0.0], [-0.5, 0.0], [0.0, 0.5], [0.0, -0.5]].into_iter().find_map(|by| {
        let corner = [0, 1].map(|k| Written::new(from[k] + by[k] * FOOT, plan.system));
        let edit = HouseEdit::Piece(piece.into(), PieceEdit::At { room: None, corner });
        loaded.with(&Edits::of_house([edit])).ok()
    });
    works.ok_or("it can't be moved".into())
}

/// Finds the way from outside to every stand.
fn ways_in(world: &World) -> usize {
    let (x, y) = world.outside.point.meters();
    let stands = world.routes.stands(&world.grid);
    stands.iter().filter(|(_, to, _)| world.routes.lead(&world.grid, x, y, to).is_some()).count()
}
