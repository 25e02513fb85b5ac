//! Pure statistics: quantiles and intervals. No word of houses or guests.

pub mod threshold;

use statrs::distribution::{ContinuousCDF, StudentsT};

/// The standard normal quantile at 97.5 %.
const Z95: f64 = 1.959_963_984_540_054;

/// A figure with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The figure.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

impl Estimate {
    /// A figure known without error.
    pub fn exact(value: f64) -> Self {
        Estimate { value, low: value, high: value }
    }

    /// The same with a range that keeps to what is possible.
    pub fn within(self, least: f64, most: f64) -> Self {
        Estimate { low: self.low.max(least), high: self.high.min(most), ..self }
    }

    /// The same figure in another unit.
    pub fn scaled(self, by: f64) -> Self {
        Estimate { value: self.value * by, low: self.low * by, high: self.high * by }
    }
}

/// Share `hits / of` with Wilson's score interval (Wilson 1927, J. Am. Stat. Assoc. 22:209).
/// With nothing tried, the whole of 0..1.
pub fn share(hits: u64, of: u64) -> Estimate {
    if of == 0 {
        return Estimate { value: 0.0, low: 0.0, high: 1.0 };
    }
    let p = hits as f64 / of as f64;
    let (low, high) = score_interval(p, of as f64, Z95);
    Estimate {
        value: p,
        low: if hits == 0 { 0.0 } else { low.max(0.0) },
        high: if hits == of { 1.0 } else { high.min(1.0) },
    }
}

/// Wilson's score interval of a share `p` of `n` at `z` standard deviations.
pub fn score_interval(p: f64, n: f64, z: f64) -> (f64, f64) {
    let z2 = z * z;
    let center = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    (center - half, center + half)
}

/// Mean with Student's 95 % interval. An empty slice gives 0; one value has no known error and
/// gives itself.
pub fn mean(values: &[f64]) -> Estimate {
    let n = values.len() as f64;
    if values.is_empty() {
        return Estimate::exact(0.0);
    }
    let value = values.iter().sum::<f64>() / n;
    if values.len() < 2 {
        return Estimate::exact(value);
    }
    let variance = values.iter().map(|x| (x - value) * (x - value)).sum::<f64>() / (n - 1.0);
    let half = student_t(n - 1.0) * (variance / n).sqrt();
    Estimate { value, low: value - half, high: value + half }
}

/// Chance that somebody has to wait at `servers` (at least 1) under a load of `load` servers' work,
/// by Erlang's second formula from the recursion of his first: B(k) = a B(k-1) / (k + a B(k-1)), C
/// = B / (1 - a/c (1 - B)). 1 where the load is too much.
pub fn erlang_c(load: f64, servers: u32) -> f64 {
    let use_of_each = load / f64::from(servers.max(1));
    if use_of_each >= 1.0 {
        return 1.0;
    }
    let all_busy = (1..=servers).fold(1.0, |b, k| load * b / (f64::from(k) + load * b));
    all_busy / (1.0 - use_of_each * (1.0 - all_busy))
}

/// The two-sided 95 % quantile of Student's t with `freedom` degrees of freedom.
fn student_t(freedom: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom).map_or(Z95, |t| t.inverse_cdf(0.975))
}

/// The `p` quantile (0..=1) of unsorted values: the smallest value with at least `p` of all at or
/// below it. An empty slice gives 0.
pub fn quantile(values: &[u32], p: f64) -> u32 {
    let mut sorted = values.to_vec();
    sorted.sort_unstable();
    quantile_of_sorted(&sorted, p)
}

/// [`quantile`] of values already in order.
pub fn quantile_of_sorted(sorted: &[u32], p: f64) -> u32 {
    if sorted.is_empty() {
        return 0;
    }
    let rank = (p * sorted.len() as f64).ceil().max(1.0) as usize;
    sorted[rank.min(sorted.len()) - 1]
}

/// The `p` quantile of values pooled over groups, with an interval from resampling whole groups.
/// `pick(k, n)` returns the group for the k-th draw of the n-th resample, in 0..groups.len().
pub fn pooled_quantile(
    groups: &[Vec<u32>],
    p: f64,
    resamples: u32,
    mut pick: impl FnMut() -> usize,
) -> Estimate {
    let pooled: Vec<u32> = groups.concat();
    let value = f64::from(quantile(&pooled, p));
    if groups.len() < 2 || pooled.is_empty() {
        return Estimate::exact(value);
    }
    let counts: Vec<Vec<(u32, u32)>> = groups.iter().map(|g| run_lengths(g)).collect();
    let top = pooled.iter().max().copied().unwrap_or(0) as usize;
    let mut histogram = vec![0u32; top + 1];
    let mut results: Vec<u32> = (0..resamples)
        .map(|_| {
            histogram.fill(0);
            let mut total = 0u64;
            for _ in 0..groups.len() {
                for &(v, n) in &counts[pick() % groups.len()] {
                    histogram[v as usize] += n;
                    total += u64::from(n);
                }
            }
            histogram_quantile(&histogram, total, p)
        })
        .collect();
    results.sort_unstable();
    Estimate {
        value,
        low: f64::from(quantile_of_sorted(&results, 0.025)).min(value),
        high: f64::from(quantile_of_sorted(&results, 0.975)).max(value),
    }
}

fn run_lengths(values: &[u32]) -> Vec<(u32, u32)> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable();
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for v in sorted {
        match runs.last_mut() {
            Some((last, n)) if *last == v => *n += 1,
            _ => runs.push((v, 1)),
        }
    }
    runs
}

fn histogram_quantile(histogram: &[u32], total: u64, p: f64) -> u32 {
    let rank = ((p * total as f64).ceil() as u64).max(1);
    let mut seen = 0u64;
    for (value, &n) in histogram.iter().enumerate() {
        seen += u64::from(n);
        if seen >= rank {
            return value as u32;
        }
    }
    0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) {
        assert!((a - b).abs() < 5e-5, "{a} is not {b}");
    }

    /// Newcombe 1998, Stat. Med. 17:857, table I: 81 of 263 gives 0.2553 to 0.3662 by the score
    /// method; 0 of 20 gives 0 to 0.1611. Values from memory.
    #[test]
    fn shares_have_the_published_score_interval() {
        let e = share(81, 263);
        close(e.low, 0.2553);
        close(e.high, 0.3662);
        let none = share(0, 20);
        close(none.low, 0.0);
        close(none.high, 0.1611);
    }

    /// Mean 3, standard error sqrt(2.5/5), t(4) = 2.776 445.
    #[test]
    fn means_have_students_interval() {
        let e = mean(&[1.0, 2.0, 3.0, 4.0, 5.0]);
        close(e.value, 3.0);
        close(e.high - 3.0, 2.776_445 * 0.5f64.sqrt());
    }

    #[test]
    fn quantiles_are_values_that_occur() {
        assert_eq!(quantile(&[5, 1, 9, 3], 0.5), 3);
        assert_eq!(quantile(&[5, 1, 9, 3], 0.9), 9);
        assert_eq!(quantile(&[], 0.9), 0);
    }

    #[test]
    fn pooled_quantile_brackets_its_value() {
        let groups: Vec<Vec<u32>> = (0..40).map(|g| vec![g % 7, 10 + g % 5, 20]).collect();
        let mut k = 0;
        let e = pooled_quantile(&groups, 0.5, 200, || {
            k += 17;
            k
        });
        assert!(e.low <= e.value && e.value <= e.high);
    }
}
