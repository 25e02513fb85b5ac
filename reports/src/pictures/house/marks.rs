//! Marks on a house: a ring where something is, and its name above or below the house with a line
//! between, so that it covers nothing.

use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, circle, fitted, text_width};
use crate::pictures::draw::style::*;
use crate::pictures::house::Frame;
use plotters::style::RGBColor;
use sim::house::plan::Plan;

/// A point that is marked.
pub(crate) struct Mark {
    /// Its name.
    pub name: String,
    /// Where, in meters.
    pub at: At,
    /// The color of ring and name.
    pub color: RGBColor,
}

/// A house with room above and below it for the names of its marks.
pub(crate) struct Marked {
    /// Where the house lies; its bottom is below the names.
    pub frame: Frame,
    /// Marks, each with the middle of its name.
    marks: Vec<(Mark, At)>,
}

/// Radius of a ring.
const RING: f64 = 17.0;
/// Height of a name with its ground, and of a row of names.
const HIGH: f64 = SMALL * 1.6;
const ROW: f64 = HIGH + 6.0;
/// Between names and the house.
const GAP: f64 = 6.0;

/// Height that so many names take.
fn strip(names: usize) -> f64 {
    if names > 0 { names as f64 * ROW + GAP } else { 0.0 }
}

impl Marked {
    /// A house that starts at a y, at most so tall with its names, with so many meters more round
    /// it. Names stand on the side their marks are nearer to.
    pub(crate) fn new(
        plan: &Plan,
        levels: [usize; 2],
        marks: Vec<Mark>,
        round: f64,
        (top, tallest): At,
    ) -> Marked {
        let ends = levels.map(|k| plan.bounds_of_level(k).unwrap_or(plan.bounds()));
        // the lowest level lies at the top of the sheet
        let (south, north) = (ends[1][1], ends[0][3]);
        let (above, below): (Vec<Mark>, Vec<Mark>) =
            marks.into_iter().partition(|m| m.at.1 >= (south + north) / 2.0);
        let (over, under) = (strip(above.len()), strip(below.len()));
        let mut frame = Frame::within(plan, levels, (top + over, tallest - over - under), round);
        let house = frame.bottom;
        frame.bottom += if under > 0.0 { under + 2.0 * GAP } else { 0.0 };
        let rows =
            |from: f64| move |(k, mark): (usize, Mark)| (mark, from + ROW * (k as f64 + 0.5));
        let named = above
            .into_iter()
            .enumerate()
            .map(rows(top))
            .chain(below.into_iter().enumerate().map(rows(house + GAP)));
        let marks = named.map(|(mark, y)| {
            let half = wide(&mark) / 2.0;
            let x = frame.at(mark.at.0, mark.at.1).0.clamp(half + 4.0, WIDTH - half - 4.0);
            (mark, (x, y))
        });
        let marks = marks.collect();
        Marked { frame, marks }
    }

    /// What rings, lines and names cover.
    pub(crate) fn taken(&self) -> Vec<[f64; 4]> {
        let covers = |(mark, name): &(Mark, At)| {
            let (x, y) = self.frame.at(mark.at.0, mark.at.1);
            let reach = RING + 6.0;
            let ground = [
                name.0 - wide(mark) / 2.0,
                name.1 - HIGH / 2.0,
                name.0 + wide(mark) / 2.0,
                name.1 + HIGH / 2.0,
            ];
            [
                [x - reach, y - reach, x + reach, y + reach],
                [x - 4.0, y.min(name.1), x + 4.0, y.max(name.1)],
                ground,
            ]
        };
        self.marks.iter().flat_map(covers).collect()
    }

    /// Lines first, so that no name is crossed.
    pub(crate) fn draw(&self, sheet: &mut Sheet) {
        for (mark, name) in &self.marks {
            let (x, y) = self.frame.at(mark.at.0, mark.at.1);
            let from = if name.1 < y { y - RING } else { y + RING };
            for (color, thick) in [(PAPER, 4.5), (mark.color, 1.8)] {
                sheet.line(vec![(x, from), (x, name.1)], color, thick);
            }
            sheet.line(circle((x, y), RING + 2.0), PAPER, 5.0);
            sheet.line(circle((x, y), RING), mark.color, 3.0);
        }
        for (mark, (x, y)) in &self.marks {
            let (w, h) = (wide(mark) / 2.0, HIGH / 2.0);
            sheet.fill(
                vec![(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)],
                mark.color,
                1.0,
            );
            sheet.write(
                (*x, *y),
                &name(mark),
                Ink {
                    size: size(mark),
                    anchor: Anchor::Middle,
                    color: PAPER,
                    bold: size(mark) == SMALL,
                    halo: false,
                },
            );
        }
    }
}

fn name(mark: &Mark) -> String {
    fitted(&mark.name, size(mark), WIDEST)
}

/// Long names are written smaller.
fn size(mark: &Mark) -> f64 {
    if text_width(&mark.name, SMALL) <= WIDEST { SMALL } else { TINY }
}

fn wide(mark: &Mark) -> f64 {
    text_width(&name(mark), size(mark)) + 18.0
}

/// The widest name.
const WIDEST: f64 = WIDTH - 44.0;
