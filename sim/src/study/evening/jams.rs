//! Where it jams: the spots of floor that stand out, for how long, when and why.

use crate::base::stats::Estimate;
use crate::base::units::TICKS;
use crate::crowd::measure::{BIN, Cause};
use crate::floor::world::{PINCH_RADIUS, PinchId, World};
use crate::study::ensemble::Ensemble;
use std::collections::BTreeMap;

/// A spot of floor over all evenings.
#[derive(Clone, Debug)]
pub struct JamReport {
    /// The spot.
    pub pinch: PinchId,
    /// Share of evenings with a jam there before the leaving rush.
    pub risk: Estimate,
    /// Seconds of jam there that 9 evenings in 10 stay below.
    pub jammed: Estimate,
    /// Minutes of jam there an evening, on average.
    pub minutes: Estimate,
    /// Share of evenings with a jam there in the leaving rush.
    pub leaving_risk: Estimate,
    /// Guest-minutes lost an evening within its circle.
    pub lost_minutes: f64,
    /// Seconds after the start between which most of the jam falls.
    pub when: Option<(i64, i64)>,
    /// Guest-minutes lost an evening within its circle by cause, most first.
    pub causes: Vec<(Cause, f64)>,
}

/// At most so many spots are told.
const MOST: usize = 6;
/// Spots nearer than this to a worse one are the same jam, in meters: their circles overlap.
const ONE_JAM: f64 = 2.0 * PINCH_RADIUS;
/// Spots are told that jam on at least this share of evenings …
const WORTH_TELLING: f64 = 0.01;
/// Share of a spot's jam seconds that its "mostly" has to cover.
const MOSTLY: f64 = 0.6;

/// The spots that jam, the worst first: by the time 9 evenings in 10 stay below, then by the mean.
pub fn jams(world: &World, trials: &Ensemble) -> Vec<JamReport> {
    let mut ranked = ranked(trials);
    let mut picked: Vec<PinchId> = vec![];
    ranked.retain(|&(_, share, _)| share >= WORTH_TELLING);
    for (pinch, ..) in ranked {
        let (x, y) = world.pinches.get(pinch).at;
        let apart = |p: &PinchId| {
            (world.pinches.get(*p).at.0 - x).hypot(world.pinches.get(*p).at.1 - y) >= ONE_JAM
        };
        if picked.len() < MOST && picked.iter().all(apart) {
            picked.push(pinch);
        }
    }
    picked.into_iter().map(|pinch| report(world, trials, pinch)).collect()
}

/// The spot of floor within whose circle most time is lost, with its guest-minutes an evening.
pub(super) fn most_lost(world: &World, trials: &Ensemble) -> Option<(PinchId, f64)> {
    let mut at: BTreeMap<PinchId, u64> = BTreeMap::new();
    for ((pinch, _), &ticks) in &trials.lost_near {
        world
            .pinches
            .around(world.pinches.get(*pinch).at)
            .for_each(|near| *at.entry(near).or_default() += ticks);
    }
    let per = TICKS as f64 * 60.0 * trials.len().max(1) as f64;
    at.into_iter()
        .max_by_key(|&(pinch, ticks)| (ticks, std::cmp::Reverse(pinch)))
        .map(|(pinch, ticks)| (pinch, ticks as f64 / per))
}

/// The spots by badness, with the share of evenings on which each jams.
fn ranked(trials: &Ensemble) -> Vec<(PinchId, f64, (u32, u64))> {
    let mut seconds: BTreeMap<PinchId, Vec<u32>> = BTreeMap::new();
    for s in &trials.trials {
        s.tally.jammed.iter().for_each(|(&pinch, &n)| seconds.entry(pinch).or_default().push(n));
    }
    let evenings = trials.len().max(1);
    let bad = |each: &mut Vec<u32>| {
        each.sort_unstable();
        // evenings that are not there had no jam
        let rank = (crate::study::evening::USUAL * evenings as f64).ceil() as usize;
        let quiet = evenings - each.len();
        let usual = rank.checked_sub(quiet + 1).and_then(|i| each.get(i)).copied().unwrap_or(0);
        (usual, each.iter().map(|&n| u64::from(n)).sum::<u64>())
    };
    let mut ranked: Vec<_> = seconds
        .into_iter()
        .map(|(pinch, mut each)| (pinch, each.len() as f64 / evenings as f64, bad(&mut each)))
        .collect();
    ranked.sort_by_key(|&(pinch, _, bad)| (std::cmp::Reverse(bad), pinch));
    ranked
}

fn report(world: &World, trials: &Ensemble, pinch: PinchId) -> JamReport {
    let at = |s: &crate::study::ensemble::Summary| s.tally.jammed.get(&pinch).copied().unwrap_or(0);
    let causes = causes(world, trials, pinch);
    JamReport {
        pinch,
        risk: trials.share_of(|s| at(s) > 0),
        jammed: trials.quantile_of(crate::study::evening::USUAL, at),
        minutes: trials.mean_of(|s| f64::from(at(s)) / 60.0),
        leaving_risk: trials.share_of(|s| s.tally.jammed_leaving.contains_key(&pinch)),
        lost_minutes: causes.iter().map(|c| c.1).sum(),
        when: when(world, trials, pinch),
        causes,
    }
}

/// Guest-minutes lost an evening within the circle of a spot, by cause, most first.
fn causes(world: &World, trials: &Ensemble, pinch: PinchId) -> Vec<(Cause, f64)> {
    let mut by: BTreeMap<Cause, u64> = BTreeMap::new();
    for near in world.pinches.around(world.pinches.get(pinch).at) {
        let here =
            trials.lost_near.range((near, Cause::FIRST)..).take_while(|((p, _), _)| *p == near);
        here.for_each(|((_, cause), &ticks)| *by.entry(*cause).or_default() += ticks);
    }
    let per = TICKS as f64 * 60.0 * trials.len().max(1) as f64;
    let mut causes: Vec<(Cause, f64)> = by.into_iter().map(|(c, t)| (c, t as f64 / per)).collect();
    causes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    causes
}

/// The shortest run of bins that covers most of the jam seconds, as seconds after the start.
fn when(world: &World, trials: &Ensemble, pinch: PinchId) -> Option<(i64, i64)> {
    let bins: Vec<(u32, u64)> = trials
        .jam_bins
        .range((pinch, 0)..)
        .take_while(|((p, _), _)| *p == pinch)
        .map(|((_, bin), &n)| (*bin, n))
        .collect();
    let total: u64 = bins.iter().map(|b| b.1).sum();
    let mut best: Option<(u32, u32)> = None;
    for (i, &(from, _)) in bins.iter().enumerate() {
        let mut sum = 0;
        for &(to, n) in &bins[i..] {
            sum += n;
            if sum as f64 >= MOSTLY * total as f64 {
                if best.is_none_or(|(a, b)| to - from < b - a) {
                    best = Some((from, to));
                }
                break;
            }
        }
    }
    let lead = world.scenario.lead() as i64;
    best.map(|(from, to)| (i64::from(from * BIN) - lead, i64::from((to + 1) * BIN) - lead))
}
