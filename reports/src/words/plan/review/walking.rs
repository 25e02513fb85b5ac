//! Getting about: ways, floor before furniture, everyday routes, ways for everybody.

use super::{room as room_of, way};
use crate::words::plan::check::{between_words, bound, piece_of};
use crate::words::{capital, door, length, opening, width, with_article};
use sim::base::units::INCH;
use sim::floor::faults::{Fault, Purpose};
use sim::floor::world::World;
use sim::floor::world::aisles::Bound;
use sim::house::plan::Use;
use sim::house::plan::said::Compass;
use sim::review::Review;
use sim::review::mend::Mend;
use sim::review::verdict::Passing;
use sim::review::walking::access::{Barrier, Entrance, Goal, Reach, Turning};
use sim::review::walking::gaps::{Before, For};
use sim::review::walking::routes::{Across, Crossing};
use sim::review::walking::ways::{Doorway, Narrowing, SMALL_DOOR, WIDEST};

/// How two people pass in a width.
pub(super) fn passing(meters: f64) -> &'static str {
    match Passing::in_width(meters) {
        Passing::Nobody => "nobody gets through",
        Passing::OneWaits => "one person waits for another",
        Passing::BothTurn => "two people pass if both turn",
        Passing::OneTurns => "two people pass if one turns",
        Passing::Free => "two people pass freely",
        Passing::WithEase => "two people pass with ease, drinks in hand",
    }
}

pub(super) fn narrowing(world: &World, review: &Review, n: &Narrowing) -> String {
    let first = n.ways.first().map(|&w| way(world, review, review.ways.ways[w].between));
    let more = match n.ways.len() {
        0 | 1 => String::new(),
        2 => " and one other way".into(),
        k => format!(" and {} other ways", k - 1),
    };
    let clear = width(n.clear, world.plan.system);
    let place = match n.between {
        [Bound::Wall, Bound::Wall] => {
            let name = room_of(&world.plan, n.room);
            let are = if name.ends_with("stairs") { "are" } else { "is" };
            format!("{name} {are} {clear} wide")
        }
        between => format!("{clear} {}", between_words(&world.plan, between)),
    };
    format!("{place}, on the way from {}{more}: {}.", first.unwrap_or_default(), passing(n.clear))
}

pub(super) fn no_narrowing(world: &World, least: f64) -> String {
    let wide = width(least.min(WIDEST), world.plan.system);
    format!("between rooms, the floor is nowhere narrower than {wide}: {}.", passing(least))
}

/// What frees a door.
pub(super) fn free_door(world: &World, fault: &Fault) -> Option<String> {
    let plan = &world.plan;
    match fault {
        Fault::Blocked { opening: o, piece, .. } => Some(format!(
            "Move {} out of the way of {}.",
            piece_of(plan, *piece),
            opening(plan, &plan.openings[*o])
        )),
        // its sentence says what to do
        Fault::Swing { opening: o, .. } => {
            Some(format!("Hang {} the other way.", door(plan, &plan.openings[*o])))
        }
        _ => None,
    }
}

pub(super) fn doorway(world: &World, d: &Doorway) -> String {
    let plan = &world.plan;
    let o = &plan.openings[d.opening];
    let clear = width(d.clear, plan.system);
    let asked = width(d.asked.1, plan.system);
    let says = format!("{}: {clear} clear", opening(plan, o));
    match (d.asked.length(d.clear), d.asked == SMALL_DOOR) {
        (sim::review::verdict::Verdict::Passes, _) => format!("{says}."),
        (_, true) => format!("{says}; a wheelchair takes {asked}."),
        (_, false) => format!("{says}; a doorway guests use takes {asked}."),
    }
}

pub(super) fn before(world: &World, b: &Before) -> String {
    let plan = &world.plan;
    let of = |meters: f64| width(meters, plan.system);
    let piece = piece_of(plan, b.gap.piece);
    let place = match b.gap.to {
        Bound::Wall => {
            let room = &plan.rooms[plan.furniture[b.gap.piece].room];
            let edge = match room.usage {
                Use::Outdoors => format!("the edge of {}", with_article(&room.name)),
                _ => "the wall".into(),
            };
            format!("{} from {piece} to {edge}", of(b.gap.clear))
        }
        to => format!("{} between {piece} and {}", of(b.gap.clear), bound(plan, to)),
    };
    let (least, good) = (of(b.asked.0), of(b.asked.1));
    if b.of == For::Purpose(Purpose::BesideToilet) {
        let middle = |edge: f64| of(Purpose::MIDDLE_OF_TOILET + edge - b.asked.0);
        return format!(
            "{} from the middle of {piece} to {}: codes ask for {}, NKBA for {}.",
            middle(b.gap.clear),
            bound(plan, b.gap.to),
            middle(b.asked.0),
            middle(b.asked.1)
        );
    }
    let purpose = match b.of {
        For::BetweenSeats => format!("between seats people get about in {good}"),
        For::StandBefore => format!("to stand and work there takes {good}"),
        For::Purpose(Purpose::Work) => {
            format!("one cook takes {good}, two take {}", of(48.0 * INCH))
        }
        For::Purpose(Purpose::PastDiners) => {
            format!("behind seated guests people edge past in {least} and walk past in {good}")
        }
        For::Purpose(Purpose::Chair) => format!("a diner pushes a chair back in {good}"),
        For::Purpose(Purpose::Walkway) => passing(b.gap.clear).to_string(),
        For::Purpose(Purpose::Knees) => format!("knees take {least} to {good}"),
        For::Purpose(Purpose::Toilet | Purpose::BesideToilet) => {
            format!("codes ask for {least}, NKBA for {good}")
        }
        For::Purpose(Purpose::ApplianceDoor) => format!("its open door takes {good}"),
    };
    format!("{place}: {purpose}.")
}

pub(super) fn source(b: &Before) -> &'static str {
    match b.of {
        For::Purpose(Purpose::Toilet | Purpose::BesideToilet) => "IRC R307.1; NKBA",
        For::Purpose(Purpose::Walkway) => "NKBA guideline 7; builders",
        For::Purpose(p) => p.source(),
        For::StandBefore => "common practice",
        For::BetweenSeats => "HUD 1973 in Time-Saver Standards; designers",
    }
}

pub(super) fn crossing(world: &World, review: &Review, c: &Crossing) -> String {
    let plan = &world.plan;
    let what = match c.across {
        Across::Triangle => "the work triangle of sink, range and fridge".to_string(),
        Across::Group(g) => format!("the seats {}", super::hosting::group(world, review, g)),
        Across::Private(r) => room_of(plan, r),
    };
    let others = match c.others {
        0 => String::new(),
        1 => ", and so does one other".into(),
        n => format!(", and so do {n} others"),
    };
    let through = if let Across::Private(_) = c.across { "leads through" } else { "crosses" };
    let around = match c.around {
        Some(by) if by < 1.0 * sim::base::units::FOOT => "The way around is hardly longer.".into(),
        Some(by) => format!("The way around is {} longer.", length(by, plan.system)),
        None => "There is no way around.".into(),
    };
    format!("the way from {} {through} {what}{others}. {around}", way(world, review, c.between))
}

pub(super) fn nothing_crossed(known: bool) -> String {
    if known {
        "no everyday way crosses the work triangle, a group of seats or a private room.".into()
    } else {
        "no everyday way crosses a group of seats or a private room. To see about the work triangle, draw sink, range and fridge."
            .into()
    }
}

pub(super) fn keep_clear(world: &World, review: &Review, c: &Crossing) -> Option<String> {
    match c.across {
        Across::Triangle => Some(
            "Open another way around the kitchen, so guests stay out from under the cook's feet."
                .into(),
        ),
        Across::Group(g) => Some(format!(
            "Turn or shift the seats {} so that the way runs behind them.",
            super::hosting::group(world, review, g)
        )),
        Across::Private(r) => Some(format!(
            "Open another way, so that nobody has to go through {}.",
            room_of(&world.plan, r)
        )),
    }
}

pub(super) fn entrance(world: &World, e: &Entrance) -> String {
    let door = door(&world.plan, &world.plan.openings[e.opening]);
    match e.steps {
        None => format!(
            "steps at {door} are not in the plan. Add steps = 0, or how many there are, to that opening."
        ),
        Some(0) => format!("{door} is step-free."),
        Some(1) => format!("there is a step at {door}."),
        Some(n) => format!("there are {n} steps at {door}."),
    }
}

pub(super) fn ramp(e: &Entrance) -> Option<String> {
    match e.steps {
        None => Some("Say how many steps there are at the way in.".into()),
        Some(_) => Some("Plan a ramp or another way in without a step.".into()),
    }
}

fn goal(goal: Goal) -> &'static str {
    match goal {
        Goal::Party => "the party",
        Goal::Powder => "the powder room",
        Goal::Food => "the food",
    }
}

pub(super) fn reach(world: &World, r: &Reach) -> String {
    let (plan, to) = (&world.plan, goal(r.goal));
    let of = |meters: f64| width(meters, plan.system);
    match r.barrier {
        None => format!("inside, a wheelchair gets to {to}."),
        Some(Barrier::Door(o, clear)) => format!(
            "a wheelchair does not get to {to}: {} is {} clear, and it takes {}.",
            opening(plan, &plan.openings[o]),
            of(clear),
            of(sim::floor::faults::WHEELCHAIR)
        ),
        Some(Barrier::Floor(clear, between)) => format!(
            "the way to {to} narrows to {} {}; a wheelchair takes {}.",
            of(clear),
            between_words(plan, between),
            of(sim::review::walking::access::ROUTE)
        ),
        Some(Barrier::Steps(o, n)) => format!(
            "a wheelchair does not get to {to}: there {} at {}.",
            if n == 1 { "is a step".into() } else { format!("are {n} steps") },
            opening(plan, &plan.openings[o])
        ),
        Some(Barrier::Level) => format!("{to} is on another level, up or down stairs."),
        Some(Barrier::NoWay) => format!("no way leads to {to}."),
    }
}

pub(super) fn widen_for_wheelchair(world: &World, r: &Reach) -> Option<String> {
    match r.barrier? {
        Barrier::Door(o, _) => Some(mend(world, &Mend::Widen(o, sim::floor::faults::WHEELCHAIR))),
        Barrier::Floor(..) => {
            let route = width(sim::review::walking::access::ROUTE, world.plan.system);
            Some(format!("Clear a way of {route} to {}.", goal(r.goal)))
        }
        Barrier::Steps(o, _) => {
            Some(format!("Plan a ramp at {}.", opening(&world.plan, &world.plan.openings[o])))
        }
        Barrier::Level | Barrier::NoWay => None,
    }
}

pub(super) fn turning(world: &World, t: &Turning) -> String {
    let room = room_of(&world.plan, t.room);
    let circle = width((t.circle / INCH + 0.1).floor() * INCH, world.plan.system);
    let more = if t.circle >= WIDEST - 1e-6 { " or more" } else { "" };
    let turn = width(sim::review::walking::access::TURN, world.plan.system);
    format!(
        "the widest circle of clear floor in {room} is {circle}{more} across; a wheelchair turns in {turn}."
    )
}

pub(super) fn mend(world: &World, mend: &Mend) -> String {
    let plan = &world.plan;
    let of = |meters: f64| width(meters, plan.system);
    let said = match mend {
        Mend::Move { piece, by, toward } => {
            format!("move {} {} {}.", piece_of(plan, *piece), of(*by), compass(*toward))
        }
        Mend::Smaller { piece, by } => {
            format!("make {} {} smaller on that side.", piece_of(plan, *piece), of(*by))
        }
        Mend::Widen(o, clear) => {
            format!("widen {} to {} clear.", opening(plan, &plan.openings[*o]), of(*clear))
        }
        Mend::Wall { room, by } => {
            format!("build {} {} wider there.", room_of(plan, *room), of(*by))
        }
    };
    capital(&said)
}

/// The nearest compass direction.
fn compass(toward: (f64, f64)) -> &'static str {
    let along = |c: Compass| c.vector().0 * toward.0 + c.vector().1 * toward.1;
    let nearest = Compass::ALL.into_iter().max_by(|a, b| along(*a).total_cmp(&along(*b)));
    nearest.map_or("aside", Compass::word)
}
