//! How closely waits for the powder room go along with those on paper, and how long both take:
//! `cargo run --release -p elbowroom-speed --example on_paper -- DEMO GUESTS`.

use elbowroom_speed::with_guests;
use sim::base::units::seconds;
use sim::crowd::on_paper::reckon;
use sim::crowd::trial::{Keep, run};
use sim::evening::scenario::Serves;
use std::time::Instant;

const EVENINGS: u32 = 150;
/// Waits longer than this are counted, in seconds: the bound of lively.
const LONG: f64 = 300.0;

fn long(waits: &[f64]) -> f64 {
    waits.iter().filter(|w| **w > LONG).count() as f64 / waits.len().max(1) as f64
}

fn mean(all: &[f64]) -> f64 {
    all.iter().sum::<f64>() / all.len() as f64
}

fn along(a: &[f64], b: &[f64]) -> f64 {
    let (ma, mb) = (mean(a), mean(b));
    a.iter().zip(b).map(|(a, b)| (a - ma) * (b - mb)).sum()
}

fn main() {
    let mut said = std::env::args().skip(1);
    let demo = said.next().unwrap_or("winter-cocktails".into());
    let guests = said.next().and_then(|s| s.parse().ok()).unwrap_or(40);
    let world = with_guests(&demo, guests);
    let spots = world.spots_for(Serves::Powder);
    let begin = Instant::now();
    let floor: Vec<f64> = (0..EVENINGS)
        .map(|trial| {
            let tally = run(&world, 1, trial, Keep::default()).0;
            let waits = spots.iter().flat_map(|&s| tally.waits[s].iter().map(|&w| seconds(w)));
            long(&waits.collect::<Vec<_>>())
        })
        .collect();
    let on_floor = begin.elapsed();
    let begin = Instant::now();
    let paper: Vec<f64> = (0..EVENINGS)
        .map(|trial| {
            let paper = reckon(&world, 1, trial);
            long(&spots.iter().flat_map(|&s| paper.waits[s].iter().copied()).collect::<Vec<_>>())
        })
        .collect();
    let on_paper = begin.elapsed();
    let both = along(&floor, &paper) / (along(&floor, &floor) * along(&paper, &paper)).sqrt();
    println!(
        "{demo}, {guests} guests: a correlation of {both:.2}; {:.1} ms on the floor, {:.3} on paper",
        1e3 * on_floor.as_secs_f64() / f64::from(EVENINGS),
        1e3 * on_paper.as_secs_f64() / f64::from(EVENINGS)
    );
}
