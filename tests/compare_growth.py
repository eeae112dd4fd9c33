"""Rates of growth and growth learnt from opened marks, held against SciPy.

    cargo run --quiet --example growth_traces | python3 tests/compare_growth.py

Needs SciPy 1.16.3 and numpy 2.3.4. Quantiles of Student's t are held against scipy.stats.t, rates and
their standard errors against scipy.stats.linregress. Learnt factors are worked out anew: the
posterior of the mean logarithm, from a normal prior that counts as so many marks and a normal
likelihood, is put together on a grid and summed up numerically, and so is the spread of one more
mark; the interval of the marks alone is that of scipy.stats.ttest_1samp.

WRONG=quantile, WRONG=rate, WRONG=worth, WRONG=spread or WRONG=alone in the environment puts a slip in
here, to see that the comparison notices.
"""

import math
import os
import sys

import numpy as np
from scipy import integrate, stats

WRONG = os.environ.get("WRONG", "")
BOUND = 1e-6
# A spread of its own: the estimate must not depend on which.
SPREAD = 0.37


def figures(text):
    return [float(part) for part in text.split(";")]


def off(found, expected):
    return abs(found - expected) / max(1.0, abs(expected))


def quantile(row):
    freedom, found = int(row[0]), float(row[1])
    level = 0.974 if WRONG == "quantile" else 0.975
    return off(found, stats.t.ppf(level, freedom))


def rate(row):
    x, y = figures(row[0]), figures(row[1])
    fit = stats.linregress(x, y)
    freedom = len(x) - (1 if WRONG == "rate" else 2)
    half = stats.t.ppf(0.975, freedom) * fit.stderr
    return max(off(float(row[2]), fit.slope), off(float(row[3]), half))


def posterior(worth, prior, logs):
    """Mean and variance of the mean logarithm, from prior times likelihood on a grid."""
    grid = np.linspace(-3.0, 5.0, 16001)
    density = stats.norm.logpdf(grid, prior, SPREAD / math.sqrt(worth))
    for one in logs:
        density = density + stats.norm.logpdf(one, grid, SPREAD)
    density = np.exp(density - density.max())
    whole = integrate.simpson(density, x=grid)
    mean = integrate.simpson(density * grid, x=grid) / whole
    return mean, integrate.simpson(density * (grid - mean) ** 2, x=grid) / whole


def learnt(row):
    worth = float(row[0]) + (1.0 if WRONG == "worth" else 0.0)
    low, likely, high = figures(row[1])
    logs = [math.log(max(1.0, ratio)) for ratio in figures(row[2])]
    mean, variance = posterior(worth, math.log(likely), logs)
    before = math.sqrt(SPREAD**2 / worth + SPREAD**2)
    after = math.sqrt(variance + SPREAD**2)
    if WRONG == "spread":
        after = before
    one_more = [mean + math.log(end / likely) * after / before for end in (low, high)]
    expected = [
        math.exp(max(0.0, min(one_more[0], min(logs)))),
        math.exp(max(0.0, mean)),
        math.exp(max(0.0, one_more[1], max(logs))),
    ]
    worst = max(off(found, want) for found, want in zip(figures(row[3]), expected))
    of_mean = [mean + math.log(end / likely) * math.sqrt(variance) / before for end in (low, high)]
    for found, want in zip(figures(row[4]), of_mean):
        worst = max(worst, off(found, math.exp(max(0.0, want))))
    worst = max(worst, off(float(row[5]), stats.gmean(np.exp(logs))))
    if len(logs) > 1:
        level = 0.94 if WRONG == "alone" else 0.95
        interval = stats.ttest_1samp(logs, 0.0).confidence_interval(level)
        for found, want in zip(figures(row[6]), interval):
            worst = max(worst, off(found, math.exp(want)))
    # Few marks stay near the book: less than half way to them while they are fewer than it is worth.
    if len(logs) < worth:
        book, alone, found = math.log(likely), float(np.mean(logs)), math.log(figures(row[3])[1])
        if abs(found - book) > abs(found - alone) + BOUND:
            sys.exit(f"{len(logs)} marks outweigh the book: {row}")
    return worst


def main():
    checks = {"t": quantile, "rate": rate, "learn": learnt}
    worst, counts = dict.fromkeys(checks, 0.0), dict.fromkeys(checks, 0)
    for line in sys.stdin:
        sort, *row = line.strip().split(",")
        worst[sort] = max(worst[sort], checks[sort](row))
        counts[sort] += 1
    for sort, name in (("t", "quantiles"), ("rate", "rates"), ("learn", "learnt factors")):
        print(f"{counts[sort]} {name}: at most {worst[sort]:.1e} apart, bound {BOUND:.0e}")
    if min(counts.values()) < 50:
        sys.exit("too little to compare")
    if max(worst.values()) > BOUND:
        sys.exit("rates or learnt growth differ from SciPy")


if __name__ == "__main__":
    main()
