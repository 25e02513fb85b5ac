//! An evening in words: its sentence, its limits, its three numbers, what might help.

use super::floor::{at_spot, jams_verb, spot_as_place};
use super::measures::percent;
use super::{
    area_each, bound, capital, clock, duration, evenings, guests, likely, line_for, longest_line,
    shown, spot, what, with_article, with_powder,
};
use sim::base::stats::Estimate;
use sim::crowd::measure::Cause;
use sim::evening::scenario::Serves;
use sim::floor::world::World;
use sim::house::plan::{Furniture, Use};
use sim::study::evening::jams::JamReport;
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
        Subject::CoatsOver => {
            let digits = if value.value < 2.0 { 1 } else { 0 };
            let have = if value.value == 1.0 { "has" } else { "have" };
            (
                "coats".into(),
                if value.value < 0.05 {
                    "every coat has a place".into()
                } else {
                    format!("about {:.digits$} {have} nowhere to go", value.value)
                },
                likely(value, |x| format!("{x:.digits$}")),
                format!("{:.0}", v.bound),
            )
        }
        Subject::ClearFloor => (
            "clear floor".into(),
            format!("{} per guest", area_each(value.value, system)),
            String::new(),
            format!("at least {}", area_each(v.bound, system)),
        ),
    };
    LimitWords { what, measured, likely, accepted, grade: v.grade.word(), state }
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
            format!("{}{}", t.measured.replacen(" ha", " coats ha", 1), t.likely)
        }
        (Subject::ClearFloor, _) => format!(
            "there is {} of clear floor per guest",
            area_each(v.value.value, world.plan.system)
        ),
        _ => format!("{}{}", t.measured, t.likely),
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
fn in_its_room(world: &World, s: usize) -> String {
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

/// ", mostly 8:40 pm to 9:20 pm", or nothing.
pub fn when(world: &World, j: &JamReport) -> String {
    let start = world.scenario.start;
    j.when.map_or(String::new(), |(a, b)| {
        format!(", mostly {} to {}", clock(start, a), clock(start, b))
    })
}

/// A cause is named alone if it costs at least this share of the time lost there.
const MAIN: f64 = 0.5;

/// Seconds of jam on 9 evenings in 10 below which a spot is not worth a sentence: common practice.
const SHORT: f64 = 10.0;

/// What jams are that are worth a sentence.
pub const LONG: &str = "10 s or more on 9 evenings in 10";

/// Whether a spot is jammed for long enough to be worth a sentence.
pub fn is_long(j: &JamReport) -> bool {
    j.jammed.value >= SHORT
}

/// ", because people stand there talking", or nothing.
pub fn because(world: &World, j: &JamReport) -> String {
    let why = why(world, &j.causes);
    if why.is_empty() { why } else { format!(", because {why}") }
}

/// "By the island: jammed for less than 21 s on 9 evenings in 10 (likely 18 to 23 s), because
/// people stand there talking."
pub fn jam(world: &World, j: &JamReport) -> String {
    let at = super::capital(&at_spot(world, j.pinch));
    format!(
        "{at}: jammed for less than {} on 9 evenings in 10{}{}.",
        bound(j.jammed.value),
        likely(j.jammed, duration),
        because(world, j)
    )
}

/// The main cause of what is lost somewhere, or the two that are.
pub fn why(world: &World, causes: &[(Cause, f64)]) -> String {
    let total: f64 = causes.iter().map(|c| c.1).sum();
    match causes {
        [] => String::new(),
        [first, second, ..] if first.1 < MAIN * total => {
            format!("{} and {}", cause(world, first.0), cause_besides(world, second.0))
        }
        [first, ..] => cause(world, first.0),
    }
}

/// A cause in words: what the others were doing.
pub fn cause(world: &World, cause: Cause) -> String {
    match cause {
        Cause::Line(s) => format!("the line for {} is there", what(world.spots[s].serves)),
        Cause::Served(s) if world.spots[s].serves == Serves::Door => {
            "guests are greeted there".into()
        }
        Cause::Served(s) => {
            format!("guests are served there at {}", with_article(&world.spots[s].name))
        }
        Cause::Talking => "people stand there talking".into(),
        Cause::Seated => "people sit there".into(),
        Cause::Oncoming => "guests meet going both ways".into(),
        Cause::SameWay => "everybody goes the same way at once".into(),
        Cause::Hosting => "the hosts are there".into(),
    }
}

/// The same after another cause.
fn cause_besides(world: &World, besides: Cause) -> String {
    match besides {
        Cause::Talking => "others stand talking".into(),
        Cause::Seated => "others sit there".into(),
        Cause::SameWay => "everybody goes the same way".into(),
        _ => cause(world, besides),
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
            other => format!("a second place for {}, or one more person serving", other.word()),
        },
        Subject::SeatsShort => "more seats, or food that guests can eat standing".into(),
        Subject::CoatsOver => "a second place for coats, such as a rack or a bed".into(),
        Subject::ClearFloor if world.plan.rooms.iter().any(|r| r.usage == Use::Outdoors) => {
            "fewer guests, less furniture, or the doors to the outside open".into()
        }
        Subject::ClearFloor => "fewer guests, or less furniture".into(),
    }
}

fn to_try_at(world: &World, j: &JamReport) -> String {
    let there = at_spot(world, j.pinch);
    match j.causes.first().map(|c| c.0) {
        Some(Cause::Line(s)) => format!(
            "turn the line for {} another way, or move {0} elsewhere",
            what(world.spots[s].serves)
        ),
        Some(Cause::Served(s)) if world.spots[s].serves != Serves::Door => {
            format!("a second place for {}, or more floor {there}", what(world.spots[s].serves))
        }
        Some(Cause::Talking | Cause::Hosting | Cause::Served(_)) => {
            format!("more room to stand {there}, or a second bar that draws people elsewhere")
        }
        Some(Cause::Seated) => format!("more room behind the seats {there}"),
        Some(Cause::Oncoming | Cause::SameWay) | None => {
            format!("a wider way {there}, or less furniture there")
        }
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

/// How long a spot of floor is jammed, when and by whom.
pub fn jammed_at(world: &World, j: &JamReport) -> String {
    let leaving = if j.leaving_risk.value >= 0.05 {
        format!("; while leaving on {}", evenings(j.leaving_risk.value))
    } else {
        String::new()
    };
    format!(
        "{}: jammed for less than {} on 9 evenings in 10{}{}{leaving}",
        at_spot(world, j.pinch),
        bound(j.jammed.value),
        when(world, j),
        because(world, j)
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
