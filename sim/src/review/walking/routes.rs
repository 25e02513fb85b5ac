//! What everyday ways lead through: the work triangle, a group of seats, a private room; and how far
//! it is around.

use crate::base::units::{FOOT, INCH};
use crate::floor::paths::{Path, shortest};
use crate::floor::world::World;
use crate::house::plan::RoomId;
use crate::review::places::groups::Group;
use crate::review::places::hubs::{Hub, Role, entry_level, level};
use crate::review::places::triangle::{corners, kitchens};
use crate::review::verdict::Verdict;
use geo::{BooleanOps, Euclidean, Length, Line, MultiLineString, Polygon};

/// What a way crosses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Between sink, range and fridge.
    Triangle,
    /// Among the seats of a group, by its number.
    Group(usize),
    /// Through a room where guests have no business.
    Private(RoomId),
}

/// An everyday way that crosses something.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// What it crosses.
    pub across: Across,
    /// The hubs it runs between, by number: of several ways the shortest.
    pub between: [usize; 2],
    /// Other ways that cross it too.
    pub others: usize,
    /// Where it crosses, in meters.
    pub at: (f64, f64),
    /// How much longer the way around is, in meters, if there is one.
    pub around: Option<f64>,
}

/// A way around that is longer by no more than this is taken, in meters (common practice).
const AROUND: f64 = 3.0 * FOOT;

impl Crossing {
    /// No major traffic goes through the triangle (NKBA guideline 5), nor through a private room;
    /// people who sit and talk are disturbed. Where it is hardly longer around, guests go around.
    pub fn verdict(&self) -> Verdict {
        let through = match self.across {
            Across::Group(_) => Verdict::Tight,
            Across::Triangle | Across::Private(_) => Verdict::Fails,
        };
        match self.around {
            Some(around) if around <= AROUND => Verdict::Tight,
            _ => through,
        }
    }
}

/// Everyday ways: who comes, who gets food and drinks, who looks for the powder room, who goes out.
const EVERYDAY: [(Role, Role); 9] = [
    (Role::WayIn, Role::Living),
    (Role::WayIn, Role::Dining),
    (Role::WayIn, Role::Outdoors),
    (Role::Living, Role::Dining),
    (Role::Living, Role::Outdoors),
    (Role::Living, Role::Powder),
    (Role::Dining, Role::Outdoors),
    (Role::Dining, Role::Powder),
    (Role::Outdoors, Role::Powder),
];

/// A way crosses something if so much of it does, in meters.
const CROSSES: f64 = 12.0 * INCH;
/// Nobody squeezes through less than this by choice, in meters: half of 24 in, where people get
/// about between furniture (HUD 1973 in Time-Saver Standards).
const HALF_A_LANE: f32 = (12.0 * INCH) as f32;

/// Everything that everyday ways cross, once each.
pub fn crossings(world: &World, hubs: &[Hub], groups: &[Group]) -> Vec<Crossing> {
    let triangles: Vec<Polygon<f64>> = kitchens(world)
        .into_iter()
        .filter_map(|k| corners(world, k))
        .map(|t| polygon(&t))
        .collect();
    let mut found: Vec<(f64, Crossing)> = vec![];
    for between in everyday(world, hubs) {
        let [from, to] = between.map(|h| hubs[h].heart);
        let free = |n: usize| world.grid.clear_at_node(n) >= HALF_A_LANE || n == from || n == to;
        let Some(path) = shortest(&world.grid, from, to, &free) else {
            continue;
        };
        let mut met: Vec<(Across, Polygon<f64>)> = vec![];
        met.extend(triangles.iter().map(|t| (Across::Triangle, t.clone())));
        met.extend(
            groups.iter().enumerate().map(|(g, group)| (Across::Group(g), group.floor(world))),
        );
        met.extend(private(world, between.map(|h| hubs[h].room)));
        for (across, floor) in met {
            let ends = between.map(|h| hubs[h].at(world));
            // who goes to sit down there crosses nothing
            if across != Across::Triangle && ends.iter().any(|&e| holds(&floor, e)) {
                continue;
            }
            let Some(at) = crosses(&path, &floor) else {
                continue;
            };
            let around = around(world, (from, to), &free, &floor).map(|p| p.length - path.length);
            let new = Crossing { across, between, others: 0, at, around };
            match found.iter_mut().find(|(_, known)| known.across == across) {
                Some((length, known)) => {
                    known.others += 1;
                    if path.length < *length {
                        *length = path.length;
                        *known = Crossing { others: known.others, ..new };
                    }
                }
                None => found.push((path.length, new)),
            }
        }
    }
    found.into_iter().map(|f| f.1).collect()
}

/// Pairs of hubs between which somebody goes every evening, on the level guests come in on.
fn everyday(world: &World, hubs: &[Hub]) -> Vec<[usize; 2]> {
    let on_entry_level = |h: &usize| level(world, &hubs[*h]) == entry_level(world);
    let of = |role: Role| (0..hubs.len()).filter(on_entry_level).find(|&h| hubs[h].role == role);
    EVERYDAY.iter().filter_map(|&(a, b)| Some([of(a)?, of(b)?])).collect()
}

fn private(world: &World, ends: [RoomId; 2]) -> Vec<(Across, Polygon<f64>)> {
    let rooms = world.plan.rooms.iter_enumerated();
    rooms
        .filter(|(r, room)| room.usage.is_set_apart() && !ends.contains(r))
        .map(|(r, room)| (Across::Private(r), room.outline.clone()))
        .collect()
}

fn polygon(corners: &[(f64, f64)]) -> Polygon<f64> {
    Polygon::new(corners.to_vec().into(), vec![])
}

fn holds(floor: &Polygon<f64>, (x, y): (f64, f64)) -> bool {
    use geo::Intersects;
    floor.intersects(&geo::Point::new(x, y))
}

/// The middle of the part of a way that crosses some floor, if enough of it does.
fn crosses(path: &Path, floor: &Polygon<f64>) -> Option<(f64, f64)> {
    let lines = path.corners.windows(2).map(|w| Line::new(w[0], w[1]).into());
    let inside = floor.clip(&MultiLineString(lines.collect()), false);
    let length: f64 = Euclidean.length(&inside);
    if length < CROSSES {
        return None;
    }
    let longest =
        inside.0.iter().max_by(|a, b| Euclidean.length(*a).total_cmp(&Euclidean.length(*b)));
    let (a, b) = longest.and_then(|l| Some((l.0.first()?, l.0.last()?)))?;
    Some(((a.x + b.x) / 2.0, (a.y + b.y) / 2.0))
}

/// The shortest way that keeps off some floor.
fn around(
    world: &World,
    (from, to): (usize, usize),
    free: &dyn Fn(usize) -> bool,
    floor: &Polygon<f64>,
) -> Option<Path> {
    let off = |n: usize| {
        let p = world.grid.node_xy(n);
        free(n) && !holds(floor, (p.x, p.y))
    };
    shortest(&world.grid, from, to, &off)
}
