//! Ways for everybody: from the car to the party, the powder room and the food without a step, wide
//! enough for a wheelchair, and with room to turn.

use crate::base::units::INCH;
use crate::evening::scenario::Serves;
use crate::floor::faults::WHEELCHAIR;
use crate::floor::grid::Area;
use crate::floor::widths::{Between, Widths, easiest_ways};
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, bound_at};
use crate::house::plan::{OpeningId, RoomId};
use crate::review::places::hubs::{Hub, Role, entry_level, main_room};
use crate::review::verdict::Verdict;
use crate::review::walking::ways::WIDEST;

/// An accessible route: 36 in (ADA 2010, 403.5.1).
pub const ROUTE: f64 = 36.0 * INCH;
/// A wheelchair turns in a circle of 60 in (ADA 304.3).
pub const TURN: f64 = 60.0 * INCH;

/// Where somebody in a wheelchair has to get.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Where the party is.
    Party,
    /// The powder room.
    Powder,
    /// The food.
    Food,
}

/// What is in the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Barrier {
    /// An opening of this clear width, in meters.
    Door(OpeningId, f64),
    /// Steps at an opening inside.
    Steps(OpeningId, u32),
    /// Floor of this clear width, in meters, and what it is between.
    Floor(f64, [Bound; 2]),
    /// It is on another level.
    Level,
    /// There is no way at all.
    NoWay,
}

/// The way in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entrance {
    /// The opening.
    pub opening: OpeningId,
    /// Steps up to it, if said.
    pub steps: Option<u32>,
}

impl Entrance {
    /// Whether it is step-free.
    pub fn verdict(&self) -> Verdict {
        match self.steps {
            None => Verdict::Unknown,
            Some(0) => Verdict::Passes,
            Some(_) => Verdict::Fails,
        }
    }
}

/// The easiest way for a wheelchair to somewhere, from outside the door.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Where to.
    pub goal: Goal,
    /// What is in the way, if anything.
    pub barrier: Option<Barrier>,
    /// Where that is, in meters.
    pub at: (f64, f64),
}

impl Reach {
    /// Whether nothing is in the way.
    pub fn verdict(&self) -> Verdict {
        Verdict::passes_if(self.barrier.is_none(), Verdict::Fails)
    }
}

/// The widest circle of floor in a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turning {
    /// The room.
    pub room: RoomId,
    /// Its diameter, in meters, [`WIDEST`] at most.
    pub circle: f64,
    /// Its middle, in meters.
    pub at: (f64, f64),
}

impl Turning {
    /// Against the circle a wheelchair turns in; where it cannot, somebody backs out.
    pub fn verdict(&self) -> Verdict {
        Verdict::passes_if(self.circle >= TURN - INCH / 8.0, Verdict::Tight)
    }
}

/// Everything about ways for everybody.
#[derive(Clone, Debug, PartialEq)]
pub struct Access {
    /// The way in.
    pub entrance: Entrance,
    /// The way to the party, the powder room and the food.
    pub reaches: Vec<Reach>,
    /// Room to turn in the main room and the powder room.
    pub turnings: Vec<Turning>,
}

/// Looks at all of it.
pub fn access(world: &World, floor: &Widths, hubs: &[Hub]) -> Access {
    let ease: Vec<Option<f64>> = (0..world.grid.len())
        .map(|n| floor.at_node(n, ROUTE).map(|width| ease(world, width)))
        .collect();
    let (x, y) = world.outside.point.meters();
    let easiest = easiest_ways(&world.grid, &ease, world.grid.nearest_node(x, y));
    let reach = |goal: Goal, node: usize| reach(world, floor, goal, node, easiest[node]);
    let main = main_room(world, hubs);
    // of several powder rooms the one that is easiest to get to
    let powders = hubs.iter().filter(|h| h.role == Role::Powder);
    let powder = powders.max_by(|a, b| {
        let ease = |h: &Hub| {
            let here = world.plan.rooms[h.room].level == entry_level(world);
            easiest[h.heart].filter(|_| here).map_or(-1.0, |e| e.0)
        };
        ease(a).total_cmp(&ease(b))
    });
    let goals = [
        (Goal::Party, main.map(|h| h.heart)),
        (Goal::Powder, powder.map(|h| h.heart)),
        (Goal::Food, food(world)),
    ];
    let reaches = goals.into_iter().filter_map(|(goal, node)| Some(reach(goal, node?)));
    let rooms = main.iter().chain(powder).map(|hub| hub.room);
    Access {
        entrance: Entrance { opening: world.entry, steps: world.plan.openings[world.entry].steps },
        reaches: reaches.collect(),
        turnings: rooms.filter_map(|room| turning(world, floor, room)).collect(),
    }
}

fn food(world: &World) -> Option<usize> {
    let spot = world.spots_for(Serves::Food).first()?;
    let (x, y) = world.spots[*spot].positions.first()?.target.point.meters();
    Some(world.grid.nearest_node(x, y))
}

/// Steps inside a house take every other way first.
const STEPS: f64 = 0.01;

/// A width against what a wheelchair takes. Steps at the way in are told apart.
fn ease(world: &World, (clear, between): (f64, Between)) -> f64 {
    match between {
        Between::Jambs(o) if o != world.entry && steps(world, o) > 0 => STEPS,
        Between::Jambs(_) => clear / WHEELCHAIR,
        Between::Edges(_) | Between::Open => clear / ROUTE,
    }
}

fn steps(world: &World, opening: OpeningId) -> u32 {
    world.plan.openings[opening].steps.unwrap_or(0)
}

/// How much of a whole counts as all of it: an eighth of an inch in 36.
const ALL: f64 = 1.0 - 0.125 / 36.0;

fn reach(
    world: &World,
    floor: &Widths,
    goal: Goal,
    node: usize,
    easiest: Option<(f64, usize)>,
) -> Reach {
    let there = world.grid.node_xy(node);
    if world.plan.level_at(there.y) != entry_level(world) {
        return Reach { goal, barrier: Some(Barrier::Level), at: (there.x, there.y) };
    }
    let Some((ease, at)) = easiest else {
        return Reach { goal, barrier: Some(Barrier::NoWay), at: (there.x, there.y) };
    };
    let p = world.grid.node_xy(at);
    let barrier = (ease < ALL).then(|| match floor.at_node(at, ROUTE) {
        Some((_, Between::Jambs(o))) if ease <= STEPS => Barrier::Steps(o, steps(world, o)),
        Some((clear, Between::Jambs(o))) => Barrier::Door(o, clear),
        Some((clear, Between::Edges(ends))) => {
            Barrier::Floor(clear, ends.map(|end| bound_at(world, end)))
        }
        Some((clear, Between::Open)) => Barrier::Floor(clear, [Bound::Wall; 2]),
        None => Barrier::NoWay,
    });
    Reach { goal, barrier, at: (p.x, p.y) }
}

/// The middle of the widest circle is looked for in steps down to this, in meters.
const FINEST: f64 = 0.002;

fn turning(world: &World, floor: &Widths, room: RoomId) -> Option<Turning> {
    let nodes = (0..world.grid.len()).filter(|&n| world.grid.area_at_node(n) == Area::Room(room));
    let widest = nodes.max_by(|&a, &b| {
        let clear = |n: usize| world.grid.clear_at_node(n);
        clear(a).total_cmp(&clear(b)).then(b.cmp(&a))
    })?;
    let p = world.grid.node_xy(widest);
    // from the node uphill: between nodes there may be a little more
    let (mut at, mut step) = ((p.x, p.y), world.grid.step() / 2.0);
    let mut best = floor.clearance(at);
    while step > FINEST && 2.0 * best < WIDEST {
        let around = [(step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)];
        let next = around
            .map(|(dx, dy)| (at.0 + dx, at.1 + dy))
            .into_iter()
            .map(|q| (floor.clearance(q), q))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match next {
            Some((clear, q)) if clear > best => (best, at) = (clear, q),
            _ => step /= 2.0,
        }
    }
    Some(Turning { room, circle: (2.0 * best).min(WIDEST), at })
}
