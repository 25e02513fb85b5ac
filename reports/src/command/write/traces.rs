//! `--traces`: where everybody was and what they did, as CSV.

use crate::command::Stop;
use crate::command::write::one_file::{OneFile, Sort};
use sim::base::units::seconds;
use sim::crowd::bodies::Doing;
use sim::crowd::measure::{Trace, Traces};
use sim::crowd::trial::{Keep, run};
use sim::floor::world::World;
use std::path::Path;

const TRACES: Sort =
    Sort { option: "--traces", holds: "traces", head: "trial,time_s,guest,level,x_m,y_m,doing" };

/// A file that traces can be written to.
pub(crate) struct TraceFile(OneFile);

impl TraceFile {
    /// Sees that a path is free or holds traces, and takes it for this run.
    pub(crate) fn at(path: &Path) -> Result<TraceFile, Stop> {
        OneFile::at(path, &TRACES).map(TraceFile)
    }

    /// Plays trials again and writes where everybody was.
    pub(crate) fn write(
        self,
        world: &World,
        seed: u64,
        range: std::ops::Range<u32>,
    ) -> Result<(), Stop> {
        self.0.write(|to| {
            for trial in range {
                let keep = Keep { traces: Traces::All, bodies: false };
                for t in run(world, seed, trial, keep).1 {
                    writeln!(to, "{}", line(world, trial, &t))?;
                }
            }
            Ok(())
        })
    }
}

fn line(world: &World, trial: u32, t: &Trace) -> String {
    let (level, y) = (world.plan.level_at(t.y), world.plan.true_y(t.y));
    format!(
        "{trial},{:.3},{},{level},{:.4},{y:.4},{}",
        seconds(t.at) - world.scenario.lead(),
        t.person,
        t.x,
        doing(world, t.doing)
    )
}

fn doing(world: &World, doing: Doing) -> String {
    let csv = |name: &str| name.replace([',', '"', '\n'], " ");
    match doing {
        Doing::Away => "away".into(),
        Doing::Walk => "walk".into(),
        Doing::Squeeze => "squeeze".into(),
        Doing::Line(s) => format!("line:{}", csv(&world.spots[s].name)),
        Doing::At(s) => format!("at:{}", csv(&world.spots[s].name)),
        Doing::Talk => "talk".into(),
        Doing::Sit => "sit".into(),
        Doing::Host => "host".into(),
    }
}
