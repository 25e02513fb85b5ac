//! `--traces`: where everybody was and what they did, as CSV.

use crate::command::Stop;
use crate::command::write::beside::{Beside, parent, plain, undisturbed};
use sim::base::units::seconds;
use sim::crowd::bodies::Doing;
use sim::crowd::measure::{Trace, Traces};
use sim::crowd::trial::{Keep, run};
use sim::floor::world::World;
use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Read as _, Write};
use std::path::{Path, PathBuf};

/// The first line of a trace file: what tells one from other files.
const HEAD: &str = "trial,time_s,guest,level,x_m,y_m,doing";

/// A file that traces can be written to.
pub(crate) struct TraceFile {
    path: PathBuf,
    beside: Beside,
}

impl TraceFile {
    /// Sees that a path is free or holds traces, and takes it for this run.
    pub(crate) fn at(path: &Path) -> Result<TraceFile, Stop> {
        let path = &plain(path);
        let shown = path.display();
        if !may_stand_for(path) {
            return Err(Stop::Write(format!(
                "--traces: {shown} is there already and holds no traces; it stays as it is, choose another file"
            )));
        }
        if !parent(path).is_dir() {
            return Err(Stop::Write(format!(
                "--traces: there is no folder {} to write into",
                parent(path).display()
            )));
        }
        let busy = || {
            Stop::Write(format!(
                "--traces: another run is about to write {shown}; wait for it, or choose another file"
            ))
        };
        Ok(TraceFile { path: path.to_path_buf(), beside: Beside::of(path)?.ok_or_else(busy)? })
    }

    /// Plays trials again and writes where everybody was.
    pub(crate) fn write(
        self,
        world: &World,
        seed: u64,
        range: std::ops::Range<u32>,
    ) -> Result<(), Stop> {
        let cannot =
            |e: io::Error| Stop::Write(format!("cannot write {}: {e}", self.path.display()));
        let whole = self.beside.path("whole");
        write_to(&whole, world, seed, range).map_err(cannot)?;
        if !may_stand_for(&self.path) {
            return Err(cannot(io::Error::other("something else stands there now")));
        }
        undisturbed(|| std::fs::rename(&whole, &self.path)).map_err(cannot)
    }
}

/// Whether nothing is at a path, or a file of traces, or an empty one: no link, no device, nobody's
/// plan.
fn may_stand_for(path: &Path) -> bool {
    let Ok(there) = std::fs::symlink_metadata(path) else {
        return true;
    };
    let first = || {
        let mut first = String::new();
        BufReader::new(File::open(path)?.take(HEAD.len() as u64 + 1))
            .read_line(&mut first)
            .map(|_| first)
    };
    there.is_file() && (there.len() == 0 || first().is_ok_and(|first| first.trim_end() == HEAD))
}

fn write_to(path: &Path, world: &World, seed: u64, range: std::ops::Range<u32>) -> io::Result<()> {
    let mut to = BufWriter::new(File::create(path)?);
    writeln!(to, "{HEAD}")?;
    for trial in range {
        let (_, traces) = run(world, seed, trial, Keep { traces: Traces::All, bodies: false });
        for t in traces {
            writeln!(to, "{}", line(world, trial, &t))?;
        }
    }
    to.flush()
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
