//! Where those who host stand, and in what turn: one greets while guests are expected, then joins
//! the others, who carry between kitchen and tables; who pours stands behind the bar all evening.

use super::{Chosen, SpotId, Stand, World, spots};
use crate::base::units::Point;
use crate::evening::scenario::Serves;
use crate::floor::routes::Target;
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Edge, RoomId, Side, Use};

/// What somebody who hosts does at a post.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Greets, near the way in.
    Greet,
    /// Pours at a spot.
    Pour(SpotId),
    /// Makes ready in the kitchen.
    Kitchen,
    /// Sets down and clears at food or drinks.
    Table,
}

/// A place to host at.
#[derive(Clone, Copy, Debug)]
pub struct Post {
    /// What for.
    pub duty: Duty,
    /// Where.
    pub target: Target,
}

/// Hosts stand at least this far from lanes, serving positions, seats and openings, in meters:
/// common practice.
const POST_FREE: f64 = 0.75;
/// Who pours keeps this far from those served and from one another, in meters.
const POURER_APART: f64 = 0.5;

pub(super) fn lay(world: &mut World) {
    if world.scenario.is_scripted() {
        return;
    }
    let greet = greeting(world);
    let carry: Vec<Post> = kitchen(world).into_iter().chain(tables(world)).collect();
    let pour = pouring(world);
    let (greets, carries) = (greet.is_some(), carry.len());
    world.posts = greet.into_iter().chain(carry).chain(pour.iter().copied()).collect();
    let first = usize::from(greets);
    let round: Vec<usize> = (first..first + carries).collect();
    let pouring: Vec<usize> = (first + carries..world.posts.len()).collect();
    world.rounds = rounds(world.scenario.hosts as usize, greets, &round, &pouring);
    tell(world, pour.len());
}

/// The first host greets, the next ones pour, the others carry. Who is missing at the bars is
/// hired.
fn rounds(hosts: usize, greets: bool, carry: &[usize], pour: &[usize]) -> Vec<Vec<usize>> {
    let mut rounds: Vec<Vec<usize>> = vec![];
    if hosts > 0 && greets {
        rounds.push(std::iter::once(0).chain(carry.iter().copied()).collect());
    }
    rounds.extend(pour.iter().map(|&p| vec![p]));
    for k in 0..hosts.saturating_sub(rounds.len()) {
        let turned: Vec<usize> = (0..carry.len()).map(|i| carry[(i + k) % carry.len()]).collect();
        rounds.push(turned);
    }
    rounds.retain(|r| !r.is_empty());
    rounds
}

fn tell(world: &mut World, pourers: usize) {
    let poured =
        world.spots.iter().filter(|s| s.serving.poured).map(|s| s.positions.len()).sum::<usize>();
    if poured > pourers {
        world.chosen.push(Chosen::NoFloorToPour);
    }
    let hosts = world.scenario.hosts as usize;
    if let Some(hired) = world.rounds.len().checked_sub(hosts).filter(|&n| n > 0) {
        world.chosen.push(Chosen::Hired(hired as u32));
    }
}

/// The stand off lanes and openings that is nearest to the way in, indoors.
fn greeting(world: &World) -> Option<Post> {
    let indoors = free_stands(world).filter(|s| world.plan.rooms[s.room].usage != Use::Outdoors);
    let far = |s: &&Stand| {
        let (x, y) = s.target.point.meters();
        world.to_entry(x, y).map_or(u64::MAX, |d| (d * 1000.0) as u64)
    };
    indoors.min_by_key(far).map(|s| Post { duty: Duty::Greet, target: s.target })
}

fn free_stands(world: &World) -> impl Iterator<Item = &Stand> {
    world.stands.iter().filter(|s| s.free >= POST_FREE)
}

fn nearest_stand(world: &World, at: Point, room: Option<RoomId>) -> Option<Target> {
    let away = |s: &&Stand| (s.target.point.distance(at) * 1000.0) as u64;
    let there = |s: &&Stand| room.is_none_or(|r| s.room == r);
    let best = free_stands(world)
        .filter(there)
        .min_by_key(away)
        .or_else(|| world.stands.iter().filter(there).min_by_key(away));
    best.map(|s| s.target)
}

/// Before the range, or else the sink, or else a counter of the kitchen.
fn kitchen(world: &World) -> Option<Post> {
    let in_kitchen =
        |f: &&crate::house::plan::Furniture| world.plan.rooms[f.room].usage == Use::Kitchen;
    let piece = [Kind::Range, Kind::Sink, Kind::Counter]
        .iter()
        .find_map(|&k| world.plan.furniture.iter().filter(in_kitchen).find(|f| f.kind == k))?;
    let target =
        nearest_stand(world, Point::from_meters(piece.center.x, piece.center.y), Some(piece.room))?;
    Some(Post { duty: Duty::Kitchen, target })
}

/// Near each spot of food or drinks that is not poured.
fn tables(world: &World) -> Vec<Post> {
    let laid = world
        .spots
        .iter()
        .filter(|s| s.serves == Serves::Food || (s.serves == Serves::Drinks && !s.serving.poured));
    laid.filter_map(|s| nearest_stand(world, s.positions.first()?.target.point, None))
        .map(|target| Post { duty: Duty::Table, target })
        .collect()
}

/// One for each position of a poured spot, on the side guests do not use, where there is floor.
fn pouring(world: &World) -> Vec<Post> {
    let mut posts: Vec<Post> = vec![];
    for (id, spot) in world
        .spots
        .iter_enumerated()
        .filter(|(_, s)| s.serves == Serves::Drinks && s.serving.poured)
    {
        let Some(piece) = world.plan.piece(&spot.name).map(|p| &world.plan.furniture[p]) else {
            continue;
        };
        let served =
            |e: &Edge| spot.positions.iter().any(|p| spots::is_before(e, p.target.point.meters()));
        let edges = [Side::Front, Side::Back, Side::Ends].iter().flat_map(|&s| piece.edges_of(s));
        let behind: Vec<Target> =
            edges.filter(|e| !served(e)).flat_map(|e| spots::along(world, &e)).collect();
        for position in &spot.positions {
            let at = position.target.point;
            let apart = |t: &&Target| {
                let keeps = |o: Point| o.distance(t.point) >= POURER_APART;
                spot.positions.iter().all(|p| keeps(p.target.point))
                    && posts.iter().all(|p| keeps(p.target.point))
            };
            let nearest =
                behind.iter().filter(apart).min_by_key(|t| (t.point.distance(at) * 1000.0) as u64);
            posts.extend(nearest.map(|&target| Post { duty: Duty::Pour(id), target }));
        }
    }
    posts
}
