//! Every number-to-text rule, and the sentences of answers. Here: cautions, names, evidence;
//! measures and sentences have files of their own.

mod measures;
mod floor;
mod evening;
pub mod assumed;
mod plan;
pub mod problem;
pub mod capacity;
pub mod compare;
pub mod where_to;
pub mod improve;

pub use evening::*;
pub use floor::*;
pub use measures::*;
pub use plan::{check, review};

use sim::base::parallel::Endless;
use sim::base::units::{INCH, SQUARE_FOOT, seconds};
use sim::evening::edit::Edits;
use sim::evening::scenario::{Grade, Serves};
use sim::evidence;
use sim::files::{LONGEST_NAME, quoted, turns_text};
use sim::floor::world::{PlaceId, SpotId, World};
use sim::house::plan::{Opening, Plan, RoomId, Stairs, Style};
use sim::study::evening::Evening;
use sim::study::where_to::side;
use sim::study::where_to::sites::Site;

/// The caution that stands wherever numbers are read.
pub const CAUTION: &str = "Comfort and layout planning only: not an occupant load, egress, fire, acoustic or structural calculation. Local codes and licensed professionals decide those.";

/// The same in two lines of a card.
const CARD_CAUTION: &str = "Comfort planning, not occupant load, fire, egress or structure. Local codes and licensed professionals decide those.";

/// The louder one, for many people or little floor.
pub const LOUD_CAUTION: &str = "THIS MANY PEOPLE, OR THIS LITTLE FLOOR, MAY FALL UNDER RULES FOR ASSEMBLIES. Ask the building or fire department before the evening. What is reported here says nothing about exits, fire or what a floor or deck carries.";

/// Headcount from which the caution is louder (assembly groups start at 50: NFPA and IBC, as
/// reproduced by an exam forum).
const LOUD_GUESTS: u32 = 50;
/// Clear floor a guest under which the caution is louder, in sq ft (IBC 2015 1004.2, as
/// reproduced).
const LOUD_FLOOR: f64 = 7.0;

/// The louder one in two lines of a card.
const LOUD_CARD_CAUTION: &str = "THIS MANY PEOPLE, OR THIS LITTLE FLOOR, MAY FALL UNDER ASSEMBLY RULES: ask the building or fire department.";

/// The caution for an evening.
pub fn caution(guests: u32, clear_floor: f64) -> String {
    if is_loud(guests, clear_floor) {
        format!("{CAUTION} {LOUD_CAUTION}")
    } else {
        CAUTION.to_string()
    }
}

/// The caution for an evening, on its card.
pub fn card_caution(guests: u32, clear_floor: f64) -> String {
    if is_loud(guests, clear_floor) {
        format!("{CARD_CAUTION} {LOUD_CARD_CAUTION}")
    } else {
        CARD_CAUTION.to_string()
    }
}

fn is_loud(guests: u32, clear_floor: f64) -> bool {
    guests >= LOUD_GUESTS || clear_floor / f64::from(guests.max(1)) < LOUD_FLOOR * SQUARE_FOOT
}

/// An evening that had to be stopped.
pub fn endless(which: Endless) -> String {
    let Endless { seed, trial, guests: n, person, at } = which;
    let after = duration(seconds(at));
    let next = person.map_or(String::new(), |p| format!(", when person {p} was next"));
    format!(
        "evening {trial} of seed {seed} with {} does not come to an end. It was stopped {after} after it began{next}; nothing was written. \
         Errands that take no time can cause this. Otherwise it is a mistake in elbowroom: please report it, with your files",
        guests(n)
    )
}

/// "a", "a and b", "a, b and c".
pub fn list(all: &[String]) -> String {
    match all.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

/// With a capital, to stand alone.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}

/// " With it, 40 guests are still packed.", or nothing where the grade asked for is kept.
pub fn still(world: &World, then: &Evening) -> String {
    let close = if then.limits.iter().any(|v| !v.holds && v.is_clear()) {
        ""
    } else {
        ", but it is too close to call"
    };
    if then.fits() {
        String::new()
    } else {
        format!(" With it, {} still {}{close}.", are(world.scenario.guests), then.grade().word())
    }
}

/// Grades as it is and with a change: "40 guests: packed, lively with the change".
pub fn grade_then(n: u32, now: Grade, then: Grade) -> String {
    match now == then {
        true => format!("{}: {}, with or without the change", guests(n), now.word()),
        false => format!("{}: {}, {} with the change", guests(n), now.word(), then.word()),
    }
}

/// " 40 guests are packed either way.", or nothing where the grade asked for is kept as it is.
pub fn either_way(world: &World, as_it_is: &Evening) -> String {
    if as_it_is.fits() {
        String::new()
    } else {
        format!(" {} {} either way.", are(world.scenario.guests), as_it_is.grade().word())
    }
}

/// "1 guest is", "40 guests are".
fn are(n: u32) -> String {
    format!("{} {}", guests(n), if n == 1 { "is" } else { "are" })
}

/// Where a piece stands: "against the north wall of the great room", "clear of the walls in the
/// kitchen, used from both sides".
pub fn standing(world: &World, site: &Site) -> String {
    let room = with_article(&world.plan.rooms[site.room].name);
    match side(site.against) {
        Some(wall) => format!("against the {wall} wall of {room}"),
        None => format!("clear of the walls in {room}, used from both sides"),
    }
}

/// "40 guests: lively".
pub fn graded(n: u32, grade: Grade) -> String {
    format!("{}: {}", guests(n), grade.word())
}

/// "1 guest", "40 guests".
pub fn guests(n: u32) -> String {
    if n == 1 { "1 guest".into() } else { format!("{n} guests") }
}

/// Why to believe it, in a paragraph.
pub fn evidence() -> String {
    let checks = evidence::checks().into_iter().filter(|c| !c.is_arithmetic()).count();
    let not = match evidence::known_not_to_hold().len() {
        0 => "All hold.".to_string(),
        1 => "One check fails; it is listed below with the reason.".into(),
        n => format!("{n} checks fail in part; they are listed below with the reason."),
    };
    format!(
        "The simulated guests walk, wait, talk and squeeze past one another by one set of rules. {checks} checks test those rules: how fast people \
         walk, how many a door lets through, how lines grow, how guests arrive and stand, and whether the ranges given here are honest. {not} As far as we \
         know, nobody has measured how long people are held up in the halls of homes: the order by width is checked, the seconds are not."
    )
}

/// What the checks are that are known not to hold, and why.
pub fn known_not_to_hold() -> Vec<String> {
    evidence::known_not_to_hold()
        .into_iter()
        .map(|(check, reason)| format!("{} ({}): {reason}", check.title, check.id))
        .collect()
}

/// What the words on a page mean.
pub const GLOSSARY: [(&str, &str); 10] = [
    (
        "easy",
        "hardly anybody is in the way, nobody waits long, nearly everybody who wants a seat finds one, and there is at least 16 sq ft of clear floor per guest (the home rule for mingling)",
    ),
    (
        "lively",
        "a full house that still flows: no spot is jammed for over 5 min on more than 1 evening in 10, waits stay short, and 3 in 4 guests who want a seat find one",
    ),
    (
        "packed",
        "as crowded as a reception that is short of space: up to a tenth of the evening jammed somewhere, a seat for half the guests who want one, 6 sq ft per guest",
    ),
    (
        "held up",
        "a guest walks for 5 seconds and covers less than a fifth of the distance they would on an empty floor",
    ),
    (
        "a jam",
        "a guest is held up on a spot of floor 5 ft across with at least three people on it, until that guest gets through",
    ),
    ("minutes lost", "time guests lose in each other's way, plus time they wait in line"),
    (
        "guest-minutes",
        "the minutes of all guests added up: two guests who lose half a minute each make one",
    ),
    ("clear floor", "the floor of the rooms guests use, minus the furniture on it"),
    (
        "your limits",
        "the limits in your evening's file, or the usual ones for the grade; the usual grade is lively",
    ),
    (
        "likely 23 to 26",
        "a range like this contains the true figure about 19 times in 20, if guests behave as assumed",
    ),
];

/// A name from a file as it is shown: in one line, cut where it is very long, and kept from turning
/// the text round it where it runs from right to left.
pub fn shown(name: &str) -> String {
    let plain: Vec<char> = name
        .chars()
        .filter(|c| !turns_text(*c))
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let cut = if plain.len() > LONGEST_NAME {
        plain[..LONGEST_NAME - 1].iter().chain(&['…']).collect()
    } else {
        plain.iter().collect::<String>()
    };
    if cut.chars().any(runs_leftwards) { format!("\u{2068}{cut}\u{2069}") } else { cut }
}

/// Letters of the scripts that run from right to left, by block (Unicode Standard,
/// DerivedBidiClass).
fn runs_leftwards(c: char) -> bool {
    matches!(c, '\u{0590}'..='\u{08ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefe}' | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}')
}

/// What serves, in words: "food at sideboard", "powder room".
pub fn spot(world: &World, spot: SpotId) -> String {
    let s = &world.spots[spot];
    match s.serves {
        Serves::Powder => shown(&s.name),
        Serves::Door => format!("the step outside {}", with_article(&s.name)),
        other => format!("{} at {}", other.word(), shown(&s.name)),
    }
}

/// ", lower", where there are levels.
pub fn on_level(plan: &Plan, room: RoomId) -> String {
    match plan.stairs_of(room) {
        _ if plan.levels.len() < 2 => String::new(),
        Some(s) => format!(
            ", {} to {}",
            shown(&plan.levels[plan.rooms[s.rooms[0]].level].name),
            shown(&plan.levels[plan.rooms[s.rooms[1]].level].name)
        ),
        None => format!(", {}", shown(&plan.levels[plan.rooms[room].level].name)),
    }
}

/// "14 risers of 7.7 in, treads of 10 in, 36 in wide".
pub fn stairs(plan: &Plan, s: &Stairs) -> String {
    let [w, south, e, n] = plan.rooms[s.rooms[0]].bounds();
    let wide = if s.up.is_vertical() { e - w } else { n - south };
    let short = if s.tread() < SHORT_TREAD {
        "; treads under 10 in are steep: codes often ask for more"
    } else {
        ""
    };
    let of = |meters: f64| width(meters, plan.system);
    format!(
        "{} risers of {}, treads of {}, {} wide{short}",
        s.risers(),
        of(s.rise / f64::from(s.risers())),
        of(s.tread()),
        of(wide)
    )
}

/// Treads are said to be short below this, in meters (10 in: 2018 IRC R311.7.5.2, as Jefferson
/// County, Colorado, explains it).
const SHORT_TREAD: f64 = 9.95 * INCH;

/// "the line for coats at coat closet", "the line for the powder room".
pub fn line_for(world: &World, spot: SpotId) -> String {
    match world.spots[spot].serves {
        Serves::Door => format!("the line outside {}", with_article(&world.spots[spot].name)),
        _ => format!("the line for {}", with_powder(world, spot)),
    }
}

/// What serves, in a sentence: "food at the sideboard", "the powder room".
fn with_powder(world: &World, spot: SpotId) -> String {
    let s = &world.spots[spot];
    if matches!(s.serves, Serves::Powder | Serves::Door) {
        with_article(&s.name)
    } else {
        format!("{} at {}", s.serves.word(), with_article(&s.name))
    }
}

/// A place with its article: "the hall", "the doorway between the hall and the kitchen".
pub fn place(world: &World, place: PlaceId) -> String {
    let place = &world.places[place];
    place.opening().map_or_else(
        || with_article(&place.name),
        |o| opening(&world.plan, &world.plan.openings[o]),
    )
}

/// An opening with its article: "the front door"; by its rooms if the file gives it no name.
pub fn opening(plan: &Plan, o: &Opening) -> String {
    opening_as(plan, o, if o.style == Style::Cased { "opening" } else { "doorway" })
}

/// The door in an opening: "the front door", "the door between the hall and the bath".
pub fn door(plan: &Plan, o: &Opening) -> String {
    opening_as(plan, o, "door")
}

fn opening_as(plan: &Plan, o: &Opening, gap: &str) -> String {
    if let [Some(a), Some(b)] = o.sides().map(|r| r.map(|r| plan.rooms[r].name.as_str()))
        && o.name == format!("{a} to {b}")
    {
        return format!("the {gap} between {} and {}", with_article(a), with_article(b));
    }
    with_article(&o.name)
}

/// A name with its article, but for the ground outside.
pub fn with_article(name: &str) -> String {
    if name == sim::house::plan::OUTSIDE {
        "the ground outside the door".into()
    } else {
        format!("the {}", shown(name))
    }
}

/// Lines to paste: an option of its own, or what to add to the option in force, on which they were
/// tried.
pub fn option(world: &World, name: &str, edits: &Edits) -> String {
    let lines = sim::files::lines(edits);
    match &world.scenario.option {
        Some(in_force) => format!(
            "# these go into the option {}, each table merged with the one it has\n{lines}",
            quoted(in_force)
        ),
        None => format!("[[option]]\nname = {}\n{lines}", quoted(name)),
    }
}

/// What a spot serves: "food", "the powder room", "the door".
pub fn what(serves: Serves) -> &'static str {
    match serves {
        Serves::Door => "the door",
        Serves::Powder => "the powder room",
        Serves::Coats | Serves::Drinks | Serves::Glasses | Serves::Food => serves.word(),
    }
}
