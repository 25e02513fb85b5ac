//! Rooms guests can be in, how much floor there is, and how many it holds.

use super::{World, usual_pull};
use crate::base::ids::TiVec;
use crate::base::units::{INCH, SQUARE_FOOT};
use crate::evening::scenario::From;
use crate::floor::grid::{Area, walk_in};
use crate::floor::routes::WALL;
use crate::house::plan::{Opening, RoomId, Use};
use crate::house::problem::{BadEvening, BadFloor, Because, Problem};
use geo::{Distance, Euclidean};

impl World {
    /// The most guests who can stand on the clear floor: with more of them no evening is simulated.
    pub fn holds(&self) -> u32 {
        at_densest(self.clear_floor)
    }

    /// What is wrong if the evening's guests do not fit on the floor at all, wherever they can
    /// walk.
    pub fn too_many(&self) -> Option<Problem> {
        let everywhere = self.floor_of(&|room| {
            self.plan.rooms[room].usage != Use::Closet && self.is_reachable_room(room)
        });
        let (guests, most) = (self.scenario.guests, at_densest(everywhere));
        let is_evening = !self.scenario.is_scripted();
        (is_evening && guests > most).then(|| {
            let many = BadEvening::TooManyGuests { guests, most, densest: DENSEST };
            Problem::of_scenario("guests", many)
        })
    }

    /// Whether guests can be in a room: deep enough to stand in, and reachable.
    pub fn is_reachable_room(&self, room: RoomId) -> bool {
        walk_in(&self.plan, room)
            && self.routes.stands(&self.grid).iter().any(|(r, t, _)| {
                let (x, y) = t.point.meters();
                *r == room && self.to_entry(x, y).is_some()
            })
    }

    /// Rooms nobody can reach are a problem.
    pub(super) fn check_rooms(&mut self, problems: &mut Vec<Problem>) {
        for (i, room) in self.plan.named_rooms().iter_enumerated() {
            let shut =
                self.plan.openings.iter_enumerated().any(|(o, op)| !self.open[o] && op.joins(i));
            let served = !walk_in(&self.plan, i);
            if !shut && !served && !self.is_reachable_room(i) {
                let (room, because) = (room.name.clone(), self.why_unreachable(i));
                let unreachable = BadFloor::UnreachableRoom { room, because };
                problems.push(Problem::of_plan(format!("room/{i}"), unreachable));
            }
            let has_opening = self.plan.openings.iter().any(|op| op.joins(i));
            if served && !has_opening {
                let shut = BadFloor::ClosetWithoutOpening { room: room.name.clone() };
                problems.push(Problem::of_plan(format!("room/{i}"), shut));
            }
        }
        self.clear_floor = self.floor_area();
    }

    /// What keeps guests out of a room that nobody can reach.
    fn why_unreachable(&self, room: RoomId) -> Because {
        let plan = &self.plan;
        let openings: Vec<&Opening> = plan.openings.iter().filter(|o| o.joins(room)).collect();
        let near = openings.iter().flat_map(|o| {
            plan.furniture
                .iter()
                .map(move |f| (Euclidean.distance(&geo::Point::from(o.center), &f.outline), f, o))
        });
        if let Some(widest) = openings
            .iter()
            .max_by(|a, b| a.clear.total_cmp(&b.clear))
            .filter(|o| o.clear < NARROWEST)
        {
            let opening = widest.name.clone();
            return Because::NarrowOpening { opening, clear: widest.clear, system: plan.system };
        }
        match near.filter(|n| n.0 < BESIDE_OPENING).min_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((far, f, o)) => Because::PieceBefore {
                piece: f.name.clone(),
                opening: o.name.clone(),
                far,
                system: plan.system,
            },
            None if openings.is_empty() => Because::NoOpening,
            None => Because::Furniture,
        }
    }

    /// Floor of reachable rooms that guests use, less furniture, in m2.
    fn floor_area(&self) -> f64 {
        self.floor_of(&|room| {
            usual_pull(self.plan.rooms[room].usage) > 0.0 && self.is_reachable_room(room)
        })
    }

    /// Floor of some rooms, less furniture, in m2.
    fn floor_of(&self, counts: &dyn Fn(RoomId) -> bool) -> f64 {
        let cell = self.grid.step() * self.grid.step();
        let rooms: TiVec<RoomId, bool> = self.plan.rooms.keys().map(counts).collect();
        let counted = (0..self.grid.len()).filter(|&n| {
            self.grid.clear_at_node(n) > 0.0
                && matches!(self.grid.area_at_node(n), Area::Room(r) if rooms[r])
        });
        counted.count() as f64 * cell
    }

    /// A room is filled with scripted guests to half of what fits at most.
    pub(super) fn check_fill(&self, problems: &mut Vec<Problem>) {
        for (i, errand) in self.scenario.errands.iter().enumerate() {
            let From::Room(name) = &errand.from else {
                continue;
            };
            let Some(room) = self.plan.room(name) else {
                continue;
            };
            let area = self.plan.rooms[room].area();
            let most = (area * FULLEST / 2.0).floor();
            if f64::from(errand.guests) > most.max(1.0) {
                let (guests, room) = (errand.guests, name.clone());
                let full = BadEvening::RoomTooFull { guests, room, most };
                problems.push(Problem::of_scenario(format!("errand/{i}/guests"), full));
            }
        }
    }
}

/// Clear floor a guest below which no evening is simulated, in sq ft: a dense crowd stands at 4.5
/// (Jacobs 1967, from memory).
const DENSEST: f64 = 4.5;

/// Guests on so much floor, in m2, at their densest; one at least.
fn at_densest(floor: f64) -> u32 {
    ((floor / (DENSEST * SQUARE_FOOT)) as u32).max(1)
}

/// A narrower opening lets nobody through, in meters: a turned body and some air on both sides.
const NARROWEST: f64 = 2.0 * WALL as f64;

/// A piece so near the middle of an opening may shut it off, in meters (3 ft).
const BESIDE_OPENING: f64 = 36.0 * INCH;

/// People standing in m2 when no more fit, without pressing (6 per m2, the classic cell of 0.4 m:
/// Burstedde et al. 2001, from memory).
const FULLEST: f64 = 6.0;
