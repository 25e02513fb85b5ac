//! The folder an answer is written to: whole or not at all, never over somebody else's files.

use super::{Stop, lines};
use crate::args::Output;
use crate::chart;
use crate::page::{self, Shown};
use sim::parallel::{in_order, with_threads};
use std::io::Write;
use std::path::{Path, PathBuf};

/// A folder is ours if it holds this file and this text in it.
const OURS: (&str, &str) = ("answer.json", "\"program\": \"elbowroom");

/// A folder that can be written to.
pub(super) struct Folder {
    path: PathBuf,
    replaces: bool,
}

/// Chooses and tests the folder before anything is simulated. `None` if only JSON is printed.
pub(super) fn choose(output: &Output, file: &str, question: &str) -> Result<Option<Folder>, Stop> {
    let folder = match &output.out {
        Some(path) => Folder { path: path.clone(), replaces: may_replace(path, output.force)? },
        None if output.json => return Ok(None),
        None => Folder { path: numbered(file, question), replaces: false },
    };
    let parent = parent(&folder.path);
    let test = tempfile::Builder::new().prefix(".elbowroom-").tempdir_in(&parent);
    test.map_err(|e| Stop::Write(format!("cannot write to {}: {e}", shown(&parent))))?;
    Ok(Some(folder))
}

fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// Whether something stands there that may be replaced; an error if it may not.
fn may_replace(path: &Path, force: bool) -> Result<bool, Stop> {
    if !path.exists() {
        return Ok(false);
    }
    let empty = std::fs::read_dir(path).is_ok_and(|mut d| d.next().is_none());
    let ours = std::fs::read_to_string(path.join(OURS.0)).is_ok_and(|t| t.contains(OURS.1));
    match (path.is_dir(), empty, ours, force) {
        (true, true, ..) => Ok(true),
        (true, _, true, true) => Ok(true),
        (true, _, true, false) => Err(Stop::Write(format!("{} holds an earlier answer; --force replaces it", shown(path)))),
        _ => Err(Stop::Write(format!("{} is not a folder of ours and stays as it is; choose another --out", shown(path)))),
    }
}

/// `winter-cocktails-run-1`, the first number that is free.
fn numbered(file: &str, question: &str) -> PathBuf {
    let stem = Path::new(file).file_stem().map_or("answer".into(), |s| s.to_string_lossy().into_owned());
    (1..).map(|n| PathBuf::from(format!("{stem}-{question}-{n}"))).find(|p| !p.exists()).unwrap_or_default()
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

impl Folder {
    /// Writes all files into a folder beside, then puts it in place. Returns what was written, in words.
    pub(super) fn write(&self, files: &[(String, Vec<u8>)]) -> Result<String, Stop> {
        let cannot = |e: std::io::Error| Stop::Write(format!("cannot write {}: {e}", shown(&self.path)));
        let beside = tempfile::Builder::new().prefix(".elbowroom-").tempdir_in(parent(&self.path)).map_err(cannot)?;
        let whole = beside.path().join("answer");
        std::fs::create_dir(&whole).map_err(cannot)?;
        for (name, bytes) in files {
            std::fs::write(whole.join(name), bytes).map_err(cannot)?;
        }
        if self.replaces {
            std::fs::rename(&self.path, beside.path().join("before")).map_err(cannot)?;
        }
        std::fs::rename(&whole, &self.path).map_err(cannot)?;
        Ok(match files {
            [(name, _)] => format!("Wrote {}", shown(&self.path.join(name))),
            _ => format!("Wrote {} files to {}/", files.len(), shown(&self.path)),
        })
    }
}

/// A page with its pictures as files: each picture as SVG and as a crisp PNG.
fn files(json: String, shown: &Shown) -> Result<Vec<(String, Vec<u8>)>, Stop> {
    let mut files = vec![("answer.json".to_string(), json.into_bytes()), ("report.html".to_string(), page::html(&shown.page).into_bytes())];
    let crisp = in_order(&shown.records, |(_, svg)| chart::png(svg), &|| ());
    for ((name, svg), png) in shown.records.iter().zip(crisp) {
        files.push((format!("{name}.png"), png?));
        files.push((format!("{name}.svg"), svg.clone().into_bytes()));
    }
    Ok(files)
}

/// Prints an answer, or its JSON, and writes its files.
pub(super) struct Answered {
    /// For a terminal.
    pub text: String,
    /// answer.json.
    pub json: String,
    /// Threads to draw on; all if `None`.
    pub threads: Option<u16>,
}

impl Answered {
    /// Tells it; `show` makes the page and its pictures, if there is a folder for them.
    pub(super) fn tell(
        self,
        output: &Output,
        folder: Option<Folder>,
        show: impl FnOnce() -> Result<Shown, chart::Undrawn> + Send,
        (out, err): (&mut dyn Write, &mut dyn Write),
    ) -> Result<(), Stop> {
        if output.json {
            out.write_all(self.json.as_bytes())?;
        } else {
            let text = lines::fold(&self.text);
            out.write_all(if output.terminal { lines::styled(&text) } else { text }.as_bytes())?;
        }
        let Some(folder) = folder else {
            return Ok(());
        };
        let drawn = with_threads(self.threads.map(usize::from), || files(self.json, &show()?));
        let written = folder.write(&drawn?)?;
        let to: &mut dyn Write = if output.json { err } else { out };
        writeln!(to, "\n{written}")?;
        let report = shown(&folder.path.join("report.html"));
        writeln!(to, "Next: open {report}. To share it, send that file, or card.png beside it.")?;
        Ok(())
    }
}
