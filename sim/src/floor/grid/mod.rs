//! The floor as a lattice: clear floor as exact polygons, and at every lattice node the true
//! distance to the nearest wall or piece of furniture. Widths are never rounded: the lattice only
//! samples an exact distance.

mod distance;
mod outline;

pub(super) use outline::apron;
pub use outline::{APRON_ASIDE, APRON_DEPTH, is_way, walk_in};

use crate::base::ids::{TiSlice, TiVec};
use crate::base::units::{Point, UNIT};
use crate::house::plan::{OpeningId, Plan, RoomId};
use distance::FAR;
use geo::{BoundingRect, Coord, MultiPolygon, Polygon};
use std::sync::Arc;

/// A line is looked at this often where walls are near, in meters: less than any wall is thick;
/// between two looks the distance to a wall can be less than at both by half of it at most.
const FINEST: f64 = 0.08;
/// Looks of [`Grid::reach`] at most.
const LOOKS: usize = 6;
/// A passage covers at least this much on the way through, in meters, so that nodes lie in it
/// however thin the wall.
const LEAST_PASSAGE: f64 = 0.16;

/// A node that is not on stairs.
const NO_TWIN: u32 = u32::MAX;

/// An area of floor: a room, the wall thickness of an opening, or the ground outside a way out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Area {
    /// In a wall, or nowhere.
    None,
    /// A room by index.
    Room(RoomId),
    /// The passage of an opening by index.
    Passage(OpeningId),
    /// The ground outside an opening by index.
    Outside(OpeningId),
}

/// The lattice.
#[derive(Clone)]
pub struct Grid {
    /// Units between nodes.
    pub pitch: i32,
    /// Position of node (0, 0).
    pub origin: Point,
    /// Nodes from west to east.
    pub width: usize,
    /// Nodes from south to north.
    pub height: usize,
    /// Origin in meters, and nodes in a meter.
    west: f64,
    south: f64,
    per_meter: f64,
    /// Clear floor: exact polygons in meters.
    pub floor: MultiPolygon<f64>,
    /// Signed distance to the nearest edge of clear floor at each node, in meters, at most 1 m;
    /// negative off the floor.
    clear: Vec<f32>,
    /// What furniture does not change.
    house: Arc<Empty>,
}

/// The house without furniture on the lattice.
struct Empty {
    floor: MultiPolygon<f64>,
    /// The area of each node.
    area: Vec<Area>,
    /// The same point of stairs on their other level, for nodes on stairs; empty in a house
    /// without.
    twins: Vec<u32>,
    /// How much slower a meter is on the floor of each room.
    slower: TiVec<RoomId, f32>,
}

impl Grid {
    /// Lays the lattice over a plan. `open` tells which openings are open; `cell` is the pitch in
    /// meters.
    pub fn new(plan: &Plan, open: &TiSlice<OpeningId, bool>, cell: f64) -> Grid {
        let ways: Vec<OpeningId> =
            plan.openings.keys().filter(|&o| is_way(plan, o, open)).collect();
        let aprons = outline::aprons(plan, &ways);
        let empty = outline::empty_floor(plan, &ways, &aprons);
        let pitch = ((cell / UNIT).round() as i32).max(1);
        let (low, high) = extent(plan, &aprons);
        let size = |span: f64| ((span / UNIT / f64::from(pitch)).ceil() as usize) + 1;
        let origin = Point::from_meters(low.x, low.y);
        let (west, south) = origin.meters();
        let mut grid = Grid {
            pitch,
            origin,
            west,
            south,
            per_meter: 1.0 / (f64::from(pitch) * UNIT),
            width: size(high.x - low.x),
            height: size(high.y - low.y),
            floor: outline::clear_floor(&empty, plan),
            clear: vec![],
            house: Arc::new(Empty {
                floor: empty,
                area: vec![],
                twins: vec![],
                slower: TiVec::new(),
            }),
        };
        let area = grid.areas(plan, &ways, &aprons);
        grid.house = Arc::new(grid.with_stairs(plan, area));
        grid.clear = grid.distances(&outline::edges(&grid.floor.0));
        grid
    }

    /// The lattice over the same house with other furniture, and the nodes whose distance to the
    /// nearest edge is another there.
    pub fn refurnished(&self, plan: &Plan) -> (Grid, Vec<usize>) {
        let mut grid = self.clone();
        grid.floor = outline::clear_floor(&self.house.floor, plan);
        let [old, new] = [&self.floor, &grid.floor].map(|floor| outline::edges(&floor.0));
        let mut clear = std::mem::take(&mut grid.clear);
        grid.measure_again(&mut clear, &old, &new);
        let changed = (0..clear.len()).filter(|&n| clear[n] != self.clear[n]).collect();
        (Grid { clear, ..grid }, changed)
    }

    /// The area of each node: passages before rooms, rooms before the ground outside.
    fn areas(
        &self,
        plan: &Plan,
        ways: &[OpeningId],
        aprons: &[(OpeningId, MultiPolygon<f64>)],
    ) -> Vec<Area> {
        let mut area = vec![Area::None; self.width * self.height];
        for (o, ground) in aprons {
            ground.iter().for_each(|p| self.paint(&mut area, p, Area::Outside(*o)));
        }
        for r in plan.rooms.keys().filter(|&r| walk_in(plan, r)) {
            self.paint(&mut area, &plan.rooms[r].outline, Area::Room(r));
        }
        for &o in ways {
            let opening = &plan.openings[o];
            let reach = f64::max(0.0, LEAST_PASSAGE - opening.depth) / 2.0;
            let passage = opening.box_of(opening.clear, reach);
            self.paint(&mut area, &passage, Area::Passage(o));
        }
        area
    }

    /// Joins the two copies of stairs and slows them.
    fn with_stairs(&self, plan: &Plan, area: Vec<Area>) -> Empty {
        let mut slower: TiVec<RoomId, f32> = plan.rooms.iter().map(|_| 1.0).collect();
        let mut twins = vec![];
        for stairs in &plan.stairs {
            twins.resize(area.len(), NO_TWIN);
            let across = plan.across(stairs);
            let mean = (stairs.pace(1.0, true) + stairs.pace(1.0, false)) / 2.0;
            stairs.rooms.iter().for_each(|&r| slower[r] = (1.0 / mean) as f32);
            let [low, high] = stairs.rooms.map(Area::Room);
            for n in (0..area.len()).filter(|&n| area[n] == low) {
                let p = self.node_xy(n);
                let twin = self.nearest_node(p.x, p.y + across);
                if area[twin] == high {
                    (twins[n], twins[twin]) = (twin as u32, n as u32);
                }
            }
        }
        Empty { floor: self.house.floor.clone(), area, twins, slower }
    }

    /// The node of the same point of stairs on their other level.
    pub fn twin(&self, n: usize) -> Option<usize> {
        self.house.twins.get(n).filter(|&&t| t != NO_TWIN).map(|&t| t as usize)
    }

    /// How much slower than on the flat a meter is at a node, to and fro in the mean.
    pub fn slower_at_node(&self, n: usize) -> f32 {
        match self.house.area[n] {
            Area::Room(r) => self.house.slower[r],
            _ => 1.0,
        }
    }

    fn paint(&self, areas: &mut [Area], polygon: &Polygon<f64>, area: Area) {
        let Some(ends) = polygon.bounding_rect() else {
            return;
        };
        let (_, rows) = self.nodes_within([ends.min().x, ends.min().y, ends.max().x, ends.max().y]);
        let edges = outline::edges(std::slice::from_ref(polygon));
        self.each_inside(&edges, rows, |n| areas[n] = area);
    }

    /// Metres of a node.
    pub fn node_xy(&self, n: usize) -> Coord<f64> {
        let (i, j) = ((n % self.width) as i32, (n / self.width) as i32);
        Coord {
            x: f64::from(self.origin.x + i * self.pitch) * UNIT,
            y: f64::from(self.origin.y + j * self.pitch) * UNIT,
        }
    }

    /// Position of a node.
    pub fn node_point(&self, n: usize) -> Point {
        let (i, j) = ((n % self.width) as i32, (n / self.width) as i32);
        Point { x: self.origin.x + i * self.pitch, y: self.origin.y + j * self.pitch }
    }

    /// Distance between nodes in meters.
    pub fn step(&self) -> f64 {
        f64::from(self.pitch) * UNIT
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.clear.len()
    }

    /// Whether there are no nodes.
    pub fn is_empty(&self) -> bool {
        self.clear.is_empty()
    }

    /// Distance to the nearest edge at a node, in meters.
    pub fn clear_at_node(&self, n: usize) -> f32 {
        self.clear[n]
    }

    /// The area of a node.
    pub fn area_at_node(&self, n: usize) -> Area {
        self.house.area[n]
    }

    /// The south-west node of the lattice square a point is in, and how far into it (0..1); `None`
    /// off the lattice.
    pub fn square(&self, x: f64, y: f64) -> Option<(usize, f32, f32)> {
        let (fx, fy) = ((x - self.west) * self.per_meter, (y - self.south) * self.per_meter);
        if fx < 0.0 || fy < 0.0 {
            return None;
        }
        let (i, j) = (fx as u32 as usize, fy as u32 as usize);
        (i + 1 < self.width && j + 1 < self.height)
            .then(|| (j * self.width + i, (fx - i as f64) as f32, (fy - j as f64) as f32))
    }

    /// The nearest node to a point, clamped to the lattice.
    pub fn nearest_node(&self, x: f64, y: f64) -> usize {
        let (i, j) = self.nearest(x, y);
        j * self.width + i
    }

    /// Which of the nodes from west to east, and from south to north, it is.
    pub fn nearest(&self, x: f64, y: f64) -> (usize, usize) {
        let (fx, fy) = ((x - self.west) * self.per_meter, (y - self.south) * self.per_meter);
        let clamp = |f: f64, n: usize| ((f + 0.5) as u32 as usize).min(n - 1);
        (clamp(fx, self.width), clamp(fy, self.height))
    }

    /// The area a point is in (of the nearest node).
    pub fn area_at(&self, x: f64, y: f64) -> Area {
        self.house.area[self.nearest_node(x, y)]
    }

    /// Distance from a point to the nearest wall or piece, in meters; exact beside straight edges,
    /// within 5 mm at corners, at most 1 m, negative in walls and furniture.
    pub fn clearance(&self, x: f64, y: f64) -> f32 {
        let Some((n, fx, fy)) = self.square(x, y) else {
            return -FAR;
        };
        let corners = &self.clear[n..n + self.width + 2];
        let low = corners[0] + (corners[1] - corners[0]) * fx;
        let (west, east) = (corners[self.width], corners[self.width + 1]);
        let high = west + (east - west) * fx;
        low + (high - low) * fy
    }

    /// Distance from a point to the nearest edge along a unit vector, up to `most` meters.
    pub fn reach(&self, x: f64, y: f64, along: (f64, f64), most: f64) -> f64 {
        let mut gone = 0.0;
        for _ in 0..LOOKS {
            let free = f64::from(self.clearance(x + along.0 * gone, y + along.1 * gone));
            if free < 0.004 {
                break;
            }
            gone += free;
            if gone >= most {
                return most;
            }
        }
        gone.min(most)
    }

    /// Whether the straight way between two points keeps `margin` meters from every edge.
    pub fn is_clear_line(&self, a: (f64, f64), b: (f64, f64), margin: f32) -> bool {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        let mut gone = 0.0;
        loop {
            let share = if length > 0.0 { gone / length } else { 0.0 };
            let free = self.clearance(a.0 + dx * share, a.1 + dy * share);
            if free < margin {
                return false;
            }
            if gone >= length {
                return true;
            }
            gone = (gone + f64::from(free - margin).max(FINEST)).min(length);
        }
    }
}

fn extent(plan: &Plan, aprons: &[(OpeningId, MultiPolygon<f64>)]) -> (Coord<f64>, Coord<f64>) {
    let [w, s, e, n] = plan.bounds();
    let outside = aprons.iter().flat_map(|(_, g)| g.iter()).flat_map(|p| p.exterior().coords());
    let (low, high) = outside.fold((Coord { x: w, y: s }, Coord { x: e, y: n }), |(l, h), c| {
        (Coord { x: l.x.min(c.x), y: l.y.min(c.y) }, Coord { x: h.x.max(c.x), y: h.y.max(c.y) })
    });
    const MARGIN: f64 = 0.16;
    (
        Coord { x: low.x - MARGIN, y: low.y - MARGIN },
        Coord { x: high.x + MARGIN, y: high.y + MARGIN },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::{FOOT, INCH};
    use crate::floor::small_house::{house, point};

    /// Feet of clear floor round a point in feet.
    fn clear(grid: &Grid, feet: (f64, f64)) -> f64 {
        let (x, y) = point(feet).meters();
        f64::from(grid.clearance(x, y)) / FOOT
    }

    #[test]
    fn clear_floor_is_measured_to_the_nearest_wall_or_piece() {
        let grid = house("").grid;
        for (at, feet) in [
            // 24 by 20 ft, the bar 2 ft deep at the north wall, the table 8 ft by 30 in at (3, 6)
            ((21.0, 10.0), 3.0),
            ((2.0, 16.0), 2.0),
            ((11.5, 15.0), 3.0),
            ((7.0, 4.0), 2.0),
            ((7.0, 11.0), 2.5),
            ((14.0, 9.5), 10.0_f64.powf(0.5)),
        ] {
            let found = clear(&grid, at);
            assert!((found - feet).abs() * FOOT < INCH, "{found:.2} ft at {at:?}, not {feet:.2}");
        }
        assert_eq!(clear(&grid, (18.0, 12.0)), 1.0 / FOOT, "farther than 1 m nobody looks");
    }

    #[test]
    fn nobody_stands_in_a_wall_or_in_a_piece() {
        let grid = house("").grid;
        for at in [(-0.2, 10.0), (7.0, 7.0), (11.5, 19.0)] {
            assert!(clear(&grid, at) <= 0.0, "{at:?}");
        }
    }

    #[test]
    fn every_point_knows_its_room_its_opening_or_that_it_has_none() {
        let grid = house("").grid;
        let area = |feet: (f64, f64)| {
            let (x, y) = point(feet).meters();
            grid.area_at(x, y)
        };
        assert_eq!(area((12.0, 10.0)), Area::Room(RoomId::from(0)));
        assert_eq!(area((26.0, 3.0)), Area::Room(RoomId::from(1)));
        assert_eq!(area((24.19, 3.0)), Area::Passage(OpeningId::from(1)));
        assert_eq!(area((12.0, -2.0)), Area::Outside(OpeningId::from(0)));
        assert_eq!(area((40.0, 40.0)), Area::None);
    }

    #[test]
    fn what_stands_between_hides() {
        let grid = house("").grid;
        let sees = |a, b| grid.is_clear_line(point(a).meters(), point(b).meters(), 0.0);
        assert!(sees((2.0, 2.0), (22.0, 2.0)));
        assert!(!sees((7.0, 4.0), (7.0, 11.0)), "the table is between");
    }
}
