//! Are widths, distances and intervals honest?

use crate::base::chance::{Chance, Key, Purpose};
use crate::base::stats::{mean, pooled_quantile, share};
use crate::base::units::INCH;
use crate::evidence::lab::Lab;
use crate::evidence::{Check, Expected, Kind, Known, Question, Row};
use crate::floor::world::aisles::{aisles, gaps};
use crate::house::plan::OpeningId;
use statrs::distribution::{Binomial, Discrete};

const S: Check = Check {
    id: "",
    question: Question::Figures,
    kind: Kind::Gate,
    title: "",
    source: "",
    known: Known::Computed,
    slow: false,
    measure: || Ok(vec![]),
};

pub(in crate::evidence) const CHECKS: &[Check] = &[
    Check {
        id: "P6",
        title: "clear widths of ten plans measured by hand, to half an inch",
        source: "arithmetic of the tape",
        measure: widths,
        ..S
    },
    Check {
        id: "S1",
        title: "how often a 95% interval holds the truth: a share of evenings",
        source: "synthetic truths",
        measure: shares,
        ..S
    },
    Check {
        id: "S2",
        title: "the same: a mean over evenings of a skewed figure",
        source: "synthetic truths",
        measure: means,
        ..S
    },
    Check {
        id: "S3",
        title: "the same: what 9 visits in 10 wait less than",
        source: "synthetic truths",
        slow: true,
        measure: quantiles,
        ..S
    },
];

/// A kitchen 13 ft by 12 ft with counters 25 in deep on two walls and a piece between them: the
/// piece's south-west corner and size, the side looked at, and what the tape reads there, in
/// inches.
const BY_HAND: [(f64, f64, f64, f64, &str, f64); 7] = [
    // north of an island at 60 in with 28 in depth: 144 - 25 - (60 + 28)
    (50.0, 60.0, 60.0, 28.0, "back", 31.0),
    (50.0, 49.0, 60.0, 28.0, "back", 42.0),
    (50.0, 43.0, 60.0, 28.0, "back", 48.0),
    // south of it: its distance from the south wall
    (50.0, 36.0, 60.0, 28.0, "front", 36.0),
    (50.0, 30.5, 60.0, 28.0, "front", 30.5),
    // ends: the nearer of west (x - 25) and east (156 - x - w)
    (63.5, 40.0, 60.0, 28.0, "ends", 32.5),
    (61.0, 40.0, 42.0, 28.0, "ends", 36.0),
];

fn widths() -> Result<Vec<Row>, String> {
    let scenario = "format = 1\nplan = \"plan.toml\"\nguests = 4\n";
    let mut rows = vec![];
    for (x, y, w, d, side, inches) in BY_HAND {
        let plan = format!(
            "format = 1\nunits = \"ft\"\nroom = [{{ name = \"kitchen\", size = [\"13ft\", \"12ft\"] }}]\n\
             opening = [{{ joins = [\"outside\", \"kitchen\"], wall = \"south\" }}]\n\
             furniture = [\n\
               {{ name = \"north counter\", kind = \"counter\", room = \"kitchen\", north = 0, west = 0, size = [\"13ft\", \"25in\"] }},\n\
               {{ name = \"west counter\", kind = \"counter\", room = \"kitchen\", west = 0, south = \"2ft\", size = [\"7ft\", \"25in\"] }},\n\
               {{ kind = \"island\", room = \"kitchen\", at = [\"{x}in\", \"{y}in\"], size = [\"{w}in\", \"{d}in\"] }},\n\
             ]\n"
        );
        let lab = Lab::new(&plan, scenario)?;
        let found = aisles(&gaps(&lab.world))
            .into_iter()
            .find(|a| lab.world.plan.furniture[a.piece].name == "island" && a.side.word() == side);
        let measured = found.map_or(f64::NAN, |a| a.clear / INCH);
        rows.push(Row::exact(
            format!("{side} of an island, {inches} in"),
            "in",
            Expected::Near(inches, 0.5, 0.5),
            measured,
        ));
    }
    // clear widths of openings: what was said, and what a hinged leaf of 36 in leaves when it
    // stands at 90 degrees
    for (style, inches) in [
        ("style = \"cased\", width = \"42in\"", 42.0),
        ("clear = \"31.5in\"", 31.5),
        ("style = \"cased\", width = \"5ft 6in\"", 66.0),
    ] {
        let plan = format!(
            "format = 1\nunits = \"ft\"\nroom = [{{ name = \"hall\", size = [\"8ft\", \"10ft\"] }}]\nopening = [{{ name = \"way\", joins = [\"outside\", \"hall\"], wall = \"south\", {style} }}]\n"
        );
        let lab = Lab::new(&plan, scenario)?;
        rows.push(Row::exact(
            format!("opening, {inches} in"),
            "in",
            Expected::Near(inches, 0.5, 0.5),
            lab.world.plan.openings[OpeningId::FIRST].clear / INCH,
        ));
    }
    Ok(rows)
}

/// Experiments behind a coverage, and what it is held against: 93 to 97 %.
const EXPERIMENTS: u32 = 2000;
const STATED: Expected = Expected::Between(93.0, 97.0);

fn stream(n: u32) -> Chance {
    Key { seed: 1, trial: n, person: 0 }.stream(Purpose::Resample, 0)
}

/// Share of experiments in which an interval holds the truth, in percent.
fn coverage(mut holds: impl FnMut(&mut Chance) -> bool, salt: u32) -> f64 {
    let hits = (0..EXPERIMENTS).filter(|n| holds(&mut stream(salt * EXPERIMENTS + n))).count();
    100.0 * hits as f64 / f64::from(EXPERIMENTS)
}

/// Chance that the interval of a share holds the truth, in percent, summed over all outcomes: no
/// sampling error.
fn share_coverage(truth: f64, of: u64) -> Result<f64, String> {
    let law = Binomial::new(truth, of).map_err(|e| e.to_string())?;
    let held = (0..=of).filter(|&hits| {
        let e = share(hits, of);
        e.low <= truth && truth <= e.high
    });
    Ok(100.0 * held.map(|hits| law.pmf(hits)).sum::<f64>())
}

fn shares() -> Result<Vec<Row>, String> {
    let cases = [(0.05, 500), (0.10, 500), (0.10, 100), (0.30, 100), (0.50, 500)];
    cases
        .iter()
        .map(|&(truth, of)| {
            Ok(Row::exact(
                format!("{:.0} % of {of} evenings", truth * 100.0),
                "%",
                STATED,
                share_coverage(truth, of)?,
            ))
        })
        .collect()
}

fn means() -> Result<Vec<Row>, String> {
    let row = |(k, &n): (usize, &u32)| {
        let holds = |c: &mut Chance| {
            let values: Vec<f64> = (0..n).map(|_| c.duration(4.0, 2.0)).collect();
            let e = mean(&values);
            e.low <= 4.0 && 4.0 <= e.high
        };
        Row::exact(format!("{n} evenings"), "%", STATED, coverage(holds, 10 + k as u32))
    };
    Ok([24, 64, 500].iter().enumerate().map(row).collect())
}

/// Waits are exponential about a mean that differs from evening to evening; the truth comes from a
/// large sample of its own.
fn quantiles() -> Result<Vec<Row>, String> {
    let evening = |c: &mut Chance| -> Vec<u32> {
        let busy = c.duration(60.0, 20.0);
        (0..40).map(|_| c.exponential(busy) as u32).collect()
    };
    let mut far = stream(u32::MAX);
    let mut all: Vec<u32> = (0..100_000).flat_map(|_| evening(&mut far)).collect();
    all.sort_unstable();
    let truth = f64::from(all[all.len() * 9 / 10]);
    let holds = |c: &mut Chance| {
        let groups: Vec<Vec<u32>> = (0..64).map(|_| evening(c)).collect();
        let e = pooled_quantile(&groups, 0.9, 400, || c.below(64) as usize);
        e.low <= truth && truth <= e.high
    };
    Ok(vec![Row::exact("64 evenings of 40 visits", "%", STATED, coverage(holds, 20))])
}
