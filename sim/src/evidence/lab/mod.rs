//! The laboratory: texts of a plan and a script in, paths out; and the usual definitions of
//! density, flow and speed over paths.

pub mod plans;
pub mod drawings;

use crate::base::parallel::in_order;
use crate::base::stats::{Estimate, mean};
use crate::base::units::seconds;
use crate::crowd::bodies::Doing;
use crate::crowd::measure::{Tally, Trace, Traces};
use crate::crowd::trial::{Keep, run};
use crate::files::{Asked, read};
use crate::floor::world::World;
use crate::house::problem::Problem;
use std::collections::BTreeMap;

/// A plan with a script on it.
pub(in crate::evidence) struct Lab {
    pub world: World,
}

/// Where one person is through a trial.
pub(in crate::evidence) struct Path {
    rows: Vec<Trace>,
}

/// A rectangle of floor: west, south, east, north, in meters.
#[derive(Clone, Copy)]
pub(in crate::evidence) struct Field(pub f64, pub f64, pub f64, pub f64);

impl Lab {
    /// Reads a plan and a scenario that names it `plan.toml`.
    pub(in crate::evidence) fn new(plan: &str, scenario: &str) -> Result<Lab, String> {
        Lab::asked(plan, scenario, &Asked::default())
    }

    pub(in crate::evidence) fn asked(
        plan: &str,
        scenario: &str,
        asked: &Asked,
    ) -> Result<Lab, String> {
        let load = |path: &str| match path {
            "evening.toml" => Ok(scenario.to_string()),
            _ => Ok(plan.to_string()),
        };
        let told = |problems: Vec<Problem>| format!("the set-up is refused: {problems:?}");
        let loaded = read("evening.toml", &load, asked)
            .map_err(|r| told(r.problems.into_iter().map(|p| p.problem).collect()))?;
        let world = World::new(loaded.plan, loaded.scenario).map_err(told)?;
        Ok(Lab { world })
    }

    /// Figures of so many trials, in parallel, in order.
    pub(in crate::evidence) fn trials<R: Send>(
        &self,
        seed: u64,
        trials: u32,
        figure: impl Fn(&Tally, &[Path]) -> R + Sync,
    ) -> Vec<R> {
        let numbers: Vec<u32> = (0..trials).collect();
        in_order(
            &numbers,
            |&trial| {
                let (tally, traces) =
                    run(&self.world, seed, trial, Keep { traces: Traces::All, bodies: false });
                figure(&tally, &paths(traces))
            },
            &|| (),
        )
    }

    /// What is counted in so many trials, without paths.
    pub(in crate::evidence) fn tallies(&self, seed: u64, trials: u32) -> Vec<Tally> {
        self.counted(seed, trials, Keep::default())
    }

    /// The same with the nearest any two bodies, and a body and a wall, ever are.
    pub(in crate::evidence) fn checked(&self, seed: u64, trials: u32) -> Vec<Tally> {
        self.counted(seed, trials, Keep { traces: Traces::None, bodies: true })
    }

    fn counted(&self, seed: u64, trials: u32, keep: Keep) -> Vec<Tally> {
        let numbers: Vec<u32> = (0..trials).collect();
        in_order(&numbers, |&trial| run(&self.world, seed, trial, keep).0, &|| ())
    }
}

fn paths(traces: Vec<Trace>) -> Vec<Path> {
    let mut by_person: BTreeMap<u32, Vec<Trace>> = BTreeMap::new();
    for row in traces {
        by_person.entry(row.person).or_default().push(row);
    }
    by_person.into_values().map(|rows| Path { rows }).collect()
}

impl Path {
    pub(in crate::evidence) fn rows(&self) -> &[Trace] {
        &self.rows
    }

    /// Where the person is at a second; `None` before or after.
    pub(in crate::evidence) fn at(&self, second: f64) -> Option<(f64, f64)> {
        let after = self.rows.partition_point(|r| seconds(r.at) < second);
        let b = self.rows.get(after)?;
        let Some(a) = after.checked_sub(1).map(|i| &self.rows[i]) else {
            return (seconds(b.at) - second < 1e-9).then_some((b.x, b.y));
        };
        let span = seconds(b.at) - seconds(a.at);
        let share = if span > 0.0 { (second - seconds(a.at)) / span } else { 1.0 };
        Some((a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share))
    }

    /// Seconds from the first step to the end of the last.
    pub(in crate::evidence) fn walking_time(&self) -> f64 {
        let walks = |r: &Trace| matches!(r.doing, Doing::Walk | Doing::Squeeze);
        let first = self.rows.iter().find(|r| walks(r)).map_or(0.0, |r| seconds(r.at));
        let last = self
            .rows
            .iter()
            .rposition(walks)
            .map_or(0.0, |i| seconds(self.rows.get(i + 1).unwrap_or(&self.rows[i]).at));
        last - first
    }

    /// When the person first crosses a line `side(x, y) = 0` from negative to positive, in seconds.
    pub(in crate::evidence) fn crosses(&self, side: impl Fn(f64, f64) -> f64) -> Option<f64> {
        let mut before: Option<(f64, f64)> = None;
        for r in &self.rows {
            let (now, d) = (seconds(r.at), side(r.x, r.y));
            match before {
                Some((then, was)) if was < 0.0 && d >= 0.0 => {
                    return Some(then + (now - then) * was / (was - d));
                }
                _ => before = Some((now, d)),
            }
        }
        None
    }

    /// Metres a second over the second around a moment.
    pub(in crate::evidence) fn speed(&self, second: f64) -> Option<f64> {
        let (a, b) = (self.at(second - 0.5)?, self.at(second + 0.5)?);
        Some(((b.0 - a.0).powi(2) + (b.1 - a.1).powi(2)).sqrt())
    }
}

impl Field {
    fn has(self, (x, y): (f64, f64)) -> bool {
        x >= self.0 && x <= self.2 && y >= self.1 && y <= self.3
    }

    pub(in crate::evidence) fn area(self) -> f64 {
        (self.2 - self.0) * (self.3 - self.1)
    }

    /// Metres a second eastward, over the second around a moment, of somebody in it.
    pub(in crate::evidence) fn eastward(self, path: &Path, second: f64) -> Option<f64> {
        let (a, now, b) = (path.at(second - 0.5)?, path.at(second)?, path.at(second + 0.5)?);
        self.has(now).then_some(b.0 - a.0)
    }

    /// At a moment: people in it for each square meter, and the mean speed of those whose speed is
    /// known.
    pub(in crate::evidence) fn state(self, paths: &[Path], second: f64) -> (f64, Option<f64>) {
        let inside: Vec<&Path> =
            paths.iter().filter(|p| p.at(second).is_some_and(|at| self.has(at))).collect();
        let speeds: Vec<f64> = inside.iter().filter_map(|p| p.speed(second)).collect();
        let speed = (!speeds.is_empty()).then(|| speeds.iter().sum::<f64>() / speeds.len() as f64);
        (inside.len() as f64 / self.area(), speed)
    }
}

/// Seconds from..to by a step.
pub(in crate::evidence) fn moments(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    (0..).map(move |k| from + f64::from(k) * step).take_while(move |t| *t <= to)
}

/// People a second between the passages of the first and the last tenth.
pub(in crate::evidence) fn flow(mut passages: Vec<f64>) -> f64 {
    passages.sort_by(f64::total_cmp);
    let n = passages.len();
    let (first, last) = (n / 10, n - 1 - n / 10);
    if n < 10 || passages[last] <= passages[first] {
        return f64::NAN;
    }
    (last - first) as f64 / (passages[last] - passages[first])
}

/// Mean with its interval over trials; not a number if there are none.
pub(in crate::evidence) fn over_trials(values: &[f64]) -> Estimate {
    if values.is_empty() { Estimate::exact(f64::NAN) } else { mean(values) }
}
