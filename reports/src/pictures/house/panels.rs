//! The house many times, small and on one scale: the evening half an hour at a time, or with more
//! and more guests.

use crate::pictures::Mount;
use crate::pictures::draw::legend::legend;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet, Undrawn, circle};
use crate::pictures::draw::style::*;
use crate::pictures::house::heat::{
    areas, areas_words, beyond, cool, crowding_top, heat_ink, held_up_top, waiting, warm,
};
use crate::pictures::house::raster::Raster;
use crate::pictures::house::{Frame, floors, foot, head, walls};
use plotters::style::RGBColor;
use sim::floor::world::{SpotId, World};

/// One small house.
pub struct Panel<'a> {
    /// The house.
    pub world: &'a World,
    /// Over it, on the left: "8:00 pm".
    pub title: String,
    /// Over it, on the right: a figure.
    pub figure: String,
    /// People or guest-minutes by raster cell of the measures.
    pub cells: Vec<f64>,
    /// Lines that stand on the floor: a spot, and how many people.
    pub lines: &'a [(SpotId, u32)],
}

/// Houses in a row, and the room between them.
const IN_A_ROW: usize = 3;
const BETWEEN: f64 = 14.0;
/// Tallest house.
const TALLEST: f64 = 290.0;
/// Radius of a person in line, in picture units.
const HEAD: f64 = 2.4;

/// What panels with more and more guests show.
pub const HEADCOUNTS_SAY: &str = "Color: held up by others. Dots: in line when lines are long (longer on 1 evening in 10). Minutes: lost per guest to both.";

/// What the panels show.
struct Telling {
    title: &'static str,
    subtitle: &'static str,
    unit: String,
    /// The end of the scale for the highest value of all.
    top: fn(f64) -> f64,
    color: fn(f64) -> RGBColor,
}

/// Every half hour: where people are, with guests inside.
pub fn evening(panels: &[Panel], mount: Mount) -> Result<String, Undrawn> {
    let unit = |areas: &str| format!("people in {areas}");
    let (title, subtitle) = (
        "The evening, half an hour at a time",
        "People by area on the average evening, with guests inside",
    );
    draw(
        panels,
        &Telling { title, subtitle, unit: unit_of(panels, unit), top: crowding_top, color: cool },
        mount,
    )
}

/// More and more guests: where they are held up and stand in line, with minutes lost a guest.
pub fn headcounts(panels: &[Panel], mount: Mount) -> Result<String, Undrawn> {
    let unit = |areas: &str| format!("guest-minutes lost in {areas}");
    let (title, subtitle) = ("More and more guests", HEADCOUNTS_SAY);
    draw(
        panels,
        &Telling { title, subtitle, unit: unit_of(panels, unit), top: held_up_top, color: warm },
        mount,
    )
}

fn unit_of(panels: &[Panel], unit: impl Fn(&str) -> String) -> String {
    panels.first().map_or(String::new(), |p| unit(areas_words(p.world)))
}

fn draw(panels: &[Panel], told: &Telling, mount: Mount) -> Result<String, Undrawn> {
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, told.title, told.subtitle);
    let wide = (WIDTH - 2.0 * MARGIN - BETWEEN * (IN_A_ROW as f64 - 1.0)) / IN_A_ROW as f64;
    let rasters: Vec<Raster> =
        panels.iter().map(|p| Raster::new(p.world, &p.cells, areas(p.world))).collect();
    let end = (told.top)(rasters.iter().map(|r| r.highest).fold(0.0, f64::max));
    let (mut y, mut below) = (top + MARGIN * 0.5, top);
    let waiting: Vec<Vec<At>> = panels.iter().map(|p| waiting(p.world, p.lines)).collect();
    let round = panels
        .iter()
        .zip(&waiting)
        .map(|(p, waiting)| beyond(p.world, waiting))
        .fold(0.0, f64::max);
    for (k, ((panel, raster), waiting)) in panels.iter().zip(&rasters).zip(&waiting).enumerate() {
        let column = k % IN_A_ROW;
        if column == 0 && k > 0 {
            y = below + BETWEEN;
        }
        let left = MARGIN + (wide + BETWEEN) * column as f64;
        sheet.write(
            (left, y + TINY * 0.5),
            &panel.title,
            Ink { size: TINY, anchor: Anchor::Left, color: INK, bold: true, halo: false },
        );
        sheet.write(
            (left + wide, y + TINY * 0.5),
            &panel.figure,
            Ink { size: TINY, anchor: Anchor::Right, color: SOFT, bold: false, halo: false },
        );
        let frame = Frame::panel(&panel.world.plan, (left, y + TINY * 1.3), (wide, TALLEST), round);
        floors(&mut sheet, &panel.world.plan, &frame);
        raster.paint(&mut sheet, &frame, |v| heat_ink(v, told.color, end))?;
        walls(&mut sheet, &panel.world.plan, &frame);
        waiting.iter().for_each(|p| sheet.fill(circle(frame.at(p.0, p.1), HEAD), MARK, 1.0));
        below = below.max(frame.bottom);
    }
    let ticks = [0.0, 0.5, 1.0].map(|share| (share, format!("{}", end * share)));
    let y = legend(&mut sheet, below + 6.0, &told.unit, told.color, &ticks);
    foot(&mut sheet, y, mount);
    sheet.svg()
}
