//! The largest headcount at which every limit holds: a first stage finds about where limits give
//! out and is dropped, a second spends its evenings about the first to do so, and the crossing is
//! read off what that one saw. Later limits are followed after that, if they are asked for. Knows
//! limits only as numbers.

mod scouting;

use crate::base::stats::threshold::{Crossing, Rise};
use crate::study::capacity::effort::Budget;
use crate::study::capacity::gives::{Gives, least};
use crate::study::capacity::seen::{Bounded, Played, Seen, Source};
use scouting::Located;
use std::collections::{BTreeMap, BTreeSet};

impl Bounded {
    /// A unit of its line.
    fn unit(self) -> f64 {
        match self.rise {
            Rise::Share => 1.0,
            Rise::Amount => OF_BOUND * self.bound.max(1.0),
        }
    }

    /// A slope of its line in units for each unit of ln(guests), as far as it is believed.
    fn believed(self, slope: f64) -> f64 {
        let steepest = if self.rise == Rise::Share { STEEPEST } else { STEEPEST_AMOUNT };
        (slope / self.unit()).clamp(FLATTEST, steepest)
    }

    /// Steps of the second stage.
    fn steps(self) -> &'static [f64] {
        match self.rise {
            Rise::Share => &AROUND,
            Rise::Amount => &BESIDE,
        }
    }

    /// Up to how many times the headcount at which the first limit seems to give out this one may be
    /// the first after all: an amount is located more closely than a share.
    fn close(self) -> f64 {
        match self.rise {
            Rise::Share => CLOSE,
            Rise::Amount => CLOSE_AMOUNT,
        }
    }
}

/// Trials of the first stage are numbered from here: none of the second is among them.
pub const LOCATING: u32 = 1_000_000;
/// Headcounts of the second stage for one limit, in units of its line on either side of the
/// crossing. The line of a share (a logit) is straight enough over some units; an amount only very
/// near.
const AROUND: [f64; 3] = [-1.2, 0.0, 1.2];
const BESIDE: [f64; 2] = [-0.6, 0.6];
/// A unit of the line of an amount, as a share of its bound.
const OF_BOUND: f64 = 0.15;
/// A headcount is near a limit's crossing within so many units of its line, and is used for it.
const WINDOW: f64 = 1.8;
/// Slopes beyond these, in units of the line for each unit of ln(guests), are taken as these when
/// headcounts are chosen: a few evenings can make the line of a share look much steeper than it is.
const FLATTEST: f64 = 3.0;
const STEEPEST: f64 = 10.0;
const STEEPEST_AMOUNT: f64 = 400.0;
/// Headcounts this far beyond the two about a crossing, as a logarithm of guests, still tell where
/// it is.
const BESIDE_BRACKET: f64 = 0.25;
/// Who would be told a range this wide, as a share of the headcount, had better be given twice the
/// evenings.
const COARSE: f64 = 0.4;
/// Rounds of the second stage at least, where the first one was not spent about what it found: the
/// first look is coarse.
const LEAST_ROUNDS: u32 = 2;
/// From round to round the place of a crossing moves by this factor at most.
const FARTHER: f64 = 1.3;
/// Headcounts that differ by no more than this share are played as one.
const SAME: f64 = 0.03;
/// Later limits share the headcounts of a ladder with this step.
const SHARED: f64 = 1.08;
/// A first look can be off by so much: limits that seem to give out a little beyond what is
/// followed are followed too.
const MARGIN: f64 = 1.25;
/// Evenings are spent up to so many times the guests to which limits are followed.
const PAST: f64 = 1.15;
/// Limits that give out within this of the first one are as near to it as makes no difference.
const CLOSE: f64 = 1.3;
const CLOSE_AMOUNT: f64 = 1.1;

/// What the search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// For each limit, in order.
    pub limits: Vec<Gives>,
    /// The most guests looked at.
    pub looked: u32,
    /// Headcounts of the second stage and their evenings.
    pub played: BTreeMap<u32, u32>,
}

/// Headcounts below which a limit counts as given out at once.
const ONE: f64 = 1.0;

impl Found {
    /// All limits together: the least of each figure.
    pub fn together(&self) -> Gives {
        together(&self.limits)
    }
}

/// The upper end of where all limits together give out.
fn highest(together: Gives) -> f64 {
    match together {
        Gives::At { high, .. } => high,
        Gives::Never => f64::INFINITY,
        Gives::AtOnce => 0.0,
    }
}

fn together(limits: &[Gives]) -> Gives {
    limits.iter().fold(Gives::Never, |all, one| least(all, *one))
}

/// Finds what each limit allows. Evenings `known` were played before, for other limits, and tell of
/// these for nothing. `about` hears where the first limit seems to give out, after the first stage.
pub fn find(
    limits: &[Bounded],
    budget: Budget,
    known: &[Played],
    house: &mut dyn Source,
    about: &dyn Fn(f64),
) -> Found {
    let mut search = Search {
        limits,
        budget,
        house,
        scouted: Seen::nothing(limits),
        spent: Seen::nothing(limits),
        next: 0,
        played: 0,
        located: vec![Located::Beyond; limits.len()],
        followed: vec![false; limits.len()],
        first: f64::INFINITY,
    };
    search.knows(known);
    let looked = search.scout(1.0);
    about(search.first);
    let mut gives = search.first_limits(known);
    let looked = if budget.effort.follow > 1.0 { search.later(&mut gives) } else { looked };
    Found { limits: gives, looked, played: search.spent.played() }
}

struct Search<'a, 'b> {
    limits: &'a [Bounded],
    budget: Budget,
    house: &'b mut dyn Source,
    /// Evenings of the first stage, and of the second.
    scouted: Seen<'a>,
    spent: Seen<'a>,
    /// Number of the next trial of the second stage, and how many this search has played in it.
    next: u32,
    played: u32,
    /// What the first stage found of each limit.
    located: Vec<Located>,
    /// Whether evenings were spent about it.
    followed: Vec<bool>,
    /// Where the first of them seems to give out.
    first: f64,
}

impl Search<'_, '_> {
    /// Takes those of them that lie about some limits into the second stage: farther from a crossing
    /// the line of a share bends.
    fn recalls(&mut self, known: &[Played], limits: &[usize]) {
        let about = |guests: u32| {
            let mut near = limits.iter().filter_map(|&l| self.located[l].near());
            near.any(|(at, _)| (f64::from(guests) / at).ln().abs() <= BESIDE_BRACKET)
        };
        let spent: Vec<Played> = known
            .iter()
            .copied()
            .filter(|p| p.guests <= self.budget.most && p.trial < LOCATING && about(p.guests))
            .collect();
        self.spent.play(spent, self.house);
    }

    /// Spends a batch of evenings at each of some headcounts: the same ones at each, none of which
    /// was played before, so that every round tells something new.
    fn spend_at(&mut self, headcounts: BTreeSet<u32>) {
        let batch = self.budget.effort.batch();
        for guests in headcounts {
            let played = trials(guests, self.next..self.next + batch);
            self.spent.play(played, self.house);
            self.played += batch;
        }
        self.next += batch;
    }

    /// Second stage: spends its evenings in rounds, each about the limits that may give out first
    /// and where they do by what is known then; at least two, but where the first look was right.
    /// Ends when all are spent, or the headcount is known closely. Returns what each limit allows, as
    /// far as it was followed.
    fn first_limits(&mut self, known: &[Played]) -> Vec<Gives> {
        let (mut following, mut rounds) = (self.close(), 0);
        following.iter().for_each(|&l| self.followed[l] = true);
        self.recalls(known, &following);
        if !self.spent.is_empty() {
            self.locate_again(&following);
            rounds += 1;
        }
        loop {
            self.spend_about(&following);
            rounds += 1;
            let gives: Vec<Gives> = (0..self.limits.len()).map(|l| self.gives(l)).collect();
            let all = together(&gives);
            let mut missed = self.unfollowed_below(highest(all));
            missed.extend(self.found_late());
            let looked_right = rounds >= LEAST_ROUNDS || self.is_about(all);
            let enough = looked_right && self.has_spent_enough(all);
            let is_over = following.is_empty() || enough;
            if is_over && missed.is_empty() {
                return gives;
            }
            self.locate_again(&following);
            following = if is_over { vec![] } else { self.still_first(&gives, highest(all)) };
            following.extend(missed);
        }
    }

    /// Whether the range of the headcount lies between those where evenings were spent.
    fn is_about(&self, found: Gives) -> bool {
        let played = self.spent.headcounts();
        let (Some(&least), Some(&most)) = (played.first(), played.last()) else {
            return false;
        };
        matches!(found, Gives::At { low, high, .. } if low >= f64::from(least) && high <= f64::from(most))
    }

    /// Whether all evenings are spent, or the headcount is known as closely as it has to be.
    fn has_spent_enough(&self, found: Gives) -> bool {
        let effort = self.budget.effort;
        let Gives::At { value, low, high } = found else {
            return true;
        };
        // nobody asks for more than are looked at
        let width = (high.min(f64::from(self.budget.most)) - low) / value.max(ONE);
        let spend = if width > COARSE { 2 * effort.spend } else { effort.spend };
        let is_no_more = value < f64::from(effort.beyond) + 1.0;
        self.played >= spend || width <= effort.precise || is_no_more
    }

    /// Limits that seem to give out about where the first one does.
    fn close(&self) -> Vec<usize> {
        let is_close = |&l: &usize| {
            let near = self.located[l].near();
            near.is_some_and(|n| n.0 <= self.limits[l].close() * self.first)
        };
        (0..self.limits.len()).filter(is_close).collect()
    }

    /// Limits that the first look did not see give out, but that break beyond doubt where evenings
    /// were spent: now they are located there.
    fn found_late(&mut self) -> Vec<usize> {
        let unseen = (0..self.limits.len()).filter(|&l| self.located[l] == Located::Beyond);
        let late: Vec<(usize, f64)> = unseen
            .map(|l| (l, self.spent.surely(l).1))
            .filter(|(_, breaks)| breaks.is_finite())
            .collect();
        for &(limit, breaks) in &late {
            self.located[limit] = Located::Near(breaks, FLATTEST);
        }
        late.into_iter().map(|l| l.0).collect()
    }

    /// Limits followed so far that may give out at so many guests.
    fn still_first(&self, gives: &[Gives], guests: f64) -> Vec<usize> {
        let may = |l: usize| matches!(gives[l], Gives::At { low, .. } if low <= guests);
        (0..self.limits.len()).filter(|&l| self.followed[l] && may(l)).collect()
    }

    /// Where the shares among some limits give out by the evenings spent so far, of which a few can
    /// lead far off. Amounts are located closely as they are.
    fn locate_again(&mut self, limits: &[usize]) {
        for &limit in limits.iter().filter(|&&l| self.limits[l].rise == Rise::Share) {
            if let (Some((before, _)), Some(c)) = (self.located[limit].near(), self.fitted(limit)) {
                let at = c.value.exp().clamp(before / FARTHER, before * FARTHER);
                let at = at.min(f64::from(self.budget.most)).max(ONE);
                self.located[limit] = Located::Near(at, self.limits[limit].believed(c.slope));
            }
        }
        let near = limits.iter().filter_map(|&l| self.located[l].near());
        self.first = near.map(|n| n.0).reduce(f64::min).unwrap_or(self.first);
    }

    /// Follows later limits, once what the first ones allow is known.
    fn later(&mut self, gives: &mut [Gives]) -> u32 {
        self.budget.most = self.budget.most.max(self.budget.farthest);
        let looked = self.scout(self.budget.effort.follow);
        let first: Vec<bool> = self.followed.clone();
        let later = self.unfollowed_below(MARGIN * f64::from(looked));
        self.follow(&later, (PAST * f64::from(looked)) as u32);
        for limit in (0..first.len()).filter(|&l| !first[l]) {
            gives[limit] = self.gives(limit);
        }
        looked
    }

    /// Limits that were not followed and seem to give out at so many guests or fewer.
    fn unfollowed_below(&self, guests: f64) -> Vec<usize> {
        let below = |l: usize| self.located[l].near().is_some_and(|n| n.0 <= guests);
        (0..self.limits.len()).filter(|&l| !self.followed[l] && below(l)).collect()
    }

    /// A round about some limits.
    fn spend_about(&mut self, limits: &[usize]) {
        let mut headcounts = BTreeSet::new();
        for &limit in limits {
            self.followed[limit] = true;
            headcounts.extend(self.around(limit).into_iter().map(|g| self.played_beside(g)));
        }
        self.spend_at(headcounts);
    }

    /// A headcount played before, if one is about as many guests.
    fn played_beside(&self, guests: u32) -> u32 {
        let beside = |&g: &u32| f64::from(g.abs_diff(guests)) <= SAME * f64::from(guests);
        let played = self.spent.headcounts().into_iter().filter(beside);
        played.min_by_key(|g| g.abs_diff(guests)).unwrap_or(guests)
    }

    /// A batch at each headcount of limits that are not the first, where none is spent yet, with so
    /// many guests at most: many take long, and tell little of where a later limit gives out.
    fn follow(&mut self, limits: &[usize], most: u32) {
        let mut headcounts = BTreeSet::new();
        for &limit in limits {
            self.followed[limit] = true;
            let is_share = self.limits[limit].rise == Rise::Share;
            let wanted = self.around(limit).into_iter();
            let shared = wanted.map(|g| if is_share { self.shared(g) } else { g });
            headcounts.extend(shared.map(|g| g.min(most)));
        }
        let played = self.spent.headcounts();
        headcounts.retain(|g| !played.contains(g));
        self.spend_at(headcounts);
    }

    /// The nearest headcount of a ladder that later shares have in common.
    fn shared(&self, guests: u32) -> u32 {
        let step = (f64::from(guests).ln() / SHARED.ln()).round();
        (SHARED.powf(step).round() as u32).clamp(1, self.budget.most)
    }

    /// Whole headcounts at steps of a limit's line about where it seems to give out, at least one
    /// apart.
    fn around(&self, limit: usize) -> Vec<u32> {
        let Some((at, slope)) = self.located[limit].near() else {
            return vec![];
        };
        let steps = self.limits[limit].steps();
        let middle = (steps.len() as f64 - 1.0) / 2.0;
        let spread = steps.iter().enumerate().map(|(k, s)| {
            let apart = k as f64 - middle;
            let shift = at * ((s / slope).exp() - 1.0);
            let shift = if apart < 0.0 { shift.min(apart) } else { shift.max(apart) };
            ((at + shift).round() as i64).clamp(1, i64::from(self.budget.most)) as u32
        });
        let mut all: Vec<u32> = spread.collect();
        all.dedup();
        all
    }

    /// The headcounts about a limit's crossing, for one that few or none were chosen for: the
    /// middle of the two between which it breaks, and how far from it on a logarithmic scale. Over
    /// a wider span the line of a share bends.
    fn bracketed(&self, limit: usize) -> Option<(f64, f64)> {
        let (holds, breaks) = self.spent.bracket(limit)?;
        let high = f64::from(breaks).ln();
        let low = if holds > 0 { f64::from(holds).ln() } else { high };
        Some((((low + high) / 2.0).exp(), (high - low) / 2.0 + BESIDE_BRACKET))
    }

    /// Where a share's line is fitted: close to the first limit to give out, over the headcounts
    /// chosen for it and all below; later ones about their crossing only. A limit that was not
    /// followed, but breaks beyond doubt where evenings were spent, counts too: the first look is
    /// coarse, and another limit may have seemed to give out too soon.
    fn window(&self, limit: usize) -> Option<(f64, f64, f64)> {
        let is_share = self.limits[limit].rise == Rise::Share;
        let local = || self.bracketed(limit).map(|(at, reach)| (at, reach, reach));
        match self.located[limit] {
            Located::Near(at, slope) if self.followed[limit] => {
                let steps = self.limits[limit].steps().len() as f64;
                let reach = (WINDOW / slope).max(steps / 2.0 / at);
                let later = || {
                    if is_share && at > CLOSE * self.first { local() } else { None }
                };
                // fewer guests than that hardly weigh in the fit of a share, but they show that it
                // rises
                later().or(Some((at, if is_share { f64::INFINITY } else { reach }, reach)))
            }
            Located::Below => None,
            _ if self.spent.surely(limit).1.is_finite() => local(),
            _ => None,
        }
    }

    /// Where a limit's line crosses its bound by the evenings spent in its window.
    fn fitted(&self, limit: usize) -> Option<Crossing> {
        let (at, below, reach) = self.window(limit)?;
        let near = |g: u32| (-below..=reach).contains(&(f64::from(g) / at).ln());
        self.spent.crossing(limit, near)
    }

    fn gives(&self, limit: usize) -> Gives {
        let Some((at, ..)) = self.window(limit) else {
            let at_once = self.located[limit] == Located::Below;
            return if at_once { Gives::AtOnce } else { Gives::Never };
        };
        let most = f64::from(self.budget.most);
        let played = self.spent.headcounts();
        let held = played.iter().all(|&g| !self.spent.breaks(limit, g));
        let rough = if held { played.last().map_or(at, |&g| at.max(f64::from(g))) } else { at };
        let (value, low, high) = self
            .fitted(limit)
            .map_or((rough, 0.0, f64::INFINITY), |c| (c.value.exp(), c.low.exp(), c.high.exp()));
        let (holds, breaks) = self.spent.surely(limit);
        let value = value.clamp(holds, breaks).min(most);
        let high = if high > most { f64::INFINITY } else { high };
        Gives::At { value, low: low.max(holds).min(value), high: high.min(breaks).max(value) }
    }
}

fn trials(guests: u32, numbers: std::ops::Range<u32>) -> Vec<Played> {
    numbers.map(|trial| Played { guests, trial }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::capacity::effort::Effort;
    use crate::study::capacity::seen::Shown;

    /// The first look sees one limit give out too soon and the other not at all; the evenings spent
    /// there show that the other does.
    #[test]
    fn a_limit_missed_by_the_first_look_is_found_where_evenings_are_spent() {
        let shares = [Bounded { rise: Rise::Share, bound: 0.1 }; 2];
        let budget = Budget { around: 12, most: 100, farthest: 130, effort: Effort::ASIDE };
        let share = |over: bool| Shown::of(f64::from(u8::from(over)), 1.0);
        let mut play = |asked: &[Played]| -> Vec<Vec<Shown>> {
            let of = |p: &Played| match p.trial {
                t if t >= LOCATING => vec![share(p.guests >= 16), share(false)],
                // the second limit breaks on one evening in ten at 10 guests, on three in ten at 30
                t => vec![share(p.guests > 40), share(t % 30 < (3 * p.guests) / 10)],
            };
            asked.iter().map(of).collect()
        };
        let found = find(&shares, budget, &[], &mut play, &|_| ());
        assert!(
            matches!(found.limits[1], Gives::At { value, .. } if (6.0..14.0).contains(&value)),
            "{found:?}"
        );
    }

    /// A later limit is missed now and then however few come, and rises steeply: headcounts far
    /// below its crossing must not move it.
    #[test]
    fn headcounts_far_below_a_later_crossing_do_not_move_it() {
        let shares =
            [Bounded { rise: Rise::Share, bound: 0.1 }, Bounded { rise: Rise::Share, bound: 0.25 }];
        let budget = Budget { around: 30, most: 100, farthest: 130, effort: Effort::WHOLE };
        let share = |over: bool| Shown::of(f64::from(u8::from(over)), 1.0);
        let mut play = |asked: &[Played]| -> Vec<Vec<Shown>> {
            let of_forty = |p: &Played, evenings: u32| share(p.trial * 7 % 40 < evenings);
            // the second limit is missed on 2 evenings in 40 however few come; it meets its bound,
            // 10 in 40, at 34
            let second = |guests: u32| 2 + 2 * guests.saturating_sub(30);
            asked
                .iter()
                .map(|p| {
                    vec![of_forty(p, p.guests.saturating_sub(20)), of_forty(p, second(p.guests))]
                })
                .collect()
        };
        let found = find(&shares, budget, &[], &mut play, &|_| ());
        assert!(
            matches!(found.limits[1], Gives::At { value, .. } if (32.5..35.5).contains(&value)),
            "{found:?}"
        );
    }
}
