//! Where a rising curve crosses a bound: two parameters fitted to what was seen near the crossing,
//! and the interval of those crossings that a test does not refuse. Groups (whole trials) are
//! independent; what one group shows at different x is not.

use super::student_t;
use std::collections::BTreeSet;

/// How a mean rises with x.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rise {
    /// A share: ln(m / (1 - m)) is a straight line.
    Share,
    /// An amount: m itself is a straight line. Keep what is seen near the crossing.
    Amount,
}

/// What one group showed at one x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// The group, counted from 0.
    pub group: usize,
    /// Where.
    pub x: f64,
    /// The share (0 to 1) or amount.
    pub y: f64,
    /// How much it counts for: visits behind a share, otherwise 1; 0 for a group that only corrects
    /// what others showed.
    pub weight: f64,
    /// What is added to its share or amount times its weight, because something is known of the
    /// group: how lucky it was.
    pub correction: f64,
}

/// Where the curve crosses the bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The likeliest x.
    pub value: f64,
    /// Lower end of the 95 % interval; minus infinity if nothing was seen that bounds it.
    pub low: f64,
    /// Upper end; infinity if nothing was seen that bounds it.
    pub high: f64,
    /// Slope of the straight line.
    pub slope: f64,
}

impl Rise {
    /// The mean where the line is at `line`.
    fn mean(self, line: f64) -> f64 {
        match self {
            Rise::Share => 1.0 / (1.0 + (-line).exp()),
            Rise::Amount => line,
        }
    }

    /// The line where the mean is `mean`, kept off 0 and 1, where that of a share has no value.
    fn line(self, mean: f64) -> f64 {
        match self {
            Rise::Share => {
                let m = mean.clamp(LEAST, 1.0 - LEAST);
                (m / (1.0 - m)).ln()
            }
            Rise::Amount => mean,
        }
    }

    /// How much the mean changes with the line.
    fn steepness(self, mean: f64) -> f64 {
        match self {
            Rise::Share => mean * (1.0 - mean),
            Rise::Amount => 1.0,
        }
    }

    /// What the prior adds to the score for a leverage of 1.
    fn pull(self, mean: f64) -> f64 {
        match self {
            Rise::Share => 0.5 - mean,
            Rise::Amount => 0.0,
        }
    }
}

/// A share nearer to 0 or 1 than this is taken as this.
const LEAST: f64 = 1e-3;
/// Steps of Newton's method, and the change at which it has arrived.
const MOST_STEPS: usize = 60;
const ARRIVED: f64 = 1e-10;
/// Longest step of a parameter: keeps the first steps from flying off.
const LONGEST: f64 = 5.0;

/// The crossing of `bound` by the curve fitted to what was seen; `None` if nothing rises there:
/// fewer than two x, or a line that does not climb.
///
/// Shares are fitted by the likelihood with Jeffreys' prior (Firth 1993, Biometrika 80:27), which
/// has a maximum even where all or nothing was seen; amounts by least squares. The variance is that
/// of the sums over groups (Liang & Zeger 1986, Biometrika 73:13), with n/(n-2) for the two
/// parameters. Corrections count as if they had been seen. The interval is every x at which "the
/// line is at the bound" is not refused at 5 % (Fieller 1954, J. R. Stat. Soc. B 16:175), with Student's t, whose degrees of freedom are those of
/// that variance: few where few groups tell (Pan & Wall 2002, Stat. Med. 21:1429, from memory).
pub fn crossing(seen: &[Seen], rise: Rise, bound: f64) -> Option<Crossing> {
    let first = seen.first()?.x;
    if seen.iter().all(|s| s.x == first) {
        return None;
    }
    let total: f64 = seen.iter().map(|s| s.weight).sum();
    let center = seen.iter().map(|s| s.x * s.weight).sum::<f64>() / total;
    let fit = fit(seen, rise, center)?;
    let [a, b] = fit.line;
    if b <= 0.0 {
        return None;
    }
    let above = a - rise.line(bound);
    let value = center - above / b;
    let [v00, v01, v11] = fit.variance;
    let t2 = student_t(fit.freedom([1.0, value - center])).powi(2);
    let (p, q, r) = (b * b - t2 * v11, b * above - t2 * v01, above * above - t2 * v00);
    let root = |sign: f64| center + (-q + sign * (q * q - p * r).sqrt()) / p;
    // where the slope is not sure, what is refused is a stretch about the center: a rising curve
    // crosses beyond it, on the side it has not reached
    let (low, high) = match (p > 0.0, q * q >= p * r) {
        (true, true) => (root(-1.0), root(1.0)),
        (false, true) if above < 0.0 => (root(-1.0), f64::INFINITY),
        (false, true) => (f64::NEG_INFINITY, root(1.0)),
        (_, false) => (f64::NEG_INFINITY, f64::INFINITY),
    };
    Some(Crossing { value, low, high, slope: b })
}

/// A fitted line through (0, a) with slope b, x counted from a center.
struct Fit {
    line: [f64; 2],
    /// Of a, of both together, of b.
    variance: [f64; 3],
    bread: Square,
    /// The score of each group that showed or corrected anything.
    scores: Vec<[f64; 2]>,
    /// Groups that showed anything.
    groups: f64,
}

impl Fit {
    /// Degrees of freedom of the variance of a sum of the two parameters, from how far groups differ
    /// in what they add to it; at most two less than groups that showed anything.
    fn freedom(&self, of: [f64; 2]) -> f64 {
        let weights = times(self.bread, of);
        let squares = self.scores.iter().map(|g| (weights[0] * g[0] + weights[1] * g[1]).powi(2));
        let (sum, squared) = squares.fold((0.0, 0.0), |(s, q), c| (s + c, q + c * c));
        let spread = squared - sum * sum / self.scores.len() as f64;
        let freedom = if spread > 0.0 { 2.0 * sum * sum / spread } else { self.groups };
        freedom.min(self.groups - 2.0).max(1.0)
    }
}

/// A symmetric two by two matrix: first, off the diagonal, last.
type Square = [f64; 3];

fn inverse([a, b, c]: Square) -> Option<Square> {
    let det = a * c - b * b;
    (det.abs() > 1e-300).then(|| [c / det, -b / det, a / det])
}

fn times([a, b, c]: Square, [x, y]: [f64; 2]) -> [f64; 2] {
    [a * x + b * y, b * x + c * y]
}

fn fit(seen: &[Seen], rise: Rise, center: f64) -> Option<Fit> {
    let mean = seen.iter().map(|s| s.y * s.weight).sum::<f64>()
        / seen.iter().map(|s| s.weight).sum::<f64>();
    let mut line = [rise.line(mean), 0.0];
    for _ in 0..MOST_STEPS {
        let inverse = inverse(information(seen, rise, center, line))?;
        let step = times(inverse, score(seen, rise, center, line, inverse))
            .map(|s| s.clamp(-LONGEST, LONGEST));
        line = [line[0] + step[0], line[1] + step[1]];
        if step.iter().all(|s| s.abs() < ARRIVED) {
            break;
        }
    }
    if line.iter().any(|l| !l.is_finite()) {
        return None;
    }
    let bread = inverse(information(seen, rise, center, line))?;
    let scores = scores(seen, rise, center, line);
    let shown = seen.iter().filter(|s| s.weight > 0.0).map(|s| s.group);
    let groups = shown.collect::<BTreeSet<_>>().len() as f64;
    let scale = groups / (groups - 2.0).max(1.0);
    let variance = sandwich(bread, meat(&scores)).map(|v| v * scale);
    Some(Fit { line, variance, bread, scores, groups })
}

fn information(seen: &[Seen], rise: Rise, center: f64, [a, b]: [f64; 2]) -> Square {
    seen.iter().fold([0.0; 3], |sum, s| {
        let u = s.x - center;
        let w = s.weight * rise.steepness(rise.mean(a + b * u));
        [sum[0] + w, sum[1] + w * u, sum[2] + w * u * u]
    })
}

/// The slope of the likelihood, with the prior's part.
fn score(seen: &[Seen], rise: Rise, center: f64, [a, b]: [f64; 2], inverse: Square) -> [f64; 2] {
    seen.iter().fold([0.0; 2], |sum, s| {
        let u = s.x - center;
        let mean = rise.mean(a + b * u);
        let [ia, ib] = times(inverse, [1.0, u]);
        let leverage = s.weight * rise.steepness(mean) * (ia + u * ib);
        let g = s.weight * (s.y - mean) + s.correction + leverage * rise.pull(mean);
        [sum[0] + g, sum[1] + g * u]
    })
}

/// The score of each group that showed or corrected anything.
fn scores(seen: &[Seen], rise: Rise, center: f64, [a, b]: [f64; 2]) -> Vec<[f64; 2]> {
    let groups = seen.iter().map(|s| s.group + 1).max().unwrap_or(0);
    let mut sums = vec![None; groups];
    for s in seen {
        let u = s.x - center;
        let g = s.weight * (s.y - rise.mean(a + b * u)) + s.correction;
        let sum: &mut [f64; 2] = sums[s.group].get_or_insert([0.0; 2]);
        *sum = [sum[0] + g, sum[1] + g * u];
    }
    sums.into_iter().flatten().collect()
}

/// Sum of the squares of groups' scores.
fn meat(scores: &[[f64; 2]]) -> Square {
    scores
        .iter()
        .fold([0.0; 3], |m, g| [m[0] + g[0] * g[0], m[1] + g[0] * g[1], m[2] + g[1] * g[1]])
}

/// bread · meat · bread.
fn sandwich(bread: Square, meat: Square) -> Square {
    let [a, b, c] = bread;
    let (p, q) = (times(meat, [a, b]), times(meat, [b, c]));
    [a * p[0] + b * p[1], a * q[0] + b * q[1], b * q[0] + c * q[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shares(at: &[(f64, u32, u32)]) -> Vec<Seen> {
        let each = at
            .iter()
            .flat_map(|&(x, hits, of)| (0..of).map(move |k| (x, f64::from(u8::from(k < hits)))));
        let seen = |(group, (x, y))| Seen { group, x, y, weight: 1.0, correction: 0.0 };
        each.enumerate().map(seen).collect()
    }

    #[test]
    fn a_symmetric_rise_crosses_half_in_the_middle() {
        let c =
            crossing(&shares(&[(1.0, 10, 100), (2.0, 50, 100), (3.0, 90, 100)]), Rise::Share, 0.5)
                .map(|c| (c.value, c.low, c.high));
        let (value, low, high) = c.unwrap_or((0.0, 0.0, 0.0));
        assert!((value - 2.0).abs() < 1e-9, "{value}");
        assert!(low > 1.8 && high < 2.2 && (2.0 - low - (high - 2.0)).abs() < 1e-6, "{low} {high}");
    }

    #[test]
    fn a_slope_that_is_not_sure_still_bounds_one_side() {
        let c = crossing(&shares(&[(1.0, 1, 200), (2.0, 3, 200)]), Rise::Share, 0.5);
        assert!(
            c.is_some_and(|c| c.low > 2.0 && c.high == f64::INFINITY && c.value >= c.low),
            "{c:?}"
        );
        let c = crossing(&shares(&[(1.0, 90, 100), (2.0, 93, 100)]), Rise::Share, 0.1);
        assert!(
            c.is_some_and(|c| c.high < 1.0 && c.low == f64::NEG_INFINITY && c.value <= c.high),
            "{c:?}"
        );
    }

    #[test]
    fn what_never_happens_has_no_end_above() {
        assert!(
            crossing(&shares(&[(1.0, 0, 50), (2.0, 0, 50)]), Rise::Share, 0.1)
                .is_none_or(|c| c.high == f64::INFINITY)
        );
        assert!(crossing(&shares(&[(1.0, 5, 50)]), Rise::Share, 0.1).is_none());
        assert!(crossing(&shares(&[(1.0, 40, 50), (2.0, 10, 50)]), Rise::Share, 0.1).is_none());
    }
}
