//! Prints jammed time and waits at several headcounts.
#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs)]
use sim::ensemble::simulate;
use sim::evidence::plans::*;
use sim::question::evening::*;
use sim::read::{Asked, read};
use sim::world::World;
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let trials: u32 = args[0].parse().unwrap();
    let heads: Option<Vec<u32>> = args.get(2).map(|s| s.split(',').map(|x| x.parse().unwrap()).collect());
    let what = &args[1];
    let room = what.strip_prefix("room").map(|m| { let (a, b) = m.split_once('x').unwrap(); (a.parse::<u32>().unwrap(), b.parse::<u32>().unwrap()) });
    println!("{what}");
    for guests in heads.unwrap_or(vec![20, 30, 40, 50, 60]) {
        let load = |p: &str| match room {
            Some((c, r)) if p.ends_with("plan.toml") => Ok(reference_room(c, r)),
            Some((c, r)) => Ok(reference_evening(c, r, guests)),
            None => std::fs::read_to_string(p).map_err(|e| e.to_string()),
        };
        let file = if room.is_some() { "evening.toml" } else { what };
        let option = args.get(3).cloned();
        let loaded = match read(file, &load, &Asked { guests: Some(guests), option, ..Asked::default() }) { Ok(l) => l, Err(r) => panic!("{:?}", r.problems.iter().map(|p| &p.problem.says).collect::<Vec<_>>()) };
        let world = World::new(loaded.plan, loaded.scenario).map_err(|p| p.iter().map(|x| x.says.clone()).collect::<Vec<_>>()).unwrap();
        let t0 = std::time::Instant::now();
        let all = simulate(&world, 1, 0..trials, &|| ());
        let ms = t0.elapsed().as_secs_f64() * 1000.0 / f64::from(trials);
        let e = answer(&world, &all);
        let waits: Vec<String> = e.spots.iter().filter(|s| s.visits.value > 0.0).map(|s| format!("{:.0}", s.p90.value)).collect();
        let worst = e.jams.first().map(|j| { let p = world.pinches.get(j.pinch); format!("{:.1},{:.1} in {} A90 {:.1} min, {:?}", p.at.0 / 0.3048, p.at.1 / 0.3048, world.places[p.place as usize].name, j.jammed.value / 60.0, j.causes.iter().take(2).collect::<Vec<_>>()) });
        println!(
            "{guests:>4} {:>5.1} sqft/g  B50 {:>5.1} B90 {:>5.1} min  lost {:.2} waited {:.2} waits90 {} seats {:.2} coats {:.1} gaveup {:.2} sq {:.0} stuck {} {} [{:.0} ms] grade {}\n        {}",
            world.clear_floor / 0.092903 / f64::from(guests), e.jammed_typically.value / 60.0, e.jammed.value / 60.0, e.minutes_lost.value - e.minutes_waited.value, e.minutes_waited.value, waits.join("/"), e.seats_short.value, e.coats_over.value,
            all.mean_of(|s| f64::from(s.tally.gave_up)).value, e.squeezes.value, all.mean_of(|s| f64::from(s.tally.stuck)).value, world.seats.len(), ms, e.grade().word(),
            worst.unwrap_or_default()
        );
    }
}
