//! Finds who got nowhere while under way: which evening, for how long, where, and who stood around.
//! `cargo run --release -p elbowroom-tests --example wedges -- TRIALS SEED SECONDS SCENARIO
//! [GUESTS]`
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use elbowroom_tests::world;
use sim::base::parallel::in_order;
use sim::base::units::seconds;
use sim::crowd::bodies::Doing;
use sim::crowd::measure::{Trace, Traces};
use sim::crowd::trial::{Keep, run};

/// Somebody under way is in one place while within so many meters of where they were.
const PLACE: f64 = 0.3048;
/// People this near are printed, in meters.
const AROUND: f64 = 1.0;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let number = |i: usize| args[i].parse::<u64>().unwrap();
    let (trials, seed, limit) = (number(0) as u32, number(1), number(2) as u32);
    let world = world(&args[3], args.get(4).and_then(|g| g.parse().ok()), None);
    let numbers: Vec<u32> = (0..trials).collect();
    let tallies = in_order(&numbers, |&trial| run(&world, seed, trial, Keep::default()).0, &|| ());
    let mut longest: Vec<u32> = tallies.iter().map(|t| t.wedged).collect();
    longest.sort_unstable();
    println!(
        "{}: longest of {trials} evenings {} s; stuck {}",
        args[3],
        longest[longest.len() - 1],
        tallies.iter().map(|t| t.stuck).sum::<u32>()
    );
    for t in tallies.iter().filter(|t| t.wedged > limit) {
        println!("trial {}: {} s", t.trial, t.wedged);
        let (_, traces) = run(&world, seed, t.trial, Keep { traces: Traces::All, bodies: false });
        show(&traces, f64::from(limit));
    }
}

/// Prints the long stays of everybody in one evening.
fn show(traces: &[Trace], limit: f64) {
    let people = traces.iter().map(|r| r.person).max().unwrap_or(0);
    for person in 0..=people {
        let mut since: Option<&Trace> = None;
        let mut last: Option<&Trace> = None;
        for row in traces.iter().filter(|r| r.person == person) {
            let walks = matches!(row.doing, Doing::Walk | Doing::Squeeze);
            if since.is_some_and(|a| !walks || apart(a, row) >= PLACE) {
                if let Some((a, b)) =
                    since.zip(last).filter(|(a, b)| seconds(b.at) - seconds(a.at) > limit)
                {
                    println!(
                        "  {person} at {:.2}, {:.2} from {:.0} to {:.0} s",
                        a.x,
                        a.y,
                        seconds(a.at),
                        seconds(b.at)
                    );
                    around(traces, a, seconds(a.at) + 0.3 * limit);
                    around(traces, a, seconds(a.at) + 0.7 * limit);
                }
                since = None;
            }
            if walks {
                since = since.or(Some(row));
                last = Some(row);
            }
        }
    }
}

/// Prints who is near somebody at a second.
fn around(traces: &[Trace], who: &Trace, second: f64) {
    println!("    at {second:.0} s");
    let mut last: std::collections::BTreeMap<u32, &Trace> = Default::default();
    for r in traces.iter().filter(|r| seconds(r.at) <= second) {
        last.insert(r.person, r);
    }
    for r in last.values().filter(|r| apart(r, who) < AROUND && r.doing != Doing::Away) {
        println!(
            "      {:>3} {:?} at {:.2}, {:.2} ({:.2} m)",
            r.person,
            r.doing,
            r.x,
            r.y,
            apart(r, who)
        );
    }
}

fn apart(a: &Trace, b: &Trace) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}
