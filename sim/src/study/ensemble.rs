//! Many trials: what they have in common, with its uncertainty. Trials run in parallel, results are
//! summed in trial order.

use crate::base::chance::{Key, Purpose};
use crate::base::ids::TiVec;
use crate::base::parallel::{Endless, Watch, in_order};
use crate::base::stats::{Estimate, mean, pooled_quantile, quantile_of_sorted, share};
use crate::base::units::{TICKS, seconds};
use crate::crowd::measure::{COARSE, Cause, PRESENCE_BIN, Tally};
use crate::crowd::trial::{Keep, run};
use crate::floor::world::{PinchId, PlaceId, SpotId, World};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Trials simulated before their rasters are summed.
const BATCH: u32 = 64;
/// Resamples of whole trials behind an interval of a pooled quantile.
const RESAMPLES: u32 = 400;

/// One trial, without its rasters.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Summary {
    /// What was counted, with empty rasters.
    pub tally: Tally,
    /// Jams before the leaving rush.
    pub jams: u32,
    /// Seconds of jam at the evening's own worst spot, before the leaving rush.
    pub jammed: u32,
    /// Guest-seconds lost to others, and waited.
    pub lost: f64,
    /// See `lost`.
    pub waited: f64,
}

/// Many trials of one world.
#[derive(Serialize, Deserialize)]
pub struct Ensemble {
    /// Trials, in order.
    pub trials: Vec<Summary>,
    /// Seed.
    pub seed: u64,
    /// Ticks lost by raster cell, all trials together.
    pub lost_cells: Vec<u64>,
    /// Person-ticks by presence bin and raster cell, all trials together.
    pub presence: Vec<Vec<u64>>,
    /// Guest-seconds inside by presence bin, all trials together.
    pub inside: Vec<u64>,
    /// Seconds of jam by spot and bin before the leaving rush, all trials together.
    pub jam_bins: BTreeMap<(PinchId, u32), u64>,
    /// Ticks lost by the nearest spot and cause, all trials together.
    pub lost_near: BTreeMap<(PinchId, Cause), u64>,
}

/// Simulates trials `range` of a world.
pub fn simulate(world: &World, seed: u64, range: Range<u32>, watch: &dyn Watch) -> Ensemble {
    let mut one = [Ensemble::new(seed)];
    extend(&mut one, &[world], &range.map(|trial| (0, trial)).collect::<Vec<_>>(), watch);
    let [one] = one;
    one
}

/// Simulates trials of many worlds, each given as (world, trial), and adds them to the worlds'
/// ensembles in that order.
pub fn extend(
    ensembles: &mut [Ensemble],
    worlds: &[&World],
    trials: &[(usize, u32)],
    watch: &dyn Watch,
) {
    for batch in trials.chunks(BATCH as usize) {
        // the first of the batch that would not end, as far as is known: what comes after it need
        // not be played
        let first = AtomicUsize::new(if watch.is_void() { 0 } else { usize::MAX });
        let numbered: Vec<(usize, (usize, u32))> = batch.iter().copied().enumerate().collect();
        let play = |&(i, (w, trial)): &(usize, (usize, u32))| {
            if i >= first.load(Ordering::Relaxed) {
                return Tally::new(worlds[w], trial);
            }
            let tally = run(worlds[w], ensembles[w].seed, trial, Keep::default()).0;
            if tally.endless.is_some() {
                first.fetch_min(i, Ordering::Relaxed);
            }
            tally
        };
        let tallies = in_order(&numbered, play, &|| watch.done());
        for (&(w, trial), tally) in batch.iter().zip(tallies) {
            if let Some((person, at)) = tally.endless {
                let (seed, guests) = (ensembles[w].seed, worlds[w].scenario.guests);
                watch.endless(Endless { seed, trial, guests, person, at });
            }
            ensembles[w].add(tally);
        }
    }
}

impl Ensemble {
    /// No trials yet.
    pub fn new(seed: u64) -> Self {
        Ensemble {
            trials: vec![],
            seed,
            lost_cells: vec![],
            presence: vec![],
            inside: vec![],
            jam_bins: BTreeMap::new(),
            lost_near: BTreeMap::new(),
        }
    }

    /// Adds a trial.
    pub fn add(&mut self, mut tally: Tally) {
        sum_into(&mut self.lost_cells, &std::mem::take(&mut tally.lost_cells));
        for (bin, cells) in std::mem::take(&mut tally.presence).iter().enumerate() {
            if self.presence.len() <= bin {
                self.presence.push(vec![]);
            }
            sum_into(&mut self.presence[bin], cells);
        }
        sum_into(&mut self.inside, &tally.inside);
        count_into(&mut self.jam_bins, std::mem::take(&mut tally.jam_bins));
        count_into(&mut self.lost_near, std::mem::take(&mut tally.lost_near));
        let jams = tally.jams.iter().filter(|j| !j.leaving).count() as u32;
        let jammed = tally.jammed.values().copied().max().unwrap_or(0);
        let lost = tally.lost.values().sum::<u64>() as f64 / TICKS as f64;
        let waited = tally.waits.iter().flatten().map(|&w| seconds(w)).sum();
        self.trials.push(Summary { jams, jammed, lost, waited, tally });
    }

    /// Adds trials of the same world and seed that were played apart, and come after these.
    pub fn join(&mut self, later: Ensemble) {
        self.trials.extend(later.trials);
        sum_into(&mut self.lost_cells, &later.lost_cells);
        if self.presence.len() < later.presence.len() {
            self.presence.resize(later.presence.len(), vec![]);
        }
        self.presence.iter_mut().zip(&later.presence).for_each(|(sum, bin)| sum_into(sum, bin));
        sum_into(&mut self.inside, &later.inside);
        count_into(&mut self.jam_bins, later.jam_bins);
        count_into(&mut self.lost_near, later.lost_near);
    }

    /// Number of trials.
    pub fn len(&self) -> usize {
        self.trials.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.trials.is_empty()
    }

    /// Mean over trials of an amount, which is never below 0, and nor is its range.
    pub fn mean_of(&self, amount: impl Fn(&Summary) -> f64) -> Estimate {
        let mean = mean(&self.trials.iter().map(amount).collect::<Vec<_>>());
        Estimate { low: mean.low.max(0.0), ..mean }
    }

    /// Share of trials in which something holds.
    pub fn share_of(&self, holds: impl Fn(&Summary) -> bool) -> Estimate {
        share(self.trials.iter().filter(|s| holds(s)).count() as u64, self.trials.len() as u64)
    }

    /// Share of trials with a jam anywhere before the leaving rush.
    pub fn any_jam_risk(&self) -> Estimate {
        self.share_of(|s| s.jams > 0)
    }

    /// The `p` quantile over evenings of a number of seconds, with an interval from drawing the
    /// evenings anew.
    pub fn quantile_of(&self, p: f64, seconds: impl Fn(&Summary) -> u32) -> Estimate {
        let each: Vec<Vec<u32>> = self.trials.iter().map(|s| vec![seconds(s)]).collect();
        let mut stream = Key { seed: self.seed, trial: 1, person: 0 }.stream(Purpose::Resample, 0);
        let n = each.len() as u32;
        pooled_quantile(&each, p, RESAMPLES, || stream.below(n) as usize)
    }

    /// Guest-minutes lost at a place and evening.
    pub fn lost_minutes(&self, place: PlaceId) -> Estimate {
        self.mean_of(|s| {
            s.tally
                .lost
                .iter()
                .filter(|((p, _), _)| *p == place)
                .map(|(_, &t)| t as f64)
                .sum::<f64>()
                / TICKS as f64
                / 60.0
        })
    }

    /// Guest-minutes lost at a place and evening by cause, most first.
    pub fn causes(&self, place: PlaceId) -> Vec<(Cause, f64)> {
        let mut by: BTreeMap<Cause, u64> = BTreeMap::new();
        for s in &self.trials {
            for ((p, cause), &t) in &s.tally.lost {
                if *p == place {
                    *by.entry(*cause).or_default() += t;
                }
            }
        }
        let per = TICKS as f64 * 60.0 * self.trials.len().max(1) as f64;
        let mut causes: Vec<(Cause, f64)> =
            by.into_iter().map(|(c, t)| (c, t as f64 / per)).collect();
        causes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        causes
    }

    /// The `p` quantile of all waits at a spot in seconds, with an interval from resampling whole
    /// evenings.
    pub fn wait_quantile(&self, spot: SpotId, p: f64) -> Estimate {
        let groups: Vec<Vec<u32>> = self
            .trials
            .iter()
            .map(|s| s.tally.waits[spot].iter().map(|&w| seconds(w).round() as u32).collect())
            .collect();
        let mut stream = Key { seed: self.seed, trial: 0, person: usize::from(spot) as u32 }
            .stream(Purpose::Resample, 0);
        let n = groups.len() as u32;
        pooled_quantile(&groups, p, RESAMPLES, || stream.below(n) as usize)
    }

    /// Mean wait at a spot in seconds: the mean over evenings of the evening's own mean.
    pub fn mean_wait(&self, spot: SpotId) -> Estimate {
        let means: Vec<f64> = self
            .trials
            .iter()
            .filter(|s| !s.tally.waits[spot].is_empty())
            .map(|s| {
                let waits = &s.tally.waits[spot];
                waits.iter().map(|&w| seconds(w)).sum::<f64>() / waits.len() as f64
            })
            .collect();
        mean(&means)
    }

    /// Person-seconds in line at a spot over a bin of each trial, in order.
    pub fn line_at(&self, spot: SpotId, bin: usize) -> Vec<u32> {
        let mut values: Vec<u32> = self
            .trials
            .iter()
            .map(|s| s.tally.lines[spot].get(bin).copied().unwrap_or(0))
            .collect();
        values.sort_unstable();
        values
    }

    /// Median, tenth and ninetieth percentile of the mean line at a spot over a bin, in people.
    pub fn line_band(&self, spot: SpotId, bin: usize) -> [f64; 3] {
        let values = self.line_at(spot, bin);
        [0.5, 0.1, 0.9].map(|p| {
            f64::from(quantile_of_sorted(&values, p)) / f64::from(crate::crowd::measure::BIN)
        })
    }

    /// The two presence bins in a row with most guests inside: first bin.
    pub fn busiest(&self) -> usize {
        let pairs =
            self.inside.windows(2).enumerate().map(|(i, w)| (w[0] + w[1], std::cmp::Reverse(i)));
        pairs.max().map_or(0, |(_, i)| i.0)
    }

    /// People by raster cell over the busiest half hour of the average evening.
    pub fn crowding(&self) -> Vec<f64> {
        self.crowding_from(self.busiest())
    }

    /// Guests inside over the half hour from a presence bin on, of the average evening.
    pub fn inside_from(&self, first: usize) -> f64 {
        let seconds: u64 = self.inside.iter().skip(first).take(2).sum();
        seconds as f64 / (f64::from(PRESENCE_BIN) * 2.0 * self.trials.len().max(1) as f64)
    }

    /// People by raster cell over the half hour from a presence bin on, of the average evening.
    pub fn crowding_from(&self, first: usize) -> Vec<f64> {
        let bins: Vec<&Vec<u64>> = self.presence.iter().skip(first).take(2).collect();
        let per = TICKS as f64 * f64::from(PRESENCE_BIN) * 2.0 * self.trials.len().max(1) as f64;
        let cells = bins.first().map_or(0, |b| b.len());
        (0..cells)
            .map(|c| bins.iter().map(|b| b.get(c).copied().unwrap_or(0) as f64).sum::<f64>() / per)
            .collect()
    }

    /// A figure by raster cell, summed over each place.
    pub fn by_place(world: &World, cells: &[f64]) -> TiVec<PlaceId, f64> {
        let mut sums = TiVec::from(vec![0.0; world.places.len()]);
        let width = world.grid.width.div_ceil(COARSE);
        for (c, value) in cells.iter().enumerate().filter(|(_, v)| **v > 0.0) {
            let (i, j) = ((c % width) * COARSE, (c / width) * COARSE);
            let nodes = (0..COARSE * COARSE)
                .map(|k| (i + k % COARSE, j + k / COARSE))
                .filter(|n| n.0 < world.grid.width && n.1 < world.grid.height);
            let place =
                nodes.into_iter().find_map(|(i, j)| world.place_of[j * world.grid.width + i]);
            if let Some(place) = place {
                sums[place] += value;
            }
        }
        sums
    }

    /// Guest-minutes lost by raster cell and evening.
    pub fn holdups(&self) -> Vec<f64> {
        let per = TICKS as f64 * 60.0 * self.trials.len().max(1) as f64;
        self.lost_cells.iter().map(|&t| t as f64 / per).collect()
    }
}

fn count_into<K: Ord, N: Into<u64>>(total: &mut BTreeMap<K, u64>, add: BTreeMap<K, N>) {
    add.into_iter().for_each(|(key, n)| *total.entry(key).or_default() += n.into());
}

fn sum_into<N: Copy + Into<u64>>(total: &mut Vec<u64>, add: &[N]) {
    if total.len() < add.len() {
        total.resize(add.len(), 0);
    }
    total.iter_mut().zip(add).for_each(|(t, &a)| *t += a.into());
}
