"""The forecast's model in vectorised numpy: the same cases as benchCase in
bench_test.go, one column of trials at a time, no Python loop over trials.

usage: numpy_model.py plain|tuned JOBS TRIALS [REPEATS]

Prints the best time and the figures as JSON. `plain` is the model as one writes
it down; `tuned` works in place, with the fastest generator, and draws fallbacks
only where they are paid.
"""
import json
import sys
import time

import numpy as np

Z90 = 1.2815515655446004


def parameters(low, likely, high):
    """S_L through the 10 %, 50 % and 90 % points, skewed right (all cases here are)."""
    theta = (low * high - likely**2) / (low + high - 2 * likely)
    return theta, likely - theta, np.log((high - theta) / (likely - theta)) / Z90


def plain(jobs, trials, seed=1, rho=0.25, hour_value=25.0):
    rng = np.random.default_rng(seed)
    factor = rng.standard_normal(trials)

    def draw(low, likely, high, common=factor):
        theta, scale, sigma = parameters(low, likely, high)
        z = np.sqrt(rho) * common + np.sqrt(1 - rho) * rng.standard_normal(len(common))
        return np.maximum(theta + scale * np.exp(sigma * z), 0)

    items = np.empty((jobs + 1, trials))
    total_hours = np.zeros(trials)
    for i in range(jobs):
        size = 100 + 10.0 * i
        money = draw(0.8 * size, size, 1.6 * size)
        hours = draw(2, 3, 6)
        if i % 4 == 0:
            fails = rng.random(trials) < 0.25
            money = money + np.where(fails, draw(2 * size, 2.5 * size, 3.5 * size), 0)
            hours = hours + np.where(fails, draw(1, 2, 4), 0)
        if i % 5 == 0:
            needed = rng.random(trials) < 0.9
            money = np.where(needed, money, 0)
            hours = np.where(needed, hours, 0)
        total_hours += hours
        items[i] = money + hour_value * hours
    counts = rng.poisson(3.0, trials)
    which = np.repeat(np.arange(trials), counts)
    items[jobs] = np.bincount(which, weights=draw(80, 250, 1500, factor[which]), minlength=trials)
    return items, total_hours


def tuned(jobs, trials, seed=1, rho=0.25, hour_value=25.0):
    rng = np.random.Generator(np.random.SFC64(seed))
    factor = rng.standard_normal(trials)
    factor *= np.sqrt(rho)
    own = np.sqrt(1 - rho)

    def draw(low, likely, high, common=factor):
        theta, scale, sigma = parameters(low, likely, high)
        z = rng.standard_normal(common.size)
        z *= own
        z += common
        z *= sigma
        np.exp(z, out=z)
        z *= scale
        z += theta
        return np.maximum(z, 0, out=z)

    items = np.empty((jobs + 1, trials))
    total_hours = np.zeros(trials)
    for i in range(jobs):
        size = 100 + 10.0 * i
        money = draw(0.8 * size, size, 1.6 * size)
        hours = draw(2, 3, 6)
        taken = rng.random(trials) < 0.9 if i % 5 == 0 else None
        if i % 4 == 0:
            # only the trials that fail are drawn: faster than drawing all
            fails = np.flatnonzero(rng.random(trials) < 0.25)
            money[fails] += draw(2 * size, 2.5 * size, 3.5 * size, factor[fails])
            hours[fails] += draw(1, 2, 4, factor[fails])
        if taken is not None:
            money *= taken
            hours *= taken
        total_hours += hours
        hours *= hour_value
        np.add(money, hours, out=items[i])
    counts = rng.poisson(3.0, trials)
    which = np.repeat(np.arange(trials), counts)
    costs = draw(80, 250, 1500, factor[which])
    items[jobs] = np.bincount(which, weights=costs, minlength=trials)
    return items, total_hours


def summary(items, total_hours, spent=10_000.0, ceiling=38_000.0):
    jobs, trials = items.shape[0] - 1, items.shape[1]
    remaining = items.sum(axis=0)
    total = remaining + spent
    deviation = total - total.mean()
    shares = (items @ deviation) / (deviation @ deviation)  # the deviations sum to 0
    chance = np.count_nonzero(total <= ceiling) / trials
    total.sort()
    total_hours.sort()
    pick = lambda x, p: x[int(np.ceil(p * trials)) - 1]
    return {
        "mean": total.mean(), "sd": total.std(ddof=1),
        "p10": pick(total, 0.1), "p50": pick(total, 0.5), "p80": pick(total, 0.8), "p90": pick(total, 0.9),
        "hours_p50": pick(total_hours, 0.5), "chance": chance,
        "standard_error": np.sqrt(chance * (1 - chance) / trials),
        "hidden_share": shares[jobs], "share_sum": shares.sum(),
    }


def main():
    draw = {"plain": plain, "tuned": tuned}[sys.argv[1]]
    jobs, trials = int(sys.argv[2]), int(sys.argv[3])
    best, result = float("inf"), None
    for _ in range(int(sys.argv[4]) if len(sys.argv) > 4 else 1):
        start = time.perf_counter()
        result = summary(*draw(jobs, trials))
        best = min(best, time.perf_counter() - start)
    print(json.dumps({"seconds": best, **{k: float(v) for k, v in result.items()}}))


main()
