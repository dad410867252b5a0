"""Scores pitch readings against signals of known pitch. Standard library only; used by ear.py.

A set is a folder with manifest.csv, truth/NAME.csv (time_s,f0_hz each millisecond) and l2.csv (mean square harmonic
number of the steady signals). Readings are OUT/NAME.csv with a header: time_s (newest sample used) and f0_hz (live,
empty or 0 = no pitch); optional judged_time_s, judged_hz, f0_sd_cents, judged_sd_cents. Who states no judged value is
judged by its live one.

Errors are in cents, latencies in milliseconds after the change. Nothing compensates delay: a live value is compared
with the pitch at time_s, a judged one with the pitch at judged_time_s.
"""
import bisect
import csv
import math
import os
import statistics

GROSS_CENTS = 50.0


def cents(hz, reference_hz):
    return 1200.0 * math.log2(hz / reference_hz)


def quantile(values, share):
    if not values:
        return None
    ordered = sorted(values)
    place = (len(ordered) - 1) * share
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (ordered[high] - ordered[low]) * (place - low)


class Signal:
    def __init__(self, folder, row, mean_l2):
        self.name, self.kind, self.profile = row["file"], row["kind"], row["profile"]
        self.snr_db, self.f0, self.f1 = float(row["snr_db"]), float(row["f0_hz"]), float(row["f1_hz"])
        self.on, self.off = float(row["t_on"]), float(row["t_off"])
        self.change, self.change_end = float(row["t_a"]), float(row["t_b"])
        self.length, self.rate = float(row["dur_s"]), float(row.get("rate_hz") or 48000.0)
        self.mean_l2 = mean_l2
        with open(os.path.join(folder, "truth", self.name + ".csv")) as file:
            next(file)
            self.truth = [float(line.split(",")[1]) for line in file]

    def true_hz(self, time_s):
        place = time_s * 1000.0
        i = int(place)
        if i < 0 or i + 1 >= len(self.truth):
            return 0.0
        a, b = self.truth[i], self.truth[i + 1]
        if a <= 0 or b <= 0 or abs(cents(a, b)) > 20.0:  # a jump lies between: do not blend
            return a
        return a + (b - a) * (place - i)

    def held_from(self):
        return (self.change if self.change > 0 else self.on) + 0.30

    def register(self):
        return "low" if self.f1 < 120.0 else "mid" if self.f1 < 200.0 else "high"


def load_set(folder):
    l2 = {}
    path = os.path.join(folder, "l2.csv")
    if os.path.exists(path):
        with open(path) as file:
            l2 = {row["file"]: float(row["mean_l2"]) for row in csv.DictReader(file)}
    with open(os.path.join(folder, "manifest.csv")) as file:
        return [Signal(folder, row, l2.get(row["file"])) for row in csv.DictReader(file)]


class Row:
    __slots__ = ("t", "f", "sd", "jt", "jf", "jsd")


def load_readings(path):
    """Rows of one file, or None when it is missing."""
    if not os.path.exists(path):
        return None

    def number(fields, column):
        if column is None or column >= len(fields):
            return 0.0
        try:
            value = float(fields[column])
        except ValueError:
            return 0.0
        return value if value == value else 0.0

    rows = []
    with open(path) as file:
        names = next(file, "").strip().split(",")
        place = {name: i for i, name in enumerate(names)}
        judged = "judged_hz" in place
        for line in file:
            fields = line.rstrip("\n").split(",")
            r = Row()
            r.t, r.f = number(fields, place["time_s"]), number(fields, place["f0_hz"])
            r.sd = number(fields, place.get("f0_sd_cents"))
            r.jt = number(fields, place["judged_time_s"]) if judged else r.t
            r.jf = number(fields, place["judged_hz"]) if judged else r.f
            r.jsd = number(fields, place.get("judged_sd_cents"))
            rows.append(r)
    return rows


class Errors:
    """Errors of many rows: what was missed, what was grossly wrong, how fine the rest is."""

    def __init__(self):
        self.rows = self.missed = self.gross = self.octave = 0
        self.fine = []
        self.inside_sd = self.stated_sd = 0

    def add(self, hz, true_hz, sd_cents=0.0):
        self.rows += 1
        if hz <= 0:
            self.missed += 1
            return None
        error = cents(hz, true_hz)
        if sd_cents > 0:
            self.stated_sd += 1
            self.inside_sd += abs(error) <= sd_cents
        if abs(error) > GROSS_CENTS:
            self.gross += 1
            k = round(error / 1200.0)
            self.octave += k != 0 and abs(error - 1200.0 * k) <= GROSS_CENTS
            return None
        self.fine.append(abs(error))
        return error

    def lost_percent(self):
        return 100.0 * (self.missed + self.gross) / self.rows if self.rows else None

    def right_percent(self):
        return 100.0 - self.lost_percent() if self.rows else None

    def sd_percent(self):
        return 100.0 * self.inside_sd / self.stated_sd if self.stated_sd else None


def settle_ms(rows, change_s, until_s, target_hz, within_cents, hold_s=None):
    """First moment from which every later live value is near (or, with hold_s, every one for that long). None: never."""
    times = [r.t for r in rows]
    first, last = bisect.bisect_left(times, change_s), bisect.bisect_right(times, until_s)

    def near(r):
        return r.f > 0 and abs(cents(r.f, target_hz)) <= within_cents

    if hold_s is None:
        start = None
        for r in reversed(rows[first:last]):
            if not near(r):
                break
            start = r.t
        return None if start is None or until_s - start < 0.1 else 1000.0 * (start - change_s)
    start = None
    for r in rows[first:last]:
        if not near(r):
            start = None
            continue
        start = r.t if start is None else start
        if r.t - start >= hold_s:
            return 1000.0 * (start - change_s)
    return None


def moving_errors(signal, rows):
    """95th percentile of the live error while the pitch moves, and the delay that would explain it best."""
    if signal.kind == "glide":
        begin, end = signal.change, signal.change_end
    else:
        begin, end = signal.on + 0.35, signal.off - 0.1
    inside = [r for r in rows if begin <= r.t <= end]
    best = None
    p95 = None
    for delay_ms in range(0, 81):
        errors = []
        for r in inside:
            true_hz = signal.true_hz(r.t - delay_ms / 1000.0)
            if r.t - delay_ms / 1000.0 >= begin and true_hz > 0:
                errors.append(abs(cents(r.f, true_hz)) if r.f > 0 else 1200.0)
        if not errors:
            break
        if delay_ms == 0:
            p95 = quantile(errors, 0.95)
        middle = statistics.median(errors)
        if best is None or middle < best[1] - 1e-9:
            best = (delay_ms, middle)
    return p95, best[0] if best else None


def bound_cents(signal, window_s):
    """Cramer-Rao bound of the standard deviation for a constant pitch over the window (head of mean_square_harmonic.cpp)."""
    n = window_s * signal.rate
    variance = 12.0 / (10.0 ** (signal.snr_db / 10.0) * n * (n * n - 1.0) * signal.mean_l2)
    return 1200.0 / math.log(2.0) * math.sqrt(variance) / (2.0 * math.pi * signal.f0 / signal.rate)


class Score:
    """All figures of one reader on one set."""

    def __init__(self, signals, out, window_s=None):
        self.live, self.judged = {}, {}  # label -> Errors
        self.changes, self.onsets, self.rooms = {}, {}, []
        self.moving = {"glide": [], "vibrato": []}
        self.delays, self.noise, self.speech = [], {}, [0, 0]
        self.bias, self.ratio, self.missing = [], [], 0
        self.files = []  # (kind, name, badness, words)
        self.early = [0, 0]  # rows before a horn that begins late, those with a pitch
        self.window_s = window_s
        for signal in signals:
            rows = load_readings(os.path.join(out, signal.name + ".csv"))
            if rows is None:
                self.missing += 1
            else:
                self.add(signal, rows)

    def errors(self, table, label):
        return table.setdefault(label, Errors())

    def add(self, s, rows):
        if s.kind == "noise":
            voiced = 100.0 * sum(r.f > 0 for r in rows) / max(1, len(rows))
            what = s.profile if s.profile != "none" else s.name.split("_", 1)[1]
            self.noise.setdefault(what, []).append(voiced)
            self.files.append(("noise", s.name, voiced, f"{voiced:.1f} % of rows with a pitch"))
            return
        if s.on > 1.5:
            before = [r.f > 0 for r in rows if r.t < s.on - 0.05]
            self.early[0] += len(before)
            self.early[1] += sum(before)
        if s.kind in self.moving:
            p95, delay = moving_errors(s, rows)
            if p95 is not None:
                self.moving[s.kind].append(p95)
                self.delays.append(delay)
                self.files.append((s.kind, s.name, p95, f"p95 {p95:.2f} cents, {delay} ms late"))
            begin, end = (s.change, s.change_end) if s.kind == "glide" else (s.on + 0.35, s.off - 0.1)
            self.held(s, [r for r in rows if begin <= r.t <= end], [s.kind, "all"], s.kind)
            return
        if s.kind == "speech":
            for r in rows:
                if s.on - 0.15 > r.t > 0.15 or r.t > s.off + 0.25:
                    self.speech[0] += 1
                    self.speech[1] += r.f > 0
        if s.kind.startswith("step") or s.kind in ("slur", "reattack"):
            kind = "step1" if s.kind == "step" else s.kind
            ms = settle_ms(rows, s.change, s.off - 0.05, s.f1, 10.0)
            for label in (s.register(), "all"):
                self.changes.setdefault((kind, label), []).append(ms)
            self.files.append((kind, s.name, 9999.0 if ms is None else ms, "never settles" if ms is None else f"{ms:.0f} ms"))
        if s.kind == "reverb":
            ms = settle_ms(rows, s.change, s.off - 0.05, s.f1, 10.0, hold_s=0.1)
            self.rooms.append(ms)
            self.files.append(("reverb", s.name, 9999.0 if ms is None else ms, "never settles" if ms is None else f"{ms:.0f} ms"))
        if s.kind == "steady" and s.f0 >= 43.0:
            self.onsets.setdefault(s.register(), []).append(settle_ms(rows, s.on, s.on + 0.45, s.f0, 50.0, hold_s=0.08))
        labels = [s.kind, "all"]
        if s.kind == "steady":
            snr = f"steady{round(s.snr_db)}"
            labels += ["steady/" + s.profile, snr, snr + ("/43" if s.f0 >= 43.0 else "/29"), "steady/" + s.register()]
        else:
            labels.append(s.kind + "/" + s.profile)
        held = [r for r in rows if s.held_from() <= r.t <= s.off - 0.05]
        self.held(s, held, labels, s.kind)

    def held(self, s, rows, labels, kind):
        own_live, own_judged, signed = Errors(), Errors(), []
        for r in rows:
            true_hz = s.true_hz(r.t)
            if true_hz <= 0:
                continue
            for table, label in [(self.live, label) for label in labels] + [(None, None)]:
                (own_live if table is None else self.errors(table, label)).add(r.f, true_hz, r.sd)
            judged_true = s.true_hz(r.jt) if r.jf > 0 else true_hz
            if judged_true <= 0:
                continue
            for label in labels:
                self.errors(self.judged, label).add(r.jf, judged_true, r.jsd)
            error = own_judged.add(r.jf, judged_true, r.jsd)
            if error is not None:
                signed.append(error)
        if own_live.rows:
            lost = own_live.lost_percent()
            p95 = quantile(own_judged.fine, 0.95)
            words = f"live lost {lost:.1f} % (octave {own_live.octave}), judged lost {own_judged.lost_percent() or 0:.1f} %, " \
                    f"judged p95 {p95 if p95 is None else round(p95, 3)}, live p95 {round(quantile(own_live.fine, 0.95) or -1, 3)}"
            if kind not in ("glide", "vibrato"):
                self.files.append((kind + " held", s.name, 1000.0 * lost + (p95 or 0.0), words))
        if kind != "steady" or len(signed) < 10:
            return
        mean = sum(signed) / len(signed)
        if s.snr_db >= 39.0:
            self.bias.append((abs(mean), s.name))
        if round(s.snr_db) == 20 and s.mean_l2:
            lag = statistics.median(r.t - r.jt for r in rows if r.jf > 0)
            window_s = self.window_s or 2.0 * lag
            if window_s > 0:
                spread = math.sqrt(sum((e - mean) ** 2 for e in signed) / (len(signed) - 1))
                self.ratio.append((spread / bound_cents(s, window_s), s.name))

    def early_percent(self):
        return 100.0 * self.early[1] / self.early[0] if self.early[0] else None

    # ---- figures -------------------------------------------------------------------------------------------------
    def latency(self, kinds, label):
        values = [v for kind in kinds for v in self.changes.get((kind, label), [])]
        return summary(values)


def summary(values):
    """Median, 90th percentile and share that never got there, of latencies with None for never."""
    good = [v for v in values if v is not None]
    if not values:
        return None
    return quantile(good, 0.5), quantile(good, 0.9), 100.0 * (len(values) - len(good)) / len(values)
