//! Levels, and the stairs between them. Levels lie on one sheet, each moved south of the one below,
//! as one reads, so that everything else sees one flat house; a flight of stairs lies on both of
//! its levels as the same floor, met from below on one and from above on the other.

use super::room::{Room, Use};
use super::said::{Compass, Put, Said, SaidRoom};
use super::{Assumed, Figure, Plan, RoomId};
use crate::base::ids::{TiSlice, TiVec};
use crate::base::units::{FOOT, INCH};
use crate::house::problem::{AtKey, BadName, BadStairs, File, Named, Problem};
use geo::Translate;

/// A level of the house.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its name; empty if the file names no levels.
    pub name: String,
    /// How far north of its true place it lies on the sheet, in meters: 0 for the lowest, less than
    /// that for the others.
    pub moved: f64,
    /// Its south end on the sheet: everything north of this and south of the level below is on it,
    /// in meters.
    pub from: f64,
}

/// A straight flight of stairs.
#[derive(Clone, Debug, PartialEq)]
pub struct Stairs {
    /// The room on the lower level, and the same floor on the upper one.
    pub rooms: [RoomId; 2],
    /// Going up is going there.
    pub up: Compass,
    /// Floor to floor, in meters.
    pub rise: f64,
    /// Length on the plan, in meters.
    pub run: f64,
}

/// Floor to floor if the file does not say, in meters (an 8 ft ceiling and a foot of floor: common
/// practice).
const USUAL_RISE: f64 = 9.0 * FOOT;
/// The highest riser: 7 3/4 in (2018 IRC R311.7.5.1, as Jefferson County, Colorado, explains it).
const HIGHEST_RISER: f64 = 7.75 * INCH;
/// The shortest flight, in meters: people change level at its middle, with room for a body before
/// either end.
const LEAST_RUN: f64 = 18.0 * INCH;
/// Rises that are taken, in meters.
const RISES: std::ops::RangeInclusive<f64> = 0.3..=8.0;
/// Levels lie at least so far apart on the sheet, wall to wall, in meters: the ground before doors
/// of both, 1.8 m each, does not meet between.
const APART: f64 = 3.8;
/// How far a level is moved is a whole number of these, in meters (1 ft: cells of 3 in fall on one
/// another).
const MOVED_BY: f64 = FOOT;

/// Pace down and up stairs for each meter a second on the flat, along the flight: 1.0 and 0.8 m/s
/// for 1.2 m/s at low flow (IMO MSC.1/Circ.1238, annex 1, appendix 1, table 1.3). At leisure, on
/// the plan of a house's stairs, that makes 0.73 down and 0.59 up; 0.69 and 0.61 were seen
/// (Weidmann 1993, from memory).
const DOWN: f64 = 1.0 / 1.2;
/// See [`DOWN`].
const UP: f64 = 0.8 / 1.2;

impl Stairs {
    /// Pace on the plan of somebody who walks a pace on the flat, in m/s.
    pub fn pace(&self, on_the_flat: f64, up: bool) -> f64 {
        on_the_flat * if up { UP } else { DOWN } * self.flat()
    }

    /// Metres on the plan for each meter along the flight.
    pub fn flat(&self) -> f64 {
        self.run / (self.run * self.run + self.rise * self.rise).sqrt()
    }

    /// Risers: as few as are low enough.
    pub fn risers(&self) -> u32 {
        (self.rise / HIGHEST_RISER - 1e-9).ceil().max(1.0) as u32
    }

    /// Depth of a tread if as many fill the flight, in meters.
    pub fn tread(&self) -> f64 {
        self.run / f64::from(self.risers().saturating_sub(1).max(1))
    }
}

/// Which level each room is on; for stairs the lower one. A room whose level cannot be told is on
/// the first, and has a problem.
pub(super) fn levels_of(said: &Said, problems: &mut Vec<Problem>) -> Vec<usize> {
    said.levels.iter().enumerate().filter(|(i, name)| said.levels[..*i].contains(name)).for_each(
        |(_, name)| {
            let twice = BadName::TwoLevels { name: name.clone() };
            problems.push(Problem::of_plan("levels", twice));
        },
    );
    let before = problems.len();
    let of: Vec<usize> = (0..said.rooms.len()).map(|i| level_of(said, i, problems)).collect();
    let is_empty = |k: usize| {
        !of.contains(&k)
            && (0..of.len()).all(|i| flight_of(said, i).is_none_or(|two| !two.contains(&k)))
    };
    if problems.len() == before
        && let Some(k) = (0..said.levels.len()).find(|&k| is_empty(k))
    {
        let empty = BadStairs::EmptyLevel { level: said.levels[k].clone() };
        problems.push(Problem::of_plan("levels", empty));
    }
    of
}

fn level_of(said: &Said, i: usize, problems: &mut Vec<Problem>) -> usize {
    let room = &said.rooms[i];
    let mut wrong = |wrong: AtKey| {
        problems.push(wrong.of(format!("room/{i}")));
        0
    };
    if is_flight(said, room) {
        return flight(said, i).map_or_else(wrong, |[low, _]| low);
    }
    if let Some(out_of_place) = out_of_place(said, room) {
        return wrong(out_of_place);
    }
    match named_level(said, i) {
        Ok(level) => level,
        // told of the room that says it
        Err(Unclear::Unknown(_)) if room.level.is_none() => 0,
        Err(Unclear::Unknown(name)) => {
            let known: Vec<&str> = said.levels.iter().map(String::as_str).collect();
            problems.push(Problem::unknown_name(
                File::Plan,
                format!("room/{i}/level"),
                Named::Level,
                &name,
                &known,
            ));
            0
        }
        Err(Unclear::BesideStairs) => {
            wrong(AtKey::new("", BadStairs::UnclearLevel { room: room.name.clone() }))
        }
    }
}

/// A key of levels or stairs that a room has and cannot have.
fn out_of_place(said: &Said, room: &SaidRoom) -> Option<AtKey> {
    let keys = [
        ("levels", room.levels.is_some()),
        ("up", room.up.is_some()),
        ("rise", room.rise.is_some()),
        ("level", room.level.is_some()),
    ];
    let (key, _) = keys
        .into_iter()
        .find(|&(key, given)| given && (key != "level" || said.levels.is_empty()))?;
    let is_stairs = room.usage.unwrap_or_else(|| Use::from_name(&room.name)) == Use::Stairs;
    let wrong = match (said.levels.is_empty(), is_stairs) {
        (true, _) => BadStairs::NoLevels,
        (false, true) => BadStairs::OneLevel,
        (false, false) => BadStairs::NoStairs { room: room.name.clone() },
    };
    Some(AtKey::new(key, wrong))
}

enum Unclear {
    Unknown(String),
    BesideStairs,
}

/// The level said, or that of the room it is beside, or the first.
fn named_level(said: &Said, i: usize) -> Result<usize, Unclear> {
    let mut room = &said.rooms[i];
    for _ in 0..=said.rooms.len() {
        if let Some(name) = &room.level {
            return said
                .levels
                .iter()
                .position(|l| l == name)
                .ok_or_else(|| Unclear::Unknown(name.clone()));
        }
        let Put::Beside { of, .. } = &room.put else {
            return Ok(0);
        };
        match said.rooms.iter().find(|r| r.name == *of) {
            Some(other) if is_flight(said, other) => return Err(Unclear::BesideStairs),
            Some(other) => room = other,
            None => return Ok(0),
        }
    }
    Ok(0)
}

/// Whether a room leads from level to level.
fn is_flight(said: &Said, room: &SaidRoom) -> bool {
    said.levels.len() > 1 && room.usage.unwrap_or_else(|| Use::from_name(&room.name)) == Use::Stairs
}

/// The two levels of a room that is a flight, lower first.
fn flight_of(said: &Said, i: usize) -> Option<[usize; 2]> {
    is_flight(said, &said.rooms[i]).then(|| flight(said, i).ok()).flatten()
}

/// The two levels of a flight, lower first.
fn flight(said: &Said, i: usize) -> Result<[usize; 2], AtKey> {
    let room = &said.rooms[i];
    let name = room.name.clone();
    if room.level.is_some() {
        return Err(AtKey::new("level", BadStairs::OnTwoLevels { name }));
    }
    if room.up.is_none() {
        return Err(AtKey::new("", BadStairs::NoUp { name }));
    }
    if room.rise.is_some_and(|rise| !RISES.contains(&rise)) {
        return Err(AtKey::new("rise", BadStairs::Rise { name }));
    }
    let index = |name: &String| said.levels.iter().position(|l| l == name);
    match &room.levels {
        None if said.levels.len() == 2 => Ok([0, 1]),
        None => Err(AtKey::new("", BadStairs::LevelsUnsaid { name })),
        Some([a, b]) => match (index(a), index(b)) {
            (Some(a), Some(b)) if a != b => Ok([a.min(b), a.max(b)]),
            (Some(_), Some(_)) => Err(AtKey::new("levels", BadStairs::OneLevelTwice { name })),
            _ => Err(AtKey::new("levels", BadStairs::UnknownLevel { name })),
        },
    }
}

/// Moves every room to its level's place on the sheet and lays flights on both of theirs: the upper
/// ends follow the rooms of the file.
pub(super) fn spread(
    said: &Said,
    rooms: &mut TiVec<RoomId, Option<Room>>,
    of: &[usize],
    assumed: &mut Vec<Assumed>,
) -> (Vec<Level>, Vec<Stairs>) {
    if said.levels.is_empty() {
        return (vec![Level { name: String::new(), moved: 0.0, from: f64::NEG_INFINITY }], vec![]);
    }
    let is_on =
        |i: usize, k: usize| of[i] == k || flight_of(said, i).is_some_and(|two| two.contains(&k));
    let levels = laid_out(said, |k| {
        let ends = rooms
            .iter()
            .enumerate()
            .filter(|(i, _)| is_on(*i, k))
            .filter_map(|(_, r)| r.as_ref())
            .map(Room::bounds);
        ends.map(|[_, s, _, n]| (s, n)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    });
    let on = |room: &Room, level: usize| Room {
        level,
        outline: room.outline.translate(0.0, levels[level].moved),
        ..room.clone()
    };
    let mut stairs = vec![];
    for (i, id) in rooms.keys().enumerate() {
        let Some(room) = rooms[id].take() else {
            continue;
        };
        if let (Some([_, high]), Some(up)) = (flight_of(said, i), said.rooms[i].up) {
            let rise = said.rooms[i].rise.unwrap_or(USUAL_RISE);
            if said.rooms[i].rise.is_none() {
                assumed.push(Assumed { item: room.name.clone(), figure: Figure::Rise(USUAL_RISE) });
            }
            let [w, s, e, n] = room.bounds();
            let run = if up.is_vertical() { n - s } else { e - w };
            stairs.push(Stairs { rooms: [id, rooms.next_key()], up, rise, run });
            rooms.push(Some(on(&room, high)));
        }
        if flight_of(said, i).is_none() && said.rooms[i].level.is_none() {
            assumed.push(Assumed {
                item: room.name.clone(),
                figure: Figure::Level(said.levels[of[i]].clone()),
            });
        }
        rooms[id] = Some(on(&room, of[i]));
    }
    (levels, stairs)
}

/// Levels one south of the other. `ends` tells the true south and north end of what is on each.
fn laid_out(said: &Said, ends: impl Fn(usize) -> Option<(f64, f64)>) -> Vec<Level> {
    let apart = APART + 2.0 * said.walls;
    let (mut moved, mut south): (f64, Option<f64>) = (0.0, None);
    let mut levels = vec![];
    for (k, name) in said.levels.iter().enumerate() {
        let (low, high) = ends(k).unwrap_or_default();
        if let Some(south) = south {
            moved = ((south - apart - high) / MOVED_BY).floor() * MOVED_BY;
        }
        levels.push(Level { name: name.clone(), moved, from: low + moved - apart / 2.0 });
        south = Some(low + moved);
    }
    levels
}

/// The end of stairs that is on the level of another room, as a room of its own, and which way it
/// leads out.
pub(super) fn end_at(
    stairs: &Stairs,
    rooms: &TiSlice<RoomId, Option<Room>>,
    other: RoomId,
) -> Option<(RoomId, Compass)> {
    let level = |r: RoomId| rooms.get(r).and_then(Option::as_ref).map(|r| r.level);
    let end = (0..2).find(|&end| level(stairs.rooms[end]) == level(other))?;
    Some((stairs.rooms[end], if end == 1 { stairs.up } else { stairs.up.opposite() }))
}

/// Flights that lead nowhere, are not straight, or have something on them.
pub(super) fn check(plan: &Plan, problems: &mut Vec<Problem>) {
    for flight in &plan.stairs {
        let [low, _] = flight.rooms;
        let name = || plan.rooms[low].name.clone();
        let [w, s, e, n] = plan.rooms[low].bounds();
        if ((e - w) * (n - s) - plan.rooms[low].area()).abs() > 1e-4 {
            let bent = BadStairs::NoRectangle { name: name() };
            problems.push(Problem::of_plan(format!("room/{low}/outline"), bent));
        }
        if flight.run < LEAST_RUN {
            let short = BadStairs::TooShort { name: name(), least: LEAST_RUN };
            problems.push(Problem::of_plan(format!("room/{low}"), short));
        }
        for (i, piece) in plan.furniture.iter_enumerated().filter(|(_, f)| f.room == low) {
            let on = BadStairs::PieceOnStairs { piece: piece.name.clone() };
            problems.push(Problem::of_plan(format!("furniture/{i}/room"), on));
        }
        for (end, upper) in flight.rooms.iter().zip([false, true]) {
            let room = &plan.rooms[*end];
            if !plan.openings.iter().any(|o| o.joins(*end)) {
                let (name, level) = (room.name.clone(), plan.levels[room.level].name.clone());
                let shut = BadStairs::NoOpening { name, upper, level };
                problems.push(Problem::of_plan(format!("room/{}", flight.rooms[0]), shut));
            }
        }
    }
}
