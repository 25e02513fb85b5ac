//! Every number-to-text rule, and the sentences of answers.

pub mod capacity;
pub mod compare;
pub mod improve;
pub mod placing;

use sim::question::evening::{Evening, PlaceReport, Subject, Verdict};
use sim::read::quoted;
use sim::scenario::Serves;
use sim::stats::Estimate;
use sim::units::{FOOT, INCH, SQUARE_FOOT, System};
use sim::world::World;

/// The caution that stands wherever numbers are read.
pub const CAUTION: &str = "Comfort and layout planning only: not an occupant load, egress, fire, acoustic or structural calculation. Local codes and licensed professionals decide those.";

/// The louder one, for many people or little floor.
pub const LOUD_CAUTION: &str = "THIS MANY PEOPLE, OR THIS LITTLE FLOOR, MAY FALL UNDER RULES FOR ASSEMBLIES. Ask the building or fire department before the evening. What is reported here says nothing about exits, fire or what a floor or deck carries.";

/// Headcount from which the caution is louder (assembly groups start at 50: NFPA and IBC, as reproduced by an exam forum).
const LOUD_GUESTS: u32 = 50;
/// Clear floor a guest under which the caution is louder, in sq ft (IBC 2015 1004.2, as reproduced).
const LOUD_FLOOR: f64 = 7.0;

/// The caution for an evening.
pub fn caution(guests: u32, clear_floor: f64) -> String {
    let tight = clear_floor / f64::from(guests.max(1)) < LOUD_FLOOR * SQUARE_FOOT;
    if guests >= LOUD_GUESTS || tight { format!("{CAUTION} {LOUD_CAUTION}") } else { CAUTION.to_string() }
}

/// "7 evenings in 10", "every evening", "no evening we simulated".
pub fn evenings(share: f64) -> String {
    match share {
        s if s <= 0.0 => "no simulated evening".into(),
        s if s < 0.01 => "fewer than 1 evening in 100".into(),
        s if s < 0.095 => format!("{:.0} {} in 100", s * 100.0, if (s * 100.0).round() == 1.0 { "evening" } else { "evenings" }),
        s if s < 0.995 => format!("{:.0} {} in 10", (s * 10.0).round(), if (s * 10.0).round() == 1.0 { "evening" } else { "evenings" }),
        _ => "every evening".into(),
    }
}

/// "40 s", "4 min", "2 min 30 s", "1 h 10 min".
pub fn duration(seconds: f64) -> String {
    let s = seconds.round().max(0.0) as u64;
    match s {
        0..60 => format!("{s} s"),
        60..3600 if s.is_multiple_of(60) || s >= 600 => format!("{} min", (s + 30) / 60),
        60..3600 => format!("{} min {} s", s / 60, s % 60),
        _ => format!("{} h {} min", s / 3600, s % 3600 / 60),
    }
}

/// The same as a bound that is not passed: never "less than 0 s".
pub fn bound(seconds: f64) -> String {
    duration(seconds.max(1.0))
}

/// "7:20 pm" from seconds after a start in minutes after midnight.
pub fn clock(start: u32, after: i64) -> String {
    let minutes = (i64::from(start) + after.div_euclid(60)).rem_euclid(24 * 60);
    let (hour, half) = (minutes / 60, if minutes >= 720 { "pm" } else { "am" });
    format!("{}:{:02} {half}", if hour % 12 == 0 { 12 } else { hour % 12 }, minutes % 60)
}

/// A length in the plan's units: `3 ft 6 in`, `33 1/2 in` or `1.07 m`.
pub fn length(metres: f64, system: System) -> String {
    match system {
        System::Metres => format!("{metres:.2} m"),
        System::Feet => {
            let halves = (metres / INCH * 2.0).round() as i64;
            let (feet, halves) = (halves / 24, halves % 24);
            let inches = if halves % 2 == 0 {
                format!("{}", halves / 2)
            } else if halves == 1 {
                "1/2".into()
            } else {
                format!("{} 1/2", halves / 2)
            };
            match (feet, halves) {
                (0, _) => format!("{inches} in"),
                (f, 0) => format!("{f} ft"),
                (f, _) => format!("{f} ft {inches} in"),
            }
        }
    }
}

/// A width as people speak of doors and aisles: inches to a tenth, or metres.
pub fn width(metres: f64, system: System) -> String {
    match system {
        System::Metres => format!("{metres:.3} m"),
        System::Feet => {
            let tenths = (metres / INCH * 10.0).round() / 10.0;
            if tenths.fract() == 0.0 { format!("{tenths:.0} in") } else { format!("{tenths:.1} in") }
        }
    }
}

/// A width on a drawing: in feet and inches from 8 ft, where nobody counts inches.
pub fn drawn_width(metres: f64, system: System) -> String {
    if metres >= 8.0 * sim::units::FOOT { length(metres, system) } else { width(metres, system) }
}

/// An area in the plan's units.
pub fn area(m2: f64, system: System) -> String {
    match system {
        System::Metres => format!("{m2:.1} m2"),
        System::Feet => format!("{:.0} sq ft", m2 / SQUARE_FOOT),
    }
}

/// An area for one guest, to a tenth.
pub fn area_each(m2: f64, system: System) -> String {
    match system {
        System::Metres => format!("{m2:.2} m2"),
        System::Feet => format!("{:.1} sq ft", m2 / SQUARE_FOOT),
    }
}

/// Metres to the plan's larger unit.
pub fn per_unit(system: System) -> (f64, &'static str) {
    match system {
        System::Feet => (FOOT, "ft"),
        System::Metres => (1.0, "m"),
    }
}

/// "(likely 8 to 11)" with a formatter, or nothing for a figure known exactly.
pub fn likely(e: Estimate, text: impl Fn(f64) -> String) -> String {
    let (low, high) = (text(e.low), text(e.high));
    if e.low == e.high || low == high { String::new() } else { format!(" (likely {low} to {high})") }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn percent_of_evenings(share: f64) -> String {
    format!("{:.0} in 100", share * 100.0)
}

/// What serves, in words: "food at sideboard", "powder room".
pub fn spot(world: &World, spot: usize) -> String {
    let s = &world.spots[spot];
    match s.serves {
        Serves::Powder => s.name.clone(),
        Serves::Door => format!("the step outside {}", s.name),
        other => format!("{} at {}", other.word(), s.name),
    }
}

/// A limit in words: its measure, its bound, and how it stands.
pub fn verdict(world: &World, v: &Verdict) -> String {
    let system = world.plan.system;
    let state = match (v.holds, v.is_clear()) {
        (true, true) => "holds",
        (true, false) => "holds, but it is close",
        (false, true) => "DOES NOT HOLD",
        (false, false) => "DOES NOT HOLD, but it is close",
    };
    let e = v.value;
    let measure = match &v.subject {
        Subject::JamRisk(place) => format!(
            "{} jams on {}{}; you accept {}",
            world.places[*place].name,
            evenings(e.value),
            likely(e, percent_of_evenings),
            percent_of_evenings(v.bound)
        ),
        Subject::Wait(s) => {
            format!("{}: 9 visits in 10 wait less than {}{}; you accept {}", spot(world, *s), bound(e.value), likely(e, duration), duration(v.bound))
        }
        Subject::SeatsShort => format!("seats: {} of those who want one find none{}; you accept {}", percent(e.value), likely(e, percent), percent(v.bound)),
        Subject::CoatsOver => format!("coats: {:.1} have no place{}; you accept {:.0}", e.value, likely(e, |x| format!("{:.1}", x.max(0.0))), v.bound),
        Subject::ClearFloor => format!("clear floor: {} a guest; you accept {}", area_each(e.value, system), area_each(v.bound, system)),
    };
    format!("{state:<14} {measure}")
}

/// The sentence that answers the question.
pub fn sentence(world: &World, e: &Evening) -> String {
    let guests = world.scenario.guests;
    let worst = e.worst();
    let jammed = worst.filter(|p| p.jam_risk.value > 0.0);
    match (jammed, worst) {
        (Some(p), _) => {
            let often = evenings(p.jam_risk.value);
            format!("With {guests} guests {} jams on {often}{}{}.", place(world, p.place), when(world, p), because(world, p))
        }
        (None, Some(p)) => {
            format!("With {guests} guests nothing jams on any simulated evening; most time is lost at {}{}.", place(world, p.place), because(world, p))
        }
        (None, None) => format!("With {guests} guests nobody is held up anywhere."),
    }
}

/// A place with its article: "the hall", "the way from hall to kitchen".
pub fn place(world: &World, place: usize) -> String {
    let place = &world.places[place];
    if place.opening.is_some() && place.name.contains(" to ") { format!("the way from {}", place.name) } else { with_article(&place.name) }
}

/// A name with its article, but for the ground outside.
pub fn with_article(name: &str) -> String {
    if name == sim::plan::OUTSIDE { "the ground outside the door".into() } else { format!("the {name}") }
}

/// Lines to paste: an option of its own, or what to add to the option in force, on which they were tried.
pub fn option(world: &World, name: &str, lines: &str) -> String {
    match &world.scenario.option {
        Some(in_force) => format!("# these go into the option {}, each table merged with the one it has\n{lines}", quoted(in_force)),
        None => format!("[[option]]\nname = {}\n{lines}", quoted(name)),
    }
}

fn when(world: &World, p: &PlaceReport) -> String {
    let start = world.scenario.start;
    p.when.map_or(String::new(), |(a, b)| format!(", mostly {} to {}", clock(start, a), clock(start, b)))
}

/// A cause is named alone if it costs at least this share of the time lost there.
const MAIN: f64 = 0.5;

fn because(world: &World, p: &PlaceReport) -> String {
    let total: f64 = p.causes.iter().map(|c| c.1).sum();
    match p.causes.as_slice() {
        [] => String::new(),
        [first, second, ..] if first.1 < MAIN * total => format!(", because {} and {}", first.0.words(world), second.0.words(world)),
        [first, ..] => format!(", because {}", first.0.words(world)),
    }
}

/// Whether the evening fits, in a line.
pub fn fits(e: &Evening) -> String {
    let broken = e.limits.iter().filter(|v| !v.holds).count();
    match broken {
        0 => "It fits: every limit holds.".into(),
        1 => "It does not fit: one limit does not hold.".into(),
        n => format!("It does not fit: {n} limits do not hold."),
    }
}

/// The three numbers.
pub fn three_numbers(world: &World, e: &Evening) -> [String; 3] {
    let waits = e.spots.iter().filter(|s| world.spots[s.spot].serves != Serves::Door);
    let longest = waits.max_by(|a, b| a.p90.value.total_cmp(&b.p90.value));
    let usual = longest
        .map_or("no lines".to_string(), |s| format!("longest usual wait: {}{} for {}", duration(s.p90.value), likely(s.p90, duration), spot(world, s.spot)));
    [
        format!("evenings with a jam: {}{}", evenings(e.any_jam.value), likely(e.any_jam, percent_of_evenings)),
        usual,
        format!(
            "minutes lost a guest: {:.1}{}, {:.1} of them in lines",
            e.minutes_lost.value,
            likely(e.minutes_lost, |x| format!("{x:.1}")),
            e.minutes_waited.value
        ),
    ]
}

/// What to look at next.
pub fn next_step(e: &Evening) -> String {
    let broken = e.limits.iter().find(|v| !v.holds);
    match broken.map(|v| &v.subject) {
        None => "How many more? Ask `elbowroom capacity` with this file".into(),
        Some(Subject::JamRisk(_)) => "What would help? Ask `elbowroom improve` with this file; how many fit, `elbowroom capacity`".into(),
        Some(Subject::Wait(_)) => {
            "What would help? Ask `elbowroom improve` with this file; or try a second serving place: [serving] at_once = 2, or a second name in [place]".into()
        }
        Some(Subject::SeatsShort) => "Try more seats: furniture with seats in the plan".into(),
        Some(Subject::CoatsOver) => "Try a second place for coats: [place] coats = [\"closet\", \"rack\"]".into(),
        Some(Subject::ClearFloor) => "Try fewer guests, less furniture, or open the patio: [doors]".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_evenings_read_as_people_say_them() {
        assert_eq!(evenings(0.7), "7 evenings in 10");
        assert_eq!(evenings(0.1), "1 evening in 10");
        assert_eq!(evenings(0.034), "3 evenings in 100");
        assert_eq!(evenings(0.0), "no simulated evening");
        assert_eq!(evenings(1.0), "every evening");
    }

    #[test]
    fn lengths_read_as_on_a_tape() {
        let feet = |inches: f64| length(inches * INCH, System::Feet);
        assert_eq!(feet(42.0), "3 ft 6 in");
        assert_eq!(feet(33.5), "2 ft 9 1/2 in");
        assert_eq!(feet(36.0), "3 ft");
        assert_eq!(width(31.5 * INCH, System::Feet), "31.5 in");
    }

    #[test]
    fn clocks_and_durations() {
        assert_eq!(clock(19 * 60, 1200), "7:20 pm");
        assert_eq!(clock(23 * 60, 7200), "1:00 am");
        assert_eq!(duration(240.0), "4 min");
        assert_eq!(duration(150.0), "2 min 30 s");
        assert_eq!(duration(4200.0), "1 h 10 min");
    }
}
