//! Do people get past one another, whatever the order? Meetings in halls, crowds against crowds,
//! the order of updates.

use super::lab::plans::{METRES, crossing, exit, group, script, two_rooms_and_a_hall};
use super::lab::{Field, Lab, Path, flow, moments, over_trials};
use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::stats::Estimate;

const R: Check = Check {
    id: "",
    question: Question::Passing,
    kind: Kind::Gate,
    title: "",
    source: "IMO MSC.1/Circ.1533",
    known: Known::Memory,
    slow: true,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "R1",
        title: "two people meet in a hall: delay at each width no more than at the narrower one and 0.1 s",
        source: "body sizes of ANSUR II",
        known: Known::Derived,
        measure: two_meet,
        ..R
    },
    Check {
        id: "R1b",
        title: "two meet in a lane of 20 in by 8 ft: one backs out, both arrive",
        source: "the ladder always ends",
        known: Known::Computed,
        slow: false,
        measure: too_narrow,
        ..R
    },
    Check {
        id: "D4",
        title: "150 people at an opening of 0.50 m",
        source: "the ladder always ends",
        known: Known::Computed,
        measure: narrow_opening,
        ..R
    },
    Check {
        id: "R6",
        title: "ten against ten through a house door, 26 to 34 in in clear, 20 seeds: all arrive",
        source: "the ladder always ends",
        known: Known::Computed,
        measure: through_a_door,
        ..R
    },
    Check {
        id: "R2",
        title: "ten against ten in 8 m of hall, 100 seeds: the narrower, the longer",
        source: "order by width",
        known: Known::Computed,
        measure: ten_against_ten,
        ..R
    },
    Check {
        id: "R3",
        title: "100 people against 0, 10, 50, 100 through 2 m by 10 m",
        source: "IMO MSC.1/Circ.1533 test 8",
        measure: against_more,
        ..R
    },
    Check {
        id: "R7",
        title: "67 people in a corridor of 2 m, split 67:0, 45:22, 34:33: both flows together against the flow one way",
        source: "larger than one way: Kretz et al. 2006, J. Stat. Mech. P10001; 4% less at half and half: Navin & Wheeler 1969 in Buchmueller & Weidmann 2006, from memory",
        known: Known::Seen,
        measure: both_ways,
        ..R
    },
    Check {
        id: "R4",
        title: "half the exits of a room of 1,000",
        source: "IMO MSC.1/Circ.1533 test 9",
        measure: half_the_exits,
        ..R
    },
    Check {
        id: "R5",
        title: "150 people through two narrowings in a row: the jam is at the first",
        source: "RiMEA test 12",
        measure: two_narrowings,
        ..R
    },
    Check {
        id: "U1",
        title: "order of updates reversed, 200 paired seeds of ten against ten in 48 in: change of the mean delay",
        source: "IMO MSC.1/Circ.1533, clause on the order of updates",
        known: Known::Seen,
        measure: order_reversed,
        ..R
    },
];

/// Delays of everybody in each trial of a crossing: time to cross less the time alone, at 1.1 m/s.
fn delays(
    width: &str,
    north: u32,
    south: u32,
    trials: u32,
    more: &str,
) -> Result<Vec<Vec<f64>>, String> {
    const PACE: &str = "1.1m/s";
    let plan = two_rooms_and_a_hall(width, "8m");
    let model = format!("plan.toml\"\n[model]\nends = \"10min\"\n{more}\n");
    let lab = Lab::new(&plan, &crossing(north, south, PACE).replacen("plan.toml\"\n", &model, 1))?;
    let one = Lab::new(&plan, &crossing(1, 0, PACE))?;
    let alone =
        over_trials(&one.trials(1, 20, |_, paths| paths.iter().map(crossing_time).sum::<f64>()))
            .value;
    Ok(lab.trials(1, trials, |_, paths| paths.iter().map(|p| crossing_time(p) - alone).collect()))
}

/// Mean delay of each trial.
fn means(delays: &[Vec<f64>]) -> Vec<f64> {
    delays.iter().map(|d| d.iter().sum::<f64>() / d.len() as f64).collect()
}

/// Seconds from one end of the hall to the other; a crossing that never ended is not a number.
fn crossing_time(path: &Path) -> f64 {
    // the hall lies between y = 5.1 and y = 13.1
    let north =
        path.crosses(|_, y| y - 5.05).zip(path.crosses(|_, y| y - 13.15)).map(|(a, b)| b - a);
    let south =
        path.crosses(|_, y| 13.15 - y).zip(path.crosses(|_, y| 5.05 - y)).map(|(a, b)| b - a);
    north.or(south).unwrap_or(f64::NAN)
}

fn two_meet() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    let mut narrower = f64::INFINITY;
    let mut by_width = vec![];
    for inches in [27, 30, 36, 42, 48, 60] {
        let found = delays(&format!("{inches}in"), 1, 1, 200, "")?;
        let mean = over_trials(&means(&found));
        let expected = if narrower.is_finite() {
            Expected::AtMost(narrower + 0.1)
        } else {
            Expected::AtLeast(0.0)
        };
        rows.push(Row::new(format!("{inches} in"), "s", expected, mean));
        narrower = mean.value;
        by_width.push((inches, mean.value));
    }
    let at = |w: i32| by_width.iter().find(|b| b.0 == w).map_or(f64::NAN, |b| b.1);
    rows.push(Row::exact("36 in less 42 in", "s", Expected::AtLeast(0.0), at(36) - at(42)));
    Ok(rows)
}

fn too_narrow() -> Result<Vec<Row>, String> {
    let lab = Lab::new(&two_rooms_and_a_hall("20in", "2.4m"), &crossing(1, 1, "1.2m/s"))?;
    let across = lab.trials(1, 20, |_, paths| {
        let crossed = |p: &&Path| matches!((p.rows().first(), p.rows().last()), (Some(a), Some(b)) if (a.y < 5.05) != (b.y < 5.05));
        (paths.iter().filter(crossed).count(), paths.iter().map(|p| p.walking_time()).fold(0.0, f64::max))
    });
    let arrived = across.iter().map(|a| a.0).min().unwrap_or(0);
    let longest = across.iter().map(|a| a.1).fold(0.0, f64::max);
    Ok(vec![
        Row::exact(
            "arrived of 2, fewest of 20 trials",
            "",
            Expected::Between(2.0, 2.0),
            arrived as f64,
        ),
        Row::exact("longest walk", "s", Expected::Nothing, longest),
    ])
}

fn ten_against_ten() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    let mut wider: Option<(f64, f64)> = None;
    for inches in [48, 42, 36] {
        let found = delays(&format!("{inches}in"), 10, 10, 100, "")?;
        let mean = over_trials(&means(&found));
        let mut all: Vec<f64> = found.concat();
        all.sort_by(f64::total_cmp);
        let p95 = all[(all.len() * 95 / 100).min(all.len() - 1)];
        let (a, b) = wider.map_or((Expected::Nothing, Expected::Nothing), |w| {
            (Expected::AtLeast(w.0), Expected::AtLeast(w.1))
        });
        rows.push(Row::new(format!("{inches} in, mean delay"), "s", a, mean));
        rows.push(Row::exact(format!("{inches} in, 95th percentile"), "s", b, p95));
        wider = Some((mean.value, p95));
    }
    Ok(rows)
}

fn narrow_opening() -> Result<Vec<Row>, String> {
    let text =
        script("[model]\nends = \"20min\"") + &group(150, "waiting room", "1.5m/s", &["leave"]);
    let lab = Lab::new(&exit(2.4, 4.0, 0.5, "style = \"cased\""), &text)?;
    let found = lab.trials(1, 40, |_, paths| {
        let times: Vec<f64> = paths.iter().filter_map(|p| p.crosses(|_, y| y - 14.1)).collect();
        (times.len() as f64, times.iter().copied().fold(0.0, f64::max))
    });
    let last = over_trials(&found.iter().map(|f| f.1).collect::<Vec<_>>());
    let fewest = found.iter().map(|f| f.0).fold(f64::INFINITY, f64::min);
    Ok(vec![
        Row::exact(
            "through of 150, fewest of 40 trials",
            "",
            Expected::Between(150.0, 150.0),
            fewest,
        ),
        Row::new("last one through", "s", Expected::Nothing, last),
    ])
}

/// Two rooms of 6 m by 5 m joined by a door of a clear width.
fn two_rooms_and_a_door(inches: u32) -> String {
    format!(
        "{METRES}room = [\n\
           {{ name = \"south room\", use = \"other\", size = [\"6m\", \"5m\"] }},\n\
           {{ name = \"north room\", use = \"other\", size = [\"6m\", \"5m\"], north_of = \"south room\" }},\n\
         ]\n\
         opening = [\n\
           {{ joins = [\"outside\", \"south room\"], wall = \"south\" }},\n\
           {{ joins = [\"south room\", \"north room\"], style = \"cased\", clear = \"{inches}in\" }},\n\
         ]\n"
    )
}

fn through_a_door() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    for inches in [34, 32, 30, 28, 26] {
        let text = crossing(10, 10, "1.1m/s").replacen(
            "plan.toml\"\n",
            "plan.toml\"\n[model]\nends = \"10min\"\n",
            1,
        );
        let lab = Lab::new(&two_rooms_and_a_door(inches), &text)?;
        let found = lab.trials(1, 20, |_, paths| {
            let times: Vec<f64> = paths
                .iter()
                .filter_map(|p| p.crosses(|_, y| y - 5.05).or_else(|| p.crosses(|_, y| 5.05 - y)))
                .collect();
            (times.len() as f64, times.iter().copied().fold(0.0, f64::max))
        });
        let last = over_trials(&found.iter().map(|f| f.1).collect::<Vec<_>>());
        let fewest = found.iter().map(|f| f.0).fold(f64::INFINITY, f64::min);
        rows.push(Row::exact(
            format!("{inches} in, arrived of 20, fewest of 20 trials"),
            "",
            Expected::Between(20.0, 20.0),
            fewest,
        ));
        rows.push(Row::new(format!("{inches} in, last one through"), "s", Expected::Nothing, last));
    }
    Ok(rows)
}

/// Two rooms of 10 m by 10 m joined by a corridor of 2 m by 10 m.
fn two_halls() -> String {
    format!(
        "{METRES}room = [\n\
           {{ name = \"south room\", use = \"other\", size = [\"10m\", \"10m\"] }},\n\
           {{ name = \"passage\", use = \"other\", size = [\"2m\", \"10m\"], north_of = \"south room\", offset = \"4m\" }},\n\
           {{ name = \"north room\", use = \"other\", size = [\"10m\", \"10m\"], north_of = \"passage\", offset = \"-4m\" }},\n\
         ]\n\
         opening = [\n\
           {{ joins = [\"outside\", \"south room\"], wall = \"south\" }},\n\
           {{ joins = [\"south room\", \"passage\"], style = \"cased\", width = \"2m\" }},\n\
           {{ joins = [\"passage\", \"north room\"], style = \"cased\", width = \"2m\" }},\n\
         ]\n"
    )
}

/// Share of its flow a corridor loses at most when half of the people come the other way (Navin &
/// Wheeler 1969, from memory).
const OPPOSED: f64 = 0.04;

/// People a second through the middle of a corridor, both ways together.
fn both_ways() -> Result<Vec<Row>, String> {
    let plan = two_rooms_and_a_hall("2m", "10m");
    let mut rows = vec![];
    let mut one_way = Expected::Nothing;
    for (north, south) in [(67, 0), (45, 22), (34, 33)] {
        let lab = Lab::new(&plan, &crossing(north, south, "1.34m/s"))?;
        let flows = lab.trials(1, 20, |_, paths| {
            let northward =
                paths.iter().filter_map(|p| p.crosses(|_, y| y - 10.1)).collect::<Vec<f64>>();
            let southward =
                paths.iter().filter_map(|p| p.crosses(|_, y| 10.1 - y)).collect::<Vec<f64>>();
            [northward, southward].into_iter().filter(|way| !way.is_empty()).map(flow).sum::<f64>()
        });
        let sum = over_trials(&flows);
        rows.push(Row::new(format!("{north}:{south}"), "people/s", one_way, sum));
        one_way = if south == 0 { Expected::AtLeast((1.0 - OPPOSED) * sum.value) } else { one_way };
    }
    Ok(rows)
}

fn against_more() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    let mut fewer = 0.0;
    for others in [0, 10, 50, 100] {
        let lab = Lab::new(
            &two_halls(),
            &crossing(100, others, "1.2m/s").replacen(
                "plan.toml\"\n",
                "plan.toml\"\n[model]\nends = \"15min\"\n",
                1,
            ),
        )?;
        let found = lab.trials(1, 4, |_, paths| {
            let northward = paths.iter().filter(|p| p.rows().first().is_some_and(|r| r.y < 10.0));
            let times: Vec<Option<f64>> = northward.map(|p| p.crosses(|_, y| y - 20.2)).collect();
            let arrived = times.iter().flatten().count();
            (times.into_iter().flatten().fold(0.0, f64::max), arrived)
        });
        let last = over_trials(&found.iter().map(|f| f.0).collect::<Vec<_>>());
        let arrived = found.iter().map(|f| f.1).min().unwrap_or(0);
        rows.push(Row::new(
            format!("against {others}, last of 100 through"),
            "s",
            Expected::AtLeast(fewer),
            last,
        ));
        rows.push(Row::exact(
            format!("against {others}, arrived of 100"),
            "",
            Expected::Between(100.0, 100.0),
            arrived as f64,
        ));
        fewer = last.value;
    }
    Ok(rows)
}

/// A hall of 30 m by 20 m in four quarters, each with an exit of 1 m to a yard of its own.
fn hall_with_yards() -> String {
    let mut text = format!("{METRES}room = [\n");
    for (name, x, y) in [
        ("south-west", 0.0, 20.1),
        ("south-east", 15.1, 20.1),
        ("north-west", 0.0, 30.2),
        ("north-east", 15.1, 30.2),
    ] {
        let yard = if y > 25.0 { 40.3 } else { 0.0 };
        text += &format!(
            "  {{ name = \"{name}\", use = \"other\", at = [{x}, {y}], size = [\"15m\", \"10m\"] }},\n"
        );
        text += &format!(
            "  {{ name = \"{name} yard\", use = \"other\", at = [{x}, {yard}], size = [\"15m\", \"20m\"] }},\n"
        );
    }
    text += "]\nopening = [\n  { joins = [\"outside\", \"south-west yard\"], wall = \"south\" },\n";
    for (a, b, width) in [
        ("south-west", "south-east", 10.0),
        ("north-west", "north-east", 10.0),
        ("south-west", "north-west", 15.0),
        ("south-east", "north-east", 15.0),
    ] {
        text += &format!(
            "  {{ joins = [\"{a}\", \"{b}\"], style = \"cased\", width = \"{width}m\" }},\n"
        );
    }
    for name in ["south-west", "south-east", "north-west", "north-east"] {
        text += &format!(
            "  {{ name = \"{name} exit\", joins = [\"{name}\", \"{name} yard\"], style = \"cased\", width = \"1m\" }},\n"
        );
    }
    text + "]\n"
}

fn half_the_exits() -> Result<Vec<Row>, String> {
    let empties = |yards: [&str; 4]| -> Result<Estimate, String> {
        let quarters = ["south-west", "south-east", "north-west", "north-east"];
        let groups: String = quarters
            .iter()
            .zip(yards)
            .map(|(q, y)| group(250, q, "drawn", &[&format!("{y} yard")]))
            .collect();
        let lab = Lab::new(&hall_with_yards(), &(script("") + &groups))?;
        let out = |p: &Path| p.crosses(|_, y| if y > 30.15 { y - 40.3 } else { 20.0 - y });
        Ok(over_trials(&lab.trials(1, 2, |_, paths| {
            if paths.iter().all(|p| out(p).is_some()) {
                paths.iter().filter_map(out).fold(0.0, f64::max)
            } else {
                f64::NAN
            }
        })))
    };
    let four = empties(["south-west", "south-east", "north-west", "north-east"])?;
    let two = empties(["south-west", "south-east", "south-west", "south-east"])?;
    Ok(vec![
        Row::new("four exits, last one out", "s", Expected::Nothing, four),
        Row::new("two exits, last one out", "s", Expected::Nothing, two),
        Row::exact("ratio", "", Expected::Near(2.0, 0.2, 0.2), two.value / four.value),
    ])
}

fn two_narrowings() -> Result<Vec<Row>, String> {
    let plan = format!(
        "{METRES}room = [\n\
           {{ name = \"first room\", use = \"other\", size = [\"8m\", \"8m\"] }},\n\
           {{ name = \"second room\", use = \"other\", size = [\"8m\", \"8m\"], north_of = \"first room\" }},\n\
           {{ name = \"third room\", use = \"other\", size = [\"12m\", \"12m\"], north_of = \"second room\" }},\n\
         ]\n\
         opening = [\n\
           {{ joins = [\"outside\", \"first room\"], wall = \"south\" }},\n\
           {{ joins = [\"first room\", \"second room\"], style = \"cased\", width = \"1m\" }},\n\
           {{ joins = [\"second room\", \"third room\"], style = \"cased\", width = \"1m\" }},\n\
         ]\n"
    );
    let lab = Lab::new(&plan, &(script("") + &group(150, "first room", "drawn", &["third room"])))?;
    let before = |doorway: f64| Field(3.0, doorway - 2.0, 5.0, doorway);
    let crowds = lab.trials(1, 4, |_, paths| {
        let mean = |f: Field| {
            let states: Vec<f64> = moments(10.0, 60.0, 1.0).map(|t| f.state(paths, t).0).collect();
            states.iter().sum::<f64>() / states.len() as f64
        };
        (mean(before(8.0)), mean(before(16.1)))
    });
    let first = over_trials(&crowds.iter().map(|c| c.0).collect::<Vec<_>>());
    let second = over_trials(&crowds.iter().map(|c| c.1).collect::<Vec<_>>());
    Ok(vec![
        Row::new("before the first", "people/m2", Expected::Nothing, first),
        Row::new("before the second", "people/m2", Expected::AtMost(first.value / 2.0), second),
    ])
}

fn order_reversed() -> Result<Vec<Row>, String> {
    let of = |more: &str| delays("48in", 10, 10, 200, more).map(|all| means(&all));
    let (usual, reversed) = (of("")?, of("order = \"reversed\"")?);
    let mean = over_trials(&usual);
    let differences: Vec<f64> =
        usual.iter().zip(&reversed).map(|(a, b)| 100.0 * (b - a) / mean.value).collect();
    let change = over_trials(&differences);
    Ok(vec![
        Row::new("mean delay", "s", Expected::Nothing, mean),
        Row::exact("lower end of the change", "%", Expected::AtLeast(-3.0), change.low),
        Row::exact("upper end of the change", "%", Expected::AtMost(3.0), change.high),
    ])
}
