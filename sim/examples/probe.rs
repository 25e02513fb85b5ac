//! Runs a scenario and prints what the model does, for development.
#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]
use sim::{ensemble, read, world::World};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let guests = args.get(2).and_then(|g| g.parse().ok());
    let trials: u32 = args.get(3).and_then(|g| g.parse().ok()).unwrap_or(20);
    let asked = read::Asked { guests, option: args.get(4).cloned(), ..Default::default() };
    let load = |p: &str| std::fs::read_to_string(p).map_err(|e| e.to_string());
    let loaded = match read::read(&args[1], &load, &asked) {
        Ok(l) => l,
        Err(r) => { for p in r.problems { println!("{} {:?}", p.problem, p.place); } return; }
    };
    let t0 = std::time::Instant::now();
    let world = match World::new(loaded.plan.clone(), loaded.scenario.clone()) {
        Ok(w) => w,
        Err(ps) => { for p in ps { println!("{p}"); } return; }
    };
    println!("setup {:?} nodes {} stands {} seats {} clear {:.1} m2", t0.elapsed(), world.grid.len(), world.stands.len(), world.seats.len(), world.clear_floor);
    for c in &world.chosen { println!("  {c}"); }
    for s in &world.spots { println!("  spot {} {:?} positions {} lanes {:?} holds {:?}", s.name, s.serves, s.positions.len(), s.lanes.iter().map(|l| l.slots.len()).collect::<Vec<_>>(), s.holds); }
    let t0 = std::time::Instant::now();
    let e = ensemble::simulate(&world, 1, 0..trials, &|| ());
    println!("{} trials {:?} = {:.1} ms each", trials, t0.elapsed(), t0.elapsed().as_secs_f64() * 1000.0 / trials as f64);
    let sum = |f: &dyn Fn(&sim::measure::Tally) -> u32| e.trials.iter().map(|s| f(&s.tally)).sum::<u32>();
    println!("came {} left {} peak {} coats over {} seats {}/{} squeezes {} gave up {} stuck {} any jam {:.2}", sum(&|t| t.came), sum(&|t| t.left), e.trials.iter().map(|s| s.tally.peak).max().unwrap_or(0),
        sum(&|t| t.coats_over), sum(&|t| t.seats_short), sum(&|t| t.seats_wanted), sum(&|t| t.squeezes), sum(&|t| t.gave_up), sum(&|t| t.stuck), e.any_jam_risk().value);
    let n = e.len() as f64;
    println!("lost min/evening {:.1} waited {:.1} walked {:.0} m at {:.2} m/s", e.mean_of(|s| s.lost / 60.0).value, e.mean_of(|s| s.waited / 60.0).value,
        e.trials.iter().map(|s| s.tally.walked.0).sum::<f64>() / n, e.trials.iter().map(|s| s.tally.walked.0).sum::<f64>() / (e.trials.iter().map(|s| s.tally.walked.1).sum::<u64>() as f64 / 1024.0));
    for (i, s) in world.spots.iter().enumerate() {
        println!("  {:16} visits {:6.1} mean wait {:6.1} p50 {:4} p90 {:5} turned {:.2} longest {}", s.name, e.trials.iter().map(|t| t.tally.waits[i].len()).sum::<usize>() as f64 / n, e.mean_wait(i).value, e.wait_quantile(i, 0.5).value, e.wait_quantile(i, 0.9).value, sum(&|t| t.turned_away[i]) as f64 / n, e.trials.iter().map(|t| t.tally.longest[i]).max().unwrap_or(0));
    }
    for (i, p) in world.places.iter().enumerate() {
        let (risk, lost) = (e.jam_risk(i), e.lost_minutes(i));
        if lost.value > 0.2 || risk.value > 0.0 {
            println!("  {:22} jam risk {:.2} [{:.2} {:.2}] leaving {:.2} jam min {:.2} lost {:.1} {}", p.name, risk.value, risk.low, risk.high, e.leaving_jam_risk(i).value, e.jam_minutes(i).value, lost.value,
                e.causes(i).iter().take(3).map(|(c, m)| format!("{} {m:.1}", c.words(&world))).collect::<Vec<_>>().join("; "));
        }
    }
}
