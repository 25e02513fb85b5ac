//! What a review finds, in sentences: each row with its figure, what it is held against and where
//! that comes from; what would help; estimates with their formulas and what they are worth.

mod walking;
mod rooms;
mod hosting;
mod estimated;

pub use estimated::{basis, estimate, subject};

use crate::words::capital;
use crate::words::plan::check::fault;
use crate::words::{opening, with_article};
use sim::floor::world::World;
use sim::house::plan::{Plan, RoomId};
use sim::review::places::hubs::{Hub, HubOf};
use sim::review::verdict::Verdict;
use sim::review::{Fact, Review, Row, Topic};

/// A topic as a heading.
pub fn topic(topic: Topic) -> &'static str {
    match topic {
        Topic::Walkways => "Walkways",
        Topic::Routes => "Everyday routes",
        Topic::SightLines => "Sight lines",
        Topic::PowderRoom => "Powder room",
        Topic::Outdoors => "Opening to the outdoors",
        Topic::FoodAndDrinks => "Food and drinks",
        Topic::Seats => "Seats",
        Topic::Kitchen => "Kitchen at work",
        Topic::Coats => "Coats",
        Topic::ForEverybody => "Ways for everybody",
    }
}

/// The topic's key in answer.json.
pub fn topic_key(topic: Topic) -> &'static str {
    match topic {
        Topic::Walkways => "walkways",
        Topic::Routes => "routes",
        Topic::SightLines => "sight_lines",
        Topic::PowderRoom => "powder_room",
        Topic::Outdoors => "outdoors",
        Topic::FoodAndDrinks => "food_and_drinks",
        Topic::Seats => "seats",
        Topic::Kitchen => "kitchen",
        Topic::Coats => "coats",
        Topic::ForEverybody => "for_everybody",
    }
}

/// How many rows stand how: "21 pass, 8 are tight, 5 fail, 3 unknown".
pub fn counts<'a>(verdicts: impl Iterator<Item = &'a Verdict>) -> String {
    let all: Vec<Verdict> = verdicts.copied().collect();
    let of = |v: Verdict| all.iter().filter(|a| **a == v).count();
    let one = |n: usize, one: &str, many: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {many}")),
    };
    let each = [
        one(of(Verdict::Passes), "passes", "pass"),
        one(of(Verdict::Tight), "is tight", "are tight"),
        one(of(Verdict::Fails), "fails", "fail"),
        one(of(Verdict::Unknown), "is unknown", "are unknown"),
    ];
    each.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Points that pass, of so many: "all 3 points", "1 other point".
pub fn points(pass: usize, of: usize) -> String {
    match (pass, of) {
        (1, 1) => "1 point".into(),
        (2, 2) => "2 points".into(),
        (n, of) if n == of => format!("all {n} points"),
        (1, _) => "1 other point".into(),
        (n, _) => format!("{n} other points"),
    }
}

/// Changes told.
const BEST: usize = 3;

/// The rows whose change is worth most, with what to do.
pub fn best(world: &World, review: &Review) -> Vec<(usize, String)> {
    let rows = review.best(BEST, |row| help(world, review, row).is_some());
    rows.into_iter().filter_map(|i| Some((i, help(world, review, &review.rows[i])?))).collect()
}

/// The answer: how the plan stands, and what to change first.
pub fn answer(world: &World, review: &Review) -> String {
    let stands = counts(review.rows.iter().map(|r| &r.verdict));
    let first = best(world, review).into_iter().next();
    let first = first.map(|(_, help)| format!(" First: {help}"));
    let of = review.estimates.iter().filter(|e| e.verdict.is_some()).count();
    let fail = review.estimates.iter().filter(|e| e.verdict == Some(Verdict::Fails)).count();
    let estimates = match fail {
        0 => String::new(),
        1 => format!(" Of {of} estimates, 1 fails."),
        n => format!(" Of {of} estimates, {n} fail."),
    };
    format!(
        "Of {} points on the drawing, {stands}.{estimates}{}",
        review.rows.len(),
        first.unwrap_or_default()
    )
}

/// A hub with its article: "the front door", "the kitchen", "the table".
pub(crate) fn hub(world: &World, hub: &Hub) -> String {
    let plan = &world.plan;
    match hub.of {
        HubOf::Opening(o) => opening(plan, &plan.openings[o]),
        HubOf::Room(r) => room(plan, r),
        HubOf::Zone(z) => called(&plan.zones[z].name, "area"),
        HubOf::Table(p) => with_article(&plan.furniture[p].name),
    }
}

/// A room with its article: "the kitchen", "the dining room".
pub(crate) fn room(plan: &Plan, room: RoomId) -> String {
    called(&plan.rooms[room].name, "room")
}

/// A name that may be half of one: "living" is "the living room".
fn called(name: &str, what: &str) -> String {
    match name {
        "living" | "dining" | "family" | "powder" => format!("the {name} {what}"),
        name => with_article(name),
    }
}

/// "1 guest", "2 guests".
pub(crate) fn many(n: u32, one: &str, more: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {more}") }
}

/// Two hubs: "the front door to the kitchen".
pub(crate) fn way(world: &World, review: &Review, [from, to]: [usize; 2]) -> String {
    format!("{} to {}", hub(world, &review.hubs[from]), hub(world, &review.hubs[to]))
}

/// What a row found, in a sentence.
pub fn says(world: &World, review: &Review, row: &Row) -> String {
    let said = match &row.fact {
        Fact::Narrowing(n) => walking::narrowing(world, review, n),
        Fact::NoNarrowing(least) => walking::no_narrowing(world, *least),
        Fact::Doorway(d) => walking::doorway(world, d),
        Fact::Door(f) => fault(world, f),
        Fact::Before(b) => walking::before(world, b),
        Fact::Crossing(c) => walking::crossing(world, review, c),
        Fact::NothingCrossed(known) => walking::nothing_crossed(*known),
        Fact::Sight(s) => rooms::sight(world, review, s),
        Fact::PowderAway(p) => rooms::away(world, p),
        Fact::PowderOnto(p) => rooms::onto(world, p),
        Fact::PowderSeen(p) => rooms::seen(world, p),
        Fact::PowderLine(room, line) => rooms::line(world, *room, line),
        Fact::NoPowder => "No powder room or bathroom is drawn for guests.".into(),
        Fact::Openness(o) => rooms::openness(world, o),
        Fact::NoOutdoors => {
            "No patio or deck is drawn. If there is one, add it as a room with use = \"outdoors\"."
                .into()
        }
        Fact::Food(f) => hosting::food(world, f),
        Fact::Apart(a) => hosting::apart(world, a),
        Fact::Glasses(g) => hosting::glasses(world, g),
        Fact::Storage(s) => hosting::storage(world, s),
        Fact::SeatCount(c) => hosting::seat_count(c),
        Fact::Table(t) => hosting::table(world, t),
        Fact::Circle(c) => hosting::circle(world, review, c),
        Fact::ForTwo(there) => hosting::for_two(*there),
        Fact::Perches(seats, with) => hosting::perches(*seats, *with),
        Fact::SeatNearDoor(far) => hosting::seat_near_door(world, *far),
        Fact::Triangle(t) => hosting::triangle(world, t),
        Fact::NotDrawn(room, kinds) => hosting::not_drawn(world, *room, kinds),
        Fact::Landing(l) => hosting::landing(world, l),
        Fact::Preparing(p) => hosting::preparing(world, *p),
        Fact::Cooks(room, aisle) => hosting::cooks(world, *room, aisle),
        Fact::Washing(d) => hosting::washing(world, *d),
        Fact::Coats(c) => hosting::coats(world, c),
        Fact::Entrance(e) => walking::entrance(world, e),
        Fact::Reach(r) => walking::reach(world, r),
        Fact::Turning(t) => walking::turning(world, t),
    };
    capital(&said)
}

/// Where what a row is held against comes from.
pub fn source(fact: &Fact) -> &'static str {
    match fact {
        Fact::Narrowing(_) | Fact::NoNarrowing(_) => "NKBA guideline 7; builders",
        Fact::Doorway(_) => "NKBA guideline 1; ADA 404.2.3; common practice",
        Fact::Door(_) => "common practice; NKBA guideline 2",
        Fact::Before(b) => walking::source(b),
        Fact::Crossing(_) | Fact::NothingCrossed(_) => "NKBA guideline 5; common practice",
        Fact::Sight(_) => "our own yardstick",
        Fact::PowderAway(_) | Fact::NoPowder => "designers; distances are common practice",
        Fact::PowderOnto(_) => "designers; common practice",
        Fact::PowderSeen(_) => "a design adviser backed by HUD",
        Fact::PowderLine(..) => "NKBA guideline 7 and the Highway Capacity Manual 2010",
        Fact::Openness(_) | Fact::NoOutdoors => "British metric design data; common practice",
        Fact::Food(_) => "NKBA guideline 9: 24 in a guest; wedding hosts: 30 s a guest and side",
        Fact::Apart(_) => "caterers, party pages; distances are common practice",
        Fact::Glasses(_) | Fact::Storage(_) => "common practice",
        Fact::SeatCount(_) => "planners; common practice",
        Fact::Table(_) => "Panero & Zelnik 1979: 24 in a diner; Time-Saver Standards",
        Fact::Circle(_) => "HUD 1973 in Time-Saver Standards: 10 ft; home-design course: 12 ft",
        Fact::ForTwo(_) | Fact::Perches(..) | Fact::SeatNearDoor(_) => "common practice",
        Fact::Triangle(_) | Fact::NotDrawn(..) => "NKBA guideline 3",
        Fact::Landing(_) | Fact::Preparing(_) => "NKBA; sinks from memory",
        Fact::Cooks(..) => "NKBA guideline 6",
        Fact::Washing(_) => "NKBA, from memory",
        Fact::Coats(_) => "closet notes: 4 in a winter coat; a home builder's note",
        Fact::Entrance(_) => "common practice",
        Fact::Reach(_) => "ADA 403.5.1 and 404.2.3",
        Fact::Turning(_) => "ADA 304.3",
    }
}

/// What would help, as an instruction; nothing for what passes.
pub fn help(world: &World, review: &Review, row: &Row) -> Option<String> {
    if row.verdict == Verdict::Passes {
        return None;
    }
    if let Some(mend) = &row.mend {
        return Some(walking::mend(world, mend));
    }
    let said: Option<String> = match &row.fact {
        Fact::Crossing(c) => walking::keep_clear(world, review, c),
        Fact::PowderAway(_) => Some("Offer a bathroom nearer to the party as well.".into()),
        Fact::PowderOnto(_) => {
            Some("Put a small vestibule before its door, or open it from the hall.".into())
        }
        Fact::PowderSeen(p) => rooms::screen(world, p),
        Fact::PowderLine(room, _) => rooms::wait_elsewhere(world, *room),
        Fact::NoPowder => Some("Draw the bathroom guests will use.".into()),
        Fact::Openness(o) => Some(rooms::open_wider(world, o)),
        Fact::Food(f) => Some(hosting::longer_table(world, f)),
        Fact::Apart(a) => Some(hosting::set_apart(world, a)),
        Fact::Glasses(_) => Some("Set glasses out in sight, beside the drinks.".into()),
        Fact::Storage(_) => {
            Some("Keep plates and silver in a sideboard or cabinet near the food.".into())
        }
        Fact::SeatCount(c) => hosting::more_seats(c),
        Fact::Table(t) => Some(hosting::fewer_diners(world, t)),
        Fact::Circle(_) => Some("Bring the seats closer, or split them into two groups.".into()),
        Fact::ForTwo(_) => Some("Set two chairs together where two can talk.".into()),
        Fact::Perches(..) => Some(hosting::nearer_glass(world)),
        Fact::SeatNearDoor(_) => Some("Keep one chair near the door.".into()),
        Fact::NotDrawn(_, kinds) => Some(hosting::draw(kinds)),
        Fact::Triangle(t) => Some(hosting::set_triangle(world, t)),
        Fact::Landing(l) => Some(hosting::more_counter(world, l)),
        Fact::Preparing(_) => Some("Keep a stretch of counter next to the sink clear.".into()),
        Fact::Cooks(_, aisle) => Some(hosting::wider_aisle(world, aisle)),
        Fact::Washing(_) => Some("Move the dishwasher next to the sink.".into()),
        Fact::Coats(c) => hosting::rack(world, c),
        Fact::Entrance(e) => walking::ramp(e),
        Fact::Reach(r) => walking::widen_for_wheelchair(world, r),
        Fact::Sight(_) => {
            Some("Open the view: a wider opening, and nothing tall in the way.".into())
        }
        Fact::Turning(_) | Fact::NoOutdoors => None,
        Fact::Narrowing(_)
        | Fact::NoNarrowing(_)
        | Fact::Doorway(_)
        | Fact::Before(_)
        | Fact::NothingCrossed(_) => None,
        Fact::Door(f) => walking::free_door(world, f),
    };
    said.map(|s| capital(&s))
}
