//! Rooms: their use, and placing them beside one another.

use super::Xy;
use super::made_of::Finish;
use super::said::{Compass, Put, Said, SaidRoom, Shape};
use crate::base::units::LONGEST;
use crate::house::problem::{BadRoom, BadValue, File, Named, Problem, Wrong};
use geo::{Area, BooleanOps, BoundingRect, LineString, Polygon, Translate, Validation};

/// What a room is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the word itself")]
pub enum Use {
    Hall,
    Living,
    Dining,
    Kitchen,
    Office,
    Bedroom,
    Powder,
    Bath,
    Closet,
    Laundry,
    Stairs,
    Kids,
    Outdoors,
    Other,
}

/// Words for each use; the first is the one for `use = "…"`, all are looked for in a room's name as
/// whole words.
const WORDS: [(Use, &[&str]); 14] = [
    (Use::Closet, &["closet", "pantry", "wardrobe", "coats"]),
    (
        Use::Powder,
        &[
            "powder",
            "half bath",
            "guest toilet",
            "guest bathroom",
            "guest bath",
            "washroom",
            "restroom",
            "toilet",
            "wc",
            "loo",
        ],
    ),
    (Use::Bath, &["bath", "bathroom", "ensuite", "shower"]),
    (Use::Stairs, &["stairs", "stair", "stairway", "staircase"]),
    (Use::Kids, &["kids", "children", "nursery", "playroom"]),
    (
        Use::Outdoors,
        &[
            "outdoors",
            "patio",
            "deck",
            "terrace",
            "garden",
            "porch",
            "yard",
            "backyard",
            "courtyard",
            "balcony",
            "veranda",
        ],
    ),
    (Use::Kitchen, &["kitchen"]),
    (Use::Dining, &["dining", "breakfast"]),
    (
        Use::Living,
        &[
            "living",
            "great room",
            "family",
            "den",
            "sunroom",
            "lounge",
            "parlor",
            "parlour",
            "sitting",
        ],
    ),
    (Use::Office, &["office", "study", "library"]),
    (Use::Bedroom, &["bedroom", "guest room"]),
    (Use::Laundry, &["laundry", "mudroom", "mud room", "utility"]),
    (
        Use::Hall,
        &[
            "hall",
            "hallway",
            "entry",
            "entryway",
            "entrance",
            "foyer",
            "vestibule",
            "corridor",
            "landing",
            "lobby",
        ],
    ),
    (Use::Other, &["other"]),
];

impl Use {
    /// Its word in files.
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|(u, _)| *u == self).map_or("other", |(_, w)| w[0])
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Use> {
        WORDS.iter().find(|(_, w)| w[0] == word).map(|(u, _)| *u)
    }

    /// All words for `use`.
    pub fn words() -> Vec<&'static str> {
        WORDS.iter().map(|(_, w)| w[0]).collect()
    }

    /// Guesses the use from a room's name.
    pub fn from_name(name: &str) -> Use {
        WORDS.iter().find(|(_, words)| has_word(name, words)).map_or(Use::Other, |(u, _)| *u)
    }

    /// Whether guests gather in it indoors: kitchen, dining, living.
    pub fn gathers(self) -> bool {
        matches!(self, Use::Kitchen | Use::Dining | Use::Living)
    }

    /// Whether one guest at a time uses it behind a shut door.
    pub fn is_private(self) -> bool {
        matches!(self, Use::Powder | Use::Bath)
    }

    /// Whether guests have no business in it beyond what it is for: nobody passes through.
    pub fn is_set_apart(self) -> bool {
        self.is_private() || matches!(self, Use::Bedroom | Use::Closet | Use::Laundry)
    }
}

/// Whether a name holds one of some words or phrases whole, or in the plural: a "student room" is
/// no den.
pub(super) fn has_word(name: &str, words: &[&str]) -> bool {
    // "bath2" is a bath, and a "livingroom" a living room
    let lower = name.to_lowercase();
    let mut spoken = String::from(" ");
    for part in lower.split(|c: char| !c.is_alphabetic()) {
        spoken.extend([part, " "]);
        if let Some(rest) = part.strip_suffix("room").filter(|rest| !rest.is_empty()) {
            spoken.extend([rest, " room "]);
        }
    }
    let is_said = |word: &&str| {
        spoken.match_indices(*word).any(|(at, word)| {
            let (before, after) = (&spoken[..at], &spoken[at + word.len()..]);
            before.ends_with(' ') && (after.starts_with(' ') || after.starts_with("s "))
        })
    };
    words.iter().any(is_said)
}

/// Clear floor with a name and a use.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub usage: Use,
    /// Clear inside, counter-clockwise, in meters.
    pub outline: Polygon<f64>,
    /// The level it is on, from the lowest.
    pub level: usize,
    /// Floor to ceiling, in meters, if said of this room.
    pub ceiling: Option<f64>,
    /// What its floor is finished with, if said of this room.
    pub finish: Option<Finish>,
}

impl Room {
    /// Whether guests' coats go there: a closet, but for one that is by its name for something
    /// else.
    pub fn takes_coats(&self) -> bool {
        self.usage == Use::Closet && !has_word(&self.name, &["pantry", "linen", "broom", "utility"])
    }

    /// Floor area in square meters, furniture included.
    pub fn area(&self) -> f64 {
        self.outline.unsigned_area()
    }

    /// West, south, east, north end in meters.
    pub fn bounds(&self) -> [f64; 4] {
        bounds(&self.outline)
    }

    /// The least clear distance between opposite walls of its bounding box, in meters.
    pub fn narrow_side(&self) -> f64 {
        let [w, s, e, n] = self.bounds();
        (e - w).min(n - s)
    }
}

/// Bounding box of a polygon: west, south, east, north.
pub(super) fn bounds(polygon: &Polygon<f64>) -> [f64; 4] {
    polygon.bounding_rect().map_or([0.0; 4], |r| [r.min().x, r.min().y, r.max().x, r.max().y])
}

/// A closed counter-clockwise polygon through corners.
pub(super) fn polygon(corners: &[(f64, f64)]) -> Polygon<f64> {
    use geo::orient::{Direction, Orient};
    Polygon::new(LineString::from(corners.to_vec()), vec![]).orient(Direction::Default)
}

/// Places every room; a room that cannot be placed is `None` and has a problem.
pub(super) fn place(said: &Said, problems: &mut Vec<Problem>) -> Vec<Option<Room>> {
    let shapes: Vec<Option<Polygon<f64>>> =
        said.rooms.iter().enumerate().map(|(i, r)| shape(i, r, problems)).collect();
    let mut placed: Vec<Option<Room>> = vec![None; said.rooms.len()];
    if said.rooms.is_empty() {
        problems.push(Problem::of_plan("", BadRoom::None));
    }
    let mut waiting: Vec<usize> = (0..said.rooms.len()).collect();
    loop {
        let before = waiting.len();
        waiting.retain(|&i| match corner(said, i, &shapes, &placed) {
            Some((x, y)) => {
                placed[i] = shapes[i].as_ref().map(|p| settle(&said.rooms[i], p, x, y));
                false
            }
            None => true,
        });
        if waiting.is_empty() || waiting.len() == before {
            break;
        }
    }
    waiting.iter().for_each(|&i| explain_unplaced(said, i, &shapes, problems));
    placed
}

fn settle(said: &SaidRoom, shape: &Polygon<f64>, x: f64, y: f64) -> Room {
    let [w, s, ..] = bounds(shape);
    let usage = said.usage.unwrap_or_else(|| Use::from_name(&said.name));
    Room {
        name: said.name.clone(),
        usage,
        outline: shape.translate(x - w, y - s),
        level: 0,
        ceiling: said.ceiling,
        finish: said.finish,
    }
}

fn shape(i: usize, room: &SaidRoom, problems: &mut Vec<Problem>) -> Option<Polygon<f64>> {
    let (corners, key) = match &room.shape {
        Shape::Size(w, d) => (vec![(0.0, 0.0), (*w, 0.0), (*w, *d), (0.0, *d)], "size"),
        Shape::Outline(corners) => (corners.clone(), "outline"),
    };
    let name = || room.name.clone();
    let mut wrong =
        |wrong: Wrong| problems.push(Problem::of_plan(format!("room/{i}/{key}"), wrong));
    if corners.len() < 3 {
        wrong(BadValue::FewCorners { of_room: true }.into());
        return None;
    }
    let polygon = polygon(&corners);
    if !polygon.is_valid() {
        wrong(BadRoom::CrossesItself { name: name() }.into());
        return None;
    }
    let [w, s, e, n] = bounds(&polygon);
    if (e - w).min(n - s) < 0.3 {
        wrong(BadRoom::TooNarrow { name: name() }.into());
        return None;
    }
    Some(polygon)
}

/// The south-west corner of a room's bounding box, once its neighbor stands.
fn corner(
    said: &Said,
    i: usize,
    shapes: &[Option<Polygon<f64>>],
    placed: &[Option<Room>],
) -> Option<(f64, f64)> {
    let shape = shapes[i].as_ref()?;
    match &said.rooms[i].put {
        Put::Origin => (i == 0).then_some((0.0, 0.0)),
        Put::At(x, y) => Some((*x, *y)),
        Put::Beside { side, of, flush, offset } => {
            let j = said
                .rooms
                .iter()
                .position(|r| r.name == *of && !std::ptr::eq(r, &said.rooms[i]))?;
            Some(beside(shape, placed[j].as_ref()?, said.walls, *side, *flush, *offset))
        }
    }
}

fn beside(
    shape: &Polygon<f64>,
    other: &Room,
    walls: f64,
    side: Compass,
    flush: Option<Compass>,
    offset: Option<f64>,
) -> (f64, f64) {
    let [w, s, e, n] = bounds(shape);
    let (width, depth) = (e - w, n - s);
    let [ow, os, oe, on] = other.bounds();
    let along = |low: f64, high: f64, size: f64| match (flush, offset) {
        (_, Some(offset)) => low + offset,
        (Some(Compass::North | Compass::East), _) => high - size,
        _ => low,
    };
    match side {
        Compass::East => (oe + walls, along(os, on, depth)),
        Compass::West => (ow - walls - width, along(os, on, depth)),
        Compass::North => (along(ow, oe, width), on + walls),
        Compass::South => (along(ow, oe, width), os - walls - depth),
    }
}

fn explain_unplaced(
    said: &Said,
    i: usize,
    shapes: &[Option<Polygon<f64>>],
    problems: &mut Vec<Problem>,
) {
    let room = &said.rooms[i];
    let name = room.name.clone();
    match &room.put {
        _ if shapes[i].is_none() => {}
        Put::Origin => {
            problems.push(Problem::of_plan(format!("room/{i}"), BadRoom::NoPosition { name }))
        }
        Put::At(..) => {}
        Put::Beside { side, of, .. } => {
            let at = format!("room/{i}/{}_of", side.word());
            let known: Vec<&str> =
                said.rooms.iter().map(|r| r.name.as_str()).filter(|n| *n != room.name).collect();
            if *of == room.name {
                problems.push(Problem::of_plan(at, BadRoom::BesideItself { name }));
            } else if !known.contains(&of.as_str()) {
                problems.push(Problem::unknown_name(File::Plan, at, Named::Room, of, &known));
            } else if comes_back(said, i, shapes) {
                problems
                    .push(Problem::of_plan(at, BadRoom::EachByOther { name, other: of.clone() }));
            }
        }
    }
}

/// Whether the chain of neighbors of a room leads back to it: those that end elsewhere wait for a
/// room whose own mistake is told.
fn comes_back(said: &Said, start: usize, shapes: &[Option<Polygon<f64>>]) -> bool {
    let next = |i: usize| match &said.rooms[i].put {
        Put::Beside { of, .. } => {
            said.rooms.iter().position(|r| r.name == *of).filter(|&j| j != i && shapes[j].is_some())
        }
        _ => None,
    };
    let mut at = next(start);
    for _ in 0..said.rooms.len() {
        match at {
            Some(i) if i == start => return true,
            Some(i) => at = next(i),
            None => return false,
        }
    }
    false
}

/// Overlaps of rooms on one level. Rooms beyond the file's own are the upper ends of stairs.
pub(super) fn check_overlaps(
    rooms: &[Option<Room>],
    said: usize,
    has_levels: bool,
    problems: &mut Vec<Problem>,
) {
    let placed: Vec<(usize, &Room)> =
        rooms.iter().enumerate().filter_map(|(i, r)| Some((i, r.as_ref()?))).collect();
    for (n, &(i, a)) in placed.iter().enumerate() {
        for &(j, b) in &placed[..n] {
            let (i, a, b) = if i < said { (i, a, b) } else { (j, b, a) };
            let shared = a.outline.intersection(&b.outline).unsigned_area();
            if shared > 1e-4 {
                let overlap = BadRoom::Overlap {
                    name: a.name.clone(),
                    other: b.name.clone(),
                    shared,
                    on_levels: has_levels,
                    both_stairs: [a, b].iter().all(|r| r.usage == Use::Stairs),
                };
                problems.push(Problem::of_plan(format!("room/{i}"), overlap));
            }
        }
    }
}

/// A house larger than the program takes.
pub(super) fn check_size(rooms: &[Option<Room>], problems: &mut Vec<Problem>) {
    let corners: Vec<Xy> =
        rooms.iter().flatten().flat_map(|r| r.outline.exterior().coords().copied()).collect();
    let spread = |get: fn(&Xy) -> f64| {
        let (low, high) = corners
            .iter()
            .map(get)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    if !corners.is_empty() && spread(|c| c.x).max(spread(|c| c.y)) > LONGEST {
        problems.push(Problem::of_plan("room", BadRoom::HouseTooWide));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_by_whole_words() {
        assert_eq!(Use::from_name("student room"), Use::Other);
        assert_eq!(Use::from_name("the Den"), Use::Living);
        assert_eq!(Use::from_name("garden"), Use::Outdoors);
        assert_eq!(Use::from_name("upstairs bathroom"), Use::Bath);
        assert_eq!(Use::from_name("half-bath"), Use::Powder);
        assert_eq!(Use::from_name("coat closets"), Use::Closet);
        assert_eq!(Use::from_name("challenge"), Use::Other);
        assert_eq!(Use::from_name("bedroom2"), Use::Bedroom);
        assert_eq!(Use::from_name("Bath1"), Use::Bath);
        assert_eq!(Use::from_name("livingroom"), Use::Living);
    }
}
