//! The house coloured by how good each place is, the best three and today's marked.

use super::Mount;
use super::house::{Frame, floors, foot, furniture, head, key, openings, room_names, scale_bar, walls};
use super::legend::legend;
use super::raster::Raster;
use super::sheet::{Anchor, At, Ink, Sheet, Undrawn};
use super::style::*;
use crate::words;
use plotters::style::RGBColor;
use sim::question::placing::{Placing, footprint};
use sim::stats::Estimate;

/// A place colours the floor within about so many metres.
const REACH: f64 = 0.55;

/// Every place that was looked at, by what it costs or saves.
pub fn places(p: &Placing, sentence: &str, mount: Mount) -> Result<String, Undrawn> {
    let plan = &p.world.plan;
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, &format!("Where to put {}", words::what(p.serves)), sentence);
    let frame = Frame::new(plan, top, 0.0);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    let (best, worst) = range(p);
    paint(&mut sheet, p, &frame, (best, worst))?;
    walls(&mut sheet, plan, &frame);
    let mut numbered = furniture(&mut sheet, plan, &frame, true, &[]);
    openings(&mut sheet, plan, &frame);
    for looked in &p.places {
        dot(&mut sheet, frame.at(looked.at.x, looked.at.y), 4.5, good(share(looked.difference, best, worst)));
    }
    // today's, then the best
    let marked: Vec<usize> = std::iter::once(0).chain(p.finalists.iter().map(|f| p.place(f))).collect();
    let mut taken: Vec<[f64; 4]> = marked.iter().map(|&place| around(frame.at(p.places[place].at.x, p.places[place].at.y), 24.0)).collect();
    room_names(&mut sheet, plan, &frame, &mut taken, Some(&mut numbered));
    for (rank, &place) in marked.iter().enumerate().rev() {
        mark(&mut sheet, p, &frame, rank, place);
    }
    let y = scale_bar(&mut sheet, plan, &frame);
    let y = key(&mut sheet, y, &numbered);
    let y = scale(&mut sheet, y, (best, worst), p.raced_with);
    let y = list(&mut sheet, p, y + 10.0);
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// Least and most minutes more than today.
fn range(p: &Placing) -> (f64, f64) {
    let all = p.places.iter().map(|l| l.difference);
    let (low, high) = all.fold((0.0, 0.0), |(l, h): (f64, f64), d| (l.min(d), h.max(d)));
    if high - low < 1e-9 { (low - 0.5, high + 0.5) } else { (low, high) }
}

/// 1 at the best place, 0 at the worst.
fn share(difference: f64, best: f64, worst: f64) -> f64 {
    (worst - difference) / (worst - best)
}

/// Good places are dark (ColorBrewer BuGn): another hue than crowding and hold-ups.
fn good(share: f64) -> RGBColor {
    let c = colorous::BLUE_GREEN.eval_continuous(0.08 + 0.92 * share.clamp(0.0, 1.0));
    RGBColor(c.r, c.g, c.b)
}

/// Floor near places, each cell by the places of its own room weighted by distance.
fn paint(sheet: &mut Sheet, p: &Placing, frame: &Frame, (best, worst): (f64, f64)) -> Result<(), Undrawn> {
    let world = &p.world;
    let mut raster = Raster::new(world, &[], 1.0);
    let room = |x: f64, y: f64| world.plan.rooms.iter().position(|r| geo::Contains::contains(&r.outline, &geo::Point::new(x, y)));
    let places: Vec<(f64, f64, Option<usize>, f64)> =
        p.places.iter().map(|l| (l.at.x, l.at.y, room(l.at.x, l.at.y), share(l.difference, best, worst))).collect();
    for c in 0..raster.values.len() {
        let (x, y) = (raster.west + (c % raster.width) as f64 * raster.pitch, raster.south + (c / raster.width) as f64 * raster.pitch);
        let Some(own) = room(x, y) else {
            raster.values[c] = -1.0;
            continue;
        };
        let near = places.iter().filter(|q| q.2 == Some(own)).map(|q| {
            let d2 = (q.0 - x) * (q.0 - x) + (q.1 - y) * (q.1 - y);
            ((-d2 / (2.0 * REACH * REACH)).exp(), q.3)
        });
        let (weight, sum) = near.fold((0.0, 0.0), |(w, s), (k, v)| (w + k, s + k * v));
        // the whole part tells how near a place is, the rest how good
        raster.values[c] = if weight > 0.05 { (weight.min(1.0) * 200.0).floor() + (sum / weight).clamp(0.0, 0.999) } else { -1.0 };
    }
    raster.paint(sheet, frame, |v| {
        if v < 0.0 {
            return [0, 0, 0, 0];
        }
        let c = good(v.fract());
        [c.0, c.1, c.2, v.trunc() as u8]
    })
}

fn around((x, y): At, r: f64) -> [f64; 4] {
    [x - r, y - r, x + r, y + r]
}

fn circle((x, y): At, r: f64) -> Vec<At> {
    (0..=40)
        .map(|k| {
            let (s, c) = (f64::from(k) / 40.0 * std::f64::consts::TAU).sin_cos();
            (x + r * c, y + r * s)
        })
        .collect()
}

fn dot(sheet: &mut Sheet, at: At, r: f64, colour: RGBColor) {
    sheet.fill(circle(at, r + 1.2), INK, 1.0);
    sheet.fill(circle(at, r), colour, 1.0);
}

/// One of the best with its number, or today's.
fn mark(sheet: &mut Sheet, p: &Placing, frame: &Frame, rank: usize, place: usize) {
    let looked = &p.places[place];
    if let Some(r) = footprint(&looked.stands) {
        let corners = [(r.min().x, r.min().y), (r.max().x, r.min().y), (r.max().x, r.max().y), (r.min().x, r.max().y), (r.min().x, r.min().y)];
        sheet.line(corners.iter().map(|c| frame.at(c.0, c.1)).collect(), INK, 2.6);
    }
    let at = frame.at(looked.at.x, looked.at.y);
    let (fill, ink) = if rank == 0 { (PAPER, INK) } else { (INK, PAPER) };
    sheet.fill(circle(at, 17.0), INK, 1.0);
    sheet.fill(circle(at, 15.0), fill, 1.0);
    let text = if rank == 0 { "T".to_string() } else { rank.to_string() };
    sheet.write(at, &text, Ink { size: TEXT, anchor: Anchor::Middle, colour: ink, bold: true, halo: false });
}

fn scale(sheet: &mut Sheet, y: f64, (best, worst): (f64, f64), guests: u32) -> f64 {
    let text = |m: f64| match m {
        m if m.abs() < 5e-3 => "as today".to_string(),
        m => words::compare::little(Estimate::exact(m)),
    };
    legend(sheet, y, &format!("lost per guest, compared with today, with {guests} guests"), good, &[(0.0, text(worst)), (1.0, text(best))])
}

/// The best three and today's, in words.
fn list(sheet: &mut Sheet, p: &Placing, mut y: f64) -> f64 {
    for (label, says) in words::placing::listed(p) {
        sheet.write((MARGIN, y), &label, Ink { size: SMALL, anchor: Anchor::Left, colour: INK, bold: true, halo: false });
        y = sheet.paragraph((MARGIN + 24.0, y), &says, SMALL, WIDTH - 2.0 * MARGIN - 24.0, INK, false) + 2.0;
    }
    y
}
