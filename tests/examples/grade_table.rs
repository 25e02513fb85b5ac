//! Prints jammed time, waits and the grade of scenarios at several headcounts: how do they grow as
//! a party grows? `cargo run --release -p elbowroom-tests --example grade_table -- TRIALS
//! SCENARIO…`
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use elbowroom_tests::world;
use sim::study::ensemble::simulate;
use sim::study::evening::answer;

fn main() {
    let mut args = std::env::args().skip(1);
    let trials: u32 = args.next().and_then(|n| n.parse().ok()).unwrap_or(100);
    for file in args {
        println!(
            "{file}\n  guests  sq ft each  jammed, 9 in 10 (s)  typical (s)  longest wait, 9 in 10 (s)  lost (min a guest)  most seconds in one place  grade"
        );
        for guests in [10, 20, 30, 40, 50, 60] {
            let world = world(&file, Some(guests), None);
            let all = simulate(&world, 1, 0..trials, &());
            let e = answer(&world, &all);
            let wait = e.spots.iter().map(|s| s.p90.value).fold(0.0, f64::max);
            let wedged = all.trials.iter().map(|s| s.tally.wedged).max().unwrap_or(0);
            println!(
                "  {guests:>6}  {:>10.1}  {:>19.0}  {:>11.0}  {wait:>25.0}  {:>18.2}  {wedged:>25}  {}",
                world.clear_floor / sim::base::units::SQUARE_FOOT / f64::from(guests),
                e.jammed.value,
                e.jammed_typically.value,
                e.minutes_lost.value - e.minutes_waited.value,
                e.grade().word()
            );
        }
    }
}
