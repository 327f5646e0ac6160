"""Adjusts the published free networks of the folder named as argument (see
records_test.go) by scipy.optimize.least_squares, in mm from the mean of their
approximate coordinates. Writes hoepke_scipy.csv and strangborre_scipy.csv: the
adjusted coordinates as seen from the approximate ones (proper rigid fit), the
sum of squares and sigma0. The readings themselves are not kept here.

Run with /usr/bin/python3 free.py FOLDER (scipy 1.10).
"""

import csv
import os
import sys

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation


def rows(name):
    with open(os.path.join(sys.argv[1], name)) as f:
        return list(csv.DictReader(f))


for name in ("hoepke", "strangborre"):
    points, lines = rows(name + "_free_points.csv"), rows(name + "_free_distances.csv")
    ids = [p["id"] for p in points]
    start = 1000 * np.array([[float(p["x"]), float(p["y"])] for p in points])
    start -= start.mean(0)
    i, j = (np.array([ids.index(r[k]) for r in lines]) for k in ("from", "to"))
    d, sd = (1000 * np.array([float(r[k]) for r in lines]) for k in ("obs_m", "sigma_m"))

    def residuals(v):
        p = v.reshape(-1, 2)
        return (np.linalg.norm(p[j] - p[i], axis=1) - d) / sd

    def jacobian(v):
        p = v.reshape(-1, 2)
        u = (p[j] - p[i]) / np.linalg.norm(p[j] - p[i], axis=1)[:, None] / sd[:, None]
        a = np.zeros((len(d), len(v)))
        for n in range(len(d)):
            a[n, 2 * i[n]:2 * i[n] + 2], a[n, 2 * j[n]:2 * j[n] + 2] = -u[n], u[n]
        return a

    x = start.ravel()
    for _ in range(5):
        fit = least_squares(residuals, x, jac=jacobian, method="trf", x_scale=1.0, ftol=1e-15, xtol=1e-15, gtol=1e-15, max_nfev=500)
        x = fit.x
    p = np.column_stack([x.reshape(-1, 2), np.zeros(len(ids))])
    q = np.column_stack([start, np.zeros(len(ids))])
    turn, _ = Rotation.align_vectors(q - q.mean(0), p - p.mean(0))
    y = turn.apply(p - p.mean(0)) + q.mean(0)
    with open(name + "_scipy.csv", "w") as f:
        print("point,x,y,z", file=f)
        for n, (a, b, c) in zip(ids, y):
            print(f"{n},{a:.9f},{b:.9f},0", file=f)
        print(f"# squares {2 * fit.cost:.12f}", file=f)
        print(f"# sigma0 {np.sqrt(2 * fit.cost / (len(d) - 2 * len(ids) + 3)):.12f}", file=f)
