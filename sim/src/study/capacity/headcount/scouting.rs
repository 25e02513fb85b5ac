//! The first stage of a search: about where does each limit give out? Coarse, and dropped.

use super::{LOCATING, ONE, STEEPEST, Search, trials};
use crate::base::stats::threshold::Rise;
use crate::study::capacity::seen::Played;

/// Steps of the first stage, down and up.
const DOWN: f64 = 0.75;
const UP: f64 = 1.25;
/// It need not go quite as far as limits are followed.
const ENOUGH: f64 = 0.9;
/// Headcounts of the first stage between what holds and what breaks, for an amount, at most.
const CLOSER: u32 = 4;

/// What the first stage found of a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Located {
    /// About here, with a line of this slope: units for each unit of ln(guests).
    Near(f64, f64),
    Beyond,
    Below,
}

impl Located {
    pub(super) fn near(self) -> Option<(f64, f64)> {
        if let Located::Near(at, slope) = self { Some((at, slope)) } else { None }
    }
}

impl Search<'_, '_> {
    /// Takes evenings played before into the first stage.
    pub(super) fn knows(&mut self, known: &[Played]) {
        let within = known.iter().copied().filter(|p| p.guests <= self.budget.most);
        let (looked, spent): (Vec<Played>, Vec<Played>) = within.partition(|p| p.trial >= LOCATING);
        self.next = spent.iter().map(|p| p.trial + 1).max().unwrap_or(0);
        for evenings in [looked, spent] {
            self.scouted.play(evenings, self.house);
        }
    }

    /// Plays a headcount for the first stage, once.
    fn look_at(&mut self, guests: u32) {
        if !self.scouted.headcounts().contains(&guests) {
            let played = trials(guests, LOCATING..LOCATING + self.budget.effort.locate);
            self.scouted.play(played, self.house);
        }
    }

    /// First stage: down until every limit holds, up to so many times the headcount at which the
    /// first one breaks, and closer to where amounts do. Returns up to how many guests limits were
    /// followed.
    pub(super) fn scout(&mut self, follow: f64) -> u32 {
        let (around, most) = (self.budget.around.clamp(1, self.budget.most), self.budget.most);
        let looked = self.scouted.headcounts();
        let mut low = looked.first().copied().unwrap_or(around);
        let mut high = looked.last().copied().unwrap_or(around);
        self.look_at(low);
        while low > 1 && self.scouted.any_breaks(low) {
            low = ((f64::from(low) * DOWN) as u32).clamp(1, low - 1);
            self.look_at(low);
        }
        loop {
            let first = self.scouted.headcounts().into_iter().find(|&g| self.scouted.any_breaks(g));
            let far = |f: u32| f64::from(high) >= ENOUGH * follow * f64::from(f);
            if high >= most || first.is_some_and(far) {
                break;
            }
            high = ((f64::from(high) * UP).ceil() as u32).min(most);
            self.look_at(high);
        }
        let amounts: Vec<usize> =
            (0..self.limits.len()).filter(|&l| self.limits[l].rise == Rise::Amount).collect();
        amounts.into_iter().for_each(|l| self.look_closer(l));
        for limit in (0..self.limits.len()).filter(|&l| !self.followed[l]) {
            self.located[limit] = self.locate(limit, high);
        }
        let near = self.located.iter().filter_map(|l| l.near()).map(|n| n.0);
        self.first = near.fold(self.first, f64::min);
        ((self.first * follow).ceil() as u32).min(high)
    }

    /// Comes nearer to where an amount breaks: its line is straight only very near. The next
    /// headcount is where a line between what holds and what breaks meets the bound.
    fn look_closer(&mut self, limit: usize) {
        for _ in 0..CLOSER {
            let Some((holds, breaks)) = self.scouted.bracket(limit) else {
                return;
            };
            if holds == 0 || breaks - holds <= 1 {
                return;
            }
            let [low, high] = [holds, breaks].map(|g| self.scouted.mean(limit, g));
            let share = (self.limits[limit].bound - low) / (high - low);
            let next = f64::from(holds) + share * f64::from(breaks - holds);
            self.look_at((next.round() as u32).clamp(holds + 1, breaks - 1));
        }
    }

    fn locate(&self, limit: usize, most: u32) -> Located {
        let Some((holds, breaks)) = self.scouted.bracket(limit) else {
            return Located::Beyond;
        };
        if breaks == 1 {
            return Located::Below;
        }
        // what holds last before it breaks first, and both their neighbors: far from the crossing
        // the line bends
        let looked = self.scouted.headcounts();
        let i = looked.partition_point(|&g| g < breaks);
        let near = &looked[i.saturating_sub(2)..(i + 2).min(looked.len())];
        let rough = f64::from(holds + breaks) / 2.0;
        match self.scouted.crossing(limit, |g| near.contains(&g)) {
            Some(c) => Located::Near(
                c.value.exp().clamp(ONE, f64::from(most)),
                self.limits[limit].believed(c.slope),
            ),
            None => Located::Near(rough.max(ONE), STEEPEST / 2.0),
        }
    }
}
