//! What evenings at different headcounts showed of limits: means, where a limit breaks, and where
//! its line crosses the bound. What the same evenings show on paper, against what such evenings show
//! there usually, tells how lucky they were, and is taken off (control variates: Lavenberg & Welch
//! 1981, Manage. Sci. 27:322, from memory).

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

/// What an evening showed of a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// Its measure: a share or an amount.
    pub measure: f64,
    /// How much that counts for (0: nothing to say).
    pub weight: f64,
    /// The same of the evening on paper, if paper knows the limit.
    pub on_paper: Option<Reckoned>,
}

impl Shown {
    /// Nothing to say.
    pub const NOTHING: Shown = Shown { measure: 0.0, weight: 0.0, on_paper: None };

    /// A measure and how much it counts for, with nothing on paper.
    pub fn of(measure: f64, weight: f64) -> Shown {
        Shown { measure, weight, on_paper: None }
    }
}

/// A measure on paper, and how much it counts for.
pub type Reckoned = (f64, f64);

/// Where evenings come from.
pub trait Source {
    /// Plays evenings and tells what each showed of every limit, in the order asked.
    fn play(&mut self, asked: &[Played]) -> Vec<Vec<Shown>>;

    /// What many other evenings at a headcount show on paper, the same ones at each: for every
    /// limit that paper knows. None at all, where there is no paper.
    fn usual_on_paper(&mut self, _guests: u32) -> Vec<Option<Vec<Reckoned>>> {
        vec![]
    }
}

impl<F: FnMut(&[Played]) -> Vec<Vec<Shown>>> Source for F {
    fn play(&mut self, asked: &[Played]) -> Vec<Vec<Shown>> {
        self(asked)
    }
}

/// Standard deviations of a figure that is beyond doubt on one side of its bound: one chance in two
/// hundred.
const BEYOND_DOUBT: f64 = 2.58;

/// Evenings, and what each showed of every limit.
pub(super) struct Seen<'a> {
    limits: &'a [Bounded],
    evenings: BTreeMap<Played, Vec<Shown>>,
    /// By headcount, what is usual on paper for each limit.
    usual: BTreeMap<u32, Vec<Option<Usual>>>,
}

/// What is usual on paper at a headcount.
struct Usual {
    mean: f64,
    weight: f64,
    /// How much more than usual each evening showed, times what it counts for.
    lucks: Vec<f64>,
}

impl Usual {
    fn of(evenings: &[Reckoned]) -> Usual {
        let weight = evenings.iter().map(|e| e.1).sum::<f64>();
        let mean = evenings.iter().map(|e| e.0 * e.1).sum::<f64>() / weight.max(f64::MIN_POSITIVE);
        Usual { mean, weight, lucks: evenings.iter().map(|e| (e.0 - mean) * e.1).collect() }
    }
}

/// An evening that tells of a limit.
struct Told {
    played: Played,
    measure: f64,
    weight: f64,
    /// How much more than usual it showed on paper, times what that counts for.
    luck: f64,
}

impl<'a> Seen<'a> {
    /// None yet.
    pub(super) fn nothing(limits: &'a [Bounded]) -> Seen<'a> {
        Seen { limits, evenings: BTreeMap::new(), usual: BTreeMap::new() }
    }

    /// Plays evenings and adds them.
    pub(super) fn play(&mut self, played: Vec<Played>, house: &mut dyn Source) {
        let shown = house.play(&played);
        for guests in played.iter().map(|p| p.guests).collect::<BTreeSet<_>>() {
            self.usual.entry(guests).or_insert_with(|| {
                let usual = house.usual_on_paper(guests);
                usual.into_iter().map(|limit| limit.as_deref().map(Usual::of)).collect()
            });
        }
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

    /// What is usual on paper for a limit.
    fn usual(&self, limit: usize, guests: u32) -> Option<&Usual> {
        self.usual.get(&guests)?.get(limit)?.as_ref()
    }

    /// Evenings at some headcounts that tell of a limit, those of a headcount together.
    fn told(&self, limit: usize, used: impl Fn(u32) -> bool) -> Vec<Told> {
        let told = |(played, shown): (&Played, &Vec<Shown>)| {
            let Shown { measure, weight, on_paper } = shown[limit];
            let luck = on_paper.zip(self.usual(limit, played.guests));
            let luck = luck.map_or(0.0, |((y, w), usual)| (y - usual.mean) * w);
            (weight > 0.0).then_some(Told { played: *played, measure, weight, luck })
        };
        self.evenings.iter().filter(|(p, _)| used(p.guests)).filter_map(told).collect()
    }

    /// Mean of a limit's measure at a headcount, less luck; nothing seen is 0.
    pub(super) fn mean(&self, limit: usize, guests: u32) -> f64 {
        let effect = effect_of_luck(&self.told(limit, |_| true));
        let there = self.told(limit, |g| g == guests);
        let mean = mean(&there);
        let weight = there.iter().map(|t| t.weight).sum::<f64>();
        let luck = effect * there.iter().map(|t| t.luck).sum::<f64>();
        if weight > 0.0 { (mean - luck / weight).max(0.0) } else { mean }
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

    /// Where a limit's line crosses its bound, by the evenings at some headcounts, less their luck.
    pub(super) fn crossing(&self, limit: usize, used: impl Fn(u32) -> bool) -> Option<Crossing> {
        let told = self.told(limit, used);
        let effect = effect_of_luck(&told);
        let numbers: BTreeSet<u32> = told.iter().map(|t| t.played.trial).collect();
        let groups: BTreeMap<u32, usize> =
            numbers.into_iter().enumerate().map(|(group, trial)| (trial, group)).collect();
        let mut seen: Vec<threshold::Seen> = told
            .iter()
            .map(|t| threshold::Seen {
                group: groups[&t.played.trial],
                x: f64::from(t.played.guests).ln(),
                y: t.measure,
                weight: t.weight,
                correction: -effect * t.luck,
            })
            .collect();
        if effect != 0.0 {
            let there = told.chunk_by(|a, b| a.played.guests == b.played.guests);
            seen.extend(there.flat_map(|t| self.doubt(limit, t, effect, groups.len())));
        }
        threshold::crossing(&seen, self.limits[limit].rise, self.limits[limit].bound)
    }

    /// What is usual is only known from so many evenings on paper: how each of them moved it, as
    /// groups of their own, numbered from `first`.
    fn doubt(
        &self,
        limit: usize,
        there: &[Told],
        effect: f64,
        first: usize,
    ) -> Vec<threshold::Seen> {
        let Some((guests, usual)) = there
            .first()
            .and_then(|t| Some((t.played.guests, self.usual(limit, t.played.guests)?)))
        else {
            return vec![];
        };
        let on_paper = |t: &Told| self.evenings[&t.played][limit].on_paper.map_or(0.0, |p| p.1);
        let counted = there.iter().map(on_paper).sum::<f64>();
        let moved = effect * counted / usual.weight.max(f64::MIN_POSITIVE);
        let x = f64::from(guests).ln();
        let one = |(i, luck): (usize, &f64)| threshold::Seen {
            group: first + i,
            x,
            y: 0.0,
            weight: 0.0,
            correction: moved * luck,
        };
        usual.lucks.iter().enumerate().map(one).collect()
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
            let there = self.told(limit, |g| g == guests);
            let mean = mean(&there);
            let (low, high) = score_interval(mean, there.len().max(1) as f64, BEYOND_DOUBT);
            if high < bound {
                between.0 = f64::from(guests);
            }
            if low > bound && mean > bound {
                between.1 = f64::min(between.1, f64::from(guests));
            }
        }
        (between.0.min(between.1), between.1)
    }
}

/// Mean of what evenings showed, as it is; nothing seen is 0.
fn mean(told: &[Told]) -> f64 {
    let weight = told.iter().map(|t| t.weight).sum::<f64>();
    let sum = told.iter().map(|t| t.measure * t.weight).sum::<f64>();
    if weight > 0.0 { sum / weight } else { 0.0 }
}

/// How much more an evening shows for each bit more that it shows on paper: the slope of one over
/// the other among evenings with as many guests.
fn effect_of_luck(told: &[Told]) -> f64 {
    let (mut both, mut luck) = (0.0, 0.0);
    for there in told.chunk_by(|a, b| a.played.guests == b.played.guests) {
        let mean = mean(there);
        let usual = there.iter().map(|t| t.luck).sum::<f64>() / there.len() as f64;
        for t in there {
            both += (t.measure - mean) * t.weight * (t.luck - usual);
            luck += (t.luck - usual).powi(2);
        }
    }
    if luck > 0.0 { both / luck } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A limit over which a share of ten visits comes that grows with guests, and more on evenings
    /// that are unlucky.
    struct Lucky {
        paper: bool,
    }

    const SHARE: Bounded = Bounded { rise: Rise::Share, bound: 0.3 };

    impl Lucky {
        /// How unlucky an evening is: usually not at all, the evenings played mostly.
        fn luck(trial: u32) -> f64 {
            [0.0, 0.1, 0.1, -0.1][trial as usize % 4]
        }

        fn share(guests: u32) -> f64 {
            0.2 + f64::from(guests) / 100.0
        }
    }

    impl Source for Lucky {
        fn play(&mut self, asked: &[Played]) -> Vec<Vec<Shown>> {
            let of = |p: &Played| {
                let on_paper = self.paper.then(|| (0.5 + Lucky::luck(p.trial) / 2.0, 10.0));
                // luck counts twice as much on the floor; the rest is chance
                let chance = 0.02 * f64::from(p.trial % 5) - 0.04;
                let measure = Lucky::share(p.guests) + Lucky::luck(p.trial) + chance;
                vec![Shown { measure, weight: 10.0, on_paper }]
            };
            asked.iter().map(of).collect()
        }

        fn usual_on_paper(&mut self, _: u32) -> Vec<Option<Vec<Reckoned>>> {
            let usual = |k: u32| (0.5 + 0.05 * (f64::from(k % 3) - 1.0), 10.0);
            vec![Some((0..999).map(usual).collect())]
        }
    }

    fn seen(paper: bool) -> Seen<'static> {
        let mut seen = Seen::nothing(&[SHARE]);
        for guests in [8, 10, 12] {
            seen.play(
                (0..60).map(|trial| Played { guests, trial }).collect(),
                &mut Lucky { paper },
            );
        }
        seen
    }

    #[test]
    fn a_mean_is_told_without_the_luck_of_its_evenings() {
        assert!((seen(false).mean(0, 10) - 0.325).abs() < 1e-9);
        assert!((seen(true).mean(0, 10) - 0.3).abs() < 0.002, "{}", seen(true).mean(0, 10));
    }

    #[test]
    fn a_crossing_is_found_where_it_is_and_more_closely() {
        let of = |paper| seen(paper).crossing(0, |_| true).map(|c| (c.value.exp(), c.high - c.low));
        let ((raw, wide), (told, narrow)) =
            (of(false).unwrap_or_default(), of(true).unwrap_or_default());
        assert!((told - 10.0).abs() < 0.4 && (raw - 10.0).abs() > 1.0, "{told} and {raw}");
        assert!(narrow < wide / 2.0, "{narrow} and {wide}");
    }
}
