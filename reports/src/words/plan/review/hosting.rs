//! Food and drinks, seats, the kitchen, coats.

use super::rooms::feet;
use super::{many, room as room_of};
use crate::words::{guests, length, list, shown, standing, to_the_inch, width, with_article};
use sim::base::units::{INCH, System};
use sim::evening::scenario::{Occasion, Serves, Weather};
use sim::floor::world::{Chosen, World};
use sim::house::plan::RoomId;
use sim::house::plan::catalog::Kind;
use sim::review::Review;
use sim::review::hosting::coats::{Coats, attendants, coats_on};
use sim::review::hosting::seats::{Circle, Count, Table};
use sim::review::hosting::serving::{Apart, Food, Glasses, Pair, Storage};
use sim::review::hosting::work::{
    ALL_LEGS, Aisle, DISHWASHER, LEG, Landing, ONE_COOK, PREPARE, TWO_COOKS, Triangle,
};
use sim::review::verdict::Verdict;
use sim::review::walking::ways::WIDEST;

/// Guests a buffet is told for where nobody says how many come.
const FORTY: u32 = 40;

pub(super) fn food(world: &World, f: &Food) -> String {
    let name = with_article(&world.spots[f.spot].name);
    let room = many(f.at_once as u32, "guest", "guests");
    let n = f.guests.unwrap_or(FORTY);
    let sides = if f.sides == 1 { "one side".to_string() } else { format!("{} sides", f.sides) };
    let would = match f.guests {
        Some(_) => many(n, "guest has", "guests have"),
        None => format!("{n} guests, for example, would have"),
    };
    let chosen = |c: &Chosen| matches!(c, Chosen::Served(Serves::Food, _));
    let guess = if world.chosen.iter().any(chosen) {
        " That food goes there is a guess; a scenario can say where."
    } else {
        ""
    };
    format!(
        "{name} has {} for the dishes and room for {room} at once, on {sides}; {would} a plate in {:.0} min.{guess}",
        length(f.long, world.plan.system),
        f.minutes(n)
    )
}

pub(super) fn longer_table(world: &World, f: &Food) -> String {
    let name = with_article(&world.spots[f.spot].name);
    if f.may_come_off {
        return format!("Pull {name} off the wall and serve from both sides.");
    }
    let each = width(24.0 * INCH, world.plan.system);
    format!(
        "Set part of the food out elsewhere, or on a longer table than {name}: each guest takes {each} of edge."
    )
}

fn two(pair: Pair) -> (&'static str, &'static str) {
    match pair {
        Pair::DrinksFromFood => ("the drinks", "the food"),
        Pair::DrinksFromDoor => ("the drinks", "the front door"),
        Pair::FoodFromDoor => ("the food", "the front door"),
        Pair::FoodNearKitchen => ("the food", "the kitchen"),
    }
}

/// Nearer things are beside one another, in meters.
const NEAR_BY: f64 = 1.5;

pub(super) fn apart(world: &World, a: &Apart) -> String {
    let (one, other) = two(a.pair);
    let why = match a.pair {
        Pair::DrinksFromFood => "the lines for both should not meet",
        Pair::DrinksFromDoor => {
            "nobody should stop right behind the door, and everybody should find them soon"
        }
        Pair::FoodFromDoor => "nobody should stop right behind the door",
        Pair::FoodNearKitchen if a.meters < NEAR_BY => {
            return "the food is in the kitchen, or right beside it.".into();
        }
        Pair::FoodNearKitchen if a.verdict() == Verdict::Passes => "an easy way to carry platters",
        Pair::FoodNearKitchen => "a long way to carry platters",
    };
    let are = if one == "the food" { "is" } else { "are" };
    let walk = if a.pair == Pair::DrinksFromFood { "" } else { "a walk of " };
    format!("{one} {are} {walk}{} from {other}; {why}.", feet(world, a.meters))
}

pub(super) fn set_apart(world: &World, a: &Apart) -> String {
    let (one, other) = two(a.pair);
    let away = match world.plan.system {
        System::Feet => ["8 ft", "10 ft"],
        System::Metres => ["2.5 m", "3 m"],
    };
    match a.pair {
        _ if a.is_too_far() => format!("Move {one} nearer to {other}."),
        Pair::DrinksFromFood => {
            format!("Move {one} at least {} from {other}, or across the room.", away[0])
        }
        _ => format!("Move {one} at least {} past {other}.", away[1]),
    }
}

pub(super) fn glasses(world: &World, g: &Glasses) -> String {
    match g {
        Glasses::WithDrinks => "glasses stand with the drinks, in sight.".into(),
        Glasses::Apart { spot, in_sight, meters } => format!(
            "glasses are at {}, {} and a walk of {} from the drinks.",
            with_article(&world.spots[*spot].name),
            if *in_sight { "in sight" } else { "out of sight" },
            feet(world, *meters)
        ),
    }
}

pub(super) fn storage(world: &World, s: &Storage) -> String {
    match s.nearest {
        Some((piece, meters)) => {
            let name = with_article(&world.plan.furniture[piece].name);
            if s.is_the_food {
                format!("plates and silver can stay in {name}, under the food.")
            } else {
                format!(
                    "plates and silver can stay in {name}, {} from the food.",
                    feet(world, meters)
                )
            }
        }
        None => "no sideboard or cabinet is drawn for plates and silver.".into(),
    }
}

fn seats(n: usize) -> String {
    if n == 1 { "1 seat".into() } else { format!("{n} seats") }
}

pub(super) fn seat_count(c: &Count) -> String {
    let parts = [
        (c.soft, "on sofas and armchairs"),
        (c.built_in, "on benches and hearths"),
        (c.at_tables, "at tables"),
        (c.carried, "to carry about"),
    ];
    let parts = parts.iter().filter(|p| p.0 > 0).map(|(n, what)| format!("{n} {what}"));
    let parts: Vec<String> = parts.collect();
    let of = if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) };
    let lost = match c.drawn.saturating_sub(c.all()) {
        0 => String::new(),
        1 => " 1 more is drawn, but no floor is left before it.".into(),
        n => format!(" {n} more are drawn, but no floor is left before them."),
    };
    let enough = match c.all() {
        0 => "not enough for anybody".to_string(),
        _ => format!(
            "enough for {} at cocktails or {} at a buffet",
            guests(c.enough_for(Occasion::Cocktails)),
            c.enough_for(Occasion::Buffet)
        ),
    };
    match c.guests {
        None => format!(
            "{}{of}: {enough}.{lost} Say how many guests come to hold it against them.",
            seats(c.all())
        ),
        Some((n, occasion)) => {
            let share = (c.all() as f64 / f64::from(n.max(1)) * 100.0).round();
            let asked = (Count::asked(occasion).1 * 100.0).round();
            let what = match occasion {
                Occasion::Cocktails => "cocktails take",
                Occasion::Buffet => "a buffet takes",
            };
            match c.all() {
                0 => format!("no seats for {}; {what} {asked:.0}%.", guests(n)),
                all => format!(
                    "{}{of} for {}: {share:.0}%; {what} {asked:.0}%.{lost}",
                    seats(all),
                    guests(n)
                ),
            }
        }
    }
}

pub(super) fn more_seats(c: &Count) -> Option<String> {
    let (n, occasion) = c.guests?;
    let asked = (f64::from(n) * Count::asked(occasion).1 - 1e-9).ceil() as usize;
    let missing = asked.saturating_sub(c.all());
    if missing > 0 && c.drawn > c.all() {
        let n = (c.drawn - c.all()).min(missing);
        let them = if n == 1 {
            "the seat that has none".into()
        } else {
            format!("{n} seats that have none")
        };
        return Some(format!("Give floor to {them}, or bring chairs."));
    }
    Some(if missing == 1 {
        "Bring one more chair.".into()
    } else {
        format!("Bring {missing} more chairs, or let guests stand.")
    })
}

/// A group by its pieces: "around the sofa and the armchair".
pub(super) fn group(world: &World, review: &Review, group: usize) -> String {
    let pieces = review.groups[group].pieces.iter();
    let names: Vec<String> = pieces.map(|&p| with_article(&world.plan.furniture[p].name)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => format!("on {one}"),
        [a, b] => format!("on {a} and {b}"),
        [a, b, c] => format!("on {a}, {b} and {c}"),
        [a, b, ..] => format!("on {a}, {b} and {} more", names.len() - 2),
    }
}

pub(super) fn table(world: &World, t: &Table) -> String {
    format!(
        "{}, {} by {}, seats {} with elbow room and {} at most; the plan gives it {}.",
        with_article(&world.plan.furniture[t.piece].name),
        length(t.long, world.plan.system),
        length(t.wide, world.plan.system),
        t.diners(),
        t.diners() + 2,
        t.said
    )
}

pub(super) fn fewer_diners(world: &World, t: &Table) -> String {
    let needs = f64::from(t.said.div_ceil(2)) * 24.0 * INCH;
    format!(
        "Set {} for {}, or take a table {} long.",
        with_article(&world.plan.furniture[t.piece].name),
        t.diners(),
        length(needs, world.plan.system)
    )
}

pub(super) fn circle(world: &World, review: &Review, c: &Circle) -> String {
    format!(
        "{} {}: heads are up to {} apart; people talk up to {}.",
        seats(c.seats),
        group(world, review, c.group),
        length(to_the_inch(c.across, world.plan.system), world.plan.system),
        match world.plan.system {
            System::Feet => "10 ft",
            System::Metres => "3 m",
        }
    )
}

pub(super) fn for_two(there: bool) -> String {
    if there {
        "there is a place where two can talk.".into()
    } else {
        "no group of seats is for two.".into()
    }
}

pub(super) fn perches(seats: usize, with: usize) -> String {
    match (seats, with) {
        (0, _) => "no seat away from tables is drawn.".into(),
        (1, 0) => "the one seat away from tables has nowhere to put a glass.".into(),
        (n, with) if n == with => "every seat has somewhere to put a glass.".into(),
        (n, 0) => format!("none of {n} seats away from tables has somewhere to put a glass."),
        (n, 1) => format!("1 of {n} seats away from tables has somewhere to put a glass."),
        (n, with) => format!("{with} of {n} seats away from tables have somewhere to put a glass."),
    }
}

pub(super) fn nearer_glass(world: &World) -> String {
    let before = match world.plan.system {
        System::Feet => "14 to 18 in",
        System::Metres => "35 to 45 cm",
    };
    format!("Put a small table within reach of each seat, or the low table {before} before it.")
}

pub(super) fn seat_near_door(world: &World, far: Option<f64>) -> String {
    match far {
        Some(far) => {
            format!("the nearest seat is a walk of {} from the front door.", feet(world, far))
        }
        None => "no seat can be reached from the front door.".into(),
    }
}

pub(super) fn triangle(world: &World, t: &Triangle) -> String {
    // whole inches, so that legs add up
    let of = |meters: f64| length(to_the_inch(meters, world.plan.system), world.plan.system);
    let legs: Vec<String> = t.legs.iter().map(|l| of(*l)).collect();
    let cuts = t.cuts.map_or(String::new(), |p| {
        format!(" A leg runs through {}.", with_article(&world.plan.furniture[p].name))
    });
    format!(
        "work triangle of {} in all (sink to range {}, range to fridge {}, fridge to sink {}): legs of {} to {} and {} in all work well.{cuts}",
        of(t.around()),
        legs[0],
        legs[1],
        legs[2],
        of(LEG[0]),
        of(LEG[1]),
        of(ALL_LEGS)
    )
}

pub(super) fn set_triangle(world: &World, t: &Triangle) -> String {
    let of = |meters: f64| feet(world, meters);
    let far = t.legs.iter().any(|l| *l > LEG[1]) || t.around() > ALL_LEGS;
    match (t.cuts, far) {
        (Some(p), false) => format!(
            "Keep {} out of the way between sink, range and fridge.",
            with_article(&world.plan.furniture[p].name)
        ),
        _ => format!("Set sink, range and fridge {} to {} apart.", of(LEG[0]), of(LEG[1])),
    }
}

pub(super) fn not_drawn(world: &World, room: RoomId, kinds: &[Kind]) -> String {
    let names: Vec<&str> = kinds.iter().map(|k| k.word()).collect();
    format!(
        "{} is drawn without {}, so the work triangle is unknown.",
        room_of(&world.plan, room),
        list(&names.iter().map(|n| format!("a {n}")).collect::<Vec<_>>())
    )
}

pub(super) fn draw(kinds: &[Kind]) -> String {
    let names: Vec<String> = kinds.iter().map(|k| format!("the {}", k.word())).collect();
    format!("Draw {}.", list(&names))
}

pub(super) fn landing(world: &World, l: &Landing) -> String {
    let of = |meters: f64| width(to_the_inch(meters, world.plan.system), world.plan.system);
    let name = with_article(&world.plan.furniture[l.piece].name);
    let asked = match l.asked {
        [0.0, long] => format!("{} on one side", of(long)),
        [short, long] => format!("{} and {}", of(short), of(long)),
    };
    if l.across {
        return format!("{name} has a counter right across the aisle to set things down on.");
    }
    format!(
        "counter beside {name}: {} on one side, {} on the other; it takes {asked}.",
        of(l.beside[1]),
        of(l.beside[0])
    )
}

pub(super) fn more_counter(world: &World, l: &Landing) -> String {
    let name = shown(&world.plan.furniture[l.piece].name);
    format!("Plan more counter beside the {name}, to set things down on.")
}

pub(super) fn preparing(world: &World, p: f64) -> String {
    let of = |meters: f64| width(to_the_inch(meters, world.plan.system), world.plan.system);
    format!(
        "{} of clear counter next to the sink to prepare on; it takes {}.",
        of(p),
        of(PREPARE.1)
    )
}

pub(super) fn cooks(world: &World, room: RoomId, aisle: &Aisle) -> String {
    let system = world.plan.system;
    let name = room_of(&world.plan, room);
    let clear = width(aisle.clear, system);
    let at_least = if aisle.clear >= WIDEST - 1e-6 { " or more" } else { "" };
    match aisle.cooks() {
        0 => format!("the narrowest floor to work on in {name} is {clear}: one cook blocks it."),
        1 => format!(
            "the narrowest floor to work on in {name} is {clear}: one cook takes {}, and two {}.",
            width(ONE_COOK.1, system),
            width(TWO_COOKS, system)
        ),
        _ => format!(
            "the narrowest floor to work on in {name} is {clear}{at_least}: two can work without blocking each other."
        ),
    }
}

pub(super) fn wider_aisle(world: &World, aisle: &Aisle) -> String {
    let by = ((ONE_COOK.1 - aisle.clear) / INCH).ceil().max(1.0) * INCH;
    format!("Give the cook {} more.", width(by, world.plan.system))
}

pub(super) fn washing(world: &World, d: f64) -> String {
    let of = |meters: f64| width(to_the_inch(meters, world.plan.system), world.plan.system);
    format!("the dishwasher is {} from the sink; within {} nobody drips.", of(d), of(DISHWASHER.0))
}

pub(super) fn coats(world: &World, c: &Coats) -> String {
    let sort = match c.weather {
        Weather::Cold => ["winter coat", "winter coats"],
        Weather::Mild | Weather::Hot => ["light coat", "light coats"],
    };
    let each: Vec<String> = c
        .places
        .iter()
        .map(|(spot, n)| {
            let name = &world.spots[*spot].name;
            let on = if world.plan.piece(name).is_some() { "on" } else { "in" };
            format!("{n} {on} {}", with_article(name))
        })
        .collect();
    if each.is_empty() {
        return "nothing is drawn for coats.".into();
    }
    let hold = format!("room for {} ({})", many(c.hold(), sort[0], sort[1]), list(&each));
    match (c.come(), c.over()) {
        (Some(come), Some(over)) => {
            let guests = many(c.guests.unwrap_or(0), "guest brings", "guests bring");
            let evening = match (c.weather, c.rain) {
                (Weather::Cold, _) => "cold",
                (_, true) => "wet",
                (Weather::Mild, _) => "mild",
                (Weather::Hot, _) => "hot",
            };
            let left = match over {
                0 => String::new(),
                1 => ", so 1 has nowhere to go".into(),
                n => format!(", so {n} have nowhere to go"),
            };
            format!("{hold}; {guests} about {come} on a {evening} evening{left}.")
        }
        _ => format!("{hold}; a closet should hold as many as the table seats, {} here.", c.diners),
    }
}

/// From so many guests on, coats are handed out by somebody.
const HANDED_OUT: u32 = 100;
/// Seconds a coat and minutes in which guests leave (coat-check firm: 14 to 18 s, 15 min).
const A_COAT: f64 = 16.0;
const ALL_LEAVE: f64 = 15.0;

pub(super) fn rack(world: &World, c: &Coats) -> Option<String> {
    if let Some(come) = c.come().filter(|_| c.guests.is_some_and(|n| n >= HANDED_OUT)) {
        return Some(format!(
            "Rent racks with numbers and let {} people hand coats out: that empties them in {ALL_LEAVE:.0} min.",
            attendants(come, A_COAT, ALL_LEAVE)
        ));
    }
    let site = c.racks.first()?;
    let rod = Kind::Rack.usual().width.m();
    let takes = coats_on(rod, c.weather);
    let left = match c.over().unwrap_or(0).saturating_sub(takes) {
        0 => String::new(),
        1 => "; 1 still has nowhere to go".into(),
        n => format!("; {n} still have nowhere to go"),
    };
    Some(format!(
        "Put a {} rack {}: it takes {takes} more{left}.",
        length(rod, world.plan.system),
        standing(world, site),
    ))
}
