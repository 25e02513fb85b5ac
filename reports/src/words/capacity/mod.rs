//! How many guests, in words.

pub mod habits;

use super::measures::percent;
use super::{area_each, bound, duration, spot};
use sim::base::stats::Estimate;
use sim::evening::scenario::Grade;
use sim::floor::world::{PinchId, World};
use sim::study::capacity::{Capacity, Graded, LimitCurve, Whole, clearly, whole};
use sim::study::evening::Subject;
use std::cmp::Ordering;

/// A range wider than the headcount itself, and than so many guests, tells hardly anything.
const VAGUE: u32 = 8;

/// Whether the evenings hardly tell the headcount.
pub fn is_vague(w: Whole) -> bool {
    w.high.is_none_or(|high| high - w.low > w.value.max(VAGUE)) && w.low < w.value / 2
}

/// "lively to 26 (likely 24 to 27)", or that these evenings do not tell.
pub fn takes_up_to(w: Whole, grade: Grade) -> String {
    if is_vague(w) { roughly(w) } else { format!("{} to {}", grade.word(), guests(w)) }
}

/// "26 (likely 24 to 27)", or that these evenings do not tell.
pub fn roughly(w: Whole) -> String {
    if is_vague(w) {
        format!("too few evenings to tell how many ({})", likely_guests(w))
    } else {
        guests(w)
    }
}

/// "41 (likely 39 to 44)", or the figure alone where nothing else is likely.
pub fn guests(w: Whole) -> String {
    match w.high {
        Some(high) if high == w.low => w.value.to_string(),
        _ => format!("{} ({})", w.value, likely_guests(w)),
    }
}

/// "likely 39 to 44".
pub fn likely_guests(w: Whole) -> String {
    match w.high {
        Some(high) if high == w.low => String::new(),
        Some(high) => format!("likely {} to {high}", w.low),
        None => format!("likely {} or more", w.low),
    }
}

/// What gives out: "the floor between the island and the table", "the line for the powder room",
/// "seats".
pub fn gives_out(world: &World, subject: Subject, pinch: Option<PinchId>) -> String {
    match (subject, pinch) {
        (Subject::Jammed(_), Some(pinch)) => super::spot_as_place(world, pinch),
        (Subject::Jammed(None), None) => "room to get through".into(),
        (Subject::Jammed(Some(place)), None) => super::place(world, place),
        (Subject::Wait(s), _) => super::line_for(world, s),
        (Subject::SeatsShort, _) => "seats".into(),
        (Subject::CoatsOver, _) => "room for coats".into(),
        (Subject::ClearFloor, _) => "clear floor".into(),
    }
}

/// The same as something that happens: "the floor between the island and the table jams", "the line
/// for the powder room gets too long", "seats run out".
pub fn happens(world: &World, subject: Subject, pinch: Option<PinchId>) -> String {
    let what = gives_out(world, subject, pinch);
    match subject {
        Subject::Jammed(None) if pinch.is_none() => "it jams somewhere".into(),
        Subject::Jammed(_) => format!("{what} {}", super::jams_verb(&what)),
        Subject::Wait(_) => format!("{what} gets too long"),
        Subject::SeatsShort => format!("{what} run out"),
        Subject::CoatsOver | Subject::ClearFloor => format!("{what} runs out"),
    }
}

/// A limit and its bound: "the hall is jammed for more than 5 min on 1 evening in 10".
pub fn breaks(world: &World, limit: &LimitCurve, pinch: Option<PinchId>) -> String {
    let b = limit.bound;
    match limit.subject {
        Subject::Jammed(_) => {
            let what = where_jammed(world, limit.subject, pinch);
            format!(
                "{what} {} jammed for over {} on more than 1 evening in 10",
                if super::is_many(&what) { "are" } else { "is" },
                duration(b)
            )
        }
        Subject::Wait(s) => {
            format!("{}: more than 1 visit in 10 waits over {}", spot(world, s), duration(b))
        }
        Subject::SeatsShort => {
            format!("more than {} of guests looking for a seat find none", percent(b))
        }
        Subject::CoatsOver => format!("more than {b:.0} coats have nowhere to go"),
        Subject::ClearFloor => {
            format!("less than {} of clear floor per guest", area_each(b, world.plan.system))
        }
    }
}

fn where_jammed(world: &World, subject: Subject, pinch: Option<PinchId>) -> String {
    match (subject, pinch) {
        (Subject::Jammed(None), None) => "some spot".into(),
        _ => gives_out(world, subject, pinch),
    }
}

/// What is measured against a limit.
pub fn measure(subject: Subject) -> &'static str {
    match subject {
        Subject::Jammed(_) => "jammed less than this on 9 evenings in 10",
        Subject::Wait(_) => "9 visits in 10 wait less than this",
        Subject::SeatsShort => "share of guests looking for a seat who find none",
        Subject::CoatsOver => "coats with nowhere to go",
        Subject::ClearFloor => "clear floor per guest",
    }
}

/// A measure of a limit as text.
pub fn measured(world: &World, subject: Subject, value: f64) -> String {
    match subject {
        Subject::SeatsShort => percent(value),
        Subject::Wait(_) | Subject::Jammed(_) => bound(value),
        Subject::CoatsOver => format!("{value:.1}"),
        Subject::ClearFloor => area_each(value, world.plan.system),
    }
}

/// Limits that give out within the answer's own interval are named with the first.
fn together(c: &Capacity, all: Whole) -> Vec<&LimitCurve> {
    let reach = f64::from(all.high.unwrap_or(all.value)) + 1.0;
    c.limits
        .iter()
        .enumerate()
        .filter(|(i, l)| *i == 0 || l.gives.value().is_some_and(|v| v < reach))
        .map(|(_, l)| l)
        .collect()
}

/// The caution, for the guests of the grade asked for.
pub fn caution(c: &Capacity) -> String {
    super::caution(c.guests().map_or(c.looked, |w| w.value), c.at.world.clear_floor)
}

/// How many evenings it stands on.
pub fn evenings_played(c: &Capacity) -> String {
    match c.played.values().sum::<u32>() {
        0 => format!("a first look at up to {} guests", c.looked),
        n => format!("{} simulated evenings near this headcount", thousands(n)),
    }
}

/// 1024 as "1,024".
fn thousands(n: u32) -> String {
    if n < 1000 { n.to_string() } else { format!("{},{:03}", n / 1000, n % 1000) }
}

/// The sentence that answers the question: each grade's headcount, then what gives out first at the
/// one asked for.
pub fn sentence(world: &World, c: &Capacity, place: Option<&str>) -> String {
    let where_ = place.map_or(String::new(), |p| format!("In {}: ", super::with_article(p)));
    let grades = grades(c);
    let asked = world.scenario.limits.grade;
    let Some(all) = c.guests() else {
        return format!(
            "{where_}{grades}. Nothing runs out up to {} guests, the most we simulated.",
            c.looked
        );
    };
    let Some(first) = c.limits.first() else {
        return format!("{where_}{grades}.");
    };
    let pinch = c.graded(asked).and_then(|g| g.pinch);
    if all.value == 0 {
        return format!("{where_}{grades}: {}.", breaks(world, first, pinch));
    }
    let firsts = together(c, all);
    let each: Vec<String> =
        firsts.iter().take(3).map(|l| happens(world, l.subject, pinch)).collect();
    let first = match each.as_slice() {
        [one] => format!("{one} first"),
        [most @ .., last] => format!("{} and {last} first", most.join(", ")),
        [] => String::new(),
    };
    let next = c
        .limits
        .iter()
        .find(|l| !firsts.iter().any(|f| f.subject == l.subject) && whole(l.gives).is_some());
    let then = next
        .and_then(|n| {
            Some(format!(
                "; beyond {}, {}",
                whole(n.gives)?.value,
                happens(world, n.subject, pinch)
            ))
        })
        .unwrap_or_default();
    let vague = if is_vague(all) { " These evenings barely pin down the headcount." } else { "" };
    format!("{where_}{grades}. Beyond {}, {first}{then}.{vague}", all.value)
}

/// "Easy to 27, lively to 39, packed to 52 (likely 50 to 55)": the range is that of the grade asked
/// for.
pub fn grades(c: &Capacity) -> String {
    let asked = c.at.world.scenario.limits.grade;
    let each =
        c.grades.iter().map(|g| {
            let word = g.grade.word();
            let likely = g.guests().filter(|_| g.grade == asked).map_or(String::new(), |w| {
                match likely_guests(w) {
                    l if l.is_empty() => habits::range(c).map_or(l, |h| format!(" ({h})")),
                    l => format!(
                        " ({l}{})",
                        habits::range(c).map_or(String::new(), |h| format!("; {h}"))
                    ),
                }
            });
            match g.guests() {
                None => format!("{word} to {} or more", c.looked),
                Some(w) if w.value == 0 => format!("never {word}"),
                Some(w) => format!("{word} to {}{likely}", w.value),
            }
        });
    super::capital(&each.collect::<Vec<_>>().join(", "))
}

/// A grade's row: its headcount, how sure, what gives out there.
pub fn graded(world: &World, c: &Capacity, g: &Graded) -> String {
    let at = g.guests().map_or_else(
        || format!("{} or more", c.looked),
        |w| {
            if w.value == 0 { "not even 1".into() } else { guests(w) }
        },
    );
    let why = g.first.map_or(String::new(), |s| gives_out(world, s, g.pinch));
    format!("{:<8} {at:<26} {why}", g.grade.word())
}

/// How many to invite when a share stays away; `None` if everybody comes, or there is no number.
pub fn invite(world: &World, c: &Capacity) -> Option<(u32, String)> {
    let comes = world.scenario.comes;
    let value = c.guests().filter(|w| w.value > 0)?.value;
    let invite = (f64::from(value) / comes + 1e-9).floor() as u32;
    (comes < 1.0).then(|| {
        (
            invite,
            format!(
                "If {} of the people you invite stay away, invite {invite}.",
                percent(1.0 - comes)
            ),
        )
    })
}

/// A row of the list of limits.
pub fn row(world: &World, limit: &LimitCurve, pinch: Option<PinchId>) -> String {
    let at = whole(limit.gives)
        .map_or(String::new(), |w| if w.value == 0 { "not even 1".into() } else { guests(w) });
    format!("{at:<26} {}", breaks(world, limit, pinch))
}

/// What a house takes with a change: "lively to 34 guests instead of 24 (likely 8 to 12 more)";
/// `None` where that was not asked or has no answer.
pub fn takes(
    before: Option<Whole>,
    then: Option<Whole>,
    gained: Option<Estimate>,
    grade: Grade,
) -> Option<String> {
    let (before, then, e) = (before?, then?, gained?);
    let word = grade.word();
    Some(match then.value == before.value {
        _ if is_vague(before) || is_vague(then) => format!("room for {}", gain(e)),
        true => format!("{word} to {} with or without it", then.value),
        false => format!(
            "{word} to {} guests instead of {} ({})",
            then.value,
            before.value,
            likely_gain(e)
        ),
    })
}

/// The same in a few words, with what belongs to it: "lively to 34 instead of 24", "likely 8 to 12
/// more".
pub fn instead(
    before: Option<Whole>,
    then: Option<Whole>,
    gained: Option<Estimate>,
    grade: Grade,
) -> Option<(String, String)> {
    let (before, then, e) = (before?, then?, gained?);
    let told = before.value > 0 && then.value > 0 && !is_vague(before) && !is_vague(then);
    let word = grade.word();
    told.then(|| match then.value.cmp(&before.value) {
        Ordering::Equal => (format!("{word} to {} either way", then.value), likely_guests(then)),
        Ordering::Greater if clearly(gained) > 0.0 => {
            (format!("{word} to {} instead of {}", then.value, before.value), likely_gain(e))
        }
        _ => (
            format!("{word} to {} as it is", before.value),
            format!("{} ({})", then.value, likely_gain(e)),
        ),
    })
}

/// "likely 2 to 6 more", "likely 5 to 8 fewer", "likely 1 fewer to 3 more".
fn likely_gain(e: Estimate) -> String {
    let (low, high) = (e.low.round() + 0.0, e.high.round() + 0.0);
    match (low < 0.0, high <= 0.0) {
        (false, _) => format!("likely {low:.0} to {high:.0} more"),
        (true, true) => format!("likely {:.0} to {:.0} fewer", -high, -low),
        (true, false) => format!("likely {:.0} fewer to {high:.0} more", -low),
    }
}

/// A gain of guests: "4 more guests (likely 2 to 6 more)", "perhaps 3 more guests (likely 1 fewer
/// to 6 more)", "as many guests".
pub fn gain(e: Estimate) -> String {
    let (value, low, high) = (e.value.round(), e.low.round(), e.high.round());
    let word = if value < 0.0 { "fewer" } else { "more" };
    let guests = if value.abs() == 1.0 { "guest" } else { "guests" };
    match value == 0.0 {
        true if low == 0.0 && high == 0.0 => "as many guests".into(),
        true => format!("as many guests ({})", likely_gain(e)),
        false => {
            let perhaps = if low <= 0.0 && high >= 0.0 { "perhaps " } else { "" };
            format!("{perhaps}{:.0} {word} {guests} ({})", value.abs(), likely_gain(e))
        }
    }
}

/// Which evenings the headcounts come from.
pub fn came_from(c: &Capacity) -> Option<String> {
    let (fewest, most) = (c.played.first_key_value()?.0, c.played.last_key_value()?.0);
    let evenings: u32 = c.played.values().sum();
    Some(format!(
        "From {evenings} simulated evenings with {fewest} to {most} guests, after scouting up to {} guests coarsely.",
        c.looked
    ))
}
