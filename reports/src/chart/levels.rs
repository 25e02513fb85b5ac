//! Levels of a house on one picture: their names, and the stairs between them.

use super::house::Frame;
use super::sheet::{Anchor, Ink, Sheet};
use super::style::*;
use crate::words;
use sim::plan::{Plan, Stairs};

/// Room above each level for its name, in picture units.
pub(super) const CAPTION: f64 = 30.0;
/// How far a level's name stands above its walls, in picture units.
const ABOVE: f64 = 14.0;
/// Room between the arrow on stairs and their ends, as a share of their length.
const ARROW_FROM: f64 = 0.12;

/// The name of each level above its north-west corner.
pub(super) fn names(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for (k, level) in plan.levels.iter().enumerate().filter(|_| plan.levels.len() > 1) {
        if let Some([w, _, _, n]) = plan.bounds_of_level(k) {
            let at = frame.at(w - plan.walls, n + plan.walls);
            let ink = Ink { size: SMALL, anchor: Anchor::Left, colour: MARK, bold: true, halo: true };
            sheet.write((at.0, at.1 - ABOVE), &words::shown(&level.name), ink);
        }
    }
}

/// Treads and an arrow up, on both levels.
pub(super) fn stairs(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for flight in &plan.stairs {
        for room in flight.rooms {
            one(sheet, flight, plan.rooms[room].bounds(), frame);
        }
    }
}

fn one(sheet: &mut Sheet, flight: &Stairs, [w, s, e, n]: [f64; 4], frame: &Frame) {
    let (x, y) = flight.up.vector();
    let half = (if flight.up.is_vertical() { e - w } else { n - s }) / 2.0;
    let foot = ((w + e) / 2.0 - x * flight.run / 2.0, (s + n) / 2.0 - y * flight.run / 2.0);
    let point = |up: f64, aside: f64| frame.at(foot.0 + x * up - y * aside, foot.1 + y * up + x * aside);
    let treads = flight.risers().saturating_sub(1).max(1);
    for k in 1..treads {
        let up = flight.run * f64::from(k) / f64::from(treads);
        sheet.line(vec![point(up, -half), point(up, half)], SOFT, 0.6);
    }
    let (from, to) = (flight.run * ARROW_FROM, flight.run * (1.0 - ARROW_FROM));
    let barb = half.min(0.3) * 0.5;
    sheet.line(vec![point(from, 0.0), point(to, 0.0)], INK, 1.1);
    sheet.line(vec![point(to - barb * 1.6, -barb), point(to, 0.0), point(to - barb * 1.6, barb)], INK, 1.1);
}
