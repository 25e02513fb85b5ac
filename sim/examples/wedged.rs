//! Evenings in which somebody gets nowhere for long.
#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs)]
use sim::ensemble::simulate;
use sim::read::{Asked, read};
use sim::world::World;
use sim::trial::{Keep, run};
use sim::measure::Traces;
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let trials: u32 = args[0].parse().unwrap();
    let guests: Option<u32> = args.get(2).map(|g| g.parse().unwrap());
    let load = |p: &str| std::fs::read_to_string(p).map_err(|e| e.to_string());
    let loaded = read(&args[1], &load, &Asked { guests, ..Asked::default() }).unwrap_or_else(|_| panic!());
    let world = World::new(loaded.plan, loaded.scenario).unwrap_or_else(|_| panic!());
    let all = simulate(&world, 1, 0..trials, &|| ());
    let mut w: Vec<(u32, u32, u32, u32)> = all.trials.iter().map(|s| (s.tally.wedged, s.tally.trial, s.tally.stuck, s.tally.gave_up)).collect();
    w.sort_by(|a, b| b.cmp(a));
    println!("{} guests {:?}: over 120 s: {}, over 60: {}, over 30: {}; worst {:?}", args[1], guests, w.iter().filter(|x| x.0 > 120).count(), w.iter().filter(|x| x.0 > 60).count(), w.iter().filter(|x| x.0 > 30).count(), &w[..3.min(w.len())]);
    if args.len() > 3 {
        let (_, trial, ..) = w[0];
        let (_, traces) = run(&world, 1, trial, Keep { traces: Traces::All, bodies: false });
        // find the wedge
        let mut anchor: std::collections::BTreeMap<u32, (f64, f64, u64)> = Default::default();
        let mut worst = (0u64, 0u32, 0u64);
        for t in &traces {
            let walks = matches!(t.doing, sim::floor::Doing::Walk | sim::floor::Doing::Squeeze);
            if !walks { anchor.remove(&t.person); continue; }
            let a = anchor.entry(t.person).or_insert((t.x, t.y, t.at));
            if (a.0 - t.x).hypot(a.1 - t.y) > 0.3048 { *a = (t.x, t.y, t.at); } else if t.at - a.2 > worst.0 { worst = (t.at - a.2, t.person, t.at); }
        }
        println!("trial {trial} person {} for {:.0} s until {:.0}", worst.1, worst.0 as f64 / 1024.0, worst.2 as f64 / 1024.0);
        let mid = worst.2 - worst.0 / 2;
        let me = traces.iter().filter(|t| t.person == worst.1 && t.at <= mid).last().unwrap();
        println!("at {:.2},{:.2} ft", me.x / 0.3048, me.y / 0.3048);
        let people: std::collections::BTreeSet<u32> = traces.iter().map(|t| t.person).collect();
        for p in people {
            let rows: Vec<_> = traces.iter().filter(|t| t.person == p && t.at <= mid).collect();
            let Some(t) = rows.last() else { continue };
            if (t.x - me.x).hypot(t.y - me.y) < 1.6 && t.doing != sim::floor::Doing::Away { println!("  p{p} {:.2},{:.2} ft ({:.2} m away) {:?}", t.x / 0.3048, t.y / 0.3048, (t.x - me.x).hypot(t.y - me.y), t.doing); }
        }
        for k in (0..12).map(|k| worst.2 - worst.0 + k * worst.0 / 10) {
            if let Some(t) = traces.iter().filter(|t| t.person == worst.1 && t.at <= k).last() { println!("  t{:.0} {:.2},{:.2} {:?}", k as f64 / 1024.0, t.x / 0.3048, t.y / 0.3048, t.doing); }
        }
    }
}
