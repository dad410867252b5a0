"""Bars played round and round keep their best time through; bars that went wrong come again with --worst; slower; sentences of --bars,
--from and --speed; a stretch of a real part from a recording."""
import csv
import io
import json
import os
import random
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from played_tones import RATE, add_tone, save  # noqa: E402
from program import ROOT, Place  # noqa: E402

BARS = ["C5 E5 G5 E5", "C5 D5 E5 G5", "E5 C5 G4 C5", "C5 C5 E5 C5"]
QUARTER_S = 0.5
A4_HZ = 440.0


def score():
    """Four bars in four-four at 120, horn in D."""
    notes = lambda bar: "".join(
        f"<note><pitch><step>{name[0]}</step><octave>{name[1]}</octave></pitch><duration>1</duration><type>quarter</type></note>"
        for name in bar.split())
    head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo=\"120\"/>"
    return ("<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn in D</part-name></score-part></part-list><part id=\"P1\">"
            + "".join(f"<measure number=\"{i}\">{head if i == 1 else ''}{notes(bar)}</measure>" for i, bar in enumerate(BARS, 1))
            + "</part></score-partwise>")


def hertz(name):
    letter, sign, octave = re.fullmatch(r"([A-G])([#b]?)(-?\d)", name).groups()
    number = 12 * (int(octave) + 1) + {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[letter] + {"": 0, "#": 1, "b": -1}[sign]
    return A4_HZ * 2 ** ((number - 69) / 12)


def play(sounding, rounds, quarter_s, wrong):
    """The notes so many times; `wrong`: (round, note) that are played a semitone high."""
    samples = [0.0] * (RATE // 2)
    for time in range(rounds):
        for i, name in enumerate(sounding):
            add_tone(samples, hertz(name) * (2 ** (1 / 12) if (time, i) in wrong else 1), quarter_s - 0.08)
            samples += [0.0] * int(0.08 * RATE)
    return samples + [0.0] * (3 * RATE)


def events(done):
    assert done.returncode == 0, (done.returncode, done.stderr[-600:])
    return [json.loads(line)["answer"] for line in done.stdout.splitlines()]


def sentences(place, file):
    """Every bad range is one sentence that says what to write."""
    for arguments, says in ((["--bars", "3-9"], "no bar \"9\""), (["--bars", "9-10"], "goes from 1 to 4"), (["--bars", "3-2"], "--bars 2-3"),
                            (["--bars", ""], "no bar"), (["--bars", "-"], "no bar"), (["--bars", "one"], "no bar \"one\""),
                            (["--bars", "1-"], "no bar"), (["--play", "--from", "7"], "no bar 7"), (["--play", "--bars", "1-2", "--from", "3"], "Bar 3 is not"),
                            (["--play", "--speed", "5"], "25"), (["--worst"], "no worst bars")):
        done = place.run("part", file, *arguments, "--log", place.file("none.sqlite"))
        assert done.returncode == 2, (arguments, done.returncode, done.stdout[-300:], done.stderr[-300:])
        assert says in done.stderr and done.stderr.count("\n") == 1, (arguments, done.stderr)


def given_part(place):
    """Six bars of a real part, a note of them a semitone off, judged from a recording."""
    file = os.path.join(ROOT, "tests", "data", "parts", "high_horn_in_d.mxl")
    bars = ["--bars", "1-6"]
    rows = list(csv.DictReader(io.StringIO(place.run("part", file, *bars, "--plan", "csv").stdout)))
    samples, quarter_s = [0.0] * (RATE // 2), 0.6
    begins = [(int(row["bar"]) - 1) * 3 + float(row["beat"]) - 1 for row in rows]
    for i, row in enumerate(rows):
        until = begins[i + 1] if i + 1 < len(rows) else begins[i] + 1
        samples += [0.0] * max(0, int((0.5 + begins[i] * quarter_s) * RATE) - len(samples))
        add_tone(samples, hertz(row["sounding"]) * (2 ** (1 / 12) if i == 9 else 1), max(0.1, min(until - begins[i], 2) * quarter_s - 0.06))
    sound = place.file("given.wav")
    save(sound, samples + [0.0] * (2 * RATE))
    done = place.run("part", file, *bars, "--perform", sound)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    table = [line for line in lines[1:] if re.match(r" *\d+  ", line)]
    print(len(rows), "notes asked,", len(table), "judged:", lines[-1])
    assert len(table) == len(rows), done.stdout
    assert lines[0].split()[0] == "bar" and table[0].split()[0] == "1" and table[-1].split()[0] == rows[-1]["bar"], done.stdout
    wrong = [line for line in table if "wrong" in line or "semitone" in line]
    assert len(wrong) >= 1 and wrong[0].split()[0] == rows[9]["bar"], done.stdout


def main():
    random.seed(5)
    with Place() as place:
        file, log = place.file("four.musicxml"), place.file("log.sqlite")
        with open(file, "w", encoding="utf-8") as out:
            out.write(score())
        sentences(place, file)
        asked = list(csv.DictReader(io.StringIO(place.run("part", file, "--plan", "csv").stdout)))
        two = [row["sounding"] for row in asked if row["bar"] in ("2", "3")]
        # Three times through bars 2 and 3: two notes of bar 3 wrong, one, none.
        sound = place.file("round.wav")
        save(sound, play(two, 3, QUARTER_S, {(0, 5), (0, 6), (1, 5)}))
        told = events(place.run("part", file, "--bars", "2-3", "--loop", "--input", sound, "--log", log, "--format", "json"))
        assert any(one["event"] == "asked" for one in told), told[:2]
        takes = place.run("log", "takes", "--log", log).stdout
        best = [line for line in takes.splitlines() if "best of" in line]
        assert best and all("kept" in line for line in best), takes
        good = [int(re.search(r"(\d+) of 8 good", line).group(1)) for line in best]
        assert max(good) >= 7, takes
        # What went wrong comes again: bar 3, with the bar before to come in from, slower.
        again = place.file("again.wav")
        save(again, play(two, 1, QUARTER_S / 0.8, set()))
        told = events(place.run("part", file, "--worst", "--speed", "80", "--input", again, "--log", log, "--format", "json"))
        first = next(one for one in told if one["event"] == "asked")
        print("worst:", first["title"], "because:", first["why"])
        assert "Bar 3: " in json.dumps(first) and "bars 2 to 3" in json.dumps(first), first
        given_part(place)
    print("part: bars round and round, worst bars, sentences and a real part as they should be")


if __name__ == "__main__":
    main()
