//! Levels of a house on one picture: their names, and the stairs between them.

use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, text_width};
use crate::pictures::draw::style::*;
use crate::pictures::house::Frame;
use crate::words;
use sim::house::plan::{Level, Plan, Stairs};

/// Room above each level for its name, in picture units.
pub(crate) const CAPTION: f64 = 30.0;
/// How far a level's name stands above its walls, in picture units.
const ABOVE: f64 = 14.0;
/// Room between the arrow on stairs and their ends, as a share of their length.
const ARROW_FROM: f64 = 0.12;

/// The name of each level above its north-west corner.
pub(crate) fn names(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for (name, at) in captions(plan, frame) {
        sheet.write(
            at,
            &name,
            Ink { size: SMALL, anchor: Anchor::Left, color: MARK, bold: true, halo: true },
        );
    }
}

/// The boxes the names of levels take.
pub(crate) fn named(plan: &Plan, frame: &Frame) -> Vec<[f64; 4]> {
    let taken = |(name, at): (String, At)| {
        [at.0, at.1 - SMALL * 0.6, at.0 + 1.1 * text_width(&name, SMALL), at.1 + SMALL * 0.6]
    };
    captions(plan, frame).into_iter().map(taken).collect()
}

fn captions(plan: &Plan, frame: &Frame) -> Vec<(String, At)> {
    let shown = plan
        .levels
        .iter()
        .enumerate()
        .filter(|(k, _)| plan.levels.len() > 1 && frame.shows_level(*k));
    let at = |(k, level): (usize, &Level)| {
        let [w, _, _, n] = plan.bounds_of_level(k)?;
        let (x, y) = frame.at(w - plan.walls, n + plan.walls);
        Some((words::shown(&level.name), (x, y - ABOVE)))
    };
    shown.filter_map(at).collect()
}

/// Treads and an arrow up, on both levels.
pub(crate) fn stairs(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for (flight, at) in flights(plan, frame) {
        let treads = flight.risers().saturating_sub(1).max(1);
        for k in 1..treads {
            let up = flight.run * f64::from(k) / f64::from(treads);
            sheet.line(
                vec![at.point(frame, up, -at.half), at.point(frame, up, at.half)],
                SOFT,
                0.6,
            );
        }
        let (from, to, barb) =
            (flight.run * ARROW_FROM, flight.run * (1.0 - ARROW_FROM), at.barb());
        sheet.line(vec![at.point(frame, from, 0.0), at.point(frame, to, 0.0)], INK, 1.1);
        sheet.line(
            vec![
                at.point(frame, to - barb * 1.6, -barb),
                at.point(frame, to, 0.0),
                at.point(frame, to - barb * 1.6, barb),
            ],
            INK,
            1.1,
        );
    }
}

/// The boxes the heads of the arrows take: names keep off them.
pub(crate) fn heads(plan: &Plan, frame: &Frame) -> Vec<[f64; 4]> {
    let head = |(flight, at): (&Stairs, Lies)| {
        let (to, barb) = (flight.run * (1.0 - ARROW_FROM), at.barb());
        let (a, b) = (at.point(frame, to - barb * 1.6, -barb), at.point(frame, to, barb));
        [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1)]
    };
    flights(plan, frame).map(head).collect()
}

/// Each flight on each of its levels.
fn flights<'a>(plan: &'a Plan, frame: &'a Frame) -> impl Iterator<Item = (&'a Stairs, Lies)> {
    let ends = plan.stairs.iter().flat_map(|flight| flight.rooms.map(|room| (flight, room)));
    ends.filter(|(_, room)| frame.shows(plan, *room))
        .map(|(flight, room)| (flight, Lies::new(flight, plan.rooms[room].bounds())))
}

/// Where a flight lies on the sheet: the middle of its foot, the way up, and half its width, in
/// meters.
struct Lies {
    foot: (f64, f64),
    up: (f64, f64),
    half: f64,
}

impl Lies {
    fn new(flight: &Stairs, [w, s, e, n]: [f64; 4]) -> Lies {
        let up = flight.up.vector();
        let half = (if flight.up.is_vertical() { e - w } else { n - s }) / 2.0;
        Lies {
            foot: (
                (w + e) / 2.0 - up.0 * flight.run / 2.0,
                (s + n) / 2.0 - up.1 * flight.run / 2.0,
            ),
            up,
            half,
        }
    }

    /// Half the width of the arrow's head.
    fn barb(&self) -> f64 {
        self.half.min(0.3) * 0.5
    }

    /// A point so far up and aside.
    fn point(&self, frame: &Frame, up: f64, aside: f64) -> At {
        frame.at(
            self.foot.0 + self.up.0 * up - self.up.1 * aside,
            self.foot.1 + self.up.1 * up + self.up.0 * aside,
        )
    }
}
