"""Values of the distributions in package uncertain by SciPy, written as JSON to
scipy_values.json beside this file (/usr/bin/python3 scipy_values.py > scipy_values.json).
The Go test compares with that file, and runs this script again where it can.
"""
import json

import numpy as np
from scipy import integrate, stats

Z90 = stats.norm.ppf(0.9)
CHANCES = [0.001, 0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95, 0.99, 0.999]
RANGES = [
    (500, 700, 1100), (500, 500 * 2**0.5, 1000), (240, 320, 520), (80, 250, 1500), (3, 4, 7),
    (100, 300, 400), (1, 9, 10), (600, 640, 642),  # skewed left
    (400, 500, 600), (0, 10, 20),  # symmetric
    (400, 500, 600.001), (400, 500, 599.999), (400, 500, 601),  # nearly symmetric
    (0, 5, 30), (0, 40, 60), (10, 11, 200),
]


def frozen(low, likely, high):
    """The distribution and the sign of its argument: X = sign * D."""
    if high - likely == likely - low:
        return stats.norm(likely, (high - low) / (2 * Z90)), 1
    if high - likely < likely - low:
        return frozen(-high, -likely, -low)[0], -1
    theta = (low * high - likely**2) / (low + high - 2 * likely)
    sigma = np.log((high - theta) / (likely - theta)) / Z90
    return stats.lognorm(s=sigma, loc=theta, scale=likely - theta), 1


def curve(low, likely, high):
    d, sign = frozen(low, likely, high)
    quantile = (lambda p: d.ppf(p)) if sign > 0 else (lambda p: -d.isf(p))
    cdf = (lambda x: d.cdf(x)) if sign > 0 else (lambda x: d.sf(-x))
    at = [low - 0.3 * (likely - low), low, 0.5 * (low + likely), likely, 0.5 * (likely + high), high + 0.7 * (high - likely)]
    # The mean of max(X, 0) over the normal score, cut where X passes zero.
    # SciPy's far quantiles lose their digits, so the score is put in by hand.
    k = d.kwds
    value = (lambda z: sign * (k["loc"] + k["scale"] * np.exp(k["s"] * z * sign))) if k else (lambda z: d.mean() + d.std() * z)
    score = lambda z: max(value(z), 0) * stats.norm.pdf(z)
    zero = stats.norm.ppf(cdf(0))
    start = max(-12, zero) if np.isfinite(zero) else -12
    cut = sum(integrate.quad(score, a, b, limit=400)[0] for a, b in ((start, max(start, 2)), (max(start, 2), max(start, 6)), (max(start, 6), 14)))
    return {
        "range": [low, likely, high], "quantiles": [quantile(p) for p in CHANCES],
        "mean": sign * d.mean(), "variance": d.var(),
        "at": at, "cdf": [cdf(x) for x in at], "mean_cut": cut,
    }


def posterior(m0, k0, a0, b0, y):
    """E[mean] and E[variance] of the posterior by quadrature over the prior times the likelihood."""
    def weight(v):
        # The mean is integrated out by hand: y | v is multivariate normal.
        n = len(y)
        cov = v * (np.eye(n) + np.ones((n, n)) / k0)
        return stats.multivariate_normal(np.full(n, m0), cov).pdf(y) * stats.invgamma(a0, scale=b0).pdf(v)

    def mean_given(v):
        return (k0 * m0 + sum(y)) / (k0 + len(y))

    moment = lambda f: integrate.quad(lambda s: f(np.exp(s)) * weight(np.exp(s)) * np.exp(s), -14, 10, limit=400)[0]
    whole = moment(lambda v: 1.0)
    return {"mean": moment(mean_given) / whole, "variance": moment(lambda v: v) / whole}


def compound(expected, low, likely, high, h, cells):
    """Quantiles and chances of the compound Poisson by FFT on a grid of width h."""
    d, _ = frozen(low, likely, high)
    edges = (np.arange(cells + 1) - 0.5) * h
    f = np.diff(d.cdf(np.maximum(edges, 0)))
    s = np.fft.irfft(np.exp(expected * (np.fft.rfft(f) - 1)), cells)
    cumulative = np.cumsum(s)
    grid = np.arange(cells) * h
    return {
        "expected": expected, "range": [low, likely, high],
        "mean": expected * d.mean(), "variance": expected * (d.var() + d.mean() ** 2),
        "quantiles": {str(p): float(grid[np.searchsorted(cumulative, p)]) for p in (0.5, 0.8, 0.9, 0.95)},
        "chances": {str(x): float(np.interp(x, grid + h / 2, cumulative)) for x in (0, 500, 1000, 2000)},
    }


SCORES = [0.3, 1.7, -0.4, 2.2, 0.9, 1.1, 3.0]
TAILS = [1e-16, 1e-12, 1e-9, 1e-6, 1e-4, 0.001, 0.0155, 0.02, 0.074, 0.076, 0.1, 0.3, 0.49999, 0.5, 0.7, 0.8, 0.9, 0.925, 0.975, 0.999, 0.999999]
RANKS = [(100, 0.5), (1000, 0.8), (1000, 0.9), (10000, 0.8), (10000, 0.9), (100000, 0.1), (100000, 0.5), (10, 0.5), (15, 0.5), (20, 0.5)]
WILSON = [(8000, 10000), (81, 100), (0, 50), (50, 50), (1, 3)]

print(json.dumps({
    "chances": CHANCES,
    "curves": [curve(*r) for r in RANGES],
    "normal": [{"p": p, "z": stats.norm.ppf(p)} for p in TAILS],
    "posterior": {"scores": SCORES, **posterior(0, 4, 2, 2, SCORES)},
    "predictive": [{"p": p, "x": stats.t(12).ppf(p) * 0.262871744 + 0.214957444} for p in (0.1, 0.5, 0.8, 0.9)],
    "compound": compound(1.8, 54, 180, 600, 2.0, 2**17),
    "ranks": [{"n": n, "p": p, "low": int(stats.binom.ppf(0.025, n, p)), "high": int(stats.binom.ppf(0.975, n, p)) + 1} for n, p in RANKS],
    "wilson": [{"k": k, "n": n, **dict(zip(("low", "high"), stats.binomtest(k, n).proportion_ci(method="wilson")))} for k, n in WILSON],
}, indent=1, default=float))
