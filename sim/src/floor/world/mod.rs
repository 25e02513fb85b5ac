//! Everything a trial reads, immutable and shared: floor, routes, spots with their lanes, seats,
//! places, where people may stand. Building it can find problems that only show on the floor, such
//! as a spot nobody can reach.

pub mod aisles;
mod lanes;
mod pinches;
mod places;
mod posts;
mod rooms;
mod seats;
mod spots;
mod stands;
mod surroundings;

pub use pinches::{PINCH_RADIUS, Pinch, PinchId, Pinches};
pub use places::{Place, PlaceId, PlaceOf};
pub use posts::{Duty, Post};
pub use seats::{DINERS_TO_SPOT, ELBOW_ROOM, Seat, SeatId, seats_along};
pub use spots::{Lane, Position, Spot, SpotId};
pub use stands::{KEPT_FREE, Stand, usual_pull};
pub use surroundings::Surroundings;

use crate::base::ids::{TiSlice, TiVec};
use crate::base::units::{CELL, Point};
use crate::evening::scenario::{Scenario, Serves};
use crate::floor::grid::{Area, Grid};
use crate::floor::routes::{Routes, Target};
use crate::house::plan::{LEAVE, OpeningId, PieceId, Plan, RoomId, Stairs, Use};
use crate::house::problem::{BadEvening, BadFloor, Problem, owned};
use std::sync::Arc;
use std::sync::atomic::AtomicU8;

/// A stop of a script.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// Get something.
    Spot(SpotId),
    /// Go through an opening on the way to the next stop.
    Through(OpeningId),
    /// Go into a room: the first guest to its middle, the next ones around.
    Room(RoomId),
    /// Leave the house.
    Leave,
}

/// What is taken because the files do not say.
#[derive(Clone, Debug, PartialEq)]
pub enum Chosen {
    /// Guests come in through this opening.
    Entry(OpeningId),
    /// It is served at these pieces or in these rooms, the likeliest first; none if the plan has
    /// nothing for it.
    Served(Serves, Vec<String>),
    /// There is no floor at the bar for everybody who pours.
    NoFloorToPour,
    /// So many of those who pour are not among the hosts.
    Hired(u32),
}

/// Everything a trial reads.
pub struct World {
    /// The house.
    pub plan: Plan,
    /// The evening.
    pub scenario: Scenario,
    /// Which openings are open.
    pub open: TiVec<OpeningId, bool>,
    /// The floor.
    pub grid: Arc<Grid>,
    /// Where to.
    pub routes: Arc<Routes>,
    /// The way in.
    pub entry: OpeningId,
    /// Where guests appear and vanish, outside the way in.
    pub outside: Target,
    /// Spots.
    pub spots: TiVec<SpotId, Spot>,
    /// Spots by what they serve, nearest first in the order the scenario gives them.
    pub serving: [Vec<SpotId>; Serves::ALL.len()],
    /// Seats.
    pub seats: TiVec<SeatId, Seat>,
    /// Seats nobody uses because guests at a spot stand there: the piece and the spot.
    pub seats_given_up: Vec<(PieceId, SpotId)>,
    /// Places.
    pub places: TiVec<PlaceId, Place>,
    /// Place of each lattice node that is in one.
    pub place_of: Arc<[Option<PlaceId>]>,
    /// Spots at which jams are judged.
    pub pinches: Pinches,
    /// Places to talk.
    pub stands: Vec<Stand>,
    /// For each lattice node, whether somebody may stand and talk there: 1 or 0 once asked.
    good_to_stand: Vec<AtomicU8>,
    /// Points that talkers leave free, in meters.
    kept_free: Vec<(f64, f64)>,
    /// Running sums of the pull of the stands.
    pub stand_pulls: Vec<u64>,
    /// Where those who host stand.
    pub posts: Vec<Post>,
    /// For each one who hosts, the posts in turn.
    pub rounds: Vec<Vec<usize>>,
    /// Stops of each script.
    pub stops: Vec<Vec<Stop>>,
    /// What was chosen because the files did not say.
    pub chosen: Vec<Chosen>,
    /// Clear floor guests can use, in m2, outside ground not counted.
    pub clear_floor: f64,
}

/// The floor and the ways over it: one house with some doors open, whoever comes.
#[derive(Clone)]
struct Ground {
    open: TiVec<OpeningId, bool>,
    grid: Arc<Grid>,
    routes: Arc<Routes>,
    place_of: Arc<[Option<PlaceId>]>,
}

impl Ground {
    fn new(plan: &Plan, open: TiVec<OpeningId, bool>, cell: f64) -> Ground {
        let grid = Grid::new(plan, &open, cell);
        let routes = Routes::new(plan, &open, &grid).into();
        let place_of = places::of_nodes(plan, &grid, &open).into();
        Ground { open, grid: grid.into(), routes, place_of }
    }

    /// The same with other furniture.
    fn refurnished(&self, plan: &Plan) -> Ground {
        let (grid, changed) = self.grid.refurnished(plan);
        let routes = self.routes.refurnished(&grid, &changed).into();
        Ground { grid: grid.into(), routes, ..self.clone() }
    }
}

impl World {
    /// Puts a plan and a scenario on the floor, or tells what does not work there.
    pub fn new(plan: Plan, scenario: Scenario) -> Result<World, Vec<Problem>> {
        World::on(plan, scenario, Ground::new)
    }

    /// The same for an evening that may be in this very house, with the same doors open: then the
    /// floor and the ways over it are made only once, or mended where furniture differs.
    pub fn beside(&self, plan: Plan, scenario: Scenario) -> Result<World, Vec<Problem>> {
        let ground = Ground {
            open: self.open.clone(),
            grid: self.grid.clone(),
            routes: self.routes.clone(),
            place_of: self.place_of.clone(),
        };
        World::on(plan, scenario, |plan, open, cell| {
            if open != self.open
                || cell != self.scenario.model.cell
                || !is_same_house(plan, &self.plan)
            {
                Ground::new(plan, open, cell)
            } else if plan.furniture == self.plan.furniture {
                ground
            } else {
                ground.refurnished(plan)
            }
        })
    }

    fn on(
        plan: Plan,
        scenario: Scenario,
        lay: impl FnOnce(&Plan, TiVec<OpeningId, bool>, f64) -> Ground,
    ) -> Result<World, Vec<Problem>> {
        let open = doors(&plan, &scenario);
        let entry = entry(&plan, &scenario, &open).map_err(|p| vec![p])?;
        if has_too_many_nodes(&plan, scenario.model.cell) {
            return Err(vec![too_large()]);
        }
        let ground = lay(&plan, open, scenario.model.cell);
        // scripts go to their stops only, and finer lattices are asked for to check the model
        let goes_everywhere = !scenario.is_scripted() && scenario.model.cell >= CELL;
        if goes_everywhere && ground.routes.most_times(&ground.grid) > MOST_TIMES {
            return Err(vec![too_large()]);
        }
        World::furnished(plan, scenario, entry, ground)
    }

    fn furnished(
        plan: Plan,
        scenario: Scenario,
        entry: OpeningId,
        Ground { open, grid, routes, place_of }: Ground,
    ) -> Result<World, Vec<Problem>> {
        let o = &plan.openings[entry];
        let at = o.point(0.0, o.depth / 2.0 + 0.9);
        let Some(outside) = routes.target(&grid, at.x, at.y) else {
            let blocked = BadFloor::BlockedWayIn { opening: o.name.clone() };
            return Err(vec![Problem::of_plan(format!("opening/{entry}"), blocked)]);
        };
        let mut world = World {
            places: places::of(&plan),
            place_of,
            pinches: Pinches::default(),
            spots: TiVec::new(),
            serving: Default::default(),
            seats: TiVec::new(),
            seats_given_up: vec![],
            stands: vec![],
            stand_pulls: vec![],
            good_to_stand: vec![],
            kept_free: vec![],
            posts: vec![],
            rounds: vec![],
            stops: vec![],
            chosen: vec![],
            clear_floor: 0.0,
            entry,
            outside,
            open,
            grid,
            routes,
            plan,
            scenario,
        };
        let mut problems = vec![];
        world.chosen.push(Chosen::Entry(entry));
        pinches::lay(&mut world);
        spots::lay(&mut world, &mut problems);
        world.lay_stops(&mut problems);
        lanes::lay(&mut world);
        seats::lay(&mut world);
        stands::lay(&mut world);
        posts::lay(&mut world);
        world.check_rooms(&mut problems);
        world.check_fill(&mut problems);
        if problems.is_empty() { Ok(world) } else { Err(problems) }
    }

    /// Drops the ways found so far; they are found again when asked for.
    pub fn forget_ways(&mut self) {
        self.routes = self.routes.unasked().into();
    }

    /// Seconds at 1 m/s from a point to the way in; `None` if nobody gets there.
    pub fn to_entry(&self, x: f64, y: f64) -> Option<f64> {
        self.routes.to_opening(&self.grid, x, y, self.entry)
    }

    /// A reachable target at a point.
    pub fn reachable(&self, x: f64, y: f64) -> Option<Target> {
        self.to_entry(x, y)?;
        self.routes.target(&self.grid, x, y)
    }

    /// The spots that serve something.
    pub fn spots_for(&self, serves: Serves) -> &[SpotId] {
        &self.serving[serves as usize]
    }

    /// The stairs a point is on.
    pub fn stairs_at(&self, x: f64, y: f64) -> Option<&Stairs> {
        if self.plan.stairs.is_empty() {
            return None;
        }
        self.room_at(x, y).and_then(|r| self.plan.stairs_of(r))
    }

    /// A point of stairs as it lies on their lower level; any other point itself.
    pub fn below(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let stairs = self.stairs_at(x, y).filter(|s| self.room_at(x, y) == Some(s.rooms[1]));
        stairs.map_or((x, y), |s| (x, y - self.plan.across(s)))
    }

    /// The place a point is in.
    pub fn place_at(&self, x: f64, y: f64) -> Option<PlaceId> {
        self.place_of[self.grid.nearest_node(x, y)]
    }

    /// The room by area of a point, if it is in one.
    pub fn room_at(&self, x: f64, y: f64) -> Option<RoomId> {
        match self.grid.area_at(x, y) {
            Area::Room(r) => Some(r),
            _ => None,
        }
    }

    /// Figures for something that serves nothing are a slip in a file; where a change moves what
    /// was served there they are left over.
    pub fn idle_servings(&self) -> Vec<Problem> {
        let serves = |name: &str| {
            Serves::from_word(name).is_some() || self.spots.iter().any(|s| s.name == name)
        };
        let is_stop =
            |name: &str| self.scenario.errands.iter().any(|e| e.stops.iter().any(|s| s == name));
        let known: Vec<&str> = self
            .spots
            .iter()
            .map(|s| s.name.as_str())
            .chain(Serves::ALL.map(Serves::word))
            .collect();
        let idle = self.scenario.serving.keys().filter(|n| !serves(n) && !is_stop(n));
        let problem = |name: &String| {
            let nothing = BadEvening::ServesNothing { name: name.clone(), known: owned(&known) };
            Problem::of_scenario(format!("serving/{name}"), nothing)
        };
        idle.map(problem).collect()
    }

    fn lay_stops(&mut self, problems: &mut Vec<Problem>) {
        let errands = self.scenario.errands.clone();
        for (i, errand) in errands.iter().enumerate() {
            let mut stops = vec![];
            for name in &errand.stops {
                match self.stop(name) {
                    Some(stop) => stops.push(stop),
                    None => {
                        let stop = BadFloor::UnreachableStop { name: name.clone() };
                        problems.push(Problem::of_scenario(format!("errand/{i}/stops"), stop))
                    }
                }
            }
            self.stops.push(stops);
        }
    }

    fn stop(&mut self, name: &str) -> Option<Stop> {
        if name == LEAVE {
            return Some(Stop::Leave);
        }
        if let Some(id) = self.spots.position(|s| s.name == name) {
            return Some(Stop::Spot(id));
        }
        if let Some(opening) = self.plan.opening(name) {
            return self.before_opening(opening).map(|_| Stop::Through(opening));
        }
        if let Some(room) = self.plan.room(name)
            && !self.plan.rooms[room].usage.is_private()
        {
            return self.middle_of(room).map(|_| Stop::Room(room));
        }
        spots::lay_scripted(self, name).map(Stop::Spot)
    }

    /// The floor just inside an opening: where a script ends whose last stop it is.
    pub fn before_opening(&self, opening: OpeningId) -> Option<Target> {
        let o = &self.plan.openings[opening];
        let inside = o.point(0.0, -(o.depth / 2.0 + 0.3));
        self.reachable(inside.x, inside.y)
    }

    /// The passage of an opening as a target.
    pub fn through(&self, opening: OpeningId) -> Target {
        let c = self.plan.openings[opening].center;
        self.routes.through(opening, Point::from_meters(c.x, c.y))
    }

    /// Whether a point is outside the house, off the sill of the way in: who leaves is gone there.
    pub fn is_out(&self, x: f64, y: f64) -> bool {
        self.grid.area_at(x, y) == Area::Outside(self.entry)
            && self.to_entry(x, y).is_some_and(|d| d >= OFF_SILL)
    }

    /// Where the n-th guest goes who is sent into a room: from the middle outwards, off its
    /// openings.
    pub fn nth_in_room(&self, room: RoomId, n: usize) -> Option<Target> {
        let middle = self.middle_of(room)?;
        let openings: Vec<_> = self.plan.openings.iter().filter(|o| o.joins(room)).collect();
        let off = |t: &Target| {
            let (x, y) = t.point.meters();
            openings.iter().all(|o| {
                (o.center.x - x) * (o.center.x - x) + (o.center.y - y) * (o.center.y - y)
                    > OFF_OPENINGS * OFF_OPENINGS
            })
        };
        let mut around: Vec<Target> = self
            .routes
            .stands(&self.grid)
            .into_iter()
            .filter(|(r, t, _)| *r == room && off(t))
            .map(|(_, t, _)| t)
            .collect();
        around.retain(|t| {
            t.point.distance(middle.point) > 0.4
                && self.to_entry(t.point.meters().0, t.point.meters().1).is_some()
        });
        around.sort_by_key(|t| ((t.point.distance(middle.point) * 1000.0) as u64, t.point));
        around.insert(0, middle);
        around.get(n % around.len()).copied()
    }

    /// The reachable stand nearest the middle of a room.
    pub fn middle_of(&self, room: RoomId) -> Option<Target> {
        let [w, s, e, n] = self.plan.rooms[room].bounds();
        let (cx, cy) = ((w + e) / 2.0, (s + n) / 2.0);
        if self.room_at(cx, cy) == Some(room)
            && let Some(t) = self.reachable(cx, cy)
        {
            return Some(t);
        }
        let near = |t: &Target| {
            let (x, y) = t.point.meters();
            (x - cx) * (x - cx) + (y - cy) * (y - cy)
        };
        let stands = self
            .routes
            .stands(&self.grid)
            .into_iter()
            .filter(|(r, ..)| *r == room)
            .map(|(_, t, _)| t);
        let reachable = stands.filter(|t| {
            let (x, y) = t.point.meters();
            self.to_entry(x, y).is_some()
        });
        reachable.min_by(|a, b| near(a).total_cmp(&near(b)))
    }
}

/// Points of the lattice that a machine at home works with: a sheet of 350 by 350 ft at the usual 3
/// in.
const MOST_NODES: f64 = 2e6;
/// Travel times to openings kept at most: half a gigabyte.
const MOST_TIMES_OF_OPENINGS: f64 = 1.25e8;
/// Travel times of one house kept at most: 1 GB.
const MOST_TIMES: usize = 250_000_000;

/// Whether two plans differ in furniture at most, as far as the floor goes.
fn is_same_house(one: &Plan, other: &Plan) -> bool {
    (&one.rooms, &one.openings, &one.stairs, &one.levels, one.walls)
        == (&other.rooms, &other.openings, &other.stairs, &other.levels, other.walls)
}

/// Whether a house is so large that its lattice alone takes more memory and time than people have.
fn has_too_many_nodes(plan: &Plan, cell: f64) -> bool {
    let [w, s, e, n] = plan.bounds();
    let nodes = (e - w) / cell * ((n - s) / cell);
    nodes > MOST_NODES || nodes * plan.openings.len() as f64 > MOST_TIMES_OF_OPENINGS
}

fn too_large() -> Problem {
    Problem::of_plan("room", BadFloor::TooLarge)
}

/// Who leaves is gone this far outside the way in, in meters.
const OFF_SILL: f64 = 0.3;
/// Guests sent into a room do not stop nearer to an opening than this, in meters.
const OFF_OPENINGS: f64 = 1.2;

/// Which openings are open.
fn doors(plan: &Plan, scenario: &Scenario) -> TiVec<OpeningId, bool> {
    plan.openings.keys().map(|o| scenario.is_open(plan, o)).collect()
}

/// The way in: said, or the first way out of a hall, or the first that is not a garden gate.
fn entry(
    plan: &Plan,
    scenario: &Scenario,
    open: &TiSlice<OpeningId, bool>,
) -> Result<OpeningId, Problem> {
    if let Some(name) = &scenario.through {
        return plan.opening(name).filter(|&o| open[o]).ok_or_else(|| {
            let closed = BadFloor::ClosedWayIn { opening: name.clone() };
            Problem::of_scenario("arrivals/through", closed)
        });
    }
    let usage = |o: OpeningId| plan.rooms[plan.openings[o].inner].usage;
    let ways: Vec<OpeningId> = plan.ways_out().map(|(o, _)| o).filter(|&o| open[o]).collect();
    let hall = ways.iter().copied().find(|&o| usage(o) == Use::Hall);
    let indoors = ways.iter().copied().find(|&o| usage(o) != Use::Outdoors);
    hall.or(indoors)
        .or(ways.first().copied())
        .ok_or_else(|| Problem::of_plan("opening", BadFloor::NoWayIn))
}
