//! What it takes to put a house on the floor, and to put it there again with one piece moved, for
//! counting instructions: `valgrind --tool=callgrind --callgrind-out-file=/tmp/cg.out PROGRAM SCENARIO PIECE`,
//! then `callgrind_annotate --inclusive=yes /tmp/cg.out`.

use sim::base::units::{FOOT, Written};
use sim::evening::edit::Edits;
use sim::files::{Asked, read};
use sim::floor::world::World;
use sim::house::edit::{HouseEdit, PieceEdit};
use std::process::ExitCode;

fn main() -> ExitCode {
    match moved() {
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

fn moved() -> Result<String, String> {
    let mut args = std::env::args().skip(1);
    let (Some(path), Some(piece)) = (args.next(), args.next()) else {
        return Err("say which scenario and which piece: setup_cost SCENARIO PIECE".into());
    };
    let load = |path: &str| std::fs::read_to_string(path).map_err(|e| e.to_string());
    let loaded = read(&path, &load, &Asked::default()).map_err(|r| format!("{:?}", r.problems))?;
    let plan = &loaded.plan;
    let f = plan.piece(&piece).map(|p| &plan.furniture[p]).ok_or(format!("no {piece}"))?;
    let [west, south, ..] = plan.rooms[f.room].bounds();
    let half = [f.facing.0, f.facing.1].map(f64::abs);
    let (dx, dy) = (
        (half[1] * f.width + half[0] * f.depth) / 2.0,
        (half[0] * f.width + half[1] * f.depth) / 2.0,
    );
    let from = [f.center.x - dx - west, f.center.y - dy - south];
    let world = World::new(plan.clone(), loaded.scenario.clone()).map_err(|p| format!("{p:?}"))?;
    let works = [[0.5, 0.0], [-0.5, 0.0], [0.0, 0.5], [0.0, -0.5]].into_iter().find_map(|by| {
        let corner = [0, 1].map(|k| Written::new(from[k] + by[k] * FOOT, plan.system));
        let edit = HouseEdit::Piece(piece.clone(), PieceEdit::At { room: None, corner });
        let (plan, scenario) = loaded.with(&Edits::of_house([edit])).ok()?;
        world.beside(plan, scenario).ok()
    });
    let there = works.ok_or("it can't be moved")?;
    Ok(format!("{} spots, then {}", world.spots.len(), there.spots.len()))
}
