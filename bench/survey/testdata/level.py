"""Draws levelled height differences for the survey car1 (its nominal heights,
doubt 1 mm, rounded to 0.5) and adjusts the car with them in place of heights,
without the two wrong readings, by scipy.optimize.least_squares. Writes
car1_levels.csv, and car1_levels_scipy.csv: coordinates after a proper rigid fit
to the nominal points of all points but L01.

Run with /usr/bin/python3 level.py (scipy 1.10).
"""

import csv

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation


def rows(name):
    with open(name) as f:
        return list(csv.DictReader(f))


nominal = {r["point"]: np.array([float(r[k]) for k in "xyz"]) for r in rows("car1_nominal.csv")}
ids = list(nominal)
true = {p: nominal[p][2] + (4 if p == "L01" else 0) for p in ids}
chance = np.random.default_rng(48)
pairs = [(f"L{k:02d}", f"R{k:02d}") for k in range(1, 13)]
pairs += [(f"{s}{k:02d}", f"{s}{k + 1:02d}") for s in "LR" for k in range(1, 12)]
with open("car1_levels.csv", "w") as f:
    print("from,to,mm,sd", file=f)
    for a, b in pairs:
        mm = round((true[b] - true[a] + chance.normal()) * 2) / 2
        print(f"{a},{b},{mm:g},1", file=f)

wrong = {("L06", "R07"), ("R09", "R11")}
lines = [r for r in rows("car1_dist.csv") if (r["from"], r["to"]) not in wrong]
levels = rows("car1_levels.csv")
i, j = (np.array([ids.index(r[k]) for r in lines]) for k in ("from", "to"))
d, sd = (np.array([float(r[k]) for r in lines]) for k in ("mm", "sd"))
p, q = (np.array([ids.index(r[k]) for r in levels]) for k in ("from", "to"))
h, sh = (np.array([float(r[k]) for r in levels]) for k in ("mm", "sd"))


def residuals(v):
    x = v.reshape(-1, 3)
    return np.concatenate([(np.linalg.norm(x[j] - x[i], axis=1) - d) / sd, (x[q, 2] - x[p, 2] - h) / sh])


want = np.array([nominal[n] for n in ids])
fit = least_squares(residuals, want.ravel(), method="trf", x_scale=1.0, ftol=1e-15, xtol=1e-15, gtol=1e-12, max_nfev=500)
x = fit.x.reshape(-1, 3)
still = [n for n, name in enumerate(ids) if name != "L01"]
cx, cw = x[still].mean(0), want[still].mean(0)
turn, _ = Rotation.align_vectors(want[still] - cw, x[still] - cx)
y = turn.apply(x - cx) + cw
rank = np.linalg.matrix_rank(fit.jac, tol=1e-6)
with open("car1_levels_scipy.csv", "w") as f:
    print("point,x,y,z", file=f)
    for name, (a, b, c) in zip(ids, y):
        print(f"{name},{a:.9f},{b:.9f},{c:.9f}", file=f)
    print(f"# squares {2 * fit.cost:.12f}", file=f)
    print(f"# sigma0 {np.sqrt(2 * fit.cost / (len(d) + len(h) - rank)):.12f}", file=f)
    print(f"# defect {3 * len(ids) - rank}", file=f)
