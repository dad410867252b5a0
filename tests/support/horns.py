"""Recorded horn tones whose pitch is known, and our readings of them; shared by the tests on real sound."""
import csv
import math
import os
import struct
import subprocess
import sys
import tempfile
import wave

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import pitch_truth  # noqa: E402
import sound_font  # noqa: E402

ROOT = os.environ.get("BELLHAND_ROOT", os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__)))))
BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(ROOT, "build", "release"))
BELLHAND = os.environ.get("BELLHAND", os.path.join(BUILD, "bellhand"))
SHARED = os.environ.get("BELLHAND_SHARED", os.path.join(os.path.dirname(ROOT), "shared"))
SOUND_FONT = "/usr/share/sounds/sf2/FluidR3_GM.sf2"  # Debian: fluid-soundfont-gm (MIT)
FRENCH_HORN = (0, 60)  # bank and program: General MIDI 1, program 61 counted from one


class Tone:
    """A sound file with one held tone: its true median pitch between two times."""

    def __init__(self, name, path, f0_hz, start_s, end_s):
        self.name, self.path, self.f0_hz, self.start_s, self.end_s = name, path, f0_hz, start_s, end_s


def recorded():
    """The recordings with a published truth table; empty when they are not there."""
    table = os.path.join(SHARED, "audio", "truth.csv")
    if not os.path.exists(table):
        return []
    with open(table, newline="") as file:
        return [Tone(os.path.basename(row["file"]), os.path.join(SHARED, "audio", row["file"]), float(row["f0_hz"]), float(row["start_s"]), float(row["end_s"]))
                for row in csv.DictReader(file)]


def sound_font_tones(folder):
    """The recorded horn samples of the sound font, left and right apart, written as WAV files; empty when it is not
    installed. Truth: pitch_truth, a method of its own, started from the nominal key."""
    if not os.path.exists(SOUND_FONT):
        return []
    tones = []
    for sample in sound_font.samples_of(SOUND_FONT, *FRENCH_HORN):
        nominal_hz = 440.0 * 2.0 ** ((sample["key"] - 69) / 12.0)
        start_s, end_s = 0.4, min(2.4, len(sample["samples"]) / sample["rate"] - 0.1)
        truth_hz = pitch_truth.median_pitch(sample["samples"], sample["rate"], nominal_hz, start_s, end_s)
        name = "".join(c if c.isalnum() else "_" for c in sample["name"])
        path = os.path.join(folder, name + ".wav")
        with wave.open(path, "wb") as file:
            file.setparams((1, 2, sample["rate"], 0, "NONE", ""))
            file.writeframes(struct.pack(f"<{len(sample['samples'])}h", *sample["samples"]))
        tones.append(Tone(name, path, truth_hz, start_s, end_s))
    return tones


def cents(hz, reference_hz):
    return 1200.0 * math.log2(hz / reference_hz)


def median(values):
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else 0.5 * (ordered[middle - 1] + ordered[middle])


class Reading:
    """What was read of one tone inside its steady part."""

    def __init__(self, tone, lines):
        rows = [row for row in csv.DictReader(lines) if tone.start_s <= float(row["time_s"]) <= tone.end_s]
        live = [cents(float(row["f0_hz"]), tone.f0_hz) for row in rows if row["f0_hz"]]
        judged = [cents(float(row["judged_hz"]), tone.f0_hz) for row in rows if row.get("judged_hz")]
        self.rows, self.voiced = len(rows), len(live)
        self.live = [row["f0_hz"] and float(row["f0_hz"]) for row in rows]
        self.median_cents = median(live) if live else None
        self.judged_cents = median(judged) if judged else None
        # Octave and other gross errors. Not nearer: players scoop up to 150 cents at the start of the steady part, and
        # Praat reads the same there.
        self.wrong = sum(abs(e) > 300.0 for e in live)

    def words(self):
        if self.median_cents is None:
            return f"nothing read in {self.rows} rows"
        judged = "-" if self.judged_cents is None else f"{self.judged_cents:+.2f}"
        return f"live {self.median_cents:+6.2f}  judged {judged:>6}  voiced {100.0 * self.voiced / max(1, self.rows):5.1f} %  wrong octave or partial: {self.wrong} rows"

    def bad(self, limit_cents, wrong_share=0.0):
        """Why this reading fails, or an empty string. `wrong_share`: of the rows that may lie in a wrong octave."""
        if self.voiced < 0.9 * self.rows or not self.rows:
            return f"only {self.voiced} of {self.rows} rows have a pitch"
        if abs(self.median_cents) > limit_cents or (self.judged_cents is not None and abs(self.judged_cents) > limit_cents):
            return f"off by more than {limit_cents} cents"
        if self.wrong > wrong_share * self.rows:
            return f"{self.wrong} of {self.rows} rows in a wrong octave or partial"
        return ""


def read_batch(tones, options=()):
    """Readings of many tones in one process of the estimator."""
    with tempfile.TemporaryDirectory() as out:
        subprocess.run([os.path.join(BUILD, "tests", "ear_batch"), *options, out, "--", *[t.path for t in tones]], check=True, stdout=subprocess.DEVNULL)
        readings = []
        for tone in tones:
            stem = os.path.splitext(os.path.basename(tone.path))[0]
            with open(os.path.join(out, stem + ".csv")) as file:
                readings.append(Reading(tone, file))
        return readings


def read_by_trace(tone, crook="F", a4="440"):
    """Reading of one tone by the program's own command."""
    done = subprocess.run([BELLHAND, "trace", tone.path, "--crook", crook, "--a4", a4], check=True, stdout=subprocess.PIPE, text=True)
    return Reading(tone, done.stdout.splitlines())


def table(title, tones, readings, limit_cents, every_line=True, wrong_share=0.0):
    """Prints a line per tone, or per failing tone; returns how many fail."""
    print(f"\n{title} (limit {limit_cents} cents)")
    failed = 0
    for tone, reading in zip(tones, readings):
        bad = reading.bad(limit_cents, wrong_share)
        failed += bool(bad)
        if bad or every_line:
            print(f"  {tone.name:24s} {tone.f0_hz:8.3f} Hz  {reading.words()}" + (f"   <- {bad}" if bad else ""))
    worst = max((abs(r.median_cents) for r in readings if r.median_cents is not None), default=float("nan"))
    print(f"  {len(tones) - failed} of {len(tones)} right, worst live median {worst:.2f} cents")
    return failed
