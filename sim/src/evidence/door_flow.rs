//! Do doors pass what doors pass? Flow through exits, by width, past an open leaf.

use super::lab::plans::{exit, group, script};
use super::lab::{Lab, flow, over_trials};
use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::stats::Estimate;
use crate::base::units::INCH;

const D: Check = Check {
    id: "",
    question: Question::Doors,
    kind: Kind::Gate,
    title: "",
    source: "HERMES 2009, Jülich open data",
    known: Known::Derived,
    slow: true,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "D1",
        title: "150 people through exits of a wider corridor, free pace 1.5 m/s",
        measure: hermes_exits,
        ..D
    },
    Check { id: "D1a", title: "the same, exit of 0.70 m", measure: || exits(&[(0.70, 1.62)]), ..D },
    Check {
        id: "D1b",
        kind: Kind::Report,
        title: "100 people through an exit of 1 m beside a design cap: caps are set low on purpose, measured flows are about 1.9 people/s",
        source: "IMO MSC.1/Circ.1533 test 4",
        known: Known::Memory,
        measure: beside_the_cap,
        ..D
    },
    Check {
        id: "D2",
        title: "exits of 27 to 72 in: the flow never falls by more than 3%",
        source: "Liao et al. 2014",
        known: Known::Seen,
        measure: by_width,
        ..D
    },
    Check {
        id: "D3",
        title: "a leaf that stands open at 90° in a doorway of 85 cm",
        source: "Daamen & Hoogendoorn 2012",
        known: Known::Seen,
        measure: open_leaf,
        ..D
    },
];

const PACE: &str = "1.5m/s";
/// Depth of an outer wall of the plan, in meters: the exit's far side.
const WALL: f64 = 0.1;

/// People a second through an exit at the end of a corridor, over trials.
fn exit_flow(
    corridor: f64,
    width: f64,
    people: u32,
    more: &str,
    trials: u32,
) -> Result<Estimate, String> {
    const RUN: f64 = 4.0;
    let plan = exit(corridor, RUN, width, more);
    let lab = Lab::new(&plan, &(script("") + &group(people, "waiting room", PACE, &["leave"])))?;
    // rooms lie 10 m and RUN deep, with a wall between
    let sill = 10.0 + WALL + RUN;
    Ok(over_trials(&lab.trials(1, trials, |_, paths| {
        flow(paths.iter().filter_map(|p| p.crosses(|_, y| y - sill)).collect())
    })))
}

const CASED: &str = "style = \"cased\"";

fn exits(expected: &[(f64, f64)]) -> Result<Vec<Row>, String> {
    let row = |&(width, people): &(f64, f64)| {
        let corridor = if width < 1.25 { 2.4 } else { 3.0 };
        let measured = exit_flow(corridor, width, 150, CASED, 8)?;
        Ok(Row::new(format!("{width:.2} m"), "people/s", Expected::within(people, 0.15), measured))
    };
    expected.iter().map(row).collect()
}

fn hermes_exits() -> Result<Vec<Row>, String> {
    exits(&[(0.95, 1.75), (1.20, 2.34), (1.30, 2.73), (1.60, 3.15), (2.00, 3.83)])
}

fn beside_the_cap() -> Result<Vec<Row>, String> {
    Ok(vec![Row::new(
        "1.00 m",
        "people/s",
        Expected::Beside(1.33),
        exit_flow(2.4, 1.0, 100, CASED, 8)?,
    )])
}

fn by_width() -> Result<Vec<Row>, String> {
    let widths: Vec<f64> = (9..=24).map(|k| f64::from(k) * 3.0).collect();
    let flows = widths
        .iter()
        .map(|w| exit_flow(3.0, w * INCH, 120, CASED, 6))
        .collect::<Result<Vec<_>, _>>()?;
    let mut best = f64::NEG_INFINITY;
    let mut rows = vec![];
    for (inches, flow) in widths.iter().zip(flows) {
        let expected =
            if best.is_finite() { Expected::AtLeast(0.97 * best) } else { Expected::AtLeast(0.0) };
        rows.push(Row::new(format!("{inches:.0} in"), "people/s", expected, flow));
        best = best.max(flow.value);
    }
    Ok(rows)
}

fn open_leaf() -> Result<Vec<Row>, String> {
    let free = exit_flow(2.4, 0.85, 120, CASED, 12)?;
    let leaf = exit_flow(
        2.4,
        0.85,
        120,
        "style = \"hinged\", width = \"0.9m\", swing = { into = \"beyond\", hinge = \"west\" }",
        12,
    )?;
    let change = leaf.scaled(100.0 / free.value);
    let less = Estimate {
        value: change.value - 100.0,
        low: change.low - 100.0,
        high: change.high - 100.0,
    };
    Ok(vec![
        Row::new("no leaf", "people/s", Expected::Nothing, free),
        Row::new("leaf against none", "%", Expected::Near(-20.0, 8.0, 8.0), less),
    ])
}
