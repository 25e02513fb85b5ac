//! Lines and serving positions: who stands where, whose turn it is. Takes events, returns where to
//! go; knows nothing of walking.

use crate::base::ids::{TiSlice, TiVec};
use crate::base::units::Tick;
use crate::crowd::bodies::BodyId;
use crate::floor::world::{Spot, SpotId};

/// Where a person in line is to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// To a slot of a lane.
    Slot(SpotId, usize, usize),
    /// To a serving position: it is their turn.
    Serve(SpotId, usize),
}

/// Somebody in line.
#[derive(Clone, Copy, Debug)]
struct Member {
    who: BodyId,
    joined: Tick,
    slot: usize,
}

/// A serving position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Position {
    Free,
    Taken(BodyId),
    /// Kept empty for a moment after somebody (`gap`).
    Resting,
}

struct Queue {
    lanes: Vec<Vec<Member>>,
    positions: Vec<Position>,
}

/// All lines of a trial.
pub struct Lines {
    queues: TiVec<SpotId, Queue>,
}

impl Lines {
    /// Empty lines for the spots of a world.
    pub fn new(spots: &TiSlice<SpotId, Spot>) -> Lines {
        let queue = |s: &Spot| Queue {
            lanes: vec![vec![]; s.lanes.len()],
            positions: vec![Position::Free; s.positions.len()],
        };
        Lines { queues: spots.iter().map(queue).collect() }
    }

    /// People waiting at a spot.
    pub fn waiting(&self, spot: SpotId) -> usize {
        self.queues[spot].lanes.iter().map(Vec::len).sum()
    }

    /// The lane a newcomer picks: the one with the fewest people in line and at its first position;
    /// ties to the first.
    pub fn shortest(&self, id: SpotId, spot: &Spot) -> usize {
        let q = &self.queues[id];
        let load = |lane: usize| {
            q.lanes[lane].len()
                + usize::from(q.positions[spot.lanes[lane].positions[0]] != Position::Free)
        };
        (0..q.lanes.len()).min_by_key(|&lane| (load(lane), lane)).unwrap_or(0)
    }

    /// The slot at the end of a lane, or `None` if the lane is full.
    pub fn tail(&self, id: SpotId, spot: &Spot, lane: usize) -> Option<usize> {
        let next = self.queues[id].lanes[lane].len();
        let room = spot.lanes[lane].slots.len();
        (next < room.max(1)).then_some(next)
    }

    /// Somebody joins the end of a lane.
    pub fn join(&mut self, id: SpotId, lane: usize, who: BodyId, now: Tick) {
        let slot = self.queues[id].lanes[lane].len();
        self.queues[id].lanes[lane].push(Member { who, joined: now, slot });
    }

    /// Somebody leaves a line without being served.
    pub fn leave(&mut self, id: SpotId, who: BodyId) {
        self.queues[id].lanes.iter_mut().for_each(|lane| lane.retain(|m| m.who != who));
    }

    /// Calls up whoever's turn it is and closes up the lanes. Returns what each has to do; with it,
    /// the tick at which those served had joined.
    pub fn advance(&mut self, id: SpotId, spot: &Spot) -> Vec<(BodyId, Order, Tick)> {
        let mut orders = vec![];
        self.call_up(id, spot, &mut orders);
        if !spot.walked {
            self.call_from_other_lanes(id, &mut orders);
        }
        for (lane, members) in self.queues[id].lanes.iter_mut().enumerate() {
            for (slot, m) in members.iter_mut().enumerate() {
                if m.slot != slot {
                    m.slot = slot;
                    orders.push((m.who, Order::Slot(id, lane, slot), m.joined));
                }
            }
        }
        orders
    }

    fn call_up(&mut self, id: SpotId, spot: &Spot, orders: &mut Vec<(BodyId, Order, Tick)>) {
        let q = &mut self.queues[id];
        for (lane, l) in spot.lanes.iter().enumerate() {
            let first = l.positions[0];
            if q.positions[first] == Position::Free && !q.lanes[lane].is_empty() {
                let m = q.lanes[lane].remove(0);
                q.positions[first] = Position::Taken(m.who);
                orders.push((m.who, Order::Serve(id, first), m.joined));
            }
        }
    }

    /// A position whose own lane is empty takes the one who has waited longest in the others.
    fn call_from_other_lanes(&mut self, id: SpotId, orders: &mut Vec<(BodyId, Order, Tick)>) {
        let q = &mut self.queues[id];
        for p in 0..q.positions.len() {
            if q.positions[p] != Position::Free {
                continue;
            }
            let heads = q
                .lanes
                .iter()
                .enumerate()
                .filter_map(|(l, members)| members.first().map(|m| (m.joined, l)));
            let Some((_, lane)) = heads.min() else {
                continue;
            };
            let m = q.lanes[lane].remove(0);
            q.positions[p] = Position::Taken(m.who);
            orders.push((m.who, Order::Serve(id, p), m.joined));
        }
    }

    /// The next position along a walked side, if it is free: it is taken and the old one freed.
    pub fn walk_on(&mut self, id: SpotId, spot: &Spot, position: usize) -> Onward {
        let lane = spot.lanes.iter().find(|l| l.positions.contains(&position));
        let next =
            lane.and_then(|l| l.positions.iter().skip_while(|p| **p != position).nth(1).copied());
        let q = &mut self.queues[id];
        match next {
            None => Onward::Done,
            Some(n) if q.positions[n] == Position::Free => {
                q.positions[n] = q.positions[position];
                q.positions[position] = Position::Free;
                Onward::To(n)
            }
            Some(_) => Onward::Blocked,
        }
    }

    /// The one before on a walked side who may be waiting for this position.
    pub fn before(&self, id: SpotId, spot: &Spot, position: usize) -> Option<BodyId> {
        let lane = spot.lanes.iter().find(|l| l.positions.contains(&position))?;
        let at = lane.positions.iter().position(|p| *p == position)?;
        match self.queues[id].positions[*lane.positions.get(at.checked_sub(1)?)?] {
            Position::Taken(who) => Some(who),
            _ => None,
        }
    }

    /// Frees a position, at once or after a rest.
    pub fn vacate(&mut self, id: SpotId, position: usize, rests: bool) {
        self.queues[id].positions[position] =
            if rests { Position::Resting } else { Position::Free };
    }

    /// A rest is over.
    pub fn rested(&mut self, id: SpotId, position: usize) {
        if self.queues[id].positions[position] == Position::Resting {
            self.queues[id].positions[position] = Position::Free;
        }
    }
}

/// What comes after a position on a walked side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Onward {
    /// The next one.
    To(usize),
    /// The next one is taken.
    Blocked,
    /// It was the last.
    Done,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evening::scenario::Serves;
    use crate::floor::small_house::{house, spot};

    /// Who is told to be served, in turn.
    fn called(orders: &[(BodyId, Order, Tick)]) -> Vec<BodyId> {
        let served = orders.iter().filter(|o| matches!(o.1, Order::Serve(..)));
        served.map(|o| o.0).collect()
    }

    #[test]
    fn who_joined_first_is_served_first_and_the_others_close_up() {
        let world = house("");
        let (id, mut lines) = (spot(&world, Serves::Powder), Lines::new(&world.spots));
        let powder = &world.spots[id];
        for (who, at) in [(7, 10), (3, 20), (5, 30)] {
            lines.join(id, 0, who, at);
        }
        assert_eq!(called(&lines.advance(id, powder)), [7]);
        assert_eq!(lines.waiting(id), 2);
        assert!(called(&lines.advance(id, powder)).is_empty(), "one at a time");
        lines.vacate(id, 0, false);
        let orders = lines.advance(id, powder);
        assert_eq!(orders[0], (3, Order::Serve(id, 0), 20));
        assert_eq!(orders[1], (5, Order::Slot(id, 0, 0), 30));
    }

    #[test]
    fn a_place_that_rests_calls_nobody() {
        let world = house("");
        let (id, mut lines) = (spot(&world, Serves::Powder), Lines::new(&world.spots));
        let powder = &world.spots[id];
        lines.join(id, 0, 1, 0);
        lines.advance(id, powder);
        lines.join(id, 0, 2, 0);
        lines.vacate(id, 0, true);
        assert!(called(&lines.advance(id, powder)).is_empty());
        lines.rested(id, 0);
        assert_eq!(called(&lines.advance(id, powder)), [2]);
    }

    #[test]
    fn who_leaves_a_line_is_not_called() {
        let world = house("");
        let (id, mut lines) = (spot(&world, Serves::Powder), Lines::new(&world.spots));
        lines.join(id, 0, 1, 0);
        lines.join(id, 0, 2, 5);
        lines.leave(id, 1);
        assert_eq!(called(&lines.advance(id, &world.spots[id])), [2]);
    }

    #[test]
    fn a_full_lane_has_no_end_to_join() {
        let world = house("");
        let (id, mut lines) = (spot(&world, Serves::Drinks), Lines::new(&world.spots));
        let bar = &world.spots[id];
        let room = bar.lanes[0].slots.len();
        for who in 0..room {
            assert_eq!(lines.tail(id, bar, 0), Some(who));
            lines.join(id, 0, who, 0);
        }
        assert!(room > 0 && lines.tail(id, bar, 0).is_none());
    }

    #[test]
    fn a_newcomer_takes_the_shorter_side_of_a_buffet_and_walks_along_it() {
        let world = house("");
        let (id, mut lines) = (spot(&world, Serves::Food), Lines::new(&world.spots));
        let buffet = &world.spots[id];
        assert!(buffet.walked && buffet.lanes.len() == 2, "{:?}", buffet.lanes);
        lines.join(id, lines.shortest(id, buffet), 1, 0);
        assert_eq!(called(&lines.advance(id, buffet)), [1]);
        assert_eq!(lines.shortest(id, buffet), 1, "somebody is at the first place of the other");
        let side = &buffet.lanes[0].positions;
        assert_eq!(lines.walk_on(id, buffet, side[0]), Onward::To(side[1]));
        lines.join(id, 0, 2, 0);
        lines.advance(id, buffet);
        assert_eq!(lines.walk_on(id, buffet, side[0]), Onward::Blocked);
        assert_eq!(lines.before(id, buffet, side[1]), Some(2));
        let last = *side.last().unwrap_or(&0);
        assert_eq!(lines.walk_on(id, buffet, last), Onward::Done);
    }
}
