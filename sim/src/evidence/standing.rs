//! Do guests stand as people do, and does nobody overlap? The demos, and rooms of people who talk.

use super::lab::{Lab, over_trials};
use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::units::seconds;
use crate::crowd::bodies::Doing;
use crate::crowd::measure::Tally;
use crate::files::Asked;

const P: Check = Check {
    id: "",
    question: Question::People,
    kind: Kind::Report,
    title: "",
    source: "",
    known: Known::Derived,
    slow: true,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "U2",
        kind: Kind::Gate,
        question: Question::Passing,
        title: "50 evenings of each demo: nobody overlaps, nobody is in a wall, everybody goes home, nobody is stuck or gets nowhere for 2 min",
        source: "the rules of the model",
        known: Known::Computed,
        measure: hard_facts,
        ..P
    },
    Check {
        id: "P3",
        title: "radius of talking circles of 2 to 5 in a demo",
        source: "open party data",
        measure: circles,
        ..P
    },
    Check {
        id: "P4",
        title: "18 guests mingling in 6.5 m by 6 m: distance to the nearest other",
        source: "open party data",
        measure: mingling,
        ..P
    },
];

const ROW_HOUSE: &str = include_str!("../../../scenarios/row-house.toml");
const RANCH: &str = include_str!("../../../scenarios/ranch.toml");

/// The demos by name.
pub(super) fn demos() -> Result<Vec<(&'static str, Lab)>, String> {
    let demos = [
        ("winter cocktails", ROW_HOUSE, include_str!("../../../scenarios/winter-cocktails.toml")),
        ("buffet dinner", ROW_HOUSE, include_str!("../../../scenarios/buffet-dinner.toml")),
        ("summer evening", RANCH, include_str!("../../../scenarios/summer-evening.toml")),
    ];
    demos.into_iter().map(|(name, plan, scenario)| Ok((name, Lab::new(plan, scenario)?))).collect()
}

fn hard_facts() -> Result<Vec<Row>, String> {
    let mut rows = vec![];
    for (name, lab) in demos()? {
        let tallies = lab.checked(2, 50);
        let least = |f: fn(&Tally) -> f64| tallies.iter().map(f).fold(f64::INFINITY, f64::min);
        let sum = |f: fn(&Tally) -> u32| tallies.iter().map(f).sum::<u32>();
        let guests = f64::from(lab.world.scenario.guests);
        rows.push(Row::exact(
            format!("{name}, nearest two bodies"),
            "m",
            Expected::AtLeast(0.224),
            least(|t| t.nearest),
        ));
        rows.push(Row::exact(
            format!("{name}, nearest body to a wall"),
            "m",
            Expected::AtLeast(0.107),
            least(|t| t.nearest_wall),
        ));
        rows.push(Row::exact(
            format!("{name}, fewest who came and went"),
            "",
            Expected::Between(guests, guests),
            least(|t| f64::from(t.came.min(t.left))),
        ));
        rows.push(Row::exact(
            format!("{name}, stuck"),
            "",
            Expected::Between(0.0, 0.0),
            f64::from(sum(|t| t.stuck)),
        ));
        let wedged = tallies.iter().map(|t| t.wedged).max().unwrap_or(0);
        rows.push(Row::exact(
            format!("{name}, longest in one place while under way"),
            "s",
            Expected::AtMost(120.0),
            f64::from(wedged),
        ));
    }
    Ok(rows)
}

/// Where everybody who talks stands at a moment.
fn talkers(paths: &[super::lab::Path], second: f64) -> Vec<(f64, f64)> {
    let talks = |p: &&super::lab::Path| {
        let rows = p.rows();
        let after = rows.partition_point(|r| seconds(r.at) <= second);
        after > 0 && after < rows.len() && rows[after - 1].doing == Doing::Talk
    };
    paths.iter().filter(talks).filter_map(|p| p.at(second)).collect()
}

fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Talkers within this many meters of one another are taken for one circle: neighbors in a circle
/// of five stand 0.9 m apart, the two sides of a circle of two as well.
const ONE_CIRCLE: f64 = 1.25;

/// People joined by steps of [`ONE_CIRCLE`].
fn clusters(people: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    let mut left: Vec<(f64, f64)> = people.to_vec();
    let mut found = vec![];
    while let Some(first) = left.pop() {
        let mut cluster = vec![first];
        let mut next = 0;
        while next < cluster.len() {
            let (near, far): (Vec<_>, Vec<_>) =
                left.iter().partition(|p| apart(**p, cluster[next]) <= ONE_CIRCLE);
            cluster.extend(near);
            left = far;
            next += 1;
        }
        found.push(cluster);
    }
    found
}

fn circles() -> Result<Vec<Row>, String> {
    let scenario = include_str!("../../../scenarios/summer-evening.toml");
    let lab = Lab::asked(RANCH, scenario, &Asked { guests: Some(14), ..Asked::default() })?;
    let lead = lab.world.scenario.lead();
    let found = lab.trials(1, 20, |_, paths| {
        let mut by_size: [Vec<f64>; 6] = Default::default();
        for second in super::lab::moments(lead + 4200.0, lead + 9000.0, 300.0) {
            for c in
                clusters(&talkers(paths, second)).into_iter().filter(|c| (2..=5).contains(&c.len()))
            {
                let n = c.len() as f64;
                let middle = (
                    c.iter().map(|p| p.0).sum::<f64>() / n,
                    c.iter().map(|p| p.1).sum::<f64>() / n,
                );
                by_size[c.len()].push(c.iter().map(|p| apart(*p, middle)).sum::<f64>() / n);
            }
        }
        by_size
    });
    let published = [(2, 0.45), (3, 0.58), (4, 0.67), (5, 0.77)];
    let of_size =
        |size: usize| found.iter().flat_map(|f| f[size].iter().copied()).collect::<Vec<f64>>();
    Ok(published
        .iter()
        .map(|&(size, radius)| (size, radius, of_size(size)))
        .filter(|(.., radii)| !radii.is_empty())
        .map(|(size, radius, radii)| {
            Row::new(format!("{size} people"), "m", Expected::Beside(radius), over_trials(&radii))
        })
        .collect())
}

/// One room of 6.5 m by 6 m with nothing in it, and people who came to talk.
const MINGLING: &str = "format = 1\nunits = \"m\"\nroom = [{ name = \"living room\", size = [\"6.5m\", \"6m\"] }]\n\
    opening = [{ joins = [\"outside\", \"living room\"], wall = \"south\" }]\n";

fn mingling() -> Result<Vec<Row>, String> {
    let lab = Lab::new(
        MINGLING,
        "format = 1\nplan = \"plan.toml\"\noccasion = \"cocktails\"\nguests = 18\nhosts = 0\nlasts = \"3h\"\nstart = \"7pm\"\n[arrivals]\ntimes = [\"7pm\"]\n",
    )?;
    let lead = lab.world.scenario.lead();
    let nearest = lab.trials(1, 20, |_, paths| {
        let mut all: Vec<f64> = vec![];
        for second in super::lab::moments(lead + 1200.0, lead + 7200.0, 300.0) {
            let people: Vec<(f64, f64)> = paths.iter().filter_map(|p| p.at(second)).collect();
            let others =
                |i: usize| people.iter().enumerate().filter(move |(j, _)| *j != i).map(|(_, q)| *q);
            all.extend(
                (0..people.len())
                    .map(|i| others(i).map(|q| apart(q, people[i])).fold(f64::INFINITY, f64::min)),
            );
        }
        all
    });
    let mut all = nearest.concat();
    all.sort_by(f64::total_cmp);
    let at = |p: f64| {
        all.get(((all.len() as f64 * p) as usize).min(all.len().saturating_sub(1)))
            .copied()
            .unwrap_or(f64::NAN)
    };
    Ok(vec![
        Row::exact("5%", "m", Expected::Beside(0.39), at(0.05)),
        Row::exact("median", "m", Expected::Beside(0.60), at(0.50)),
        Row::exact("95%", "m", Expected::Beside(0.91), at(0.95)),
    ])
}
