//! Floors where drinks are spilled: the rooms in which most glasses are carried, and what lies there.

use crate::crowd::measure::COARSE;
use crate::evening::scenario::Serves;
use crate::floor::grid::Area;
use crate::floor::world::World;
use crate::house::plan::made_of::Finish;
use crate::house::plan::{RoomId, Use};
use crate::review::estimated::noise::finish;
use crate::review::verdict::Verdict;
use crate::study::ensemble::Ensemble;
use std::collections::BTreeMap;

/// A floor on which glasses are carried.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spilled {
    /// The room.
    pub room: RoomId,
    /// Share of the time guests spend in the house that they spend there, if evenings were
    /// simulated.
    pub share: Option<f64>,
    /// What lies there, if said.
    pub finish: Option<Finish>,
}

impl Spilled {
    /// Hard floors are wiped; wood wants it at once; what is woven keeps the stain (common practice).
    pub fn verdict(&self) -> Verdict {
        match self.finish {
            None => Verdict::Unknown,
            Some(Finish::Tile | Finish::Stone | Finish::Vinyl | Finish::Concrete) => {
                Verdict::Passes
            }
            Some(Finish::Wood | Finish::Laminate) => Verdict::Tight,
            Some(Finish::Rug | Finish::Carpet) => Verdict::Fails,
        }
    }
}

/// Share of their time guests spend in each room, over some evenings; the most first.
pub fn spent(world: &World, evenings: &Ensemble) -> Vec<(RoomId, f64)> {
    let width = world.grid.width.div_ceil(COARSE);
    let mut times: BTreeMap<RoomId, u64> = BTreeMap::new();
    for (cell, time) in evenings.presence.iter().flat_map(|bin| bin.iter().enumerate()) {
        let (i, j) = (cell % width * COARSE, cell / width * COARSE);
        let node = j.min(world.grid.height - 1) * world.grid.width + i.min(world.grid.width - 1);
        if let Area::Room(room) = world.grid.area_at_node(node) {
            *times.entry(room).or_default() += time;
        }
    }
    let all: u64 = times.values().sum();
    let mut shares: Vec<(RoomId, f64)> =
        times.into_iter().map(|(r, t)| (r, t as f64 / all.max(1) as f64)).collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares
}

/// Rooms in which guests spend less of their time than this are not told.
const SHARE: f64 = 0.10;
/// Rooms told at most.
const MOST: usize = 3;

/// The rooms in which most drinks are spilled: where guests spend their time, if that was simulated;
/// otherwise where drinks and food are served.
pub fn floors(world: &World, spent: Option<&[(RoomId, f64)]>) -> Vec<Spilled> {
    let indoors = |r: RoomId| world.plan.rooms[r].usage != Use::Outdoors;
    let rooms: Vec<(RoomId, Option<f64>)> = match spent {
        Some(spent) => spent
            .iter()
            .filter(|s| indoors(s.0) && s.1 >= SHARE)
            .map(|&(r, share)| (r, Some(share)))
            .collect(),
        None => {
            let spots = [Serves::Drinks, Serves::Food].into_iter();
            let spots = spots.flat_map(|s| world.spots_for(s)).filter_map(|&s| {
                let (x, y) = world.spots[s].positions.first()?.target.point.meters();
                world.room_at(x, y)
            });
            spots.filter(|&r| indoors(r)).map(|r| (r, None)).collect()
        }
    };
    let distinct = rooms.into_iter().fold(vec![], |mut kept: Vec<(RoomId, Option<f64>)>, r| {
        if !kept.iter().any(|k| k.0 == r.0) {
            kept.push(r);
        }
        kept
    });
    let spilled = |(room, share)| Spilled { room, share, finish: finish(&world.plan, room) };
    let mut all: Vec<Spilled> = distinct.into_iter().take(MOST).map(spilled).collect();
    // to be told once is enough
    let mut unsaid = false;
    all.retain(|s| s.finish.is_some() || !std::mem::replace(&mut unsaid, true));
    all
}
