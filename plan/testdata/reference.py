#!/usr/bin/python3
"""Second implementation in numpy of what the plan's tests compare with: the
textbook project with three-time estimates, and a small plan with two people
played by the parallel scheme. Prints the figures quoted in outside_test.go."""
import numpy as np

rng = np.random.default_rng(20270104)

# Textbook project: beta distributions by the usual parameters.
acts = {  # optimistic, most likely, pessimistic, predecessors
    "A": (1, 2, 3, ""), "B": (2, 3.5, 8, "A"), "C": (6, 9, 18, "B"), "D": (4, 5.5, 10, "C"), "E": (1, 4.5, 5, "C"),
    "F": (4, 4, 10, "E"), "G": (5, 6.5, 11, "D"), "H": (5, 8, 17, "EG"), "I": (3, 7.5, 9, "C"), "J": (3, 9, 9, "FI"),
    "K": (4, 4, 4, "J"), "L": (1, 5.5, 7, "J"), "M": (1, 2, 3, "H"), "N": (5, 5.5, 9, "KL"),
}
n = 1_000_000
end, length = {}, {}
for k, (a, m, b, preds) in acts.items():
    if a == b:
        x = np.full(n, float(a))
    else:
        x = a + (b - a) * rng.beta(1 + 4 * (m - a) / (b - a), 1 + 4 * (b - m) / (b - a), n)
    length[k] = x
    end[k] = x + (np.max([end[p] for p in preds], axis=0) if preds else 0)
T = np.max(list(end.values()), axis=0)
print("textbook: mean %.4f sd %.4f chance of 47 %.4f" % (T.mean(), T.std(), (T <= 47).mean()), np.quantile(T, [.1, .5, .8, .9]))
late = {}
for k in reversed(list(acts)):
    succ = [s for s in acts if k in acts[s][3]]
    late[k] = np.min([late[s] - length[s] for s in succ], axis=0) if succ else T
print({k: round(float((late[k] - end[k] < 1e-9).mean()), 4) for k in acts})

# Small plan: job: (days, people, {predecessor: lag}, release).
jobs = {
    1: (3, 1, {}, 0), 2: (2, 2, {1: 0}, 0), 3: (4, 2, {2: 0}, 0), 4: (5, 1, {3: 0, 2: 8}, 0), 5: (3, 2, {1: 0}, 0),
    6: (8, 1, {5: 5}, 0), 7: (4, 1, {}, 6), 8: (4, 1, {4: 0}, 0), 9: (3, 1, {8: 0}, 0), 10: (3, 2, {6: 0, 9: 4}, 0),
    11: (6, 1, {10: 0, 7: 0}, 0), 12: (1, 1, {11: 0}, 0),
}
LF = dict(zip(jobs, (3, 5, 13, 18, 16, 29, 32, 22, 25, 32, 38, 39)))


def parallel(dur, people):
    start, done = {}, {}
    t = 0.0
    while len(start) < len(jobs):
        free = people - sum(jobs[j][1] for j in start if done[j] > t)
        ready = [j for j in jobs if j not in start and jobs[j][3] <= t
                 and all(p in start and done[p] + lag <= t for p, lag in jobs[j][2].items())]
        for j in sorted(ready, key=lambda j: (LF[j], j)):
            if jobs[j][1] <= free:
                start[j], done[j] = t, t + dur[j]
                free -= jobs[j][1]
        later = [e for e in done.values()] + [jobs[j][3] for j in jobs]
        later += [done[p] + lag for j in jobs for p, lag in jobs[j][2].items() if p in start]
        t = min((x for x in later if x > t), default=t)
    return max(done.values())


print("likely:", parallel({j: jobs[j][0] for j in jobs}, 2))
trials = 20_000
draws = {j: d[0] * (0.8 + rng.beta(1 + 4 * 0.2, 1 + 4 * 0.8, trials)) for j, d in jobs.items()}
F = np.array([parallel({j: draws[j][k] for j in jobs}, 2) for k in range(trials)])
print("small plan: mean %.4f sd %.4f" % (F.mean(), F.std()), np.quantile(F, [.1, .5, .8, .9]))
