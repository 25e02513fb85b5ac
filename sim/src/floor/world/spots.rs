//! Spots: where guests get something, chosen by the scenario or by what is sensible, with their
//! serving positions.

use super::{Chosen, World};
use crate::base::chance::{Key, Purpose};
use crate::base::ids::id;
use crate::base::units::INCH;
use crate::evening::scenario::occasion::{BED_COATS, GLASS_SEARCH};
use crate::evening::scenario::{Serves, Serving, Shape};
use crate::floor::grid::walk_in;
use crate::floor::routes::Target;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Edge, Furniture, RoomId, Use};
use crate::house::problem::{BadFloor, Problem};

id! {
    /// The number of a spot in its world.
    SpotId
}

/// Where one guest is served.
#[derive(Clone, Copy, Debug)]
pub struct Position {
    /// The point.
    pub target: Target,
    /// Which side of the piece it is on, counted from 0.
    pub side: usize,
}

/// The floor a line stands on, nearest the position first.
#[derive(Clone, Debug, Default)]
pub struct Lane {
    /// Where people in line stand.
    pub slots: Vec<Target>,
    /// Positions it leads to, in the order they are walked along.
    pub positions: Vec<usize>,
}

/// Where guests get something.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Its name: that of the piece, room or opening.
    pub name: String,
    /// What it serves.
    pub serves: Serves,
    /// How.
    pub serving: Serving,
    /// Whether its positions are walked along one after the other (a buffet).
    pub walked: bool,
    /// Seconds added to each service (glasses out of sight).
    pub search: f64,
    /// Coats it holds.
    pub holds: Option<u32>,
    /// Serving positions.
    pub positions: Vec<Position>,
    /// Lanes.
    pub lanes: Vec<Lane>,
}

impl Spot {
    /// Whether being served begins at a position, or goes on there from the one before it.
    pub fn is_first(&self, position: usize) -> bool {
        !self.walked || self.lanes.iter().any(|l| l.positions.first() == Some(&position))
    }

    /// Seconds somebody is served at a position on their `visit`th visit to what is served here,
    /// where the usual service takes `factor` times as long. The same visit of the same guest takes
    /// as long in every house.
    pub fn service(&self, guest: Key, visit: u32, factor: f64) -> f64 {
        let mut stream = guest.stream(Purpose::Service, (self.serves as u32) << 24 | visit);
        let (mean, sd) = (self.serving.time * factor, self.serving.sd * factor);
        let time = match self.serving.shape {
            Shape::Spread => stream.duration(mean, sd),
            Shape::Exponential => stream.exponential(mean),
            Shape::Fixed => mean,
        };
        time + self.search
    }
}

/// Distance of a guest from the edge served at, in meters (common practice).
pub(super) const REACH: f64 = 0.30;
/// Room one guest takes along a counter, in meters (24 in: NKBA guideline 9; an 8-ft table takes
/// 4).
const PITCH: f64 = 24.0 * INCH;
/// Guests at once at bites, and at drinks, when the piece is long enough: common practice.
const AT_BITES: usize = 4;
const AT_DRINKS: usize = 2;

pub(super) fn lay(world: &mut World, problems: &mut Vec<Problem>) {
    lay_door(world);
    if world.scenario.is_scripted() && world.scenario.place.is_empty() {
        return;
    }
    for serves in Serves::ALL.into_iter().filter(|s| *s != Serves::Door) {
        let said = world.scenario.place.get(&serves).cloned();
        let scripted = world.scenario.is_scripted();
        match said {
            Some(names) => {
                for name in names {
                    lay_named(world, serves, &name, problems);
                }
            }
            None if scripted || !serves.is_chosen() => {}
            None => choose(world, serves),
        }
    }
}

fn lay_door(world: &mut World) {
    let name = world.plan.openings[world.entry].name.clone();
    let serving = world.scenario.serving_of(&name, Serves::Door);
    let positions = vec![Position { target: world.outside, side: 0 }];
    let lane = Lane { slots: vec![], positions: vec![0] };
    push(
        world,
        Spot {
            name,
            serves: Serves::Door,
            serving,
            walked: false,
            search: 0.0,
            holds: None,
            positions,
            lanes: vec![lane],
        },
    );
}

fn push(world: &mut World, spot: Spot) -> SpotId {
    let serves = spot.serves;
    let id = world.spots.push_and_get_key(spot);
    world.serving[serves as usize].push(id);
    id
}

fn lay_named(world: &mut World, serves: Serves, name: &str, problems: &mut Vec<Problem>) {
    if make(world, serves, name).is_none() {
        let at = format!("place/{}", serves.word());
        let (serves, name) = (serves.word(), name.to_string());
        problems.push(Problem::of_scenario(at, BadFloor::UnreachableSpot { serves, name }));
    }
}

/// A spot at a piece or room for a script that only names it.
pub(super) fn lay_scripted(world: &mut World, name: &str) -> Option<SpotId> {
    let serves = match (world.plan.piece(name), world.plan.room(name)) {
        (Some(p), _) => match world.plan.furniture[p].kind {
            Kind::Rack | Kind::Bed => Serves::Coats,
            Kind::Bar | Kind::Cooler => Serves::Drinks,
            _ => Serves::Food,
        },
        (_, Some(r)) if world.plan.rooms[r].usage == Use::Closet => Serves::Coats,
        _ => Serves::Powder,
    };
    make(world, serves, name)
}

fn make(world: &mut World, serves: Serves, name: &str) -> Option<SpotId> {
    let serving = world.scenario.serving_of(name, serves);
    let piece = world.plan.piece(name);
    let walked = serves == Serves::Food && world.scenario.needs.meal;
    let mut positions = match (piece, world.plan.room(name)) {
        (Some(p), _) => at_piece(world, &world.plan.furniture[p], serves, walked),
        (_, Some(r)) => at_room(world, r, serves),
        _ => vec![],
    };
    let scripted_one = world.scenario.errands.iter().any(|e| e.stops.iter().any(|s| s == name));
    let most = serving.at_once.map_or(if scripted_one { 1 } else { usize::MAX }, |n| n as usize);
    if !walked {
        positions.truncate(most);
    }
    if positions.is_empty() {
        return None;
    }
    let search = match piece.map(|p| &world.plan.furniture[p]) {
        Some(f)
            if serves == Serves::Glasses
                && !f.glass_front
                && matches!(f.kind, Kind::Cabinet | Kind::Sideboard) =>
        {
            GLASS_SEARCH
        }
        _ => 0.0,
    };
    let holds = (serves == Serves::Coats).then(|| coats(world, name)).flatten();
    let lanes = lanes_of(&positions, walked);
    Some(push(
        world,
        Spot { name: name.to_string(), serves, serving, walked, search, holds, positions, lanes },
    ))
}

/// One lane for each position, or for each side that is walked along.
fn lanes_of(positions: &[Position], walked: bool) -> Vec<Lane> {
    if !walked {
        return (0..positions.len()).map(|p| Lane { slots: vec![], positions: vec![p] }).collect();
    }
    let sides = positions.iter().map(|p| p.side).max().unwrap_or(0);
    let of = |side: usize| {
        (0..positions.len()).filter(|&p| positions[p].side == side).collect::<Vec<_>>()
    };
    (0..=sides)
        .map(of)
        .filter(|p| !p.is_empty())
        .map(|positions| Lane { slots: vec![], positions })
        .collect()
}

fn at_piece(world: &World, f: &Furniture, serves: Serves, walked: bool) -> Vec<Position> {
    let edges = f.edges();
    let mut sides: Vec<Vec<Target>> =
        edges.iter().map(|e| along(world, e)).filter(|s| !s.is_empty()).collect();
    if sides.is_empty() && !f.sides_said {
        let all = [
            crate::house::plan::Side::Front,
            crate::house::plan::Side::Back,
            crate::house::plan::Side::Ends,
        ];
        sides = all
            .iter()
            .flat_map(|&s| f.edges_of(s))
            .map(|e| along(world, &e))
            .filter(|s| !s.is_empty())
            .collect();
    }
    if walked {
        sides.iter_mut().for_each(|s| from_the_door(world, s));
        return sides
            .iter()
            .enumerate()
            .flat_map(|(side, t)| t.iter().map(move |&target| Position { target, side }))
            .collect();
    }
    let most = match serves {
        Serves::Food => AT_BITES,
        Serves::Drinks if f.width.max(f.depth) >= 48.0 * INCH => AT_DRINKS,
        Serves::Coats if f.kind == Kind::Rack => 2,
        _ => 1,
    };
    let most = world.scenario.serving_of(&f.name, serves).at_once.map_or(most, |n| n as usize);
    spread(&sides, most).into_iter().map(|(side, target)| Position { target, side }).collect()
}

/// Serving points along an edge that stand on free floor.
pub(super) fn along(world: &World, edge: &Edge) -> Vec<Target> {
    let n = (edge.length / PITCH + 1e-6).floor().max(1.0) as usize;
    let (ux, uy) = (-edge.out.1, edge.out.0);
    let gap = edge.length / n as f64;
    let points = (0..n).map(|k| (k as f64 + 0.5) * gap - edge.length / 2.0);
    points
        .filter_map(|a| {
            let (x, y) = (
                edge.middle.x + ux * a + edge.out.0 * REACH,
                edge.middle.y + uy * a + edge.out.1 * REACH,
            );
            (f64::from(world.grid.clearance(x, y)) >= REACH - 0.10)
                .then(|| world.reachable(x, y))
                .flatten()
        })
        .collect()
}

/// Whether a point is on the floor right before an edge.
pub(super) fn is_before(edge: &Edge, (x, y): (f64, f64)) -> bool {
    let (dx, dy) = (x - edge.middle.x, y - edge.middle.y);
    let (out, aside) = (dx * edge.out.0 + dy * edge.out.1, dx * edge.out.1 - dy * edge.out.0);
    (0.0..2.0 * REACH).contains(&out) && aside.abs() <= edge.length / 2.0
}

/// Orders a walked side so that it begins at the end nearer the way in.
fn from_the_door(world: &World, side: &mut [Target]) {
    let far = |t: &Target| {
        let (x, y) = t.point.meters();
        world.to_entry(x, y).unwrap_or(f64::INFINITY)
    };
    if let (Some(first), Some(last)) = (side.first(), side.last())
        && far(last) < far(first)
    {
        side.reverse();
    }
}

/// Takes up to `most` points, turn by turn from each side, apart from one another.
fn spread(sides: &[Vec<Target>], most: usize) -> Vec<(usize, Target)> {
    let mut picked = vec![];
    let mut round = 0;
    while picked.len() < most && sides.iter().any(|s| round < s.len()) {
        for (side, points) in sides.iter().enumerate() {
            let share = most.div_ceil(sides.len()).min(points.len()).max(1);
            if round < share && picked.len() < most {
                let at = (2 * round + 1) * points.len() / (2 * share);
                picked.push((side, points[at.min(points.len() - 1)]));
            }
        }
        round += 1;
    }
    picked
}

fn at_room(world: &World, room: RoomId, serves: Serves) -> Vec<Position> {
    let usage = world.plan.rooms[room].usage;
    let target = if !walk_in(&world.plan, room) {
        before_closet(world, room)
    } else if usage.is_private() || usage == Use::Closet || serves == Serves::Powder {
        world.middle_of(room)
    } else {
        None
    };
    target.map(|target| Position { target, side: 0 }).into_iter().collect()
}

/// The floor before a shallow closet's opening.
fn before_closet(world: &World, room: RoomId) -> Option<Target> {
    let o = world.plan.openings.iter().find(|o| o.joins(room))?;
    let sign = if o.inner == room { 1.0 } else { -1.0 };
    [0.40, 0.32, 0.25].iter().find_map(|d| {
        let p = o.point(0.0, sign * (o.depth / 2.0 + d));
        (world.grid.clearance(p.x, p.y) >= 0.2).then(|| world.reachable(p.x, p.y)).flatten()
    })
}

/// How many coats a place holds: rod over coat width, or a bed's pile.
fn coats(world: &World, name: &str) -> Option<u32> {
    let width = world.scenario.weather.coat_width();
    let by_rod = |rod: f64| ((rod / width) + 1e-9).floor() as u32;
    if let Some(p) = world.plan.piece(name) {
        let f = &world.plan.furniture[p];
        return Some(match f.kind {
            Kind::Bed => BED_COATS,
            Kind::Sofa | Kind::Armchair | Kind::Chair | Kind::Bench => BED_COATS / 2,
            _ => by_rod(f.rod.unwrap_or(f.width.max(f.depth))),
        });
    }
    let room = world.plan.room(name)?;
    let rods: f64 =
        world.plan.furniture.iter().filter(|f| f.room == room).filter_map(|f| f.rod).sum();
    let [w, s, e, n] = world.plan.rooms[room].bounds();
    Some(by_rod(if rods > 0.0 { rods } else { (e - w).max(n - s) }))
}

/// Chooses the nearest sensible spots and says so.
fn choose(world: &mut World, serves: Serves) {
    let names = candidates(world, serves);
    let mut taken = vec![];
    for name in names {
        // guests use every powder room there is, a family bath only where there is none
        let another = serves == Serves::Powder
            && world.plan.room(&name).is_some_and(|r| world.plan.rooms[r].usage == Use::Powder);
        if (taken.len() < serves.chosen_at_most() || another)
            && make(world, serves, &name).is_some()
        {
            taken.push(name);
        }
    }
    world.chosen.push(Chosen::Served(serves, taken));
}

/// Pieces and rooms that could serve, best first.
fn candidates(world: &World, serves: Serves) -> Vec<String> {
    let plan = &world.plan;
    let used: Vec<&str> = world.spots.iter().map(|s| s.name.as_str()).collect();
    let distance = |x: f64, y: f64| world.to_entry(x, y).map_or(u64::MAX, |d| (d * 1000.0) as u64);
    let mut ranked: Vec<(u32, u64, String)> = vec![];
    let free = |f: &&Furniture| !used.contains(&f.name.as_str());
    for f in plan.furniture.iter().filter(free).filter(|f| serves.may_be_on(f)) {
        let open_room = super::usual_pull(plan.rooms[f.room].usage) > 0.0;
        let edge = f.edges().first().map_or(f.center, |e| geo::Coord {
            x: e.middle.x + e.out.0 * REACH,
            y: e.middle.y + e.out.1 * REACH,
        });
        if open_room || serves == Serves::Coats {
            ranked.push((serves.rank_on(f), distance(edge.x, edge.y), f.name.clone()));
        }
    }
    for (i, r) in plan.rooms.iter_enumerated() {
        if serves.may_be_in(r) {
            let near = plan.openings.iter().find(|o| o.joins(i));
            let at = near.map_or(r.outline.exterior().0[0], |o| {
                o.point(0.0, if o.inner == i { 0.5 } else { -0.5 })
            });
            ranked.push((serves.rank_in(r), distance(at.x, at.y), r.name.clone()));
        }
    }
    ranked.sort();
    ranked.into_iter().map(|(.., name)| name).collect()
}
