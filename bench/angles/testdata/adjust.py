# Check values for what adjustments do: a front corner built of points, its strut
# top moved or its upright leaned, and held by its track rod; a stiff body on four
# springs solved for where it rests; two wheels turned about one point. Shares nothing
# with the package. Run with Debian's python3-numpy and python3-scipy
# (/usr/bin/python3); it prints the rows that adjust_test.go holds.
import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

X, Y, Z = np.eye(3)
rad, deg = np.radians, np.degrees


class Corner:
    """A left front corner: lower joint at the origin, strut top, ball of the rod."""

    def __init__(self, caster, inclination, camber, arm, above, ahead, rod=340.0, height=600.0):
        self.top = np.array([-np.tan(rad(caster)), -np.tan(rad(inclination)), 1.0]) * height
        self.spin = np.array([0.0, np.cos(rad(camber)), -np.sin(rad(camber))])
        on_axis = self.top * above / height  # the ball stands square off the axis, seen from above
        self.ball = on_axis + np.array([arm if ahead else -arm, 0.0, 0.0])
        self.rack = self.ball - np.array([0.0, rod, 0.0])
        self.rod = rod

    def settle(self, turn, axis):
        """Toe and camber after the turn, once the rod has steered the wheel about the axis."""
        axis = axis / np.linalg.norm(axis)
        ball, spin = turn.apply(self.ball), turn.apply(self.spin)

        def miss(a):
            return np.linalg.norm(Rotation.from_rotvec(a * axis).apply(ball) - self.rack) - self.rod

        r = Rotation.from_rotvec(brentq(miss, -0.3, 0.3, xtol=1e-14) * axis)
        s = r.apply(spin)
        return deg(np.arctan2(s[0], s[1])), deg(np.arcsin(-s[2]))  # left wheel: spin forward is toe-in


def lean(c, by):
    """The upright leaned outwards about the lower joint, as a camber bolt or shim does; the axis stays."""
    return c.settle(Rotation.from_rotvec(-rad(by) * X), c.top)


def move_top(c, out, back):
    """Camber, caster and inclination after the strut top was slid and toe set back:
    the strut with the upright follows by the smallest turn, then the wheel is
    steered about the new axis until it points as before."""
    new = c.top + np.array([-back, out, 0.0])
    a, b = c.top / np.linalg.norm(c.top), new / np.linalg.norm(new)
    axis = np.cross(a, b)
    n = np.linalg.norm(axis)
    spin = Rotation.from_rotvec(axis / n * np.arcsin(n)).apply(c.spin)

    def steered(angle):
        return Rotation.from_rotvec(angle * b).apply(spin)

    spin = steered(brentq(lambda q: steered(q)[0] - c.spin[0], -0.3, 0.3, xtol=1e-14))
    return deg(np.arcsin(-spin[2])), deg(np.arctan2(-new[0], new[2])), deg(np.arctan2(-new[1], new[2]))


def raised(k, bars, tracks, wheelbase, s):
    """Loads of a stiff body that heaves, pitches and rolls until it stands."""
    x = np.array([wheelbase / 2, wheelbase / 2, -wheelbase / 2, -wheelbase / 2])
    y = np.array([tracks[0], -tracks[0], tracks[1], -tracks[1]]) / 2

    def loads(q):
        heave, pitch, roll = q
        z = heave + pitch * x + roll * y  # rise of the body over each wheel
        f = k * (s - z)
        for axle in (0, 1):
            i = 2 * axle
            twist = bars[axle] * (z[i] - z[i + 1]) / 2
            f[i] -= twist
            f[i + 1] += twist
        return f

    def rest(q):
        f = loads(q)
        return [f.sum(), f @ x / 1000, f @ y / 1000]

    still = np.array(rest(np.zeros(3)))  # the equations are linear: solved once
    m = np.column_stack([np.array(rest(e)) - still for e in np.eye(3)])
    return loads(np.linalg.solve(m, -still))


def outer(inner, wheelbase, track):
    """Turned about one point on the line of the rear axle, by where that point lies."""
    to_point = wheelbase / np.tan(rad(inner))  # of the inner wheel, across the car
    return deg(np.arctan2(wheelbase, to_point + track))


if __name__ == "__main__":
    print("lean: caster, inclination, camber, arm, above, ahead, by -> toe, camber")
    for a in [(6, 12, -1, 130, 50, False, 1), (6, 12, -1, 130, 50, True, -0.5), (3, 13, -0.5, 145, 90, False, -0.8), (10, 14, -2.5, 120, -30, False, 0.7), (0, 0, 0, 130, 50, True, 1)]:
        print("{%g, %g, %g, %g, %g, %s, %g, %.9f, %.9f}," % (*a[:5], str(a[5]).lower(), a[6], *lean(Corner(*a[:6]), a[6])))
    print("strut top: caster, inclination, camber, height, out, back -> camber, caster, inclination")
    for a in [(6, 12, -1, 600, 8, 0), (3, 13, -0.5, 560, -10, 0), (6, 12, -1, 600, 0, 10), (8, 15, -2, 640, 12, 0)]:
        rest = move_top(Corner(*a[:3], 130, 80, False, height=a[3]), a[4], a[5])
        print("{%g, %g, %g, %g, %g, %g, %.9f, %.9f, %.9f}," % (*a, *rest))
    print("springs: k front rear, bars, tracks, s -> loads")
    for kf, kr, bf, br, tf, tr, s in [(30, 30, 0, 0, 1500, 1500, (5, 0, 0, 0)), (28, 32, 0, 0, 1530, 1520, (5, 0, 0, 0)), (28, 32, 12, 6, 1530, 1520, (5, 0, 0, 0)), (28, 32, 0, 0, 1530, 1520, (5, -5, -5, 5)), (40, 55, 18, 0, 1480, 1540, (0, 3, -2, 0))]:
        f = raised(np.array([kf, kf, kr, kr], float), (bf, br), (tf, tr), 2600, np.array(s, float))
        print("{%g, %g, %g, %g, %g, %g, [4]float64{%g, %g, %g, %g}, [4]float64{%.6f, %.6f, %.6f, %.6f}}," % (kf, kr, bf, br, tf, tr, *s, *f))
    for a in [(20, 2600, 1400), (32, 2450, 1480)]:
        print("outer", a, "%.9f" % outer(*a))
