//! Where to: travel-time maps over the lattice. One map over the whole house for each opening, one
//! over its own room for each stand (a point of a coarse lattice); together they give the way from
//! anywhere to any point of floor. Rooms joined by wide openings share their maps: the way through
//! an open plan is straight, however it is drawn. In a hall the map of a stand covers what is near
//! it, and a few far apart cover all of it, so that memory grows with the floor and not with its
//! square.

mod map;
#[cfg(test)]
mod mended;
mod region;
mod stands;

use crate::base::ids::{TiSlice, TiVec};
use crate::base::units::Point;
use crate::floor::grid::{Area, Grid, is_way};
use crate::house::plan::{Opening, OpeningId, Plan, RoomId};
use map::Map;
use region::{Region, SHY};
use stands::{Local, Stand};
use std::sync::{Arc, OnceLock};

/// A walking guest's middle keeps at least this far from walls and furniture, in meters (half of a
/// turned body and some air).
pub const WALL: f32 = 0.15;
/// Stands within this many meters of a point are asked first.
const NEAR_STAND: f64 = 1.5;
/// In a hall the map of a stand reaches this far, in meters east and west, north and south.
const REACH: f64 = 8.0;
/// Half the width of floor where one who backs out of a strait steps aside, in meters.
const ROOM_FOR_TWO: f32 = 0.50;
/// Within this many meters of the target, with the way clear, guests walk straight.
const STRAIGHT: f64 = 1.4;

/// How far the map of a stand in a hall reaches, in nodes.
fn reach(grid: &Grid) -> usize {
    (REACH / grid.step()) as usize
}

/// The lesser of two figures, as far as there are any.
fn least(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    a.into_iter().chain(b).min_by(f64::total_cmp)
}

/// A point guests can be sent to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// The point itself.
    pub point: Point,
    /// Whose map leads there.
    map: Leads,
}

/// The map that leads to a target.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Leads {
    /// Of a stand near it.
    Stand(u32),
    /// Of an opening, to any point of its passage.
    Through(OpeningId),
}

/// Which way and how far.
#[derive(Clone, Copy, Debug)]
pub struct Lead {
    /// Unit vector.
    pub way: (f64, f64),
    /// Seconds at 1 m/s to the target; from afar to the stand near it whose map leads there, which
    /// may be some decimeters nearer or farther.
    pub togo: f64,
    /// Whether the way is straight to the target.
    pub straight: bool,
}

/// All maps of a plan.
pub struct Routes {
    house: Arc<House>,
    /// All floor, for the maps to openings.
    whole: Arc<Region>,
    /// The maps to openings that are ways, once asked for.
    openings: TiVec<OpeningId, Option<OnceLock<Arc<Map>>>>,
    regions: Vec<Arc<Region>>,
    stands: Vec<Stand>,
    /// Stands of each region.
    stands_of: Vec<std::ops::Range<usize>>,
    /// For each opening the nodes of its passage on which people can stand.
    passage_nodes: TiVec<OpeningId, Vec<usize>>,
    narrow: OnceLock<Map>,
    before: Option<Before>,
}

/// What furniture does not change. Regions are those of the rooms, then of the ground outside each
/// opening.
struct House {
    /// Whether each opening is a way.
    ways: TiVec<OpeningId, bool>,
    /// Ways of each region.
    region_ways: Vec<Vec<OpeningId>>,
    rooms: usize,
    /// Region of the passage of each opening.
    passages: TiVec<OpeningId, usize>,
}

impl House {
    fn region_of(&self, area: Area) -> Option<usize> {
        match area {
            Area::Room(r) => Some(r.into()),
            Area::Outside(o) => Some(self.rooms + usize::from(o)),
            Area::Passage(o) => Some(self.passages[o]),
            Area::None => None,
        }
    }
}

/// The maps of the same house with other furniture: those of rooms that are as they were are shared,
/// the others mended.
#[derive(Clone)]
struct Before {
    routes: Arc<Routes>,
    /// The nodes of the lattice that take another time to cross, or none any more.
    everywhere: Arc<[usize]>,
    /// For each region the nodes of the lattice at which it was otherwise.
    changed: Vec<Arc<[usize]>>,
}

impl Before {
    /// The stand at the node of another.
    fn stand(&self, s: &Stand) -> Option<u32> {
        let mut of_region = self.routes.stands_of[s.region].clone();
        of_region.find(|&i| self.routes.stands[i].node == s.node).map(|i| i as u32)
    }
}

impl Routes {
    /// Lays the floor out for maps, which are made when first asked for.
    pub fn new(plan: &Plan, open: &TiSlice<OpeningId, bool>, grid: &Grid) -> Routes {
        let ways: Vec<OpeningId> =
            plan.openings.keys().filter(|&o| is_way(plan, o, open)).collect();
        let (regions, region_ways) = region::regions(plan, grid, &ways).into_iter().unzip();
        let passage = |(o, opening): (OpeningId, &Opening)| {
            if opening.is_wide() && !opening.to_outside() {
                usize::from(opening.inner)
            } else {
                plan.rooms.len() + usize::from(o)
            }
        };
        let house = House {
            ways: plan.openings.keys().map(|o| ways.contains(&o)).collect(),
            region_ways,
            rooms: plan.rooms.len(),
            passages: plan.openings.iter_enumerated().map(passage).collect(),
        };
        Routes::laid(grid, house.into(), Region::whole(grid).into(), regions, None)
    }

    /// The maps of the same house with other furniture, given the nodes of the lattice at which the
    /// distance to the nearest edge is another.
    pub fn refurnished(self: &Arc<Routes>, grid: &Grid, changed: &[usize]) -> Routes {
        let (whole, differing) = self.whole.mended(grid, changed);
        let (regions, changed) = region::mended(&self.regions, grid, &differing);
        let before = Before { routes: self.clone(), everywhere: differing, changed };
        Routes::laid(grid, self.house.clone(), whole, regions, Some(before))
    }

    fn laid(
        grid: &Grid,
        house: Arc<House>,
        whole: Arc<Region>,
        regions: Vec<Arc<Region>>,
        before: Option<Before>,
    ) -> Routes {
        let stands = stands::laid(grid, |area| house.region_of(area));
        let of = |r: usize| {
            stands.partition_point(|s| s.region < r)..stands.partition_point(|s| s.region <= r)
        };
        Routes {
            whole,
            openings: house.ways.iter().map(|way| way.then(OnceLock::new)).collect(),
            stands_of: (0..regions.len()).map(of).collect(),
            regions,
            stands,
            passage_nodes: region::passages(grid, house.ways.len()),
            narrow: OnceLock::new(),
            house,
            before,
        }
    }

    /// The same with no maps made yet.
    pub fn unasked(&self) -> Routes {
        Routes {
            house: self.house.clone(),
            whole: self.whole.clone(),
            openings: self.house.ways.iter().map(|way| way.then(OnceLock::new)).collect(),
            regions: self.regions.clone(),
            stands: self.stands.iter().map(Stand::unasked).collect(),
            stands_of: self.stands_of.clone(),
            passage_nodes: self.passage_nodes.clone(),
            narrow: OnceLock::new(),
            before: self.before.clone(),
        }
    }

    /// The map to an opening, if it is a way.
    fn opening(&self, grid: &Grid, opening: OpeningId) -> Option<&Map> {
        let map = self.openings[opening].as_ref()?.get_or_init(|| {
            let to = &self.passage_nodes[opening];
            let before = self.before.as_ref().and_then(|before| {
                Some((before, before.routes.openings[opening].as_ref()?.get()?))
            });
            match before {
                Some((before, map)) if before.everywhere.is_empty() => map.clone(),
                Some((before, map)) => map.mended(grid, &self.whole, to, &before.everywhere).into(),
                None => Map::solve(grid, &self.whole, to).into(),
            }
        });
        Some(map)
    }

    /// A target at a point of floor; `None` if the point is in a wall or no stand of its area leads
    /// there.
    pub fn target(&self, grid: &Grid, x: f64, y: f64) -> Option<Target> {
        if grid.clearance(x, y) < WALL - 0.01 {
            return None;
        }
        let region = self.house.region_of(grid.area_at(x, y))?;
        let away = |s: usize| {
            let p = grid.node_xy(self.stands[s].node);
            ((p.x - x) * (p.x - x) + (p.y - y) * (p.y - y), s)
        };
        let mut near: Vec<(f64, usize)> = self.stands_of[region]
            .clone()
            .map(away)
            .filter(|n| n.0 < NEAR_STAND * NEAR_STAND)
            .collect();
        if near.is_empty() {
            near = self.stands_of[region].clone().map(away).collect();
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let seen = near.iter().find(|(_, s)| {
            let p = grid.node_xy(self.stands[*s].node);
            grid.is_clear_line((x, y), (p.x, p.y), 0.10)
        });
        let stand = seen.or(near.first())?.1 as u32;
        Some(Target { point: Point::from_meters(x, y), map: Leads::Stand(stand) })
    }

    /// Every stand as a target, with its room and the share of its square that is floor.
    pub fn stands(&self, grid: &Grid) -> Vec<(RoomId, Target, f64)> {
        let in_rooms = self.stands.iter().enumerate().filter(|(_, s)| s.region < self.house.rooms);
        in_rooms
            .map(|(i, s)| {
                (
                    RoomId::from(s.region),
                    Target { point: grid.node_point(s.node), map: Leads::Stand(i as u32) },
                    s.share,
                )
            })
            .collect()
    }

    /// The passage of an opening as a target: any point of it will do.
    pub fn through(&self, opening: OpeningId, middle: Point) -> Target {
        Target { point: middle, map: Leads::Through(opening) }
    }

    fn local(&self, grid: &Grid, stand: u32) -> &Arc<Local> {
        let s = &self.stands[stand as usize];
        s.map.get_or_init(|| match self.unchanged(grid, s) {
            Some((before, same)) => before.local(grid, same).clone(),
            None => self.local_of(grid, s).into(),
        })
    }

    fn local_of(&self, grid: &Grid, s: &Stand) -> Local {
        let region = &self.regions[s.region];
        let to = |o: OpeningId, map: &Map| map.at_passage(grid, &self.passage_nodes[o]);
        let rest = |to: &dyn Fn(OpeningId) -> Option<f64>| {
            self.house.region_ways[s.region].iter().filter_map(|&o| Some((o, to(o)?))).collect()
        };
        if !region.is_small(grid) {
            let window = region.window(grid, s.node, reach(grid));
            let map = self.map_to(grid, &window, s, Stand::near);
            let p = grid.node_xy(self.stands[s.far as usize].node);
            if let Some(far) = map.value(grid, p.x, p.y) {
                let whole = self.whole(grid, s.far);
                let rest = rest(&|o| least(to(o, &map), to(o, whole).map(|t| t + far)));
                return Local { map, rest, far: Some(far) };
            }
        }
        let map = self.map_to(grid, region, s, Stand::near);
        let rest = rest(&|o| to(o, &map));
        Local { map, rest, far: None }
    }

    fn whole(&self, grid: &Grid, stand: u32) -> &Arc<Map> {
        let s = &self.stands[stand as usize];
        s.whole.get_or_init(|| match self.unchanged(grid, s) {
            Some((before, same)) => before.whole(grid, same).clone(),
            None => self.map_to(grid, &self.regions[s.region], s, Stand::whole).into(),
        })
    }

    /// The map of a region to a stand: mended, if there is one of the house before.
    fn map_to<'a>(
        &'a self,
        grid: &Grid,
        region: &Region,
        s: &Stand,
        of: impl Fn(&'a Stand) -> Option<&'a Map>,
    ) -> Map {
        let before = self.before.as_ref().and_then(|before| {
            let stand = before.stand(s)?;
            let map = of(&before.routes.stands[stand as usize])?;
            map.covers(region).then(|| (map, &before.changed[s.region]))
        });
        match before {
            Some((map, changed)) => map.mended(grid, region, &[s.node], changed),
            None => Map::solve(grid, region, &[s.node]),
        }
    }

    /// The same stand in the house before, if its room was as it is.
    fn unchanged(&self, grid: &Grid, s: &Stand) -> Option<(&Routes, u32)> {
        let before = self.before.as_ref().filter(|b| b.changed[s.region].is_empty())?;
        let same = before.stand(s)?;
        let far = |routes: &Routes, s: &Stand| routes.stands[s.far as usize].node;
        let leads_there = self.regions[s.region].is_small(grid)
            || far(self, s) == far(&before.routes, &before.routes.stands[same as usize]);
        leads_there.then_some((&before.routes, same))
    }

    /// Travel times that are kept if guests go everywhere in the rooms.
    pub fn most_times(&self, grid: &Grid) -> usize {
        let in_rooms = self.stands.iter().enumerate().filter(|(_, s)| s.region < self.house.rooms);
        let times = |(i, s): (usize, &Stand)| {
            let region = &self.regions[s.region];
            let whole = !region.is_small(grid) && s.far == i as u32;
            region.nodes_of_a_map(grid, reach(grid)) + if whole { region.nodes() } else { 0 }
        };
        in_rooms.map(times).sum::<usize>() + self.openings.iter().flatten().count() * grid.len()
    }

    /// The way from a point to a target; `None` where there is none.
    pub fn lead(&self, grid: &Grid, x: f64, y: f64, target: &Target) -> Option<Lead> {
        match target.map {
            Leads::Stand(stand) => self.lead_to_point(grid, x, y, target.point, stand),
            Leads::Through(o) => {
                let (way, togo) = self.opening(grid, o)?.lead(grid, x, y)?;
                Some(Lead { way, togo, straight: false })
            }
        }
    }

    fn lead_to_point(&self, grid: &Grid, x: f64, y: f64, point: Point, stand: u32) -> Option<Lead> {
        let (tx, ty) = point.meters();
        let (dx, dy) = (tx - x, ty - y);
        let distance = (dx * dx + dy * dy).sqrt();
        if distance < 1e-3 {
            return Some(Lead { way: (0.0, 0.0), togo: 0.0, straight: true });
        }
        if distance < STRAIGHT
            && grid.is_clear_line(
                (x, y),
                (tx, ty),
                (WALL - 0.02).min(grid.clearance(tx, ty) - 0.005).min(grid.clearance(x, y) - 0.005),
            )
        {
            return Some(Lead {
                way: (dx / distance, dy / distance),
                togo: distance,
                straight: true,
            });
        }
        let local = self.local(grid, stand);
        if let Some((way, togo)) = local.map.lead(grid, x, y) {
            return Some(Lead { way, togo, straight: false });
        }
        let far = local.far.and_then(|rest| {
            Some((self.whole(grid, self.stands[stand as usize].far).lead(grid, x, y)?, rest))
        });
        if let Some(((way, togo), rest)) = far {
            return Some(Lead { way, togo: togo + rest, straight: false });
        }
        let via = local
            .rest
            .iter()
            .filter_map(|&(o, rest)| Some((self.opening(grid, o)?.value(grid, x, y)? + rest, o)));
        let (togo, o) = via.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
        let (way, _) = self.opening(grid, o)?.lead(grid, x, y)?;
        Some(Lead { way, togo, straight: false })
    }

    /// Seconds at 1 m/s from a point to the passage of an opening; `None` if there is no way.
    pub fn to_opening(&self, grid: &Grid, x: f64, y: f64, opening: OpeningId) -> Option<f64> {
        self.opening(grid, opening)?.value(grid, x, y)
    }

    /// The points of the way from a point down to an opening, every `pace` meters, and on to its
    /// outer side at most `most` points; stairs end it.
    pub fn path_to_opening(
        &self,
        grid: &Grid,
        from: (f64, f64),
        opening: OpeningId,
        pace: f64,
        most: usize,
    ) -> Vec<(f64, f64)> {
        let Some(map) = self.opening(grid, opening) else {
            return vec![];
        };
        let mut path = vec![];
        let (mut x, mut y) = from;
        let small = 0.05;
        let mut gone = 0.0;
        while path.len() < most {
            let Some((way, togo)) = map.descend(grid, x, y) else {
                break;
            };
            if togo < 0.02
                || (way.0 == 0.0 && way.1 == 0.0)
                || grid.twin(grid.nearest_node(x, y)).is_some()
            {
                break;
            }
            (x, y, gone) = (x + way.0 * small, y + way.1 * small, gone + small);
            if gone + 1e-9 >= pace {
                path.push((x, y));
                gone = 0.0;
            }
        }
        path
    }

    /// Seconds to the nearest floor with room for two, and the way there.
    pub fn to_room_for_two(&self, grid: &Grid, x: f64, y: f64) -> Option<((f64, f64), f64)> {
        let map = self.narrow.get_or_init(|| {
            let wide: Vec<usize> =
                (0..grid.len()).filter(|&n| grid.clear_at_node(n) >= ROOM_FOR_TWO).collect();
            Map::solve(grid, &self.whole, &wide)
        });
        map.descend(grid, x, y)
    }
}

#[cfg(test)]
mod tests {
    use super::stands::STAND_PITCH;
    use super::*;
    use crate::base::units::FOOT;
    use crate::floor::small_house::{house, point};
    use crate::floor::world::World;

    /// Feet to walk from one point in feet to another, if there is a way.
    fn feet(world: &World, from: (f64, f64), to: (f64, f64)) -> Option<f64> {
        let ((x, y), (to_x, to_y)) = (point(from).meters(), point(to).meters());
        let target = world.routes.target(&world.grid, to_x, to_y)?;
        Some(world.routes.lead(&world.grid, x, y, &target)?.togo / FOOT)
    }

    /// Whether a way is as long as it should be. It leads to a stand near its end, so it may be
    /// longer or shorter by the pitch of stands; near walls people walk slower.
    fn is_about(found: Option<f64>, feet: f64) -> bool {
        found.is_some_and(|found| (found - feet).abs() <= STAND_PITCH / FOOT)
    }

    #[test]
    fn over_open_floor_the_way_is_straight() {
        let world = house("");
        for (to, way) in [((20.0, 15.0), 11.0), ((15.0, 4.0), 5.0), ((15.0, 10.0), 61f64.sqrt())] {
            let found = feet(&world, (20.0, 4.0), to);
            assert!(is_about(found, way), "{found:?} ft to {to:?}, not {way:.2}");
        }
    }

    #[test]
    fn round_a_table_the_way_is_longer_and_through_a_door_it_goes_on() {
        let world = house("");
        // round the east end of the table, at (11, 6) and (11, 8.5), a shoulder off it
        let round = 2.0 * (3f64.powi(2) + 2f64.powi(2)).sqrt() + 2.5 + 2.0 * f64::from(WALL) / FOOT;
        let found = feet(&world, (8.0, 4.0), (8.0, 10.5));
        assert!(is_about(found, round), "{found:?} ft, not {round:.2}");
        let found = feet(&world, (20.0, 3.0), (26.5, 3.0));
        assert!(is_about(found, 6.5), "{found:?} ft through the door");
    }

    #[test]
    fn there_is_no_way_into_a_wall_or_through_a_closed_door() {
        let world = house("");
        assert_eq!(feet(&world, (20.0, 4.0), (11.0, 19.0)), None, "the bar is there");
        let open: &TiSlice<OpeningId, bool> = (&[true, false] as &[bool]).as_ref();
        let grid = Grid::new(&world.plan, open, world.grid.step());
        let routes = Routes::new(&world.plan, open, &grid);
        let (x, y) = point((20.0, 4.0)).meters();
        assert_eq!(routes.to_opening(&grid, x, y, OpeningId::from(1)), None);
        assert!(routes.to_opening(&grid, x, y, OpeningId::FIRST).is_some());
    }
}
