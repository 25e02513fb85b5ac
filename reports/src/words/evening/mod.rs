//! An evening in words: its sentence, its limits, its three numbers, what might help.

mod jams;

use jams::to_try_at;
pub use jams::*;

use super::floor::{at_spot, jams_verb, spot_as_place};
use super::measures::percent;
use super::{
    area_each, bound, capital, duration, guests, likely, line_for, longest_line, shown, spot, what,
    with_article, with_powder,
};
use sim::base::stats::Estimate;
use sim::evening::scenario::Serves;
use sim::floor::world::{SpotId, World};
use sim::house::plan::{Furniture, Use};
use sim::study::evening::{Evening, PlaceReport, SpotReport, Subject, Verdict};

/// A limit in words.
pub struct LimitWords {
    /// What is limited: "worst spot, above all by the island", "seats".
    pub what: String,
    /// Its measure: "jammed for less than 4 min on 9 evenings in 10".
    pub measured: String,
    /// How sure that is.
    pub likely: String,
    /// The limit of the grade asked for.
    pub accepted: String,
    /// The grade it keeps.
    pub grade: &'static str,
    /// How it does against the grade asked for.
    pub state: &'static str,
}

/// A limit in words: its measure, its bound, and how it does.
pub fn told(world: &World, e: &Evening, v: &Verdict) -> LimitWords {
    let (value, system) = (v.value, world.plan.system);
    let state = match (v.holds, v.is_clear()) {
        (true, true) => "holds",
        (true, false) => "holds, but too close to call",
        (false, true) => "over the limit",
        (false, false) => "over the limit, but too close to call",
    };
    let (what, measured, likely, accepted) = match &v.subject {
        Subject::Jammed(_) => {
            let what = e.jams_first().map_or("jams".into(), |j| {
                format!("worst spot, usually {}", at_spot(world, j.pinch))
            });
            let measured = if value.value < 1.0 {
                "never jammed for a whole second on 9 evenings in 10".into()
            } else {
                format!("jammed for less than {} on 9 evenings in 10", bound(value.value))
            };
            (what, measured, likely(value, duration), duration(v.bound))
        }
        Subject::Wait(s) => {
            let waits = if v.holds {
                "9 visits in 10 wait less than"
            } else {
                "1 visit in 10 waits more than"
            };
            (
                spot(world, *s),
                format!("{waits} {}", bound(value.value)),
                likely(value, duration),
                duration(v.bound),
            )
        }
        Subject::SeatsShort => (
            "seats".into(),
            format!(
                "{} of guests looking for a seat find none",
                over(percent(value.value), percent(v.bound), v.holds)
            ),
            likely(value, |share| percent(share.clamp(0.0, 1.0))),
            percent(v.bound),
        ),
        Subject::CoatsOver => (
            "coats".into(),
            coats_over(value.value, ""),
            likely(value, |x| coats(x, value.value)),
            format!("{:.0}", v.bound),
        ),
        Subject::ClearFloor => (
            "clear floor".into(),
            format!("{} per guest", area_each(value.value, system)),
            String::new(),
            format!("at least {}", area_each(v.bound, system)),
        ),
    };
    LimitWords { what, measured, likely, accepted, grade: v.grade.word(), state }
}

/// How many coats have no place: "about 12 coats have nowhere to go"; without the word beside a
/// heading that says it.
fn coats_over(over: f64, word: &str) -> String {
    let have = if over == 1.0 { "has" } else { "have" };
    if over < 0.05 {
        "every coat has a place".into()
    } else {
        format!("about {}{word} {have} nowhere to go", coats(over, over))
    }
}

/// A number of coats as exactly as one about which it is told.
fn coats(n: f64, about: f64) -> String {
    let digits = if about < 2.0 { 1 } else { 0 };
    format!("{n:.digits$}")
}

/// A measure as text, where rounding would make it its bound though it does not hold.
fn over(measured: String, bound: String, holds: bool) -> String {
    if !holds && measured == bound { format!("just over {bound}") } else { measured }
}

/// The same in one line.
pub fn verdict(world: &World, e: &Evening, v: &Verdict) -> String {
    let t = told(world, e, v);
    let close = if v.is_clear() { "" } else { "; too close to call" };
    format!("{:<9} {}: {}{}; limit {}{close}", t.grade, t.what, t.measured, t.likely, t.accepted)
}

/// The grade of an evening: "packed", or "packed, but close to lively" where what decides is too
/// close to call.
fn grade_told(e: &Evening) -> String {
    let close = e
        .close_to_better()
        .or_else(|| e.close_to_worse())
        .map_or(String::new(), |next| format!(", but close to {}", next.word()));
    format!("{}{close}", e.grade().word())
}

/// The sentence that answers the question: the grade, and what decides it.
pub fn sentence(world: &World, e: &Evening) -> String {
    let guests = guests(world.scenario.guests);
    let grade = grade_told(e);
    match e.in_the_way().first() {
        None => format!("{guests}: {grade}. {}.", calm(world, e)),
        Some(v) => format!("{guests}: {grade}. {}.", capital(&reason(world, e, v))),
    }
}

/// What the first evenings show, while the others are played.
pub fn first_look(world: &World, e: &Evening, evenings: usize) -> String {
    format!("First look, {evenings} evenings: {}", sentence(world, e))
}

/// What a calm evening is like.
fn calm(world: &World, e: &Evening) -> String {
    match (e.jams_first(), e.jammed.value) {
        (Some(j), seconds) if seconds >= 1.0 => {
            format!(
                "Nothing jams for long: at worst {}, for less than {} on 9 evenings in 10",
                at_spot(world, j.pinch),
                duration(seconds)
            )
        }
        _ => "Nothing jams".into(),
    }
}

/// Why a limit keeps the evening from a better grade: what, how much, when and why.
pub fn reason(world: &World, e: &Evening, v: &Verdict) -> String {
    let t = told(world, e, v);
    match (v.subject, e.jams_first()) {
        (Subject::Jammed(_), Some(j)) => {
            let typical = if e.jammed_typically.value >= 30.0 {
                format!(", {} on a typical evening", duration(e.jammed_typically.value))
            } else {
                String::new()
            };
            format!(
                "{} is {}{typical}{}{}",
                spot_as_place(world, j.pinch),
                t.measured,
                when(world, j),
                because(world, j)
            )
        }
        (Subject::Wait(s), _) => format!(
            "1 visit in 10 waits more than {} for {}{}",
            bound(v.value.value),
            with_powder(world, s),
            t.likely
        ),
        (Subject::CoatsOver, _) => {
            format!("{}{}", coats_over(v.value.value, " coats"), t.likely)
        }
        (Subject::ClearFloor, _) => format!(
            "there is {} of clear floor per guest",
            area_each(v.value.value, world.plan.system)
        ),
        (Subject::SeatsShort, _) | (Subject::Jammed(_), None) => {
            format!("{}{}", t.measured, t.likely)
        }
    }
}

/// What keeps the evening from the next better grade, every limit of it; `None` for an easy one.
pub fn better(world: &World, e: &Evening) -> Option<String> {
    let next = e.grade().better()?;
    let each: Vec<String> = e
        .in_the_way()
        .iter()
        .map(|v| {
            let t = told(world, e, v);
            let bound = limit_of(world, v.subject, v.bounds[next as usize]);
            format!(
                "{} ({}; {bound} for {})",
                trouble(world, e, v.subject),
                t.measured,
                next.word()
            )
        })
        .collect();
    Some(format!("What keeps it from being {}: {}.", next.word(), each.join("; ")))
}

/// A bound as text: "at most 5 min".
fn limit_of(world: &World, subject: Subject, bound: f64) -> String {
    match subject {
        Subject::Jammed(_) | Subject::Wait(_) => format!("at most {}", duration(bound)),
        Subject::SeatsShort => format!("at most {}", percent(bound)),
        Subject::CoatsOver => format!("at most {bound:.0}"),
        Subject::ClearFloor => format!("at least {}", area_each(bound, world.plan.system)),
    }
}

/// The first two of several things, and how many more: "the hall jams too often, there are too few
/// seats, and 2 more".
pub fn some_of(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [one, two] => format!("{one}, and {two}"),
        [one, two, rest @ ..] => format!("{one}, {two}, and {} more", rest.len()),
    }
}

/// Where a limit is broken that is not a jam; `None` for jams.
pub fn trouble_at(world: &World, subject: Subject) -> Option<String> {
    match subject {
        Subject::Jammed(_) => None,
        Subject::Wait(s) => Some(line_for(world, s)),
        Subject::CoatsOver => Some(
            world
                .spots_for(Serves::Coats)
                .first()
                .map_or("coats".into(), |&s| in_its_room(world, s)),
        ),
        Subject::SeatsShort => Some("no one place: seats".into()),
        Subject::ClearFloor => Some("the whole house".into()),
    }
}

/// A spot with the room it is in: "coats at the bed in the bedroom".
fn in_its_room(world: &World, s: SpotId) -> String {
    let name = &world.spots[s].name;
    let piece = world.plan.piece(name).map(|p| &world.plan.furniture[p]);
    let at = |piece: &Furniture| {
        format!(
            "{} at {} in {}",
            what(world.spots[s].serves),
            with_article(name),
            with_article(&world.plan.rooms[piece.room].name)
        )
    };
    piece.map_or_else(|| spot(world, s), at)
}

/// A limit that keeps a grade away, in a few words.
pub fn trouble(world: &World, e: &Evening, subject: Subject) -> String {
    match subject {
        Subject::Jammed(_) => e.jams_first().map_or("jams last too long".into(), |j| {
            let what = spot_as_place(world, j.pinch);
            format!("{what} {} for too long", jams_verb(&what))
        }),
        Subject::Wait(s) => format!("{} is too long", line_for(world, s)),
        Subject::SeatsShort => "there are too few seats".into(),
        Subject::CoatsOver => "coats have nowhere to go".into(),
        Subject::ClearFloor => "there is too little floor".into(),
    }
}

/// How the evening does against the grade asked for, in a line.
pub fn fits(world: &World, e: &Evening) -> String {
    let asked = world.scenario.limits.grade.word();
    let broken = e.limits.iter().filter(|v| !v.holds).count();
    let close = if e.limits.iter().all(Verdict::is_clear) {
        ""
    } else {
        " Some of it is too close to call."
    };
    match broken {
        0 => format!("It is within every limit for {asked}.{close}"),
        1 => format!("It is over one limit for {asked}.{close}"),
        n => format!("It is over {n} limits for {asked}.{close}"),
    }
}

/// A figure in words, and where answer.json has it.
pub struct Number {
    /// What it is: "minutes lost per guest".
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

/// Jammed time at the worst spot.
pub fn jam_number(e: &Evening) -> Number {
    Number {
        what: "jammed at the worst spot, on 9 evenings in 10 less than".into(),
        says: bound(e.jammed.value),
        likely: likely(e.jammed, duration),
        more: String::new(),
        value: e.jammed,
        key: "/jammed_s".into(),
    }
}

/// The longest usual wait, the step outside the door not counted.
pub fn wait_number(world: &World, e: &Evening) -> Number {
    let what = "longest usual wait".to_string();
    let waits = e
        .spots
        .iter()
        .enumerate()
        .filter(|(_, s)| s.visits.value > 0.0 && world.spots[s.spot].serves != Serves::Door);
    match waits.reduce(|a, b| if b.1.p90.value > a.1.p90.value { b } else { a }) {
        None => Number {
            what,
            says: "no lines".into(),
            likely: String::new(),
            more: String::new(),
            value: Estimate::exact(0.0),
            key: String::new(),
        },
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
        what: "minutes lost per guest".into(),
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
        Subject::Jammed(_) => e.jams_first().map_or("fewer guests".into(), |j| to_try_at(world, j)),
        Subject::Wait(s) => match world.spots[s].serves {
            Serves::Powder => "a second bathroom for guests, or stagger arrivals".into(),
            Serves::Door => "stagger arrivals, or greet guests farther inside".into(),
            Serves::Coats => "a second place for coats, or stagger arrivals".into(),
            s @ (Serves::Food | Serves::Drinks | Serves::Glasses) => {
                format!("a second place for {}, or one more person serving", s.word())
            }
        },
        Subject::SeatsShort => "more seats, or food that guests can eat standing".into(),
        Subject::CoatsOver => "a second place for coats, such as a rack or a bed".into(),
        Subject::ClearFloor if world.plan.rooms.iter().any(|r| r.usage == Use::Outdoors) => {
            "fewer guests, less furniture, or the doors to the outside open".into()
        }
        Subject::ClearFloor => "fewer guests, or less furniture".into(),
    }
}

/// What to look at next.
pub fn next_step(e: &Evening) -> String {
    match e.trouble().map(|v| &v.subject) {
        None => "How many more? Ask `elbowroom capacity` with this file".into(),
        Some(Subject::Jammed(_)) => "What would help? Ask `elbowroom improve` with this file. How many guests can it handle? Ask `elbowroom capacity`".into(),
        Some(Subject::Wait(_)) => {
            "What would help? Ask `elbowroom improve` with this file, or try a second place: [serving] at_once = 2, or a second name in [place]".into()
        }
        Some(Subject::SeatsShort) => "Where would more seats go? Ask `elbowroom improve` with this file, or add furniture with seats to the plan".into(),
        Some(Subject::CoatsOver) => "Where would more coats go? Ask `elbowroom improve` with this file".into(),
        Some(Subject::ClearFloor) => "Try fewer guests, less furniture, or open the doors to the outside: [doors]".into(),
    }
}

/// The line of a spot: visits, waits, how long it gets, who goes without.
pub fn line_at(world: &World, s: &SpotReport) -> String {
    let some = |who: Estimate, says: &str| {
        if who.value >= 0.1 { format!("; about {:.1} {says}", who.value) } else { String::new() }
    };
    format!(
        "{}: {:.0} visits per evening; half wait less than {}, 9 in 10 less than {}{}; {}{}{}",
        spot(world, s.spot),
        s.visits.value,
        bound(s.p50.value),
        bound(s.p90.value),
        likely(s.p90, duration),
        longest_line(s.longest_line),
        some(s.turned_away, "guests per evening find it full and come back"),
        some(s.unserved, "per evening never get it")
    )
}

/// What guests lose to one another at a place.
pub fn lost_at(world: &World, p: &PlaceReport) -> String {
    format!(
        "{}: {:.1} guest-minutes per evening{}",
        shown(&world.places[p.place].name),
        p.lost_minutes.value,
        likely(p.lost_minutes, |x| format!("{:.1}", x.max(0.0)))
    )
}
