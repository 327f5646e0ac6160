# Check values for package recharge: the physics solved by SciPy, sharing nothing
# with the package. Run with Debian's python3-scipy; it prints what
# published_test.go holds as Want.
import numpy as np
from scipy.integrate import solve_ivp, quad
from scipy.optimize import brentq, least_squares

PA = 1.01325
C0 = 10805.3  # bar mL


def leak(p_start, p_end, g_conduct):
    """Time of an isothermal gas under a leak G (p - pa), by integration of dp/dt."""
    return quad(lambda p: C0 / (g_conduct * (p - PA) * p * p), p_end, p_start, epsabs=1e-12, epsrel=1e-12)[0]


def recharge(flow, tau, p1, p2, gamma=1.4, tw=293.15):
    """Pump flow into gas that loses heat to its wall; returns run time and settled pressure."""
    def slope(t, y):
        v, temp = y
        return [-flow, (tw - temp) / tau + (gamma - 1) * temp * flow / v]
    pressure = lambda y: C0 * y[1] / tw / y[0]
    stop = lambda t, y: pressure(y) - p2
    stop.terminal = True
    s = solve_ivp(slope, [0, 100], [C0 / p1, tw], events=stop, rtol=1e-11, atol=1e-11)
    return s.t[-1], C0 / s.y[0, -1]


print("leak time 48.338 -> 41.01325, G 0.00245:", leak(48.338, 41.01325, 0.00245))
print("leak time, G x 5:", leak(48.338, 41.01325, 0.01225))
s = solve_ivp(lambda t, p: -0.00245 * (p - PA) * p * p / C0, [0, 300], [48.338], rtol=1e-12, atol=1e-12, t_eval=[60, 180, 300])
print("p after 60, 180, 300 s:", s.y[0])
print("rate at 45 gauge, bar/min:", 0.00245 * 45 * 46.01325**2 / C0 * 60)
v2 = brentq(lambda v: 41.01325 * np.exp(quad(lambda x: 1.4 / x, v, C0 / 41.01325)[0]) - 51.01325, 100, C0 / 41.01325, xtol=1e-12)
print("adiabatic 40 -> 50 gauge settles at (abs):", C0 / v2)
fill = brentq(lambda p0: 51.01325 - p0 * (np.exp(quad(lambda x: 1.4 / x, C0 / 41.01325, C0 / p0)[0])), 10, 40, xtol=1e-12)
print("adiabatic cold fill to 50 gauge that settles at 40 gauge: p0", fill)
for flow, tau in [(12.85, 9), (12.85, 3), (4, 9)]:
    print("recharge", flow, tau, recharge(flow, tau, 41.01325, 51.01325))
# isothermal round trip of the times: V0 400, Q 12, p0 27.01325
v0, q, p0 = 400.0, 12.0, 27.01325
pf, p1, pr = 45.27425, 41.01325, 48.33825
print("times of fill and recharge:", v0 * (1 - p0 / pf) / q, v0 * p0 * (1 / p1 - 1 / pr) / q)
print("pre-charge 100 bar abs 20 -> 50 C:", 100 * 323.15 / 293.15)

# A hold, fitted: readings without randomness, so that both programs see the same.
t = np.arange(0.5, 300, 0.5)
true = dict(p=48.3, a=0.055, tau=9.0, g=2.27e-7)
model = lambda x: (1 + x[1] * np.exp(-t / np.exp(x[2]))) / np.sqrt(1 / x[0] ** 2 + 2 * x[3] * 1e-6 * (1 - PA / 46.01325) * t)
y = model([true["p"], true["a"], np.log(true["tau"]), true["g"] * 1e6]) + 0.2 * np.sin(37.0 * t * t)
sd = 0.15
prior = lambda x: [(x[1] - 0.05) / 0.06, (x[2] - np.log(8.0)) / 0.7, (x[3] - 0.5) / 50]
r = least_squares(lambda x: np.concatenate([(y - model(x)) / sd, prior(x)]), [48, 0.05, np.log(10), 0.3], xtol=1e-15, ftol=1e-15, gtol=1e-15)
cov = np.linalg.inv(r.jac.T @ r.jac)
print("fit p, a, tau, g:", r.x[0], r.x[1], np.exp(r.x[2]), r.x[3] * 1e-6)
print("sd p, a, ln tau, g:", np.sqrt(np.diag(cov)) * [1, 1, 1, 1e-6], "chi2", 2 * r.cost)
