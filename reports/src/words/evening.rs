//! An evening in words: its sentence, its limits, its three numbers, what might help.

use super::measures::{in_100, percent, percent_of_evenings};
use super::{area_each, bound, clock, duration, evenings, guests, likely, likely_evenings, line_for, place, shown, spot, what, with_article, with_powder};
use sim::measure::Cause;
use sim::plan::{Furniture, Use};
use sim::question::evening::{Evening, PlaceReport, Subject, Verdict};
use sim::scenario::Serves;
use sim::stats::Estimate;
use sim::world::World;

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
        Subject::CoatsOver => {
            let digits = if e.value < 2.0 { 1 } else { 0 };
            ("coats".into(), format!("{:.digits$} have no place", e.value), likely(e, |x| format!("{x:.digits$}")), format!("{:.0}", v.bound))
        }
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
        let what = match v.subject {
            Subject::CoatsOver => t.measured.replacen(' ', " coats ", 1),
            _ => format!("{}: {}", trouble(world, v.subject), t.measured),
        };
        return format!("{with} {what}{}; you accept {}.", t.likely, t.accepted);
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

/// The first two of several things, and how many more: "the hall jams too often, there are too few seats, and 2 more".
pub fn some_of(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [one, two] => format!("{one}, and {two}"),
        [one, two, rest @ ..] => format!("{one}, {two}, and {} more", rest.len()),
    }
}

/// Where a limit is broken that is not about a place; `None` for jams.
pub fn trouble_at(world: &World, subject: Subject) -> Option<String> {
    match subject {
        Subject::JamRisk(_) => None,
        Subject::Wait(s) => Some(line_for(world, s)),
        Subject::CoatsOver => Some(world.spots_for(Serves::Coats).first().map_or("coats".into(), |&s| in_its_room(world, s))),
        Subject::SeatsShort => Some("no one place: seats".into()),
        Subject::ClearFloor => Some("the whole house".into()),
    }
}

/// A spot with the room it is in: "coats at the bed in the bedroom".
fn in_its_room(world: &World, s: usize) -> String {
    let name = &world.spots[s].name;
    let piece = world.plan.piece(name).map(|p| &world.plan.furniture[p]);
    let at = |piece: &Furniture| format!("{} at {} in {}", what(world.spots[s].serves), with_article(name), with_article(&world.plan.rooms[piece.room].name));
    piece.map_or_else(|| spot(world, s), at)
}

/// A limit that does not hold, in a few words.
pub fn trouble(world: &World, subject: Subject) -> String {
    match subject {
        Subject::JamRisk(at) => format!("{} jams too often", place(world, at)),
        Subject::Wait(s) => format!("{} is too long", line_for(world, s)),
        Subject::SeatsShort => "there are too few seats".into(),
        Subject::CoatsOver => "coats have no place".into(),
        Subject::ClearFloor => "there is too little floor".into(),
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
