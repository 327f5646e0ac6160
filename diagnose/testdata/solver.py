"""An exact solver of small troubleshooting cases, written apart from the engine
and from the formulas of decision-theoretic troubleshooting alone: what
`go test ./diagnose/...` holds the engine's figures against.

One fault at a time: fractions, memoised dynamic programming over the states of
the evidence (which outcome each test had, which repairs failed). Measured tests:
the trapezoid rule over the reading on a fine grid in numpy. The unnormalised
weight of a fault is its prior times the chances of all that was seen, so a value
here is a cost times the chance of getting there.

usage: solver.py random [SEED [COUNT]]   random small cases and their values, JSON
       solver.py several [SEED [COUNT]]  the same with up to two faults at once
       solver.py measured                cases with measured tests and their values, JSON
       solver.py twelve [SEED [COUNT]]   twelve tests and repairs, two measured
       solver.py solve CASE.json         one case

The recorded files beside this one are `solver.py random 5 60 > solved_random.json`,
`solver.py several 7 30 > solved_several.json`, `/usr/bin/python3 solver.py measured > solved_measured.json`
and `/usr/bin/python3 solver.py twelve 3 3 > solved_twelve.json`.
"""
import itertools
import json
import random
import sys
from fractions import Fraction
from functools import lru_cache


def exact(number):
    return Fraction(str(number))


def price(part, rate):
    return exact(part["cost"]) + rate * exact(part["minutes"]) / 60


class Exact:
    """A case with one fault and tests with outcomes."""

    def __init__(self, case):
        rate = exact(case["hour_value"])
        faults = case["faults"]
        total = sum(exact(f["prior"]) for f in faults)
        self.ids = [f["id"] for f in faults]
        weights = [exact(f["prior"]) / total for f in faults]
        self.tests = {t["id"]: (price(t, rate), self.columns(t)) for t in case.get("tests", [])}
        self.repairs = {
            r["id"]: (price(r, rate), [exact(r["fixes"].get(f, 0)) for f in self.ids])
            for r in case["repairs"]
        }
        whole = case.get("replace_all")
        self.whole = price(whole, rate) if whole else None
        self.money = {("test", t["id"]): exact(t["cost"]) for t in case.get("tests", [])}
        self.money |= {("repair", r["id"]): exact(r["cost"]) for r in case["repairs"]}
        self.minutes = {("test", t["id"]): exact(t["minutes"]) for t in case.get("tests", [])}
        self.minutes |= {("repair", r["id"]): exact(r["minutes"]) for r in case["repairs"]}
        if whole:
            self.money["replace_all", "replace_all"] = exact(whole["cost"])
            self.minutes["replace_all", "replace_all"] = exact(whole["minutes"])
        tests, repairs = set(self.tests), set(self.repairs)
        for seen in case.get("evidence", []):
            if "test" in seen:
                weights = self.times(weights, self.tests[seen["test"]][1][seen["outcome"]])
                tests.discard(seen["test"])
            else:
                weights = self.failed(weights, seen["repair"])
                repairs.discard(seen["repair"])
        self.start = tuple(weights), frozenset(tests), frozenset(repairs)
        self.value = lru_cache(maxsize=None)(self._value)

    def columns(self, test):
        rows = [test["outcomes"][f] for f in self.ids]
        return {o: [exact(row[o]) for row in rows] for o in rows[0]}

    @staticmethod
    def times(weights, chances):
        return [w * c for w, c in zip(weights, chances)]

    def failed(self, weights, repair):
        return self.times(weights, [1 - c for c in self.repairs[repair][1]])

    def branches(self, state, action):
        """The states after an action, cured ones left out."""
        weights, tests, repairs = state
        kind, name = action
        if kind == "replace_all":
            return []
        if kind == "repair":
            return [(tuple(self.failed(weights, name)), tests, repairs - {name})]
        return [
            (tuple(self.times(weights, chances)), tests - {name}, repairs)
            for chances in self.tests[name][1].values()
        ]

    def actions(self, state):
        _, tests, repairs = state
        whole = [("replace_all", "replace_all")] if self.whole is not None else []
        return whole + [("test", t) for t in sorted(tests)] + [("repair", r) for r in sorted(repairs)]

    def cost(self, action):
        kind, name = action
        if kind == "replace_all":
            return self.whole
        return (self.tests if kind == "test" else self.repairs)[name][0]

    def after(self, state, action):
        """Unnormalised cost of an action and the best plan after it; None: no plan ends."""
        total = self.cost(action) * sum(state[0])
        for branch in self.branches(state, action):
            value = self.value(branch)
            if value is None:
                return None
            total += value
        return total

    def _value(self, state):
        if sum(state[0]) == 0:
            return Fraction(0)
        values = [self.after(state, a) for a in self.actions(state)]
        return min((v for v in values if v is not None), default=None)

    def solve(self):
        weights, tests, repairs = self.start
        mass = sum(weights)
        q = {a: self.after(self.start, a) for a in self.actions(self.start)}
        best = min(v for v in q.values() if v is not None)
        known = [
            self.value((tuple(w if i == f else Fraction(0) for i, w in enumerate(weights)), frozenset(), repairs))
            for f in range(len(weights))
        ]
        no_tests = self.value((weights, frozenset(), repairs))
        out = {
            "posterior": {f: float(w / mass) for f, w in zip(self.ids, weights)},
            "expected_cost": float(best / mass),
            "best": sorted("/".join(a) for a, v in q.items() if v == best),
            "ranked": {"/".join(a): float(v / mass) for a, v in q.items() if v is not None},
            "lower_bound": float(sum(known) / mass),
            "no_tests": None if no_tests is None else float(no_tests / mass),
        }
        if not self.ties():
            money, minutes, whole = self.split(self.start)
            out |= {"money": float(money / mass), "minutes": float(minutes / mass), "chance_replace_all": float(whole / mass)}
        return out

    def best_actions(self, state):
        values = {a: self.after(state, a) for a in self.actions(state)}
        best = min(v for v in values.values() if v is not None)
        return [a for a, v in values.items() if v == best]

    def ties(self):
        """Whether two best plans share the cost: money and minutes may then differ."""
        todo, seen = [self.start], set()
        while todo:
            state = todo.pop()
            if state in seen or sum(state[0]) == 0:
                continue
            seen.add(state)
            best = self.best_actions(state)
            if len(best) > 1:
                return True
            todo += self.branches(state, best[0])
        return False

    def split(self, state):
        """Money, minutes and the chance of the whole unit along the best plan."""
        mass = sum(state[0])
        if mass == 0:
            return Fraction(0), Fraction(0), Fraction(0)
        action = self.best_actions(state)[0]
        money, minutes = self.money[action] * mass, self.minutes[action] * mass
        whole = mass if action[0] == "replace_all" else Fraction(0)
        for branch in self.branches(state, action):
            m, t, w = self.split(branch)
            money, minutes, whole = money + m, minutes + t, whole + w
        return money, minutes, whole


def hundredths(rng, parts):
    """Chances in hundredths that sum to one."""
    cuts = sorted(rng.randrange(0, 101) for _ in range(parts - 1))
    edges = [0, *cuts, 100]
    return [(b - a) / 100 for a, b in zip(edges, edges[1:])]


def random_case(rng, number):
    nf, nt = rng.randint(2, 5), rng.randint(0, 4)
    faults = [f"f{i}" for i in range(nf)]
    whole = rng.random() < 0.8
    case = {
        "symptom": f"random case {number}",
        "currency": "EUR",
        "hour_value": rng.choice([0, 12.5, 30, 45]),
        "faults": [{"id": f, "prior": rng.randint(1, 40) / 100} for f in faults],
        "tests": [],
        "repairs": [],
    }
    for t in range(nt):
        outcomes = ["a", "b", "c"][: rng.randint(2, 3)]
        case["tests"].append({
            "id": f"t{t}", "cost": rng.choice([0, 0, 5, 12.5, 20]), "minutes": rng.choice([5, 10, 20, 45]),
            "outcomes": {f: dict(zip(outcomes, hundredths(rng, len(outcomes)))) for f in faults},
        })
    for i, f in enumerate(faults):
        case["repairs"].append({
            "id": f"r{i}", "cost": rng.randint(1, 60) * 10, "minutes": rng.randint(1, 24) * 10,
            "fixes": {f: 1 if not whole else rng.choice([1, 1, 0.95, 0.8, 0.5])},
        })
    for i in range(rng.randint(0, 2)):
        some = rng.sample(faults, rng.randint(1, nf))
        case["repairs"].append({
            "id": f"c{i}", "cost": rng.randint(1, 60) * 10, "minutes": rng.randint(1, 24) * 10,
            "fixes": {f: rng.choice([1, 0.9, 0.6, 0.3]) for f in some},
        })
    if whole:
        case["replace_all"] = {"cost": rng.randint(20, 250) * 10, "minutes": rng.randint(1, 10) * 30}
    case["evidence"] = random_evidence(rng, case)
    return case


def random_evidence(rng, case):
    """Something that was tried and can have come out so, in every third case."""
    if rng.random() < 2 / 3:
        return []
    evidence = []
    if case["tests"]:
        test = rng.choice(case["tests"])
        possible = [o for o in test["outcomes"]["f0"] if any(row[o] > 0 for row in test["outcomes"].values())]
        evidence.append({"test": test["id"], "outcome": rng.choice(possible)})
    evidence.append({"repair": rng.choice(case["repairs"])["id"], "cured": False})
    weights, _, _ = Exact(case | {"evidence": evidence}).start
    return evidence if sum(weights) > 0 else []


class Several(Exact):
    """Up to two faults at once, every set of them with a weight.

    A set's prior is the chance of exactly it, faults being independent. What a
    test shows under two faults: each leaves it as it is without a fault, or imposes
    an outcome of its own; where both impose, either may show. A repair cures each
    fault it names on its own; the symptom goes when none is left.
    """

    def __init__(self, case):
        n = len(case["faults"])
        self.sets = [(i,) for i in range(n)] + [(i, j) for i in range(n) for j in range(i + 1, n)]
        super().__init__(case | {"evidence": []})
        q = [exact(f["prior"]) for f in case["faults"]]
        weights = []
        for members in self.sets:
            w = Fraction(1)
            for i in range(n):
                w *= q[i] if i in members else 1 - q[i]
            weights.append(w)
        tests, repairs = set(self.tests), set(self.repairs)
        for seen in case["evidence"]:
            if "test" in seen:
                weights = self.times(weights, self.tests[seen["test"]][1][seen["outcome"]])
                tests.discard(seen["test"])
            else:
                weights = self.failed(weights, seen["repair"])
                repairs.discard(seen["repair"])
        self.start = tuple(weights), frozenset(tests), frozenset(repairs)

    def columns(self, test):
        rows = [{o: exact(p) for o, p in test["outcomes"][f].items()} for f in self.ids]
        outcomes = list(rows[0])
        healthy = self.healthy(test, rows, outcomes)
        quiet = [min(row[o] / healthy[o] for o in outcomes if healthy[o] > 0) for row in rows]
        out = {o: [] for o in outcomes}
        for members in self.sets:
            for o in outcomes:
                if len(members) == 1:
                    out[o].append(rows[members[0]][o])
                    continue
                a, b = members
                # "imposes and shows o" of each, unnormalised: row less its quiet share.
                ia = rows[a][o] - quiet[a] * healthy[o]
                ib = rows[b][o] - quiet[b] * healthy[o]
                both = (ia * (1 - quiet[b]) + ib * (1 - quiet[a])) / 2
                out[o].append(quiet[a] * quiet[b] * healthy[o] + ia * quiet[b] + ib * quiet[a] + both)
        return out

    @staticmethod
    def healthy(test, rows, outcomes):
        if "healthy" in test:
            return {o: exact(p) for o, p in test["healthy"].items()}
        common = max(outcomes, key=lambda o: sum(row[o] for row in rows))
        return max(rows, key=lambda row: row[common])

    def failed(self, weights, repair):
        fix = self.repairs[repair][1]
        left = dict.fromkeys(self.sets, Fraction(0))
        for members, w in zip(self.sets, weights):
            for stays in range(1, 1 << len(members)):  # at least one fault stays
                p, rest = w, []
                for k, f in enumerate(members):
                    if stays >> k & 1:
                        p *= 1 - fix[f]
                        rest.append(f)
                    else:
                        p *= fix[f]
                left[tuple(rest)] += p
        return [left[members] for members in self.sets]

    def solve(self):
        weights, tests, repairs = self.start
        mass = sum(weights)
        q = {a: self.after(self.start, a) for a in self.actions(self.start)}
        best = min(v for v in q.values() if v is not None)
        marginal = {
            f: float(sum(w for members, w in zip(self.sets, weights) if i in members) / mass)
            for i, f in enumerate(self.ids)
        }
        return {
            "posterior": marginal,
            "expected_cost": float(best / mass),
            "best": sorted("/".join(a) for a, v in q.items() if v == best),
            "ranked": {"/".join(a): float(v / mass) for a, v in q.items() if v is not None},
        }


def several_case(rng, number):
    """A small case with independent faults, some tests saying how they come out with none."""
    while True:
        case = random_case(rng, number)
        if len(case["faults"]) <= 3 and len(case["tests"]) <= 2 and len(case["repairs"]) <= 4 and "replace_all" in case:
            break
    case["symptom"] = f"random case {number}, up to two faults"
    case["several"] = 2
    for test in case["tests"]:
        if rng.random() < 0.6:
            outcomes = list(test["outcomes"]["f0"])
            test["healthy"] = dict(zip(outcomes, hundredths(rng, len(outcomes))))
    case["evidence"] = several_evidence(rng, case)
    return case


def several_evidence(rng, case):
    """Now and then a test, a repair that did not help, and a test after it."""
    evidence = []
    for kind in rng.choice([[], [], ["test"], ["repair"], ["test", "repair"], ["test", "repair", "test"]]):
        if kind == "repair":
            evidence.append({"repair": case["repairs"][0]["id"], "cured": False})
            continue
        done = [e.get("test") for e in evidence]
        for test in case["tests"]:
            if test["id"] not in done:
                evidence.append({"test": test["id"], "outcome": rng.choice(list(test["outcomes"]["f0"]))})
                break
    weights, _, _ = Several(case | {"evidence": evidence}).start
    return evidence if sum(weights) > 0 else []


class Fine:
    """A case with one fault and measured tests, each on a grid of its own."""

    def __init__(self, case, nodes):
        import numpy as np

        self.np, self.nodes = np, nodes
        rate = case["hour_value"]
        self.cost = lambda part: part["cost"] + rate * part["minutes"] / 60
        self.ids = [f["id"] for f in case["faults"]]
        prior = np.array([f["prior"] for f in case["faults"]], float)
        self.case = case
        self.tests = {t["id"]: t for t in case["tests"]}
        self.repairs = {r["id"]: r for r in case["repairs"]}
        self.fix = {r: np.array([p["fixes"].get(f, 0) for f in self.ids], float) for r, p in self.repairs.items()}
        self.whole = self.cost(case["replace_all"])
        self.prior = (prior / prior.sum())[None, :]
        self.memo = {}

    def density(self, test, x):
        """Density of the reading under each fault, at each x."""
        from scipy import stats

        columns = []
        for f in self.ids:
            d = test["measured"][f]
            if "median" in d:
                columns.append(stats.lognorm.pdf(x, self.np.log(d["spread"]), scale=d["median"]))
            else:
                columns.append(stats.norm.pdf(x, d["mean"], d["sd"]))
        return self.np.stack(columns, axis=1)

    def grid(self, test):
        """Densities times the trapezoid's weights."""
        np, rows = self.np, test["measured"].values()
        if "median" in next(iter(rows)):
            logs = [np.log(d["median"]) for d in rows]
            spread = max(np.log(d["spread"]) for d in rows)
            u = np.linspace(min(logs) - 9 * spread, max(logs) + 9 * spread, self.nodes)
            x, jacobian = np.exp(u), np.exp(u)
        else:
            spread = max(d["sd"] for d in rows)
            u = np.linspace(min(d["mean"] for d in rows) - 9 * spread, max(d["mean"] for d in rows) + 9 * spread, self.nodes)
            x, jacobian = u, np.ones_like(u)
        weight = np.full(self.nodes, u[1] - u[0])
        weight[[0, -1]] /= 2
        return self.density(test, x) * (jacobian * weight)[:, None]

    def value(self, key, weights):
        """key: what was seen, in its order (which is that of the grids), and which repairs failed."""
        if key not in self.memo:
            self.memo[key] = self.np.minimum.reduce(list(self.options(key, weights).values()))
        return self.memo[key]

    def options(self, key, weights):
        seen, failed = key
        mass = weights.sum(axis=1)
        out = {"replace_all/replace_all": self.whole * mass}
        for r, part in self.repairs.items():
            if r not in failed:
                out["repair/" + r] = self.cost(part) * mass + self.value((seen, failed | {r}), weights * (1 - self.fix[r]))
        for t, part in self.tests.items():
            if any(name == t for name, _ in seen):
                continue
            if "measured" in part:
                grid = self.grid(part)
                fine = (weights[:, None, :] * grid[None, :, :]).reshape(-1, len(self.ids))
                rest = self.value(((*seen, (t, "measured")), failed), fine).reshape(len(weights), -1).sum(axis=1)
            else:
                columns = {o: self.np.array([part["outcomes"][f][o] for f in self.ids]) for o in part["outcomes"][self.ids[0]]}
                rest = sum(self.value(((*seen, (t, o)), failed), weights * c) for o, c in columns.items())
            out["test/" + t] = self.cost(part) * mass + rest
        return out

    def solve(self):
        q = {a: float(v[0]) for a, v in self.options(((), frozenset()), self.prior).items()}
        best = min(q.values())
        return {"expected_cost": best, "best": [a for a, v in q.items() if v == best], "ranked": q, "nodes": self.nodes}


class Grid(Fine):
    """A case with one fault and exactly two measured tests, larger than Fine can do.

    The two readings lie on the axes of an array; what the other tests showed and
    which repairs failed is gone through from the last to the first. A value over
    one reading is the sum of that over both, and so on down to none.
    """

    def solve(self):
        np = self.np
        first, second = [t for t in self.tests.values() if "measured" in t]
        grids = [self.grid(first), self.grid(second)]
        others = [t for t in self.tests.values() if "outcomes" in t]
        names = [list(t["outcomes"][self.ids[0]]) for t in others]
        rows = [[np.array([t["outcomes"][f][o] for f in self.ids]) for o in n] for t, n in zip(others, names)]
        repairs = list(self.repairs)
        reading = [self.cost(first), self.cost(second)]
        values, root = {}, {}
        for failed in reversed(range(1 << len(repairs))):
            base = self.prior[0].copy()
            for k, r in enumerate(repairs):
                if failed >> k & 1:
                    base = base * (1 - self.fix[r])
            for seen in itertools.product(*[range(len(n), -1, -1) for n in names]):  # the highest is the last outcome, 0 not done
                w = base.copy()
                for test, o in zip(rows, seen):
                    if o:
                        w = w * test[o - 1]
                here = []
                for done in (3, 2, 1, 0):  # which readings are known, as bits
                    mass = np.einsum("f,af,bf->ab", w, grids[0] if done & 1 else self.one, grids[1] if done & 2 else self.one)
                    q = {"replace_all/replace_all": self.whole * mass}
                    for k, r in enumerate(repairs):
                        if not failed >> k & 1:
                            q["repair/" + r] = self.cost(self.repairs[r]) * mass + values[failed | 1 << k, seen][done]
                    for k, t in enumerate(others):
                        if not seen[k]:
                            after = [seen[:k] + (o,) + seen[k + 1:] for o in range(1, len(names[k]) + 1)]
                            q["test/" + t["id"]] = self.cost(t) * mass + sum(values[failed, a][done] for a in after)
                    for k, t in enumerate((first, second)):
                        if not done >> k & 1:
                            q["test/" + t["id"]] = reading[k] * mass + here[3 - (done | 1 << k)].sum(axis=k, keepdims=True)
                    here.append(np.minimum.reduce(list(q.values())))
                    root = q
                values[failed, seen] = here[::-1]
        q = {a: float(v[0, 0]) for a, v in root.items()}
        best = min(q.values())
        return {"expected_cost": best, "best": [a for a, v in q.items() if v == best], "ranked": q, "nodes": self.nodes}

    @property
    def one(self):
        return self.np.ones((1, len(self.ids)))


def twelve_case(rng, number):
    """Six tests, two of them measured, and six repairs."""
    faults = [f"f{i}" for i in range(5)]
    case = {
        "symptom": f"twelve tests and repairs {number}", "currency": "EUR", "hour_value": 30,
        "faults": [{"id": f, "prior": rng.randint(5, 40) / 100} for f in faults],
        "tests": [], "repairs": [], "replace_all": {"cost": 2400, "minutes": 240},
    }
    for t in range(2):
        kind, low = [("median", 1.2), ("mean", 2)][t], rng.randint(10, 30)
        second = ["spread", "sd"][t]
        case["tests"].append({"id": f"m{t}", "cost": 5 * t, "minutes": 20, "measured": {
            f: {kind[0]: low + rng.randint(0, 40), second: round(kind[1] + [0.5, 6][t] * rng.random(), 2)} for f in faults}})
    for t in range(4):
        case["tests"].append({"id": f"t{t}", "cost": rng.choice([0, 5, 12.5]), "minutes": rng.choice([5, 10, 20]), "outcomes": {
            f: dict(zip("ab", (p / 100, 1 - p / 100))) for f in faults for p in [rng.randint(3, 97)]}})
    for i, f in enumerate([*faults, faults[0]]):
        fixes = {f: rng.choice([1, 0.95, 0.8, 0.5])} | {rng.choice(faults): rng.choice([0.9, 0.6, 0.3])}
        case["repairs"].append({"id": f"r{i}", "cost": rng.randint(4, 60) * 10, "minutes": rng.randint(2, 24) * 10, "fixes": fixes})
    return case


def measured_cases():
    interval = {"id": "interval", "cost": 0, "minutes": 25, "measured": {
        "gas": {"median": 20, "spread": 1.6}, "valve": {"median": 60, "spread": 1.8}, "other": {"median": 45, "spread": 2.5}}}
    gauge = {"id": "gauge", "cost": 12, "minutes": 30, "outcomes": {
        "gas": {"low": 0.9, "ok": 0.1}, "valve": {"low": 0.05, "ok": 0.95}, "other": {"low": 0.3, "ok": 0.7}}}
    amps = {"id": "amps", "cost": 5, "minutes": 10, "measured": {
        "gas": {"mean": 18, "sd": 2.5}, "valve": {"mean": 23, "sd": 3}, "other": {"mean": 20, "sd": 5}}}
    base = {
        "currency": "EUR", "hour_value": 30,
        "faults": [{"id": "gas", "prior": 0.45}, {"id": "valve", "prior": 0.4}, {"id": "other", "prior": 0.15}],
        "repairs": [
            {"id": "accumulator", "cost": 240, "minutes": 90, "fixes": {"gas": 0.97}},
            {"id": "reseal", "cost": 160, "minutes": 300, "fixes": {"valve": 0.85, "other": 0.2}},
            {"id": "overhaul", "cost": 700, "minutes": 420, "fixes": {"gas": 0.9, "valve": 0.95, "other": 0.5}},
        ],
        "replace_all": {"cost": 2400, "minutes": 240},
    }
    yield base | {"symptom": "one lognormal reading", "tests": [interval]}, 32000
    yield base | {"symptom": "a lognormal reading and a gauge", "tests": [interval, gauge]}, 32000
    yield base | {"symptom": "a normal reading and a gauge", "tests": [amps, gauge]}, 32000
    yield base | {"symptom": "two readings", "tests": [interval, amps]}, 1000


def main():
    command, *rest = sys.argv[1:] or ["help"]
    if command in ("random", "several"):
        draw, solver, usual = {"random": (random_case, Exact, [5, 60]), "several": (several_case, Several, [7, 30])}[command]
        seed, count = (list(map(int, rest)) + usual[len(rest):])[:2]
        rng = random.Random(seed)
        cases = [draw(rng, i) for i in range(count)]
        print("[" + ",\n".join(json.dumps({"case": c, "expected": solver(c).solve()}) for c in cases) + "]")
    elif command == "twelve":
        seed, count = (list(map(int, rest)) + [3, 3][len(rest):])[:2]
        rng = random.Random(seed)
        cases = [twelve_case(rng, i) for i in range(count)]
        print("[" + ",\n".join(json.dumps({"case": c, "expected": Grid(c, 120).solve()}) for c in cases) + "]")
    elif command == "measured":
        print("[" + ",\n".join(json.dumps({"case": c, "expected": Fine(c, n).solve()}) for c, n in measured_cases()) + "]")
    elif command == "solve":
        with open(rest[0]) as f:
            case = json.load(f)
        print(json.dumps(Exact(case.get("case", case)).solve(), indent=1))
    else:
        print(__doc__)


if __name__ == "__main__":
    main()
