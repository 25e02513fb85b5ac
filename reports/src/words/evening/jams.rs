//! Jams in words: where, how long, when, why, and what might help.

use crate::words::floor::at_spot;
use crate::words::{bound, clock, duration, evenings, likely, what, with_article};
use sim::crowd::measure::Cause;
use sim::evening::scenario::Serves;
use sim::floor::world::World;
use sim::study::evening::jams::JamReport;

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

pub(super) fn to_try_at(world: &World, j: &JamReport) -> String {
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
