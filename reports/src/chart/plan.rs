//! The plan with its dimensions.

use super::Mount;
use super::house::{Frame, floors, foot, free_point, furniture, head, key, openings, overlap, room_names, scale_bar, walls};
use super::sheet::{Anchor, Ink, Sheet, Undrawn, text_width};
use super::style::*;
use crate::words;
use sim::plan::{Plan, Use};
use sim::units::INCH;

/// The plan with its dimensions.
pub fn plan(plan: &Plan, mount: Mount) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, &words::shown(&plan.title), "Clear inside dimensions; clear widths of openings in blue");
    let frame = Frame::new(plan, top, 0.65);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    walls(&mut sheet, plan, &frame);
    let mut numbered = furniture(&mut sheet, plan, &frame, false, &[]);
    openings(&mut sheet, plan, &frame);
    let mut taken = widths(&mut sheet, plan, &frame);
    room_names(&mut sheet, plan, &frame, &mut taken, Some(&mut numbered));
    sizes(&mut sheet, plan, &frame, &mut taken);
    outer_dimensions(&mut sheet, plan, &frame);
    // below the figures of the southern dimension
    let y = scale_bar(&mut sheet, plan, &Frame { bottom: frame.bottom + SMALL, ..frame });
    let y = key(&mut sheet, y, &numbered);
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// The clear width beside each opening, on the side where there is room for the figure; `check` lists those that find none.
fn widths(sheet: &mut Sheet, plan: &Plan, frame: &Frame) -> Vec<[f64; 4]> {
    let mut taken: Vec<[f64; 4]> = vec![];
    for o in &plan.openings {
        let text = words::drawn_width(o.clear, plan.system);
        let size = (text_width(&text, TINY), TINY);
        let vertical = o.along.0.abs() < 0.5;
        let off = frame.long(o.depth / 2.0) + if vertical { size.0 / 2.0 + 6.0 } else { TINY * 0.8 };
        let middle = frame.xy(o.centre);
        let ends = [frame.xy(o.point(-o.clear / 2.0, 0.0)), frame.xy(o.point(o.clear / 2.0, 0.0))];
        sheet.line(ends.to_vec(), MARK, 2.0);
        // into the larger room, where there is more room for the figure
        let area = |r: Option<usize>| r.map_or(f64::INFINITY, |r| plan.rooms[r].area());
        let larger = if area(o.rooms[1]) > area(o.rooms[0]) { 1.0 } else { -1.0 };
        let beside = |sign: f64| (middle.0 + o.through.0 * off * sign, middle.1 - o.through.1 * off * sign);
        if let Some(at) = [beside(larger), beside(-larger)].into_iter().find(|at| taken.iter().all(|t| overlap(t, *at, size) <= 0.0)) {
            sheet.write(at, &text, Ink { size: TINY, anchor: Anchor::Middle, colour: MARK, bold: false, halo: true });
            taken.push([at.0 - size.0 / 2.0, at.1 - size.1 / 2.0, at.0 + size.0 / 2.0, at.1 + size.1 / 2.0]);
        }
    }
    taken
}

/// East-west by north-south size near each room's name, where there is floor for it; `check` lists them all.
fn sizes(sheet: &mut Sheet, plan: &Plan, frame: &Frame, taken: &mut Vec<[f64; 4]>) {
    for (i, room) in plan.rooms.iter().enumerate() {
        let [w, s, e, n] = room.bounds();
        let text = format!("{} × {}", words::length(e - w, plan.system), words::length(n - s, plan.system));
        let (wide, high) = (frame.long(e - w), frame.long(n - s));
        let tw = text_width(&text, TINY) + 4.0;
        let upright = tw > wide - 4.0;
        if (upright && tw > high - 4.0) || room.usage == Use::Closet {
            continue;
        }
        let size = if upright { (TINY * 1.1, tw) } else { (tw, TINY * 1.1) };
        let at = free_point(plan, i, frame, size, taken);
        if taken.iter().any(|t| overlap(t, at, size) > 0.0) {
            continue;
        }
        taken.push([at.0 - size.0 / 2.0, at.1 - size.1 / 2.0, at.0 + size.0 / 2.0, at.1 + size.1 / 2.0]);
        if upright {
            sheet.write_up(at, &text, TINY, SOFT)
        } else {
            sheet.write(at, &text, Ink { size: TINY, anchor: Anchor::Middle, colour: SOFT, bold: false, halo: true })
        }
    }
}

/// Overall size of each level along its south and its east.
fn outer_dimensions(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    (0..plan.levels.len()).filter_map(|k| plan.bounds_of_level(k)).for_each(|b| dimensions_of(sheet, plan, b, frame));
}

fn dimensions_of(sheet: &mut Sheet, plan: &Plan, [w, s, e, n]: [f64; 4], frame: &Frame) {
    let off = 28.0 * INCH;
    // beyond the clear widths of doors
    let below = f64::max(off, 1.8 * TINY / frame.scale);
    let (a, b) = (frame.at(w, s - below), frame.at(e, s - below));
    sheet.line(vec![a, b], MARK, 1.0);
    sheet.write(
        ((a.0 + b.0) / 2.0, a.1 + SMALL * 0.6),
        &words::length(e - w, plan.system),
        Ink { size: SMALL, anchor: Anchor::Middle, colour: MARK, bold: false, halo: true },
    );
    let (a, b) = (frame.at(e + off, s), frame.at(e + off, n));
    sheet.line(vec![a, b], MARK, 1.0);
    sheet.write_up((a.0 + SMALL * 0.6, (a.1 + b.1) / 2.0), &words::length(n - s, plan.system), SMALL, MARK);
}
