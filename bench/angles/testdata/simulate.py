# Check values for package angles: cars built in three dimensions, steered by
# turning every point of the wheel about the steering axis, and read as a person
# would read them. Shares nothing with the package. Run with Debian's
# python3-numpy and python3-scipy (/usr/bin/python3); it prints the rows that
# simulation_test.go holds.
import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

X, Y, Z = np.eye(3)
rad, deg = np.radians, np.degrees


def upright(side, toe, camber):
    """Columns: wheel forward, left, up, straight ahead, by elementary turns."""
    yaw = Rotation.from_rotvec(-side * rad(toe) * Z)
    # a top leaning out turns a left wheel about -x, a right one about +x
    lean = Rotation.from_rotvec(-side * rad(camber) * X)
    return (yaw * lean).as_matrix()


def axis(side, caster, inclination):
    k = np.array([-np.tan(rad(caster)), -side * np.tan(rad(inclination)), 1.0])
    return k / np.linalg.norm(k)


def level(m, up=Z):
    """Level direction in the plane of the wheel, pointing forward."""
    f = np.cross(m[:, 1], up)
    return f / np.linalg.norm(f)


def steered(side, m, k, turn):
    """The upright turned about k until a turntable shows turn (front out)."""
    start = np.arctan2(*level(m)[1::-1])

    def miss(theta):
        r = Rotation.from_rotvec(theta * k).as_matrix() @ m
        h = np.arctan2(*level(r)[1::-1])
        return h - start - side * rad(turn)

    theta = brentq(miss, -1.5, 1.5, xtol=1e-14)
    return Rotation.from_rotvec(theta * k).as_matrix()


def camber_read(side, m, up):
    """Inclinometer held upright against the wheel: top out positive."""
    return deg(np.arcsin(-side * m[:, 1] @ up))


def pitch_read(m, edge, up):
    f = level(m, up)
    rise = np.cross(f, m[:, 1])
    return deg(np.arctan2(edge @ rise, edge @ f))


def floor(left_higher, nose_down):
    x, y = -np.sin(rad(nose_down)), np.sin(rad(left_higher))
    return np.array([x, y, np.sqrt(1 - x * x - y * y)])


def sweep_row(side, caster, inclination, camber, toe, out, inn, left_higher, nose_down):
    up = floor(left_higher, nose_down)
    m, k = upright(side, toe, camber), axis(side, caster, inclination)
    edge = level(m)
    row = [camber_read(side, m, up)]
    for turn in (out, -inn):
        r = steered(side, m, k, turn)
        row += [camber_read(side, r @ m, up), pitch_read(r @ m, r @ edge, up)]
    return row


def rim_edges(side, centre, m, d):
    """The two points of the rim at the height of the hub, found by search."""
    def height(a):
        return (m @ np.array([np.cos(a), 0, np.sin(a)]))[2]
    pts = []
    for mid in (0.0, np.pi):
        a = brentq(height, mid - 1, mid + 1, xtol=1e-14)
        pts.append(centre + d / 2 * m @ np.array([np.cos(a), 0, np.sin(a)]))
    return pts


def from_line(point, at, direction):
    d = (point - at)[:2]
    return abs(d[0] * direction[1] - d[1] * direction[0])


def car_rows(tracks, xs, toes, cambers, rims, line_turns, line_offset):
    """Readings of a car from two lines that point line_turns degrees to the left."""
    dirs = [np.array([np.cos(rad(t)), np.sin(rad(t))]) for t in line_turns]
    ats = [np.array([0, line_offset, 0]), np.array([0, -line_offset, 0])]
    rows = []
    for i, name in enumerate(("FL", "FR", "RL", "RR")):
        side = 1 if i % 2 == 0 else -1
        c = np.array([xs[i], side * tracks[i // 2] / 2, 300.0])
        m = upright(side, toes[i], cambers[i])
        f, r = rim_edges(side, c, m, rims[i])
        at, d = ats[i % 2], dirs[i % 2]
        # station of the hub along the left line
        along = (c - ats[0])[:2] @ dirs[0]
        rows.append((name, rims[i], from_line(f, at, d), from_line(r, at, d), along))
    # distance between the lines square to the left one at two stations
    gaps = []
    for s in (1300.0, -1310.0):
        p = ats[0][:2] + s * dirs[0]
        n = np.array([dirs[0][1], -dirs[0][0]])
        t = np.linalg.solve(np.column_stack([n, -dirs[1]]), ats[1][:2] - p)
        gaps.append((s, t[0]))
    return rows, gaps


if __name__ == "__main__":
    for case in [
        (1, 6, 12, -1, 0, 20, 20, 0, 0), (-1, 6, 12, -1, 0.1, 20, 20, 0, 0), (1, 3, 13, -0.5, 0.05, 20.6, 19.2, 0, 0),
        (-1, 10, 14, -2.5, -0.2, 18, 21, 0.3, 0.2), (1, -1, 8, 1, 0.3, 15, 20, -0.4, -0.3), (1, 7.5, 15, -1.75, 0.25, 20, 20, 0.2, -0.5),
        (-1, 0, 10, 0, 0, 10, 10, 0, 0),
    ]:
        print("{%s}," % ", ".join("%.9f" % x if isinstance(x, float) and i > 8 else "%g" % x for i, x in enumerate(list(case) + [float(v) for v in sweep_row(*case)])))
    for turns in ((0, 0), (0.35, -0.12)):
        rows, gaps = car_rows((1535, 1528), (1300, 1284.2, -1310, -1309.8), (0.34, -0.09, 0.44, -0.2), (-1.2, -0.9, -1.8, -1.6), (445, 445, 470, 470), turns, 940)
        for r in rows:
            print('{"%s", %g, %.9f, %.9f, %.9f},' % r)
        print(gaps)
