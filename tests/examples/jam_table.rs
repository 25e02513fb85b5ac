//! Prints jam risk and jam minutes of scenarios at 10, 20 … 60 guests: where does the 10 % crossing lie?
//! `cargo run --release -p elbowroom-tests --example jam_table -- TRIALS SCENARIO…`
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use sim::ensemble::simulate;
use sim::read::{Asked, read};
use sim::world::World;

fn main() {
    let mut args = std::env::args().skip(1);
    let trials: u32 = args.next().and_then(|n| n.parse().ok()).unwrap_or(100);
    for file in args {
        println!("{file}\n  guests  jam risk anywhere (95 %)  jam min  lost min/guest  worst place");
        for guests in [10, 20, 30, 40, 50, 60] {
            let load = |p: &str| std::fs::read_to_string(p).map_err(|e| e.to_string());
            let loaded = read(&file, &load, &Asked { guests: Some(guests), ..Asked::default() }).unwrap();
            let world = World::new(loaded.plan, loaded.scenario).unwrap();
            let all = simulate(&world, 1, 0..trials, &|| ());
            let risk = all.any_jam_risk();
            let minutes = all.mean_of(|s| f64::from(s.jam_seconds) / 60.0);
            let lost = all.mean_of(|s| (s.lost + s.waited) / 60.0 / f64::from(guests));
            let worst = (0..world.places.len()).max_by(|a, b| all.jam_risk(*a).value.total_cmp(&all.jam_risk(*b).value)).unwrap();
            println!(
                "  {guests:>6}  {:>5.2} [{:.2} {:.2}]  {:>14.2}  {:>14.2}  {} {:.2}",
                risk.value,
                risk.low,
                risk.high,
                minutes.value,
                lost.value,
                world.places[worst].name,
                all.jam_risk(worst).value
            );
        }
    }
}
