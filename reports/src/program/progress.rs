//! How far it is, on a terminal only.

use indicatif::{ProgressBar, ProgressStyle};
use sim::parallel::Watch;
use std::io::IsTerminal;

/// A bar with an estimate of the time left.
pub(super) struct Progress(ProgressBar);

impl Progress {
    /// Hidden if asked to be quiet, or where nobody looks.
    pub(super) fn new(quiet: bool) -> Progress {
        if quiet || !std::io::stderr().is_terminal() {
            return Progress(ProgressBar::hidden());
        }
        let style = ProgressStyle::with_template("{bar:30} {pos}/{len} evenings, {eta} left").unwrap_or_else(|_| ProgressStyle::default_bar());
        Progress(ProgressBar::new(0).with_style(style))
    }

    /// Takes the bar away.
    pub(super) fn finish(&self) {
        self.0.finish_and_clear();
    }
}

impl Watch for Progress {
    fn expect(&self, evenings: u64) {
        self.0.inc_length(evenings);
    }

    fn done(&self) {
        self.0.inc(1);
        if self.0.length().is_some_and(|l| l < self.0.position()) {
            self.0.set_length(self.0.position());
        }
    }
}
