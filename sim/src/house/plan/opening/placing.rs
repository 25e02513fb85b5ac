//! Openings put into walls: which rooms they join, how wide they are, where along the wall.

use super::leaves::leaves;
use super::{Opening, Style, door_name};
use crate::base::ids::TiSlice;
use crate::base::units::{FOOT, INCH};
use crate::house::plan::room::{Room, polygon};
use crate::house::plan::said::{Compass, Said, SaidOpening};
use crate::house::plan::stairs::{self, Stairs};
use crate::house::plan::wall::{Stretch, end_of, middle_on, stretch};
use crate::house::plan::{Assumed, Figure, OUTSIDE, Plan, RoomId, Use};
use crate::house::problem::{AtKey, BadOpening, File, Met, Named, Problem};
use geo::{Area, BooleanOps};

/// What openings are placed among.
pub(in crate::house::plan) struct Among<'a> {
    /// What the file said.
    pub said: &'a Said,
    /// Names of the file's rooms.
    pub names: &'a TiSlice<RoomId, &'a str>,
    /// Rooms as far as they could be placed; the upper ends of stairs after the file's own.
    pub rooms: &'a TiSlice<RoomId, Option<Room>>,
    /// Stairs.
    pub stairs: &'a [Stairs],
}

pub(in crate::house::plan) fn place(
    among: &Among,
    assumed: &mut Vec<Assumed>,
    problems: &mut Vec<Problem>,
) -> Vec<Option<Opening>> {
    among
        .said
        .openings
        .iter()
        .enumerate()
        .map(|(i, o)| place_one(i, o, among, assumed, problems))
        .collect()
}

fn place_one(
    i: usize,
    o: &SaidOpening,
    among: &Among,
    assumed: &mut Vec<Assumed>,
    problems: &mut Vec<Problem>,
) -> Option<Opening> {
    let [inner, other] = joined(i, o, among.names, problems)?;
    let inner = inner?;
    let width = Width::of(o, other.is_none());
    let name = o.name.clone().unwrap_or_else(|| default_name(among.names, inner, other));
    match in_wall(o, among, &name, (inner, other), &width) {
        Ok(opening) => {
            let mut opening = opening?;
            note_assumed(o, &opening, &width, assumed);
            opening.leaves = leaves(i, o, &opening, among.rooms, problems);
            Some(opening)
        }
        Err(wrong) => {
            problems.push(wrong.of(format!("opening/{i}")));
            None
        }
    }
}

/// How wide an opening is, in meters.
struct Width {
    style: Style,
    sold: f64,
    clear: f64,
    /// Where the clear width comes from.
    source: &'static str,
}

impl Width {
    fn of(o: &SaidOpening, to_outside: bool) -> Width {
        let style = o.style.unwrap_or(Style::Hinged);
        let usual = || style.usual_width(to_outside).max(o.clear.unwrap_or(0.0));
        let sold = o.width.unwrap_or_else(usual);
        let (clear, source) = o.clear.map_or_else(|| style.clear(sold), |c| (c, "said"));
        Width { style, sold, clear, source }
    }

    fn of_wall(&self) -> f64 {
        self.sold.max(self.clear)
    }
}

/// A narrower opening is a slip of the fingers, in meters.
const NARROWEST: f64 = 6.0 * INCH;

/// The opening in its wall, without leaves; none if one of its rooms has no place.
fn in_wall(
    o: &SaidOpening,
    among: &Among,
    name: &str,
    (inner, other): (RoomId, Option<RoomId>),
    width: &Width,
) -> Result<Option<Opening>, AtKey> {
    if width.clear < NARROWEST {
        let (name, clear) = (name.to_string(), width.clear);
        return Err(AtKey::new("width", BadOpening::TooNarrow { name, clear }));
    }
    let at = on_one_level(inner, other, o, among).map_err(|bad| AtKey::new("joins", bad))?;
    let room_of = |r: RoomId| among.rooms[r].as_ref();
    let (Some(room), neighbor) = (room_of(at.inner), at.other.map(room_of)) else {
        return Ok(None);
    };
    if neighbor.is_some_and(|room| room.is_none()) {
        return Ok(None);
    }
    let neighbor = neighbor.flatten();
    let wall = shared_wall(&at, room, neighbor, among.said.walls)?;
    let middle =
        middle_on(&wall, o.gap, width.of_wall()).ok_or_else(|| too_wide(o, name, width, &wall))?;
    let frame = opens(o, width.style, (width.sold, width.clear), (room, neighbor), &wall, middle)
        .map_err(|bad| AtKey::new("opens", bad))?;
    Ok(Some(Opening {
        name: name.into(),
        named: o.name.is_some(),
        inner: at.inner,
        outer: at.other,
        style: width.style,
        sold: width.sold,
        clear: width.clear,
        center: wall.inside(middle - frame),
        frame,
        along: wall.along,
        through: wall.through,
        depth: wall.depth,
        leaves: vec![],
        swing_said: o.swing_into.is_some(),
        steps: o.steps,
        core: o.core,
    }))
}

/// The stretch of wall that two rooms share, or that leads outside.
fn shared_wall(
    at: &At,
    room: &Room,
    neighbor: Option<&Room>,
    walls: f64,
) -> Result<Stretch, AtKey> {
    stretch(room, neighbor, at.wall, walls).ok_or_else(|| {
        let none = match &at.met {
            Some(met) => BadOpening::StairsApart(met.clone()),
            None => no_wall(&room.name, neighbor.map(|r| r.name.as_str()), at.wall),
        };
        AtKey::new("joins", none)
    })
}

fn too_wide(o: &SaidOpening, name: &str, width: &Width, wall: &Stretch) -> AtKey {
    let key = o.gap.map_or("width", |(c, _)| c.word());
    let (name, width, wall) = (name.to_string(), width.of_wall(), wall.length);
    let gap = o.gap.map(|(end, gap)| (end.word(), gap));
    AtKey::new(key, BadOpening::TooWide { name, width, wall, gap })
}

fn note_assumed(o: &SaidOpening, opening: &Opening, width: &Width, assumed: &mut Vec<Assumed>) {
    let slides = opening.frame != 0.0 && o.opens.is_none();
    let toward = end_of(opening.along);
    let end = if opening.frame < 0.0 { toward } else { toward.opposite() };
    let figures = [
        o.style.is_none().then_some(Figure::Hinged),
        (o.width.is_none() && o.clear.is_none()).then_some(Figure::Width(width.sold)),
        o.clear.is_none().then_some(Figure::Clear(width.clear, width.source)),
        slides.then_some(Figure::OpensAt(end)),
    ];
    let item = || opening.name.clone();
    assumed.extend(figures.into_iter().flatten().map(|figure| Assumed { item: item(), figure }));
}

/// Along the wall from the middle of what opens to the middle of the frame: half a panel's width
/// for a slider, one panel of which opens, 0 for everything else. A closet's panels both slide, and
/// arms reach in at either end.
fn opens(
    o: &SaidOpening,
    style: Style,
    (sold, clear): (f64, f64),
    (room, neighbor): (&Room, Option<&Room>),
    wall: &Stretch,
    middle: f64,
) -> Result<f64, BadOpening> {
    let along = |v: (f64, f64)| v.0 * wall.along.0 + v.1 * wall.along.1;
    if style != Style::Sliding {
        return o.opens.map_or(Ok(0.0), |_| Err(BadOpening::NoPanel { style: style.word() }));
    }
    let off = (sold / 4.0).min((sold - clear).max(0.0) / 2.0);
    match o.opens {
        Some(end) if along(end.vector()).abs() < 0.5 => {
            let ends = end_of(wall.along);
            let ends = [ends.word(), ends.opposite().word()];
            Err(BadOpening::NoSuchEnd { end: end.word(), ends })
        }
        Some(end) => Ok(-off * along(end.vector()).signum()),
        None if room.usage == Use::Closet || neighbor.is_some_and(|r| r.usage == Use::Closet) => {
            Ok(0.0)
        }
        None => {
            let [w, s, e, n] = room.bounds();
            let to_middle =
                along(((w + e) / 2.0 - wall.start.x, (s + n) / 2.0 - wall.start.y)) - middle;
            Ok(if to_middle > 0.0 { -off } else { off })
        }
    }
}

/// The rooms joined, the one that is not outside first.
fn joined(
    i: usize,
    o: &SaidOpening,
    names: &TiSlice<RoomId, &str>,
    problems: &mut Vec<Problem>,
) -> Option<[Option<RoomId>; 2]> {
    let at = format!("opening/{i}/joins");
    let mut found = [None, None];
    for (slot, name) in found.iter_mut().zip(&o.joins) {
        if name == OUTSIDE {
            continue;
        }
        match names.position(|n| n == name) {
            Some(room) => *slot = Some(room),
            None => {
                let known: Vec<&str> = names.iter().copied().chain([OUTSIDE]).collect();
                problems.push(Problem::unknown_name(File::Plan, at, Named::Room, name, &known));
                return None;
            }
        }
    }
    if found[0] == found[1] {
        problems.push(Problem::of_plan(at, BadOpening::SameRoom));
        return None;
    }
    if found[0].is_none() {
        found.swap(0, 1);
    }
    Some(found)
}

/// The rooms an opening joins, on one level, and the wall of the first it has to be in.
struct At {
    inner: RoomId,
    other: Option<RoomId>,
    wall: Option<Compass>,
    /// Where stairs are met.
    met: Option<Met>,
}

/// Stairs are met at the end that is on the other room's level.
fn on_one_level(
    inner: RoomId,
    other: Option<RoomId>,
    o: &SaidOpening,
    among: &Among,
) -> Result<At, BadOpening> {
    let flight = |r: RoomId| among.stairs.iter().find(|s| s.rooms[0] == r);
    let level = |r: RoomId| among.rooms[r].as_ref().map(|r| r.level);
    let name = |r: RoomId| among.names[r].to_string();
    let Some(other) = other else {
        return match flight(inner) {
            Some(_) => Err(BadOpening::StairsOutside { name: name(inner) }),
            None => Ok(At { inner, other, wall: o.wall, met: None }),
        };
    };
    let (stairs, room, is_inner) = match (flight(inner), flight(other)) {
        (Some(_), Some(_)) => return Err(BadOpening::FlightsMeet),
        (Some(s), None) => (s, other, true),
        (None, Some(s)) => (s, inner, false),
        (None, None) if level(inner).zip(level(other)).is_some_and(|(a, b)| a != b) => {
            let (inner, other) = (name(inner), name(other));
            return Err(BadOpening::DifferentLevels { inner, other });
        }
        (None, None) => {
            return Ok(At { inner, other: Some(other), wall: o.wall, met: None });
        }
    };
    let (end, out) = stairs::end_at(stairs, among.rooms, room).ok_or_else(|| {
        let stairs = name(stairs.rooms[0]);
        BadOpening::StairsElsewhere { stairs, room: name(room) }
    })?;
    let wall = if is_inner { out } else { out.opposite() };
    let met = Met {
        stairs: name(stairs.rooms[0]),
        up: stairs.up.word(),
        room: name(room),
        end: out.word(),
    };
    if o.wall.is_some_and(|said| said != wall) {
        return Err(BadOpening::StairsTurned(met));
    }
    let [inner, other] = if is_inner { [end, other] } else { [inner, end] };
    Ok(At { inner, other: Some(other), wall: Some(wall), met: Some(met) })
}

fn default_name(names: &TiSlice<RoomId, &str>, inner: RoomId, other: Option<RoomId>) -> String {
    match other {
        None => door_name(names[inner]),
        Some(j) => format!("{} to {}", names[inner], names[j]),
    }
}

fn no_wall(inner: &str, other: Option<&str>, wall: Option<Compass>) -> BadOpening {
    let inner = inner.to_string();
    match other {
        Some(other) => {
            BadOpening::NoSharedWall { inner, other: other.into(), wall: wall.map(Compass::word) }
        }
        None if wall.is_none() => BadOpening::WallUnsaid { inner },
        None => BadOpening::NoStraightWall { inner },
    }
}

/// Whoever steps out of a door has this much ground beyond the wall, in meters (a foot) …
const STEPS_OUT: f64 = FOOT;
/// … of which so much may be a room's: a corner.
const CORNER: f64 = 0.25;

/// The room that takes the ground before a way out.
fn room_behind<'a>(plan: &'a Plan, way: &Opening) -> Option<&'a Room> {
    let (half, near) = (way.clear / 2.0, way.depth / 2.0);
    let ends = [(-half, near), (half, near), (half, near + STEPS_OUT), (-half, near + STEPS_OUT)];
    let ground = polygon(&ends.map(|(along, out)| way.point(along, out)).map(|p| (p.x, p.y)));
    let taken = |room: &&Room| {
        ground.intersection(&room.outline).unsigned_area() > CORNER * ground.unsigned_area()
    };
    plan.rooms.iter().filter(|_| way.to_outside()).find(taken)
}

/// Openings that share wall, or lead outside where there is a room, once all rooms stand.
pub(in crate::house::plan) fn check_leaves_and_edges(plan: &Plan, problems: &mut Vec<Problem>) {
    for (i, a) in plan.openings.iter_enumerated() {
        if let Some(room) = room_behind(plan, a) {
            let (name, room) = (a.name.clone(), room.name.clone());
            let inner = plan.rooms[a.inner].name.clone();
            let into = BadOpening::IntoRoom { name, inner, room };
            problems.push(Problem::of_plan(format!("opening/{i}"), into));
        }
        for b in &plan.openings[..i] {
            if a.frame_box(0.002).intersection(&b.frame_box(0.002)).unsigned_area() > 1e-4 {
                let same = BadOpening::SameWall { name: a.name.clone(), other: b.name.clone() };
                problems.push(Problem::of_plan(format!("opening/{i}"), same));
            }
        }
    }
}
