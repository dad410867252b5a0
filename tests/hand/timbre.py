"""Features of a tone's harmonics and a small classifier of open against stop-like tones; the standard library only.

The features are those of src/hand/features.cpp; a change here is a change there.
"""
import csv
import math
import random

NAMES = ["first", "second_third", "fourth_fifth", "seventh_to_tenth"]
GROUPS = [(1, 1), (2, 3), (4, 5), (7, 10)]
REFERENCE_HZ = 200.0
MOST_HARMONICS = 20
FLOOR_DB = 60.0  # below the strongest harmonic everything counts as this
RIDGE = 5.0
LOWEST_HZ = 75.0   # the lowest stop-like tone that was measured lies at 82 Hz
HIGHEST_HZ = 700.0


class Tone:
    """One tone: where it came from, what was played, levels of its harmonics in dB (None: not known)."""

    def __init__(self, name, note, stopped, f0_hz, levels):
        self.name, self.note, self.stopped, self.f0_hz, self.levels = name, note, stopped, f0_hz, levels
        self.x = features(levels)
        self.basis = basis(f0_hz)


def read_tones(path):
    tones = []
    with open(path, encoding="utf-8") as file:
        for row in csv.DictReader(file):
            levels = [float(row[f"h{k}_db"]) if row[f"h{k}_db"] else None for k in range(1, MOST_HARMONICS + 1)]
            tones.append(Tone(row["tone"], row["note"], row["technique"] == "muted", float(row["f0_hz"]), levels))
    return tones


def features(levels):
    """Mean level of each group of harmonics against the whole tone, in dB; None where no harmonic is known."""
    known = [d for d in levels if d is not None]
    strongest = max(known)
    held = [None if d is None else max(d, strongest - FLOOR_DB) for d in levels]
    total = 10.0 * math.log10(sum(10.0 ** (d / 10.0) for d in held if d is not None))
    out = []
    for low, high in GROUPS:
        group = [d for d in held[low - 1:high] if d is not None]
        out.append(sum(group) / len(group) - total if group else None)
    return out


def basis(f0_hz):
    octaves = math.log2(f0_hz / REFERENCE_HZ)
    return [1.0, octaves, octaves * octaves]


def solve(matrix, right):
    """Gauss's elimination with pivots."""
    n = len(right)
    rows = [list(matrix[i]) + [right[i]] for i in range(n)]
    for i in range(n):
        pivot = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(n):
            if r != i:
                factor = rows[r][i] / rows[i][i]
                for c in range(i, n + 1):
                    rows[r][c] -= factor * rows[i][c]
    return [rows[i][n] / rows[i][i] for i in range(n)]


def least_squares(inputs, outputs):
    n = len(inputs[0])
    matrix = [[sum(x[i] * x[j] for x in inputs) + (1e-6 if i == j else 0.0) for j in range(n)] for i in range(n)]
    return solve(matrix, [sum(x[i] * y for x, y in zip(inputs, outputs)) for i in range(n)])


def dot(a, b):
    return sum(p * q for p, q in zip(a, b))


def logistic(inputs, outputs, ridge):
    """Newton's method; both classes weigh the same; no penalty on the last input, which is the constant."""
    positive = sum(outputs)
    weight = [len(outputs) / 2.0 / (positive if y else len(outputs) - positive) for y in outputs]
    n = len(inputs[0])
    b = [0.0] * n
    for _ in range(40):
        gradient = [0.0] * n
        curvature = [[0.0] * n for _ in range(n)]
        for x, y, w in zip(inputs, outputs, weight):
            p = 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, dot(b, x)))))
            for i in range(n):
                gradient[i] += w * (y - p) * x[i]
                for j in range(n):
                    curvature[i][j] += w * p * (1.0 - p) * x[i] * x[j]
        for i in range(n - 1):
            gradient[i] -= ridge * b[i]
            curvature[i][i] += ridge
        for i in range(n):
            curvature[i][i] += 1e-6
        step = solve(curvature, gradient)
        b = [a + s for a, s in zip(b, step)]
        if max(abs(s) for s in step) < 1e-8:
            break
    return b


class Model:
    """usual: per feature, coefficients of the mean of open tones over register; spread; weights; constant."""

    def __init__(self, tones):
        opens = [t for t in tones if not t.stopped]
        self.usual = [least_squares([t.basis for t in opens], [t.x[i] for t in opens]) for i in range(len(NAMES))]
        self.spread = []
        for i in range(len(NAMES)):
            rest = [t.x[i] - dot(self.usual[i], t.basis) for t in opens]
            self.spread.append(math.sqrt(sum(r * r for r in rest) / len(rest)))
        b = logistic([self.standard(t) + [1.0] for t in tones], [1 if t.stopped else 0 for t in tones], RIDGE)
        self.weights, self.constant = b[:-1], b[-1]

    def standard(self, tone):
        return [0.0 if x is None else (x - dot(u, tone.basis)) / s for x, u, s in zip(tone.x, self.usual, self.spread)]

    def score(self, tone):
        return dot(self.weights, self.standard(tone)) + self.constant


def left_out_scores(tones):
    """Every tone scored by a model that saw no tone of the same written pitch."""
    scores = {}
    for note in sorted({t.note for t in tones}):
        model = Model([t for t in tones if t.note != note])
        for tone in tones:
            if tone.note == note:
                scores[tone.name] = model.score(tone)
    return scores


def log_odds_line(scores, tones):
    """Platt's line from score to log odds at even odds, with his targets short of 0 and 1 (Platt 1999)."""
    positive = sum(t.stopped for t in tones)
    negative = len(tones) - positive
    a, b = 1.0, 0.0
    for _ in range(50):
        gradient, curvature = [0.0, 0.0], [[1e-6, 0.0], [0.0, 1e-6]]
        for tone in tones:
            target = (positive + 1.0) / (positive + 2.0) if tone.stopped else 1.0 / (negative + 2.0)
            w = len(tones) / 2.0 / (positive if tone.stopped else negative)
            x = [scores[tone.name], 1.0]
            p = 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, a * x[0] + b))))
            for i in range(2):
                gradient[i] += w * (target - p) * x[i]
                for j in range(2):
                    curvature[i][j] += w * p * (1.0 - p) * x[i] * x[j]
        step = solve(curvature, gradient)
        a, b = a + step[0], b + step[1]
        if max(abs(s) for s in step) < 1e-9:
            break
    return a, b


class Microphone:
    """An invented microphone and room: a tilt, a low corner, a broad bump, and where hearing ends."""

    def __init__(self, seed, top_hz=20000.0):
        chance = random.Random(seed)
        self.tilt = chance.gauss(0.0, 1.0)  # dB per octave
        self.low_hz = chance.uniform(30.0, 140.0)
        self.bump_hz = math.exp(chance.uniform(math.log(250.0), math.log(3000.0)))
        self.bump_db = chance.gauss(0.0, 3.0)
        self.top_hz = top_hz

    def hear(self, tone):
        levels = []
        for k, level in enumerate(tone.levels, 1):
            hz = k * tone.f0_hz
            if level is None or hz > self.top_hz:
                levels.append(None)
                continue
            octaves = math.log2(hz / 500.0)
            low = -10.0 * math.log10(1.0 + (self.low_hz / hz) ** 4)
            bump = self.bump_db * math.exp(-((math.log2(hz / self.bump_hz) / 0.7) ** 2))
            levels.append(level + self.tilt * octaves + low + bump)
        return Tone(tone.name, tone.note, tone.stopped, tone.f0_hz, levels)
