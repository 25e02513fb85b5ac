//! The plan itself, before anyone is invited: a house goes in, and comes out held against what
//! designers and caterers use, row by row, with where on the drawing. Nothing is simulated.

/// How a figure stands.
pub mod verdict;
/// Places guests go between, groups of seats, kitchens.
pub mod places;
/// Getting about.
pub mod walking;
/// What is seen from where, the powder room, the way outdoors.
pub mod rooms;
/// Food, drinks, seats, kitchen, coats.
pub mod hosting;
/// What a drawing cannot show.
pub mod estimated;
/// What would give a narrow place its width.
pub mod mend;
/// What a review finds.
pub mod fact;
/// Rows, topic by topic.
mod rows;

pub use fact::{Estimated, Fact, Guess, Row, Topic, Unsaid};

use crate::base::parallel::in_order;
use crate::evening::scenario::Weather;
use crate::floor::faults::Purpose;
use crate::floor::widths::Widths;
use crate::floor::world::World;
use crate::floor::world::aisles::{Gap, gaps};
use crate::house::plan::{RoomId, Use};
use estimated::air::air;
use estimated::children::children;
use estimated::dishes::dishes;
use estimated::floors::floors;
use estimated::guests::home_rule;
use estimated::lacks::Lacks;
use estimated::noise::{bedrooms, spaces};
use estimated::parking::parking;
use hosting::coats::coats;
use hosting::seats::seats;
use mend::{Mend, moved};
use places::groups::{Group, groups};
use places::hubs::{Hub, hubs};
use rooms::sight::{Outlook, SITTING, STANDING};
use rows::Rows;
use verdict::Verdict;
use walking::gaps::{Before, For, befores};
use walking::ways::{Ways, ways};

/// A plan reviewed.
#[derive(Debug)]
pub struct Review {
    /// Places guests go between.
    pub hubs: Vec<Hub>,
    /// Groups in which people talk.
    pub groups: Vec<Group>,
    /// Ways between places, and what they lead through.
    pub ways: Ways,
    /// What was measured, topic by topic, in each the worst first.
    pub rows: Vec<Row>,
    /// What was estimated.
    pub estimates: Vec<Estimated>,
    /// Rows by what their change is worth, the most first, by number; those that pass are not among
    /// them.
    pub worth: Vec<usize>,
}

/// What is asked beside the plan.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Guests, if somebody says how many.
    pub guests: Option<u32>,
    /// The weather, if somebody says; coats are those of winter otherwise.
    pub weather: Option<Weather>,
    /// Whether it rains.
    pub rain: bool,
    /// Rooms and the share of their time guests spend there, if evenings were simulated.
    pub spent: Option<Vec<(RoomId, f64)>>,
}

impl Asked {
    /// Whether doors to the outdoors stay shut that evening.
    fn stays_shut(&self) -> bool {
        !self.weather.unwrap_or(Weather::Mild).opens_patio(self.rain)
    }
}

/// A house measured: what moving about takes, which is looked at again when a piece is moved.
struct Measured {
    hubs: Vec<Hub>,
    groups: Vec<Group>,
    ways: Ways,
    gaps: Vec<Gap>,
    befores: Vec<Before>,
    outlooks: [Outlook; 2],
    rows: Rows,
}

impl Measured {
    fn new(world: &World) -> Measured {
        let floor = Widths::new(world);
        let (hubs, groups) = (hubs(world), groups(world));
        let ways = ways(world, &floor, &hubs);
        let gaps = gaps(world);
        let befores = befores(world, &floor, &gaps);
        let outlooks = [STANDING, SITTING].map(|eyes| Outlook::new(world, eyes));
        let mut rows = Rows::default();
        rows.walkways(world, &ways, &gaps, &befores);
        rows.routes(world, &hubs, &groups);
        rows.powder_rooms(world, &floor, &hubs, outlooks.each_ref());
        rows.for_everybody(world, &floor, &hubs);
        Measured { hubs, groups, ways, gaps, befores, outlooks, rows }
    }

    /// Rows that fail, and rows that are tight.
    fn short(&self) -> [usize; 2] {
        let of = |v: Verdict| self.rows.0.iter().filter(|r| r.verdict == v).count();
        [of(Verdict::Fails), of(Verdict::Tight)]
    }
}

/// Reviews a plan.
pub fn review(world: &World, asked: &Asked) -> Review {
    let mut m = Measured::new(world);
    mend_all(world, &mut m);
    let mut rows = std::mem::take(&mut m.rows);
    rows.sight_lines(world, &m.hubs, &m.outlooks[0]);
    rows.outdoors(world);
    rows.food_and_drinks(world, &m.hubs, &m.gaps, asked.guests);
    rows.seats(world, &seats(world, &m.hubs, &m.groups, asked.guests));
    rows.kitchens(world, &m.gaps, &m.befores);
    let coats = coats(world, asked.guests, asked.weather, asked.rain);
    rows.add(coats.verdict(), None, Fact::Coats(coats));
    let mut rows = rows.0;
    let rank = |v: Verdict| Verdict::ALL.iter().position(|a| *a == v);
    rows.sort_by_key(|r| (r.fact.topic(), rank(r.verdict)));
    let worth = by_worth(&rows);
    let estimates = estimates(world, &m.hubs, &m.outlooks[0], asked);
    Review { hubs: m.hubs, groups: m.groups, ways: m.ways, rows, estimates, worth }
}

/// Moves that are tried at most: each measures the house again.
const TRIED: usize = 10;

/// Gives rows what mends them. A move is proposed only if with it less fails or is tight in the
/// whole house.
fn mend_all(world: &World, m: &mut Measured) {
    let mut order: Vec<usize> = (0..m.rows.0.len()).collect();
    order.sort_by_key(|&i| m.rows.0[i].verdict != Verdict::Fails);
    let mends: Vec<(usize, Mend)> = order
        .into_iter()
        .flat_map(|i| mends_of(world, m, &m.rows.0[i]).into_iter().map(move |mend| (i, mend)))
        .collect();
    let moves: Vec<Mend> = mends
        .iter()
        .map(|(_, mend)| *mend)
        .filter(|mend| matches!(mend, Mend::Move { .. }))
        .take(TRIED)
        .collect();
    let before = m.short();
    let helps = in_order(&moves, |mend| is_better(world, mend, before), &|| ());
    let is_good = |mend: &Mend| match mend {
        Mend::Move { .. } => moves.iter().zip(&helps).any(|(tried, helps)| tried == mend && *helps),
        _ => true,
    };
    for (i, mend) in mends {
        if m.rows.0[i].mend.is_none() && is_good(&mend) {
            m.rows.0[i].mend = Some(mend);
        }
    }
}

/// What might mend a row, the best first.
fn mends_of(world: &World, m: &Measured, row: &Row) -> Vec<Mend> {
    match &row.fact {
        _ if row.verdict == Verdict::Passes => vec![],
        Fact::Narrowing(n) => mend::of_narrowing(world, &m.gaps, &m.befores, n),
        Fact::Doorway(d) => vec![mend::of_doorway(d)],
        Fact::Before(b) => mend::of_gap(world, &m.gaps, &m.befores, b),
        _ => vec![],
    }
}

/// Whether less fails, or as much fails and less is tight, in the house with a piece moved.
fn is_better(world: &World, mend: &Mend, before: [usize; 2]) -> bool {
    let Mend::Move { piece, by, toward } = *mend else { return false };
    let house = moved(world, piece, (by * toward.0, by * toward.1));
    house.is_some_and(|house| Measured::new(&house).short() < before)
}

/// How much a row's change is worth beside others: what guests meet every evening first. Our own
/// judgment.
fn weight(fact: &Fact) -> u32 {
    match fact {
        Fact::NoPowder => 10,
        Fact::Door(_) => 9,
        Fact::Narrowing(n) => 6 + n.ways.len().min(4) as u32,
        Fact::Doorway(d) => 5 + d.ways.len().min(4) as u32,
        Fact::Before(b) => match b.of {
            For::Purpose(Purpose::Work | Purpose::Walkway | Purpose::PastDiners) => 8,
            For::StandBefore | For::Purpose(Purpose::ApplianceDoor) => 7,
            For::Purpose(Purpose::Chair | Purpose::Toilet | Purpose::BesideToilet) => 5,
            For::BetweenSeats | For::Purpose(Purpose::Knees) => 4,
        },
        Fact::PowderOnto(_) | Fact::PowderSeen(_) => 7,
        Fact::Coats(_) | Fact::Food(_) | Fact::SeatCount(_) => 7,
        Fact::Apart(_) | Fact::PowderLine(..) | Fact::Cooks(..) => 6,
        Fact::Crossing(_) | Fact::Openness(_) | Fact::PowderAway(_) | Fact::Triangle(_) => 5,
        Fact::Reach(_) | Fact::Landing(_) | Fact::Preparing(_) | Fact::Entrance(_) => 4,
        Fact::Perches(..) | Fact::Circle(_) | Fact::Sight(_) | Fact::Table(_) => 3,
        _ => 2,
    }
}

/// What fails counts for more than what is tight.
const FAILS: u32 = 4;

fn by_worth(rows: &[Row]) -> Vec<usize> {
    let worth = |r: &Row| match r.verdict {
        Verdict::Fails => 2 * weight(&r.fact) + FAILS,
        Verdict::Tight => weight(&r.fact),
        Verdict::Passes | Verdict::Unknown => 0,
    };
    let mut ranked: Vec<usize> = (0..rows.len()).filter(|&i| worth(&rows[i]) > 0).collect();
    ranked.sort_by_key(|&i| (std::cmp::Reverse(worth(&rows[i])), i));
    ranked
}

impl Review {
    /// So many rows of those whose change is worth most: only one of each topic and of each place,
    /// since one change mends both, and only such as somebody can help with.
    pub fn best(&self, most: usize, helps: impl Fn(&Row) -> bool) -> Vec<usize> {
        let mut chosen: Vec<usize> = vec![];
        for &i in &self.worth {
            let row = &self.rows[i];
            let told = chosen.iter().any(|&c| {
                let other = &self.rows[c];
                other.fact.topic() == row.fact.topic() || is_one_place(other.at, row.at)
            });
            if chosen.len() < most && !told && helps(row) {
                chosen.push(i);
            }
        }
        chosen
    }
}

/// Whether two rows are about one place.
fn is_one_place(a: Option<(f64, f64)>, b: Option<(f64, f64)>) -> bool {
    const ONE_PLACE: f64 = 1.5;
    a.zip(b).is_some_and(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) < ONE_PLACE)
}

fn estimates(world: &World, hubs: &[Hub], outlook: &Outlook, asked: &Asked) -> Vec<Estimated> {
    let (plan, guests) = (&world.plan, asked.guests);
    let mut found: Vec<Estimated> = vec![];
    let mut add = |verdict: Option<Verdict>, guess: Guess| found.push(Estimated { guess, verdict });
    let unknown = Some(Verdict::Unknown);
    if let Some(rule) = home_rule(plan, guests) {
        add(rule.verdict(), Guess::HomeRule(rule));
    }
    match guests {
        Some(n) => {
            let d = dishes(plan, n, world.scenario.occasion);
            add(Some(d.owned()), Guess::Owned(d));
            match d.machines {
                0 => add(unknown, Guess::Unknown(Unsaid::Dishes, Lacks::Dishwasher)),
                _ => add(Some(d.washing()), Guess::Dishes(d)),
            }
        }
        None => add(unknown, Guess::Unknown(Unsaid::Dishes, Lacks::Guests)),
    }
    match spaces(plan, guests) {
        Ok(spaces) => {
            for s in &spaces {
                add(guests.map(|_| s.verdict()), Guess::Talk(s.clone()));
            }
            match bedrooms(plan, &spaces) {
                Ok(all) if all.is_empty() && plan.rooms.iter().any(|r| r.usage == Use::Bedroom) => {
                    add(Some(Verdict::Passes), Guess::NoBedroomNextDoor)
                }
                Ok(all) => all.into_iter().for_each(|b| add(Some(b.verdict()), Guess::Bedroom(b))),
                Err(lacks) => add(unknown, Guess::Unknown(Unsaid::Bedrooms, lacks)),
            }
        }
        Err(lacks) => add(unknown, Guess::Unknown(Unsaid::Talk, lacks)),
    }
    add(None, Guess::Machines);
    let kids = children(world, hubs, outlook);
    if kids.is_empty() {
        add(unknown, Guess::Unknown(Unsaid::Children, Lacks::Kids));
    }
    kids.into_iter().for_each(|c| add(Some(c.verdict()), Guess::Children(c)));
    match plan.made_of.parking {
        Some(said) => {
            let cars = parking(said, guests);
            add(guests.map(|_| cars.verdict()), Guess::Cars(cars));
        }
        None => add(unknown, Guess::Unknown(Unsaid::Parking, Lacks::Parking)),
    }
    match air(plan, guests, asked.stays_shut()) {
        Ok(a) => {
            add(Some(a.verdict()), Guess::Air(a));
            add(None, Guess::Heat(a));
        }
        Err(lacks) => add(unknown, Guess::Unknown(Unsaid::Air, lacks)),
    }
    for s in floors(world, asked.spent.as_deref()) {
        add(Some(s.verdict()), Guess::Spilled(s));
    }
    found
}
