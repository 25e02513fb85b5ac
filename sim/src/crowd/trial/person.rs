//! What a trial remembers of a person beside the body.

use crate::base::chance::Key;
use crate::base::units::{Point, Tick};
use crate::crowd::talk::Seated;
use crate::evening::agenda::Agenda;
use crate::evening::scenario::Serves;
use crate::floor::world::{SeatId, SpotId, World};
use crate::house::plan::OpeningId;

/// What somebody is up to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    /// Walking to the end of a lane.
    ToSpot { spot: SpotId, lane: usize },
    /// In a lane; walking up to a slot or standing in it.
    InLine { spot: SpotId, lane: usize, slot: usize, walking: bool },
    /// Called up, walking to a serving position.
    ToPosition { spot: SpotId, position: usize },
    /// Being served.
    Served { spot: SpotId, position: usize },
    /// Walking to a seat.
    ToSeat(SeatId),
    /// Sitting.
    Sitting(SeatId),
    /// Walking to a circle.
    ToCircle(Seated),
    /// Talking in a circle.
    Talking(Seated),
    /// Walking to a stop of a script.
    ToStop,
    /// Walking through an opening to the next stop of a script.
    Through(OpeningId),
    /// Walking home.
    Leaving,
    /// Walking to a host's post.
    ToPost,
    /// At a host's post.
    Hosting,
    /// Standing about.
    Loose,
}

impl State {
    /// Whether the person walks.
    pub(super) fn is_under_way(self) -> bool {
        matches!(
            self,
            State::ToSpot { .. }
                | State::InLine { walking: true, .. }
                | State::ToPosition { .. }
                | State::ToSeat(_)
                | State::ToCircle(_)
                | State::ToStop
                | State::Through(_)
                | State::Leaving
                | State::ToPost
        )
    }
}

/// What a trial remembers of a person.
#[derive(Clone, Debug)]
pub(super) struct Person {
    pub key: Key,
    pub is_host: bool,
    /// Which script, and how many stops of it are done.
    pub errand: Option<(usize, u64)>,
    pub agenda: Agenda,
    pub state: State,
    /// Until when the person stands.
    pub until: Tick,
    /// When the present line was joined.
    pub joined: Tick,
    /// For what is served, the spot first tried in vain and since when: who finds a line full waits
    /// for it wherever they are.
    pub wanting: [Option<(SpotId, Tick)>; Serves::ALL.len()],
    /// When the present walk began.
    pub set_out: Tick,
    /// Where the person last got along on this walk, and when.
    pub anchor: (Point, Tick),
    /// Where somebody has been all along while they wanted one thing after the other, and since
    /// when.
    pub shut_in: (Point, Tick),
    /// Where the person stands when nobody has to get past.
    pub home: Option<Point>,
    /// When the person last made room.
    pub asked: Tick,
    /// Where the coat is.
    pub coat_at: Option<SpotId>,
    /// Whether the coat is being fetched.
    pub fetching: bool,
    /// Draws so far by what is served, and of talk.
    pub visits: [u32; Serves::ALL.len()],
    pub talks: u32,
    /// How long to sit down.
    pub sit_for: Tick,
    /// Round of a host, and where in it.
    pub round: usize,
    pub turn: usize,
    /// Ticks for each piece of the present squeeze.
    pub piece: Tick,
}

impl Person {
    pub(super) fn new(key: Key, agenda: Agenda) -> Person {
        Person {
            key,
            is_host: false,
            errand: None,
            agenda,
            state: State::Loose,
            until: 0,
            joined: 0,
            wanting: [None; Serves::ALL.len()],
            set_out: 0,
            anchor: (Point { x: 0, y: 0 }, 0),
            shut_in: (Point { x: 0, y: 0 }, 0),
            home: None,
            asked: 0,
            coat_at: None,
            fetching: false,
            visits: [0; Serves::ALL.len()],
            talks: 0,
            sit_for: 0,
            round: 0,
            turn: 0,
            piece: 0,
        }
    }

    /// The post of a host.
    pub(super) fn post(&self, world: &World) -> usize {
        world.rounds[self.round][self.turn]
    }

    /// Since when the person waits for what a spot serves, if they wait for it, else since they
    /// joined its line; that wait is over now.
    pub(super) fn waited_since(&mut self, serves: Serves) -> Tick {
        self.wanting[serves as usize]
            .take()
            .map_or(self.joined, |(_, since)| since.min(self.joined))
    }

    /// Which visit to what is served the next one is, from 1.
    pub(super) fn next_visit(&mut self, serves: Serves) -> u32 {
        let n = &mut self.visits[serves as usize];
        *n += 1;
        *n
    }
}
