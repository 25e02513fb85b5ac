//! The plan with what a review found: a letter where something fails or is tight.

use crate::pictures::Mount;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, circle};
use crate::pictures::draw::style::*;
use crate::pictures::house::labels::named;
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::{Frame, explain, floors, foot, head, openings, scale_bar, walls};
use crate::words;
use plotters::style::RGBColor;
use sim::house::plan::Plan;

/// A marked place of a review.
#[derive(Clone, Debug)]
pub struct Numbered {
    /// Its letter in the list: numbers are those of furniture without room for its name.
    pub letter: char,
    /// Where, in meters.
    pub at: (f64, f64),
    /// Whether it fails; otherwise it is tight.
    pub fails: bool,
    /// A few words for it.
    pub says: String,
    /// The rows of the review it stands for, from 0.
    pub rows: Vec<usize>,
    /// Points it is measured between, in meters, if it is a width.
    pub between: Option<[(f64, f64); 2]>,
}

/// What the marks mean.
pub const MARKS_SAY: &str = "Filled: fails. Open: tight. Letters are those of the list.";
/// Radius of a mark.
const RADIUS: f64 = 15.0;
/// Draws it.
pub fn review(plan: &Plan, found: &[Numbered], mount: Mount) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, &words::shown(&plan.title), MARKS_SAY);
    let frame = Frame::new(plan, top, 0.3);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    walls(&mut sheet, plan, &frame);
    pieces(&mut sheet, plan, &frame, false);
    openings(&mut sheet, plan, &frame);
    let at = spread(found, &frame);
    let taken = at.iter().map(|&(x, y)| {
        let r = RADIUS + 3.0;
        [x - r, y - r, x + r, y + r]
    });
    let labels = named(&mut sheet, plan, &frame, taken.collect());
    for (n, &at) in found.iter().zip(&at).rev() {
        mark(&mut sheet, &frame, n, at);
    }
    let y = scale_bar(&mut sheet, plan, &frame, frame.bottom);
    let mut y = labels.key(&mut sheet, y);
    if let Mount::Alone(_) = mount {
        y = list(&mut sheet, found, y + 8.0);
    } else {
        y = explain(&mut sheet, mount, y + 14.0, MARKS_SAY);
    }
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// Where marks go: each beside its place where another is there already.
fn spread(found: &[Numbered], frame: &Frame) -> Vec<At> {
    let apart = 2.0 * RADIUS + 2.0;
    let mut placed: Vec<At> = vec![];
    for n in found {
        let (x, y) = frame.at(n.at.0, n.at.1);
        let around = (0..4).flat_map(|ring| {
            let steps = if ring == 0 { 1 } else { 6 * ring };
            (0..steps).map(move |k| {
                let turn = std::f64::consts::TAU * f64::from(k) / f64::from(steps);
                let far = apart * f64::from(ring) * 0.75;
                (x + far * turn.cos(), y + far * turn.sin())
            })
        });
        let free = |p: &At| placed.iter().all(|q| (p.0 - q.0).hypot(p.1 - q.1) >= apart);
        let at = around.clone().find(free).unwrap_or((x, y));
        placed.push(at);
    }
    placed
}

fn mark(sheet: &mut Sheet, frame: &Frame, n: &Numbered, at: At) {
    if let Some(ends) = n.between {
        let [a, b] = ends.map(|(x, y)| frame.at(x, y));
        sheet.line(vec![a, b], BOUND, 2.0);
    }
    let own = frame.at(n.at.0, n.at.1);
    if (own.0 - at.0).hypot(own.1 - at.1) > 1.0 {
        sheet.line(vec![own, at], LEADER, 1.4);
        sheet.fill(circle(own, 3.0), BOUND, 1.0);
    }
    let (fill, ink): (RGBColor, RGBColor) = if n.fails { (BOUND, PAPER) } else { (PAPER, BOUND) };
    sheet.fill(circle(at, RADIUS + 1.0), BOUND, 1.0);
    sheet.fill(circle(at, RADIUS - 1.5), fill, 1.0);
    sheet.write(
        at,
        &n.letter.to_string(),
        Ink { size: SMALL, anchor: Anchor::Middle, color: ink, bold: true, halo: false },
    );
}

/// The places in words, for a picture that travels alone.
fn list(sheet: &mut Sheet, found: &[Numbered], mut y: f64) -> f64 {
    for n in found {
        y = sheet.paragraph(
            (MARGIN, y),
            &format!("{}  {}", n.letter, n.says),
            SMALL,
            WIDTH - 2.0 * MARGIN,
            INK,
            false,
        ) + 2.0;
    }
    y
}
