//! Which arrangement is better, in words.

use super::capacity::{gain, guests};
use sim::question::compare::{Comparison, Standing};
use sim::question::race::Paired;
use sim::stats::Estimate;

/// Minutes to a tenth, or to a hundredth where that is little.
pub fn minutes(m: f64) -> String {
    let m = m.abs();
    if m < 0.995 { format!("{m:.2}") } else { format!("{m:.1}") }
}

/// The two ends of an interval in the sense of a statement: "0.4 to 0.8", "0.1 less to 0.3 more".
pub fn ends(e: Estimate) -> String {
    let end = |m: f64| format!("{} {}", minutes(m), if m < 0.0 { "less" } else { "more" });
    match (e.low < 0.0, e.high < 0.0) {
        (true, true) => format!("{} to {}", minutes(e.high), minutes(e.low)),
        (false, false) => format!("{} to {}", minutes(e.low), minutes(e.high)),
        _ => format!("{} to {}", end(e.low), end(e.high)),
    }
}

/// "each guest loses 0.62 min less (likely 0.4 to 0.8)".
pub fn difference(p: Paired) -> String {
    let d = p.difference;
    format!("each guest loses {} min {} (likely {})", minutes(d.value), if d.value < 0.0 { "less" } else { "more" }, ends(d))
}

/// What a redraw is.
pub const REDRAW: &str =
    "A redraw takes as many evenings again out of those simulated, some twice and some not at all: it shows how much hangs on which evenings they were.";

/// Share of resamples of the evenings in which it loses less, in hundredths.
pub fn better(p: Paired) -> String {
    format!("better in {:.0} of 100 redraws of these evenings", p.better * 100.0)
}

/// How sure a difference is, as a sentence's end.
pub fn against(p: Paired, evenings: usize) -> String {
    match (p.is_same(), p.is_clear()) {
        (true, _) => "nothing changes: every evening is the same to the minute".into(),
        (_, true) => format!("{}, {}", difference(p), better(p)),
        (_, false) => format!("no difference we can see in {evenings} evenings: {}, {}", difference(p), better(p)),
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
    let gained = s.gain.map_or(String::new(), |e| format!("; it takes {}", gain(e)));
    match (p.is_same(), p.is_clear(), p.difference.value < 0.0) {
        (true, ..) => format!("\"{name}\" changes nothing against \"{base}\": every evening is the same to the minute."),
        (_, true, true) => format!("\"{name}\" is better than \"{base}\": {}{gained}.", difference(p)),
        (_, true, false) => format!("Leave it at \"{base}\": with \"{name}\" {}.", difference(p)),
        (_, false, _) => format!("No difference we can see in {evenings} evenings between \"{name}\" and \"{base}\": {}{gained}.", difference(p)),
    }
}

/// "2.2 guests (likely 1.1 to 3.3)".
pub fn per_1000(e: Estimate) -> String {
    format!("{:.1} guests (likely {:.1} to {:.1})", e.value, e.low, e.high)
}

/// One arrangement's row.
pub fn row(c: &Comparison, case: usize) -> String {
    let s: Standing = c.standings[case];
    let lost = format!("{} min lost a guest (likely {})", minutes(s.lost.value), ends(s.lost));
    let takes = s.guests.map_or(String::new(), |w| format!("; comfortable for {}", guests(w)));
    if case == 0 {
        return format!("{}: {lost}{takes}", super::shown(&c.cases[0].name));
    }
    let gained = s.gain.map_or(String::new(), |e| format!(", {}", gain(e)));
    let cost = s.gain_per_1000.map_or(String::new(), |e| format!("; for each 1,000 of cost {}", per_1000(e)));
    format!("{}: {lost}; {}{takes}{gained}{cost}", super::shown(&c.cases[case].name), against(s.against, c.race.trials[case].len()))
}
