//! Who sees whom: lines of sight between standing points, past what is lower than eyes.

use crate::base::units::INCH;
use crate::floor::grid::Area;
use crate::floor::world::World;
use crate::house::plan::{Opening, Plan, RoomId, Style, Use, Window};
use crate::review::places::hubs::{Hub, Role, is_walked};
use crate::review::verdict::{AtLeast, Verdict};
use geo::orient::{Direction, Orient};
use geo::{MultiPolygon, Polygon, unary_union};

/// Eyes of people who stand are so high, in meters (63 in: adults of both sexes in the mean, from
/// memory).
pub const STANDING: f64 = 63.0 * INCH;
/// Eyes of people who sit, in meters (48 in: the same).
pub const SITTING: f64 = 48.0 * INCH;

/// What can be seen in a house from one height.
pub struct Outlook {
    /// What one can see through: rooms, and openings and windows between them.
    pub open: MultiPolygon<f64>,
    /// Pieces at least as high as the eyes.
    pub tall: Vec<Polygon<f64>>,
    edges: Vec<[(f64, f64); 2]>,
}

/// Openings reach so far into their rooms that floors join without a seam, in meters.
const SEAM: f64 = 0.01;

impl Outlook {
    /// From eyes at a height in meters.
    pub fn new(world: &World, eyes: f64) -> Outlook {
        let plan = &world.plan;
        let rooms = plan.rooms.iter().map(|r| r.outline.clone());
        let openings = plan
            .openings
            .iter_enumerated()
            .filter(|(o, opening)| is_seen_through(plan, opening, world.open[*o]))
            .map(|(_, opening)| match is_glass(plan, opening) {
                true => opening.frame_box(SEAM),
                false => opening.passage(),
            });
        let windows = plan.windows.iter().map(pane);
        let all: Vec<Polygon<f64>> = rooms.chain(openings).chain(windows).collect();
        let open = unary_union(&all);
        let tall: Vec<Polygon<f64>> =
            plan.furniture.iter().filter(|f| f.height >= eyes).map(|f| f.outline.clone()).collect();
        let rings = open.iter().chain(&tall);
        let rings = rings.flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
        let edges = rings.flat_map(|r| r.lines());
        let edges = edges.map(|l| [(l.start.x, l.start.y), (l.end.x, l.end.y)]).collect();
        Outlook { open, tall, edges }
    }

    /// Whether nothing is between two points of floor.
    pub fn sees(&self, a: (f64, f64), b: (f64, f64)) -> bool {
        !self.edges.iter().any(|&[c, d]| cross(a, b, c, d))
    }

    /// How many of some points see at least one of others.
    pub fn seeing(&self, from: &[(f64, f64)], what: &[(f64, f64)]) -> usize {
        from.iter().filter(|&&a| what.iter().any(|&b| self.sees(a, b))).count()
    }

    /// Share of pairs of points that see each other.
    pub fn share(&self, from: &[(f64, f64)], to: &[(f64, f64)]) -> f64 {
        let seen: usize =
            from.iter().map(|&a| to.iter().filter(|&&b| self.sees(a, b)).count()).sum();
        seen as f64 / (from.len() * to.len()).max(1) as f64
    }
}

/// Whether two segments have a point in common.
fn cross(a: (f64, f64), b: (f64, f64), c: (f64, f64), d: (f64, f64)) -> bool {
    let side = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| {
        (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0)
    };
    let apart = |low: f64, high: f64, c: f64, d: f64| c.max(d) < low || c.min(d) > high;
    if apart(a.0.min(b.0), a.0.max(b.0), c.0, d.0) || apart(a.1.min(b.1), a.1.max(b.1), c.1, d.1) {
        return false;
    }
    side(a, b, c) * side(a, b, d) <= 0.0 && side(c, d, a) * side(c, d, b) <= 0.0
}

/// Doors of glass to the outdoors are seen through when they are shut; inside, doors stand open but
/// for those of closets and private rooms.
fn is_seen_through(plan: &Plan, o: &Opening, is_open: bool) -> bool {
    let shut = o.rooms().any(|r| {
        let usage = plan.rooms[r].usage;
        usage.is_private() || usage == Use::Closet
    });
    is_glass(plan, o) || (!shut && !o.to_outside() && (is_open || o.style == Style::Cased))
}

fn is_glass(plan: &Plan, o: &Opening) -> bool {
    let outdoors = o.rooms().any(|r| plan.rooms[r].usage == Use::Outdoors);
    outdoors && matches!(o.style, Style::Sliding | Style::Folding | Style::Double)
}

/// The wall that a window takes the place of.
fn pane(w: &Window) -> Polygon<f64> {
    let (ux, uy) = (w.along.0 * w.width / 2.0, w.along.1 * w.width / 2.0);
    let half = w.depth / 2.0 + SEAM;
    let (ox, oy) = (-w.along.1 * half, w.along.0 * half);
    let c = w.center;
    let corners = [
        (c.x - ux - ox, c.y - uy - oy),
        (c.x + ux - ox, c.y + uy - oy),
        (c.x + ux + ox, c.y + uy + oy),
        (c.x - ux + ox, c.y - uy + oy),
    ];
    Polygon::new(corners.to_vec().into(), vec![]).orient(Direction::Default)
}

/// Standing points of a hub at most.
const MOST_POINTS: usize = 200;

/// Points of a hub's floor where somebody could stand, evenly spread, in meters.
pub fn standing_points(world: &World, hub: &Hub) -> Vec<(f64, f64)> {
    spread(world, hub.bounds, &|n| hub.has(world, n))
}

/// The same of a room, given its bounds.
pub fn standing_points_of(world: &World, room: RoomId, bounds: [f64; 4]) -> Vec<(f64, f64)> {
    spread(world, bounds, &|n| world.grid.area_at_node(n) == Area::Room(room))
}

fn spread(world: &World, bounds: [f64; 4], has: &dyn Fn(usize) -> bool) -> Vec<(f64, f64)> {
    let (columns, rows) = world.grid.nodes_within(bounds);
    let nodes = |apart: usize| {
        let (columns, rows) = (columns.clone().step_by(apart), rows.clone().step_by(apart));
        let all = rows.flat_map(move |j| columns.clone().map(move |i| (i, j)));
        all.map(|(i, j)| j * world.grid.width + i)
            .filter(|&n| is_walked(world, n) && has(n))
            .collect::<Vec<_>>()
    };
    let mut apart = 1;
    let mut chosen = nodes(apart);
    while chosen.len() > MOST_POINTS {
        apart += 1;
        chosen = nodes(apart);
    }
    chosen
        .into_iter()
        .map(|n| {
            let p = world.grid.node_xy(n);
            (p.x, p.y)
        })
        .collect()
}

/// How much of each other two hubs see.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// The hubs, by number.
    pub between: [usize; 2],
    /// Whether one of them is the kitchen.
    pub of_kitchen: bool,
    /// Share of pairs of standing points that see each other.
    pub share: f64,
}

/// Who stands in one room sees most of the other, or hardly anything: our own yardstick. Designers
/// ask that the cook stays with the guests, and give no figure; between other rooms they ask nothing,
/// so those are tight at worst.
pub const ENOUGH: AtLeast = AtLeast(0.05, 0.30);

impl Sight {
    /// Against our own yardstick.
    pub fn verdict(&self) -> Verdict {
        match ENOUGH.of(self.share) {
            Verdict::Fails if !self.of_kitchen => Verdict::Tight,
            verdict => verdict,
        }
    }
}

/// Lines of sight between kitchen, dining, living and outdoors, of each sort the first.
pub fn sights(world: &World, outlook: &Outlook, hubs: &[Hub]) -> Vec<Sight> {
    let roles = [Role::Kitchen, Role::Dining, Role::Living, Role::Outdoors];
    let of = |role: Role| hubs.iter().position(|h| h.role == role);
    let there: Vec<usize> = roles.into_iter().filter_map(of).collect();
    let level = |h: usize| world.plan.rooms[hubs[h].room].level;
    let points: Vec<_> = there.iter().map(|&h| standing_points(world, &hubs[h])).collect();
    let mut found = vec![];
    for a in 0..there.len() {
        for b in a + 1..there.len() {
            if level(there[a]) == level(there[b]) {
                let share = outlook.share(&points[a], &points[b]);
                let between = [there[a], there[b]];
                let of_kitchen = between.iter().any(|&h| hubs[h].role == Role::Kitchen);
                found.push(Sight { between, of_kitchen, share });
            }
        }
    }
    found
}
