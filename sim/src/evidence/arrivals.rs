//! Do guests come and gather as people do? Arrivals, sizes of talk groups.

use super::{Check, Expected, Kind, Known, Question, Row};
use crate::base::chance::{Key, Purpose};
use crate::evening::guests::draw;
use crate::evening::scenario::{Arrivals, LEAD, Occasion, Scenario};
use statrs::distribution::{ChiSquared, ContinuousCDF};

const P: Check = Check {
    id: "",
    question: Question::People,
    kind: Kind::Gate,
    title: "",
    source: "",
    known: Known::Seen,
    slow: false,
    measure: || Ok(vec![]),
};

pub(super) const CHECKS: &[Check] = &[
    Check {
        id: "P1",
        title: "arrivals of 100,000 guests by the pooled curve (b = 104 min)",
        source: "W. Hickey 2014, 803 people at 26 gatherings",
        measure: curve,
        ..P
    },
    Check {
        id: "P2",
        title: "sizes of talk groups: drawn ones against their law, and a published table fitted again",
        source: "Coleman & James 1961",
        measure: group_sizes,
        ..P
    },
];

fn curve() -> Result<Vec<Row>, String> {
    let mut scenario = Scenario::of(Occasion::Cocktails, 1000);
    scenario.arrivals = Arrivals::curve(104.0, None);
    scenario.lasts = 10.0 * 3600.0;
    let mut minutes: Vec<f64> = (0..100)
        .flat_map(|trial| draw(&scenario, 1, trial))
        .map(|g| (g.arrives - LEAD) / 60.0)
        .collect();
    minutes.sort_by(f64::total_cmp);
    let n = minutes.len() as f64;
    let at = |p: f64| minutes[(n * p) as usize];
    let early = minutes.partition_point(|m| *m < 0.0) as f64 / n * 100.0;
    let late = (n - minutes.partition_point(|m| *m <= 240.0) as f64) / n * 100.0;
    Ok(vec![
        Row::exact("before the start", "%", Expected::Near(9.0, 2.0, 2.0), early),
        Row::exact("median", "min", Expected::Near(58.0, 4.0, 4.0), at(0.5)),
        Row::exact("upper quartile", "min", Expected::Near(90.0, 5.0, 5.0), at(0.75)),
        Row::exact("after 240 min", "%", Expected::Near(1.0, 1.0, 1.0), late),
    ])
}

fn group_sizes() -> Result<Vec<Row>, String> {
    const DRAWS: u32 = 100_000;
    let (rate, most) = (
        Scenario::of(Occasion::Cocktails, 10).talk.rate,
        Scenario::of(Occasion::Cocktails, 10).talk.most,
    );
    let mut counts = vec![0.0; most as usize];
    let mut stream = Key { seed: 1, trial: 0, person: 0 }.stream(Purpose::Talk, 0);
    for _ in 0..DRAWS {
        counts[stream.group_size(rate, most) as usize - 1] += 1.0;
    }
    let weight = |k: u32| rate.powi(k as i32) / (1..=k).map(f64::from).product::<f64>();
    // larger groups than the largest are cut to it
    let total = rate.exp() - 1.0;
    let below: f64 = (1..most).map(weight).sum();
    let expected = (1..=most)
        .map(|k| if k < most { weight(k) } else { total - below } / total * f64::from(DRAWS));
    let chi: f64 = counts.iter().zip(expected).map(|(o, e)| (o - e) * (o - e) / e).sum();
    let law = ChiSquared::new(f64::from(most - 1)).map_err(|e| e.to_string())?;
    Ok(vec![
        Row::exact("p-value of 100,000 draws", "", Expected::AtLeast(0.01), 1.0 - law.cdf(chi)),
        Row::exact(
            "rate fitted to 1486, 694, 195, 37, 10, 1",
            "",
            Expected::Near(0.8925, 0.0005, 0.0005),
            fitted_rate(&[1486.0, 694.0, 195.0, 37.0, 10.0, 1.0]),
        ),
    ])
}

/// The rate of greatest likelihood of a zero-truncated Poisson law: its mean, rate / (1 -
/// exp(-rate)), is the mean of the counts.
fn fitted_rate(counts: &[f64]) -> f64 {
    let n: f64 = counts.iter().sum();
    let mean = counts.iter().enumerate().map(|(i, c)| (i as f64 + 1.0) * c).sum::<f64>() / n;
    let (mut low, mut high) = (1e-6, 20.0);
    for _ in 0..100 {
        let middle: f64 = (low + high) / 2.0;
        if middle / (1.0 - (-middle).exp()) < mean { low = middle } else { high = middle }
    }
    low
}
