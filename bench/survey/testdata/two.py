"""Draws a second survey of the car of car1 (L01 pulled back to 1.5, -2 and 1 mm
from its nominal place, R06 pushed 9 mm down and 4 mm out by the way; every height
read twice; the car turned and lifted), adjusts both by
scipy.optimize.least_squares and tests their congruence with numpy, by
pseudo-inverses. Writes car1_after_dist.csv, car1_after_heights.csv and
car1_two_scipy.csv: how far each point went as seen from those that stand still.

Run with /usr/bin/python3 two.py (scipy 1.10).
"""

import csv

import numpy as np
from scipy.optimize import least_squares


def rows(name):
    with open(name) as f:
        return list(csv.DictReader(f))


nominal = {r["point"]: np.array([float(r[k]) for k in "xyz"]) for r in rows("car1_nominal.csv")}
ids = list(nominal)
chance = np.random.default_rng(57)
# The scatter of this one body stays the same from one survey to the next; that
# of the first survey is in car1's own readings.
first = rows("car1_dist.csv")


def adjust(lines, heights):
    i, j = (np.array([ids.index(r[k]) for r in lines]) for k in ("from", "to"))
    d = np.array([float(r["mm"]) for r in lines])
    k = np.array([ids.index(r["point"]) for r in heights])
    h = np.array([float(r["mm"]) for r in heights])

    def residuals(v):
        x = v.reshape(-1, 3)
        return np.concatenate([np.linalg.norm(x[j] - x[i], axis=1) - d, (x[k, 2] - h) / 1.5])

    start = np.array([nominal[p] for p in ids])
    start[:, 2] += h.mean() - start[:, 2].mean()
    fit = least_squares(residuals, start.ravel(), method="trf", x_scale=1.0, ftol=1e-15, xtol=1e-15, gtol=1e-12, max_nfev=500)
    return fit.x.reshape(-1, 3), np.linalg.pinv(fit.jac.T @ fit.jac, rcond=1e-10)


wrong = {("L06", "R07"), ("R09", "R11")}
x1, q1 = adjust([r for r in first if (r["from"], r["to"]) not in wrong], rows("car1_heights.csv"))

# The body of the second survey: that of the first as adjusted, laid on the
# nominal points, but for the two points.
def lay(x, onto, use):
    cx, co = x[use].mean(0), onto[use].mean(0)
    u, _, vt = np.linalg.svd((onto[use] - co).T @ (x[use] - cx))
    r = u @ np.diag([1, 1, np.linalg.det(u @ vt)]) @ vt
    return (x - cx) @ r.T + co, r


want = np.array([nominal[p] for p in ids])
use = np.array([p != "L01" for p in ids])
body, _ = lay(x1, want, use)
body[ids.index("L01")] = want[ids.index("L01")] + [1.5, -2, 1]
body[ids.index("R06")] += [0, -4, -9]
a, b = np.radians(0.2), np.radians(-0.3)
turn = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]]) @ np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
body = body @ turn.T + [0, 0, 530]
with open("car1_after_dist.csv", "w") as f:
    print("from,to,mm,sd", file=f)
    for r in first:
        d = np.linalg.norm(body[ids.index(r["from"])] - body[ids.index(r["to"])]) + chance.normal()
        print(f"{r['from']},{r['to']},{round(d * 2) / 2:g},1", file=f)
with open("car1_after_heights.csv", "w") as f:
    print("point,mm,sd", file=f)
    for _ in range(2):
        for p in ids:
            print(f"{p},{round((body[ids.index(p), 2] + 1.5 * chance.normal()) * 2) / 2:g},1.5", file=f)

x2, q2 = adjust(rows("car1_after_dist.csv"), rows("car1_after_heights.csv"))


def motions(x):
    c = x - x.mean(0)
    g = [np.tile(e, len(x)) for e in np.eye(3)]
    g += [np.cross(e, c).ravel() for e in np.eye(3)]
    return np.array(g).T


moved = {"L01", "R06"}
still = np.array([p not in moved for p in ids])
x1n, r1 = lay(x1, want, use)
x2n, r2 = lay(x2, x1n, still)
big = lambda r, q: np.kron(np.eye(len(ids)), r) @ q @ np.kron(np.eye(len(ids)), r).T
q = big(r1, q1) + big(r2, q2)
d = (x2n - x1n).ravel()


def transform(use):
    g = motions(x1n)
    e = g * np.repeat(use, 3)[:, None]
    return np.eye(len(d)) - g @ np.linalg.solve(e.T @ g, e.T)


def congruence(use):
    s = transform(use)
    rows_ = np.repeat(use, 3)
    ds, qs = (s @ d)[rows_], (s @ q @ s.T)[np.ix_(rows_, rows_)]
    return ds @ np.linalg.pinv(qs, rcond=1e-9) @ ds


s = transform(still)
ds, qs = s @ d, s @ q @ s.T
with open("car1_two_scipy.csv", "w") as f:
    print("point,x,y,z", file=f)
    for n, p in enumerate(ids):
        print(f"{p},{ds[3 * n]:.9f},{ds[3 * n + 1]:.9f},{ds[3 * n + 2]:.9f}", file=f)
    print(f"# before {congruence(np.ones(len(ids), bool)):.9f}", file=f)
    print(f"# after {congruence(still):.9f}", file=f)
    n = 3 * ids.index("R06")
    for k, name in enumerate("xyz"):
        print(f"# sd_{name}_of_R06 {np.sqrt(qs[n + k, n + k]):.9f}", file=f)
