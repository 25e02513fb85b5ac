//! The only place that makes random numbers: a named generator, one stream per key.

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Exp1, Gamma, StandardNormal};

/// What a stream is drawn for. Adding draws to one purpose never shifts another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u16)]
pub enum Purpose {
    /// Sizes of parties.
    Parties = 1,
    /// When a party comes and goes.
    Arrival,
    /// Pace.
    Pace,
    /// Whether there is a coat.
    Coat,
    /// Thirst.
    Thirst,
    /// Appetite.
    Appetite,
    /// Trips to the powder room.
    Bladder,
    /// Wanting a seat, and how long.
    Seat,
    /// Where to talk, for how long, in what size of group.
    Talk,
    /// Time at a spot.
    Service,
    /// Gaps between scripted guests.
    Errand,
    /// Where a room's scripted guests stand at first.
    Fill,
    /// Resampling of trials.
    Resample,
    /// What the hosts do.
    Hosting,
}

/// A stream of random numbers: ChaCha with 8 rounds, keyed by seed, trial, person, purpose and
/// occurrence. The 32-byte key is, in order and little-endian: seed (8), trial (4), person (4),
/// purpose (2), occurrence (4), zeros.
pub struct Chance(ChaCha8Rng);

/// Names one stream; see [`Chance`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    /// The seed of the whole run.
    pub seed: u64,
    /// The trial number.
    pub trial: u32,
    /// The person or party the draw belongs to.
    pub person: u32,
}

impl Key {
    /// The stream of this key for a purpose and the n-th time it is needed.
    pub fn stream(self, purpose: Purpose, occurrence: u32) -> Chance {
        let mut bytes = [0u8; 32];
        bytes[..8].copy_from_slice(&self.seed.to_le_bytes());
        bytes[8..12].copy_from_slice(&self.trial.to_le_bytes());
        bytes[12..16].copy_from_slice(&self.person.to_le_bytes());
        bytes[16..18].copy_from_slice(&(purpose as u16).to_le_bytes());
        bytes[18..22].copy_from_slice(&occurrence.to_le_bytes());
        Chance(ChaCha8Rng::from_seed(bytes))
    }
}

impl Chance {
    /// Uniform in [0, 1).
    pub fn uniform(&mut self) -> f64 {
        self.0.random::<f64>()
    }

    /// Uniform whole number below `n` (0 if `n` is 0).
    pub fn below(&mut self, n: u32) -> u32 {
        if n == 0 { 0 } else { self.0.random_range(0..n) }
    }

    /// The same for large numbers.
    pub fn below_long(&mut self, n: u64) -> u64 {
        if n == 0 { 0 } else { self.0.random_range(0..n) }
    }

    /// True with probability `p`.
    pub fn happens(&mut self, p: f64) -> bool {
        self.uniform() < p
    }

    /// Exponential with the given mean.
    pub fn exponential(&mut self, mean: f64) -> f64 {
        let x: f64 = Exp1.sample(&mut self.0);
        x * mean
    }

    /// Normal.
    pub fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.0);
        mean + sd * z
    }

    /// Normal cut to `low..=high` by drawing again (at most 100 times, then the nearer end).
    pub fn normal_within(&mut self, mean: f64, sd: f64, low: f64, high: f64) -> f64 {
        for _ in 0..100 {
            let x = self.normal(mean, sd);
            if (low..=high).contains(&x) {
                return x;
            }
        }
        mean.clamp(low, high)
    }

    /// A positive duration with this mean and standard deviation (gamma); exactly the mean if `sd`
    /// is 0.
    pub fn duration(&mut self, mean: f64, sd: f64) -> f64 {
        if sd <= 0.0 || mean <= 0.0 {
            return mean.max(0.0);
        }
        let shape = (mean / sd) * (mean / sd);
        Gamma::new(shape, mean / shape).map_or(mean, |g| g.sample(&mut self.0))
    }

    /// Index drawn in proportion to whole-number weights; `None` if all are 0.
    pub fn weighted(&mut self, weights: &[u64]) -> Option<usize> {
        let total: u64 = weights.iter().sum();
        if total == 0 {
            return None;
        }
        let mut ticket = self.0.random_range(0..total);
        weights.iter().position(|&w| {
            if ticket < w {
                return true;
            }
            ticket -= w;
            false
        })
    }

    /// Zero-truncated Poisson of the given rate, at most `most`: the law of sizes of free-forming
    /// groups (Coleman & James 1961, Sociometry 24:36).
    pub fn group_size(&mut self, rate: f64, most: u32) -> u32 {
        let mut ticket = self.uniform() * (rate.exp() - 1.0);
        let mut weight = 1.0;
        for k in 1..=200 {
            weight *= rate / f64::from(k);
            if ticket < weight {
                return k.min(most);
            }
            ticket -= weight;
        }
        most
    }

    /// A fresh 64-bit number.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KEY: Key = Key { seed: 1, trial: 2, person: 3 };

    #[test]
    fn a_key_always_gives_the_same_stream_and_another_key_another() {
        let first = |key: Key, purpose| key.stream(purpose, 0).bits();
        assert_eq!(first(KEY, Purpose::Pace), first(KEY, Purpose::Pace));
        assert_ne!(first(KEY, Purpose::Pace), first(KEY, Purpose::Coat));
        assert_ne!(first(KEY, Purpose::Pace), first(Key { trial: 3, ..KEY }, Purpose::Pace));
    }

    #[test]
    fn durations_have_their_mean_and_spread() {
        let mut c = KEY.stream(Purpose::Service, 0);
        let n = 20_000;
        let draws: Vec<f64> = (0..n).map(|_| c.duration(132.0, 60.0)).collect();
        let mean = draws.iter().sum::<f64>() / f64::from(n);
        let sd = (draws.iter().map(|d| (d - mean) * (d - mean)).sum::<f64>() / f64::from(n)).sqrt();
        assert!((mean - 132.0).abs() < 1.5, "mean {mean}");
        assert!((sd - 60.0).abs() < 1.5, "sd {sd}");
    }

    /// Rate 1.4 gives shares 46, 32, 15, 5 % for 1 to 4 (zero-truncated Poisson).
    #[test]
    fn group_sizes_follow_the_truncated_law() {
        let mut c = KEY.stream(Purpose::Talk, 0);
        let mut seen = [0u32; 6];
        for _ in 0..20_000 {
            seen[c.group_size(1.4, 5) as usize] += 1;
        }
        for (k, want) in [(1, 0.458), (2, 0.321), (3, 0.150), (4, 0.052)] {
            assert!((f64::from(seen[k]) / 20_000.0 - want).abs() < 0.012, "{k}: {}", seen[k]);
        }
    }
}
