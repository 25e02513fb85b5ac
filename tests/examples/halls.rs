//! Prints delays of people crossing in halls of several widths.
//! `cargo run --release -p elbowroom-tests --example halls`
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use elbowroom_tests::{Desk, crossing, two_rooms_and_a_hall, walking_time};

fn main() {
    for width in ["30in", "31.5in", "36in", "42in", "48in", "60in"] {
        let mut line = format!("{width:>7}");
        for (a, b) in [(1, 0), (1, 1), (5, 5), (10, 10)] {
            let desk = Desk::new()
                .with("plan.toml", &two_rooms_and_a_hall(width, "8m"))
                .with("s.toml", &crossing(a, b, "drawn"));
            let traces = desk.traces("s.toml", &["--trials", "20"]);
            let times: Vec<f64> = traces.values().map(|rows| walking_time(rows)).collect();
            let squeezes =
                traces.values().filter(|r| r.iter().any(|r| r.doing == "squeeze")).count();
            let mut sorted = times.clone();
            sorted.sort_by(f64::total_cmp);
            line += &format!(
                "   {a}v{b}: mean {:5.2} p95 {:5.1} max {:5.1} sq {:.2}",
                times.iter().sum::<f64>() / times.len() as f64,
                sorted[sorted.len() * 95 / 100],
                sorted[sorted.len() - 1],
                squeezes as f64 / 20.0
            );
        }
        println!("{line}");
    }
}
