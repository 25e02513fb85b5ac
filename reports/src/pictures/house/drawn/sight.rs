//! What people in the kitchen see: floor colored by how much of the kitchen sees it.

use crate::pictures::Mount;
use crate::pictures::draw::legend::legend;
use crate::pictures::draw::sheet::{Sheet, Undrawn};
use crate::pictures::house::labels::named;
use crate::pictures::house::pieces::pieces;
use crate::pictures::house::raster::Raster;
use crate::pictures::house::{Frame, floors, foot, head, openings, scale_bar, walls};
use plotters::style::RGBColor;
use sim::floor::world::World;
use sim::review::places::hubs::Hub;
use sim::review::rooms::sight::{Outlook, standing_points};

/// Opacity of what is seen, of 255.
const SEEN: u8 = 190;

/// Seen floor is dark (ColorBrewer BuGn), as good places are.
fn seen(share: f64) -> RGBColor {
    let c = colorous::BLUE_GREEN.eval_continuous(0.08 + 0.77 * share.clamp(0.0, 1.0));
    RGBColor(c.r, c.g, c.b)
}

/// Draws it, from one hub.
pub fn sight(
    world: &World,
    outlook: &Outlook,
    from: &Hub,
    title: &str,
    mount: Mount,
) -> Result<String, Undrawn> {
    let plan = &world.plan;
    let mut sheet = Sheet::new();
    let top = head(
        &mut sheet,
        mount,
        title,
        "By people who stand, over low furniture, inside doors open",
    );
    let frame = Frame::new(plan, top, 0.0);
    sheet.reach(frame.bottom);
    floors(&mut sheet, plan, &frame);
    let points = standing_points(world, from);
    let mut raster = Raster::new(world, &[], 1.0);
    let level = plan.rooms[from.room].level;
    for c in 0..raster.values.len() {
        let x = raster.west + (c % raster.width) as f64 * raster.pitch;
        let y = raster.south + (c / raster.width) as f64 * raster.pitch;
        let is_floor = world.room_at(x, y).is_some_and(|r| plan.rooms[r].level == level)
            && world.grid.clearance(x, y) > 0.0;
        raster.values[c] = if is_floor { outlook.share(&[(x, y)], &points) } else { 0.0 };
    }
    raster.paint(&mut sheet, &frame, |v| {
        let c = seen(v);
        [c.0, c.1, c.2, if v < 0.01 { 0 } else { SEEN }]
    })?;
    walls(&mut sheet, plan, &frame);
    pieces(&mut sheet, plan, &frame, true);
    openings(&mut sheet, plan, &frame);
    let labels = named(&mut sheet, plan, &frame, vec![]);
    let y = scale_bar(&mut sheet, plan, &frame, frame.bottom);
    let y = labels.key(&mut sheet, y);
    let y = legend(
        &mut sheet,
        y,
        "share of it from which the floor is seen",
        seen,
        &[(0.0, "none".into()), (1.0, "all".into())],
    );
    foot(&mut sheet, y, mount);
    sheet.svg()
}
