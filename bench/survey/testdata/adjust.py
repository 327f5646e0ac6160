"""Adjusts the survey car1 (with heights) without the two wrong readings by
scipy.optimize.least_squares and writes what car1_scipy.csv holds: coordinates
after a proper rigid fit to the nominal points of all points but L01.

Run with /usr/bin/python3 adjust.py > car1_scipy.csv (scipy 1.10).
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
wrong = {("L06", "R07"), ("R09", "R11")}
lines = [r for r in rows("car1_dist.csv") if (r["from"], r["to"]) not in wrong]
heights = rows("car1_heights.csv")
i = np.array([ids.index(r["from"]) for r in lines])
j = np.array([ids.index(r["to"]) for r in lines])
d = np.array([float(r["mm"]) for r in lines])
sd = np.array([float(r["sd"]) for r in lines])
k = np.array([ids.index(r["point"]) for r in heights])
h = np.array([float(r["mm"]) for r in heights])
sh = np.array([float(r["sd"]) for r in heights])


def residuals(v):
    x = v.reshape(-1, 3)
    return np.concatenate([(np.linalg.norm(x[j] - x[i], axis=1) - d) / sd, (x[k, 2] - h) / sh])


start = np.array([nominal[p] for p in ids])
start[:, 2] += h.mean() - start[:, 2].mean()
fit = least_squares(residuals, start.ravel(), method="trf", x_scale=1.0, ftol=1e-15, xtol=1e-15, gtol=1e-12, max_nfev=500)
x = fit.x.reshape(-1, 3)
still = [n for n, p in enumerate(ids) if p != "L01"]
want = np.array([nominal[p] for p in ids])
cx, cw = x[still].mean(0), want[still].mean(0)
turn, _ = Rotation.align_vectors(want[still] - cw, x[still] - cx)
y = turn.apply(x - cx) + cw
print("point,x,y,z")
for p, (a, b, c) in zip(ids, y):
    print(f"{p},{a:.9f},{b:.9f},{c:.9f}")
print(f"# squares {2 * fit.cost:.12f}")
print(f"# sigma0 {np.sqrt(2 * fit.cost / (len(d) + len(h) - 3 * len(ids) + 3)):.12f}")
