//! The house drawn as a house: walls, openings with their swing, furniture with names, true proportions.

use super::Mount;
use super::levels;
use super::sheet::{Anchor, At, Ink, Sheet, text_width};
use super::style::*;
use crate::words;
use geo::{BooleanOps, Buffer, LineString, MultiPolygon, Polygon};
use sim::plan::{Furniture, Opening, Plan, Room, Style, Use, Xy};
use sim::units::{FOOT, System};

/// Where the house lies on the sheet.
pub(super) struct Frame {
    pub west: f64,
    pub north: f64,
    pub scale: f64,
    pub left: f64,
    pub top: f64,
    pub bottom: f64,
}

/// Tallest house on a sheet, in picture units.
pub(super) const TALLEST: f64 = 930.0;
/// Room round the house for walls and dimensions, in metres.
const ROUND: f64 = 0.35;

impl Frame {
    /// As large as the sheet allows, with some more metres round the house.
    pub(super) fn new(plan: &Plan, top: f64, round: f64) -> Frame {
        Frame::within(plan, top, round, TALLEST)
    }

    /// The same, no taller than so many picture units.
    pub(super) fn within(plan: &Plan, top: f64, round: f64, tallest: f64) -> Frame {
        let [w, s, e, n] = plan.bounds();
        let (w, s, e, n) = (w - ROUND - round, s - ROUND - round, e + ROUND + round, n + ROUND + round);
        let scale = ((WIDTH - 2.0 * MARGIN) / (e - w)).min(tallest / (n - s));
        let left = (WIDTH - (e - w) * scale) / 2.0;
        let top = if plan.levels.len() > 1 { top + levels::CAPTION } else { top };
        Frame { west: w, north: n, scale, left, top, bottom: top + (n - s) * scale }
    }

    pub(super) fn at(&self, x: f64, y: f64) -> At {
        (self.left + (x - self.west) * self.scale, self.top + (self.north - y) * self.scale)
    }

    pub(super) fn xy(&self, p: Xy) -> At {
        self.at(p.x, p.y)
    }

    /// Metres to picture units.
    pub(super) fn long(&self, metres: f64) -> f64 {
        metres * self.scale
    }

    fn ring(&self, ring: &LineString<f64>) -> Vec<At> {
        ring.coords().map(|c| self.xy(*c)).collect()
    }
}

/// Floors and outdoor ground.
pub(super) fn floors(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for room in &plan.rooms {
        let outdoors = room.usage == Use::Outdoors;
        let ring = frame.ring(room.outline.exterior());
        sheet.fill(ring.clone(), if outdoors { GROUND } else { FLOOR }, 1.0);
        if outdoors {
            sheet.line(ring, SOFT, 1.0);
        }
    }
    for o in &plan.openings {
        let colour = if o.rooms.iter().flatten().all(|&r| plan.rooms[r].usage == Use::Outdoors) { GROUND } else { FLOOR };
        sheet.fill(frame.ring(o.frame_box(0.004).exterior()), colour, 1.0);
    }
}

/// Walls: what is within a wall's thickness of a room and neither room nor opening; stairs, and names of levels. Drawn over heat, so that
/// none lies on a wall.
pub(super) fn walls(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    let mut walls = MultiPolygon::new(vec![]);
    for room in plan.rooms.iter().filter(|r| r.usage != Use::Outdoors) {
        let style = geo::algorithm::buffer::BufferStyle::new(plan.walls).line_join(geo::algorithm::buffer::LineJoin::Miter(1.0));
        walls = walls.union(&room.outline.buffer_with_style(style));
    }
    for room in &plan.rooms {
        walls = walls.difference(&room.outline);
    }
    for o in &plan.openings {
        walls = walls.difference(&o.frame_box(0.004));
    }
    for piece in walls.0.into_iter().flat_map(without_holes) {
        let ring = frame.ring(piece.exterior());
        sheet.fill(ring.clone(), INK, 1.0);
        sheet.line(ring, INK, 0.6);
    }
    levels::stairs(sheet, plan, frame);
    levels::names(sheet, plan, frame);
}

/// The same area as polygons without holes: cut through each hole.
fn without_holes(polygon: Polygon<f64>) -> Vec<Polygon<f64>> {
    use geo::BoundingRect;
    let Some(middle) = polygon.interiors().first().and_then(|hole| hole.bounding_rect()).map(|r| r.center().x) else {
        return vec![polygon];
    };
    const FAR: f64 = 1e4;
    let half = |from: f64, to: f64| geo::Rect::new((from, -FAR), (to, FAR)).to_polygon();
    let parts = [half(-FAR, middle), half(middle, FAR)].map(|h| polygon.intersection(&h));
    parts.into_iter().flatten().flat_map(without_holes).collect()
}

/// Leaves, panels and frames of openings.
pub(super) fn openings(sheet: &mut Sheet, plan: &Plan, frame: &Frame) {
    for o in &plan.openings {
        let [from, to] = o.frame_ends();
        let across = |a: f64| vec![frame.xy(o.point(a, -o.depth / 2.0)), frame.xy(o.point(a, o.depth / 2.0))];
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
            Style::Folding | Style::Pocket => {
                sheet.line(vec![frame.xy(o.point(from, 0.0)), frame.xy(o.point(from + (o.sold - o.clear).max(0.05), 0.0))], INK, 2.4)
            }
            _ => {}
        }
    }
}

/// The panels of a slider: the fixed one across its half, the other slid behind it, or both half open where both slide.
fn panels(sheet: &mut Sheet, o: &Opening, frame: &Frame) {
    let [from, to] = o.frame_ends();
    let panel = |from: f64, to: f64, t: f64| vec![frame.xy(o.point(from, t)), frame.xy(o.point(to, t))];
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

/// Furniture in outline with names where they fit clear of boxes taken, and numbers where they do not.
/// Returns what the numbers stand for.
pub(super) fn furniture(sheet: &mut Sheet, plan: &Plan, frame: &Frame, see_through: bool, taken: &[[f64; 4]]) -> Key {
    outlines(sheet, plan, frame, see_through);
    let mut key = Key::default();
    for f in plan.furniture.iter().filter(|f| plan.rooms[f.room].usage != Use::Closet) {
        let area = |f: &Furniture| box_of(&f.outline).0 * box_of(&f.outline).1;
        let shared = plan.furniture.iter().any(|o| !std::ptr::eq(f, o) && o.room == f.room && area(o) < area(f) && lies_in(o, f));
        if shared || !name_inside(sheet, frame, f, taken) {
            let at = frame.xy(if shared { off_middle(f) } else { f.centre });
            sheet.write(at, &key.number(&f.name), Ink { size: TINY, anchor: Anchor::Middle, colour: SOFT, bold: false, halo: false });
        }
    }
    key
}

/// Names that stand as numbers on the house.
#[derive(Default)]
pub(super) struct Key(Vec<String>);

impl Key {
    /// The next number, for a name.
    fn number(&mut self, name: &str) -> String {
        let number = (self.0.len() + 1).to_string();
        self.0.push(format!("{number} {}", words::shown(name)));
        number
    }
}

/// Furniture in outline.
pub(super) fn outlines(sheet: &mut Sheet, plan: &Plan, frame: &Frame, see_through: bool) {
    for f in &plan.furniture {
        let ring = frame.ring(f.outline.exterior());
        sheet.fill(ring.clone(), PIECE, if see_through { 0.55 } else { 1.0 });
        sheet.line(ring, SOFT, 1.2);
    }
}

/// Writes a piece's name in it, across, upright or in two lines; whether it fits.
fn name_inside(sheet: &mut Sheet, frame: &Frame, f: &Furniture, taken: &[[f64; 4]]) -> bool {
    let (w, h) = box_of(&f.outline);
    let (w, h) = (frame.long(w), frame.long(h));
    let (at, size) = (frame.xy(f.centre), TINY);
    let name = words::shown(&f.name);
    let wide = text_width(&name, size);
    let clear = |box_size: (f64, f64)| taken.iter().all(|t| overlap(t, at, box_size) <= 0.0);
    let ink = Ink { size, anchor: Anchor::Middle, colour: SOFT, bold: false, halo: false };
    if wide + 4.0 <= w && h >= size {
        let free = clear((wide, size));
        if free {
            sheet.write(at, &name, ink);
        }
        return free;
    }
    if wide + 4.0 <= h && w >= size {
        let free = clear((size, wide));
        if free {
            sheet.write_up(at, &name, size, SOFT);
        }
        return free;
    }
    let Some((first, rest)) = name.split_once(' ') else {
        return false;
    };
    let both = text_width(first, size).max(text_width(rest, size));
    let fits = both + 2.0 <= w && h >= 2.2 * size && clear((both, 2.2 * size));
    if fits {
        sheet.write((at.0, at.1 - size * 0.55), first, ink);
        sheet.write((at.0, at.1 + size * 0.55), rest, ink);
    }
    fits
}

/// A point of a piece at a quarter of its longer side, beside what stands in its middle.
fn off_middle(f: &Furniture) -> Xy {
    let (w, h) = box_of(&f.outline);
    if w >= h { Xy { x: f.centre.x - 0.35 * w, ..f.centre } } else { Xy { y: f.centre.y - 0.35 * h, ..f.centre } }
}

/// What the numbers stand for, under the house; returns the y below.
pub(super) fn key(sheet: &mut Sheet, y: f64, key: &Key) -> f64 {
    if key.0.is_empty() {
        return y;
    }
    sheet.paragraph((MARGIN, y + 8.0), &key.0.join(", "), TINY, WIDTH - 2.0 * MARGIN, SOFT, false)
}

/// Whether the middle of one piece lies in another: a range in a counter leaves no room for the counter's name.
fn lies_in(inner: &Furniture, outer: &Furniture) -> bool {
    use geo::Contains;
    outer.outline.contains(&geo::Point::from(inner.centre))
}

fn box_of(outline: &Polygon<f64>) -> (f64, f64) {
    use geo::BoundingRect;
    outline.bounding_rect().map_or((0.0, 0.0), |r| (r.width(), r.height()))
}

/// Names of rooms on floor that is free of furniture and of what else is marked. Where a room is too small for its name it gets a number,
/// or nothing if there is no key.
pub(super) fn room_names(sheet: &mut Sheet, plan: &Plan, frame: &Frame, taken: &mut Vec<[f64; 4]>, mut key: Option<&mut Key>) {
    taken.extend(levels::heads(plan, frame));
    for (i, room) in plan.rooms.iter().enumerate() {
        let [w, s, e, n] = room.bounds();
        let whole = name_lines(&words::shown(&room.name), frame.long(e - w), frame.long(n - s));
        let walls = notches(room, frame);
        let placed = |lines: NameLines, taken: &[[f64; 4]]| {
            let at = free_point(plan, i, frame, lines.size(), taken);
            let hits: f64 = taken.iter().chain(&walls).map(|t| overlap(t, at, lines.size())).sum();
            (lines, at, hits)
        };
        let whole = whole.into_iter().map(|lines| placed(lines, taken)).find(|(_, _, hits)| *hits <= 0.0);
        let number = |key: &mut Key| placed(NameLines::one(key.number(&room.name), TINY, false), taken);
        let Some((lines, at, _)) = whole.or_else(|| Some(number(key.as_deref_mut()?))) else {
            continue;
        };
        let (tw, th) = lines.size();
        taken.push([at.0 - tw / 2.0, at.1 - th / 2.0, at.0 + tw / 2.0, at.1 + th / 2.0]);
        lines.write(sheet, at);
    }
}

/// How a room's name is written.
struct NameLines {
    text: Vec<String>,
    size: f64,
    upright: bool,
}

impl NameLines {
    fn write(&self, sheet: &mut Sheet, at: At) {
        let ink = Ink { size: self.size, anchor: Anchor::Middle, colour: INK, bold: false, halo: true };
        match (self.upright, self.text.as_slice()) {
            (true, [name, ..]) => sheet.write_up(at, name, self.size, INK),
            (_, text) => {
                let first = at.1 - self.size * 0.55 * (text.len() as f64 - 1.0);
                text.iter().enumerate().for_each(|(k, line)| sheet.write((at.0, first + self.size * 1.1 * k as f64), line, ink));
            }
        }
    }

    fn one(name: impl Into<String>, size: f64, upright: bool) -> NameLines {
        NameLines { text: vec![name.into()], size, upright }
    }

    /// Width and height.
    fn size(&self) -> (f64, f64) {
        let wide = self.text.iter().map(|l| text_width(l, self.size)).fold(0.0, f64::max) + 6.0;
        let high = self.size * 1.1 * self.text.len() as f64;
        if self.upright { (high, wide) } else { (wide, high) }
    }
}

/// The ways to write a name in a box of a size, best first: across, in two lines, upright; larger before smaller.
fn name_lines(name: &str, wide: f64, high: f64) -> Vec<NameLines> {
    let sizes = [TEXT, SMALL, TINY];
    let across = sizes.into_iter().filter(|&s| text_width(name, s) <= wide - 4.0).map(|size| NameLines::one(name, size, false));
    let in_two = name.split_once(' ').map(|(first, rest)| {
        let fits = |&s: &f64| text_width(first, s).max(text_width(rest, s)) <= wide - 4.0 && 2.2 * s <= high - 4.0;
        sizes.into_iter().filter(fits).map(move |size| NameLines { text: vec![first.into(), rest.into()], size, upright: false })
    });
    let upright = sizes.into_iter().filter(|&s| text_width(name, s) <= high - 4.0 && s <= wide).map(|size| NameLines::one(name, size, true));
    across.chain(in_two.into_iter().flatten()).chain(upright).collect()
}

/// What a square unit of overlap costs against a square unit of distance from the middle.
const OVERLAP: f64 = 400.0;

/// The point of a room nearest its middle where a box is clear of furniture and of boxes taken.
pub(super) fn free_point(plan: &Plan, room: usize, frame: &Frame, (tw, th): (f64, f64), taken: &[[f64; 4]]) -> At {
    let [w, s, e, n] = plan.rooms[room].bounds();
    let middle = frame.at((w + e) / 2.0, (s + n) / 2.0);
    let own = |f: &&Furniture| f.room == room && plan.rooms[room].usage != Use::Closet;
    let pieces = plan.furniture.iter().filter(own).map(|f| box_on(f, frame));
    let blocks: Vec<[f64; 4]> = pieces.chain(taken.iter().copied()).chain(notches(&plan.rooms[room], frame)).collect();
    let (low, high) = (frame.at(w, n), frame.at(e, s));
    let mut best: Option<(f64, At)> = None;
    let steps = 24;
    for i in 0..=steps {
        for j in 0..=steps {
            let at = (low.0 + (high.0 - low.0) * f64::from(i) / f64::from(steps), low.1 + (high.1 - low.1) * f64::from(j) / f64::from(steps));
            let hits: f64 = blocks.iter().map(|b| overlap(b, at, (tw, th))).sum();
            let out = [
                (low.0 - (at.0 - tw / 2.0)).max(0.0),
                ((at.0 + tw / 2.0) - high.0).max(0.0),
                (low.1 - (at.1 - th / 2.0)).max(0.0),
                ((at.1 + th / 2.0) - high.1).max(0.0),
            ];
            let cost = hits * OVERLAP + out.iter().sum::<f64>() * 50_000.0 + (at.0 - middle.0).powi(2) + (at.1 - middle.1).powi(2);
            if best.is_none_or(|(c, _)| cost < c) {
                best = Some((cost, at));
            }
        }
    }
    best.map_or(middle, |b| b.1)
}

/// What of a room's bounding box is not the room, as boxes on the sheet: exact where its corners are square.
fn notches(room: &Room, frame: &Frame) -> Vec<[f64; 4]> {
    let [w, s, e, n] = room.bounds();
    let rest = geo::Rect::new((w, s), (e, n)).to_polygon().difference(&room.outline);
    rest.iter().map(|p| box_of_outline(p, frame)).collect()
}

/// The box a piece takes on the sheet.
fn box_on(f: &Furniture, frame: &Frame) -> [f64; 4] {
    box_of_outline(&f.outline, frame)
}

fn box_of_outline(outline: &Polygon<f64>, frame: &Frame) -> [f64; 4] {
    use geo::BoundingRect;
    outline.bounding_rect().map_or([0.0; 4], |r| {
        let (a, b) = (frame.at(r.min().x, r.max().y), frame.at(r.max().x, r.min().y));
        [a.0, a.1, b.0, b.1]
    })
}

/// How much of a box is covered by one of a size about a point.
pub(super) fn overlap(b: &[f64; 4], at: At, (w, h): (f64, f64)) -> f64 {
    let x = (b[2].min(at.0 + w / 2.0) - b[0].max(at.0 - w / 2.0)).max(0.0);
    let y = (b[3].min(at.1 + h / 2.0) - b[1].max(at.1 - h / 2.0)).max(0.0);
    x * y
}

/// Title and subtitle of a picture that stands alone; returns the y below.
pub(super) fn head(sheet: &mut Sheet, mount: Mount, title: &str, subtitle: &str) -> f64 {
    if matches!(mount, Mount::Page) {
        return MARGIN * 0.5;
    }
    let y = sheet.paragraph((MARGIN, MARGIN + TITLE * 0.6), title, TITLE, WIDTH - 2.0 * MARGIN, INK, true);
    sheet.paragraph((MARGIN, y + 2.0), subtitle, TEXT, WIDTH - 2.0 * MARGIN, SOFT, false) + 4.0
}

/// What a picture that stands alone explains; on a page its caption does. Returns the y below.
pub(super) fn explain(sheet: &mut Sheet, mount: Mount, y: f64, text: &str) -> f64 {
    if matches!(mount, Mount::Page) {
        return y;
    }
    sheet.paragraph((MARGIN, y), text, SMALL, WIDTH - 2.0 * MARGIN, SOFT, false)
}

/// Scenario, run and caution of a picture that stands alone; closes the sheet.
pub(super) fn foot(sheet: &mut Sheet, y: f64, mount: Mount) {
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
pub(super) fn scale_bar(sheet: &mut Sheet, plan: &Plan, frame: &Frame) -> f64 {
    let y = frame.bottom + 16.0;
    let (metres, label) = match plan.system {
        System::Feet => (5.0 * FOOT, "5 ft"),
        System::Metres => (2.0, "2 m"),
    };
    let (a, b) = (WIDTH - MARGIN - frame.long(metres), WIDTH - MARGIN);
    sheet.line(vec![(a, y - 5.0), (a, y), (b, y), (b, y - 5.0)], INK, 1.5);
    sheet.write((a - 8.0, y - 2.0), label, Ink { size: SMALL, anchor: Anchor::Right, colour: INK, bold: false, halo: false });
    let n = a - 90.0;
    sheet.line(vec![(n, y + 4.0), (n, y - 16.0)], INK, 1.5);
    sheet.fill(vec![(n, y - 22.0), (n - 5.0, y - 11.0), (n + 5.0, y - 11.0)], INK, 1.0);
    sheet.write((n + 10.0, y - 4.0), "N", Ink { size: SMALL, anchor: Anchor::Left, colour: INK, bold: false, halo: false });
    sheet.reach(y + 16.0);
    y + 16.0
}
