//! `new`: a commented starter that runs at once.

use crate::command::Stop;
use crate::command::args::New;
use crate::command::write::beside::parent;
use crate::command::write::folder::Folder;
use std::io::Write;

const PLAN: &str = include_str!("../../assets/new-plan.toml");
const EVENING: &str = include_str!("../../assets/new-evening.toml");

/// Writes the two files into a new or empty folder.
pub(crate) fn new(args: &New, out: &mut dyn Write) -> Result<(), Stop> {
    // the folder one is in has a name, too
    let dir = &args.dir.canonicalize().unwrap_or_else(|_| args.dir.clone());
    let cannot = |e: std::io::Error| Stop::Write(format!("cannot write to {}: {e}", dir.display()));
    if dir.exists() && !std::fs::read_dir(dir).is_ok_and(|mut d| d.next().is_none()) {
        return Err(Stop::Write(format!(
            "{} is there already and is not an empty folder; choose another",
            dir.display()
        )));
    }
    std::fs::create_dir_all(parent(dir)).map_err(cannot)?;
    let files = [("plan.toml", PLAN), ("evening.toml", EVENING)]
        .map(|(name, text)| (name.to_string(), text.as_bytes().to_vec()));
    Folder::at(dir, false)?.start(&files)?;
    let at = |name: &str| dir.join(name).display().to_string();
    writeln!(out, "Wrote {} and {}", at("plan.toml"), at("evening.toml"))?;
    writeln!(out, "Next: elbowroom check {}    (draws what it understood)", at("plan.toml"))?;
    writeln!(out, "      elbowroom run {}    (simulates the evening)", at("evening.toml"))?;
    writeln!(out, "      elbowroom capacity {}    (how many guests)", at("evening.toml"))?;
    Ok(())
}
