//! The floor as a lattice: clear floor as exact polygons, and at every lattice node the true
//! distance to the nearest wall or piece of furniture. Widths are never rounded: the lattice only
//! samples an exact distance.

use crate::base::units::{FOOT, Point, UNIT};
use crate::house::plan::{LEAF_THICKNESS, LEVER, LEVER_DEPTH, Opening, Plan, Use};
use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon};

/// Distances are known up to this many meters.
const FAR: f32 = 1.0;
/// A line is looked at this often where walls are near, in meters: less than any wall is thick;
/// between two looks the distance to a wall can be less than at both by half of it at most.
const FINEST: f64 = 0.08;
/// Looks of [`Grid::reach`] at most.
const LOOKS: usize = 6;
/// A closet less than this deep or wide is served from the floor before it, in meters (3 ft: a 2 ft
/// rod and room to stand).
pub const WALK_IN: f64 = 3.0 * FOOT;
/// Depth of the ground outside a way out that guests can stand on, in meters.
pub const APRON_DEPTH: f64 = 1.8;
/// How far it reaches beyond the opening on either side, in meters: a step and some walk beside it.
pub const APRON_ASIDE: f64 = 1.5;

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
    Room(u16),
    /// The passage of an opening by index.
    Passage(u16),
    /// The ground outside an opening by index.
    Outside(u16),
}

/// The lattice.
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
    /// The area of each node.
    area: Vec<Area>,
    /// The same point of stairs on their other level, for nodes on stairs; empty in a house
    /// without.
    twins: Vec<u32>,
    /// How much slower a meter is on the floor of each room.
    slower: Vec<f32>,
}

/// Whether guests can stand in a room.
pub fn walk_in(plan: &Plan, room: usize) -> bool {
    let r = &plan.rooms[room];
    r.usage != Use::Closet || r.narrow_side() >= WALK_IN
}

/// Whether an opening is a way for guests: open, and no shallow closet behind it.
pub fn is_way(plan: &Plan, opening: usize, open: &[bool]) -> bool {
    open[opening] && plan.openings[opening].rooms.iter().flatten().all(|&r| walk_in(plan, r))
}

/// The ground outside a way out.
fn apron(opening: &Opening) -> Polygon<f64> {
    let (half, near, far) = (
        opening.clear / 2.0 + APRON_ASIDE,
        opening.depth / 2.0 - 0.001,
        opening.depth / 2.0 + APRON_DEPTH,
    );
    let corners =
        [(-half, near), (half, near), (half, far), (-half, far)].map(|(a, t)| opening.point(a, t));
    Polygon::new(LineString::from(corners.to_vec()), vec![])
}

/// What the open leaves of an opening take: each stands in the opening with its edge, up to the
/// clear width, and its lever in the way.
fn leaf_boxes(opening: &Opening) -> Vec<Polygon<f64>> {
    let boxes = opening.leaves.iter().filter(|l| l.stands).flat_map(|leaf| {
        let unit = |from: Coord<f64>, to: Coord<f64>| {
            ((to.x - from.x) / leaf.width(), (to.y - from.y) / leaf.width())
        };
        let (across, out) = (unit(leaf.hinge, leaf.shut), unit(leaf.hinge, leaf.open));
        let at = |(into, along): (f64, f64)| Coord {
            x: leaf.hinge.x + across.0 * into + out.0 * along,
            y: leaf.hinge.y + across.1 * into + out.1 * along,
        };
        let piece = |into: [f64; 2], along: [f64; 2]| {
            let corners = [
                (into[0], along[0]),
                (into[1], along[0]),
                (into[1], along[1]),
                (into[0], along[1]),
            ]
            .map(at);
            Polygon::new(LineString::from(corners.to_vec()), vec![])
        };
        // the clear width is counted from its face
        let face = (opening.sold - opening.clear) / 2.0;
        let lever = LEVER.map(|from_edge| leaf.width() - from_edge);
        [
            piece([face - LEAF_THICKNESS, face], [0.0, leaf.width()]),
            piece([face, face + LEVER_DEPTH], lever),
        ]
    });
    boxes.collect()
}

impl Grid {
    /// Lays the lattice over a plan. `open` tells which openings are open; `cell` is the pitch in
    /// meters.
    pub fn new(plan: &Plan, open: &[bool], cell: f64) -> Grid {
        let ways: Vec<usize> =
            (0..plan.openings.len()).filter(|&o| is_way(plan, o, open)).collect();
        let pitch = ((cell / UNIT).round() as i32).max(1);
        let rooms: Vec<usize> = (0..plan.rooms.len()).filter(|&r| walk_in(plan, r)).collect();
        let aprons: Vec<(usize, MultiPolygon<f64>)> = ways
            .iter()
            .filter(|&&o| plan.openings[o].to_outside())
            .map(|&o| (o, clear_apron(plan, o)))
            .collect();
        let floor = clear_floor(plan, &rooms, &ways, &aprons);
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
            floor,
            clear: vec![],
            area: vec![],
            twins: vec![],
            slower: plan.rooms.iter().map(|_| 1.0).collect(),
        };
        grid.clear = grid.distances();
        grid.area = vec![Area::None; grid.clear.len()];
        for (o, ground) in &aprons {
            ground.iter().for_each(|p| grid.paint(p, Area::Outside(*o as u16)));
        }
        for &r in &rooms {
            grid.paint(&plan.rooms[r].outline, Area::Room(r as u16));
        }
        for &o in &ways {
            let opening = &plan.openings[o];
            let reach = f64::max(0.0, LEAST_PASSAGE - opening.depth) / 2.0;
            grid.paint(&opening.box_of(opening.clear, reach), Area::Passage(o as u16));
        }
        grid.lay_stairs(plan);
        grid
    }

    /// Joins the two copies of stairs and slows them.
    fn lay_stairs(&mut self, plan: &Plan) {
        for stairs in &plan.stairs {
            self.twins.resize(self.area.len(), NO_TWIN);
            let across = plan.across(stairs);
            let mean = (stairs.pace(1.0, true) + stairs.pace(1.0, false)) / 2.0;
            stairs.rooms.iter().for_each(|&r| self.slower[r] = (1.0 / mean) as f32);
            for n in 0..self.area.len() {
                let shift = match self.area[n] {
                    Area::Room(r) if usize::from(r) == stairs.rooms[0] => across,
                    Area::Room(r) if usize::from(r) == stairs.rooms[1] => -across,
                    _ => continue,
                };
                let p = self.node_xy(n);
                self.twins[n] = self.nearest_node(p.x, p.y + shift) as u32;
            }
        }
    }

    /// The node of the same point of stairs on their other level.
    pub fn twin(&self, n: usize) -> Option<usize> {
        self.twins.get(n).filter(|&&t| t != NO_TWIN).map(|&t| t as usize)
    }

    /// How much slower than on the flat a meter is at a node, to and fro in the mean.
    pub fn slower_at_node(&self, n: usize) -> f32 {
        match self.area[n] {
            Area::Room(r) => self.slower[r as usize],
            _ => 1.0,
        }
    }

    fn paint(&mut self, polygon: &Polygon<f64>, area: Area) {
        let (width, height) = (self.width, self.height);
        let inside = self.inside(std::slice::from_ref(polygon));
        (0..width * height).filter(|&n| inside[n]).for_each(|n| self.area[n] = area);
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
        self.area[n]
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
        let (fx, fy) = ((x - self.west) * self.per_meter, (y - self.south) * self.per_meter);
        let clamp = |f: f64, n: usize| (f.round().max(0.0) as usize).min(n - 1);
        clamp(fy, self.height) * self.width + clamp(fx, self.width)
    }

    /// The area a point is in (of the nearest node).
    pub fn area_at(&self, x: f64, y: f64) -> Area {
        self.area[self.nearest_node(x, y)]
    }

    /// Distance from a point to the nearest wall or piece, in meters; exact beside straight edges,
    /// within 5 mm at corners, at most 1 m, negative in walls and furniture.
    pub fn clearance(&self, x: f64, y: f64) -> f32 {
        let Some((n, fx, fy)) = self.square(x, y) else {
            return -FAR;
        };
        let (a, b) = (&self.clear[n..n + 2], &self.clear[n + self.width..n + self.width + 2]);
        let low = a[0] + (a[1] - a[0]) * fx;
        let high = b[0] + (b[1] - b[0]) * fx;
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

    /// Nodes inside polygons, by crossings along each row.
    fn inside(&self, polygons: &[Polygon<f64>]) -> Vec<bool> {
        let mut inside = vec![false; self.width * self.height];
        let lines: Vec<_> = polygons
            .iter()
            .flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()))
            .flat_map(|r| r.lines())
            .collect();
        let x0 = f64::from(self.origin.x) * UNIT;
        let mut hits: Vec<f64> = vec![];
        for j in 0..self.height {
            let y = f64::from(self.origin.y + j as i32 * self.pitch) * UNIT;
            hits.clear();
            hits.extend(lines.iter().filter(|l| (l.start.y <= y) != (l.end.y <= y)).map(|l| {
                l.start.x + (l.end.x - l.start.x) * (y - l.start.y) / (l.end.y - l.start.y)
            }));
            hits.sort_by(f64::total_cmp);
            for pair in hits.chunks_exact(2) {
                let from = ((pair[0] - x0) / self.step()).ceil().max(0.0) as usize;
                let to = ((pair[1] - x0) / self.step()).floor();
                (from..self.width)
                    .take_while(|&i| i as f64 <= to)
                    .for_each(|i| inside[j * self.width + i] = true);
            }
        }
        inside
    }

    fn distances(&self) -> Vec<f32> {
        let mut distance = vec![FAR; self.width * self.height];
        let rings =
            self.floor.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
        for line in rings.flat_map(LineString::lines) {
            self.stamp(&mut distance, line.start, line.end);
        }
        let inside = self.inside(&self.floor.0);
        distance
            .iter_mut()
            .zip(&inside)
            .filter(|(_, inside)| !**inside)
            .for_each(|(d, _)| *d = -*d);
        distance
    }

    /// Lowers the distance of all nodes near a segment.
    fn stamp(&self, distance: &mut [f32], a: Coord<f64>, b: Coord<f64>) {
        let (x0, y0, step, far) = (
            f64::from(self.origin.x) * UNIT,
            f64::from(self.origin.y) * UNIT,
            self.step(),
            f64::from(FAR),
        );
        let range = |low: f64, high: f64, zero: f64, n: usize| {
            let from = ((low - far - zero) / step).floor().max(0.0) as usize;
            let to = (((high + far - zero) / step).ceil().max(0.0) as usize).min(n - 1);
            from..=to
        };
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let squared = dx * dx + dy * dy;
        for j in range(a.y.min(b.y), a.y.max(b.y), y0, self.height) {
            for i in range(a.x.min(b.x), a.x.max(b.x), x0, self.width) {
                let (px, py) = (x0 + i as f64 * step - a.x, y0 + j as f64 * step - a.y);
                let share = if squared > 0.0 {
                    ((px * dx + py * dy) / squared).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let (ex, ey) = (px - dx * share, py - dy * share);
                let d = (ex * ex + ey * ey).sqrt() as f32;
                let at = &mut distance[j * self.width + i];
                *at = at.min(d);
            }
        }
    }
}

fn clear_apron(plan: &Plan, opening: usize) -> MultiPolygon<f64> {
    let ground = MultiPolygon::new(vec![apron(&plan.openings[opening])]);
    plan.rooms.iter().fold(ground, |ground, room| ground.difference(&room.outline))
}

fn clear_floor(
    plan: &Plan,
    rooms: &[usize],
    ways: &[usize],
    aprons: &[(usize, MultiPolygon<f64>)],
) -> MultiPolygon<f64> {
    let mut floor = MultiPolygon::new(vec![]);
    for polygon in rooms.iter().map(|&r| &plan.rooms[r].outline) {
        floor = floor.union(polygon);
    }
    for (_, ground) in aprons {
        floor = floor.union(ground);
    }
    for &o in ways {
        floor = floor.union(&plan.openings[o].passage());
    }
    for piece in plan.furniture.iter().filter(|f| walk_in(plan, f.room)) {
        floor = floor.difference(&piece.outline);
    }
    for leaf in ways.iter().flat_map(|&o| leaf_boxes(&plan.openings[o])) {
        floor = floor.difference(&leaf);
    }
    floor
}

fn extent(plan: &Plan, aprons: &[(usize, MultiPolygon<f64>)]) -> (Coord<f64>, Coord<f64>) {
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
        assert_eq!(area((12.0, 10.0)), Area::Room(0));
        assert_eq!(area((26.0, 3.0)), Area::Room(1));
        assert_eq!(area((24.19, 3.0)), Area::Passage(1));
        assert_eq!(area((12.0, -2.0)), Area::Outside(0));
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
