//! How many guests, in words.

use super::measures::percent;
use super::{area_each, bound, duration, evenings, spot};
use sim::question::capacity::{Capacity, LimitCurve, Whole, whole};
use sim::question::evening::Subject;
use sim::stats::Estimate;
use sim::world::World;
use std::cmp::Ordering;

/// A range wider than the headcount itself, and than so many guests, tells hardly anything.
const VAGUE: u32 = 8;

/// Whether the evenings hardly tell the headcount.
fn is_vague(w: Whole) -> bool {
    w.high.is_none_or(|high| high - w.low > w.value.max(VAGUE)) && w.low < w.value / 2
}

/// "comfortable for 26 (likely 24 to 27)", or that these evenings do not tell.
pub fn comfortable(w: Whole) -> String {
    if is_vague(w) { roughly(w) } else { format!("comfortable for {}", guests(w)) }
}

/// "26 (likely 24 to 27)", or that these evenings do not tell.
pub fn roughly(w: Whole) -> String {
    if is_vague(w) { format!("too few evenings to tell how many ({})", likely_guests(w)) } else { guests(w) }
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

/// What gives out: "the hall", "the line for the powder room", "seats".
pub fn gives_out(world: &World, subject: Subject) -> String {
    match subject {
        Subject::JamRisk(place) => super::place(world, place),
        Subject::Wait(s) => super::line_for(world, s),
        Subject::SeatsShort => "the number of seats".into(),
        Subject::CoatsOver => "room for coats".into(),
        Subject::ClearFloor => "clear floor".into(),
    }
}

/// A limit and its bound: "the hall jams on more than 10 evenings in 100".
pub fn breaks(world: &World, limit: &LimitCurve) -> String {
    let b = limit.bound;
    match limit.subject {
        Subject::JamRisk(place) => format!("{} jams on more than {}", super::place(world, place), accepted(b)),
        Subject::Wait(s) => format!("{}: more than 1 visit in 10 waits over {}", spot(world, s), duration(b)),
        Subject::SeatsShort => format!("more than {} of those who want a seat find none", percent(b)),
        Subject::CoatsOver => format!("more than {b:.0} coats have no place"),
        Subject::ClearFloor => format!("less than {} of clear floor a guest", area_each(b, world.plan.system)),
    }
}

/// A share of evenings that is a bound, exactly: "1 evening in 10", "15 in 100 evenings".
fn accepted(share: f64) -> String {
    let tenths = share * 10.0;
    if tenths >= 1.0 && (tenths - tenths.round()).abs() < 1e-9 {
        evenings(share)
    } else {
        format!("{:.1} in 100 evenings", share * 100.0).replace(".0 in", " in")
    }
}

/// What is measured against a limit.
pub fn measure(subject: Subject) -> &'static str {
    match subject {
        Subject::JamRisk(_) => "evenings with a jam there",
        Subject::Wait(_) => "9 visits in 10 wait less",
        Subject::SeatsShort => "share of those wanting a seat who find none",
        Subject::CoatsOver => "coats with no place",
        Subject::ClearFloor => "clear floor a guest",
    }
}

/// A measure of a limit as text.
pub fn measured(world: &World, subject: Subject, value: f64) -> String {
    match subject {
        Subject::JamRisk(_) | Subject::SeatsShort => percent(value),
        Subject::Wait(_) => bound(value),
        Subject::CoatsOver => format!("{value:.1}"),
        Subject::ClearFloor => area_each(value, world.plan.system),
    }
}

/// Limits that give out within the answer's own interval are named with the first.
fn together(c: &Capacity, all: Whole) -> Vec<&LimitCurve> {
    let reach = f64::from(all.high.unwrap_or(all.value)) + 1.0;
    c.limits.iter().enumerate().filter(|(i, l)| *i == 0 || l.gives.value().is_some_and(|v| v < reach)).map(|(_, l)| l).collect()
}

/// The caution, for the guests that are called comfortable.
pub fn caution(c: &Capacity) -> String {
    super::caution(c.guests().map_or(c.looked, |w| w.value), c.at.0.clear_floor)
}

/// How many evenings it stands on.
pub fn evenings_played(c: &Capacity) -> String {
    match c.played.values().sum::<u32>() {
        0 => format!("a first look at up to {} guests", c.looked),
        n => format!("{n} simulated evenings round the answer"),
    }
}

/// The sentence that answers the question.
pub fn sentence(world: &World, c: &Capacity, place: Option<&str>) -> String {
    let where_ = place.map_or(String::new(), |p| format!("In {}: ", super::with_article(p)));
    let Some(all) = c.guests() else {
        return format!("{where_}Every limit holds up to {} guests, the most that were simulated.", c.looked);
    };
    let Some(first) = c.limits.first() else {
        return format!("{where_}there is no limit to give out.");
    };
    if all.value == 0 {
        return format!("{where_}No number of guests is comfortable, not even one: {}.", breaks(world, first));
    }
    let firsts = together(c, all);
    let names: Vec<String> = firsts.iter().take(3).map(|l| gives_out(world, l.subject)).collect();
    let gives = match names.as_slice() {
        [one] => format!("{one} gives out first"),
        [most @ .., last] => format!("{} and {last} give out first", most.join(", ")),
        [] => String::new(),
    };
    let next = c.limits.iter().find(|l| !firsts.iter().any(|f| f.subject == l.subject) && whole(l.gives).is_some());
    let then = next.and_then(|n| Some(format!(", then {} at {}", gives_out(world, n.subject), whole(n.gives)?.value))).unwrap_or_default();
    let vague = if is_vague(all) { ", which these evenings hardly tell" } else { "" };
    format!("{where_}{} for {}{vague}; {gives}{then}.", if place.is_some() { "comfortable" } else { "Comfortable" }, guests(all))
}

/// How many to invite when a share stays away; `None` if everybody comes, or there is no number.
pub fn invite(world: &World, c: &Capacity) -> Option<(u32, String)> {
    let comes = world.scenario.comes;
    let value = c.guests().filter(|w| w.value > 0)?.value;
    let invite = (f64::from(value) / comes + 1e-9).floor() as u32;
    (comes < 1.0).then(|| (invite, format!("If {} of those invited stay away, invite {invite}.", percent(1.0 - comes))))
}

/// A row of the list of limits.
pub fn row(world: &World, limit: &LimitCurve) -> String {
    let at = whole(limit.gives).map_or(String::new(), |w| if w.value == 0 { "not even 1".into() } else { guests(w) });
    format!("{at:<26} {}", breaks(world, limit))
}

/// "; comfortable for 23 guests instead of 14 (likely 5 to 15 more)", or "; but" for fewer: what saves time may cost seats. Nothing where the
/// evenings do not tell.
pub fn takes(before: Option<Whole>, then: Option<Whole>, gained: Option<Estimate>) -> String {
    let (Some(before), Some(then), Some(e)) = (before, then, gained) else {
        return String::new();
    };
    if is_vague(before) || is_vague(then) {
        return format!("; room for {}", gain(e));
    }
    match then.value.cmp(&before.value) {
        Ordering::Equal => format!("; comfortable for {} with or without it", then.value),
        other => {
            let but = if other == Ordering::Less { "but " } else { "" };
            format!("; {but}comfortable for {} guests instead of {} ({})", then.value, before.value, likely_gain(e))
        }
    }
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

/// A gain of guests: "4 guests more (likely 2 to 6)", "perhaps 3 guests more (likely +0 to +6)", "as many guests (likely -1 to +1)".
pub fn gain(e: Estimate) -> String {
    // no -0
    let (value, low, high) = (e.value.round() + 0.0, e.low.round() + 0.0, e.high.round() + 0.0);
    let word = if value < 0.0 { "fewer" } else { "more" };
    let guests = if value.abs() == 1.0 { "guest" } else { "guests" };
    if value == 0.0 {
        return format!("as many guests (likely {low:+.0} to {high:+.0})");
    }
    let perhaps = if low <= 0.0 && high >= 0.0 { "perhaps " } else { "" };
    format!("{perhaps}{:.0} {guests} {word} (likely {low:+.0} to {high:+.0})", value.abs())
}
