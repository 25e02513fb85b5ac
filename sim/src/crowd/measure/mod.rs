//! What a trial leaves behind. Reads steps and what the blocker was doing; everything is counted in
//! whole numbers.

mod jams;
mod tally;

pub use tally::{Cause, Count, Jam, Tally, Trace, Traces};

use crate::base::units::{FOOT, TICKS, Tick, seconds};
use crate::crowd::bodies::{Body, BodyId, Doing, Floor, Reach};
use crate::crowd::walk::Step;
use crate::floor::world::{SpotId, World};
use jams::Jams;

/// Seconds in a bin of lines and jams.
pub const BIN: u32 = 300;
/// Seconds in a bin of presence.
pub const PRESENCE_BIN: u32 = 900;
/// What depends on the clock is counted for this many seconds of a trial: scripts may run for
/// years.
const CLOCKED: u64 = 48 * 3600;
/// Lattice nodes along the edge of a raster cell.
pub const COARSE: usize = 2;
/// Seconds of walking after which somebody can be held up, and over which progress is looked at.
const HELD_WINDOW: usize = 5;
/// Who stays within this many meters is getting nowhere (1 ft).
const WEDGED: f64 = FOOT;
/// Links followed from a held-up guest to the one who causes it.
const CHAIN: usize = 8;

/// Progress of one body, for telling who is held up.
#[derive(Clone, Debug, Default)]
struct Progress {
    walking_since: Option<Tick>,
    gained: f64,
    could: f64,
    marks: [(f64, f64); HELD_WINDOW],
    seen: usize,
    /// Moment up to which presence is counted.
    counted: Tick,
    is_guest: bool,
    /// Where the person was last seen to get along on this walk, and at which second.
    anchor: Option<((f64, f64), u32)>,
    /// Whether the walk has an aim that cannot be had right here: who looks for company could as
    /// well stop.
    has_to: bool,
}

/// Watches one trial.
pub struct Recorder {
    tally: Tally,
    progress: Vec<Progress>,
    jams: Jams,
    next_second: u64,
    width: usize,
    kept: Traces,
    traces: Vec<Trace>,
    /// The last line of each body on the floor.
    last: Vec<Option<Trace>>,
    /// Bodies under way, in order.
    walking: Vec<BodyId>,
    /// Held-up guests at the last second.
    held: Vec<BodyId>,
    check_bodies: bool,
    /// Share of the progress an empty floor gives below which somebody is held up.
    held_below: f64,
}

impl Recorder {
    /// A recorder for a trial of a world that keeps some traces.
    pub fn new(world: &World, trial: u32, kept: Traces) -> Recorder {
        Recorder {
            tally: Tally::new(world, trial),
            progress: vec![],
            jams: Jams::new(world),
            next_second: 1,
            width: world.grid.width.div_ceil(COARSE),
            kept,
            traces: vec![],
            last: vec![],
            walking: vec![],
            held: vec![],
            check_bodies: false,
            held_below: world.scenario.habits.held_below,
        }
    }

    /// Also measures the nearest two bodies ever are, and a body to a wall, at every second and
    /// step end. Dear; for tests.
    pub fn check_bodies(mut self) -> Self {
        self.check_bodies = true;
        self
    }

    /// The end: what was counted, and the traces.
    pub fn finish(mut self) -> (Tally, Vec<Trace>) {
        self.jams.close(&mut self.tally);
        (self.tally, self.traces)
    }

    /// Somebody came in.
    pub fn entered(&mut self, id: BodyId, is_guest: bool, now: Tick, guests_inside: u32) {
        if self.progress.len() <= id {
            self.progress.resize_with(id + 1, Progress::default);
            self.last.resize(id + 1, None);
        }
        self.progress[id] = Progress { counted: now, is_guest, ..Progress::default() };
        self.last[id] = None;
        if is_guest {
            self.tally.came += 1;
            self.tally.peak = self.tally.peak.max(guests_inside);
        }
    }

    /// Somebody went home.
    pub fn went(&mut self, world: &World, id: BodyId, body: &Body, now: Tick) {
        self.moved(world, id, body, now);
        self.trace(id, now, body, Doing::Away);
        if self.progress[id].is_guest {
            self.tally.left += 1;
        }
    }

    /// A body is about to begin another step or stop standing: counts where it has been until now.
    pub fn moved(&mut self, world: &World, id: BodyId, body: &Body, now: Tick) {
        let since = self.progress[id].counted;
        self.progress[id].counted = now;
        let arrived = body.end.clamp(since, now);
        let middle = body.at(since + (arrived - since) / 2);
        self.present(world, middle, since, arrived);
        self.present(world, body.to.meters(), arrived, now);
    }

    fn cell(&self, world: &World, (x, y): (f64, f64)) -> usize {
        let (i, j) = world.grid.nearest(x, y);
        j / COARSE * self.width + i / COARSE
    }

    fn present(&mut self, world: &World, at: (f64, f64), from: Tick, to: Tick) {
        let cell = self.cell(world, at);
        let mut from = from;
        let to = to.min(CLOCKED * TICKS);
        while from < to {
            let length = Tick::from(PRESENCE_BIN) * TICKS;
            let bin = (from / length) as usize;
            let until = to.min((bin as Tick + 1) * length);
            while self.tally.presence.len() <= bin {
                self.tally.presence.push(vec![0; self.tally.lost_cells.len()]);
            }
            self.tally.presence[bin][cell] += (until - from) as u32;
            from = until;
        }
    }

    /// A walker's step, with its cost.
    pub fn stepped(&mut self, world: &World, floor: &Floor, id: BodyId, step: &Step, now: Tick) {
        let p = &mut self.progress[id];
        p.gained += step.gained;
        p.could += step.could;
        let at = floor.bodies[id].at(now);
        self.tally.walked.0 += step.gained.max(0.0);
        self.tally.walked.1 += step.ticks();
        let lost = step.lost();
        if lost > 0 && self.progress[id].is_guest {
            let cause = self.cause(floor, id, step.blocker);
            if let Some(place) = world.place_at(at.0, at.1) {
                *self.tally.lost.entry((place, cause)).or_default() += lost;
            }
            if let Some(pinch) = world.pinches.nearest(world.below(at)) {
                *self.tally.lost_near.entry((pinch, cause)).or_default() += lost;
            }
            let cell = self.cell(world, at);
            self.tally.lost_cells[cell] = self.tally.lost_cells[cell].saturating_add(lost as u32);
        }
        if self.check_bodies {
            self.check(world, floor, id, now);
        }
    }

    /// Follows the chain of held-up people to the one who is not, and says what that one does.
    fn cause(&self, floor: &Floor, id: BodyId, blocker: Option<BodyId>) -> Cause {
        let way = floor.bodies[id].way;
        let mut at = blocker.unwrap_or(id);
        for _ in 0..CHAIN {
            match floor.bodies[at]
                .blocker
                .filter(|_| floor.bodies[at].is_walking() && self.held.contains(&at))
            {
                Some(next) if next != id && floor.bodies[next].doing() != Doing::Away => at = next,
                _ => break,
            }
        }
        let head = &floor.bodies[at];
        match head.doing() {
            Doing::Line(s) => Cause::Line(s),
            Doing::At(s) => Cause::Served(s),
            Doing::Talk => Cause::Talking,
            Doing::Sit => Cause::Seated,
            Doing::Host => Cause::Hosting,
            Doing::Walk | Doing::Squeeze | Doing::Away
                if head.way.0 * way.0 + head.way.1 * way.1 < 0.0 =>
            {
                Cause::Oncoming
            }
            _ => Cause::SameWay,
        }
    }

    /// A walk begins: progress is looked at afresh. Who need not get anywhere in particular
    /// (`has_to` is false) is never held up.
    pub fn set_out(&mut self, id: BodyId, has_to: bool, now: Tick) {
        let p = &mut self.progress[id];
        p.walking_since = Some(now);
        p.has_to = has_to;
        p.anchor = None;
        p.seen = 0;
        if let Err(place) = self.walking.binary_search(&id) {
            self.walking.insert(place, id);
        }
    }

    /// A walk ends.
    pub fn arrived(&mut self, id: BodyId) {
        self.progress[id].walking_since = None;
        if let Ok(place) = self.walking.binary_search(&id) {
            self.walking.remove(place);
        }
    }

    /// Service begins after a wait.
    pub fn served(&mut self, spot: SpotId, joined: Tick, now: Tick) {
        self.tally.served[spot] += 1;
        self.in_vain(spot, joined, now);
    }

    /// A wait ends without service: it counts as a wait until now.
    pub fn in_vain(&mut self, spot: SpotId, joined: Tick, now: Tick) {
        self.tally.waits[spot].push(now.saturating_sub(joined));
    }

    /// Somebody stood in line.
    pub fn stood(&mut self, spot: SpotId, joined: Tick, now: Tick) {
        self.tally.stood[spot] += now.saturating_sub(joined);
    }

    /// The trial was stopped because it would not have ended.
    pub fn endless(&mut self, person: Option<u32>, now: Tick) {
        self.tally.endless = Some((person, now));
    }

    /// The trial is over, with so many guests still in the house.
    pub fn ended(&mut self, stayed: u32, events: u64, now: Tick) {
        (self.tally.stayed, self.tally.events, self.tally.span) = (stayed, events, now);
    }

    /// Simple counts.
    pub fn count(&mut self, what: Count) {
        let t = &mut self.tally;
        match what {
            Count::TurnedAway(spot) => t.turned_away[spot] += 1,
            Count::Wanted(serves) => t.wanted[serves as usize] += 1,
            Count::CoatOver => t.coats_over += 1,
            Count::SeatWanted => t.seats_wanted += 1,
            Count::SeatShort => t.seats_short += 1,
            Count::Squeeze => t.squeezes += 1,
            Count::GaveUp => t.gave_up += 1,
            Count::Stuck => t.stuck += 1,
        }
    }

    /// Catches up with every whole second before a moment. `waiting` tells the line length of each
    /// spot.
    pub fn until(
        &mut self,
        world: &World,
        floor: &Floor,
        now: Tick,
        waiting: impl Fn(SpotId) -> usize,
    ) {
        let last = (now / TICKS).min(CLOCKED);
        while self.next_second <= last {
            self.second(world, floor, self.next_second as u32, &waiting);
            self.next_second += 1;
        }
    }

    fn second(
        &mut self,
        world: &World,
        floor: &Floor,
        second: u32,
        waiting: &impl Fn(SpotId) -> usize,
    ) {
        let now = Tick::from(second) * TICKS;
        let bin = (second / BIN) as usize;
        for spot in world.spots.keys() {
            let n = waiting(spot) as u32;
            self.tally.longest[spot] = self.tally.longest[spot].max(n);
            if n > 0 {
                let bins = &mut self.tally.lines[spot];
                if bins.len() <= bin {
                    bins.resize(bin + 1, 0);
                }
                bins[bin] += n;
            }
        }
        self.count_inside(world, floor, second);
        self.find_wedged(floor, second);
        self.find_held(floor, now);
        self.jams.second(world, floor, &self.held, second, &mut self.tally);
        if self.check_bodies {
            floor.ids().for_each(|id| self.check(world, floor, id, now));
        }
    }

    fn count_inside(&mut self, world: &World, floor: &Floor, second: u32) {
        let bin = (second / PRESENCE_BIN) as usize;
        if self.tally.inside.len() <= bin {
            self.tally.inside.resize(bin + 1, 0);
        }
        self.tally.inside[bin] += floor.inside().saturating_sub(world.rounds.len()) as u32;
    }

    /// Notes how long those under way have not got anywhere.
    fn find_wedged(&mut self, floor: &Floor, second: u32) {
        let now = Tick::from(second) * TICKS;
        for &id in &self.walking {
            let (at, p) = (floor.bodies[id].at(now), &mut self.progress[id]);
            match p.anchor {
                Some((anchor, since)) if distance(anchor, at) < WEDGED => {
                    self.tally.wedged = self.tally.wedged.max(second - since)
                }
                _ => p.anchor = Some((at, second)),
            }
        }
    }

    fn find_held(&mut self, floor: &Floor, now: Tick) {
        self.held.clear();
        for &id in &self.walking {
            let p = &mut self.progress[id];
            let Some(since) = p.walking_since else {
                continue;
            };
            let mark = p.marks[p.seen % HELD_WINDOW];
            let window_full = p.seen >= HELD_WINDOW;
            p.marks[p.seen % HELD_WINDOW] = (p.gained, p.could);
            p.seen += 1;
            let (gained, could) = (p.gained - mark.0, p.could - mark.1);
            let long_enough = seconds(now.saturating_sub(since)) >= HELD_WINDOW as f64;
            if window_full
                && long_enough
                && could > 0.0
                && gained < self.held_below * could
                && floor.bodies[id].is_walking()
                && p.is_guest
                && p.has_to
            {
                self.held.push(id);
            }
        }
    }

    fn check(&mut self, world: &World, floor: &Floor, id: BodyId, now: Tick) {
        let body = &floor.bodies[id];
        let at = body.at(now);
        // who sits draws in onto the piece
        if body.doing() != Doing::Sit {
            self.tally.nearest_wall =
                self.tally.nearest_wall.min(f64::from(world.grid.clearance(at.0, at.1)));
        }
        let (nearest, seen) = (&mut self.tally.nearest, body.seen_at(now));
        floor.near(body.to, Reach::ALL, id, |other| {
            *nearest =
                nearest.min(distance(at, other.at(now))).min(distance(seen, other.seen_at(now)))
        });
    }

    /// Notes where somebody is when what they do changes.
    pub fn changed(&mut self, id: BodyId, body: &Body, now: Tick) {
        if self.last[id].is_none_or(|last| last.doing != body.doing()) {
            self.trace(id, now, body, body.doing());
        }
    }

    fn trace(&mut self, id: BodyId, now: Tick, body: &Body, doing: Doing) {
        if !self.is_tracing() {
            return;
        }
        let (x, y) = body.seen_at(now);
        let held = body.is_walking() && self.held.binary_search(&id).is_ok();
        let line = Trace { at: now, person: body.person, x, y, doing, held };
        let is_new = self.last[id].is_none_or(|last| Trace { at: now, ..last } != line);
        if is_new || self.kept == Traces::All {
            self.last[id] = Some(line);
            self.traces.push(line);
        }
    }

    /// Whether traces are kept.
    pub fn is_tracing(&self) -> bool {
        self.kept != Traces::None
    }

    /// Notes where everybody is.
    pub fn sample(&mut self, floor: &Floor, now: Tick) {
        for id in floor.ids() {
            let body = &floor.bodies[id];
            self.trace(id, now, body, body.doing());
        }
    }
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}
