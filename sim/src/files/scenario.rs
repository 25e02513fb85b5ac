//! Scenario file to scenario.

use super::decode::{Decoder, Table};
use super::node::{Node, Value};
use super::values;
use crate::evening::edit::not_during;
use crate::evening::scenario::{
    Arrivals, COMES, DoorState, Errand, Every, From, MOST_AT_ONCE, MOST_INSIDE, MOST_SCRIPTED,
    Occasion, Scenario, Serves, ServingSaid, Shape, Weather, after_start, arrival_curve,
};
use crate::house::plan::OUTSIDE;
use crate::house::problem::{BadEvening, BadKey, BadValue, Bounds, Expected, Needed, TwoWays};

/// What the command line asks over the file.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// Guests instead of the file's.
    pub guests: Option<u32>,
    /// Occasion instead of the file's.
    pub occasion: Option<Occasion>,
    /// The option to put in force.
    pub option: Option<String>,
    /// Limits over the file's: keys of `[limits]` (`jammed`, `wait/food`) and values as a file
    /// writes them. Mistakes in them are found by [`super::check_limits`], not when a file is read.
    pub limits: Vec<(String, String)>,
}

/// Guests where neither file nor command line says.
const USUAL_GUESTS: u32 = 20;
/// A smaller share of those invited is a slip of the fingers.
const FEWEST_COME: f64 = 0.05;
/// Scripts, and stops of all scripted guests together: more take longer than anybody waits.
const MOST_ERRANDS: usize = 1_000;
const MOST_STOPS: u64 = 20_000_000;

/// Decodes a scenario file's own table; `plan` and `[[option]]` have been taken out of it.
pub(super) fn decode(root: Node, asked: &Asked, d: &mut Decoder) -> Option<Scenario> {
    let mut top = Table::open(root, "", d)?;
    super::plan::format(&mut top, d);
    top.take("plan", d);
    let said = top.get("occasion", d, occasion);
    let occasion = asked.occasion.or(said).unwrap_or(Occasion::Cocktails);
    let (in_file, comes) = headcount(&mut top, d);
    let guests = asked.guests.or(in_file).unwrap_or(USUAL_GUESTS);
    let mut s = Scenario::of(occasion, guests);
    s.comes = comes;
    s.arrivals = arrival_curve(in_file.unwrap_or(guests));
    s.title = top.get("title", d, Decoder::line).unwrap_or(s.title);
    s.start = top
        .get("start", d, |d, at, n| d.worded(at, n, Expected::StartTime, values::time_of_day))
        .unwrap_or(s.start);
    s.lasts = top.get("lasts", d, lasts).unwrap_or(s.lasts);
    s.weather = top.get("weather", d, weather).unwrap_or(s.weather);
    s.rain = top.get("rain", d, Decoder::truth).unwrap_or(s.rain);
    s.hosts = top.get("hosts", d, |d, at, n| d.count(at, n, 0, 20)).unwrap_or(s.hosts);
    arrivals(&mut top, &mut s, d);
    mix(&mut top, &mut s, d);
    place(&mut top, &mut s, d);
    doors(&mut top, &mut s, d);
    serving(&mut top, &mut s, d);
    lines(&mut top, &mut s, d);
    s.limits = super::limits::decode(&mut top, &asked.limits, d);
    talk(&mut top, &mut s, d);
    habits(&mut top, &mut s, d);
    top.count_of("errand", MOST_ERRANDS, d);
    s.errands = top.tables("errand", d).into_iter().filter_map(|t| errand(t, d)).collect();
    check_errands(&s, d);
    model(&mut top, &mut s, d);
    top.finish(d);
    let over = |key: &str| {
        (key == "guests"
            && (asked.guests.is_some() || d.places.contains_key(&(d.file, "invited".into()))))
            || (key == "occasion" && asked.occasion.is_some())
    };
    s.unsaid.retain(|key| !over(key) && !d.places.contains_key(&(d.file, key.to_string())));
    Some(s)
}

fn occasion(d: &mut Decoder, at: &str, n: &Node) -> Option<Occasion> {
    if let Value::Text(t) = &n.value
        && Occasion::LATER.contains(&t.as_str())
    {
        let instead = Occasion::ALL.map(Occasion::word).map(String::from).to_vec();
        d.wrong(at, BadValue::NotYet { word: t.clone(), instead });
        return None;
    }
    d.word(at, n, &Occasion::ALL.map(Occasion::word), Occasion::from_word)
}

/// The file's headcount, and the share of those invited who come.
fn headcount(top: &mut Table, d: &mut Decoder) -> (Option<u32>, f64) {
    let guests = top.get("guests", d, |d, at, n| d.count(at, n, 1, MOST_INSIDE));
    let invited = top.get("invited", d, |d, at, n| d.count(at, n, 1, 2 * MOST_INSIDE));
    let comes = top.get("comes", d, comes).unwrap_or(COMES);
    if guests.is_some() && invited.is_some() {
        d.wrong("invited", BadKey::TwoWays(TwoWays::GuestsOrInvited));
    }
    (
        guests.or(invited.map(|n| ((f64::from(n) * comes).round() as u32).clamp(1, MOST_INSIDE))),
        comes,
    )
}

/// A share that is not so small that nobody could be invited.
fn comes(d: &mut Decoder, at: &str, n: &Node) -> Option<f64> {
    let share = d.share(at, n)?;
    if share < FEWEST_COME {
        d.wrong(at, BadValue::HardlyAnybodyComes);
    }
    Some(share).filter(|s| *s >= FEWEST_COME)
}

fn lasts(d: &mut Decoder, at: &str, n: &Node) -> Option<f64> {
    let lasts = d.duration(at, n)?;
    if !(1800.0..=43200.0).contains(&lasts) {
        d.wrong(at, BadValue::EveningLength);
        return None;
    }
    Some(lasts)
}

fn weather(d: &mut Decoder, at: &str, n: &Node) -> Option<Weather> {
    d.word(at, n, &["hot", "mild", "cold"], |w| match w {
        "hot" => Some(Weather::Hot),
        "mild" => Some(Weather::Mild),
        "cold" => Some(Weather::Cold),
        _ => None,
    })
}

fn arrivals(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("arrivals", d) else {
        return;
    };
    s.through = t.get("through", d, Decoder::text);
    t.either("times", "most_within", TwoWays::TimesOrMostWithin, d);
    let within = t.get("most_within", d, Decoder::duration);
    let early = t.get("early", d, Decoder::share);
    let Arrivals::Curve { b: usual, .. } = s.arrivals else {
        return;
    };
    s.arrivals = match within {
        Some(seconds) => Arrivals::most_within(seconds, early),
        None => Arrivals::curve(usual, early),
    };
    let times = t.get("times", d, |d, at, n| match &n.value {
        Value::List(items) if !items.is_empty() => {
            items.iter().map(|n| time_of_day(d, at, n)).collect::<Option<Vec<u32>>>()
        }
        other => {
            d.expected(at, Expected::Times, other);
            None
        }
    });
    if let Some(times) = times {
        let times: Vec<f64> = times.iter().map(|&m| after_start(m, s.start)).collect();
        check_during(&t.at("times"), &times, s, d);
        s.arrivals = Arrivals::Times(times);
    }
    t.finish(d);
}

fn time_of_day(d: &mut Decoder, at: &str, n: &Node) -> Option<u32> {
    d.worded(at, n, Expected::TimeOfDay, values::time_of_day)
}

/// Complains of times that are not during the evening.
fn check_during(at: &str, times: &[f64], s: &Scenario, d: &mut Decoder) {
    if !d.is_wrong_at(&["start", "lasts"]) && !times.iter().all(|&t| s.is_during(t)) {
        d.problems.push(not_during(s, at.into()));
    }
}

fn mix(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("mix", d) else {
        return;
    };
    let guests = f64::from(s.guests.max(1));
    let mut take = |key: &'static str, d: &mut Decoder| {
        let share = t.get(key, d, |d, at, n| match n.value {
            Value::Text(_) => d.share(at, n),
            _ => d.count(at, n, 0, MOST_INSIDE).map(|k| (f64::from(k) / guests).min(1.0)),
        });
        share.unwrap_or(0.0)
    };
    s.mix.older = take("older", d);
    s.mix.stick = take("stick", d);
    s.mix.frame = take("frame", d);
    for key in ["children", "wheelchair"] {
        if t.take(key, d).is_some() {
            let instead = ["older", "stick", "frame"].map(String::from).to_vec();
            d.wrong(&t.at(key), BadValue::NotYet { word: key.into(), instead });
        }
    }
    t.finish(d);
}

fn place(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("place", d) else {
        return;
    };
    for serves in Serves::ALL.into_iter().filter(|s| *s != Serves::Door) {
        if let Some(names) = t.get(serves.word(), d, Decoder::names) {
            s.place.insert(serves, names);
        }
    }
    t.finish(d);
}

fn doors(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(t) = top.table("doors", d) else {
        return;
    };
    for (name, at, node) in t.rest(d) {
        let state = d.word(&at, &node, &["open", "closed"], |w| match w {
            "open" => Some(DoorState::Open),
            "closed" => Some(DoorState::Closed),
            _ => None,
        });
        s.doors.extend(state.map(|state| (name, state)));
    }
}

fn lines(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(t) = top.table("lines", d) else {
        return;
    };
    for (name, at, node) in t.rest(d) {
        s.lines.extend(d.text(&at, &node).map(|way| (name, way)));
    }
}

fn serving(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(t) = top.table("serving", d) else {
        return;
    };
    for (name, at, node) in t.rest(d) {
        if let Some(table) = Table::open(node, &at, d) {
            let said = serving_said(table, s.start, d);
            check_during(&format!("{at}/at"), said.at.as_slice(), s, d);
            s.serving.insert(name, said);
        }
    }
}

fn serving_said(mut t: Table, start: u32, d: &mut Decoder) -> ServingSaid {
    let said = ServingSaid {
        time: t.get("time", d, Decoder::duration),
        sd: t.get("sd", d, Decoder::duration),
        shape: t.get("shape", d, |d, at, n| {
            d.word(at, n, &["spread", "exponential", "fixed"], |w| match w {
                "spread" => Some(Shape::Spread),
                "exponential" => Some(Shape::Exponential),
                "fixed" => Some(Shape::Fixed),
                _ => None,
            })
        }),
        at_once: t.get("at_once", d, |d, at, n| d.count(at, n, 1, MOST_AT_ONCE)),
        gap: t.get("gap", d, Decoder::duration),
        poured: t.get("poured", d, Decoder::truth),
        headway: t.get("headway", d, |d, at, n| {
            d.duration(at, n).filter(|&h| {
                let fine = h >= 3.0;
                if !fine {
                    d.wrong(at, BadValue::FastHeadway);
                }
                fine
            })
        }),
        at: t.get("at", d, time_of_day).map(|m| after_start(m, start)),
        waves: t.get("waves", d, |d, at, n| d.count(at, n, 1, 20)),
    };
    t.finish(d);
    said
}

fn habits(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("habits", d) else {
        return;
    };
    let h = &mut s.habits;
    let settles = t.get("settles_after", d, |d, at, n| {
        d.within(at, n, Decoder::duration, Bounds::Duration(1.0, 60.0))
    });
    let makes_room = t.get("makes_room_within", d, |d, at, n| {
        d.within(at, n, Decoder::length, Bounds::Nearness(0.3, 3.0))
    });
    h.settles_after = settles.unwrap_or(h.settles_after);
    h.makes_room_within = makes_room.unwrap_or(h.makes_room_within);
    h.perch = t
        .get("perch", d, |d, at, n| d.within(at, n, Decoder::number, Bounds::Number(0.0, 100.0)))
        .unwrap_or(h.perch);
    h.held_below = t
        .get("held_below", d, |d, at, n| {
            d.within(at, n, Decoder::number, Bounds::Number(0.02, 0.9))
        })
        .unwrap_or(h.held_below);
    t.finish(d);
}

fn talk(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("talk", d) else {
        return;
    };
    s.talk.rate = t
        .get("rate", d, |d, at, n| d.within(at, n, Decoder::number, Bounds::Number(0.01, 10.0)))
        .unwrap_or(s.talk.rate);
    let spell = t.get("spell", d, |d, at, n| {
        d.within(at, n, Decoder::duration, Bounds::Duration(30.0, 43_200.0))
    });
    s.talk.spell = spell.unwrap_or(s.talk.spell);
    if let Some(pull) = t.table("pull", d) {
        for (name, at, node) in pull.rest(d) {
            let weight = d.within(&at, &node, Decoder::number, Bounds::Number(0.0, 100.0));
            s.talk.pull.extend(weight.map(|w| (name, w)));
        }
    }
    t.finish(d);
}

fn errand(mut t: Table, d: &mut Decoder) -> Option<Errand> {
    let guests =
        t.need("guests", d, Needed::ErrandGuests, |d, at, n| d.count(at, n, 1, MOST_SCRIPTED));
    let from = t.get("from", d, Decoder::text).map_or(From::Outside, |name| {
        if name == OUTSIDE { From::Outside } else { From::Room(name) }
    });
    let arrive = t.get("arrive", d, every).unwrap_or(Every::Together);
    let delay = t.get("delay", d, Decoder::duration).unwrap_or(0.0);
    let pace = t.get("pace", d, |d, at, n| match &n.value {
        Value::Text(w) if w == "drawn" => None,
        _ => d.worded(at, n, Expected::Pace, values::pace),
    });
    let stair_pace =
        t.get("stair_pace", d, |d, at, n| d.worded(at, n, Expected::PaceOnStairs, values::pace));
    let stops = t.need("stops", d, Needed::ErrandStops, Decoder::names);
    let repeat = t.get("repeat", d, |d, at, n| d.count(at, n, 1, 10_000)).unwrap_or(1);
    if stops.as_ref().is_some_and(Vec::is_empty) {
        d.wrong(&t.at("stops"), BadValue::NoStops);
    }
    t.finish(d);
    Some(Errand { guests: guests?, from, arrive, delay, pace, stair_pace, stops: stops?, repeat })
}

fn every(d: &mut Decoder, at: &str, n: &Node) -> Option<Every> {
    if let Value::Text(_) = n.value {
        return d.word(at, n, &["together"], |w| (w == "together").then_some(Every::Together));
    }
    let mut t = Table::open(n.clone(), at, d)?;
    let shape = t.need("shape", d, Needed::ArriveShape, Decoder::text)?;
    let every = t.get("every", d, Decoder::duration);
    let within = t.get("within", d, Decoder::duration);
    t.finish(d);
    let result = match (shape.as_str(), every, within) {
        ("exponential", Some(s), None) => Some(Every::Exponential(s)),
        ("fixed", Some(s), None) => Some(Every::Fixed(s)),
        ("uniform", None, Some(s)) => Some(Every::Uniform(s)),
        _ => None,
    };
    if result.is_none() {
        d.wrong(at, BadValue::Arrive);
    }
    result
}

fn check_errands(s: &Scenario, d: &mut Decoder) {
    let all: u64 = s.errands.iter().map(|e| u64::from(e.guests)).sum();
    if all > u64::from(MOST_SCRIPTED) {
        d.wrong("errand", BadEvening::TooManyScripted { guests: all, most: MOST_SCRIPTED });
    }
    let stops: u64 = s
        .errands
        .iter()
        .map(|e| u64::from(e.guests) * e.stops.len() as u64 * u64::from(e.repeat))
        .sum();
    if stops > MOST_STOPS {
        d.wrong("errand", BadEvening::TooManyStops { stops, most: MOST_STOPS });
    }
}

fn model(top: &mut Table, s: &mut Scenario, d: &mut Decoder) {
    let Some(mut t) = top.table("model", d) else {
        return;
    };
    if let Some(cell) = t.get("cell", d, Decoder::length) {
        if (0.02..=0.2).contains(&cell) {
            s.model.cell = cell;
        } else {
            d.wrong("model/cell", BadValue::Cell);
        }
    }
    let order = t.get("order", d, |d, at, n| {
        d.word(at, n, &["arrival", "reversed"], |w| match w {
            "arrival" => Some(false),
            "reversed" => Some(true),
            _ => None,
        })
    });
    s.model.reversed = order.unwrap_or(false);
    s.model.ends = t.get("ends", d, Decoder::duration);
    s.model.most_events =
        t.get("most_events", d, |d, at, n| d.count(at, n, 1, 2_000_000_000)).map(u64::from);
    t.finish(d);
}
