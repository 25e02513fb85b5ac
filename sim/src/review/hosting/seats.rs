//! Seats: how many, against guests by occasion; groups for talk; somewhere for a glass; one near the
//! door.

use crate::base::units::{FOOT, INCH};
use crate::evening::scenario::Occasion;
use crate::floor::grid::walk_in;
use crate::floor::paths::shortest;
use crate::floor::world::{Seat, World};
use crate::house::plan::catalog::Kind;
use crate::house::plan::{PieceId, Use};
use crate::review::places::groups::{CIRCLE, Group, TOGETHER, is_talked_from};
use crate::review::places::hubs::{Hub, Role, is_walked};
use crate::review::places::tables::dining_tables;
use crate::review::verdict::{AtLeast, AtMost, Verdict};
use geo::{Distance, Euclidean, Point};

/// Seats with floor to reach them, indoors and out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// Sofas and armchairs.
    pub soft: usize,
    /// Benches and hearths.
    pub built_in: usize,
    /// At tables, islands and bars.
    pub at_tables: usize,
    /// Chairs, stools, ottomans: carried where they are wanted.
    pub carried: usize,
    /// All that are drawn, with floor or without.
    pub drawn: usize,
    /// Guests, if a scenario says, and the occasion.
    pub guests: Option<(u32, Occasion)>,
}

impl Count {
    /// All.
    pub fn all(&self) -> usize {
        self.soft + self.built_in + self.at_tables + self.carried
    }

    /// Seats a guest by occasion: cocktails 40 % (planners: 20 to 60), a buffet with plates 100 %
    /// (75 at least; common practice).
    pub fn asked(occasion: Occasion) -> AtLeast {
        match occasion {
            Occasion::Cocktails => AtLeast(0.25, 0.40),
            Occasion::Buffet => AtLeast(0.75, 1.0),
        }
    }

    /// The most guests for whom there are enough.
    pub fn enough_for(&self, occasion: Occasion) -> u32 {
        (self.all() as f64 / Count::asked(occasion).1 + 1e-9) as u32
    }

    /// Against the guests of the scenario.
    pub fn verdict(&self) -> Verdict {
        self.guests.map_or(Verdict::Unknown, |(guests, occasion)| {
            Count::asked(occasion).of(self.all() as f64 / f64::from(guests.max(1)) + 1e-9)
        })
    }
}

/// A group in which people talk.
#[derive(Clone, Debug, PartialEq)]
pub struct Circle {
    /// Which group.
    pub group: usize,
    /// Seats.
    pub seats: usize,
    /// The farthest two heads are apart, in meters.
    pub across: f64,
    /// Its middle, in meters.
    pub at: (f64, f64),
}

impl Circle {
    /// Heads in a seated talk: a circle of 10 ft (HUD 1973 in Time-Saver Standards), 12 ft at most
    /// (home-design course).
    pub fn verdict(&self) -> Verdict {
        AtMost(CIRCLE, TOGETHER).of(self.across)
    }
}

/// A dining table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Table {
    /// The piece.
    pub piece: PieceId,
    /// Its length and width, in meters.
    pub long: f64,
    /// See `long`.
    pub wide: f64,
    /// Seats the plan gives it.
    pub said: u32,
}

/// Diners at a table of a length in meters: 24 in each along both sides (Panero & Zelnik 1979); 60 in
/// seat 4, 84 in 6 and 109 in 8 with ends (Time-Saver Standards), which is the same.
pub fn diners(long: f64) -> u32 {
    2 * ((long + INCH / 4.0) / (24.0 * INCH)) as u32
}

/// A table this wide seats two at each end, in meters (60 in rounds seat 8 to 10: rental guide).
const WIDE: f64 = 48.0 * INCH;

impl Table {
    /// Diners with elbow room: along the long sides, and at the ends of one as wide as two diners.
    pub fn diners(&self) -> u32 {
        let ends = if self.wide >= WIDE { diners(self.wide) } else { 0 };
        diners(self.long) + ends
    }

    /// Two more squeeze in at the ends (common practice).
    pub fn verdict(&self) -> Verdict {
        let diners = f64::from(self.diners());
        AtMost(diners, diners + 2.0).of(f64::from(self.said))
    }
}

/// Everything about seats.
#[derive(Clone, Debug, PartialEq)]
pub struct Seats {
    /// How many.
    pub count: Count,
    /// Dining tables indoors.
    pub tables: Vec<Table>,
    /// Groups for talk.
    pub circles: Vec<Circle>,
    /// Whether one of them is for two.
    pub for_two: bool,
    /// Seats for talk, and those of them with somewhere to put a glass within reach.
    pub perches: (usize, usize),
    /// The way from the front door to the nearest seat, in meters.
    pub near_door: Option<f64>,
}

/// A hand with a glass reaches so far from the middle of a sitter, in meters: a low table 18 in before
/// a sofa 38 in deep is where designers put it.
const REACH: f64 = (38.0 / 2.0 + 18.0) * INCH;
/// Most seats have somewhere for a glass, or hardly any: our own yardstick.
const WITH_PERCH: AtLeast = AtLeast(0.34, 0.75);
/// Who cannot stand has a seat this near to the door (common practice).
const NEAR_DOOR: AtMost = AtMost(25.0 * FOOT, 45.0 * FOOT);

impl Seats {
    /// Whether seats for talk have somewhere for a glass; unknown without such seats.
    pub fn perch(&self) -> Verdict {
        let (seats, with) = self.perches;
        if seats == 0 {
            return Verdict::Unknown;
        }
        WITH_PERCH.of(with as f64 / seats as f64)
    }

    /// Whether a seat is near the door.
    pub fn door(&self) -> Verdict {
        self.near_door.map_or(Verdict::Fails, |meters| NEAR_DOOR.of(meters))
    }

    /// Whether two can talk alone.
    pub fn two(&self) -> Verdict {
        Verdict::passes_if(self.for_two, Verdict::Tight)
    }
}

/// Looks at all of it. `guests` are those of the scenario, if it says.
pub fn seats(world: &World, hubs: &[Hub], groups: &[Group], guests: Option<u32>) -> Seats {
    let kind = |s: &Seat| world.plan.furniture[s.piece].kind;
    let of = |is: &dyn Fn(Kind) -> bool| world.seats.iter().filter(|s| is(kind(s))).count();
    let carried = |k: Kind| matches!(k, Kind::Chair | Kind::Stool | Kind::Ottoman);
    let built_in = |k: Kind| matches!(k, Kind::Bench | Kind::Hearth);
    let count = Count {
        soft: of(&|k| !k.sat_at() && !carried(k) && !built_in(k)),
        built_in: of(&built_in),
        at_tables: of(&Kind::sat_at),
        carried: of(&carried),
        drawn: drawn(world),
        guests: guests.map(|n| (n, world.scenario.occasion)),
    };
    let indoors = |g: &&Group| world.plan.rooms[g.room].usage != Use::Outdoors;
    let circle = |(number, g): (usize, &Group)| Circle {
        group: number,
        seats: g.heads.len(),
        across: g.across(),
        at: g.middle(),
    };
    let talked = world.seats.iter().filter(|s| is_talked_from(kind(s)));
    Seats {
        count,
        tables: tables(world),
        circles: groups.iter().enumerate().map(circle).collect(),
        for_two: groups.iter().filter(indoors).any(|g| g.heads.len() == 2),
        perches: (talked.clone().count(), talked.filter(|s| has_perch(world, s)).count()),
        near_door: near_door(world, hubs),
    }
}

/// Seats that are drawn where guests walk.
fn drawn(world: &World) -> usize {
    let pieces = world.plan.furniture.iter().filter(|f| walk_in(&world.plan, f.room));
    pieces.map(|f| f.seats as usize).sum()
}

fn tables(world: &World) -> Vec<Table> {
    dining_tables(&world.plan)
        .map(|(piece, f)| Table {
            piece,
            long: f.width.max(f.depth),
            wide: f.width.min(f.depth),
            said: f.seats,
        })
        .collect()
}

/// Whether something with a top is within reach of a sitter.
fn has_perch(world: &World, seat: &Seat) -> bool {
    let (x, y) = seat.on.meters();
    let own = world.plan.furniture[seat.piece].room;
    let tops = world.plan.furniture.iter_enumerated().filter(|(p, f)| {
        *p != seat.piece
            && f.room == own
            && (f.kind.has_top() || f.is_low() || f.kind == Kind::Hearth || f.kind == Kind::Shelf)
    });
    tops.map(|(_, f)| Euclidean.distance(&Point::new(x, y), &f.outline)).any(|d| d <= REACH)
}

fn near_door(world: &World, hubs: &[Hub]) -> Option<f64> {
    let door = hubs.iter().find(|h| h.role == Role::WayIn)?;
    let indoors = world.seats.iter().filter(|s| {
        let room = world.plan.furniture[s.piece].room;
        world.plan.rooms[room].usage != Use::Outdoors
    });
    // the nearest by travel time, then measured
    let (_, nearest) = indoors
        .filter_map(|s| {
            let (x, y) = s.approach.point.meters();
            Some((world.to_entry(x, y)?, world.grid.nearest_node(x, y)))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    let walked = |n: usize| is_walked(world, n) || n == nearest;
    shortest(&world.grid, door.heart, nearest, &walked).map(|p| p.length)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_seat_what_time_saver_standards_say() {
        // with ends, at the lengths recommended
        for (inches, seats) in [(60.0, 4), (84.0, 6), (109.0, 8), (132.0, 10)] {
            assert_eq!(diners(inches * INCH), seats, "{inches} in");
        }
        // 24 in a seat along each side
        assert_eq!(diners(72.0 * INCH), 6);
    }
}
