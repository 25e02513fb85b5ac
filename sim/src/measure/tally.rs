//! What was counted in a trial.

use crate::floor::Doing;
use crate::scenario::Serves;
use crate::units::Tick;
use crate::world::{SpotId, World};
use std::collections::BTreeMap;

/// Why somebody is held up: what the person at the head of the chain is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
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

/// A jam at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Jam {
    /// The place.
    pub place: usize,
    /// Second at which it began.
    pub from: u32,
    /// Second at which it ended.
    pub to: u32,
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
}

/// What a trial leaves behind.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Trial number.
    pub trial: u32,
    /// Guests who came.
    pub came: u32,
    /// Guests who went home.
    pub left: u32,
    /// Most guests inside at once.
    pub peak: u32,
    /// Waits of all visits by spot, in ticks.
    pub waits: Vec<Vec<Tick>>,
    /// Guests a full line turned away, by spot.
    pub turned_away: Vec<u32>,
    /// Person-seconds in line by spot and bin.
    pub lines: Vec<Vec<u32>>,
    /// Longest line by spot.
    pub longest: Vec<u32>,
    /// Ticks lost by place and cause.
    pub lost: BTreeMap<(u16, Cause), u64>,
    /// Ticks lost by raster cell.
    pub lost_cells: Vec<u32>,
    /// Person-ticks by presence bin and raster cell.
    pub presence: Vec<Vec<u32>>,
    /// Guest-seconds inside by presence bin.
    pub inside: Vec<u32>,
    /// Jams.
    pub jams: Vec<Jam>,
    /// Seconds of jam by place and bin, before the leaving rush.
    pub jam_bins: BTreeMap<(u16, u32), u32>,
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
    /// Walking: sum of metres, and of ticks.
    pub walked: (f64, u64),
    /// Least distance of two bodies, in metres, and of a body to a wall.
    pub nearest: f64,
    /// See `nearest`.
    pub nearest_wall: f64,
}

/// Things that are counted one by one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the field of Tally it adds to")]
pub enum Count {
    TurnedAway(SpotId),
    CoatOver,
    SeatWanted,
    SeatShort,
    Squeeze,
    GaveUp,
    Stuck,
}

impl Cause {
    /// In words: what the others were doing.
    pub fn words(self, world: &World) -> String {
        match self {
            Cause::Line(s) => format!("the line for {} stands there", serves_words(world, s)),
            Cause::Served(s) if world.spots[s].serves == Serves::Door => "guests are greeted there".into(),
            Cause::Served(s) => format!("guests stand there at {}", world.spots[s].name),
            Cause::Talking => "people stand there talking".into(),
            Cause::Seated => "people sit there".into(),
            Cause::Oncoming => "guests meet going both ways".into(),
            Cause::SameWay => "everybody goes the same way at once".into(),
            Cause::Hosting => "the hosts stand there".into(),
        }
    }
}

fn serves_words(world: &World, spot: SpotId) -> &'static str {
    match world.spots[spot].serves {
        Serves::Door => "the door",
        Serves::Coats => "coats",
        Serves::Drinks => "drinks",
        Serves::Glasses => "glasses",
        Serves::Food => "food",
        Serves::Powder => "the powder room",
    }
}
