//! How the house opens to the outdoors: how much of the wall opens, what the patio adds in floor and
//! in ways out.

use crate::base::units::{FOOT, INCH};
use crate::house::plan::{Opening, OpeningId, Plan, Room, Use};
use crate::review::verdict::{AtLeast, Verdict};
use geo::{Distance, Euclidean, Intersects, Line, Point};

/// The rooms guests gather in against the floor outdoors.
#[derive(Clone, Debug, PartialEq)]
pub struct Openness {
    /// Wall between rooms that guests gather in and the floor outdoors, in meters.
    pub wall: f64,
    /// Clear width of the openings in it, in meters.
    pub opens: f64,
    /// These openings.
    pub doors: Vec<OpeningId>,
    /// Floor of the rooms guests gather in, in m2.
    pub inside: f64,
    /// Floor outdoors, in m2.
    pub outdoors: f64,
    /// Ways out of these rooms: to the floor outdoors and to the ground.
    pub ways_out: usize,
}

/// Wide patio doors: 6 ft clear let two pairs pass each other (four people abreast take 88.6 in,
/// two 45.3: British metric design data); a 6 ft slider opens 33 in, one person at a time (common
/// practice).
const OPENS: AtLeast = AtLeast(36.0 * INCH, 72.0 * INCH);

impl Openness {
    /// Against wide patio doors.
    pub fn verdict(&self) -> Verdict {
        OPENS.length(self.opens)
    }

    /// Share of that wall that opens.
    pub fn share(&self) -> f64 {
        if self.wall > 0.0 { (self.opens / self.wall).min(1.0) } else { 0.0 }
    }
}

/// Walls are looked at this often, in meters.
const STEP: f64 = INCH;
/// Rooms farther apart than this share no wall, in meters (18 in).
const SHARE: f64 = 18.0 * INCH;

/// How the house opens; `None` where the plan draws no floor outdoors.
pub fn openness(plan: &Plan) -> Option<Openness> {
    let outdoors: Vec<&Room> = plan.rooms.iter().filter(|r| r.usage == Use::Outdoors).collect();
    if outdoors.is_empty() {
        return None;
    }
    let inside = plan.rooms.iter().filter(|r| r.usage.gathers());
    let wall = inside.clone().map(|r| shared(r, &outdoors)).sum();
    let is_out = |o: &Opening| {
        o.rooms().any(|r| plan.rooms[r].usage.gathers())
            && o.rooms().any(|r| plan.rooms[r].usage == Use::Outdoors)
    };
    let doors: Vec<OpeningId> =
        plan.openings.iter_enumerated().filter(|(_, o)| is_out(o)).map(|(i, _)| i).collect();
    let to_ground = plan.ways_out().filter(|(_, o)| plan.rooms[o.inner].usage.gathers()).count();
    Some(Openness {
        wall,
        opens: doors.iter().map(|&o| plan.openings[o].clear).sum(),
        ways_out: doors.len() + to_ground,
        doors,
        inside: inside.map(Room::area).sum(),
        outdoors: outdoors.iter().map(|r| r.area()).sum(),
    })
}

/// Length of a room's outline that some rooms lie behind, in meters.
fn shared(room: &Room, behind: &[&Room]) -> f64 {
    let lines = room.outline.exterior().lines();
    lines.map(|l| behind_line(&l, behind)).sum()
}

fn behind_line(line: &Line<f64>, behind: &[&Room]) -> f64 {
    let (dx, dy) = (line.dx(), line.dy());
    let length = dx.hypot(dy);
    if length < FOOT / 2.0 {
        return 0.0;
    }
    let steps = (length / STEP).ceil().max(1.0);
    let is_behind = |k: u32| {
        let share = (f64::from(k) + 0.5) / steps;
        // counter-clockwise: the wall is on the right
        let (x, y) = (line.start.x + dx * share, line.start.y + dy * share);
        let out = (dy / length * SHARE, -dx / length * SHARE);
        let through = Line::new((x, y), (x + out.0, y + out.1));
        behind.iter().any(|r| {
            r.outline.intersects(&through)
                && Euclidean.distance(&Point::new(x, y), &r.outline) < SHARE
        })
    };
    let found = (0..steps as u32).filter(|&k| is_behind(k)).count();
    length * found as f64 / steps
}
