"""Shear along a bonded lap by numerical solution of its equations, for the
recorded values in published_test.go. Run: /usr/bin/python3 volkersen.py

Two bars of stiffness k1, k2 (N/mm) a unit width, bonded over L (mm) by a layer
of shear stiffness c (N/mm3). N is the force in the first bar, all of the load P
at x = +L/2 and none at x = -L/2; e is the strain by which the first bar would
grow more than the second.

    dN/dx = tau,  dtau/dx = c (N/k1 - (P - N)/k2 + e)
"""
import numpy as np
from scipy.integrate import solve_bvp


def ends(k1, k2, c, length, load, strain):
    def slope(x, y):
        n, tau = y
        return np.vstack([tau, c * (n / k1 - (load - n) / k2 + strain)])

    def rim(at_low, at_high):
        return np.array([at_low[0], at_high[0] - load])

    x = np.linspace(-length / 2, length / 2, 401)
    guess = np.vstack([load * (x / length + 0.5), np.full_like(x, load / length)])
    s = solve_bvp(slope, rim, x, guess, tol=1e-9, max_nodes=200000)
    assert s.success, s.message
    return s.sol(-length / 2)[1], s.sol(0)[1], s.sol(length / 2)[1]


for case in [
    # k1, k2, c, L, P, e
    (140000, 140000, 2500, 25, 400, 0),
    (140000, 207000, 2666.6666666666665, 30, 10, 0),
    (140000, 207000, 2666.6666666666665, 30, 10, 0.00044),
    (70000, 420000, 400, 60, 120, 0),
    (420000, 70000, 400, 60, 120, -0.0006),
    (50000, 55000, 5000, 8, 200, 0.0001),
]:
    print(case, *("%.8f" % v for v in ends(*case)))
