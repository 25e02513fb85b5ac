//! What to change, in words.

use super::capacity::{gain, is_vague, takes as takes_guests, takes_up_to};
use super::compare::{against, difference, gain_than, with_guests};
use super::{length, standing, width, with_article};
use sim::evening::scenario::Serves;
use sim::floor::world::World;
use sim::house::plan::{Opening, Plan};
use sim::study::evening::Evening;
use sim::study::improve::change::Move;
use sim::study::improve::change::{Takes, What};
use sim::study::improve::{Asked, Improvement, Together};
use sim::study::race::contest::Standing;
use sim::study::where_to::sites::Site;

/// A change as something to do: "widen the door of the hall to 42 in".
pub fn change(world: &World, what: &What) -> String {
    let system = world.plan.system;
    match what {
        What::Open(door) => format!("open {}", opening(world, door)),
        What::WiderOpening(name, from, to) => format!(
            "make {} {} wide instead of {}",
            opening(world, name),
            width(*to, system),
            width(*from, system)
        ),
        What::WiderHall { hall, from, to, takes, away } => {
            let lost: Vec<String> = away.iter().map(|piece| with_article(piece)).collect();
            let lost = if lost.is_empty() {
                String::new()
            } else {
                format!(", which leaves no floor for {}", lost.join(", "))
            };
            format!(
                "make {} {} wide instead of {}: {}{lost}",
                with_article(hall),
                length(*to, system),
                length(*from, system),
                narrowed(takes, length(to - from, system))
            )
        }
        What::Second(Serves::Coats, site) => format!("{}, too", rack(world, site)),
        What::Second(serves, site) => {
            format!("set up a second {} {}", spot(*serves), standing(world, site))
        }
        What::Instead(_, site) => format!("{} instead", rack(world, site)),
        What::On(serves, place) => {
            format!("put the {} on {} instead", serves.word(), with_article(place))
        }
        What::Also(serves, place) => also(world, *serves, place),
        What::Chairs(count, site) => {
            format!("set up {count} folding chairs {}", standing(world, site))
        }
        What::Hung(name, into, hinge) => format!(
            "rehang {} to open into {}, hinged on its {} side",
            door(world, name),
            with_article(into),
            hinge.word()
        ),
        What::WiderDoor(name, from, to) => format!(
            "replace {} ({}) with a {} door",
            door(world, name),
            width(*from, system),
            width(*to, system)
        ),
        What::BothSides(piece) => {
            format!("let guests use {} from both long sides", with_article(piece))
        }
        What::InSight(piece) => format!("put the glasses in sight at {}", with_article(piece)),
        What::LineTowards(spot, way) => {
            format!("let the line for {} run toward {}", with_article(spot), opening(world, way))
        }
        What::Away(piece) => format!("take {} away", with_article(piece)),
        What::FoodEarlier(minutes) => format!("serve the food {minutes} min earlier"),
        What::Staggered(from, to) => {
            format!("spread the arrivals over about {} instead of {}", hours(*to), hours(*from))
        }
        What::Moved(piece, Move::By(way, by)) => {
            format!("move {} {} {}", with_article(piece), width(*by, system), way.word())
        }
        What::Moved(piece, Move::Turned) => format!("give {} a quarter turn", with_article(piece)),
        What::AnotherPourer(serves) => format!("have one more person pour the {}", serves.word()),
    }
}

/// What is there serves it as well: "let guests use the upstairs bath, too".
fn also(world: &World, serves: Serves, place: &str) -> String {
    let (is_room, place) = (world.plan.room(place).is_some(), with_article(place));
    match serves {
        Serves::Food => format!("put some of the food on {place}, too"),
        Serves::Drinks => format!("serve drinks at {place}, too"),
        Serves::Coats if is_room => format!("let guests leave coats in {place}, too"),
        Serves::Coats => format!("let guests leave coats on {place}, too"),
        Serves::Glasses => format!("keep some of the glasses on {place}, too"),
        Serves::Powder | Serves::Door => format!("let guests use {place}, too"),
    }
}

/// "hang coats on a freestanding rack in the living room".
fn rack(world: &World, site: &Site) -> String {
    if site.against.is_free() {
        return format!(
            "hang coats on a freestanding rack in {}",
            with_article(&world.plan.rooms[site.room].name)
        );
    }
    format!("hang coats on a rack {}", standing(world, site))
}

/// Minutes to the nearest quarter of an hour: "2 h 15 min".
fn hours(minutes: u32) -> String {
    let quarters = (minutes + 7) / 15;
    match (quarters / 4, quarters % 4) {
        (0, 0) => format!("{minutes} min"),
        (0, q) => format!("{} min", q * 15),
        (h, 0) => format!("{h} h"),
        (h, q) => format!("{h} h {} min", q * 15),
    }
}

/// An opening by its name.
fn opening(world: &World, name: &str) -> String {
    in_words(world, name, super::opening)
}

/// A door by its name, or by its rooms: "the front door", "the door between the hall and the bath".
fn door(world: &World, name: &str) -> String {
    in_words(world, name, super::door)
}

fn in_words(world: &World, name: &str, say: fn(&Plan, &Opening) -> String) -> String {
    let plan = &world.plan;
    plan.opening(name).map_or_else(|| with_article(name), |o| say(plan, &plan.openings[o]))
}

fn spot(serves: Serves) -> &'static str {
    if serves == Serves::Drinks { "bar" } else { serves.word() }
}

fn narrowed(rooms: &[String], by: String) -> String {
    match rooms {
        [] => "nothing else becomes smaller".into(),
        [one] => format!("{} loses {by}", with_article(one)),
        [most @ .., last] => {
            let most: Vec<String> = most.iter().map(|r| with_article(r)).collect();
            format!("{} and {} lose {by} each", most.join(", "), with_article(last))
        }
    }
}

/// What a change takes.
pub fn takes(takes: Takes) -> &'static str {
    match takes {
        Takes::Arranging => "only arranging",
        Takes::Hiring => "something bought or rented",
        Takes::Building => "building",
    }
}

/// The sentence that answers what buys most.
pub fn sentence(i: &Improvement, place: Option<&str>) -> String {
    let world = &i.race.worlds[0];
    let at = place.map_or(String::new(), |p| format!(" in {}", with_article(p)));
    let Some(best) = i.best.first() else {
        return "There is no single change to try.".into();
    };
    let what = change(world, &i.tried[best.entrant].change.what);
    if let (None, Some(no_more)) = (place, no_more_guests(i)) {
        return format!("{no_more} {}", saves_time(i));
    }
    if place.is_none() && best.clearly_gained() > 0.0 {
        let still = super::still(world, &best.evening);
        return format!(
            "The best of {} changes tried: {what}. With it: {}.{still}",
            i.tried.len(),
            does(i, best)
        );
    }
    match (best.against.is_clear(), best.against.difference.value < 0.0) {
        (true, true) => {
            let still = super::still(world, &best.evening);
            let does = with_guests(gain_than(best.against, at.trim_start()), taken(i, best));
            format!("The best of {} changes tried: {what}. Then {does}.{still}", i.tried.len())
        }
        (true, false) => format!(
            "No single change helps{at}: with the best of {}, to {what}, {}.",
            i.tried.len(),
            difference(best.against)
        ),
        (false, _) => {
            format!(
                "No single change makes a difference we can see{at} in {} evenings: with the best, to {what}, {}.",
                i.evenings,
                difference(best.against)
            )
        }
    }
}

/// That no single change takes clearly more guests, and why: what gives out first. `None` where one
/// does, or the evenings do not tell.
pub fn no_more_guests(i: &Improvement) -> Option<String> {
    let (world, now, gives_out) = (&i.race.worlds[0], i.guests?, i.gives_out?);
    if now.value == 0 || is_vague(now) || i.best.iter().any(|b| b.clearly_gained() > 0.0) {
        return None;
    }
    let first = super::capacity::happens(world, gives_out.0, gives_out.1);
    let (to, tried) = (takes_up_to(now, world.scenario.limits.grade), i.tried.len());
    let raises = match i.best.len() {
        1 => format!("the best of {tried} changes tried doesn't clearly raise that"),
        n => format!("none of the best {n} of {tried} changes tried clearly raises that"),
    };
    Some(format!("{}, and {raises}. Beyond it {first} first.", super::capital(&to)))
}

/// What the house takes with one of the best, if that is known.
pub fn taken(i: &Improvement, best: &Standing) -> Option<String> {
    takes_guests(i.guests, best.guests, best.gain, i.race.worlds[0].scenario.limits.grade)
}

/// What one of the best does: guests, then time.
pub fn does(i: &Improvement, best: &Standing) -> String {
    super::compare::does(taken(i, best), best.gain, best.against)
}

/// What the best of the changes that take no fewer guests saves in time.
pub fn saves_time(i: &Improvement) -> String {
    let saves = |b: &&Standing| {
        !b.takes_fewer() && b.against.is_clear() && b.against.difference.value < 0.0
    };
    let most = i
        .best
        .iter()
        .filter(saves)
        .min_by(|a, b| a.against.difference.value.total_cmp(&b.against.difference.value));
    let Some(best) = most else {
        return format!("None of them clearly saves time, either, over {} evenings.", i.evenings);
    };
    let world = &i.race.worlds[0];
    let what = change(world, &i.tried[best.entrant].change.what);
    format!(
        "To save time, {what}: {}.{}",
        gain_than(best.against, ""),
        super::still(world, &best.evening)
    )
}

/// Two of the best in one: "1 and 2 together: lively to 45 (likely 43 to 47), 12 more guests".
pub fn both(i: &Improvement) -> Option<String> {
    let t = i.together.as_ref()?;
    let grade = i.race.worlds[0].scenario.limits.grade;
    let [a, b] = t.of.map(|n| n + 1);
    Some(format!("{a} and {b} together: {}, {}.", takes_up_to(t.guests, grade), gain(t.gain)))
}

/// Which of the best these evenings do not tell apart, by guests gained: "1 and 2 are too close to
/// tell apart by guests gained."
pub fn too_close(i: &Improvement) -> Option<String> {
    let (first, rest) = i.best.split_first()?;
    let least = first.gain.filter(|_| first.clearly_gained() > 0.0)?.low;
    let close = rest
        .iter()
        .take_while(|b| b.gain.is_some_and(|g| g.high >= least && b.clearly_gained() > 0.0))
        .count();
    let ranks: Vec<String> = (1..=close).map(|n| n.to_string()).collect();
    let last = (close > 0).then_some(close + 1)?;
    Some(format!("{} and {last} are too close to tell apart by guests gained.", ranks.join(", ")))
}

/// The sentence that answers what makes a headcount fit.
pub fn fits(i: &Improvement) -> String {
    let world = &i.race.worlds[0];
    let count = world.scenario.guests;
    if i.as_it_is.fits() {
        return format!(
            "{count} guests: {} as it is{}.",
            i.as_it_is.grade().word(),
            close(&i.as_it_is)
        );
    }
    let Some(best) = i.best.first() else {
        return "There is no single change to try.".into();
    };
    let change_of = &i.tried[best.entrant].change.what;
    let what = change(world, change_of);
    if best.evening.fits() {
        return format!(
            "To make {count} guests {}, {what}. That takes {}{}.",
            world.scenario.limits.grade.word(),
            takes(change_of.takes()),
            close(&best.evening)
        );
    }
    let left: Vec<String> = best
        .evening
        .limits
        .iter()
        .filter(|v| !v.holds)
        .map(|v| {
            super::capacity::gives_out(
                &i.race.worlds[best.world],
                v.subject,
                best.evening.jams_first().map(|j| j.pinch),
            )
        })
        .collect();
    format!(
        "No single change makes {count} guests {}. The nearest is to {what}; still over the limit then: {}.",
        world.scenario.limits.grade.word(),
        left.join(", ")
    )
}

/// A warning where a limit holds by too little to be sure.
fn close(evening: &Evening) -> &'static str {
    if evening.limits.iter().all(|v| v.is_clear()) {
        ""
    } else {
        ", but it is close: ask `capacity`"
    }
}

/// One of the best on three lines: what to do, guests, time.
pub fn row(i: &Improvement, best: &Standing) -> String {
    let what = &i.tried[best.entrant].change.what;
    let gained = best.gain.map_or(String::new(), |e| format!(", {}", gain(e)));
    let world = &i.race.worlds[0];
    let guests = match (i.asked, best.guests) {
        (Asked::Fits, _) => {
            format!("\n    {}", super::graded(world.scenario.guests, best.evening.grade()))
        }
        (_, Some(w)) => format!("\n    {}{gained}", takes_up_to(w, world.scenario.limits.grade)),
        (_, None) => String::new(),
    };
    format!(
        "{} ({}){guests}\n    {}",
        change(&i.race.worlds[0], what),
        takes(what.takes()),
        against(best.against, i.evenings as usize)
    )
}

/// What the lines to paste are for.
pub fn to_keep(i: &Improvement, best: &Standing) -> &'static str {
    let helps = match i.asked {
        Asked::Fits => best.evening.fits(),
        Asked::Most(None) => best.is_better(),
        Asked::Most(Some(_)) => best.against.is_clear() && best.against.difference.value < 0.0,
    };
    if helps { "To keep the first" } else { "To try the first" }
}

/// The option to paste for a change.
pub fn paste(i: &Improvement, tried: usize) -> String {
    let change_of = &i.tried[tried].change;
    super::option(&i.race.worlds[0], &change(&i.race.worlds[0], &change_of.what), &change_of.edits)
}

/// The option to paste for two changes.
pub fn paste_both(i: &Improvement, t: &Together) -> String {
    let world = &i.race.worlds[0];
    let name = t.of.map(|n| change(world, &i.tried[i.best[n].entrant].change.what)).join(" and ");
    super::option(world, &name, &t.edits)
}
