//! A single file that is written beside the answer: it replaces only one of its own sort.

use crate::command::Stop;
use crate::command::write::beside::{Beside, parent, plain, undisturbed};
use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Read as _, Write};
use std::path::{Path, PathBuf};

/// A sort of file: the option that asks for it, what it holds, and its first line, by which one is
/// told from other files.
pub(crate) struct Sort {
    pub(crate) option: &'static str,
    pub(crate) holds: &'static str,
    pub(crate) head: &'static str,
}

/// A path that such a file can be written to, taken for this run.
pub(crate) struct OneFile {
    sort: &'static Sort,
    path: PathBuf,
    beside: Beside,
}

impl OneFile {
    /// Sees that a path is free or holds a file of this sort, and takes it for this run.
    pub(crate) fn at(path: &Path, sort: &'static Sort) -> Result<OneFile, Stop> {
        let path = &plain(path);
        let (shown, Sort { option, holds, .. }) = (path.display(), sort);
        if !may_stand_for(path, sort) {
            return Err(Stop::Write(format!(
                "{option}: {shown} is there already and holds no {holds}; it stays as it is, choose another file"
            )));
        }
        if !parent(path).is_dir() {
            return Err(Stop::Write(format!(
                "{option}: there is no folder {} to write into",
                parent(path).display()
            )));
        }
        let busy = || {
            Stop::Write(format!(
                "{option}: another run is about to write {shown}; wait for it, or choose another file"
            ))
        };
        let beside = Beside::of(path)?.ok_or_else(busy)?;
        Ok(OneFile { sort, path: path.to_path_buf(), beside })
    }

    /// The path.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Writes it after its first line: whole, or not at all.
    pub(crate) fn write(
        self,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<(), Stop> {
        let cannot =
            |e: io::Error| Stop::Write(format!("cannot write {}: {e}", self.path.display()));
        let whole = self.beside.path("whole");
        let written = || {
            let mut to = BufWriter::new(File::create(&whole)?);
            writeln!(to, "{}", self.sort.head)?;
            fill(&mut to)?;
            to.flush()
        };
        written().map_err(cannot)?;
        if !may_stand_for(&self.path, self.sort) {
            return Err(cannot(io::Error::other("something else stands there now")));
        }
        undisturbed(|| std::fs::rename(&whole, &self.path)).map_err(cannot)
    }
}

/// Whether nothing is at a path, or a file of the sort, or an empty one: no link, no device,
/// nobody's plan.
fn may_stand_for(path: &Path, sort: &Sort) -> bool {
    let Ok(there) = std::fs::symlink_metadata(path) else {
        return true;
    };
    let first = || {
        let mut first = vec![];
        BufReader::new(File::open(path)?.take(sort.head.len() as u64 + 1))
            .read_until(b'\n', &mut first)
            .map(|_| first)
    };
    let is_head = |first: Vec<u8>| first.trim_ascii_end() == sort.head.as_bytes();
    there.is_file() && (there.len() == 0 || first().is_ok_and(is_head))
}
