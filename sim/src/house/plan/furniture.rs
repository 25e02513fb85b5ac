//! Furniture: size by kind, place by gaps to walls or by corner, any turn.

use super::catalog::Kind;
use super::room::{Room, bounds, has_word, polygon};
use super::said::{Compass, Said, SaidFurniture, SaidSide};
use super::{Assumed, Figure, Plan, RoomId, Xy};
use crate::base::ids::TiSlice;
use crate::base::units::{INCH, Length};
use crate::house::problem::{AtKey, BadPiece, File, Named, Problem};
use geo::{Area, BooleanOps, Polygon, Rotate, Translate, Validation};

/// A side of a piece in its own frame; ends are both short sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Side {
    Front,
    Back,
    Ends,
}

impl Side {
    /// Its word in files.
    pub fn word(self) -> &'static str {
        ["front", "back", "ends"][self as usize]
    }
}

/// A piece of furniture on the floor of a room.
#[derive(Clone, Debug, PartialEq)]
pub struct Furniture {
    /// Its name.
    pub name: String,
    /// Whether the file gave the name.
    pub(super) named: bool,
    /// Its kind.
    pub kind: Kind,
    /// The room it stands in.
    pub room: RoomId,
    /// Footprint in meters.
    pub outline: Polygon<f64>,
    /// Middle of the footprint.
    pub center: Xy,
    /// Unit vector its front faces.
    pub facing: (f64, f64),
    /// Along the front, in meters.
    pub width: f64,
    /// Front to back, in meters.
    pub depth: f64,
    /// Floor to top, in meters.
    pub height: f64,
    /// Seats it offers.
    pub seats: u32,
    /// Sides it is used from.
    pub sides: Vec<Side>,
    /// Whether the file gave the sides.
    pub sides_said: bool,
    /// Length of hanging rod, in meters, if said.
    pub rod: Option<f64>,
    /// Whether its contents are in sight.
    pub glass_front: bool,
    /// Place settings it holds (dishwasher).
    pub place_settings: Option<u32>,
    /// A gap that the file gives and its size does not leave, the opposite gap being kept.
    pub gap_off: Option<GapOff>,
}

/// A gap to a wall that is another than the file says. Metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapOff {
    /// The wall.
    pub to: Compass,
    /// What the file says.
    pub said: f64,
    /// What is left.
    pub left: f64,
}

/// One straight side of a piece: outward normal, middle and length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Outward unit vector.
    pub out: (f64, f64),
    /// Middle of the side.
    pub middle: Xy,
    /// Length in meters.
    pub length: f64,
}

impl Edge {
    /// The floor before it, so deep in meters.
    pub fn floor_before(&self, deep: f64) -> Polygon<f64> {
        let (ux, uy) = (-self.out.1 * self.length / 2.0, self.out.0 * self.length / 2.0);
        let (ox, oy) = (self.out.0 * deep, self.out.1 * deep);
        let m = self.middle;
        polygon(&[
            (m.x - ux, m.y - uy),
            (m.x - ux + ox, m.y - uy + oy),
            (m.x + ux + ox, m.y + uy + oy),
            (m.x + ux, m.y + uy),
        ])
    }
}

impl Furniture {
    /// Whether food or drinks may stand on it: it has a top, and is no grill, no desk, which nobody
    /// clears for guests, and no coffee table.
    pub fn carries(&self) -> bool {
        self.kind.has_top() && !matches!(self.kind, Kind::Desk | Kind::Grill) && !self.is_low()
    }

    /// Whether it is low, to be reached from a sofa: a coffee table, an ottoman.
    pub fn is_low(&self) -> bool {
        self.kind == Kind::Ottoman || is_low_table(self.kind, &self.name)
    }

    /// The straight sides in use.
    pub fn edges(&self) -> Vec<Edge> {
        self.sides.iter().flat_map(|&s| self.edges_of(s)).collect()
    }

    /// The straight sides of one name.
    pub fn edges_of(&self, side: Side) -> Vec<Edge> {
        let (fx, fy) = self.facing;
        let edge = |out: (f64, f64), reach: f64, length: f64| Edge {
            out,
            middle: Xy { x: self.center.x + out.0 * reach, y: self.center.y + out.1 * reach },
            length,
        };
        match side {
            Side::Front => vec![edge((fx, fy), self.depth / 2.0, self.width)],
            Side::Back => vec![edge((-fx, -fy), self.depth / 2.0, self.width)],
            Side::Ends => vec![
                edge((-fy, fx), self.width / 2.0, self.depth),
                edge((fy, -fx), self.width / 2.0, self.depth),
            ],
        }
    }
}

/// Whether a table is by its name one that nobody dines at.
fn is_low_table(kind: Kind, name: &str) -> bool {
    kind == Kind::Table
        && has_word(
            name,
            &["coffee table", "side table", "end table", "cocktail table", "nightstand"],
        )
}

pub(super) fn place(
    said: &Said,
    names: &TiSlice<RoomId, &str>,
    rooms: &TiSlice<RoomId, Option<Room>>,
    assumed: &mut Vec<Assumed>,
    problems: &mut Vec<Problem>,
) -> Vec<Option<Furniture>> {
    said.furniture
        .iter()
        .enumerate()
        .map(|(i, f)| place_one(i, f, names, rooms, assumed, problems))
        .collect()
}

fn place_one(
    i: usize,
    f: &SaidFurniture,
    names: &TiSlice<RoomId, &str>,
    rooms: &TiSlice<RoomId, Option<Room>>,
    assumed: &mut Vec<Assumed>,
    problems: &mut Vec<Problem>,
) -> Option<Furniture> {
    problems.extend(contradictions(f).into_iter().map(|wrong| wrong.of(format!("furniture/{i}"))));
    let f = &SaidFurniture { size: f.size.filter(|size| !is_nothing(*size)), ..f.clone() };
    let Some(index) = names.position(|n| *n == f.room) else {
        let at = format!("furniture/{i}/room");
        problems.push(Problem::unknown_name(File::Plan, at, Named::Room, &f.room, &names.raw));
        return None;
    };
    let room = rooms[index].as_ref()?;
    match in_room(f, index, room) {
        Ok(piece) => {
            note_assumed(f, &piece.name, assumed);
            Some(piece)
        }
        Err(wrong) => {
            problems.push(wrong.of(format!("furniture/{i}")));
            None
        }
    }
}

/// A piece on the floor of its room.
fn in_room(f: &SaidFurniture, index: RoomId, room: &Room) -> Result<Furniture, AtKey> {
    let name = f.name.clone().unwrap_or_else(|| f.kind.word().to_string());
    let usual = f.kind.usual();
    let turn = f.turn.unwrap_or_else(|| back_to_wall(&f.gaps)).rem_euclid(360.0);
    let (width, depth) = f.size.unwrap_or((usual.width.m(), usual.depth.m()));
    let shape = footprint(f, width, depth, turn);
    if !shape.is_valid() {
        return Err(AtKey::new("outline", BadPiece::CrossesItself { name }));
    }
    let outline = stood(f, &name, &shape, room)?;
    let [w, s, e, n] = bounds(&outline);
    let facing = turned((0.0, -1.0), turn);
    let (width, depth) = outline_size(f).unwrap_or((width, depth));
    Ok(Furniture {
        named: f.name.is_some(),
        kind: f.kind,
        room: index,
        center: Xy { x: (w + e) / 2.0, y: (s + n) / 2.0 },
        facing,
        width,
        depth,
        height: f.height.unwrap_or(usual.height.m()),
        seats: f.seats.unwrap_or(usual_seats(f, &name)),
        sides: match &f.use_from {
            Some(said) => said.iter().map(|s| own_side(*s, facing)).collect(),
            None => usual.sides.to_vec(),
        },
        sides_said: f.use_from.is_some(),
        rod: f.rod,
        glass_front: f.glass_front,
        place_settings: f.place_settings,
        gap_off: gap_off(f, room, [w, s, e, n]),
        name,
        outline,
    })
}

/// A footprint where the file puts it, if it fits there.
fn stood(
    f: &SaidFurniture,
    name: &str,
    shape: &Polygon<f64>,
    room: &Room,
) -> Result<Polygon<f64>, AtKey> {
    let [w, s, e, n] = bounds(shape);
    let Some((x, y)) = corner(f, room, e - w, n - s) else {
        let (name, room) = (name.to_string(), room.name.clone());
        let (east_west, north_south) = (e - w, n - s);
        return Err(AtKey::new("", BadPiece::NoRoom { name, east_west, north_south, room }));
    };
    let outline = shape.translate(x - w, y - s);
    let outside = outline.difference(&room.outline).unsigned_area();
    if outside < IN_A_WALL {
        return Ok(outline);
    }
    let share = outside / outline.unsigned_area();
    let (name, room) = (name.to_string(), room.name.clone());
    Err(AtKey::new("", BadPiece::InWall { name, share, room }))
}

/// So much of a piece in a wall, or in another one, is a matter of rounding, in m2.
const IN_A_WALL: f64 = 1e-4;

/// What no piece can be, wherever it stands.
fn contradictions(f: &SaidFurniture) -> Vec<AtKey> {
    let by_compass = f.use_from.iter().flatten().any(|s| matches!(s, SaidSide::Compass(_)));
    let is_turned = f.turn.is_some_and(|t| t % 90.0 != 0.0);
    let no_size = || AtKey::new("size", BadPiece::NoSize);
    let no_sides = || AtKey::new("use_from", BadPiece::TurnedCompass);
    let size = f.size.is_some_and(is_nothing).then(no_size);
    size.into_iter().chain((by_compass && is_turned).then(no_sides)).collect()
}

/// A piece of less than an inch is a slip of the fingers.
fn is_nothing((width, depth): (f64, f64)) -> bool {
    width < INCH || depth < INCH
}

/// Gaps off by less than this are as said, in meters: nobody measures a room nearer (half an inch).
const AS_SAID: f64 = 0.5 * INCH;

/// Where gaps are given to two opposite walls, the one from the far wall, if it is not as said.
fn gap_off(f: &SaidFurniture, room: &Room, [w, s, e, n]: [f64; 4]) -> Option<GapOff> {
    let said = |c: Compass| f.gaps.iter().find(|g| g.0 == c).map(|g| g.1);
    let off = |(near, far): (Compass, Compass), left: f64| {
        let said = said(near).and(said(far))?;
        ((left - said).abs() > AS_SAID).then_some(GapOff { to: far, said, left })
    };
    let (_, north) = extent(room, (w, e), true)?;
    let (_, east) = extent(room, (s, n), false)?;
    off((Compass::South, Compass::North), north - n)
        .or_else(|| off((Compass::West, Compass::East), east - e))
}

fn note_assumed(f: &SaidFurniture, name: &str, assumed: &mut Vec<Assumed>) {
    let usual = f.kind.usual();
    if f.size.is_none() && f.outline.is_none() {
        let figure = Figure::Size([usual.width, usual.depth].map(Length::m), usual.source);
        assumed.push(Assumed { item: name.to_string(), figure });
    }
    if f.seats.is_none() && usual_seats(f, name) > 0 {
        let figure = Figure::Seats(usual_seats(f, name), usual.source);
        assumed.push(Assumed { item: name.to_string(), figure });
    }
}

/// Seats of its kind; nobody dines at a low table.
fn usual_seats(f: &SaidFurniture, name: &str) -> u32 {
    if is_low_table(f.kind, name) { 0 } else { f.kind.usual().seats }
}

fn outline_size(f: &SaidFurniture) -> Option<(f64, f64)> {
    let corners = f.outline.as_ref()?;
    let [w, s, e, n] = bounds(&polygon(corners));
    Some((e - w, n - s))
}

fn footprint(f: &SaidFurniture, width: f64, depth: f64, turn: f64) -> Polygon<f64> {
    let corners = f
        .outline
        .clone()
        .unwrap_or_else(|| vec![(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]);
    let shape = polygon(&corners);
    if turn % 90.0 == 0.0 {
        let quarter = |(x, y): (f64, f64)| turned((x, y), turn);
        return polygon(&corners.into_iter().map(quarter).collect::<Vec<_>>());
    }
    shape.rotate_around_point(turn, geo::Point::new(0.0, 0.0))
}

/// A vector turned counter-clockwise by degrees; quarter turns are exact.
fn turned((x, y): (f64, f64), degrees: f64) -> (f64, f64) {
    match degrees {
        0.0 => (x, y),
        90.0 => (-y, x),
        180.0 => (-x, -y),
        270.0 => (y, -x),
        d => {
            let (sin, cos) = d.to_radians().sin_cos();
            (x * cos - y * sin, x * sin + y * cos)
        }
    }
}

/// The turn that puts a piece's back to the nearest wall it names (north before south before east
/// before west).
fn back_to_wall(gaps: &[(Compass, f64)]) -> f64 {
    let near = gaps.iter().min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    match near.map(|g| g.0) {
        None | Some(Compass::North) => 0.0,
        Some(Compass::West) => 90.0,
        Some(Compass::South) => 180.0,
        Some(Compass::East) => 270.0,
    }
}

fn own_side(said: SaidSide, facing: (f64, f64)) -> Side {
    match said {
        SaidSide::Own(side) => side,
        SaidSide::Compass(c) => {
            let v = c.vector();
            match v.0 * facing.0 + v.1 * facing.1 {
                d if d > 0.5 => Side::Front,
                d if d < -0.5 => Side::Back,
                _ => Side::Ends,
            }
        }
    }
}

/// South-west corner of the footprint's box in the plan.
fn corner(f: &SaidFurniture, room: &Room, width: f64, depth: f64) -> Option<(f64, f64)> {
    let [w, s, e, n] = room.bounds();
    if let Some((x, y)) = f.at {
        return Some((w + x, s + y));
    }
    let gap = |c: Compass| f.gaps.iter().find(|g| g.0 == c).map(|g| g.1);
    let (mut x, mut y) = ((w + e - width) / 2.0, (s + n - depth) / 2.0);
    for _ in 0..2 {
        let (low, high) = extent(room, (x, x + width), true)?;
        y = along(gap(Compass::South), gap(Compass::North), (low, high), depth).unwrap_or(y);
        let (low, high) = extent(room, (y, y + depth), false)?;
        x = along(gap(Compass::West), gap(Compass::East), (low, high), width).unwrap_or(x);
    }
    Some((x, y))
}

fn along(
    low_gap: Option<f64>,
    high_gap: Option<f64>,
    (low, high): (f64, f64),
    size: f64,
) -> Option<f64> {
    low_gap.map(|g| low + g).or(high_gap.map(|g| high - g - size))
}

/// How far the room reaches (south to north if `vertical`) over the whole span across.
fn extent(room: &Room, span: (f64, f64), vertical: bool) -> Option<(f64, f64)> {
    const SAMPLES: u32 = 8;
    let inset = (span.1 - span.0) * 1e-6;
    (0..=SAMPLES)
        .map(|k| {
            span.0 + inset + (span.1 - span.0 - 2.0 * inset) * f64::from(k) / f64::from(SAMPLES)
        })
        .filter_map(|at| crossings(room, at, vertical))
        .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
}

fn crossings(room: &Room, at: f64, vertical: bool) -> Option<(f64, f64)> {
    let swap = |c: Xy| if vertical { (c.x, c.y) } else { (c.y, c.x) };
    let hits = room.outline.exterior().lines().filter_map(|l| {
        let (a, b) = (swap(l.start), swap(l.end));
        let crosses = (a.0 <= at) != (b.0 <= at);
        crosses.then(|| a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0))
    });
    hits.fold(None, |range: Option<(f64, f64)>, y| {
        Some(range.map_or((y, y), |(l, h)| (l.min(y), h.max(y))))
    })
}

/// Pieces that stand in one another.
pub(super) fn check_overlaps(plan: &Plan, problems: &mut Vec<Problem>) {
    for (i, a) in plan.furniture.iter_enumerated() {
        for b in plan.furniture[..i].iter().filter(|b| b.room == a.room) {
            // nothing stands in a toilet
            let tucked = (a.kind.may_share_floor() || b.kind.may_share_floor())
                && a.kind != Kind::Toilet
                && b.kind != Kind::Toilet;
            if !tucked && a.outline.intersection(&b.outline).unsigned_area() > IN_A_WALL {
                let within = BadPiece::InPiece { name: a.name.clone(), other: b.name.clone() };
                problems.push(Problem::of_plan(format!("furniture/{i}"), within));
            }
        }
    }
}
