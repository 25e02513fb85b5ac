//! Do lines obey queueing theory? One, two and three servers, fixed and drawn times, a powder room,
//! a buffet.

use super::lab::plans::script;
use super::lab::{Lab, over_trials};
use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::stats::{Estimate, erlang_c};
use crate::base::units::{TICKS, seconds};
use crate::crowd::bodies::Doing;
use crate::crowd::measure::Trace;
use crate::evening::scenario::Serves;
use crate::floor::world::SpotId;

const Q: Check = Check {
    id: "",
    question: Question::Lines,
    kind: Kind::Gate,
    title: "",
    source: "",
    known: Known::Computed,
    slow: true,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "Q1",
        title: "one server, arrivals 12 for every 20 served: mean line",
        source: "worked solutions of M/M/1",
        known: Known::Seen,
        measure: || one_line("exponential", 0.6, 1, 0.9),
        ..Q
    },
    Check {
        id: "Q2",
        title: "three servers, load 2: mean line",
        source: "Gross & Harris, the eye clinic",
        known: Known::Seen,
        measure: || one_line("exponential", 2.0, 3, 8.0 / 9.0),
        ..Q
    },
    Check {
        id: "Q3",
        title: "load 2/3 on one and two servers: mean line",
        source: "Hillier & Lieberman, the emergency room",
        known: Known::Memory,
        measure: emergency_room,
        ..Q
    },
    Check {
        id: "Q4",
        title: "one server, load 0.8, every service alike: half the line of drawn ones",
        source: "Pollaczek-Khinchine",
        known: Known::Seen,
        measure: || one_line("fixed", 0.8, 1, 1.6),
        ..Q
    },
    Check {
        id: "Q5",
        title: "chance to wait at load 10 on 11 to 16 servers",
        source: "Erlang C, standard tables",
        slow: false,
        measure: erlang,
        ..Q
    },
    Check {
        id: "Q6",
        title: "line lengths sampled from traces of the demos against waits from events",
        source: "Little's law",
        measure: little,
        ..Q
    },
    Check {
        id: "Q7",
        title: "a powder room, 132 s sd 60, 13.5 visits an hour: mean wait",
        source: "Rawls 1988 and Pollaczek-Khinchine",
        known: Known::Seen,
        measure: powder_room,
        ..Q
    },
    Check {
        id: "Q8",
        title: "200 guests at a buffet of 1, 2 and 4 sides: until the last is served",
        source: "caterers: 200 on one side in 100 min",
        known: Known::Seen,
        slow: false,
        measure: buffet,
        ..Q
    },
    Check {
        id: "Q9",
        kind: Kind::Report,
        title: "people a minute along one side of a buffet, under ten",
        source: "UFC 4-740-12AN",
        known: Known::Seen,
        slow: false,
        measure: buffet_rate,
        ..Q
    },
];

/// A room with a long bar opposite its door.
const BAR: &str = "format = 1\nunits = \"m\"\n\
    room = [{ name = \"bar room\", use = \"other\", size = [\"14m\", \"12m\"] }]\n\
    opening = [{ joins = [\"outside\", \"bar room\"], wall = \"south\", width = \"1.2m\", style = \"cased\" }]\n\
    furniture = [{ kind = \"bar\", room = \"bar room\", north = 0, size = [\"3m\", \"0.6m\"] }]\n";
/// Seconds of a service: so long that a few steps to the bar do not count.
const SERVICE: f64 = 6000.0;
/// Visits dropped before the line is as usual.
const DROPPED: usize = 1000;
/// A server used for more than this share has longer lines that vary more.
const BUSY: f64 = 0.7;
/// Trials, and visits in each: so many that the standard error is under 1 %; longer lines take
/// more.
const TRIALS: u32 = 8;
const MANY_TRIALS: u32 = 20;
const VISITS: u32 = 50_000;

/// Mean wait over the mean gap between arrivals: by Little's law the mean line.
fn mean_line(shape: &str, load: f64, servers: u32) -> Result<Estimate, String> {
    let trials = if load / f64::from(servers) > BUSY { MANY_TRIALS } else { TRIALS };
    let gap = SERVICE / load;
    let text = script(&format!(
        "[serving.bar]\ntime = \"{SERVICE}s\"\nshape = \"{shape}\"\nat_once = {servers}"
    )) + &format!(
        "[[errand]]\nguests = {VISITS}\nfrom = \"outside\"\narrive = {{ shape = \"exponential\", every = \"{gap}s\" }}\npace = \"1.5m/s\"\nstops = [\"bar\", \"leave\"]\n"
    );
    let lab = Lab::new(BAR, &text)?;
    let positions =
        lab.world.spots.iter().find(|s| s.name == "bar").map_or(0, |s| s.positions.len());
    if positions != servers as usize {
        return Err(format!("the bar has {positions} places instead of {servers}"));
    }
    let bar = lab.world.spots.position(|s| s.name == "bar").unwrap_or(SpotId::FIRST);
    let lines: Vec<f64> = lab
        .tallies(1, trials)
        .iter()
        .map(|t| {
            let kept = t.waits[bar].get(DROPPED..).unwrap_or(&[]);
            kept.iter().map(|&w| seconds(w)).sum::<f64>() / kept.len() as f64 / gap
        })
        .collect();
    Ok(over_trials(&lines))
}

fn one_line(shape: &str, load: f64, servers: u32, expected: f64) -> Result<Vec<Row>, String> {
    Ok(vec![Row::new(
        "mean line",
        "people",
        Expected::within(expected, 0.03),
        mean_line(shape, load, servers)?,
    )])
}

fn emergency_room() -> Result<Vec<Row>, String> {
    let row = |servers: u32, expected: f64| -> Result<Row, String> {
        Ok(Row::new(
            format!("{servers} server(s)"),
            "people",
            Expected::within(expected, 0.03),
            mean_line("exponential", 2.0 / 3.0, servers)?,
        ))
    };
    Ok(vec![row(1, 4.0 / 3.0)?, row(2, 1.0 / 12.0)?])
}

fn erlang() -> Result<Vec<Row>, String> {
    let table =
        [(11, 0.6821), (12, 0.4494), (13, 0.2853), (14, 0.1741), (15, 0.1020), (16, 0.0573)];
    Ok(table
        .iter()
        .map(|&(c, v)| {
            Row::exact(
                format!("{c} servers"),
                "",
                Expected::Near(v, 0.00005, 0.00005),
                erlang_c(10.0, c),
            )
        })
        .collect())
}

/// Person-seconds in line, once sampled from traces and once from the waits of those served.
fn little() -> Result<Vec<Row>, String> {
    super::standing::demos()?
        .into_iter()
        .map(|(name, lab)| {
            let sums = lab.trials(1, 20, |tally, paths| {
                let kinds = |s: SpotId| lab.world.spots[s].serves != Serves::Door;
                // people counted on the clock of the traces, twice a second
                let in_line = |r: &&Trace| {
                    r.at.is_multiple_of(TICKS / 2) && matches!(r.doing, Doing::Line(s) if kinds(s))
                };
                let sampled =
                    0.5 * paths.iter().flat_map(|p| p.rows()).filter(in_line).count() as f64;
                let waited: f64 = tally
                    .stood
                    .iter_enumerated()
                    .filter(|(s, _)| kinds(*s))
                    .map(|(_, &w)| seconds(w))
                    .sum();
                (sampled, waited)
            });
            let (sampled, waited) = sums.iter().fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
            Ok(Row::exact(name, "ratio", Expected::Near(1.0, 0.01, 0.01), sampled / waited))
        })
        .collect()
}

fn powder_room() -> Result<Vec<Row>, String> {
    let plan = "format = 1\nunits = \"m\"\n\
        room = [{ name = \"hall\", size = [\"2m\", \"9m\"] }, { name = \"powder room\", size = [\"1.6m\", \"1.8m\"], west_of = \"hall\", flush = \"north\" }]\n\
        opening = [{ joins = [\"outside\", \"hall\"], wall = \"south\" }, { joins = [\"hall\", \"powder room\"], width = \"0.76m\" }]\n";
    let (mean, sd, per_hour) = (132.0, 60.0, 13.5);
    let row = |gap: f64, expected: f64| -> Result<Row, String> {
        let text = script(&format!(
            "[serving.powder]\ntime = \"{mean}s\"\nsd = \"{sd}s\"\ngap = \"{gap}s\""
        )) + &format!(
            "[[errand]]\nguests = 20000\nfrom = \"outside\"\narrive = {{ shape = \"exponential\", every = \"{}s\" }}\nstops = [\"powder room\", \"leave\"]\n",
            3600.0 / per_hour
        );
        let lab = Lab::new(plan, &text)?;
        let waits: Vec<f64> = lab
            .tallies(1, 4)
            .iter()
            .map(|t| {
                let kept = t.waits.iter().flat_map(|w| w.get(DROPPED..).unwrap_or(&[]));
                let (sum, n) = kept.fold((0.0, 0), |(s, n), &w| (s + seconds(w), n + 1));
                sum / f64::from(n)
            })
            .collect();
        Ok(Row::new(
            format!("{gap:.0} s between guests"),
            "s",
            Expected::within(expected, 0.10),
            over_trials(&waits),
        ))
    };
    Ok(vec![row(0.0, 78.0)?, row(12.0, 99.0)?])
}

/// Minutes until the last of 200 is served at so many sides.
fn buffet_minutes(sides: u32) -> Result<f64, String> {
    let side = if sides == 1 { "[\"front\"]" } else { "[\"front\", \"back\"]" };
    let tables = if sides == 4 { 2 } else { 1 };
    let piece = |k: u32| {
        format!(
            "{{ name = \"buffet {k}\", kind = \"table\", room = \"dining room\", at = [\"{}m\", \"9m\"], size = [\"2.4m\", \"0.9m\"], use_from = {side}, seats = 0 }}",
            5 + 9 * (k - 1)
        )
    };
    let pieces: Vec<String> = (1..=tables).map(piece).collect();
    let plan = format!(
        "format = 1\nunits = \"m\"\nroom = [{{ name = \"dining room\", size = [\"20m\", \"18m\"] }}]\n\
         opening = [{{ joins = [\"outside\", \"dining room\"], wall = \"south\", width = \"1.8m\", style = \"cased\" }}]\nfurniture = [{}]\n",
        pieces.join(", ")
    );
    // a little faster than they are served, so that there is always a line and never a full one
    let gap = 25.0 * f64::from(tables) / f64::from(sides);
    let groups: String = (1..=tables)
        .map(|k| {
            format!(
                "[[errand]]\nguests = {}\nfrom = \"outside\"\narrive = {{ shape = \"fixed\", every = \"{gap}s\" }}\nstops = [\"buffet {k}\", \"leave\"]\n",
                200 / tables
            )
        })
        .collect();
    let lab =
        Lab::new(&plan, &(script("occasion = \"buffet\"\n[model]\nends = \"4h\"") + &groups))?;
    let last = lab.trials(1, 2, |_, paths| {
        let served = |p: &super::lab::Path| {
            p.rows().iter().rfind(|r| matches!(r.doing, Doing::At(_))).map(|r| seconds(r.at))
        };
        let times: Vec<f64> = paths.iter().filter_map(served).collect();
        if times.len() == 200 { times.into_iter().fold(0.0, f64::max) / 60.0 } else { f64::NAN }
    });
    Ok(over_trials(&last).value)
}

fn buffet() -> Result<Vec<Row>, String> {
    [(1, 100.0), (2, 50.0), (4, 25.0)]
        .iter()
        .map(|&(sides, minutes)| {
            Ok(Row::exact(
                format!("{sides} side(s)"),
                "min",
                Expected::within(minutes, 0.10),
                buffet_minutes(sides)?,
            ))
        })
        .collect()
}

fn buffet_rate() -> Result<Vec<Row>, String> {
    Ok(vec![Row::exact(
        "one side",
        "people/min",
        Expected::Beside(10.0),
        200.0 / buffet_minutes(1)?,
    )])
}
