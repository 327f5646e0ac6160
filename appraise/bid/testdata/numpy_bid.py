"""The bid's model in numpy, written down independently: 1,000,000 trials of one
invented case, printed as JSON. The Go test holds its figures in its table; run
this again with another seed to see how far they wander.

usage: numpy_bid.py [SEED [TRIALS]]
"""
import json
import math
import sys

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm

Z90 = norm.ppf(0.9)
STEP, WANTED, CONFIDENCE = 50, 6000, 0.8


def points(low, likely, high):
    """S_L through three points, found by solving for sigma: not the closed form."""
    if math.isclose(likely - low, high - likely):
        return None, likely, (high - likely) / Z90
    ratio = (high - likely) / (likely - low)
    sigma = brentq(lambda s: (math.exp(s * Z90) - 1) / (1 - math.exp(-s * Z90)) - ratio, -5, 5) if ratio != 1 else 0
    scale = (high - likely) / (math.exp(sigma * Z90) - 1)
    return sigma, likely, scale


def values(r, z):
    sigma, likely, scale = points(*r)
    if sigma is None:
        return np.maximum(likely + scale * z, 0)
    return np.maximum(likely + scale * np.expm1(sigma * z), 0)


def model(seed, n):
    rng = np.random.default_rng(seed)
    draw = lambda r, z=None: values(r, rng.standard_normal(n) if z is None else z)
    rho = 0.25
    factor = rng.standard_normal(n)
    common = lambda m=n, f=factor: math.sqrt(rho) * f + math.sqrt(1 - rho) * rng.standard_normal(m)

    value = draw((52000, 58000, 64000))
    discount = np.minimum(draw((0.15, 0.22, 0.30)), 1)
    net = value * (1 - discount) * 0.98 - 300

    cost = np.zeros(n)
    cost += draw((2400, 3200, 5200), common()) + 25 * draw((30, 40, 70), common())
    fails = rng.random(n) >= 0.8
    cost += draw((900, 1200, 2000), common()) + fails * draw((2500, 3000, 4200), common())
    cost += draw((3000, 3800, 5000), common())
    count = rng.poisson(3.0, n)
    for k in range(count.max()):
        who = count > k
        cost[who] += draw_some(rng, rho, factor[who], (80, 250, 900))
    cost += 450
    return net, cost


def draw_some(rng, rho, factor, r):
    z = math.sqrt(rho) * factor + math.sqrt(1 - rho) * rng.standard_normal(len(factor))
    return values(r, z)


def all_in(h):
    """Fees of the case: to 2,500 fixed 150; above 6 %, at least 200; tax 20 %."""
    fee = 150 if h < 2500 else max(0.06 * h, 200)
    return h + 1.2 * fee


def main():
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    n = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    net, cost = model(seed, n)
    before = net - cost
    ordered = np.sort(before)
    budget = ordered[n - math.ceil(CONFIDENCE * n)] - WANTED
    bids = np.arange(STEP, 60000, STEP)
    affordable = [h for h in bids if all_in(h) <= budget]
    share = lambda x: float(np.cov(x, before)[0, 1] / before.var(ddof=1))
    print(json.dumps({
        "net_mean": net.mean(), "net_sd": net.std(ddof=1), "cost_mean": cost.mean(), "cost_sd": cost.std(ddof=1),
        "before_mean": before.mean(), "before_sd": before.std(ddof=1), "budget": budget,
        "max_bid": int(max(affordable)), "chance_at_20000": float((before - all_in(20000) >= WANTED).mean()),
        "chance_at_15000": float((before - all_in(15000) >= WANTED).mean()),
        "loss_at_20000": float((before - all_in(20000) < 0).mean()),
        "share_of_costs": share(-cost), "share_of_net": share(net),
    }, indent=1))


if __name__ == "__main__":
    main()
