# Check values for package check: the same questions answered by SciPy and NumPy,
# sharing nothing with the package. Run with Debian's python3-scipy
# (/usr/bin/python3); it prints what outside_test.go holds as Want.
import numpy as np
from scipy import stats, integrate
from scipy.optimize import brentq

np.set_printoptions(precision=12)


def case(name, readings, u_b, lower=None, upper=None, risk=0.05):
    x = np.array(readings)
    n = len(x)
    u_a = x.std(ddof=1) / np.sqrt(n) if n > 1 else 0.0
    u = np.hypot(u_a, u_b)
    dof = u**4 / (u_a**4 / (n - 1)) if n > 1 and u_a > 0 else np.inf
    dist = stats.t(dof) if np.isfinite(dof) else stats.norm

    def out(y):
        p = 0.0
        if lower is not None:
            p += dist.cdf((lower - y) / u)
        if upper is not None:
            p += dist.sf((upper - y) / u)
        return p

    low = high = None
    if lower is not None and upper is not None:
        mid = (lower + upper) / 2
        if out(mid) <= risk:
            low = brentq(lambda y: out(y) - risk, lower, mid, xtol=1e-14, rtol=1e-14)
            high = brentq(lambda y: out(y) - risk, mid, upper, xtol=1e-14, rtol=1e-14)
    elif lower is not None:
        low = lower + dist.ppf(1 - risk) * u
    else:
        high = upper - dist.ppf(1 - risk) * u
    print(f"{name}: mean {x.mean():.12g} u {u:.12g} dof {dof:.12g} chance {1 - out(x.mean()):.12g} accept {low} {high}")


case("three timings, upper 13", [11.8, 12.4, 12.1], 0.0, upper=13)
case("two-sided, instrument 0.25, y 0.5", [0.5], 0.25, lower=-1, upper=1)
case("two-sided, instrument 0.5, y 0", [0.0], 0.5, lower=-1, upper=1)
case("two-sided, instrument 0.55, y 0", [0.0], 0.55, lower=-1, upper=1)
case("discs", [24.31, 24.33, 24.30, 24.32], 0.01 / np.sqrt(3), lower=24.3)
case("discs with step", [24.31, 24.33, 24.30, 24.32], np.hypot(0.01 / np.sqrt(3), 0.01 / np.sqrt(12)), lower=24.3, risk=0.01)
case("charge, five readings", [14.1, 14.3, 14.2, 14.4, 14.0], 0.05, lower=13.5, upper=14.8)
case("two readings far apart", [1.0, 1.4], 0.02, upper=2.0, risk=0.1)

# Braking efficiency: efforts in N of one tester (+-50 N, common or not, whichever is more), mass 1500 +- 10 kg.
g, mass = 9.80665, 1500.0
efforts = np.array([2800.0, 2700, 1600, 1500])
value = 100 * efforts.sum() / (mass * g)
w = np.full(4, 100 / (mass * g))
shared = max(abs(w.sum()), np.sqrt((w**2).sum())) * 50 / np.sqrt(3)
own = value / mass * 10 / np.sqrt(3)
u = np.hypot(shared, own)
print("efficiency", value, u, "chance", stats.norm.sf((58 - value) / u))

# Imbalance 240/167: weights of the ratio, one tester +- 3.
high, low = 240.0, 167.0
value = 100 * (high - low) / high
w = np.array([100 * low / high**2, -100 / high])
u = max(abs(w.sum()), np.sqrt((w**2).sum())) * 3 / np.sqrt(3)
print("imbalance", value, u, "chance", stats.norm.cdf((30 - value) / u))

# Lambda, each gas with its own bound, by 4 million draws.
rng = np.random.default_rng(7)
n = 4_000_000


def lam(co, co2, o2, hc):
    wet = 1.7261 / 4 * 3.5 / (3.5 + co / co2)
    return (co2 + co / 2 + o2 + (wet - 0.0175 / 2) * (co2 + co)) / ((1 + 1.7261 / 4 - 0.0175 / 2) * (co2 + co + 6e-4 * hc))


draw = [c + b / np.sqrt(3) * rng.standard_normal(n) for c, b in [(0.1, 0.03), (15.0, 0.4), (0.2, 0.1), (50, 12)]]
print("lambda sd by draws", lam(*draw).std())

# Clutch: line of least squares, where its prediction band comes to the limit.
x = np.array([0.0, 8, 15, 22, 30])
y = np.array([5.60, 5.51, 5.44, 5.35, 5.27])
fit = stats.linregress(x, y)
r = y - fit.intercept - fit.slope * x
s = np.sqrt((r**2).sum() / 3)
sxx = ((x - x.mean()) ** 2).sum()


def band(x0, t):
    return fit.intercept + fit.slope * x0 + t * s * np.sqrt(1 + 1 / 5 + (x0 - x.mean()) ** 2 / sxx)


for risk in (0.025, 0.05):
    t = stats.t.ppf(1 - risk, 3)
    print("clutch", risk, "slope", fit.slope, "s", s, "end", (5 - fit.intercept) / fit.slope,
          "early", brentq(lambda v: band(v, -t) - 5, 30, 100, xtol=1e-13), "late", brentq(lambda v: band(v, t) - 5, 30, 100, xtol=1e-13))
at = 50.0
print("clutch: chance of 20 more", stats.t.cdf((band(at, 0) - 5) / (s * np.sqrt(1.2 + (at - x.mean()) ** 2 / sxx)), 3))

# Largest distance from the mean, in standard deviations (Grubbs, two-sided 5 %).
for n in range(3, 11):
    t = stats.t.ppf(1 - 0.05 / (2 * n), n - 2)
    print("grubbs", n, (n - 1) / np.sqrt(n) * np.sqrt(t * t / (n - 2 + t * t)))


# Global risks: the density times the chance of passing, by adaptive quadrature.
def risks(dist, u, lower, upper, low, high, ends):
    passes = lambda v: stats.norm.cdf((high - v) / u) - stats.norm.cdf((low - v) / u)
    f = lambda v: dist.pdf(v) * passes(v)
    q = lambda h, a, b: integrate.quad(h, a, b, epsabs=1e-13, limit=400)[0] if b > a else 0.0
    a, b = max(lower, ends[0]), min(upper, ends[1])
    bad = q(f, ends[0], a) + q(f, b, ends[1])
    return bad, q(lambda v: dist.pdf(v) - f(v), a, b)


inf = np.inf
print("ball bearings", risks(stats.gamma(4, scale=0.25), 0.25, -inf, 2, -inf, 2, (0, 20)))
print("resistors", risks(stats.norm(0, 0.12), 0.04, -0.2, 0.2, -0.2, 0.2, (-1.2, 1.2)))
print("sigma 1, u 0.25, 2", risks(stats.norm(0, 1), 0.25, -2, 2, -2, 2, (-10, 10)))
