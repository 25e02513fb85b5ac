//! One step of one walker: how fast, which way, and what to try when stuck. Reads the floor,
//! changes nothing.

mod ladder;
mod near;
mod params;
mod speed;

use crate::base::units::{Point, Tick, seconds, ticks};
use crate::crowd::bodies::{BodyId, Floor, Neighbor, Reach};
use crate::floor::routes::{Lead, Target, WALL};
use crate::floor::world::World;
use near::Near;
use params::*;
use speed::Sight;

pub use ladder::{make_room, shift};

/// Whether the rest of somebody's step or squeeze passes within `keep` meters of a point.
pub fn passes_near(other: Neighbor, at: Point, keep: f64, now: Tick) -> bool {
    let points: Vec<(f64, f64)> = std::iter::once(other.at(now)).chain(other.route()).collect();
    points.windows(2).any(|w| near::point_to_segment(at.meters(), w[0], w[1]) < keep)
}

/// What a walker does next.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Steps to a point, arriving after so many ticks.
    Go(Point, Tick),
    /// Stands for so many ticks.
    Wait(Tick),
    /// Gets past somebody: both go along their points, so many ticks a piece.
    Squeeze {
        /// Past whom.
        with: BodyId,
        /// The walker's points.
        mine: Vec<Point>,
        /// The other's points.
        theirs: Vec<Point>,
        /// Ticks for each piece.
        piece: Tick,
    },
    /// Turns back to floor with room for two.
    BackOut(Tick),
}

/// A step, and what it cost.
#[derive(Clone, Debug)]
pub struct Step {
    /// What to do.
    pub act: Act,
    /// Somebody standing who is asked to make room.
    pub ask: Option<BodyId>,
    /// Who bound the speed.
    pub blocker: Option<BodyId>,
    /// Metres nearer to the destination.
    pub gained: f64,
    /// Metres an empty floor would have given.
    pub could: f64,
    /// Direction of the way.
    pub way: (f64, f64),
    /// Whether at less than half the free pace.
    pub slow: bool,
    /// Seconds at 1 m/s still to go before this step.
    pub togo: f64,
}

impl Step {
    /// Ticks the step takes.
    pub fn ticks(&self) -> Tick {
        match &self.act {
            Act::Go(_, t) | Act::Wait(t) | Act::BackOut(t) => *t,
            Act::Squeeze { mine, piece, .. } => *piece * mine.len() as Tick,
        }
    }

    /// Ticks lost to somebody: time less progress at the pace the same guest has there alone.
    pub fn lost(&self) -> Tick {
        match self.blocker {
            Some(_) if self.could > 0.0 => {
                let share = (1.0 - self.gained / self.could).clamp(0.0, 1.0);
                (self.ticks() as f64 * share + 0.5) as Tick
            }
            _ => 0,
        }
    }
}

/// Scratch space kept between steps.
#[derive(Default)]
pub struct Eyes(Vec<Near>);

/// A candidate direction weighed.
struct Choice {
    score: f64,
    pace: f64,
    to: (f64, f64),
    time: f64,
    heading: (f64, f64),
}

/// The next step of a walker toward a target.
pub fn step(
    floor: &Floor,
    world: &World,
    eyes: &mut Eyes,
    id: BodyId,
    target: &Target,
    now: Tick,
) -> Step {
    let me = &floor.bodies[id];
    let at = me.at(now);
    let lead = lead(floor, world, id, target, now);
    near::look(floor, id, lead.way, now, &mut eyes.0);
    let mut sight = Sight::new(world, me, at, &lead, &eyes.0, now);
    let alone = sight.alone;
    let straight = sight.pace(lead.way);
    sight.straight = straight.pace;
    let stuck = me.stuck_for(now);
    let choice = choose(floor, world, &sight, &lead, id, stuck >= SQUEEZE_AFTER);
    let blocker = if straight.pace < UNBOUND * alone {
        straight.blocker.or(sight.nearest_ahead())
    } else {
        None
    };
    let free = choice.filter(|c| c.pace >= BLOCKED_PACE);
    let walks_on = free.is_some() && stuck < FACED_AFTER;
    let tried = if walks_on {
        None
    } else {
        ladder::next(floor, world, &sight, &lead, id, stuck, now, free.is_none())
    };
    match (tried, free) {
        (None, Some(c)) => {
            // whoever stands in the way is asked while there is still room to go on
            let ask = (straight.pace < YIELDS_BELOW * alone)
                .then(|| sight.standing_in_the_way())
                .flatten();
            Step { ask, ..go(&sight, &lead, c, blocker) }
        }
        (tried, _) => {
            let act = tried.unwrap_or(Act::Wait(ticks(LOOK_AGAIN)));
            let ask = (stuck >= ASK_AFTER).then(|| sight.standing_in_the_way()).flatten();
            stand_or_try(at, &lead, act, ask, alone, blocker.or(sight.nearest_ahead()))
        }
    }
}

/// The cost of standing, or of one of the things a stuck guest tries.
fn stand_or_try(
    at: (f64, f64),
    lead: &Lead,
    act: Act,
    ask: Option<BodyId>,
    alone: f64,
    blocker: Option<BodyId>,
) -> Step {
    let gained = match &act {
        Act::Go(to, _) => along(at, to.meters(), lead.way),
        Act::Squeeze { mine, .. } => mine.last().map_or(0.0, |to| along(at, to.meters(), lead.way)),
        _ => 0.0,
    };
    let mut step =
        Step { act, ask, blocker, gained, could: 0.0, way: lead.way, slow: true, togo: lead.togo };
    step.could = alone * seconds(step.ticks());
    step
}

fn along(from: (f64, f64), to: (f64, f64), way: (f64, f64)) -> f64 {
    (to.0 - from.0) * way.0 + (to.1 - from.1) * way.1
}

/// The way: to the target; when backing out, to room for two, or straight back where there is room
/// but too many people.
fn lead(floor: &Floor, world: &World, id: BodyId, target: &Target, now: Tick) -> Lead {
    let me = &floor.bodies[id];
    let (x, y) = me.at(now);
    let lead = world.routes.lead(&world.grid, x, y, target).unwrap_or(Lead {
        way: (0.0, 0.0),
        togo: 0.0,
        straight: false,
    });
    if me.backing.is_none_or(|until| until <= now) {
        return lead;
    }
    match world.routes.to_room_for_two(&world.grid, x, y) {
        Some((way, togo)) if togo > 0.02 && !is_barred(floor, id, (x, y), way, now) => {
            Lead { way, togo, straight: false }
        }
        _ => Lead { way: (-lead.way.0, -lead.way.1), togo: BACK, straight: false },
    }
}

/// Whether somebody stands right before a walker in a direction.
fn is_barred(floor: &Floor, id: BodyId, at: (f64, f64), way: (f64, f64), now: Tick) -> bool {
    let mut barred = false;
    floor.near(floor.bodies[id].to, Reach::ALL, id, |other| {
        let (x, y) = other.at(now);
        let rel = (x - at.0, y - at.1);
        barred |= now >= other.body.end
            && speed::dot(rel, way) > 0.0
            && rel.0.hypot(rel.1) < BARS
            && speed::cross(way, rel).abs() < CORE_TURNED;
    });
    barred
}

fn go(sight: &Sight, lead: &Lead, c: Choice, blocker: Option<BodyId>) -> Step {
    let (at, alone, free) = (sight.at, sight.alone, sight.pace);
    let to = Point::from_meters(at.0 + c.to.0, at.1 + c.to.1);
    let time = ticks(c.time).max(1);
    let gained = c.to.0 * lead.way.0 + c.to.1 * lead.way.1;
    Step {
        act: Act::Go(to, time),
        ask: None,
        blocker,
        gained,
        could: alone * seconds(time),
        way: lead.way,
        slow: c.pace < 0.5 * free,
        togo: lead.togo,
    }
}

/// Of a fan of headings the one with the most progress at its speed.
fn choose(
    floor: &Floor,
    world: &World,
    sight: &Sight,
    lead: &Lead,
    id: BodyId,
    stuck: bool,
) -> Option<Choice> {
    let heading = floor.bodies[id].heading;
    let (fx, fy) = lead.way;
    if fx == 0.0 && fy == 0.0 {
        return None;
    }
    let mut best: Option<Choice> = None;
    for (k, &(cos, sin)) in FAN.iter().enumerate() {
        for side in [-1.0, 1.0] {
            if k == 0 && side > 0.0 {
                continue;
            }
            let h = (fx * cos - fy * sin * side, fx * sin * side + fy * cos);
            let turn = if heading == (0.0, 0.0) {
                0.0
            } else {
                (1.0 - (h.0 * heading.0 + h.1 * heading.1)) / 2.0
            };
            let worth = cos - sight.tilt * sin * side - TURNING * turn;
            let beaten = best.as_ref().map_or(0.0, |b| b.score);
            if worth <= 0.0 || sight.alone * worth <= beaten * WORTH_TRYING {
                continue;
            }
            let pace =
                if k == 0 { sight.straight } else { sight.pace_above(h, beaten / worth).pace };
            let score = pace * worth;
            if pace <= 0.0 || best.as_ref().is_some_and(|b| score <= b.score) {
                continue;
            }
            let most = if cos < ASIDE || stuck { SMALL_STEP } else { LONGEST };
            if let Some((to, time)) = legal_step(floor, world, sight, lead, h, pace, most) {
                best = Some(Choice { score, pace, to, time, heading: h });
            }
        }
    }
    best.filter(|b| b.score > 0.0 || b.heading == lead.way)
}

/// A step at a pace along a heading that ends on floor and hits nobody, shortened once if it has to
/// be.
fn legal_step(
    floor: &Floor,
    world: &World,
    sight: &Sight,
    lead: &Lead,
    h: (f64, f64),
    pace: f64,
    most: f64,
) -> Option<((f64, f64), f64)> {
    let time = if pace >= UNBOUND * sight.pace && h == lead.way {
        sight.free_for(h, pace).clamp(STEP, LONG_STEP)
    } else if pace < SLOW {
        1.5 * STEP
    } else {
        STEP
    };
    let wish = (pace * time).clamp(SHORTEST, most);
    let wish = if lead.straight { wish.min(lead.togo) } else { wish };
    let mut length = wish;
    for _ in 0..3 {
        let to = (h.0 * length, h.1 * length);
        let end = (sight.at.0 + to.0, sight.at.1 + to.1);
        let time = length / pace;
        let at_target = lead.straight && h == lead.way && length >= lead.togo;
        let margin = WALL.min(sight.clear).min(if at_target {
            world.grid.clearance(end.0, end.1)
        } else {
            WALL
        });
        let in_the_open = f64::from(sight.clear) - length >= f64::from(WALL);
        let on_floor = in_the_open
            || world.grid.clearance(end.0, end.1) >= margin
                && (length < 0.15 || world.grid.is_clear_line(sight.at, end, passing(margin)));
        if on_floor && near::hit(floor, sight.near, sight.at, to, time, CORE).is_none() {
            return Some((to, time));
        }
        length /= 2.0;
        if length < SHORTEST {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::{FOOT, TICKS};
    use crate::crowd::bodies::{Body, Doing};
    use crate::floor::small_house::{house, point};

    fn floor(world: &World) -> Floor {
        Floor::new(&world.plan, &world.grid, false)
    }

    /// Somebody who stands at a point in feet from the parlor's south-west corner.
    fn stand(floor: &mut Floor, person: u32, feet: (f64, f64)) -> BodyId {
        floor.enter(Body::standing(person, point(feet), 1.3, 0))
    }

    /// A walk that was taken, others standing where they are.
    struct Walked {
        /// Where it ended, in feet.
        at: (f64, f64),
        /// Seconds it took.
        took: f64,
        /// The nearest it came to anybody on the way, in meters.
        nearest: f64,
    }

    /// Walks somebody toward a point in feet, for so many seconds at most.
    fn walk(world: &World, floor: &mut Floor, id: BodyId, to: (f64, f64), most: u64) -> Walked {
        let (x, y) = point(to).meters();
        let target = world.routes.target(&world.grid, x, y);
        let (mut eyes, mut now, mut nearest) = (Eyes::default(), 0, f64::INFINITY);
        while let Some(target) = target.filter(|_| now < most * TICKS) {
            if floor.bodies[id].at(now) == (x, y) {
                break;
            }
            let next = step(floor, world, &mut eyes, id, &target, now);
            floor.bodies[id].gets_on(next.togo, now);
            if let Act::Go(to, ticks) = next.act {
                floor.step(id, to, now, now + ticks);
            }
            let end = now + next.ticks();
            while now < end {
                nearest = nearest.min(to_others(floor, id, now));
                now = (now + TICKS / 32).min(end);
            }
        }
        let (x, y) = floor.bodies[id].at(now);
        Walked { at: (x / FOOT, y / FOOT), took: seconds(now), nearest }
    }

    /// Meters to the nearest other body.
    fn to_others(floor: &Floor, id: BodyId, now: Tick) -> f64 {
        let (x, y) = floor.bodies[id].at(now);
        let others =
            floor.ids().filter(|&other| other != id).map(|other| floor.bodies[other].at(now));
        others.map(|(ox, oy)| (ox - x).hypot(oy - y)).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn alone_a_guest_walks_straight_at_their_own_pace() {
        let world = house("");
        let mut floor = floor(&world);
        let id = stand(&mut floor, 0, (19.0, 3.0));
        let walked = walk(&world, &mut floor, id, (19.0, 17.0), 20);
        let pace = 14.0 * FOOT / walked.took;
        assert!((1.2..=1.4).contains(&pace), "{pace} m/s at a free pace of 1.3");
        assert!((walked.at.0 - 19.0).hypot(walked.at.1 - 17.0) < 0.1, "{:?}", walked.at);
    }

    #[test]
    fn a_guest_goes_round_furniture_and_arrives() {
        let world = house("");
        let mut floor = floor(&world);
        let id = stand(&mut floor, 0, (7.0, 4.0));
        let there = walk(&world, &mut floor, id, (7.0, 11.0), 20).at;
        assert!((there.0 - 7.0).hypot(there.1 - 11.0) < 0.2, "{there:?}");
    }

    #[test]
    fn a_guest_gets_past_somebody_who_stands_and_never_into_them() {
        let world = house("");
        let mut floor = floor(&world);
        let other = stand(&mut floor, 1, (14.0, 9.0));
        floor.does(other, Doing::Talk);
        let id = stand(&mut floor, 0, (14.0, 3.0));
        let walked = walk(&world, &mut floor, id, (14.0, 15.0), 20);
        assert!((walked.at.0 - 14.0).hypot(walked.at.1 - 15.0) < 0.3, "{:?}", walked.at);
        assert!((CORE_TURNED..1.0).contains(&walked.nearest), "{} m", walked.nearest);
    }

    #[test]
    fn who_cannot_get_past_stops_a_body_behind() {
        // a door 30 in wide with somebody in it
        let world = house("");
        let mut floor = floor(&world);
        let other = stand(&mut floor, 1, (24.2, 3.0));
        floor.does(other, Doing::Talk);
        let id = stand(&mut floor, 0, (18.0, 3.0));
        walk(&world, &mut floor, id, (27.0, 3.0), 4);
        let gap = floor.bodies[id].to.distance(floor.bodies[other].to);
        assert!((CORE_CREEPING..=0.60).contains(&gap), "{gap} m");
    }
}
