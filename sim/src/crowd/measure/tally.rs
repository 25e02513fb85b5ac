//! What was counted in a trial.

use super::COARSE;
use crate::base::ids::TiVec;
use crate::base::units::Tick;
use crate::crowd::bodies::Doing;
use crate::evening::scenario::Serves;
use crate::floor::world::{PinchId, PlaceId, SpotId, World};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Why somebody is held up: what the person at the head of the chain is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Cause {
    /// In line at a spot.
    Line(SpotId),
    /// Being served at a spot.
    Served(SpotId),
    /// Talking.
    Talking,
    /// Seated.
    Seated,
    /// Coming the other way.
    Oncoming,
    /// Going the same way.
    SameWay,
    /// Hosting.
    Hosting,
}

impl Cause {
    /// The first in order.
    pub const FIRST: Cause = Cause::Line(SpotId::FIRST);
}

/// A jam: what lasted, with short pauses, anywhere in the house.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Jam {
    /// The spot where it lasted longest.
    pub pinch: PinchId,
    /// Second at which it began.
    pub from: u32,
    /// Second at which it ended.
    pub to: u32,
    /// Seconds it lasted at that spot.
    pub seconds: u32,
    /// Whether it began in the leaving rush.
    pub leaving: bool,
}

/// One line of a trace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trace {
    /// Moment.
    pub at: Tick,
    /// Person: guests from 0, hosts after them.
    pub person: u32,
    /// Metres.
    pub x: f64,
    /// Metres.
    pub y: f64,
    /// What the person is doing.
    pub doing: Doing,
    /// Whether the person is held up.
    pub held: bool,
}

/// Which traces are kept, on a common clock and at each change of doing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Traces {
    /// None.
    #[default]
    None,
    /// Everybody at every tick of the clock.
    All,
    /// Everybody but those with whom nothing has changed since their last line.
    Changes,
}

/// What a trial leaves behind.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Tally {
    /// Trial number.
    pub trial: u32,
    /// Moment the trial ended.
    pub span: Tick,
    /// Guests who came.
    pub came: u32,
    /// Guests who went home.
    pub left: u32,
    /// Guests still in the house when the trial ended.
    pub stayed: u32,
    /// Most guests inside at once.
    pub peak: u32,
    /// Visits guests set out for, by what is served: each ends in `waits`, served or given up. A
    /// second try after a full line is the same visit.
    pub wanted: [u32; Serves::ALL.len()],
    /// Visits that began to be served, by spot: the others in `waits` never were.
    pub served: TiVec<SpotId, u32>,
    /// Waits of all visits by spot, in ticks: until service began, until the guest gave up, or
    /// until the trial ended.
    pub waits: TiVec<SpotId, Vec<Tick>>,
    /// Ticks stood in line by spot, all visits together: what was waited elsewhere, after being
    /// turned away, is not in it.
    pub stood: TiVec<SpotId, u64>,
    /// Guests a full line turned away, by spot.
    pub turned_away: TiVec<SpotId, u32>,
    /// Person-seconds in line by spot and bin.
    pub lines: TiVec<SpotId, Vec<u32>>,
    /// Longest line by spot.
    pub longest: TiVec<SpotId, u32>,
    /// Ticks lost by place and cause.
    pub lost: BTreeMap<(PlaceId, Cause), u64>,
    /// Ticks lost by raster cell.
    pub lost_cells: Vec<u32>,
    /// Person-ticks by presence bin and raster cell.
    pub presence: Vec<Vec<u32>>,
    /// Guest-seconds inside by presence bin.
    pub inside: Vec<u32>,
    /// Jams.
    pub jams: Vec<Jam>,
    /// Seconds of jam by spot, before the leaving rush.
    pub jammed: BTreeMap<PinchId, u32>,
    /// Seconds of jam by spot, in the leaving rush.
    pub jammed_leaving: BTreeMap<PinchId, u32>,
    /// Seconds of jam by spot and bin, before the leaving rush.
    pub jam_bins: BTreeMap<(PinchId, u32), u32>,
    /// Ticks lost by the nearest spot and cause.
    pub lost_near: BTreeMap<(PinchId, Cause), u64>,
    /// Coats with no place.
    pub coats_over: u32,
    /// Times somebody wanted a seat, and found none.
    pub seats_wanted: u32,
    /// See `seats_wanted`.
    pub seats_short: u32,
    /// Squeezes past somebody.
    pub squeezes: u32,
    /// Guests who gave up getting somewhere.
    pub gave_up: u32,
    /// Walks that took longer than ten minutes: nobody should be stuck.
    pub stuck: u32,
    /// Who was next, if anybody, and when, if the trial would not have ended: it was stopped there, and
    /// what it tells is not an evening.
    pub endless: Option<(Option<u32>, Tick)>,
    /// Events: steps, ends of service, arrivals and the like.
    pub events: u64,
    /// Longest time in seconds that anybody under way stayed within a foot.
    pub wedged: u32,
    /// Walking: sum of meters, and of ticks.
    pub walked: (f64, u64),
    /// Least distance of two bodies, in meters, and of a body to a wall.
    pub nearest: f64,
    /// See `nearest`.
    pub nearest_wall: f64,
}

impl Tally {
    /// Nothing counted yet in a trial of a world.
    pub fn new(world: &World, trial: u32) -> Tally {
        let spots = world.spots.len();
        let cells = world.grid.width.div_ceil(COARSE) * world.grid.height.div_ceil(COARSE);
        Tally {
            trial,
            waits: vec![vec![]; spots].into(),
            served: vec![0; spots].into(),
            stood: vec![0; spots].into(),
            turned_away: vec![0; spots].into(),
            lines: vec![vec![]; spots].into(),
            longest: vec![0; spots].into(),
            lost_cells: vec![0; cells],
            nearest: f64::INFINITY,
            nearest_wall: f64::INFINITY,
            ..Tally::default()
        }
    }
}

/// Things that are counted one by one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the field of Tally it adds to")]
pub enum Count {
    TurnedAway(SpotId),
    Wanted(Serves),
    CoatOver,
    SeatWanted,
    SeatShort,
    Squeeze,
    GaveUp,
    Stuck,
}
