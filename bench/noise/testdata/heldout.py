# Held-out recordings for package noise: many speeds, sample rates, geometries and
# kinds of noise, healthy and damaged, none of which the thresholds were set with.
# Written apart from the Go code; the defect frequencies follow from rolling
# kinematics (positions of the elements), not from the formulas of the package.
#
#   /usr/bin/python3 heldout.py FOLDER HEALTHY DAMAGED SEED
#
# writes WAV files of 16 bits and index.csv. heldout_test.go reads them.
import csv
import os
import struct
import sys

import numpy as np

folder, healthy, damaged, seed = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
os.makedirs(folder, exist_ok=True)


def coloured(rng, n, alpha):
    """Gaussian noise whose power falls as f^-alpha above 20 Hz, of rms 1."""
    spectrum = np.fft.rfft(rng.standard_normal(n))
    k = np.arange(len(spectrum)) + 1.0
    spectrum *= np.maximum(k, len(k) / 400) ** (-alpha / 2)
    x = np.fft.irfft(spectrum, n)
    return x / x.std()


def geometry(rng):
    """A bearing that could be built: elements fill 60 to 95 % of the circle."""
    n = int(rng.integers(7, 20))
    pitch = rng.uniform(30, 90)
    fill = rng.uniform(0.6, 0.95)
    d = fill * np.pi * pitch / n
    d = min(d, 0.35 * pitch)
    return n, d, pitch, float(rng.choice([0, 0, 15, 25, 36, 40]))


def rates(geo, fi, fo):
    """Cage and element speeds by equal surface speed at both contacts."""
    n, d, pitch, angle = geo
    g = d / pitch * np.cos(np.radians(angle))
    inner, outer = fi * (1 - g), fo * (1 + g)      # surface speeds, in turns of the pitch circle
    cage = (inner + outer) / 2
    # A point of the element's rim turns with the surface: spin about its own axis.
    spin = abs((fo - cage) * (1 + g)) / (d / pitch)
    return {"outer": n * abs(cage - fo), "inner": n * abs(fi - cage), "spin": spin, "cage": cage}


def ring(x, rate, times, levels, centre, decay):
    """Adds a decaying tone at each time."""
    length = int(rate * min(6 / decay, 0.05)) + 2
    t = np.arange(length) / rate
    for at, level in zip(times, levels):
        i = int(np.ceil(at * rate))
        m = min(length, len(x) - i)
        if m > 0 and i >= 0:
            s = t[:m] + (i / rate - at)
            x[i:i + m] += level * np.exp(-decay * s) * np.sin(2 * np.pi * centre * s)


def background(rng, rate, n, shaft, angle, kinds):
    """What a sound car makes of itself."""
    t = np.arange(n) / rate
    x = coloured(rng, n, rng.uniform(0, 1.6))
    hiss = rng.standard_normal(n) * rng.uniform(0.05, 0.5)
    x += hiss
    if "shaft" in kinds:
        for k in range(1, int(rng.integers(4, 9))):
            x += rng.uniform(0.1, 0.8) / k ** 0.5 * np.cos(k * angle + rng.uniform(0, 6.28))
    if "gear" in kinds:
        teeth = int(rng.integers(11, 60))
        for k in (1, 2, 3):
            x += rng.uniform(0.1, 1) / k * (1 + rng.uniform(0, 0.6) * np.cos(angle + 1)) * np.cos(k * teeth * angle + rng.uniform(0, 6.28))
    if "mains" in kinds:
        f = rng.choice([50, 60]) * (1 + rng.uniform(-1e-3, 1e-3))
        for k in (1, 2, 3, 5):
            x += rng.uniform(0.05, 0.6) * np.cos(2 * np.pi * k * f * t + rng.uniform(0, 6.28))
    if "uneven" in kinds:        # road noise that is louder once a turn
        x *= 1 + rng.uniform(0.1, 0.7) * np.cos(angle) + rng.uniform(0, 0.3) * np.cos(2 * angle + 1)
    if "tread" in kinds:         # blocks of unlike pitch, the same every turn
        blocks = int(rng.integers(60, 81))
        edges = np.cumsum(rng.choice([0.9, 1.0, 1.12], blocks))
        edges = edges / edges[-1] * 2 * np.pi
        phase = np.interp(angle % (2 * np.pi), np.concatenate([[0], edges]), np.arange(blocks + 1))
        x += rng.uniform(0.2, 1.2) * np.cos(2 * np.pi * phase) * (1 + 0.3 * rng.standard_normal(n) * 0.3)
    if "stones" in kinds:
        count = rng.poisson(rng.uniform(0.5, 8) * n / rate)
        ring(x, rate, rng.uniform(0, n / rate, count), rng.exponential(4, count), rng.uniform(0.06, 0.4) * rate, rng.uniform(300, 3000))
    if "gain" in kinds:          # a recorder that levels by itself
        x *= 10 ** (np.interp(t, np.linspace(0, t[-1], 8), rng.uniform(-4, 4, 8)) / 20)
    return x


KINDS = ["shaft", "gear", "mains", "uneven", "tread", "stones", "gain"]
rows = []
for i in range(healthy + damaged):
    rng = np.random.default_rng([seed, i])
    rate = int(rng.choice([8000, 11025, 12000, 16000, 22050, 44100], p=[.15, .15, .2, .25, .15, .1]))
    shaft = float(np.exp(rng.uniform(np.log(8), np.log(45))))
    seconds = float(rng.uniform(max(4, 60 / shaft), max(6, 160 / shaft)))
    n = int(rate * seconds)
    t = np.arange(n) / rate
    waver = rng.uniform(0, 0.002)
    speed = shaft * (1 + waver * np.sin(2 * np.pi * t / seconds * rng.uniform(0.3, 2) + rng.uniform(0, 6)))
    angle = 2 * np.pi * np.cumsum(speed) / rate
    shaft = float(angle[-1] / (2 * np.pi) / (n / rate))
    geo = geometry(rng)
    turns = bool(rng.random() < 0.2)     # the outer ring turns
    fi, fo = (0, shaft) if turns else (shaft, 0)
    f = rates(geo, fi, fo)
    kinds = [] if i % 10 == 0 else [k for k in KINDS if rng.random() < (0.75 if k == "shaft" else 0.35)]
    x = background(rng, rate, n, shaft, angle, kinds)
    truth, level = "none", 0.0
    if i >= healthy:
        truth = ["outer", "inner", "element"][i % 3]
        slip = 1 + rng.uniform(-0.007, 0.007)
        hz = {"outer": f["outer"], "inner": f["inner"], "element": 2 * f["spin"]}[truth] * slip
        turn = {"outer": shaft if turns else 0, "inner": 0 if turns else shaft, "element": abs(f["cage"] - 0)}[truth]
        level = float(np.exp(rng.uniform(np.log(0.2), np.log(6))))
        strikes = []
        at = rng.uniform(0, 1 / hz)
        while at < n / rate:
            strikes.append(at)
            at += (1 + rng.uniform(0.002, 0.015) * rng.standard_normal()) / hz
        strikes = np.array(strikes)
        depth = rng.uniform(0.4, 1) if turn else 0.0
        levels = level * np.maximum(0, 1 - depth + depth * np.cos(2 * np.pi * turn * strikes)) * rng.uniform(0.7, 1.3, len(strikes))
        ring(x, rate, strikes, levels, rng.uniform(0.12, 0.42) * rate, rng.uniform(500, 3000))
    stated, doubt = shaft, 0.0
    if rng.random() < 0.5:               # road speed and a tyre's size
        stated, doubt = shaft * (1 + rng.uniform(-0.02, 0.02)), 0.03
    x *= 20000 / np.abs(x).max()
    name = f"{i:04d}.wav"
    data = np.round(x).astype("<i2").tobytes()
    with open(os.path.join(folder, name), "wb") as out:
        out.write(b"RIFF" + struct.pack("<I", 36 + len(data)) + b"WAVEfmt " + struct.pack("<IHHIIHH", 16, 1, 1, rate, 2 * rate, 2, 16) + b"data" + struct.pack("<I", len(data)) + data)
    rows.append([name, truth, f"{stated:.6f}", doubt, f"{shaft:.6f}", geo[0], f"{geo[1]:.6f}", f"{geo[2]:.6f}", geo[3], int(turns), f"{level:.3f}", "+".join(kinds) or "noise"])
with open(os.path.join(folder, "index.csv"), "w", newline="") as out:
    w = csv.writer(out)
    w.writerow("name truth stated_hz doubt true_hz n d pitch angle outer_turns level kinds".split())
    w.writerows(rows)
