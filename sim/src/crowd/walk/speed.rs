//! How fast: the least of the free pace, what the time gap to people ahead allows, and what the
//! free width allows.

use super::near::Near;
use super::params::*;
use crate::base::units::{Tick, seconds};
use crate::crowd::bodies::{Body, BodyId, Doing};
use crate::floor::routes::Lead;
use crate::floor::world::World;

/// Where things stand at the moment of a step.
#[derive(Clone, Copy)]
pub(super) struct Sight<'a> {
    pub near: &'a [Near],
    pub at: (f64, f64),
    pub way: (f64, f64),
    /// Distance to the nearest edge here.
    pub clear: f32,
    pub pace: f64,
    /// Free width to the walls on the left and right of the way.
    sides: (f64, f64),
    /// Pace here with nobody present.
    pub alone: f64,
    /// Pace straight on.
    pub straight: f64,
    /// Whether somebody comes.
    pub oncoming: bool,
    /// Pull to the right, as a share of progress.
    pub tilt: f64,
    /// Lateral offset to which people ahead count in full, and from which they do not count.
    files: (f64, f64),
    pub world: &'a World,
}

/// A pace and who bounds it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound {
    pub pace: f64,
    pub blocker: Option<BodyId>,
}

impl Bound {
    fn lower(&mut self, pace: f64, by: BodyId) {
        if pace < self.pace {
            *self = Bound { pace: pace.max(0.0), blocker: Some(by) };
        }
    }
}

impl<'a> Sight<'a> {
    pub(super) fn new(
        world: &'a World,
        me: &Body,
        at: (f64, f64),
        lead: &Lead,
        near: &'a [Near],
        now: Tick,
    ) -> Sight<'a> {
        let way = lead.way;
        let oncoming = near.iter().any(|n| {
            n.comes
                && dot(n.rel, way) > 0.0
                && cross(way, n.rel).abs() < COMES_WITHIN
                && n.is_seen(world, at)
        });
        let patience = if oncoming { PRESSED_MEETING } else { PRESSED_AFTER };
        let slow =
            me.slow_since.is_some_and(|since| seconds(now.saturating_sub(since)) >= patience);
        let files = if slow { (0.0, BESIDE_PRESSED) } else { (IN_LINE, BESIDE) };
        let clear = world.grid.clearance(at.0, at.1);
        let pace = pace(world, me, at, way);
        let tilt =
            KEEP_RIGHT * near.iter().map(|n| n.pulls(world, at, way, me.pace)).fold(0.0, f64::max);
        let mut sight = Sight {
            near,
            at,
            way,
            clear,
            pace,
            sides: (SIDE, SIDE),
            alone: pace,
            straight: pace,
            oncoming,
            tilt,
            files,
            world,
        };
        sight.sides = sight.walls(way);
        sight.alone = sight.by_width(between_walls(sight.sides));
        sight
    }

    /// Free width to the walls on the left and right of a heading, up to [`SIDE`] each, a little
    /// ahead.
    fn walls(&self, h: (f64, f64)) -> (f64, f64) {
        if f64::from(self.clear) >= SIDE + LOOKS_AHEAD {
            return (SIDE, SIDE);
        }
        let (x, y) = (self.at.0 + h.0 * LOOKS_AHEAD, self.at.1 + h.1 * LOOKS_AHEAD);
        if f64::from(self.world.grid.clearance(x, y)) >= SIDE {
            return (SIDE, SIDE);
        }
        (
            self.world.grid.reach(x, y, (-h.1, h.0), SIDE),
            self.world.grid.reach(x, y, (h.1, -h.0), SIDE),
        )
    }

    fn by_width(&self, width: f64) -> f64 {
        (SQUEEZED + PER_WIDTH * (width - TIGHT)).max(FLOOR_PACE).min(self.pace)
    }

    /// The pace along a heading.
    pub(super) fn pace(&self, h: (f64, f64)) -> Bound {
        self.pace_above(h, -1.0)
    }

    /// The pace along a heading, or some pace at or below `least` once it is clear that it is no
    /// more.
    pub(super) fn pace_above(&self, h: (f64, f64), least: f64) -> Bound {
        let mut bound = Bound { pace: self.pace, blocker: None };
        let mut beside = false;
        for n in self.near.iter().take_while(|n| n.distance < SLOWS) {
            let (ahead, aside) = (dot(n.rel, h), cross(h, n.rel).abs());
            let too_far = !n.comes && ahead > bound.pace * GAP + BODY + STEP * self.pace;
            if too_far || ahead < BESIDE_FROM || aside > 2.0 * SIDE + 0.05 {
                continue;
            }
            beside |= ahead < BESIDE_TO && !n.along;
            if let Some(pace) = self.by_gap(n, h, ahead, aside)
                && pace < bound.pace
                && n.is_seen(self.world, self.at)
            {
                bound.lower(pace, n.id);
                if bound.pace <= least {
                    return bound;
                }
            }
        }
        let (left, right) = if h == self.way { self.sides } else { self.walls(h) };
        let walls = between_walls((left, right));
        let (width, by) = if beside { self.narrowed(h, left, right) } else { (walls, None) };
        let by_width = self.by_width(width.min(walls));
        match by {
            Some(id) => bound.lower(by_width, id),
            None => bound.pace = bound.pace.min(by_width),
        }
        bound
    }

    /// Seconds a walker can keep a pace along a heading before somebody's gap or width could bind,
    /// as people move now.
    pub(super) fn free_for(&self, h: (f64, f64), pace: f64) -> f64 {
        let counted = self.near.iter().filter(|n| n.is_near(h));
        counted.map(|n| n.free_for(h, pace)).fold(f64::INFINITY, f64::min)
    }

    /// Free width between people beside the walker, each of whom gets half of what is between, and
    /// who takes most of it.
    fn narrowed(&self, h: (f64, f64), mut left: f64, mut right: f64) -> (f64, Option<BodyId>) {
        let mut by = None;
        for n in self.near.iter().take_while(|n| n.distance < 1.2).filter(|n| !n.along) {
            let (ahead, aside) = (dot(n.rel, h), cross(h, n.rel));
            let side = if aside > 0.0 { &mut left } else { &mut right };
            if (BESIDE_FROM..BESIDE_TO).contains(&ahead)
                && aside.abs() / 2.0 < *side
                && n.is_seen(self.world, self.at)
            {
                *side = aside.abs() / 2.0;
                by = Some(n.id);
            }
        }
        (left + right, by)
    }

    /// v = (s - l) / T, softened with the lateral offset; `None` for people behind or well beside.
    /// For somebody who leads it holds in the middle of the step, when both have walked on.
    fn by_gap(&self, n: &Near, h: (f64, f64), ahead: f64, aside: f64) -> Option<f64> {
        let leads = n.is_moving() && n.along;
        let (s, offset) = if leads && !self.oncoming {
            let step = self.pace * LOOKS_BY;
            let end = (n.rel.0 - h.0 * step, n.rel.1 - h.1 * step);
            (dot(n.rel, self.way), cross(self.way, end).abs())
        } else {
            (ahead, aside)
        };
        if s <= 0.0 || offset >= self.files.1 {
            return None;
        }
        let (length, gap) = self.softened(offset);
        if leads {
            let walked = dot(n.velocity, self.way) * MID_STEP;
            return Some(((s + walked - length) / (gap + MID_STEP)).max(0.0));
        }
        let closing = -dot(n.velocity, h);
        let s = if n.comes && closing > 0.0 { s * self.pace / (self.pace + closing) } else { s };
        let pace = ((s - length) / gap).max(0.0);
        Some(if offset >= CORE { pace.max(SQUEEZED + PER_OFFSET * (offset - CORE)) } else { pace })
    }

    /// Length and time gap of the law for somebody at a lateral offset.
    fn softened(&self, offset: f64) -> (f64, f64) {
        let (full, none) = self.files;
        if offset <= full {
            return (BODY, GAP);
        }
        let x = (offset - full) / (none - full);
        (BODY * (1.0 - x * x).sqrt(), GAP * (1.0 - (1.0 - GAP_BESIDE) * x))
    }

    /// The nearest person ahead, for blame.
    pub(super) fn nearest_ahead(&self) -> Option<BodyId> {
        self.near
            .iter()
            .find(|n| {
                n.distance < 1.2 && dot(n.rel, self.way) > 0.0 && n.is_seen(self.world, self.at)
            })
            .map(|n| n.id)
    }

    /// Somebody who stands in the way and could make room.
    pub(super) fn standing_in_the_way(&self) -> Option<BodyId> {
        let stands = |n: &&Near| {
            matches!(n.doing, Doing::Talk | Doing::Line(_) | Doing::Host | Doing::Sit)
                && !n.is_moving()
        };
        let within = self.world.scenario.habits.makes_room_within;
        let in_the_way = |n: &&Near| {
            n.distance < within
                && dot(n.rel, self.way) > -0.1
                && cross(self.way, n.rel).abs() < YIELDS_ASIDE
        };
        self.near
            .iter()
            .filter(stands)
            .find(|n| in_the_way(n) && n.is_seen(self.world, self.at))
            .map(|n| n.id)
    }
}

/// The free pace on the plan: somebody's own, and theirs for stairs on stairs.
fn pace(world: &World, me: &Body, at: (f64, f64), way: (f64, f64)) -> f64 {
    world.stairs_at(at.0, at.1).map_or(me.pace, |stairs| match me.stair_pace {
        Some(along) => along * stairs.flat(),
        None => stairs.pace(me.pace, dot(way, stairs.up.vector()) > 0.0),
    })
}

/// Free width between walls, with the shoulders centered: whoever walks off the middle has no more
/// of it than twice the nearer side.
fn between_walls((left, right): (f64, f64)) -> f64 {
    (left + right).min(2.0 * (left.min(right) + OFF_CENTRE))
}

impl Near {
    /// How much of the pull to the right they are a reason for: all if both would run into each
    /// other, none if there is room to pass.
    fn pulls(&self, world: &World, at: (f64, f64), way: (f64, f64), pace: f64) -> f64 {
        if !self.comes || dot(self.rel, way) <= 0.0 {
            return 0.0;
        }
        let left = self.passes((way.0 * pace, way.1 * pace));
        if left <= -COMES_WITHIN || left >= PULLS_WITHIN || !self.is_seen(world, at) {
            return 0.0;
        }
        ((PULLS_WITHIN - left) / (PULLS_WITHIN - PULLS_FULLY)).min(1.0)
    }

    /// How far to the left they pass a walker of a velocity, in meters, if both go on as now.
    fn passes(&self, velocity: (f64, f64)) -> f64 {
        let closing = (velocity.0 - self.velocity.0, velocity.1 - self.velocity.1);
        let speed = (closing.0 * closing.0 + closing.1 * closing.1).sqrt();
        if speed > 0.0 { cross(closing, self.rel) / speed } else { 0.0 }
    }

    /// Whether somebody could count along a heading: not behind, and not well beside.
    fn is_near(&self, h: (f64, f64)) -> bool {
        dot(self.rel, h) > BESIDE_FROM && cross(h, self.rel).abs() < 2.0 * SIDE + 0.05
    }

    /// Seconds until they are as near as the gap at that pace, or beside.
    fn free_for(&self, h: (f64, f64), pace: f64) -> f64 {
        let closing = pace - dot(self.velocity, h);
        let gap = (BODY + GAP * pace) * if self.comes { (closing / pace).max(1.0) } else { 1.0 };
        let until = dot(self.rel, h) - gap.max(BESIDE_TO);
        if until <= 0.0 {
            0.0
        } else if closing <= 0.0 {
            f64::INFINITY
        } else {
            until / closing
        }
    }
}

pub(super) fn dot(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

/// Positive if `b` is to the left of `a`.
pub(super) fn cross(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

impl<'a> Sight<'a> {
    /// The same moment from another point with people's places from there.
    pub(super) fn seen_from<'b>(&self, at: (f64, f64), near: &'b [Near]) -> Sight<'b>
    where
        'a: 'b,
    {
        let mut there = Sight { near, at, clear: self.world.grid.clearance(at.0, at.1), ..*self };
        there.sides = there.walls(self.way);
        there
    }
}
