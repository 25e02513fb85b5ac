//! Every number-to-text rule, and the sentences of answers.

pub mod capacity;
pub mod compare;
pub mod improve;
pub mod placing;

use sim::evidence;
use sim::measure::Cause;
use sim::plan::{Side, Use};
use sim::question::evening::{Evening, PlaceReport, Subject, Verdict};
use sim::read::quoted;
use sim::scenario::Serves;
use sim::stats::Estimate;
use sim::units::{FOOT, INCH, SQUARE_FOOT, System};
use sim::world::World;
use sim::world::aisles::Aisle;

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

/// With a capital, to stand alone.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}

/// " With it 40 guests still do not fit.", or nothing where they do.
pub fn still(n: u32, fits: bool) -> String {
    let they = guests(n);
    match (fits, n) {
        (true, _) => String::new(),
        (false, 1) => format!(" With it {they} still does not fit."),
        (false, _) => format!(" With it {they} still do not fit."),
    }
}

/// "40 guests fit", "1 guest does not fit".
pub fn fit(n: u32, fits: bool) -> String {
    let does = match (fits, n) {
        (true, 1) => "fits",
        (true, _) => "fit",
        (false, 1) => "does not fit",
        (false, _) => "do not fit",
    };
    format!("{} {does}", guests(n))
}

/// "1 guest", "40 guests".
pub fn guests(n: u32) -> String {
    if n == 1 { "1 guest".into() } else { format!("{n} guests") }
}

/// Why to believe it, in a paragraph.
pub fn evidence() -> String {
    let (checks, not) = (evidence::checks().len(), evidence::known_not_to_hold().len());
    format!(
        "The simulated guests walk, wait, talk and squeeze past one another by one set of rules, which is held against {checks} checks: how fast people \
         walk, what doors pass, how lines grow, how guests come and stand, and whether the ranges given here are honest. {not} of these checks are known \
         not to hold in part; they are listed below with the reason. How many seconds people are held up in halls of homes \
         nobody has measured, as far as we know: the order by width is checked, the seconds are not. Pages of the same house differ a little, within their \
         ranges, where each played its own evenings."
    )
}

/// What the checks are that are known not to hold, and why.
pub fn known_not_to_hold() -> Vec<String> {
    evidence::known_not_to_hold().into_iter().map(|(check, reason)| format!("{} ({}): {reason}", check.title, check.id)).collect()
}

/// What the words on a page mean.
pub const GLOSSARY: [(&str, &str); 6] = [
    ("held up", "in 5 seconds of walking somebody gets less than a fifth as far as an empty floor would let them"),
    ("a jam", "within half a minute three or more guests are held up in one place, each within 5 ft of another"),
    ("minutes lost", "what guests lose to one another on their ways, and what they stand in lines"),
    ("what you accept", "the limits of the evening's file, or the usual ones where it says nothing: a limit holds while the measure stays within it"),
    ("likely 23 to 26", "a range that holds the true figure about 19 times in 20"),
    ("comfortable", "every limit holds"),
];

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

/// "70 evenings in 100", "1 evening in 100", "0.4 evenings in 100".
fn in_100(share: f64) -> String {
    match share * 100.0 {
        n if n > 0.0 && n < 0.95 => format!("{n:.1} evenings in 100"),
        n if n.round() == 1.0 => "1 evening in 100".into(),
        n => format!("{n:.0} evenings in 100"),
    }
}

/// "(likely 66 to 82 in 100)" for shares of evenings.
pub fn likely_evenings(e: Estimate) -> String {
    let hundredths = |share: f64| format!("{:.0}", share * 100.0);
    let (low, high) = (hundredths(e.low), hundredths(e.high));
    if e.low == e.high || low == high { String::new() } else { format!(" (likely {low} to {high} in 100)") }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn percent_of_evenings(share: f64) -> String {
    format!("{:.0} in 100", share * 100.0)
}

/// Longest name that is shown whole, in characters.
const LONGEST_NAME: usize = 60;

/// A name from a file as it is shown: in one line, cut where it is very long, and kept from turning the text round it where it runs from
/// right to left.
pub fn shown(name: &str) -> String {
    let plain: Vec<char> = name.chars().filter(|c| !turns_text(*c)).map(|c| if c.is_control() { ' ' } else { c }).collect();
    let cut = if plain.len() > LONGEST_NAME { plain[..LONGEST_NAME - 1].iter().chain(&['…']).collect() } else { plain.iter().collect::<String>() };
    if cut.chars().any(runs_leftwards) { format!("\u{2068}{cut}\u{2069}") } else { cut }
}

/// Marks that change the direction of the text that follows (Unicode Standard Annex 9, explicit formatting characters and marks).
pub fn turns_text(c: char) -> bool {
    matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Letters of the scripts that run from right to left, by block (Unicode Standard, DerivedBidiClass).
fn runs_leftwards(c: char) -> bool {
    matches!(c, '\u{0590}'..='\u{08ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefe}' | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}')
}

/// What serves, in words: "food at sideboard", "powder room".
pub fn spot(world: &World, spot: usize) -> String {
    let s = &world.spots[spot];
    match s.serves {
        Serves::Powder => shown(&s.name),
        Serves::Door => format!("the step outside {}", shown(&s.name)),
        other => format!("{} at {}", other.word(), shown(&s.name)),
    }
}

/// A walkway narrower than this is worth a word, in metres (NKBA guideline 7: 36 in, as reproduced by a cabinet catalog).
const WALKWAY: f64 = 36.0 * INCH;

/// The clear width of an aisle, with a word where one works at the piece and it is under a walkway.
pub fn aisle(world: &World, a: &Aisle) -> String {
    let wide = width(a.clear, world.plan.system);
    let worked_at = world.plan.furniture[a.piece].kind.has_top() && a.side != Side::Ends;
    if a.clear < WALKWAY && worked_at { format!("{wide}, under a 36 in walkway") } else { wide }
}

/// What `check` understood: rooms, clear floor for guests, and whether measures disagree.
pub fn understood(world: &World, disagree: usize) -> String {
    let measures = match disagree {
        0 => "all measures agree".to_string(),
        1 => "one measure disagrees".to_string(),
        n => format!("{n} measures disagree"),
    };
    let rooms = world.plan.rooms.len();
    let rooms = if rooms == 1 { "One room".to_string() } else { format!("{rooms} rooms") };
    format!("{rooms} with {} of clear floor for guests; {measures}.", area(world.clear_floor, world.plan.system))
}

/// "the line for coats at coat closet", "the line for the powder room".
pub fn line_for(world: &World, spot: usize) -> String {
    format!("the line for {}", with_powder(world, spot))
}

/// What serves, in a sentence: "food at sideboard", "the powder room".
fn with_powder(world: &World, spot: usize) -> String {
    let s = &world.spots[spot];
    if s.serves == Serves::Powder { with_article(&s.name) } else { self::spot(world, spot) }
}

/// A limit in words.
pub struct LimitWords {
    /// What is limited: "dining room", "seats".
    pub what: String,
    /// Its measure: "jams on 8 evenings in 10".
    pub measured: String,
    /// How sure that is.
    pub likely: String,
    /// What the host accepts.
    pub accepted: String,
    /// How it stands.
    pub state: &'static str,
}

/// A limit in words: its measure, its bound, and how it stands.
pub fn told(world: &World, v: &Verdict) -> LimitWords {
    let (e, system) = (v.value, world.plan.system);
    let state = match (v.holds, v.is_clear()) {
        (true, true) => "holds",
        (true, false) => "holds, but it is close",
        (false, true) => "DOES NOT HOLD",
        (false, false) => "DOES NOT HOLD, but it is close",
    };
    let (what, measured, likely, accepted) = match &v.subject {
        Subject::JamRisk(place) => {
            (shown(&world.places[*place].name), format!("jams on {}", in_100(e.value)), likely_evenings(e), percent_of_evenings(v.bound))
        }
        Subject::Wait(s) => {
            let waits = if v.holds { "9 visits in 10 wait less than" } else { "1 visit in 10 waits more than" };
            (spot(world, *s), format!("{waits} {}", bound(e.value)), likely(e, duration), duration(v.bound))
        }
        Subject::SeatsShort => ("seats".into(), format!("{} of those who want one find none", percent(e.value)), likely(e, percent), percent(v.bound)),
        Subject::CoatsOver => ("coats".into(), format!("{:.1} have no place", e.value), likely(e, |x| format!("{:.1}", x.max(0.0))), format!("{:.0}", v.bound)),
        Subject::ClearFloor => {
            ("clear floor".into(), format!("{} a guest", area_each(e.value, system)), String::new(), format!("at least {}", area_each(v.bound, system)))
        }
    };
    LimitWords { what, measured, likely, accepted, state }
}

/// The same in one line.
pub fn verdict(world: &World, v: &Verdict) -> String {
    let t = told(world, v);
    format!("{:<14} {}: {}{}; you accept {}", t.state, t.what, t.measured, t.likely, t.accepted)
}

/// The sentence that answers the question: what is worst, how often, when and why.
pub fn sentence(world: &World, e: &Evening) -> String {
    let with = format!("With {}", guests(world.scenario.guests));
    if let Some(v) = e.trouble().filter(|v| !matches!(v.subject, Subject::JamRisk(_))) {
        let t = told(world, v);
        return format!("{with} {}: {}{}; you accept {}.", trouble(world, v.subject), t.measured, t.likely, t.accepted);
    }
    match (e.jams_first(), e.worst()) {
        (Some(p), _) => {
            let often = evenings(p.jam_risk.value);
            format!("{with} {} jams on {often}{}{}.", place(world, p.place), when(world, p), because(world, p))
        }
        (None, Some(p)) => {
            format!("{with} nothing jams on any simulated evening; most time is lost at {}{}.", place(world, p.place), because(world, p))
        }
        (None, None) => format!("{with} nobody is held up anywhere."),
    }
}

/// "one more limit does not hold".
pub fn more_limits(n: usize) -> String {
    if n == 1 { "one more limit does not hold".into() } else { format!("{n} more limits do not hold") }
}

/// A limit that does not hold, in a few words.
pub fn trouble(world: &World, subject: Subject) -> String {
    match subject {
        Subject::JamRisk(at) => format!("{} jams too often", place(world, at)),
        Subject::Wait(s) => format!("{} is too long", line_for(world, s)),
        Subject::SeatsShort => "there are too few seats".into(),
        Subject::CoatsOver => "there are too many coats".into(),
        Subject::ClearFloor => "there is too little floor".into(),
    }
}

/// A place with its article: "the hall", "the way from hall to kitchen".
pub fn place(world: &World, place: usize) -> String {
    let place = &world.places[place];
    if place.opening.is_some() && place.name.contains(" to ") { format!("the way from {}", shown(&place.name)) } else { with_article(&place.name) }
}

/// A name with its article, but for the ground outside.
pub fn with_article(name: &str) -> String {
    if name == sim::plan::OUTSIDE { "the ground outside the door".into() } else { format!("the {}", shown(name)) }
}

/// Lines to paste: an option of its own, or what to add to the option in force, on which they were tried.
pub fn option(world: &World, name: &str, lines: &str) -> String {
    match &world.scenario.option {
        Some(in_force) => format!("# these go into the option {}, each table merged with the one it has\n{lines}", quoted(in_force)),
        None => format!("[[option]]\nname = {}\n{lines}", quoted(name)),
    }
}

/// ", mostly 8:40 pm to 9:20 pm", or nothing.
pub fn when(world: &World, p: &PlaceReport) -> String {
    let start = world.scenario.start;
    p.when.map_or(String::new(), |(a, b)| format!(", mostly {} to {}", clock(start, a), clock(start, b)))
}

/// A cause is named alone if it costs at least this share of the time lost there.
const MAIN: f64 = 0.5;

/// ", because people stand there talking", or nothing.
pub fn because(world: &World, p: &PlaceReport) -> String {
    let why = why(world, p);
    if why.is_empty() { why } else { format!(", because {why}") }
}

/// The main cause of what is lost at a place, or the two that are.
pub fn why(world: &World, p: &PlaceReport) -> String {
    let total: f64 = p.causes.iter().map(|c| c.1).sum();
    match p.causes.as_slice() {
        [] => String::new(),
        [first, second, ..] if first.1 < MAIN * total => format!("{} and {}", cause(world, first.0), cause(world, second.0)),
        [first, ..] => cause(world, first.0),
    }
}

/// A cause in words: what the others were doing.
pub fn cause(world: &World, cause: Cause) -> String {
    match cause {
        Cause::Line(s) => format!("the line for {} stands there", what(world.spots[s].serves)),
        Cause::Served(s) if world.spots[s].serves == Serves::Door => "guests are greeted there".into(),
        Cause::Served(s) => format!("guests stand there at {}", shown(&world.spots[s].name)),
        Cause::Talking => "people stand there talking".into(),
        Cause::Seated => "people sit there".into(),
        Cause::Oncoming => "guests meet going both ways".into(),
        Cause::SameWay => "everybody goes the same way at once".into(),
        Cause::Hosting => "the hosts stand there".into(),
    }
}

/// What a spot serves: "food", "the powder room", "the door".
pub fn what(serves: Serves) -> &'static str {
    match serves {
        Serves::Door => "the door",
        Serves::Powder => "the powder room",
        other => other.word(),
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

/// A figure in words, and where answer.json has it.
pub struct Number {
    /// What it is: "minutes lost a guest".
    pub what: String,
    /// The figure: "3.8".
    pub says: String,
    /// How sure that is: " (likely 3.5 to 4.0)".
    pub likely: String,
    /// What else belongs to it: ", 2.9 of them in lines".
    pub more: String,
    /// The figure itself.
    pub value: Estimate,
    /// Its JSON pointer in answer.json (RFC 6901).
    pub key: String,
}

impl Number {
    /// In one line.
    pub fn line(&self) -> String {
        format!("{}: {}{}{}", self.what, self.says, self.likely, self.more)
    }
}

/// The three numbers of an evening.
pub fn three_numbers(world: &World, e: &Evening) -> [Number; 3] {
    [jam_number(e), wait_number(world, e), lost_number(e)]
}

/// Evenings with a jam.
pub fn jam_number(e: &Evening) -> Number {
    Number {
        what: "evenings with a jam anywhere".into(),
        says: evenings(e.any_jam.value),
        likely: likely_evenings(e.any_jam),
        more: String::new(),
        value: e.any_jam,
        key: "/any_jam".into(),
    }
}

/// The longest usual wait, the step outside the door not counted.
pub fn wait_number(world: &World, e: &Evening) -> Number {
    let what = "longest usual wait".to_string();
    let waits = e.spots.iter().enumerate().filter(|(_, s)| s.visits.value > 0.0 && world.spots[s.spot].serves != Serves::Door);
    match waits.reduce(|a, b| if b.1.p90.value > a.1.p90.value { b } else { a }) {
        None => Number { what, says: "no lines".into(), likely: String::new(), more: String::new(), value: Estimate::exact(0.0), key: String::new() },
        Some((i, s)) => Number {
            what,
            says: bound(s.p90.value),
            likely: likely(s.p90, duration),
            more: format!(" for {}", with_powder(world, s.spot)),
            value: s.p90,
            key: format!("/spots/{i}/wait_s/p90"),
        },
    }
}

/// Minutes lost a guest.
pub fn lost_number(e: &Evening) -> Number {
    Number {
        what: "minutes lost a guest".into(),
        says: format!("{:.1}", e.minutes_lost.value),
        likely: likely(e.minutes_lost, |x| format!("{x:.1}")),
        more: format!(", {:.1} of them in lines", e.minutes_waited.value),
        value: e.minutes_lost,
        key: "/minutes_lost".into(),
    }
}

/// What might help where a limit gives out, as something to do. It has not been simulated.
pub fn to_try(world: &World, e: &Evening, subject: Subject) -> String {
    match subject {
        Subject::JamRisk(at) => to_try_at(world, e, at),
        Subject::Wait(s) => match world.spots[s].serves {
            Serves::Powder => "a second bathroom for guests, or guests who come over a longer time".into(),
            Serves::Door => "guests who come over a longer time, or a host who greets farther inside".into(),
            other => format!("a second place for {}, or one more who serves", other.word()),
        },
        Subject::SeatsShort => "more seats, or bites that are eaten standing".into(),
        Subject::CoatsOver => "a second place for coats, such as a rack or a bed".into(),
        Subject::ClearFloor if world.plan.rooms.iter().any(|r| r.usage == Use::Outdoors) => {
            "fewer guests, less furniture, or the doors to the outside open".into()
        }
        Subject::ClearFloor => "fewer guests, or less furniture".into(),
    }
}

fn to_try_at(world: &World, e: &Evening, at: usize) -> String {
    let why = e.places.iter().find(|p| p.place == at).and_then(|p| p.causes.first()).map(|c| c.0);
    let there = place(world, at);
    match why {
        Some(Cause::Line(s)) => format!("the line for {} turned another way, or {0} elsewhere", what(world.spots[s].serves)),
        Some(Cause::Served(s)) if world.spots[s].serves != Serves::Door => {
            format!("a second place for {}, away from {there}", what(world.spots[s].serves))
        }
        Some(Cause::Talking | Cause::Seated | Cause::Hosting | Cause::Served(_)) => {
            format!("more room to stand in {there} (less furniture), or a second bar that draws people elsewhere")
        }
        Some(Cause::Oncoming | Cause::SameWay) | None => format!("a wider way at {there}, or less furniture there"),
    }
}

/// What to look at next.
pub fn next_step(e: &Evening) -> String {
    match e.trouble().map(|v| &v.subject) {
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
