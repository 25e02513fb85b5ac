//! How far it is, on a terminal only.

use crate::command::Stop;
use indicatif::{ProgressBar, ProgressStyle};
use sim::base::parallel::{Endless, Watch};
use std::io::IsTerminal;
use std::sync::OnceLock;

/// A bar with an estimate of the time left; and what made the computation void, if anything did.
pub(crate) struct Progress {
    bar: ProgressBar,
    endless: OnceLock<Endless>,
    /// Whether a first look was told: what comes after it is about other houses or grades.
    looked: OnceLock<()>,
}

impl Progress {
    /// Hidden if asked to be quiet, or where nobody looks.
    pub(crate) fn new(quiet: bool) -> Progress {
        if quiet || !std::io::stderr().is_terminal() {
            return Progress::with(ProgressBar::hidden());
        }
        let style = ProgressStyle::with_template("{bar:30} {pos}/{len} evenings, {eta} left")
            .unwrap_or_else(|_| ProgressStyle::default_bar());
        Progress::with(ProgressBar::new(0).with_style(style))
    }

    fn with(bar: ProgressBar) -> Progress {
        Progress { bar, endless: OnceLock::new(), looked: OnceLock::new() }
    }

    /// Says something above the bar, to whoever waits.
    pub(crate) fn say(&self, text: impl FnOnce() -> String) {
        if !self.bar.is_hidden() {
            self.bar.println(text());
        }
    }

    /// Takes the bar away. What was computed is worth nothing if an evening would not have ended.
    pub(crate) fn finish(&self) -> Result<(), Stop> {
        self.bar.finish_and_clear();
        self.endless.get().map_or(Ok(()), |e| Err(Stop::Endless(*e)))
    }
}

impl Watch for Progress {
    fn expect(&self, evenings: u64) {
        self.bar.inc_length(evenings);
    }

    fn done(&self) {
        self.bar.inc(1);
        if self.bar.length().is_some_and(|l| l < self.bar.position()) {
            self.bar.set_length(self.bar.position());
        }
    }

    fn about(&self, guests: u32, word: &str) {
        if self.looked.set(()).is_ok() {
            self.say(|| format!("First look: {word} to about {guests} guests."));
        }
    }

    fn endless(&self, which: Endless) {
        // the first to be told is the first in order
        let _ = self.endless.set(which);
    }

    fn is_void(&self) -> bool {
        self.endless.get().is_some()
    }
}
