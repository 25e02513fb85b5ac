//! The house drawn as a house: walls, openings with their swing, furniture with names, true
//! proportions.

pub(crate) mod levels;
pub(crate) mod pieces;
pub(crate) mod raster;
pub(crate) mod labels;
pub(crate) mod marks;
pub(crate) mod drawn;
pub(crate) mod heat;
pub(crate) mod difference;
pub(crate) mod places;
pub(crate) mod panels;

use crate::pictures::Mount;
use crate::pictures::draw::sheet::{Anchor, At, Ink, Sheet};
use crate::pictures::draw::style::*;
use crate::words;
use geo::{BooleanOps, Buffer, LineString, MultiPolygon, Polygon};
use sim::base::units::{FOOT, System};
use sim::house::plan::{Opening, Plan, Room, RoomId, Style, Use, Xy};

/// Where the house lies on the sheet.
pub(crate) struct Frame {
    pub west: f64,
    pub north: f64,
    pub scale: f64,
    pub left: f64,
    pub top: f64,
    pub bottom: f64,
    /// The levels that are drawn.
    levels: [usize; 2],
}

/// Tallest house on a sheet, in picture units.
pub(crate) const TALLEST: f64 = 930.0;
/// Tallest house on a page, where it is to be seen whole on the first screen of a phone.
const TALLEST_ON_PAGE: f64 = 700.0;

/// Tallest house on a mount.
pub(crate) fn tallest(mount: Mount) -> f64 {
    if matches!(mount, Mount::Page) { TALLEST_ON_PAGE } else { TALLEST }
}

/// Room round the house for walls and dimensions, in meters.
const ROUND: f64 = 0.35;

impl Frame {
    /// As large as the sheet allows, with some more meters round the house.
    pub(crate) fn new(plan: &Plan, top: f64, round: f64) -> Frame {
        Frame::within(plan, [0, plan.levels.len() - 1], (top, TALLEST), round)
    }

    /// The same for levels from one to another, no taller than so many picture units.
    pub(crate) fn within(plan: &Plan, levels: [usize; 2], (top, tallest): At, round: f64) -> Frame {
        let bounds = (levels[0]..=levels[1]).filter_map(|k| plan.bounds_of_level(k));
        let [w, s, e, n] = bounds
            .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
            .unwrap_or(plan.bounds());
        let (w, s, e, n) =
            (w - ROUND - round, s - ROUND - round, e + ROUND + round, n + ROUND + round);
        let scale = ((WIDTH - 2.0 * MARGIN) / (e - w)).min(tallest / (n - s));
        let left = (WIDTH - (e - w) * scale) / 2.0;
        let top = if plan.levels.len() > 1 { top + levels::CAPTION } else { top };
        Frame { west: w, north: n, scale, left, top, bottom: top + (n - s) * scale, levels }
    }

    /// A small one, as large as a box of a width and a height allows, from its left top corner,
    /// with some more meters round the house.
    pub(crate) fn panel(plan: &Plan, (left, top): At, (wide, high): At, round: f64) -> Frame {
        let [w, s, e, n] = plan.bounds();
        let edge = plan.walls + 0.05 + round;
        let (w, s, e, n) = (w - edge, s - edge, e + edge, n + edge);
        let scale = (wide / (e - w)).min(high / (n - s));
        Frame {
            west: w,
            north: n,
            scale,
            left: left + (wide - (e - w) * scale) / 2.0,
            top,
            bottom: top + (n - s) * scale,
            levels: [0, plan.levels.len() - 1],
        }
    }

    /// Whether a level is drawn.
    pub(crate) fn shows_level(&self, level: usize) -> bool {
        (self.levels[0]..=self.levels[1]).contains(&level)
    }

    /// Whether a room is drawn.
    pub(crate) fn shows(&self, plan: &Plan, room: RoomId) -> bool {
        self.shows_level(plan.rooms[room].level)
    }

    /// The openings that are drawn.
    pub(crate) fn openings<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Opening> {
        plan.openings.iter().filter(|o| self.shows(plan, o.inner))
    }

    /// The rooms that are drawn.
    fn rooms<'a>(&self, plan: &'a Plan) -> impl Iterator<Item = &'a Room> {
        plan.rooms.iter().filter(|r| self.shows_level(r.level))
    }

    pub(crate) fn at(&self, x: f64, y: f64) -> At {
        (self.left + (x - self.west) * self.scale, self.top + (self.north - y) * self.scale)
    }

    pub(crate) fn xy(&self, p: Xy) -> At {
        self.at(p.x, p.y)
    }

    /// Metres to picture units.
    pub(crate) fn long(&self, meters: f64) -> f64 {
        meters * self.scale
    }

    /// A point of the sheet in meters.
    pub(crate) fn meters(&self, (x, y): At) -> (f64, f64) {
        (self.west + (x - self.left) / self.scale, self.north - (y - self.top) / self.scale)
    }

    pub(crate) fn ring(&self, ring: &LineString<f64>) -> Vec<At> {
        ring.coords().map(|c| self.xy(*c)).collect()
    }
}

/// Floors and outdoor ground.
pub(crate) fn floors(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for room in frame.rooms(plan) {
        let outdoors = room.usage == Use::Outdoors;
        let ring = frame.ring(room.outline.exterior());
        sheet.fill(ring.clone(), if outdoors { GROUND } else { FLOOR }, 1.0);
        if outdoors {
            sheet.line(ring, SOFT, 1.0);
        }
    }
    for o in frame.openings(plan) {
        let color =
            if o.rooms().all(|r| plan.rooms[r].usage == Use::Outdoors) { GROUND } else { FLOOR };
        sheet.fill(frame.ring(o.frame_box(0.004).exterior()), color, 1.0);
    }
}

/// Walls: what is within a wall's thickness of a room and neither room nor opening; stairs, and
/// names of levels. Drawn over heat, so that none lies on a wall.
pub(crate) fn walls(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    let mut walls = MultiPolygon::new(vec![]);
    for room in frame.rooms(plan).filter(|r| r.usage != Use::Outdoors) {
        let style = geo::algorithm::buffer::BufferStyle::new(plan.walls)
            .line_join(geo::algorithm::buffer::LineJoin::Miter(1.0));
        walls = walls.union(&room.outline.buffer_with_style(style));
    }
    for room in frame.rooms(plan) {
        walls = walls.difference(&room.outline);
    }
    for o in frame.openings(plan) {
        walls = walls.difference(&o.frame_box(0.004));
    }
    for piece in walls.0.into_iter().flat_map(without_holes) {
        let ring = frame.ring(piece.exterior());
        sheet.fill(ring.clone(), INK, 1.0);
        sheet.line(ring, INK, 0.6);
    }
    levels::stairs(sheet, plan, frame);
}

/// The same area as polygons without holes: cut through each hole.
fn without_holes(polygon: Polygon<f64>) -> Vec<Polygon<f64>> {
    use geo::BoundingRect;
    let Some(middle) =
        polygon.interiors().first().and_then(|hole| hole.bounding_rect()).map(|r| r.center().x)
    else {
        return vec![polygon];
    };
    const FAR: f64 = 1e4;
    let half = |from: f64, to: f64| geo::Rect::new((from, -FAR), (to, FAR)).to_polygon();
    let parts = [half(-FAR, middle), half(middle, FAR)].map(|h| polygon.intersection(&h));
    parts.into_iter().flatten().flat_map(without_holes).collect()
}

/// Windows: the wall thinned to its two faces with the glass between.
fn windows(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for w in plan.windows.iter().filter(|w| frame.shows(plan, w.room)) {
        let across = (-w.along.1, w.along.0);
        let at = |a: f64, t: f64| {
            frame.at(
                w.center.x + w.along.0 * a + across.0 * t,
                w.center.y + w.along.1 * a + across.1 * t,
            )
        };
        let (half, deep) = (w.width / 2.0, w.depth / 2.0);
        let ring = [(-half, -deep), (half, -deep), (half, deep), (-half, deep), (-half, -deep)]
            .map(|(a, t)| at(a, t))
            .to_vec();
        sheet.fill(ring.clone(), FLOOR, 1.0);
        sheet.line(ring, INK, 0.8);
        sheet.line(vec![at(-half, 0.0), at(half, 0.0)], INK, 0.8);
    }
}

/// Windows; leaves, panels and frames of openings.
pub(crate) fn openings(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    windows(sheet, plan, frame);
    for o in frame.openings(plan) {
        let [from, to] = o.frame_ends();
        let across = |a: f64| {
            vec![frame.xy(o.point(a, -o.depth / 2.0)), frame.xy(o.point(a, o.depth / 2.0))]
        };
        sheet.line(across(from), INK, 1.2);
        sheet.line(across(to), INK, 1.2);
        for leaf in &o.leaves {
            sheet.line(vec![frame.xy(leaf.hinge), frame.xy(leaf.open)], INK, 2.0);
            sheet.line(arc(frame, leaf.hinge, leaf.shut, leaf.open), SOFT, 0.8);
        }
        match o.style {
            Style::Sliding => {
                panels(sheet, o, frame);
            }
            Style::Folding | Style::Pocket => sheet.line(
                vec![
                    frame.xy(o.point(from, 0.0)),
                    frame.xy(o.point(from + (o.sold - o.clear).max(0.05), 0.0)),
                ],
                INK,
                2.4,
            ),
            _ => {}
        }
    }
}

/// The panels of a slider: the fixed one across its half, the other slid behind it, or both half
/// open where both slide.
fn panels(sheet: &mut Sheet, o: &Opening, frame: &Frame) {
    let [from, to] = o.frame_ends();
    let panel =
        |from: f64, to: f64, t: f64| vec![frame.xy(o.point(from, t)), frame.xy(o.point(to, t))];
    let lap = 0.04;
    let lines = match o.frame {
        0.0 => [panel(from, lap, -0.02), panel(-lap, to, 0.02)],
        off if off > 0.0 => [panel(off - lap, to, 0.02), panel(off, to - 0.1, -0.02)],
        off => [panel(from, off + lap, 0.02), panel(from + 0.1, off, -0.02)],
    };
    lines.into_iter().for_each(|l| sheet.line(l, INK, 1.6));
}

fn arc(frame: &Frame, hinge: Xy, from: Xy, to: Xy) -> Vec<At> {
    let (a, b) = ((from.x - hinge.x, from.y - hinge.y), (to.x - hinge.x, to.y - hinge.y));
    let turn = |k: u32| f64::from(k) / 12.0 * std::f64::consts::FRAC_PI_2;
    (0..=12)
        .map(|k| {
            let (s, c) = turn(k).sin_cos();
            frame.at(hinge.x + a.0 * c + b.0 * s, hinge.y + a.1 * c + b.1 * s)
        })
        .collect()
}

/// Title and subtitle of a picture that stands alone; returns the y below.
pub(crate) fn head(sheet: &mut Sheet, mount: Mount, title: &str, subtitle: &str) -> f64 {
    if matches!(mount, Mount::Page) {
        return MARGIN * 0.5;
    }
    let y = sheet.paragraph(
        (MARGIN, MARGIN + TITLE * 0.6),
        title,
        TITLE,
        WIDTH - 2.0 * MARGIN,
        INK,
        true,
    );
    sheet.paragraph((MARGIN, y + 2.0), subtitle, TEXT, WIDTH - 2.0 * MARGIN, SOFT, false) + 4.0
}

/// What a picture that stands alone explains; on a page its caption does. Returns the y below.
pub(crate) fn explain(sheet: &mut Sheet, mount: Mount, y: f64, text: &str) -> f64 {
    if matches!(mount, Mount::Page) {
        return y;
    }
    sheet.paragraph((MARGIN, y), text, SMALL, WIDTH - 2.0 * MARGIN, SOFT, false)
}

/// Scenario, run and caution of a picture that stands alone; closes the sheet.
pub(crate) fn foot(sheet: &mut Sheet, y: f64, mount: Mount) {
    let Mount::Alone(foot) = mount else {
        return sheet.reach(y + MARGIN * 0.5);
    };
    let wide = WIDTH - 2.0 * MARGIN;
    let y = sheet.paragraph((MARGIN, y + 20.0), &foot.title, SMALL, wide, INK, false);
    let y = sheet.paragraph((MARGIN, y), &foot.run, TINY, wide, SOFT, false);
    let y = sheet.paragraph((MARGIN, y + 4.0), words::CAUTION, TINY, wide, SOFT, false);
    sheet.reach(y + MARGIN * 0.5);
}

/// A bar of a round length, and north.
pub(crate) fn scale_bar(sheet: &mut Sheet, plan: &Plan, frame: &Frame, y: f64) -> f64 {
    let y = y + 16.0;
    let (meters, label) = match plan.system {
        System::Feet => (5.0 * FOOT, "5 ft"),
        System::Metres => (2.0, "2 m"),
    };
    let (a, b) = (WIDTH - MARGIN - frame.long(meters), WIDTH - MARGIN);
    sheet.line(vec![(a, y - 5.0), (a, y), (b, y), (b, y - 5.0)], INK, 1.5);
    sheet.write(
        (a - 8.0, y - 2.0),
        label,
        Ink { size: SMALL, anchor: Anchor::Right, color: INK, bold: false, halo: false },
    );
    let n = a - 90.0;
    sheet.line(vec![(n, y + 4.0), (n, y - 16.0)], INK, 1.5);
    sheet.fill(vec![(n, y - 22.0), (n - 5.0, y - 11.0), (n + 5.0, y - 11.0)], INK, 1.0);
    sheet.write(
        (n + 10.0, y - 4.0),
        "N",
        Ink { size: SMALL, anchor: Anchor::Left, color: INK, bold: false, halo: false },
    );
    sheet.reach(y + 16.0);
    y + 16.0
}
