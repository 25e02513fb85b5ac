"""Makes the stored values of tests/tests/reference.rs with general libraries, so that our own statistics are held against others.

Run: python3 tests/reference/values.py   (made with Python 3.11.7, see the first line printed for the libraries)
"""

import numpy
import scipy
from scipy import special, stats

print("scipy", scipy.__version__, "numpy", numpy.__version__)

print("Wilson score intervals: hits, of, low, high")
for hits, of in [(0, 20), (1, 20), (50, 500), (81, 263), (499, 500), (500, 500)]:
    ci = stats.binomtest(hits, of).proportion_ci(0.95, method="wilson")
    print(f"({hits}, {of}, {ci.low:.9f}, {ci.high:.9f}),")

print("means with Student intervals: values k*k % m for k in 1..=n; n, m, mean, low, high")
for n, m in [(2, 7), (5, 11), (64, 101), (500, 997)]:
    values = numpy.array([k * k % m for k in range(1, n + 1)], dtype=float)
    low, high = stats.t.interval(0.95, n - 1, loc=values.mean(), scale=stats.sem(values))
    print(f"({n}, {m}, {values.mean():.9f}, {low:.9f}, {high:.9f}),")

print("quantiles, inverted distribution function, of the same values; n, m, p, quantile")
for n, m, p in [(5, 11, 0.5), (64, 101, 0.9), (500, 997, 0.025), (500, 997, 0.975)]:
    values = [k * k % m for k in range(1, n + 1)]
    print(f"({n}, {m}, {p}, {int(numpy.quantile(values, p, method='inverted_cdf'))}),")

print("Erlang C by its sum: load, servers, chance to wait")
for load, servers in [(0.6, 1), (2.0, 3), (3.0, 5), (10.0, 11), (10.0, 16)]:
    log_terms = [k * numpy.log(load) - special.gammaln(k + 1) for k in range(servers + 1)]
    top = numpy.exp(log_terms[servers]) * servers / (servers - load)
    print(f"({load}, {servers}, {top / (numpy.exp(log_terms[:servers]).sum() + top):.9f}),")
