//! Which arrangement is better, in words.

use super::capacity::{gain, takes, takes_up_to};
use sim::base::stats::Estimate;
use sim::study::capacity::clearly;
use sim::study::compare::{Comparison, Standing};
use sim::study::race::Paired;
use sim::study::race::contest::{is_better, takes_fewer};

/// Minutes to a tenth, or to a hundredth where that is little.
pub fn minutes(m: f64) -> String {
    let m = m.abs();
    if m < 0.995 { format!("{m:.2}") } else { format!("{m:.1}") }
}

/// A unit for a small time: seconds where all of it is under two minutes.
struct Unit {
    in_a_minute: f64,
    word: &'static str,
}

impl Unit {
    fn of(minutes: &[f64]) -> Unit {
        let most = minutes.iter().fold(0.0, |most: f64, m| most.max(m.abs()));
        if most < 2.0 {
            Unit { in_a_minute: 60.0, word: "s" }
        } else {
            Unit { in_a_minute: 1.0, word: "min" }
        }
    }

    fn number(&self, minutes: f64) -> String {
        let v = (minutes * self.in_a_minute).abs();
        let whole = self.in_a_minute > 1.0 && v >= 0.95;
        if whole { format!("{v:.0}") } else { format!("{v:.1}") }
    }

    fn says(&self, minutes: f64) -> String {
        format!("{} {}", self.number(minutes), self.word)
    }

    fn signed(&self, minutes: f64) -> String {
        format!("{} {}", self.says(minutes), less(minutes))
    }
}

/// Whether minutes more are less.
fn less(minutes: f64) -> &'static str {
    if minutes < 0.0 { "less" } else { "more" }
}

/// Minutes more as "14 s less", in the unit that fits its range too.
pub fn little(e: Estimate) -> String {
    Unit::of(&[e.value, e.low, e.high]).signed(e.value)
}

/// How sure minutes more are: "likely 13 to 17 s", "likely 4 s less to 2 s more".
pub fn likely_little(e: Estimate) -> String {
    let unit = Unit::of(&[e.value, e.low, e.high]);
    match (e.low < 0.0, e.high < 0.0) {
        (true, true) => format!("likely {} to {}", unit.number(e.high), unit.says(e.low)),
        (false, false) => format!("likely {} to {}", unit.number(e.low), unit.says(e.high)),
        _ => format!("likely {} to {}", unit.signed(e.low), unit.signed(e.high)),
    }
}

/// "each guest loses 14 s less (likely 13 to 17 s)".
pub fn difference(p: Paired) -> String {
    let d = p.difference;
    format!("each guest loses {} ({})", little(d), likely_little(d))
}

/// A difference told as advice: "each guest loses 14 s less in lines and crowds (likely 13 to 17 s)
/// than at the bed, as today"; what is little is said to be.
pub fn gain_than(p: Paired, than: &str) -> String {
    let (d, gap) = (p.difference, if than.is_empty() { "" } else { " " });
    let which = if d.value.abs() < LITTLE { ", which is little over an evening" } else { "" };
    format!(
        "each guest loses {} in lines and crowds ({}){gap}{than}{which}",
        little(d),
        likely_little(d)
    )
}

/// A guest hardly notices less than this over an evening, in minutes (10 s: our own judgement).
pub const LITTLE: f64 = 1.0 / 6.0;

/// What resampling is.
pub const REDRAW: &str =
    "How sure: we resampled the evenings 100 times and counted how often this arrangement won.";

/// Share of resamples of the evenings in which it loses less, in hundredths.
pub fn better(p: Paired) -> String {
    format!("better in {:.0} of 100 resamples of these evenings", p.better * 100.0)
}

/// How sure a difference is, as a sentence's end.
pub fn against(p: Paired, evenings: usize) -> String {
    match (p.is_same(), p.is_clear()) {
        (true, _) => "nothing changes: every evening is the same to the minute".into(),
        (_, true) => difference(p),
        (_, false) => format!("no difference we can see in {evenings} evenings: {}", difference(p)),
    }
}

/// The sentence that answers the question.
pub fn sentence(c: &Comparison) -> String {
    let evenings = c.race.trials[0].len();
    let base = super::shown(&c.cases[0].name);
    let Some(&best) = c.ranked().first() else {
        return "There is nothing to compare.".into();
    };
    let (name, s) = (super::shown(&c.cases[best].name), c.standings[best]);
    let p = s.against;
    let taken =
        takes(c.standings[0].guests, s.guests, s.gain, c.race.worlds[0].scenario.limits.grade);
    let does = does(taken.clone(), s.gain, p);
    let either_way = || super::either_way(&c.race.worlds[0], &c.evenings[0]);
    match p.is_same() {
        true => format!(
            "\"{name}\" changes nothing against \"{base}\": every evening is the same to the minute."
        ),
        _ if is_better(s.gain, p) => {
            format!(
                "\"{name}\" is better than \"{base}\": {does}.{}",
                super::still(&c.race.worlds[best], &c.evenings[best])
            )
        }
        _ if takes_fewer(s.gain) => {
            format!("\"{name}\" takes fewer guests than \"{base}\": {does}.{}", either_way())
        }
        _ if p.is_clear() => {
            format!("\"{name}\" doesn't help against \"{base}\": {does}.{}", either_way())
        }
        _ => {
            let seen = format!(
                "No difference we can see in {evenings} evenings between \"{name}\" and \"{base}\": {}",
                difference(p)
            );
            format!("{}.{}", with_guests(seen, taken), either_way())
        }
    }
}

/// What a change does. Guests first where they are clearly more or fewer: "lively to 34 guests
/// instead of 24 (likely 8 to 12 more), and each guest loses 35 s less in lines and crowds (likely
/// 26 to 44 s)"; otherwise time first.
pub fn does(taken: Option<String>, gain: Option<Estimate>, p: Paired) -> String {
    let time = gain_than(p, "");
    let saves = p.difference.value < 0.0;
    let joins = match (clearly(gain) > 0.0, takes_fewer(gain)) {
        (true, _) => {
            if saves {
                "and"
            } else {
                "but"
            }
        }
        (_, true) => {
            if saves {
                "though"
            } else {
                "and"
            }
        }
        _ => return with_guests(time, taken),
    };
    match taken {
        Some(taken) if p.is_clear() => format!("{taken}, {joins} {time}"),
        taken => taken.unwrap_or(time),
    }
}

/// A sentence about time with what the house takes behind it, if that is known.
pub fn with_guests(time: String, taken: Option<String>) -> String {
    taken.map_or(time.clone(), |taken| format!("{time}; {taken}"))
}

/// Guests gained for each 1,000 of cost, where any are.
pub fn gained_per_1000(s: &Standing) -> Option<Estimate> {
    s.gain_per_1000.filter(|_| s.gain.is_some_and(|gain| gain.value.round() > 0.0))
}

/// "2.2 guests (likely 1.1 to 3.3)".
pub fn per_1000(e: Estimate) -> String {
    format!("{:.1} guests (likely {:.1} to {:.1})", e.value, e.low, e.high)
}

/// The first limit an arrangement does not keep: "with 24 guests, 52% of guests looking for a seat
/// find none (likely 49% to 56%); limit 25%".
pub fn over_limit(c: &Comparison, case: usize) -> Option<String> {
    let (world, evening) = (&c.race.worlds[case], &c.evenings[case]);
    let broken = evening.limits.iter().find(|v| !v.holds)?;
    let told = super::told(world, evening, broken);
    Some(format!(
        "with {}, {}: {}{}; limit {}",
        super::guests(world.scenario.guests),
        told.what,
        told.measured,
        told.likely,
        told.accepted
    ))
}

/// One arrangement's row.
pub fn row(c: &Comparison, case: usize) -> String {
    let s: Standing = c.standings[case];
    let lost =
        format!("{} min lost per guest{}", minutes(s.lost.value), super::likely(s.lost, minutes));
    let takes = s.guests.map_or(String::new(), |w| {
        format!("; {}", takes_up_to(w, c.race.worlds[0].scenario.limits.grade))
    });
    if case == 0 {
        return format!("{}: {lost}{takes}", super::shown(&c.cases[0].name));
    }
    let gained = s.gain.map_or(String::new(), |e| format!(", {}", gain(e)));
    let cost = gained_per_1000(&s)
        .map_or(String::new(), |e| format!("; for each 1,000 of cost {}", per_1000(e)));
    let sure = if s.against.is_same() { String::new() } else { format!(", {}", better(s.against)) };
    let takes = takes.trim_start_matches("; ");
    let guests =
        if takes.is_empty() { String::new() } else { format!("\n    {takes}{gained}{cost}") };
    format!(
        "{}{guests}\n    {lost}\n    {}{sure}",
        super::shown(&c.cases[case].name),
        against(s.against, c.race.trials[case].len())
    )
}
