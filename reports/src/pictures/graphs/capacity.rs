//! Each limit's measure against headcount, with its interval, its bound and where it gives out.

use crate::pictures::Mount;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, fitted};
use crate::pictures::draw::style::*;
use crate::pictures::house::{explain, foot, head};
use crate::words;
use sim::floor::world::World;
use sim::study::capacity::{Capacity, LimitCurve, whole};

/// Height of one limit's chart.
const ROW: f64 = 182.0;
/// At most so many limits are drawn; the list on the terminal and in the JSON has all.
const MOST: usize = 7;
/// Narrowest band, in guests.
const BAND_LEAST: f64 = 0.4;
/// The scale ends at so many times the bound: what matters is near it.
const TOP: f64 = 2.5;

/// Every limit that gives out, and the nearest that do not.
pub fn capacity(
    world: &World,
    c: &Capacity,
    sentence: &str,
    mount: Mount,
) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let mut y = head(&mut sheet, mount, "How many guests", sentence) + 6.0;
    let says = "Each limit by headcount: dots are simulated headcounts with how sure they are, the red line is your limit, the blue band is where it \
                is reached";
    y = explain(&mut sheet, mount, y, says) + 6.0;
    let shown: Vec<&LimitCurve> = c.limits.iter().take(MOST).collect();
    let range = range(&shown);
    for (i, limit) in shown.iter().enumerate() {
        y = row(&mut sheet, world, limit, range, (y, i == 0));
    }
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// Fewest and most guests drawn.
fn range(limits: &[&LimitCurve]) -> (f64, f64) {
    let guests = limits.iter().flat_map(|l| l.curve.iter().map(|p| p.0));
    let (low, high) = guests.fold((u32::MAX, 0), |(l, h), n| (l.min(n), h.max(n)));
    let (low, high) = (f64::from(low.min(high)), f64::from(high));
    (low - 1.0, high + 1.0)
}

fn row(
    sheet: &mut Sheet,
    world: &World,
    limit: &LimitCurve,
    (fewest, most): (f64, f64),
    (top, is_first): (f64, bool),
) -> f64 {
    let (left, right) = (MARGIN + 84.0, WIDTH - MARGIN - 12.0);
    let (head, bottom) = (top + 44.0, top + ROW - 36.0);
    let is_floor = limit.subject == sim::study::evening::Subject::ClearFloor;
    let highest = limit.curve.iter().map(|p| p.1.value).fold(0.0, f64::max);
    let end = if limit.bound > 0.0 {
        (limit.bound * TOP).min(highest.max(limit.bound) * 1.15)
    } else {
        highest.max(1.0)
    };
    let end = if is_floor { limit.bound * TOP } else { end };
    let x = |guests: f64| left + (right - left) * (guests - fewest) / (most - fewest);
    let y = |value: f64| bottom - (bottom - head) * (value / end).clamp(0.0, 1.0);
    let at =
        whole(limit.gives).map_or_else(|| "stays within the limit".into(), words::capacity::guests);
    let title = format!("{}: {at}", words::capacity::gives_out(world, limit.subject, None));
    sheet.write(
        (MARGIN, top + 14.0),
        &fitted(&title, TEXT, WIDTH - 2.0 * MARGIN),
        Ink { size: TEXT, anchor: Anchor::Left, color: INK, bold: is_first, halo: false },
    );
    sheet.write(
        (WIDTH - MARGIN, top + 34.0),
        words::capacity::measure(limit.subject),
        Ink { size: TINY, anchor: Anchor::Right, color: SOFT, bold: false, halo: false },
    );
    if let Some(w) =
        whole(limit.gives).filter(|w| f64::from(w.value) >= fewest && f64::from(w.low) <= most)
    {
        let (a, b) = (
            x(f64::from(w.low).max(fewest)),
            x(w.high.map_or(most, |h| f64::from(h).min(most)).max(f64::from(w.low) + BAND_LEAST)),
        );
        sheet.fill(vec![(a, head), (b, head), (b, bottom), (a, bottom)], BAND, 0.8);
    }
    axes(sheet, world, limit, ((left, right), (head, bottom)), (fewest, most), end);
    sheet.line(vec![(left, y(limit.bound)), (right, y(limit.bound))], BOUND, 2.4);
    let points: Vec<At> = limit.curve.iter().map(|(n, e)| (f64::from(*n), e.value)).collect();
    for piece in on_scale(&points, end) {
        sheet.line(piece.into_iter().map(|(n, v)| (x(n), y(v))).collect(), MARK, 2.0);
    }
    for (n, e) in limit.curve.iter().filter(|(_, e)| e.value <= end) {
        let at = x(f64::from(*n));
        sheet.line(vec![(at, y(e.low)), (at, y(e.high))], MARK, 1.6);
        let r = 3.6;
        let middle = y(e.value);
        sheet.fill(
            vec![(at - r, middle), (at, middle - r), (at + r, middle), (at, middle + r)],
            MARK,
            1.0,
        );
    }
    sheet.reach(top + ROW);
    top + ROW
}

/// The parts of a line that lie on the scale.
fn on_scale(points: &[At], end: f64) -> Vec<Vec<At>> {
    let crossing = |a: At, b: At| (a.0 + (end - a.1) / (b.1 - a.1) * (b.0 - a.0), end);
    let piece = |w: &[At]| match (w[0].1 <= end, w[1].1 <= end) {
        (true, true) => Some(vec![w[0], w[1]]),
        (true, false) => Some(vec![w[0], crossing(w[0], w[1])]),
        (false, true) => Some(vec![crossing(w[0], w[1]), w[1]]),
        (false, false) => None,
    };
    points.windows(2).filter_map(piece).collect()
}

fn axes(
    sheet: &mut Sheet,
    world: &World,
    limit: &LimitCurve,
    ((left, right), (head, bottom)): (At, At),
    (fewest, most): At,
    end: f64,
) {
    sheet.line(vec![(left, head), (left, bottom), (right, bottom)], INK, 1.0);
    let y = |value: f64| bottom - (bottom - head) * value / end;
    let mark = |v: f64| words::capacity::measured(world, limit.subject, v);
    let zero = if matches!(limit.subject, sim::study::evening::Subject::Wait(_)) {
        "no wait".into()
    } else {
        mark(0.0)
    };
    sheet.text((left - 7.0, bottom - 4.0), &zero, TINY, Anchor::Right);
    sheet.write(
        (left - 7.0, y(limit.bound)),
        &mark(limit.bound),
        Ink { size: TINY, anchor: Anchor::Right, color: BOUND, bold: true, halo: false },
    );
    sheet.text((left - 12.0, bottom + 20.0), "guests", TINY, Anchor::Right);
    let step = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .find(|s| (most - fewest) / s <= 8.0)
        .unwrap_or(200.0);
    let mut tick = (fewest / step).ceil() * step;
    while tick <= most {
        let at = left + (right - left) * (tick - fewest) / (most - fewest);
        sheet.line(vec![(at, bottom), (at, bottom + 4.0)], INK, 1.0);
        sheet.text((at, bottom + 14.0), &format!("{tick:.0}"), TINY, Anchor::Middle);
        tick += step;
    }
}
