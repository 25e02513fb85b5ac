//! What one arrangement changes: where more and where less time is lost, on a two-ended scale with
//! paper in the middle.

use crate::pictures::Mount;
use crate::pictures::draw::legend::legend;
use crate::pictures::draw::sheet::{Sheet, Undrawn};
use crate::pictures::draw::style::*;
use crate::pictures::house::heat::{areas, areas_words};
use crate::pictures::house::labels::named;
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::raster::Raster;
use crate::pictures::house::{Frame, floors, foot, head, openings, scale_bar, walls};
use plotters::style::RGBColor;
use sim::floor::world::World;

/// A figure over the floor of a house, by raster cell of the measures.
pub(crate) type Over<'a> = (&'a World, &'a [f64]);

/// Ends of the scale, in guest-minutes for each unit of area.
const ENDS: [f64; 11] = [0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 320.0];
/// Changes below this share of the end are paper.
const PAPER_BELOW: f64 = 0.04;

/// Guest-minutes lost in `after` less those in `before`, drawn on the house of `after`.
pub fn difference(
    after: Over,
    before: Over,
    (name, than): (&str, &str),
    mount: Mount,
) -> Result<String, Undrawn> {
    let (world, plan) = (after.0, &after.0.plan);
    let mut sheet = Sheet::new();
    let top = head(
        &mut sheet,
        mount,
        &format!("What changes: {name}"),
        &format!("Guest-minutes lost to others on an average evening, against \"{than}\""),
    );
    let frame = Frame::new(plan, top, 0.0);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    let raster = change(after, before);
    let most = raster.values.iter().map(|v| v.abs()).fold(0.0, f64::max);
    let end = ENDS.into_iter().find(|e| most <= *e).unwrap_or(most);
    raster.paint(&mut sheet, &frame, |v| ink(v / end))?;
    walls(&mut sheet, plan, &frame);
    pieces(&mut sheet, plan, &frame, true);
    openings(&mut sheet, plan, &frame);
    let labels = named(&mut sheet, plan, &frame, vec![]);
    let y = scale_bar(&mut sheet, plan, &frame, frame.bottom);
    let y = labels.key(&mut sheet, y);
    let y = scale(&mut sheet, y, end, &format!("in {}", areas_words(world)));
    foot(&mut sheet, y, mount);
    sheet.svg()
}

/// The later field less the earlier one at the same points of the same level; where the earlier
/// house had no floor, nothing was lost.
fn change(after: Over, before: Over) -> Raster {
    let mut raster = Raster::new(after.0, after.1, areas(after.0));
    let earlier = Raster::new(before.0, before.1, areas(before.0));
    for c in 0..raster.values.len() {
        let x = raster.west + (c % raster.width) as f64 * raster.pitch;
        let y = raster.south + (c / raster.width) as f64 * raster.pitch;
        let level = &after.0.plan.levels[after.0.plan.level_at(y)];
        if let Some(same) = before.0.plan.levels.iter().find(|l| l.name == level.name) {
            raster.values[c] -= earlier.at(x, y - level.moved + same.moved);
        }
    }
    raster
}

/// Color of a share from -1 to 1: violet less, orange more, alike for the color-blind
/// (ColorBrewer PuOr).
fn color(share: f64) -> RGBColor {
    let c = colorous::PURPLE_ORANGE.eval_continuous(0.5 + share.clamp(-1.0, 1.0) / 2.0);
    RGBColor(c.r, c.g, c.b)
}

fn ink(share: f64) -> [u8; 4] {
    let c = color(share);
    let seen = ((share.abs() - PAPER_BELOW) * 6.0).clamp(0.0, 1.0);
    [c.0, c.1, c.2, (seen * 235.0) as u8]
}

fn scale(sheet: &mut Sheet, y: f64, end: f64, unit: &str) -> f64 {
    let ticks = [
        (0.0, format!("{end} less")),
        (0.5, "no change".to_string()),
        (1.0, format!("{end} more")),
    ];
    let shown = |share: f64| {
        let signed = 2.0 * share - 1.0;
        if signed.abs() < PAPER_BELOW { PAPER } else { color(signed) }
    };
    legend(sheet, y, &format!("guest-minutes lost {unit}"), shown, &ticks)
}
