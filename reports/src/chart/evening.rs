//! The evening half hour by half hour: the house, small, with where people are.

use super::Mount;
use super::heat::{areas, areas_words, cool, crowding_top, heat_ink};
use super::house::{Frame, floors, foot, head, walls};
use super::legend::legend;
use super::raster::Raster;
use super::sheet::{Anchor, Ink, Sheet, Undrawn};
use super::style::*;
use sim::world::World;

/// One half hour.
pub struct HalfHour {
    /// "8:00 pm".
    pub from: String,
    /// Guests inside, on the average evening.
    pub guests: f64,
    /// People by raster cell of the measures.
    pub cells: Vec<f64>,
}

/// Houses in a row, and the room between them.
const IN_A_ROW: usize = 3;
const BETWEEN: f64 = 14.0;
/// Tallest house.
const TALLEST: f64 = 290.0;

/// Every half hour on one scale.
pub fn evening(world: &World, halves: &[HalfHour], mount: Mount) -> Result<String, Undrawn> {
    let plan = &world.plan;
    let mut sheet = Sheet::new();
    let top = head(&mut sheet, mount, "The evening, half an hour at a time", "People by area on the average evening, with guests inside");
    let wide = (WIDTH - 2.0 * MARGIN - BETWEEN * (IN_A_ROW as f64 - 1.0)) / IN_A_ROW as f64;
    let rasters: Vec<Raster> = halves.iter().map(|h| Raster::new(world, &h.cells, areas(world))).collect();
    let highest = rasters.iter().map(|r| r.highest).fold(0.0, f64::max);
    let end = crowding_top(highest);
    let (mut y, mut below) = (top + MARGIN * 0.5, top);
    for (k, (half, raster)) in halves.iter().zip(&rasters).enumerate() {
        let column = k % IN_A_ROW;
        if column == 0 && k > 0 {
            y = below + BETWEEN;
        }
        let left = MARGIN + (wide + BETWEEN) * column as f64;
        sheet.write((left, y + TINY * 0.5), &half.from, Ink { size: TINY, anchor: Anchor::Left, colour: INK, bold: true, halo: false });
        let guests = format!("{:.0}", half.guests);
        sheet.write((left + wide, y + TINY * 0.5), &guests, Ink { size: TINY, anchor: Anchor::Right, colour: SOFT, bold: false, halo: false });
        let frame = Frame::panel(plan, (left, y + TINY * 1.3), (wide, TALLEST));
        floors(&mut sheet, plan, &frame);
        raster.paint(&mut sheet, &frame, |v| heat_ink(v, cool, end))?;
        walls(&mut sheet, plan, &frame);
        below = below.max(frame.bottom);
    }
    let ticks = [0.0, 0.5, 1.0].map(|share| (share, format!("{}", end * share)));
    let y = legend(&mut sheet, below + 6.0, &format!("people in {}", areas_words(world)), cool, &ticks);
    foot(&mut sheet, y, mount);
    sheet.svg()
}
