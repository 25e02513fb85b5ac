//! The hidden folder beside what is going to be written: it is filled there, and put in place in
//! one step. It goes when the run ends or is interrupted. A lock in it tells a run that is going on
//! from one that died; what a dead one left is cleared away by the next.

use crate::command::Stop;
use std::cell::Cell;
use std::ffi::{OsStr, OsString};
use std::fs::{File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Ends the names of such folders: `.my-answer.elbowroom` stands beside `my-answer`.
const ENDING: &str = ".elbowroom";
/// Held while a run is going on. It is the last to go: a folder without it is nobody's.
const LOCK: &str = "elbowroom.lock";
/// What stood in the place, where the system cannot exchange two folders.
const BEFORE: &str = "before";
/// Exit code of a program that was interrupted (128 and the number of the signal).
const INTERRUPTED: i32 = 130;

/// Hidden folders of runs that are going on in this program.
static TAKEN: Mutex<Vec<PathBuf>> = Mutex::new(vec![]);

fn taken() -> MutexGuard<'static, Vec<PathBuf>> {
    TAKEN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on an interrupt removes what is unfinished before the program ends; not where
/// interrupts are ignored or handled already.
pub fn clean_up_when_interrupted() {
    // without a handler the next run cleans up
    let _ = ctrlc::try_set_handler(|| {
        let taken = taken();
        taken.iter().for_each(|folder| remove(folder));
        std::process::exit(INTERRUPTED);
    });
}

/// Does something that no interrupt may cut in two.
pub(crate) fn undisturbed<R>(act: impl FnOnce() -> R) -> R {
    let _no_interrupt = taken();
    act()
}

/// A folder of our own beside a target.
pub(crate) struct Beside {
    folder: PathBuf,
    // held until the folder is removed
    lock: Option<File>,
    // whether it stays
    kept: Cell<bool>,
}

impl Drop for Beside {
    fn drop(&mut self) {
        let mut taken = taken();
        if !self.kept.get() {
            remove(&self.folder);
        }
        taken.retain(|f| *f != self.folder);
        self.lock = None;
    }
}

/// The folder a path is in.
pub(crate) fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// A path as it is named in its folder: without a slash or a dot at its end.
pub(crate) fn plain(path: &Path) -> PathBuf {
    match (path.parent(), path.file_name()) {
        (Some(p), Some(name)) => p.join(name),
        _ => path.to_path_buf(),
    }
}

/// The hidden folder of a target.
fn hidden(target: &Path) -> Option<PathBuf> {
    let mut name = OsString::from(".");
    name.push(target.file_name()?);
    name.push(ENDING);
    Some(parent(target).join(name))
}

/// What a hidden folder stands beside.
fn target_of(folder: &Path) -> Option<PathBuf> {
    let name =
        folder.file_name().and_then(OsStr::to_str)?.strip_prefix('.')?.strip_suffix(ENDING)?;
    (!name.is_empty()).then(|| parent(folder).join(name))
}

impl Beside {
    /// Takes the hidden folder of a target for this run. `None` if another run has it.
    pub(crate) fn of(target: &Path) -> Result<Option<Beside>, Stop> {
        let cannot = |e: io::Error| {
            Stop::Write(format!("cannot write to {}: {e}", parent(target).display()))
        };
        let Some(folder) = hidden(target) else {
            return Err(Stop::Write(format!(
                "{} is no name for something new; choose another",
                target.display()
            )));
        };
        sweep(&parent(target));
        loop {
            match take(&folder) {
                Ok(Some(beside)) => {
                    empty(&beside.folder).map_err(cannot)?;
                    return Ok(Some(beside));
                }
                Ok(None) => return Ok(None),
                // the run that had it has just ended
                Err(e) if e.kind() == io::ErrorKind::NotFound && parent(target).is_dir() => {}
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                    return Err(Stop::Write(format!(
                        "{} is in the way, and not ours",
                        folder.display()
                    )));
                }
                Err(e) => return Err(cannot(e)),
            }
        }
    }

    /// A path in it.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Ends as if the program had been killed: the lock goes, the folder stays.
    #[cfg(test)]
    pub(super) fn dies(self) {
        let mut this = std::mem::ManuallyDrop::new(self);
        taken().retain(|f| *f != this.folder);
        // closing the file gives up its lock
        this.lock = None;
    }

    /// Leaves the hidden folder for good, because something in it is nobody's to remove: without
    /// the lock no run takes it for its own. Returns where it is.
    pub(super) fn keep(&self) -> &Path {
        let _ = std::fs::remove_file(self.folder.join(LOCK));
        self.kept.set(true);
        &self.folder
    }

    /// Where what stood in the place is kept for a moment.
    pub(super) fn before(&self) -> PathBuf {
        self.path(BEFORE)
    }
}

/// Makes a hidden folder, or takes one that is there, with its lock. `None` if a run has it; not
/// found if it went meanwhile; there already if it is not ours.
fn take(folder: &Path) -> io::Result<Option<Beside>> {
    let mut taken = taken();
    let made = std::fs::create_dir(folder);
    match &made {
        Err(e) if e.kind() != io::ErrorKind::AlreadyExists => {
            return Err(io::Error::new(e.kind(), e.to_string()));
        }
        Err(_) if std::fs::symlink_metadata(folder).is_err() => {
            return Err(io::ErrorKind::NotFound.into());
        }
        Err(_) if !is_ours(folder) => return Err(io::ErrorKind::AlreadyExists.into()),
        _ => {}
    }
    let lock = held(folder).inspect_err(|_| {
        if made.is_ok() {
            let _ = std::fs::remove_file(folder.join(LOCK));
            let _ = std::fs::remove_dir(folder);
        }
    })?;
    Ok(lock.map(|lock| {
        taken.push(folder.to_path_buf());
        Beside { folder: folder.to_path_buf(), lock: Some(lock), kept: Cell::new(false) }
    }))
}

/// Whether a folder of such a name is one of ours: one with a lock, or one that a run has begun
/// with.
fn is_ours(folder: &Path) -> bool {
    let is_folder = std::fs::symlink_metadata(folder).is_ok_and(|m| m.is_dir());
    let is_empty = || std::fs::read_dir(folder).is_ok_and(|mut d| d.next().is_none());
    is_folder
        && (std::fs::symlink_metadata(folder.join(LOCK)).is_ok_and(|m| m.is_file()) || is_empty())
}

/// Takes the lock of a folder; `None` if a run has it, not found if the folder went meanwhile.
/// Where a file system knows no locks it is as good as taken.
fn held(folder: &Path) -> io::Result<Option<File>> {
    let path = folder.join(LOCK);
    let lock = File::options().create(true).truncate(false).write(true).open(&path)?;
    match lock.try_lock() {
        Ok(()) if is_at(&lock, &path) => Ok(Some(lock)),
        Ok(()) => Err(io::ErrorKind::NotFound.into()),
        Err(TryLockError::WouldBlock) => Ok(None),
        Err(TryLockError::Error(e)) if e.kind() == io::ErrorKind::Unsupported => Ok(Some(lock)),
        Err(TryLockError::Error(e)) => Err(e),
    }
}

/// Whether a file is still the one at a path: a run that ended removes its lock while others wait
/// for it.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    file.metadata()
        .and_then(|ours| Ok(ours.ino() == std::fs::symlink_metadata(path)?.ino()))
        .unwrap_or(false)
}

#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.exists()
}

/// Puts back what a run that died between two renames had taken away, and removes everything else
/// but the lock.
fn empty(folder: &Path) -> io::Result<()> {
    if let Some(target) = target_of(folder).filter(|t| std::fs::symlink_metadata(t).is_err())
        && folder.join(BEFORE).is_dir()
    {
        std::fs::rename(folder.join(BEFORE), target)?;
    }
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        match (entry.file_name() == LOCK, entry.file_type()?.is_dir()) {
            (true, _) => {}
            (_, true) => std::fs::remove_dir_all(entry.path())?,
            (_, false) => std::fs::remove_file(entry.path())?,
        }
    }
    Ok(())
}

/// Removes a hidden folder whose lock is held, the lock last; what cannot be removed now stays with
/// it for the next run.
fn remove(folder: &Path) {
    if empty(folder).is_ok() {
        let _ = std::fs::remove_file(folder.join(LOCK));
        let _ = std::fs::remove_dir(folder);
    }
}

/// Removes the hidden folders of runs that died. What cannot be removed stays for the next time.
fn sweep(parent: &Path) {
    let Ok(entries) = std::fs::read_dir(parent) else {
        return;
    };
    for folder in
        entries.flatten().map(|e| e.path()).filter(|p| target_of(p).is_some() && is_ours(p))
    {
        // one without a lock may be another run's that has just begun: that one tries again
        let is_empty = std::fs::remove_dir(&folder).is_ok();
        if !is_empty && let Ok(Some(_lock)) = held(&folder) {
            remove(&folder);
        }
    }
}
