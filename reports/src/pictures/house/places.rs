//! The house colored by how good each place is, the best three and today's marked.

use crate::pictures::Mount;
use crate::pictures::draw::legend::legend;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, circle};
use crate::pictures::draw::style::*;
use crate::pictures::house::labels::named;
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::raster::Raster;
use crate::pictures::house::{Frame, floors, foot, head, openings, scale_bar, walls};
use crate::words;
use geo::{Coord, Intersects, Rect};
use plotters::style::RGBColor;
use sim::base::stats::Estimate;
use sim::study::where_to::{Looked, Placing, footprint};

/// A place without a footprint of its own colors so many meters each way.
const ABOUT: f64 = 0.35;
/// Opacity of what was tried, of 255.
const SEEN: u8 = 190;

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
    pieces(&mut sheet, plan, &frame, true);
    openings(&mut sheet, plan, &frame);
    for looked in &p.places {
        dot(
            &mut sheet,
            frame.at(looked.at.x, looked.at.y),
            4.5,
            good(share(looked.difference, best, worst)),
        );
    }
    // today's, then the best
    let marked: Vec<usize> =
        std::iter::once(0).chain(p.finalists.iter().map(|f| p.place(f))).collect();
    let of = |r: Rect<f64>| {
        let (a, b) = (frame.at(r.min().x, r.max().y), frame.at(r.max().x, r.min().y));
        [a.0 - 2.0, a.1 - 2.0, b.0 + 2.0, b.1 + 2.0]
    };
    let dots = p.places.iter().map(|l| around(frame.at(l.at.x, l.at.y), 6.0));
    let rings = marked
        .iter()
        .map(|&place| around(frame.at(p.places[place].at.x, p.places[place].at.y), 24.0));
    let stands = marked.iter().filter_map(|&place| footprint(&p.places[place].stands)).map(of);
    let taken: Vec<[f64; 4]> = dots.chain(rings).chain(stands).collect();
    let labels = named(&mut sheet, plan, &frame, taken);
    for (rank, &place) in marked.iter().enumerate().rev() {
        mark(&mut sheet, p, &frame, rank, place);
    }
    let y = scale_bar(&mut sheet, plan, &frame, frame.bottom);
    let y = labels.key(&mut sheet, y);
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

/// Floor that was tried, each cell by the places that would take it.
fn paint(
    sheet: &mut Sheet,
    p: &Placing,
    frame: &Frame,
    (best, worst): (f64, f64),
) -> Result<(), Undrawn> {
    let mut raster = Raster::new(&p.world, &[], 1.0);
    let tried: Vec<(Rect<f64>, f64)> =
        p.places.iter().map(|l| (floor_of(l), share(l.difference, best, worst))).collect();
    for c in 0..raster.values.len() {
        let at = Coord {
            x: raster.west + (c % raster.width) as f64 * raster.pitch,
            y: raster.south + (c / raster.width) as f64 * raster.pitch,
        };
        let here: Vec<f64> =
            tried.iter().filter(|(floor, _)| floor.intersects(&at)).map(|t| t.1).collect();
        raster.values[c] =
            if here.is_empty() { -1.0 } else { here.iter().sum::<f64>() / here.len() as f64 };
    }
    raster.paint(sheet, frame, |v| {
        let c = good(v);
        [c.0, c.1, c.2, if v < 0.0 { 0 } else { SEEN }]
    })
}

/// The floor a place takes.
fn floor_of(looked: &Looked) -> Rect<f64> {
    let at = looked.at;
    footprint(&looked.stands)
        .unwrap_or(Rect::new((at.x - ABOUT, at.y - ABOUT), (at.x + ABOUT, at.y + ABOUT)))
}

fn around((x, y): At, r: f64) -> [f64; 4] {
    [x - r, y - r, x + r, y + r]
}

fn dot(sheet: &mut Sheet, at: At, r: f64, color: RGBColor) {
    sheet.fill(circle(at, r + 1.2), INK, 1.0);
    sheet.fill(circle(at, r), color, 1.0);
}

/// One of the best with its number, or today's.
fn mark(sheet: &mut Sheet, p: &Placing, frame: &Frame, rank: usize, place: usize) {
    let looked = &p.places[place];
    if let Some(r) = footprint(&looked.stands) {
        let corners = [
            (r.min().x, r.min().y),
            (r.max().x, r.min().y),
            (r.max().x, r.max().y),
            (r.min().x, r.max().y),
            (r.min().x, r.min().y),
        ];
        sheet.line(corners.iter().map(|c| frame.at(c.0, c.1)).collect(), INK, 2.6);
    }
    let at = frame.at(looked.at.x, looked.at.y);
    let (fill, ink) = if rank == 0 { (PAPER, INK) } else { (INK, PAPER) };
    sheet.fill(circle(at, 17.0), INK, 1.0);
    sheet.fill(circle(at, 15.0), fill, 1.0);
    let text = if rank == 0 { "T".to_string() } else { rank.to_string() };
    sheet.write(
        at,
        &text,
        Ink { size: TEXT, anchor: Anchor::Middle, color: ink, bold: true, halo: false },
    );
}

fn scale(sheet: &mut Sheet, y: f64, (best, worst): (f64, f64), guests: u32) -> f64 {
    let text = |m: f64| match m {
        m if m.abs() < 5e-3 => "as today".to_string(),
        m => words::compare::little(Estimate::exact(m)),
    };
    legend(
        sheet,
        y,
        &format!("lost per guest, compared with today, with {guests} guests"),
        good,
        &[(0.0, text(worst)), (1.0, text(best))],
    )
}

/// The best three and today's, in words.
fn list(sheet: &mut Sheet, p: &Placing, mut y: f64) -> f64 {
    for (label, says) in words::where_to::listed(p) {
        sheet.write(
            (MARGIN, y),
            &label,
            Ink { size: SMALL, anchor: Anchor::Left, color: INK, bold: true, halo: false },
        );
        y = sheet.paragraph(
            (MARGIN + 24.0, y),
            &says,
            SMALL,
            WIDTH - 2.0 * MARGIN - 24.0,
            INK,
            false,
        ) + 2.0;
    }
    y
}
