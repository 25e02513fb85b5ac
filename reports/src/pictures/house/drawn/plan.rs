//! The plan with its dimensions.

use crate::pictures::Mount;
use crate::pictures::draw::sheet::{Anchor, Ink, Sheet, Undrawn};
use crate::pictures::draw::style::*;
use crate::pictures::house::labels::{Box4, Labels};
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::{Frame, floors, foot, head, openings, scale_bar, walls};
use crate::words;
use sim::base::units::INCH;
use sim::floor::world::aisles::Gap;
use sim::house::plan::{Plan, Use};

/// How far below the house its size stands, in heights of the figures of its doors, which stand
/// between.
const BELOW: f64 = 2.4;

/// The plan with its dimensions; with gaps, also the clear floor next to furniture.
pub fn plan(plan: &Plan, gaps: &[Gap], mount: Mount) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let top = head(
        &mut sheet,
        mount,
        &words::shown(&plan.title),
        "Clear inside dimensions; clear widths of openings in blue",
    );
    let frame = Frame::new(plan, top, 0.65);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    walls(&mut sheet, plan, &frame);
    pieces(&mut sheet, plan, &frame, false);
    openings(&mut sheet, plan, &frame);
    let mut labels = Labels::new(plan, &frame, outer_dimensions(&mut sheet, plan, &frame));
    widths(&mut sheet, plan, &frame, &mut labels);
    gaps.iter()
        .filter(|g| WORTH_A_STRING.contains(&g.clear))
        .for_each(|g| string(&mut sheet, plan, &frame, g, &mut labels));
    labels.pieces();
    labels.rooms(true);
    sizes(plan, &mut labels);
    labels.draw(&mut sheet);
    // below the figures of the southern dimension
    let y = scale_bar(&mut sheet, plan, &frame, frame.bottom + 1.5 * SMALL);
    let y = labels.key(&mut sheet, y);
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// Clear floor from so many meters to so many has a dimension string (12 in to 6 ft).
const WORTH_A_STRING: std::ops::Range<f64> = 12.0 * INCH..72.0 * INCH;
/// Half the length of the tick at an end of a dimension string, in picture units.
const TICK: f64 = 4.0;

/// A dimension string from where a piece's edge has the least floor before it straight out, with
/// its figure beside it where there is room.
fn string(sheet: &mut Sheet, plan: &Plan, frame: &Frame, gap: &Gap, labels: &mut Labels) {
    let piece = &plan.furniture[gap.piece];
    let ends =
        [0.0, gap.clear].map(|d| frame.at(gap.from.0 + gap.out.0 * d, gap.from.1 + gap.out.1 * d));
    let middle = ((ends[0].0 + ends[1].0) / 2.0, (ends[0].1 + ends[1].1) / 2.0);
    if !labels.string_beside(piece.room, ends, middle, &words::width(gap.clear, plan.system)) {
        return;
    }
    sheet.line(ends.to_vec(), MARK, 1.0);
    for (x, y) in ends {
        sheet.line(vec![(x - TICK, y + TICK), (x + TICK, y - TICK)], MARK, 1.2);
    }
}

/// The clear width beside each opening, on the side where there is room for the figure; `check`
/// lists those that find none.
fn widths(sheet: &mut Sheet, plan: &Plan, frame: &Frame, labels: &mut Labels) {
    for o in &plan.openings {
        let text = words::drawn_width(o.clear, plan.system);
        let ends = [frame.xy(o.point(-o.clear / 2.0, 0.0)), frame.xy(o.point(o.clear / 2.0, 0.0))];
        sheet.line(ends.to_vec(), MARK, 2.0);
        labels.beside_opening(o, &text);
    }
}

/// East-west by north-south size near each room's name, where there is floor for it; `check` lists
/// them all.
fn sizes(plan: &Plan, labels: &mut Labels) {
    for (i, room) in
        plan.rooms.iter_enumerated().filter(|(_, r)| !matches!(r.usage, Use::Closet | Use::Stairs))
    {
        let [w, s, e, n] = room.bounds();
        labels.text_in_room(
            i,
            &format!(
                "{} × {}",
                words::length(e - w, plan.system),
                words::length(n - s, plan.system)
            ),
        );
    }
}

/// Overall size of each level along its south and its east; returns what they take.
fn outer_dimensions(sheet: &mut Sheet, plan: &Plan, frame: &Frame) -> Vec<Box4> {
    (0..plan.levels.len())
        .filter_map(|k| plan.bounds_of_level(k))
        .flat_map(|b| dimensions_of(sheet, plan, b, frame))
        .collect()
}

fn dimensions_of(
    sheet: &mut Sheet,
    plan: &Plan,
    [w, s, e, n]: [f64; 4],
    frame: &Frame,
) -> [Box4; 2] {
    let off = 28.0 * INCH;
    // beyond the clear widths of doors
    let below = f64::max(off, BELOW * TINY / frame.scale);
    let south @ [a, b] = [frame.at(w, s - below), frame.at(e, s - below)];
    sheet.line(vec![a, b], MARK, 1.0);
    sheet.write(
        ((a.0 + b.0) / 2.0, a.1 + SMALL * 0.6),
        &words::length(e - w, plan.system),
        Ink { size: SMALL, anchor: Anchor::Middle, color: MARK, bold: false, halo: true },
    );
    let (a, b) = (frame.at(e + off, s), frame.at(e + off, n));
    sheet.line(vec![a, b], MARK, 1.0);
    sheet.write_up(
        (a.0 + SMALL * 0.6, (a.1 + b.1) / 2.0),
        &words::length(n - s, plan.system),
        SMALL,
        MARK,
    );
    [
        [south[0].0, south[0].1 - 4.0, south[1].0, south[1].1 + SMALL * 1.2],
        [b.0 - 4.0, b.1, b.0 + SMALL * 1.2, a.1],
    ]
}
