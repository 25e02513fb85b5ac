//! Talk groups: circles of people on real floor, formed where people are drawn to. Takes events,
//! returns where to stand; knows nothing of walking.

use crate::base::chance::Chance;
use crate::crowd::bodies::BodyId;
use crate::floor::routes::Target;
use crate::floor::world::{KEPT_FREE, World};

/// Radius of a circle of 1 to 5 people, in meters: 0.45, 0.58, 0.67, 0.77 for 2 to 5 (measured from
/// open annotations of real parties).
const RADIUS: [f64; 5] = [0.0, 0.45, 0.58, 0.67, 0.77];
/// Least distance between people of different circles, in meters (nearest neighbors at a real
/// party: 0.60 median, 0.39 at the fifth percentile).
const APART: f64 = 0.45;
/// People stand at least this far from walls and furniture when they talk, in meters.
const FROM_WALL: f32 = 0.20;
/// One over the weight of beginning a circle anywhere against joining one.
const FRESH: u64 = 16;
/// Draws before somebody gives up looking for floor of their own.
const TRIES: u32 = 24;
/// How much likelier people are to join an open circle than to begin one, for each person in it.
const COMPANY: u64 = 3;

/// Directions of the places of a circle: k-th of n, as cosines and sines (no trigonometry in the
/// event loop).
const AROUND: [&[(f64, f64)]; 5] = [
    &[(0.0, 0.0)],
    &[(1.0, 0.0), (-1.0, 0.0)],
    &[(1.0, 0.0), (-0.5, 0.866_025_403_784), (-0.5, -0.866_025_403_784)],
    &[(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)],
    &[
        (1.0, 0.0),
        (0.309_016_994_375, 0.951_056_516_295),
        (-0.809_016_994_375, 0.587_785_252_292),
        (-0.809_016_994_375, -0.587_785_252_292),
        (0.309_016_994_375, -0.951_056_516_295),
    ],
];

/// A twelfth of a turn, as cosine and sine: circles stand at any twelfth, or an aisle would take
/// pairs the better for running east.
const TWELFTH: [(f64, f64); 12] = [
    (1.0, 0.0),
    (0.866_025_403_784, 0.5),
    (0.5, 0.866_025_403_784),
    (0.0, 1.0),
    (-0.5, 0.866_025_403_784),
    (-0.866_025_403_784, 0.5),
    (-1.0, 0.0),
    (-0.866_025_403_784, -0.5),
    (-0.5, -0.866_025_403_784),
    (0.0, -1.0),
    (0.5, -0.866_025_403_784),
    (0.866_025_403_784, -0.5),
];

/// Places at a perch, in meters along its edge and out from those who lean on it: as far apart as
/// neighbors at a real party (0.60 m median), and a pair face to face.
const AT_PERCH: [&[(f64, f64)]; 5] = [
    &[(0.0, 0.0)],
    &[(-0.305, 0.0), (0.305, 0.0)],
    &[(-0.305, 0.0), (0.305, 0.0), (0.0, 0.62)],
    &[(-0.305, 0.0), (0.305, 0.0), (-0.36, 0.70), (0.36, 0.70)],
    &[(-0.61, 0.0), (0.0, 0.0), (0.61, 0.0), (-0.36, 0.70), (0.36, 0.70)],
];

/// One circle.
#[derive(Clone, Debug)]
struct Group {
    stand: usize,
    places: Vec<(Target, Option<BodyId>)>,
}

/// A place in a circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seated {
    group: usize,
    place: usize,
}

/// All circles of a trial.
#[derive(Default)]
pub struct Talk {
    groups: Vec<Option<Group>>,
}

impl Talk {
    /// No circles.
    pub fn new() -> Talk {
        Talk::default()
    }

    /// Finds company: an open circle, or a new one with room for as many as the law of group sizes
    /// gives. `None` if there is no floor left to stand on.
    pub fn find(
        &mut self,
        world: &World,
        who: BodyId,
        from: (f64, f64),
        chance: &mut Chance,
    ) -> Option<(Seated, Target)> {
        let open: Vec<usize> =
            (0..self.groups.len()).filter(|&g| self.vacancy(g).is_some()).collect();
        let joins: Vec<u64> = open.iter().map(|&g| self.draw_to(world, g, from)).collect();
        let all_joins: u64 = joins.iter().sum();
        if let Some(0) =
            chance.weighted(&[all_joins, world.stand_pulls.last().copied().unwrap_or(0) / FRESH])
            && let Some(pick) = chance.weighted(&joins)
        {
            return self.sit_in(open[pick], who);
        }
        let wish = chance.group_size(world.scenario.talk.rate, world.scenario.talk.most);
        let standing: Vec<(f64, f64)> = self.standing().collect();
        for _ in 0..TRIES {
            let Some(stand) = fresh(world, &standing, from, chance) else {
                continue;
            };
            let facing = TWELFTH[chance.below(12) as usize];
            for size in (1..=wish.min(5)).rev() {
                if let Some(group) = circle(world, &standing, stand, size as usize, facing) {
                    let id = self.add(group);
                    return self.sit_in(id, who);
                }
            }
        }
        let pick = chance.weighted(&joins)?;
        self.sit_in(open[pick], who)
    }

    /// Somebody stops short of a place in a circle: the place is where they are.
    pub fn settle(&mut self, at: Seated, here: Target) {
        if let Some(group) = &mut self.groups[at.group] {
            group.places[at.place].0 = here;
        }
    }

    /// Somebody leaves a circle; an empty one is gone.
    pub fn leave(&mut self, at: Seated) {
        if let Some(group) = &mut self.groups[at.group] {
            group.places[at.place].1 = None;
            if group.places.iter().all(|p| p.1.is_none()) {
                self.groups[at.group] = None;
            }
        }
    }

    /// Sizes of all circles now.
    pub fn sizes(&self) -> Vec<usize> {
        self.groups
            .iter()
            .flatten()
            .map(|g| g.places.iter().filter(|p| p.1.is_some()).count())
            .collect()
    }

    fn add(&mut self, group: Group) -> usize {
        match self.groups.iter().position(Option::is_none) {
            Some(free) => {
                self.groups[free] = Some(group);
                free
            }
            None => {
                self.groups.push(Some(group));
                self.groups.len() - 1
            }
        }
    }

    fn vacancy(&self, group: usize) -> Option<usize> {
        self.groups[group].as_ref()?.places.iter().position(|p| p.1.is_none())
    }

    fn sit_in(&mut self, group: usize, who: BodyId) -> Option<(Seated, Target)> {
        let place = self.vacancy(group)?;
        let slot = &mut self.groups[group].as_mut()?.places[place];
        slot.1 = Some(who);
        Some((Seated { group, place }, slot.0))
    }

    /// Pull of an open circle: of its room, by the people in it, less when it is far.
    fn draw_to(&self, world: &World, group: usize, from: (f64, f64)) -> u64 {
        let Some(g) = &self.groups[group] else {
            return 0;
        };
        let people = g.places.iter().filter(|p| p.1.is_some()).count() as u64;
        let stand = &world.stands[g.stand];
        stand.pull * people * COMPANY * 4 / (4 + meters_away(world, stand.target, from))
    }

    fn standing(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.groups.iter().flatten().flat_map(|g| g.places.iter()).map(|p| p.0.point.meters())
    }
}

/// Draws a stand where a new circle could be: by pull, and less often the farther it is. `None`
/// if that draw does not serve.
fn fresh(
    world: &World,
    standing: &[(f64, f64)],
    from: (f64, f64),
    chance: &mut Chance,
) -> Option<usize> {
    let ticket = chance.below_long(world.stand_pulls.last().copied()?);
    let stand = world.stand_pulls.partition_point(|&sum| sum <= ticket);
    let s = &world.stands[stand];
    let near = chance.happens(4.0 / (4.0 + meters_away(world, s.target, from) as f64));
    let (x, y) = s.target.point.meters();
    (near && standing.iter().all(|p| squared(*p, (x, y)) >= APART * APART)).then_some(stand)
}

/// A circle of a size round a stand, its first place toward `facing`, or an arc at a perch, if
/// all its places are on free floor.
fn circle(
    world: &World,
    standing: &[(f64, f64)],
    stand: usize,
    size: usize,
    facing: (f64, f64),
) -> Option<Group> {
    let (cx, cy) = world.stands[stand].target.point.meters();
    let radius = RADIUS[size - 1];
    let tight = world.stands[stand].free < KEPT_FREE;
    if tight && size > 2 {
        return None;
    }
    let (places, unit) = match world.stands[stand].perch {
        Some((ox, oy)) => (AT_PERCH[size - 1], ((oy, -ox), (ox, oy), 1.0)),
        None => (AROUND[size - 1], (facing, (-facing.1, facing.0), radius)),
    };
    let ((ax, ay), (bx, by), scale) = unit;
    let places = places.iter().map(|(a, b)| {
        let (x, y) = (cx + scale * (ax * a + bx * b), cy + scale * (ay * a + by * b));
        let fits = world.grid.clearance(x, y) >= FROM_WALL
            && standing.iter().all(|p| squared(*p, (x, y)) >= APART * APART)
            && (tight || world.is_good_to_stand(x, y))
            && world.grid.is_clear_line((cx, cy), (x, y), 0.0);
        if !fits
            || (size > 1
                && world.stands[stand].free - radius < KEPT_FREE - 0.25
                && !tight
                && too_near(world, x, y))
        {
            return None;
        }
        world.routes.target(&world.grid, x, y).map(|t| (t, None))
    });
    places.collect::<Option<Vec<_>>>().map(|places| Group { stand, places })
}

fn squared(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)
}

/// As the crow flies, or on foot to another level.
fn meters_away(world: &World, target: Target, from: (f64, f64)) -> u64 {
    let there = target.point.meters();
    let on_foot = || world.routes.lead(&world.grid, from.0, from.1, &target).map(|lead| lead.togo);
    let climbs =
        world.plan.levels.len() > 1 && world.plan.level_at(there.1) != world.plan.level_at(from.1);
    climbs.then(on_foot).flatten().unwrap_or_else(|| squared(there, from).sqrt()) as u64
}

/// Whether a point is where people are served or walk through an opening.
fn too_near(world: &World, x: f64, y: f64) -> bool {
    let served = world
        .spots
        .iter()
        .flat_map(|s| s.positions.iter())
        .any(|p| squared(p.target.point.meters(), (x, y)) < KEPT_FREE * KEPT_FREE);
    let in_line = world
        .spots
        .iter()
        .flat_map(|s| s.lanes.iter())
        .flat_map(|l| l.slots.iter().take(4))
        .any(|t| squared(t.point.meters(), (x, y)) < 0.35 * 0.35);
    served || in_line
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::chance::{Key, Purpose};
    use crate::floor::small_house::{house, point};

    fn chance() -> Chance {
        Key { seed: 5, trial: 0, person: 0 }.stream(Purpose::Talk, 0)
    }

    /// Places of so many people who look for company, one after the other, in the parlor.
    fn company(world: &World, people: usize) -> (Talk, Vec<(Seated, Target)>) {
        let (mut talk, mut chance) = (Talk::new(), chance());
        let from = point((12.0, 4.0)).meters();
        let found = (0..people).filter_map(|who| talk.find(world, who, from, &mut chance));
        let places = found.collect();
        (talk, places)
    }

    #[test]
    fn everybody_has_a_place_of_their_own_an_arm_apart() {
        let world = house("");
        let (talk, places) = company(&world, 20);
        assert_eq!(places.len(), 20);
        assert_eq!(talk.sizes().iter().sum::<usize>(), 20);
        for (i, a) in places.iter().enumerate() {
            for b in &places[..i] {
                let apart = a.1.point.distance(b.1.point);
                assert!(apart >= APART, "{apart:.2} m apart");
            }
        }
    }

    #[test]
    fn nobody_stands_at_a_wall_or_where_guests_are_served() {
        let world = house("");
        for (_, place) in company(&world, 20).1 {
            let (x, y) = place.point.meters();
            assert!(world.grid.clearance(x, y) >= FROM_WALL);
            assert!(world.is_good_to_stand(x, y));
        }
    }

    #[test]
    fn groups_are_no_larger_than_asked_for() {
        let world = house("talk = { rate = 5 }");
        let (talk, _) = company(&world, 30);
        assert!(talk.sizes().iter().all(|&n| n <= 5), "{:?}", talk.sizes());
        assert!(talk.sizes().iter().any(|&n| n >= 3), "{:?}", talk.sizes());
    }

    #[test]
    fn a_circle_that_everybody_has_left_is_gone() {
        let world = house("");
        let (mut talk, places) = company(&world, 6);
        places.iter().for_each(|(seat, _)| talk.leave(*seat));
        assert!(talk.sizes().is_empty());
    }

    #[test]
    fn a_full_room_has_no_place_left() {
        let world = house("");
        let (_, places) = company(&world, 400);
        assert!(places.len() < 400 && places.len() > 40, "{}", places.len());
    }
}
