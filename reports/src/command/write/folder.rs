//! The folder an answer is written to: whole or not at all, and never over anything that is not
//! ours.

use crate::answer::sha256;
use crate::command::Stop;
use crate::command::args::Output;
use crate::command::write::beside::{Beside, parent, plain, undisturbed};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// The list of the files of an answer: what tells a folder of ours from others. Common tools check
/// it, too.
const LIST: &str = "files.sha256";
/// Its first line.
const ABOUT: &str = "# The files of an answer of elbowroom. A folder that holds these as they were written, and nothing else, can be replaced with --force.";

/// A folder that can be written to.
pub(crate) struct Folder {
    path: PathBuf,
    beside: Beside,
    force: bool,
}

/// What stands where a folder is to be.
#[derive(Debug, PartialEq)]
enum Standing {
    Nothing,
    /// An empty folder, or an earlier answer that may be replaced.
    Replaceable,
}

/// Chooses the folder, sees that it may be written, and takes it for this run. `None` if only JSON
/// is printed.
pub(crate) fn choose(output: &Output, file: &str, question: &str) -> Result<Option<Folder>, Stop> {
    match &output.out {
        Some(path) => Folder::at(path, output.force).map(Some),
        None if output.json => Ok(None),
        None => numbered(file, question).map(Some),
    }
}

/// `winter-cocktails-run-1`, the first number that is free and that no other run has taken.
fn numbered(file: &str, question: &str) -> Result<Folder, Stop> {
    let stem =
        Path::new(file).file_stem().map_or("answer".into(), |s| s.to_string_lossy().into_owned());
    let mut number = 1;
    loop {
        let path = PathBuf::from(format!("{stem}-{question}-{number}"));
        if std::fs::symlink_metadata(&path).is_err()
            && let Some(beside) = Beside::of(&path)?
            // another run may have finished it meanwhile
            && std::fs::symlink_metadata(&path).is_err()
        {
            return Ok(Folder { path, beside, force: false });
        }
        number += 1;
    }
}

/// Files that file managers write into every folder they show.
const LEFT_BY_SYSTEMS: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

fn is_file(path: &Path) -> bool {
    std::fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
}

/// What is at a path; an error that names what must not be lost.
fn standing(path: &Path, force: bool) -> Result<Standing, Stop> {
    let refuse =
        |why: &str| Err(Stop::Write(format!("{} {why}; choose another folder", shown(path))));
    let Ok(there) = std::fs::symlink_metadata(path) else {
        return Ok(Standing::Nothing);
    };
    if there.is_symlink() {
        return refuse("is a link to somewhere else");
    }
    if !there.is_dir() {
        return refuse("is a file and stays as it is");
    }
    let Ok(there) = names(path) else {
        return refuse("cannot be looked into");
    };
    if there.is_empty() {
        return Ok(Standing::Replaceable);
    }
    let Some(list) = listed(path) else {
        return refuse("has no list of files that elbowroom wrote, and stays as it is");
    };
    let is_as_written = |name: &String| {
        list.get(name).is_some_and(|written| {
            is_file(&path.join(name))
                && std::fs::read(path.join(name)).is_ok_and(|b| *written == sha256(&b))
        })
    };
    let is_left_by_system = |name: &String| LEFT_BY_SYSTEMS.contains(&name.as_str());
    let others: Vec<String> = there
        .into_iter()
        .filter(|name| name != LIST && !is_left_by_system(name) && !is_as_written(name))
        .collect();
    match (others.first(), force) {
        (Some(first), _) => {
            let and = if others.len() > 1 {
                format!(" and {} more", others.len() - 1)
            } else {
                String::new()
            };
            refuse(&format!("holds {first}{and}, not as elbowroom wrote it, and stays as it is"))
        }
        (None, false) => Err(Stop::Write(format!(
            "{} holds an earlier answer; --force replaces it",
            shown(path)
        ))),
        (None, true) => Ok(Standing::Replaceable),
    }
}

/// Names of what is in a folder, in order.
fn names(path: &Path) -> io::Result<Vec<String>> {
    let mut names = std::fs::read_dir(path)?
        .map(|e| Ok(e?.file_name().to_string_lossy().into_owned()))
        .collect::<io::Result<Vec<_>>>()?;
    names.sort();
    Ok(names)
}

/// Sums by name, as the list in a folder has them.
fn listed(path: &Path) -> Option<BTreeMap<String, String>> {
    let text = std::fs::read_to_string(path.join(LIST)).ok()?;
    let rest = text.strip_prefix(ABOUT)?;
    Some(
        rest.lines()
            .filter_map(|line| line.split_once("  "))
            .map(|(sum, name)| (name.to_string(), sum.to_string()))
            .collect(),
    )
}

fn list(files: &[(String, Vec<u8>)]) -> String {
    let lines: String =
        files.iter().map(|(name, bytes)| format!("{}  {name}\n", sha256(bytes))).collect();
    format!("{ABOUT}\n{lines}")
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

impl Folder {
    /// A folder at a path, taken for this run.
    pub(crate) fn at(path: &Path, force: bool) -> Result<Folder, Stop> {
        let path = &plain(path);
        if !parent(path).is_dir() {
            return Err(Stop::Write(format!(
                "there is no folder {} to write into",
                shown(&parent(path))
            )));
        }
        let busy = || {
            Stop::Write(format!(
                "another run is about to write {}; wait for it, or choose another folder",
                shown(path)
            ))
        };
        standing(path, force)?;
        let beside = Beside::of(path)?.ok_or_else(busy)?;
        // what a run that died had taken away may stand there again
        standing(path, force)?;
        Ok(Folder { path: path.to_path_buf(), beside, force })
    }

    /// Where it is.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the files of an answer, with their list. Returns what was written, in words.
    pub(crate) fn write(&self, files: &[(String, Vec<u8>)]) -> Result<String, Stop> {
        let mut all = files.to_vec();
        all.push((LIST.into(), list(files).into_bytes()));
        self.put(&all, &Real)?;
        Ok(format!("Wrote {} files to {}/", all.len(), shown(&self.path)))
    }

    /// Writes files without a list, for somebody to go on with.
    pub(crate) fn start(&self, files: &[(String, Vec<u8>)]) -> Result<(), Stop> {
        self.put(files, &Real)
    }

    /// Writes all files into the hidden folder, then puts it in place.
    fn put(&self, files: &[(String, Vec<u8>)], disk: &dyn Disk) -> Result<(), Stop> {
        let cannot = |e: io::Error| Stop::Write(format!("cannot write {}: {e}", shown(&self.path)));
        let whole = self.beside.path("whole");
        // each by itself: an interrupt waits for the end of one, and nothing begins after it
        undisturbed(|| disk.create_dir(&whole)).map_err(cannot)?;
        for (name, bytes) in files {
            undisturbed(|| disk.write(&whole.join(name), bytes)).map_err(cannot)?;
        }
        let replaces = standing(&self.path, self.force)? == Standing::Replaceable;
        undisturbed(|| {
            if replaces { self.replace(&whole, disk) } else { disk.rename(&whole, &self.path) }
        })
        .map_err(cannot)
    }

    /// Exchanges what stands there for something whole in one step; where the system cannot, in
    /// two, and back again if the second fails. What has been put there since the last look is not
    /// lost: then everything goes back, too.
    fn replace(&self, whole: &Path, disk: &dyn Disk) -> io::Result<()> {
        let is_ours = |old: &Path| match standing(old, self.force) {
            Err(Stop::Write(why)) => Err(io::Error::other(why)),
            _ => Ok(()),
        };
        // what cannot be put back stays beside, and nobody removes it
        let put_back = |why: io::Error, back: io::Result<()>| match back {
            Ok(()) => why,
            Err(e) => io::Error::other(format!(
                "{why}; what was there is in {} now ({e})",
                shown(self.beside.keep())
            )),
        };
        match disk.exchange(whole, &self.path) {
            Err(e) if cannot_exchange(&e) => {}
            Err(e) => return Err(e),
            Ok(()) => {
                let exchanged = is_ours(whole);
                return exchanged.map_err(|e| put_back(e, disk.exchange(whole, &self.path)));
            }
        }
        let before = self.beside.before();
        disk.rename(&self.path, &before)?;
        is_ours(&before).map_err(|e| put_back(e, disk.rename(&before, &self.path)))?;
        disk.rename(whole, &self.path).inspect_err(|_| {
            // what cannot be put back now stays beside, and the next run puts it back
            let _ = disk.rename(&before, &self.path);
        })
    }
}

fn cannot_exchange(e: &io::Error) -> bool {
    matches!(e.kind(), io::ErrorKind::Unsupported | io::ErrorKind::InvalidInput)
}

/// What is done on a disk, so that tests can let any of it fail.
trait Disk {
    fn create_dir(&self, path: &Path) -> io::Result<()>;
    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Exchanges two folders in one step.
    fn exchange(&self, a: &Path, b: &Path) -> io::Result<()>;
}

struct Real;

impl Disk for Real {
    fn create_dir(&self, path: &Path) -> io::Result<()> {
        std::fs::create_dir(path)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        std::fs::write(path, bytes)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    #[cfg(any(target_os = "linux", target_os = "macos"))]
    fn exchange(&self, a: &Path, b: &Path) -> io::Result<()> {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        Ok(renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE)?)
    }

    #[cfg(not(any(target_os = "linux", target_os = "macos")))]
    fn exchange(&self, _: &Path, _: &Path) -> io::Result<()> {
        Err(io::ErrorKind::Unsupported.into())
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::cell::Cell;

    /// A disk on which everything from one act on fails: an error, or the end of the program.
    struct Failing {
        from: usize,
        acts: Cell<usize>,
        exchanges: bool,
        /// Whether one act fails, or all from there on.
        once: bool,
    }

    impl Failing {
        fn act(&self, act: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
            let n = self.acts.replace(self.acts.get() + 1);
            if n == self.from || (n > self.from && !self.once) {
                Err(io::ErrorKind::StorageFull.into())
            } else {
                act()
            }
        }
    }

    impl Disk for Failing {
        fn create_dir(&self, path: &Path) -> io::Result<()> {
            self.act(|| Real.create_dir(path))
        }

        fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
            // a full disk leaves half a file
            self.act(|| Real.write(path, bytes))
                .inspect_err(|_| drop(Real.write(path, &bytes[..bytes.len() / 2])))
        }

        fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
            self.act(|| Real.rename(from, to))
        }

        fn exchange(&self, a: &Path, b: &Path) -> io::Result<()> {
            if self.exchanges {
                self.act(|| Real.exchange(a, b))
            } else {
                Err(io::ErrorKind::Unsupported.into())
            }
        }
    }

    /// More acts than there are.
    const ACTS: usize = 12;

    fn answer(says: &str) -> Vec<(String, Vec<u8>)> {
        ["answer.json", "report.html", "card.png"]
            .map(|name| (name.to_string(), format!("{says} {name}").into_bytes()))
            .into()
    }

    fn listed_too(says: &str) -> Vec<(String, Vec<u8>)> {
        let mut files = answer(says);
        files.push((LIST.into(), list(&files).into_bytes()));
        files
    }

    fn is(path: &Path, says: &str) -> bool {
        names(path).is_ok_and(|names| names.len() == 4)
            && listed_too(says)
                .iter()
                .all(|(name, bytes)| std::fs::read(path.join(name)).is_ok_and(|b| b == *bytes))
    }

    fn hidden(folder: &Path) -> Vec<String> {
        names(folder).unwrap().into_iter().filter(|n| n.starts_with('.')).collect()
    }

    /// Writes a new answer over an old one, or over nothing, on such a disk.
    fn write_over(
        there: Option<&str>,
        disk: &Failing,
        dies: bool,
    ) -> (tempfile::TempDir, PathBuf, bool) {
        let desk = tempfile::tempdir().unwrap();
        let path = desk.path().join("answer");
        if let Some(says) = there {
            Folder::at(&path, false).unwrap().write(&answer(says)).unwrap();
        }
        let folder = Folder::at(&path, true).unwrap();
        let wrote = folder.put(&listed_too("new"), disk).is_ok();
        if dies {
            folder.beside.dies();
        }
        (desk, path, wrote)
    }

    #[test]
    fn after_any_failure_the_old_answer_or_the_new_one_is_whole_and_nothing_else_is_left() {
        for (from, exchanges, there) in cases() {
            let disk = Failing { from, acts: Cell::new(0), exchanges, once: true };
            let (desk, path, wrote) = write_over(there, &disk, false);
            let whole = is(&path, "new") || there.map_or(!path.exists(), |old| is(&path, old));
            assert!(
                whole && (!wrote || is(&path, "new")),
                "act {from}, exchanges: {exchanges}, over {there:?}"
            );
            assert!(hidden(desk.path()).is_empty(), "act {from}: {:?}", hidden(desk.path()));
        }
    }

    #[test]
    fn after_the_end_of_the_program_at_any_act_the_next_run_finds_one_whole_and_clears_up() {
        for (from, exchanges, there) in cases() {
            let disk = Failing { from, acts: Cell::new(0), exchanges, once: false };
            let (desk, path, _) = write_over(there, &disk, true);
            if exchanges {
                let whole = is(&path, "new") || there.map_or(!path.exists(), |old| is(&path, old));
                assert!(whole, "act {from} over {there:?}, before the next run");
            }
            drop(Folder::at(&desk.path().join("another"), false).unwrap());
            let whole = is(&path, "new") || there.map_or(!path.exists(), |old| is(&path, old));
            assert!(whole, "act {from}, exchanges: {exchanges}, over {there:?}");
            assert!(hidden(desk.path()).is_empty(), "act {from}: {:?}", hidden(desk.path()));
        }
    }

    fn cases() -> impl Iterator<Item = (usize, bool, Option<&'static str>)> {
        (0..ACTS).flat_map(|from| {
            [(true, Some("old")), (false, Some("old")), (true, None)]
                .map(|(exchanges, there)| (from, exchanges, there))
        })
    }

    #[test]
    fn what_is_not_ours_is_refused_by_name() {
        let desk = tempfile::tempdir().unwrap();
        let path = desk.path().join("answer");
        Folder::at(&path, false).unwrap().write(&answer("old")).unwrap();
        let refused = |force: bool| match Folder::at(&path, force) {
            Err(Stop::Write(why)) => why,
            _ => String::new(),
        };
        assert!(refused(false).contains("--force replaces it"));
        assert_eq!(refused(true), "");
        std::fs::write(path.join("my-house.toml"), "mine").unwrap();
        assert!(refused(true).contains("my-house.toml"), "{}", refused(true));
        std::fs::remove_file(path.join("my-house.toml")).unwrap();
        std::fs::write(path.join("report.html"), "with my notes").unwrap();
        assert!(refused(true).contains("report.html"), "{}", refused(true));
    }

    #[test]
    fn a_file_that_comes_while_we_simulate_stops_the_writing() {
        let desk = tempfile::tempdir().unwrap();
        let path = desk.path().join("answer");
        Folder::at(&path, false).unwrap().write(&answer("old")).unwrap();
        let folder = Folder::at(&path, true).unwrap();
        std::fs::write(path.join("plan.toml"), "mine").unwrap();
        assert!(folder.write(&answer("new")).is_err());
        assert_eq!(std::fs::read_to_string(path.join("plan.toml")).unwrap(), "mine");
    }

    /// A disk on which somebody saves a file into a folder right before it is replaced.
    struct Busy {
        exchanges: bool,
        folder: PathBuf,
    }

    impl Disk for Busy {
        fn create_dir(&self, path: &Path) -> io::Result<()> {
            Real.create_dir(path)
        }

        fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
            Real.write(path, bytes)
        }

        fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
            if *from == self.folder {
                std::fs::write(from.join("plan.toml"), "mine")?;
            }
            Real.rename(from, to)
        }

        fn exchange(&self, a: &Path, b: &Path) -> io::Result<()> {
            std::fs::write(self.folder.join("plan.toml"), "mine")?;
            if self.exchanges {
                Real.exchange(a, b)
            } else {
                Err(io::ErrorKind::Unsupported.into())
            }
        }
    }

    #[test]
    fn a_file_that_comes_between_the_last_look_and_the_exchange_is_kept() {
        for exchanges in [true, false] {
            let desk = tempfile::tempdir().unwrap();
            let path = desk.path().join("answer");
            Folder::at(&path, false).unwrap().write(&answer("old")).unwrap();
            let folder = Folder::at(&path, true).unwrap();
            assert!(
                folder.put(&listed_too("new"), &Busy { exchanges, folder: path.clone() }).is_err()
            );
            drop(folder);
            assert_eq!(std::fs::read_to_string(path.join("plan.toml")).unwrap(), "mine");
            assert_eq!(std::fs::read_to_string(path.join("card.png")).unwrap(), "old card.png");
            assert!(hidden(desk.path()).is_empty(), "{:?}", hidden(desk.path()));
        }
    }

    #[test]
    fn two_runs_do_not_write_one_folder() {
        let desk = tempfile::tempdir().unwrap();
        let path = desk.path().join("answer");
        let first = Folder::at(&path, false).unwrap();
        assert!(
            matches!(Folder::at(&path, false), Err(Stop::Write(why)) if why.contains("another run"))
        );
        drop(first);
        assert!(Folder::at(&path, false).is_ok());
    }
}
