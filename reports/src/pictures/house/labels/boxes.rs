//! Boxes on the sheet, and lines between them.

use crate::pictures::draw::sheet::At;
use crate::pictures::house::Frame;
use geo::{BoundingRect, Polygon};

/// A box on the sheet: left, top, right, bottom.
pub(crate) type Box4 = [f64; 4];

/// Where a line from the middle of a box leaves it.
pub(super) fn leaves(b: Box4, from: At, to: At) -> At {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let reach = |d: f64, half: f64| {
        if d.abs() < 1e-9 { f64::INFINITY } else { half / d.abs() }
    };
    let share = reach(dx, (b[2] - b[0]) / 2.0).min(reach(dy, (b[3] - b[1]) / 2.0)).min(1.0);
    (from.0 + dx * share, from.1 + dy * share)
}

/// Small boxes along a line.
pub(super) fn along(from: At, to: At) -> Vec<Box4> {
    let steps = ((to.0 - from.0).hypot(to.1 - from.1) / 6.0).ceil().max(1.0) as u32;
    (0..=steps)
        .map(|k| f64::from(k) / f64::from(steps))
        .map(|s| {
            boxed((from.0 + (to.0 - from.0) * s, from.1 + (to.1 - from.1) * s), (3.0, 3.0), 0.0)
        })
        .collect()
}

/// The box of a size about a point, with some more all round.
pub(crate) fn boxed(at: At, (w, h): (f64, f64), more: f64) -> Box4 {
    [at.0 - w / 2.0 - more, at.1 - h / 2.0 - more, at.0 + w / 2.0 + more, at.1 + h / 2.0 + more]
}

pub(super) fn grown(b: &Box4, by: f64) -> Box4 {
    [b[0] - by, b[1] - by, b[2] + by, b[3] + by]
}

pub(super) fn around(points: &[At]) -> Box4 {
    points
        .iter()
        .fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |b, p| {
            [b[0].min(p.0), b[1].min(p.1), b[2].max(p.0), b[3].max(p.1)]
        })
}

/// Whether two boxes share anything.
pub(super) fn overlap(a: &Box4, b: &Box4) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The box of an outline on the sheet.
pub(super) fn box_of(outline: &Polygon<f64>, frame: &Frame) -> Box4 {
    outline.bounding_rect().map_or([0.0; 4], |r| {
        let (a, b) = (frame.at(r.min().x, r.max().y), frame.at(r.max().x, r.min().y));
        [a.0, a.1, b.0, b.1]
    })
}
