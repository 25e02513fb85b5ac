//! Food and drinks: how many guests find room at the edge, how far apart things are, whether glasses
//! are in sight, and what keeps plates and silver.

use crate::base::units::FOOT;
use crate::evening::scenario::Serves;
use crate::floor::paths::shortest;
use crate::floor::world::aisles::Gap;
use crate::floor::world::{Spot, SpotId, World, seats_along};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{Opening, PieceId, Side, Use};
use crate::review::places::hubs::{Hub, Role, is_walked};
use crate::review::verdict::{AtLeast, AtMost, Verdict};
use crate::review::walking::ways::WALKWAY;

/// Where food is served.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Food {
    /// The spot.
    pub spot: SpotId,
    /// Length of one of its sides, for the dishes, in meters.
    pub long: f64,
    /// Guests who find room at its edge at once, 24 in each (NKBA guideline 9).
    pub at_once: usize,
    /// Sides in use.
    pub sides: usize,
    /// Seconds between guests that one side keeps up.
    pub headway: f64,
    /// Guests, if somebody says how many.
    pub guests: Option<u32>,
    /// Whether it stands at a wall with floor before it for a second side and a walkway on both.
    pub may_come_off: bool,
}

/// An 8 ft table takes four at once (24 in each); at half of it guests wait for one another.
const AT_ONCE: AtLeast = AtLeast(2.0, 4.0);

impl Food {
    /// Against a buffet of 8 ft.
    pub fn verdict(&self) -> Verdict {
        AT_ONCE.of(self.at_once as f64)
    }

    /// Minutes until so many guests have a plate, one after the other on every side (wedding hosts:
    /// 200 guests in 100 min on one side, 50 on two, 25 on four).
    pub fn minutes(&self, guests: u32) -> f64 {
        f64::from(guests) * self.headway / 60.0 / self.sides.max(1) as f64
    }
}

/// Two things that should be apart, or near.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pair {
    /// Drinks away from the food, so that two lines do not meet (quantity-cooking author; caterers).
    DrinksFromFood,
    /// Drinks past the door, so that nobody stops right behind it (Eastaway & Fisher), and no
    /// farther than guests look for them.
    DrinksFromDoor,
    /// Food away from the door (party page).
    FoodFromDoor,
    /// Food near the kitchen (party page).
    FoodNearKitchen,
}

/// How far two things are apart, on foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// Which two.
    pub pair: Pair,
    /// Meters on foot.
    pub meters: f64,
    /// Where, in meters.
    pub at: (f64, f64),
}

/// Past the door, in meters: nobody behind it stands in the way of who comes next (common practice).
const PAST_DOOR: AtLeast = AtLeast(5.0 * FOOT, 10.0 * FOOT);

impl Apart {
    /// The figures are common practice; sources name the rule only.
    pub fn verdict(&self) -> Verdict {
        match self.pair {
            Pair::DrinksFromFood => AtLeast(4.0 * FOOT, 8.0 * FOOT).of(self.meters),
            Pair::DrinksFromDoor => {
                PAST_DOOR.of(self.meters).and(AtMost(45.0 * FOOT, 70.0 * FOOT).of(self.meters))
            }
            Pair::FoodFromDoor => PAST_DOOR.of(self.meters),
            Pair::FoodNearKitchen => AtMost(25.0 * FOOT, 45.0 * FOOT).of(self.meters),
        }
    }

    /// Whether the two should be nearer to each other.
    pub fn is_too_far(&self) -> bool {
        match self.pair {
            Pair::DrinksFromFood | Pair::FoodFromDoor => false,
            Pair::DrinksFromDoor => PAST_DOOR.of(self.meters) == Verdict::Passes,
            Pair::FoodNearKitchen => true,
        }
    }
}

/// Where glasses are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Glasses {
    /// With the drinks.
    WithDrinks,
    /// At a spot of their own: whether in sight, and how far from the drinks on foot, in meters.
    Apart {
        /// The spot.
        spot: SpotId,
        /// Whether they are in sight.
        in_sight: bool,
        /// Meters on foot.
        meters: f64,
    },
}

impl Glasses {
    /// In sight and within a few steps (common practice).
    pub fn verdict(&self) -> Verdict {
        match self {
            Glasses::WithDrinks => Verdict::Passes,
            Glasses::Apart { in_sight, meters, .. } => {
                let near = AtMost(10.0 * FOOT, 25.0 * FOOT).of(*meters);
                near.and(Verdict::passes_if(*in_sight, Verdict::Tight))
            }
        }
    }
}

/// What keeps plates and silver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Storage {
    /// The nearest sideboard or cabinet, and how far it is from the food, in meters.
    pub nearest: Option<(PieceId, f64)>,
    /// Whether that is what the food stands on.
    pub is_the_food: bool,
}

impl Storage {
    /// Within a few steps of the food (common practice).
    pub fn verdict(&self) -> Verdict {
        match self.nearest {
            Some((_, meters)) => AtMost(10.0 * FOOT, 25.0 * FOOT).of(meters),
            None => Verdict::Tight,
        }
    }
}

/// Everything about food and drinks.
#[derive(Clone, Debug, PartialEq)]
pub struct Serving {
    /// Food.
    pub food: Vec<Food>,
    /// How far things are apart.
    pub apart: Vec<Apart>,
    /// Glasses, if drinks are served.
    pub glasses: Option<Glasses>,
    /// Plates and silver, if food is served.
    pub storage: Option<Storage>,
}

/// Looks at all of it; `guests` if somebody says how many.
pub fn serving(world: &World, hubs: &[Hub], gaps: &[Gap], guests: Option<u32>) -> Serving {
    let food = world.spots_for(Serves::Food).iter().map(|&spot| {
        let s = &world.spots[spot];
        let sides: std::collections::BTreeSet<usize> = s.positions.iter().map(|p| p.side).collect();
        Food {
            spot,
            long: longest(world, s),
            at_once: room_at(world, s),
            sides: sides.len(),
            headway: s.serving.headway,
            guests,
            may_come_off: may_come_off(world, gaps, s),
        }
    });
    Serving {
        food: food.collect(),
        apart: apart(world, hubs),
        glasses: glasses(world),
        storage: storage(world),
    }
}

/// Whether a piece at a wall has floor before it to be pulled off and walked around.
fn may_come_off(world: &World, gaps: &[Gap], spot: &Spot) -> bool {
    let Some(piece) = world.plan.piece(&spot.name) else { return false };
    let clear = |side: Side| {
        let there = gaps.iter().filter(|g| g.piece == piece && g.side == side);
        there.map(|g| g.clear).reduce(f64::min)
    };
    world.plan.furniture[piece].kind.may_move()
        && clear(Side::Back).is_none_or(|back| back < WALKWAY.0)
        && clear(Side::Front).is_some_and(|front| front >= 2.0 * WALKWAY.1)
}

/// The longest side in use, in meters.
fn longest(world: &World, spot: &Spot) -> f64 {
    let piece = world.plan.piece(&spot.name).map(|p| &world.plan.furniture[p]);
    let edges = piece.map(|f| f.edges()).unwrap_or_default();
    edges.iter().map(|e| e.length).fold(0.0, f64::max)
}

/// Guests who find room at the edge in use.
fn room_at(world: &World, spot: &Spot) -> usize {
    let piece = world.plan.piece(&spot.name).map(|p| &world.plan.furniture[p]);
    let long = piece.map(|f| {
        // sides with a wall before them have no positions
        let used = f.edges().into_iter().enumerate();
        let used = used.filter(|(side, _)| spot.positions.iter().any(|p| p.side == *side));
        used.map(|(_, e)| seats_along(e.length) as usize).sum()
    });
    long.unwrap_or(spot.positions.len())
}

fn first(world: &World, serves: Serves) -> Option<usize> {
    let spot = world.spots_for(serves).first()?;
    at_spot(world, *spot)
}

fn at_spot(world: &World, spot: SpotId) -> Option<usize> {
    let (x, y) = world.spots[spot].positions.first()?.target.point.meters();
    Some(world.grid.nearest_node(x, y))
}

fn on_foot(world: &World, from: usize, to: usize) -> Option<f64> {
    let walked = |n: usize| is_walked(world, n) || n == from || n == to;
    shortest(&world.grid, from, to, &walked).map(|p| p.length)
}

fn apart(world: &World, hubs: &[Hub]) -> Vec<Apart> {
    let of = |role: Role| hubs.iter().find(|h| h.role == role).map(|h| h.heart);
    let (drinks, food) = (first(world, Serves::Drinks), first(world, Serves::Food));
    let (door, kitchen) = (of(Role::WayIn), of(Role::Kitchen));
    [
        (Pair::DrinksFromFood, drinks, food),
        (Pair::DrinksFromDoor, drinks, door),
        (Pair::FoodFromDoor, food, door),
        (Pair::FoodNearKitchen, food, kitchen),
    ]
    .into_iter()
    .filter_map(|(pair, a, b)| {
        let (a, b) = (a?, b?);
        let (p, q) = (world.grid.node_xy(a), world.grid.node_xy(b));
        let walk = on_foot(world, a, b)?;
        // two lines in one room meet across an aisle, however long the walk is
        let same_room = pair == Pair::DrinksFromFood
            && world.grid.area_at_node(a) == world.grid.area_at_node(b);
        let straight = (p.x - q.x).hypot(p.y - q.y);
        let meters = if same_room { walk.min(straight) } else { walk };
        Some(Apart { pair, meters, at: (p.x, p.y) })
    })
    .collect()
}

fn glasses(world: &World) -> Option<Glasses> {
    let drinks = first(world, Serves::Drinks)?;
    let Some(&spot) = world.spots_for(Serves::Glasses).first() else {
        return Some(Glasses::WithDrinks);
    };
    let meters = on_foot(world, drinks, at_spot(world, spot)?)?;
    Some(Glasses::Apart { spot, in_sight: world.spots[spot].search == 0.0, meters })
}

fn storage(world: &World) -> Option<Storage> {
    let spot = world.spots_for(Serves::Food).first()?;
    let (x, y) = world.spots[*spot].positions.first()?.target.point.meters();
    let keeps = world.plan.furniture.iter_enumerated();
    let keeps = keeps.filter(|(_, f)| {
        let room = world.room_at(x, y);
        let beside = |o: &Opening| o.joins(f.room) && room.is_some_and(|r| o.joins(r));
        matches!(f.kind, Kind::Sideboard | Kind::Cabinet)
            && (room == Some(f.room) || world.plan.openings.iter().any(beside))
            && world.plan.rooms[f.room].usage != Use::Outdoors
    });
    let far = keeps.map(|(p, f)| (p, (f.center.x - x).hypot(f.center.y - y)));
    let nearest = far.min_by(|a, b| a.1.total_cmp(&b.1));
    let under = world.plan.piece(&world.spots[*spot].name);
    Some(Storage { nearest, is_the_food: under.is_some() && nearest.map(|n| n.0) == under })
}
