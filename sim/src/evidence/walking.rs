//! Do people walk at measured speeds? Alone, at any angle, in file, in corridors.

use super::lab::plans::{self, Loop, corridor, exit, group, script, two_levels};
use super::lab::{Field, Lab, flow, moments, over_trials};
use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::chance::Key;
use crate::base::stats::Estimate;
use crate::evening::guests::pace;
use crate::evening::scenario::Mix;
use crate::evening::scenario::occasion::PACE;
use statrs::distribution::{ContinuousCDF, Normal};

const W: Check = Check {
    id: "",
    question: Question::Walking,
    kind: Kind::Gate,
    title: "",
    source: "",
    known: Known::Computed,
    slow: false,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "W1",
        title: "one guest, 40 m of a 2 m corridor at 1 m/s",
        source: "IMO MSC.1/Circ.1533 test 1",
        known: Known::Memory,
        measure: || forty_meters(&[0.0], "1m/s", "1 m/s", Expected::within(40.0, 0.01)),
        ..W
    },
    Check {
        id: "W2",
        title: "the same corridor turned",
        source: "geometry",
        known: Known::Computed,
        measure: || {
            forty_meters(
                &[5.0, 15.0, 22.5, 30.0, 44.9],
                "1m/s",
                "turned",
                Expected::within(40.0, 0.01),
            )
        },
        ..W
    },
    Check {
        id: "W3",
        title: "40 m at 1.33 m/s, give or take 5%",
        source: "RiMEA test 1",
        known: Known::Memory,
        measure: || forty_meters(&[0.0], "1.33m/s", "1.33 m/s", Expected::Between(26.0, 34.0)),
        ..W
    },
    Check {
        id: "W4",
        title: "the same with cells half as large",
        source: "convergence",
        slow: true,
        measure: half_the_cell,
        ..W
    },
    Check {
        id: "W5",
        title: "one guest, 10 m of stairs along the flight, set to 1 m/s on them",
        source: "IMO MSC.1/Circ.1533 tests 2 and 3",
        known: Known::Memory,
        measure: ten_meters_of_stairs,
        ..W
    },
    Check {
        id: "W6",
        title: "paces drawn for 100,000 guests against their law, Kolmogorov-Smirnov",
        source: "the stated law",
        measure: paces,
        ..W
    },
    Check {
        id: "W7",
        title: "20 people round the corner of a 2 m corridor",
        source: "IMO MSC.1/Circ.1533 test 6",
        known: Known::Memory,
        measure: corner,
        ..W
    },
    Check {
        id: "L1",
        title: "single file on a loop 24 in wide",
        source: "Seyfried et al. 2005, J. Stat. Mech. P10002: h = 0.36 m + 1.06 s v",
        known: Known::Memory,
        slow: true,
        measure: single_file,
        ..W
    },
    Check {
        id: "F1",
        title: "one way through a corridor 1.8 m wide, free pace 1.5 m/s",
        source: "HERMES 2009, Jülich open data",
        known: Known::Derived,
        slow: true,
        measure: one_way,
        ..W
    },
    Check {
        id: "F2",
        title: "two ways through a corridor 3.0 m wide, free pace 1.5 m/s",
        source: "HERMES 2009, Jülich open data",
        known: Known::Derived,
        slow: true,
        measure: two_way,
        ..W
    },
    Check {
        id: "F3",
        kind: Kind::Report,
        title: "one way, free pace 1.34 m/s, beside Weidmann's curve",
        source: "Weidmann 1993",
        known: Known::Memory,
        slow: true,
        measure: beside_weidmann,
        ..W
    },
];

/// Seconds for 40 m along corridors turned by so many degrees.
fn forty_meters(
    angles: &[f64],
    pace: &str,
    what: &str,
    expected: Expected,
) -> Result<Vec<Row>, String> {
    let script = script("[arrivals]\nthrough = \"corridor door\"")
        + &group(1, "outside", pace, &["far end"]);
    angles
        .iter()
        .map(|&degrees| {
            let time = time_for_40_m(&corridor(42.0, degrees), &script, degrees)?;
            let what = if what == "turned" { format!("{degrees}°") } else { what.to_string() };
            Ok(Row::exact(what, "s", expected, time))
        })
        .collect()
}

fn time_for_40_m(plan: &str, script: &str, degrees: f64) -> Result<f64, String> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let lab = Lab::new(plan, script)?;
    let along = |from: f64| move |x: f64, y: f64| x * cos + y * sin - from;
    let times = lab.trials(1, 1, |_, paths| {
        Some(paths.first()?.crosses(along(41.0))? - paths.first()?.crosses(along(1.0))?)
    });
    Ok(times.first().copied().flatten().unwrap_or(f64::NAN))
}

/// Seconds from end to end of a flight 8 m long on the plan that rises 6 m.
fn ten_meters_of_stairs() -> Result<Vec<Row>, String> {
    let plan = two_levels("2m", "8m", "6m");
    let walk = |through: &str, stop: &str, up: f64| -> Result<f64, String> {
        let text = script(&format!("[arrivals]\nthrough = \"{through}\""))
            + &group(1, "outside", "1m/s", &[stop])
            + "stair_pace = \"1m/s\"\n";
        let lab = Lab::new(&plan, &text)?;
        let plan = &lab.world.plan;
        let [_, foot, _, head] = plan.rooms[plan.stairs[0].rooms[0]].bounds();
        let (first, last) = if up > 0.0 { (foot, head) } else { (head, foot) };
        let passes = |line: f64| move |_: f64, y: f64| (plan.true_y(y) - line) * up;
        let times = lab.trials(1, 1, |_, paths| {
            Some(paths.first()?.crosses(passes(last))? - paths.first()?.crosses(passes(first))?)
        });
        Ok(times.first().copied().flatten().unwrap_or(f64::NAN))
    };
    let expected = Expected::within(10.0, 0.02);
    Ok(vec![
        Row::exact("up", "s", expected, walk("lower door", "upper room", 1.0)?),
        Row::exact("down", "s", expected, walk("upper door", "lower room", -1.0)?),
    ])
}

fn half_the_cell() -> Result<Vec<Row>, String> {
    let walk = |cell: &str| {
        let text =
            script(&format!("[arrivals]\nthrough = \"corridor door\"\n[model]\ncell = \"{cell}\""))
                + &group(1, "outside", "1m/s", &["far end"]);
        time_for_40_m(&corridor(42.0, 22.5), &text, 22.5)
    };
    let door = |cell: &str| -> Result<f64, String> {
        let text = script(&format!("[model]\ncell = \"{cell}\""))
            + &group(150, "waiting room", "1.5m/s", &["leave"]);
        let lab = Lab::new(&exit(2.4, 4.0, 1.2, "style = \"cased\""), &text)?;
        let flows = lab.trials(1, 8, |_, paths| {
            flow(paths.iter().filter_map(|p| p.crosses(|_, y| y - 14.1)).collect())
        });
        Ok(over_trials(&flows).value)
    };
    let (a, b, c, d) = (walk("3in")?, walk("1.5in")?, door("3in")?, door("1.5in")?);
    Ok(vec![
        Row::exact("walk", "s", Expected::within(a, 0.01), b),
        Row::exact("flow through 1.2 m", "people/s", Expected::within(c, 0.05), d),
    ])
}

/// The p-value of Kolmogorov and Smirnov's test of drawn paces against the cut normal law.
fn paces() -> Result<Vec<Row>, String> {
    const N: u32 = 100_000;
    let [mean, sd, low, high] = PACE;
    let normal = Normal::new(mean, sd).map_err(|e| e.to_string())?;
    let (from, to) = (normal.cdf(low), normal.cdf(high));
    let mut drawn: Vec<f64> =
        (0..N).map(|person| pace(Key { seed: 1, trial: 0, person }, &Mix::default())).collect();
    drawn.sort_by(f64::total_cmp);
    let law = |v: f64| (normal.cdf(v) - from) / (to - from);
    let n = f64::from(N);
    let distance = drawn
        .iter()
        .enumerate()
        .map(|(i, &v)| (law(v) - i as f64 / n).abs().max(((i + 1) as f64 / n - law(v)).abs()))
        .fold(0.0, f64::max);
    Ok(vec![Row::exact("p-value", "", Expected::AtLeast(0.01), kolmogorov(distance * n.sqrt()))])
}

/// P(K > x) of Kolmogorov's law: 2 sum (-1)^(k-1) exp(-2 k² x²).
fn kolmogorov(x: f64) -> f64 {
    let term =
        |k: i32| (if k % 2 == 1 { 2.0 } else { -2.0 }) * (-2.0 * f64::from(k * k) * x * x).exp();
    (1..=100).map(term).sum::<f64>().clamp(0.0, 1.0)
}

fn corner() -> Result<Vec<Row>, String> {
    let plan = format!(
        "{}room = [{{ name = \"corner\", use = \"other\", at = [0, 0], outline = [[0, 0], [12, 0], [12, 12], [10, 12], [10, 2], [0, 2]] }},\n\
                   {{ name = \"start\", use = \"other\", size = [\"4m\", \"5m\"], west_of = \"corner\", offset = \"-1.5m\" }}]\n\
         opening = [{{ joins = [\"start\", \"corner\"], style = \"cased\", width = \"2m\" }},\n\
                    {{ name = \"end\", joins = [\"outside\", \"corner\"], wall = \"north\", style = \"cased\", width = \"2m\" }}]\n",
        plans::METRES
    );
    let lab = Lab::new(
        &plan,
        &(script("[arrivals]\nthrough = \"end\"") + &group(20, "start", "drawn", &["leave"])),
    )?;
    let tallies = lab.checked(1, 10);
    let least = |f: fn(&crate::crowd::measure::Tally) -> f64| {
        tallies.iter().map(f).fold(f64::INFINITY, f64::min)
    };
    Ok(vec![
        Row::exact("nearest two bodies", "m", Expected::AtLeast(0.224), least(|t| t.nearest)),
        Row::exact(
            "nearest body to a wall",
            "m",
            Expected::AtLeast(0.107),
            least(|t| t.nearest_wall),
        ),
        Row::exact(
            "arrived of 20",
            "",
            Expected::Between(20.0, 20.0),
            least(|t| f64::from(t.left)),
        ),
    ])
}

/// Seconds before a loop is looked at, and for how long.
const SETTLES: f64 = 60.0;
const LOOKED_AT: f64 = 120.0;
/// Seconds between looks.
const EVERY: f64 = 2.0;

/// Speed against density in the south run of a loop, both measured there; densities of the whole
/// loop as set.
fn single_file() -> Result<Vec<Row>, String> {
    let way = Loop { width: 0.6096, straight: 14.0, radius: 1.5 };
    let (w, s, e, n) = way.south_run();
    let run = Field(w + 1.0, s, e - 1.0, n);
    let length = e - w - 2.0;
    let law = |density: f64| ((1.0 / density - 0.36) / 1.06).min(1.24);
    [0.75, 1.0, 1.25, 1.5, 1.75]
        .iter()
        .map(|&density| {
            let people = (density * way.length()).round() as u32;
            let lab =
                Lab::new(&way.plan(), &way.script(people, &[1.24], SETTLES + LOOKED_AT, false))?;
            let found = lab.trials(1, 8, |_, paths| {
                let speeds: Vec<f64> = looks()
                    .flat_map(|t| paths.iter().filter_map(move |p| run.eastward(p, t)))
                    .collect();
                let n = speeds.len() as f64;
                (n / looks().count() as f64 / length, speeds.iter().sum::<f64>() / n)
            });
            let there = over_trials(&found.iter().map(|f| f.0).collect::<Vec<_>>()).value;
            let speed = over_trials(&found.iter().map(|f| f.1).collect::<Vec<_>>());
            let tolerance = if there <= 1.25 { 0.03 } else { 0.10 };
            Ok(Row::new(
                format!("{there:.2} people/m"),
                "m/s",
                Expected::Near(law(there), tolerance, tolerance),
                speed,
            ))
        })
        .collect()
}

/// Moments at which a loop is looked at.
fn looks() -> impl Iterator<Item = f64> {
    moments(SETTLES, SETTLES + LOOKED_AT - 1.0, EVERY)
}

/// Five paces in turn about a mean, with the standard deviation of the walkers of HERMES (0.17 m/s;
/// about 1.5 m/s).
fn paces_about(mean: f64) -> [f64; 5] {
    const SD: f64 = 0.17;
    // means of the fifths of a normal law
    [-1.400, -0.532, 0.0, 0.532, 1.400].map(|z| (mean + z * SD).max(0.5))
}

/// A density is read from loops filled at most this many times as densely: fuller ones are thin
/// only where a jam has just let go.
const FULLER: f64 = 1.6;

/// Mean speed by density in a field of a loop, over runs with more and more people.
fn speeds_by_density(
    way: Loop,
    free: f64,
    both_ways: bool,
    runs: &[f64],
    bins: &[f64],
) -> Result<Vec<(f64, Estimate)>, String> {
    let (w, s, e, n) = way.south_run();
    let middle = (w + e) / 2.0;
    let half = if both_ways { 1.5 } else { 1.0 };
    let field = Field(middle - half, s, middle + half, n);
    let area = way.length() * way.width;
    let mut by_trial: Vec<Vec<Vec<f64>>> = vec![];
    for &density in runs {
        let people = (density * area).floor() as u32;
        let lab = Lab::new(
            &way.plan(),
            &way.script(people, &paces_about(free), SETTLES + LOOKED_AT, both_ways),
        )?;
        by_trial.extend(lab.trials(1, trials(both_ways), |_, paths| {
            let mut by_bin = vec![vec![]; bins.len()];
            for t in looks() {
                let (there, speed) = field.state(paths, t);
                let nearest = (0..bins.len())
                    .min_by(|a, b| (bins[*a] - there).abs().total_cmp(&(bins[*b] - there).abs()));
                if let (Some(bin), Some(speed)) = (
                    nearest.filter(|&b| {
                        (bins[b] - there).abs() <= 0.25 && density <= FULLER * bins[b]
                    }),
                    speed,
                ) {
                    by_bin[bin].push(speed);
                }
            }
            by_bin
        }));
    }
    let of_bin = |bin: usize| -> Vec<f64> {
        by_trial
            .iter()
            .filter(|l| l[bin].len() >= 3)
            .map(|l| l[bin].iter().sum::<f64>() / l[bin].len() as f64)
            .collect()
    };
    Ok(bins.iter().enumerate().map(|(i, &b)| (b, over_trials(&of_bin(i)))).collect())
}

/// Trials of each density. Dense streams that meet lock on some evenings and not on others: ten leave
/// their mean open by a quarter, sixty by less than a tenth.
fn trials(both_ways: bool) -> u32 {
    if both_ways { 60 } else { 10 }
}

const HERMES_DENSITIES: [f64; 7] = [0.50, 0.97, 1.5, 2.0, 2.5, 2.93, 3.41];

/// A row of HERMES: ± 0.20 m/s to 1.5 people/m², ± 25 % above.
fn hermes(expected: &[f64], found: &[(f64, Estimate)]) -> Vec<Row> {
    let row = |(v, (d, e)): (&f64, &(f64, Estimate))| {
        let tolerance = if *d <= 1.5 { 0.20 } else { 0.25 * v };
        Row::new(format!("{d:.2} people/m2"), "m/s", Expected::Near(*v, tolerance, tolerance), *e)
    };
    expected.iter().zip(found).map(row).collect()
}

fn one_way() -> Result<Vec<Row>, String> {
    let way = Loop { width: 1.8, straight: 10.0, radius: 3.0 };
    let found = speeds_by_density(
        way,
        1.5,
        false,
        &[0.4, 0.7, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.9, 3.3],
        &HERMES_DENSITIES,
    )?;
    Ok(hermes(&[1.41, 1.26, 0.99, 0.70, 0.45, 0.36, 0.35], &found))
}

fn two_way() -> Result<Vec<Row>, String> {
    let way = Loop { width: 3.0, straight: 10.0, radius: 3.0 };
    let found = speeds_by_density(
        way,
        1.5,
        true,
        &[0.4, 0.7, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.9],
        &HERMES_DENSITIES[..6],
    )?;
    Ok(hermes(&[1.40, 1.19, 0.93, 0.72, 0.51, 0.45], &found))
}

/// v(D) = 1.34 (1 - exp(-1.913 (1/D - 1/5.4))) of Weidmann 1993.
fn weidmann(density: f64) -> f64 {
    1.34 * (1.0 - (-1.913 * (1.0 / density - 1.0 / 5.4)).exp())
}

fn beside_weidmann() -> Result<Vec<Row>, String> {
    let way = Loop { width: 2.4, straight: 10.0, radius: 3.0 };
    let densities = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0];
    let found = speeds_by_density(
        way,
        1.34,
        false,
        &[0.4, 0.7, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.9],
        &densities,
    )?;
    let mut rows: Vec<Row> = found
        .iter()
        .map(|(d, e)| {
            Row::new(format!("{d:.1} people/m2"), "m/s", Expected::Beside(weidmann(*d)), *e)
        })
        .collect();
    if let Some((d, e)) = found
        .iter()
        .filter(|(_, e)| e.value.is_finite())
        .max_by(|a, b| (a.0 * a.1.value).total_cmp(&(b.0 * b.1.value)))
    {
        rows.push(Row::new(
            format!("highest flow, at {d:.1} people/m2"),
            "people/(m s)",
            Expected::Beside(1.225),
            e.scaled(*d),
        ));
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kolmogorov's law: 5 % at 1.3581, 1 % at 1.6276 (standard tables, from memory).
    #[test]
    fn kolmogorovs_law_has_its_table_values() {
        assert!((kolmogorov(1.3581) - 0.05).abs() < 1e-4);
        assert!((kolmogorov(1.6276) - 0.01).abs() < 1e-4);
    }
}
