//! What evenings at different headcounts showed of limits: means, where a limit breaks, and where
//! its line crosses the bound.

use crate::base::stats::score_interval;
use crate::base::stats::threshold::{self, Crossing, Rise};
use std::collections::{BTreeMap, BTreeSet};

/// A limit as the search sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounded {
    /// How its measure rises with guests.
    pub rise: Rise,
    /// The bound: a share, or an amount.
    pub bound: f64,
}

/// An evening to be played: how many guests, and which trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Played {
    /// Guests.
    pub guests: u32,
    /// Trial number.
    pub trial: u32,
}

/// What an evening showed of a limit: its measure, and how much it counts for (0: nothing to say).
pub type Shown = (f64, f64);

/// Standard deviations of a figure that is beyond doubt on one side of its bound: one chance in two
/// hundred.
const BEYOND_DOUBT: f64 = 2.58;

/// Evenings, and what each showed of every limit.
pub(super) struct Seen<'a> {
    limits: &'a [Bounded],
    evenings: BTreeMap<Played, Vec<Shown>>,
}

impl<'a> Seen<'a> {
    /// None yet.
    pub(super) fn nothing(limits: &'a [Bounded]) -> Seen<'a> {
        Seen { limits, evenings: BTreeMap::new() }
    }

    /// Adds evenings.
    pub(super) fn add(&mut self, played: Vec<Played>, shown: Vec<Vec<Shown>>) {
        self.evenings.extend(played.into_iter().zip(shown));
    }

    /// Headcounts, in order.
    pub(super) fn headcounts(&self) -> Vec<u32> {
        self.evenings.keys().map(|p| p.guests).collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// Whether there are none.
    pub(super) fn is_empty(&self) -> bool {
        self.evenings.is_empty()
    }

    /// Evenings at each headcount.
    pub(super) fn played(&self) -> BTreeMap<u32, u32> {
        self.evenings.keys().fold(BTreeMap::new(), |mut played, p| {
            *played.entry(p.guests).or_default() += 1;
            played
        })
    }

    fn at(&self, limit: usize, guests: u32) -> impl Iterator<Item = Shown> + '_ {
        let all = Played { guests, trial: 0 }..=Played { guests, trial: u32::MAX };
        self.evenings.range(all).map(move |(_, shown)| shown[limit])
    }

    /// Mean of a limit's measure at a headcount; nothing seen is 0.
    pub(super) fn mean(&self, limit: usize, guests: u32) -> f64 {
        let (sum, weight) = self
            .at(limit, guests)
            .fold((0.0, 0.0), |(s, w), (y, weight)| (s + y * weight, w + weight));
        if weight > 0.0 { sum / weight } else { 0.0 }
    }

    /// Whether a limit breaks at a headcount.
    pub(super) fn breaks(&self, limit: usize, guests: u32) -> bool {
        self.mean(limit, guests) > self.limits[limit].bound
    }

    /// Whether any limit does.
    pub(super) fn any_breaks(&self, guests: u32) -> bool {
        (0..self.limits.len()).any(|l| self.breaks(l, guests))
    }

    /// The largest headcount before a limit breaks first, 0 if there is none, and the one at which
    /// it does.
    pub(super) fn bracket(&self, limit: usize) -> Option<(u32, u32)> {
        let all = self.headcounts();
        let broken = all.iter().position(|&g| self.breaks(limit, g))?;
        Some((if broken == 0 { 0 } else { all[broken - 1] }, all[broken]))
    }

    /// Where a limit's line crosses its bound, by the evenings at some headcounts.
    pub(super) fn crossing(&self, limit: usize, used: impl Fn(u32) -> bool) -> Option<Crossing> {
        let numbers: BTreeSet<u32> = self.evenings.keys().map(|p| p.trial).collect();
        let groups: BTreeMap<u32, usize> =
            numbers.into_iter().enumerate().map(|(group, trial)| (trial, group)).collect();
        let seen: Vec<threshold::Seen> = self
            .evenings
            .iter()
            .filter(|(p, s)| used(p.guests) && s[limit].1 > 0.0)
            .map(|(p, s)| threshold::Seen {
                group: groups[&p.trial],
                x: f64::from(p.guests).ln(),
                y: s[limit].0,
                weight: s[limit].1,
            })
            .collect();
        threshold::crossing(&seen, self.limits[limit].rise, self.limits[limit].bound)
    }

    /// Headcounts at which a share is beyond doubt within its bound, the most, and above it, the
    /// fewest. A line fitted elsewhere must not deny what was seen there. Shares of whole evenings
    /// vary at most like evenings that are all good or all bad.
    pub(super) fn surely(&self, limit: usize) -> (f64, f64) {
        let Bounded { rise, bound } = self.limits[limit];
        let mut between = (0.0, f64::INFINITY);
        if rise == Rise::Amount {
            return between;
        }
        for guests in self.headcounts() {
            let evenings = self.at(limit, guests).filter(|shown| shown.1 > 0.0).count();
            let (low, high) =
                score_interval(self.mean(limit, guests), evenings.max(1) as f64, BEYOND_DOUBT);
            if high < bound {
                between.0 = f64::from(guests);
            }
            if low > bound && self.mean(limit, guests) > bound {
                between.1 = f64::min(between.1, f64::from(guests));
            }
        }
        (between.0.min(between.1), between.1)
    }
}
