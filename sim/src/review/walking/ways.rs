//! The widest way between each two places of a house: its narrow places and its doors.

use crate::base::units::INCH;
use crate::floor::grid::Area;
use crate::floor::paths::{Path, shortest};
use crate::floor::widths::{Between, Widths, easiest_ways};
use crate::floor::world::World;
use crate::floor::world::aisles::{Bound, bound_at};
use crate::house::plan::{OpeningId, RoomId, Use};
use crate::review::places::hubs::{Hub, Role};
use crate::review::verdict::{AtLeast, Verdict};

/// Wider floor than this is not measured, in meters (6 ft).
pub const WIDEST: f64 = 72.0 * INCH;
/// A walkway: 36 in (NKBA guideline 7); two people pass without both turning from 42 in (builders).
pub const WALKWAY: AtLeast = AtLeast(36.0 * INCH, 42.0 * INCH);
/// A doorway between rooms that guests use: 32 in (NKBA guideline 1).
pub const DOORWAY: AtLeast = AtLeast(32.0 * INCH, 32.0 * INCH);
/// The door of a powder room or closet: 24 in (common practice); 32 in for a wheelchair (ADA
/// 404.2.3).
pub const SMALL_DOOR: AtLeast = AtLeast(24.0 * INCH, 32.0 * INCH);
/// Narrow places nearer to each other than this are one, in meters.
const ONE_PLACE: f64 = 0.6;
/// Floor at least this wide is no narrow place, in meters (48 in: two people pass freely).
const FREE: f64 = 48.0 * INCH;

/// The widest way between two hubs.
#[derive(Clone, Debug)]
pub struct Way {
    /// From this hub, by its number, to that one.
    pub between: [usize; 2],
    /// The least clear width of floor on it, in meters, [`WIDEST`] at most.
    pub floor: f64,
    /// Where that is.
    pub at: (f64, f64),
    /// Its narrowest opening.
    pub door: Option<OpeningId>,
    /// Where it runs.
    pub path: Path,
}

impl Way {
    /// The least clear width on it, of floor and openings, in meters.
    pub fn clear(&self, world: &World) -> f64 {
        self.door.map_or(self.floor, |o| self.floor.min(world.plan.openings[o].clear))
    }
}

/// A narrow place on one way or several.
#[derive(Clone, Debug, PartialEq)]
pub struct Narrowing {
    /// What is on either side.
    pub between: [Bound; 2],
    /// Points there.
    pub ends: [(f64, f64); 2],
    /// The room it is in.
    pub room: RoomId,
    /// Clear width, in meters.
    pub clear: f64,
    /// Ways it lies on, by number.
    pub ways: Vec<usize>,
}

impl Narrowing {
    /// Its middle, in meters.
    pub fn at(&self) -> (f64, f64) {
        let [a, b] = self.ends;
        ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
    }

    /// Against a walkway.
    pub fn verdict(&self) -> Verdict {
        WALKWAY.length(self.clear)
    }
}

/// An opening on one way or several.
#[derive(Clone, Debug, PartialEq)]
pub struct Doorway {
    /// The opening.
    pub opening: OpeningId,
    /// Its clear width, in meters.
    pub clear: f64,
    /// Ways it lies on, by number.
    pub ways: Vec<usize>,
    /// What it is held against.
    pub asked: AtLeast,
}

impl Doorway {
    /// Against what it is for.
    pub fn verdict(&self) -> Verdict {
        self.asked.length(self.clear)
    }
}

/// All ways with what they lead through.
#[derive(Clone, Debug, Default)]
pub struct Ways {
    /// The ways.
    pub ways: Vec<Way>,
    /// Their narrow places, the narrowest first.
    pub narrowings: Vec<Narrowing>,
    /// Their openings, the narrowest first.
    pub doorways: Vec<Doorway>,
}

/// Measures the way between each two hubs: of those with the widest doors the one with the widest
/// floor, and of those the shortest. From room to room it stays indoors, if it can: nobody goes
/// around by the patio.
pub fn ways(world: &World, floor: &Widths, hubs: &[Hub]) -> Ways {
    let everywhere: Vec<Option<Node>> =
        (0..world.grid.len()).map(|n| floor.at_node(n, WIDEST)).collect();
    let outdoors = |room: RoomId| world.plan.rooms[room].usage == Use::Outdoors;
    let is_inside =
        |n: &usize| !matches!(world.grid.area_at_node(*n), Area::Room(r) if outdoors(r));
    let indoors: Vec<Option<Node>> =
        (0..everywhere.len()).map(|n| everywhere[n].filter(|_| is_inside(&n))).collect();
    let [mut inside, mut anywhere]: [Vec<Ground>; 2] = [&indoors, &everywhere]
        .map(|widths| hubs.iter().map(|h| Ground::new(world, widths, h.heart)).collect());
    let mut all = Ways::default();
    for from in 0..hubs.len() {
        for to in (from + 1..hubs.len()).filter(|&to| is_asked(&hubs[from], &hubs[to])) {
            let [a, b] = [from, to].map(|h| hubs[h].heart);
            // looked for from outdoors, where there are few starts
            let path = match [from, to].map(|h| outdoors(hubs[h].room)) {
                [false, false] => inside[from].widest(b).or_else(|| anywhere[from].widest(b)),
                [true, _] => anywhere[from].widest(b),
                [false, true] => anywhere[to].widest(a).map(Path::back),
            };
            let Some(path) = path else {
                continue;
            };
            let number = all.ways.len();
            let on_way: Vec<(usize, f64, Between)> = path
                .nodes
                .iter()
                .filter_map(|&n| everywhere[n].map(|(wide, between)| (n, wide, between)))
                .filter(|(_, wide, between)| !is_mouth(world, floor, *wide, between))
                .collect();
            all.narrowed(world, number, &on_way);
            all.ways.push(way(world, [from, to], &on_way, path));
        }
    }
    for opening in hubs.iter().filter_map(|h| h.opening()) {
        all.doorway(world, None, opening);
    }
    all.narrowings.sort_by(|a, b| a.clear.total_cmp(&b.clear));
    all.doorways.sort_by(|a, b| a.clear.total_cmp(&b.clear));
    all
}

/// The clear width at a node, and what it lies between.
type Node = (f64, Between);

/// The easiest ways from a node, as [`easiest_ways`] gives them.
type Easiest = Vec<Option<(f64, usize)>>;

/// Floor on which the widest ways from one node are looked for.
struct Ground<'a> {
    world: &'a World,
    widths: &'a [Option<Node>],
    start: usize,
    /// By doors and floor, once it is asked for.
    easiest: Option<Easiest>,
    /// By floor alone, through doors at least so easy.
    by_floor: Vec<(f64, Vec<Option<f64>>, Easiest)>,
}

impl<'a> Ground<'a> {
    fn new(world: &'a World, widths: &'a [Option<Node>], start: usize) -> Ground<'a> {
        Ground { world, widths, start, easiest: None, by_floor: vec![] }
    }

    /// The shortest of the widest ways to a node.
    fn widest(&mut self, to: usize) -> Option<Path> {
        let (world, start) = (self.world, self.start);
        let easiest = self.easiest.get_or_insert_with(|| {
            let easy: Vec<Option<f64>> =
                self.widths.iter().map(|w| w.map(|w| ease(world, w))).collect();
            easiest_ways(&world.grid, &easy, start)
        });
        let (doors, _) = easiest[to]?;
        if !self.by_floor.iter().any(|b| b.0 == doors) {
            let floors: Vec<Option<f64>> =
                self.widths.iter().map(|w| w.and_then(|w| past(world, w, doors))).collect();
            let reached = easiest_ways(&world.grid, &floors, start);
            self.by_floor.push((doors, floors, reached));
        }
        let (_, floors, reached) = self.by_floor.iter().find(|b| b.0 == doors)?;
        let (least, _) = reached[to]?;
        let wide = |n: usize| floors[n].is_some_and(|w| w >= least - 1e-9);
        shortest(&world.grid, start, to, &wide)
    }
}

/// The width of floor where doors at least so easy are nothing, and others bar the way.
fn past(world: &World, (clear, between): Node, doors: f64) -> Option<f64> {
    match between {
        Between::Jambs(_) => (ease(world, (clear, between)) >= doors - 1e-9).then_some(WIDEST),
        Between::Edges(_) | Between::Open => Some(clear),
    }
}

/// Whether floor is narrow only between a wall and a jamb: that is the mouth of an opening, which has
/// its own width.
pub(crate) fn is_mouth(world: &World, floor: &Widths, wide: f64, between: &Between) -> bool {
    let Between::Edges(ends) = between else { return false };
    wide < FREE
        && ends.iter().any(|&end| floor.is_jamb(end))
        && ends.iter().all(|&end| bound_at(world, end) == Bound::Wall)
}

/// Nobody goes from a closet to the powder room.
fn is_asked(a: &Hub, b: &Hub) -> bool {
    let is_end = |h: &Hub| matches!(h.role, Role::Coats | Role::Powder | Role::SideDoor);
    !(is_end(a) && is_end(b))
}

/// How easily somebody gets through: floor against a walkway, a doorway against a doorway. No way
/// leads around the door of a powder room or a closet, so those do not count.
fn ease(world: &World, (clear, between): Node) -> f64 {
    let most = WIDEST / WALKWAY.0;
    match between {
        Between::Jambs(o) if is_small(world, o) => most,
        Between::Jambs(_) => (clear / DOORWAY.0).min(most),
        Between::Edges(_) | Between::Open => (clear / WALKWAY.0).min(most),
    }
}

/// Whether an opening leads to a powder room, a closet or another small room.
fn is_small(world: &World, opening: OpeningId) -> bool {
    world.plan.openings[opening].rooms().any(|r| world.plan.rooms[r].usage.is_set_apart())
}

fn way(world: &World, between: [usize; 2], on_way: &[(usize, f64, Between)], path: Path) -> Way {
    let is_walked = |n: &&(usize, f64, Between)| walked(world, n.0).is_some();
    let floor = on_way.iter().filter(is_walked).filter(|(.., b)| !matches!(b, Between::Jambs(_)));
    let narrowest = floor.min_by(|a, b| a.1.total_cmp(&b.1));
    let doors =
        on_way.iter().filter_map(|(.., b)| if let Between::Jambs(o) = b { Some(*o) } else { None });
    let clear = |o: &OpeningId| world.plan.openings[*o].clear;
    let at = narrowest.map_or(0, |n| n.0);
    let p = world.grid.node_xy(at);
    Way {
        between,
        floor: narrowest.map_or(WIDEST, |n| n.1),
        at: (p.x, p.y),
        door: doors.min_by(|a, b| clear(a).total_cmp(&clear(b))),
        path,
    }
}

impl Ways {
    /// Adds what a way leads through: each stretch of narrow floor at its narrowest, and openings.
    fn narrowed(&mut self, world: &World, way: usize, on_way: &[(usize, f64, Between)]) {
        let narrow = |n: &(usize, f64, Between)| {
            matches!(n.2, Between::Edges(_)) && n.1 < FREE && walked(world, n.0).is_some()
        };
        for stretch in on_way.chunk_by(|a, b| narrow(a) == narrow(b)).filter(|s| narrow(&s[0])) {
            let least = stretch.iter().min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((node, clear, Between::Edges(ends))) = least
                && let Some(room) = walked(world, *node)
            {
                let between = ends.map(|end| bound_at(world, end));
                let ways = vec![way];
                self.narrowing(Narrowing { between, ends: *ends, room, clear: *clear, ways });
            }
        }
        for (.., between) in on_way {
            if let Between::Jambs(o) = between {
                self.doorway(world, Some(way), *o);
            }
        }
    }

    fn narrowing(&mut self, new: Narrowing) {
        match self.narrowings.iter_mut().find(|n| is_one_place(n, &new)) {
            Some(known) => {
                known.ways.extend(
                    new.ways
                        .iter()
                        .filter(|w| !known.ways.contains(w))
                        .copied()
                        .collect::<Vec<_>>(),
                );
                if new.clear < known.clear {
                    *known = Narrowing { ways: std::mem::take(&mut known.ways), ..new };
                }
            }
            None => self.narrowings.push(new),
        }
    }

    fn doorway(&mut self, world: &World, way: Option<usize>, opening: OpeningId) {
        let known = match self.doorways.iter().position(|d| d.opening == opening) {
            Some(known) => known,
            None => {
                let asked = if is_small(world, opening) { SMALL_DOOR } else { DOORWAY };
                let clear = world.plan.openings[opening].clear;
                self.doorways.push(Doorway { opening, clear, ways: vec![], asked });
                self.doorways.len() - 1
            }
        };
        let ways = &mut self.doorways[known].ways;
        ways.extend(way.filter(|w| !ways.contains(w)));
    }
}

/// The room a node is in, if guests walk about there: not the powder room, nor a closet.
fn walked(world: &World, node: usize) -> Option<RoomId> {
    let Area::Room(room) = world.grid.area_at_node(node) else { return None };
    let usage = world.plan.rooms[room].usage;
    (!usage.is_private() && usage != Use::Closet).then_some(room)
}

/// Whether two are one place: near each other, or between the same two things, such as the walls of
/// one hall.
fn is_one_place(a: &Narrowing, b: &Narrowing) -> bool {
    let ((ax, ay), (bx, by)) = (a.at(), b.at());
    let same = a.between == b.between || a.between == [b.between[1], b.between[0]];
    (ax - bx).hypot(ay - by) < ONE_PLACE || (same && a.room == b.room)
}
