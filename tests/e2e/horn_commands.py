"""crooks, build and setlist from outside: exit codes, sentences, and figures worked out again here."""
import csv
import io
import json
import math
import os
import subprocess
import sys
import tempfile

program = os.environ["BELLHAND"]
root = os.environ["BELLHAND_ROOT"]
profile = os.path.join(root, "assets", "instruments", "demo_coupler_horn.json")
opera = os.path.join(root, "assets", "setlists", "demo_opera.json")


def run(*arguments, code=0):
    done = subprocess.run([program, *arguments], capture_output=True, text=True, timeout=60)
    assert done.returncode == code, (arguments, done.returncode, done.stdout, done.stderr)
    return done


# The family against c/(2 f1): f1 = A4 * 2^((s - 33)/12), c = 344.0 m/s at 20 degrees C and 50 % (Cramer 1993).
family = json.loads(run("crooks", "--a4", "430", "--format", "json").stdout)
assert len(family) == 17
for crook in family:
    f1 = 430 * 2 ** ((crook["semitones"] - 33) / 12)
    assert abs(crook["f1_hz"] - f1) < 0.001, crook
    assert abs(crook["acoustic_m"] - 344.0 / (2 * f1)) < 0.0015, crook

# The player's own pieces: one coupler is another interval on every crook.
own = list(csv.DictReader(io.StringIO(run("crooks", "--profile", profile, "--format", "csv").stdout)))
assert len(own) == 2 * 11
fall = {row["crook"]: float(row["falls_cents"]) for row in own if row["piece"] == "coupler 3"}
assert fall["short master"] > fall["long master"] + 20, fall

# This plus that: partial n is n times f1, and the length is that of the table above plus the piece.
stack = json.loads(run("crooks", "--profile", profile, "--pieces", "coupler 1 + short master", "--format", "json").stdout)
row = next(row for row in own if row["crook"] == "short master" and row["piece"] == "coupler 1")
assert len(stack) == 24 and all(abs(p["hz"] - p["partial"] * float(row["f1_hz"])) < 0.02 for p in stack)
words = run("crooks", "--profile", profile, "--pieces", "short master, coupler 1", "--slide", "10").stdout
assert "slide 10 mm out" in words and "cents from A:" in words, words
run("crooks", "--profile", profile, "--pieces", "short master, long master", code=2)
run("crooks", "--profile", profile, "--pieces", "short master", "--slide", "400", code=2)
run("crooks", "--pieces", "short master", code=2)

# Ways to build: in tune, ranked, and cheaper to reach from a stack that shares pieces.
ways = json.loads(run("build", "--key", "Eb", "--a4", "430", "--profile", profile, "--format", "json").stdout)
assert ways and all(abs(way["left_cents"]) <= 5 for way in ways)
ranks = [(round(abs(way["left_cents"])), way["joints"]) for way in ways]
assert ranks == sorted(ranks), ranks
coming = json.loads(run("build", "--key", "Eb", "--profile", profile, "--from", "long master, coupler 1",
                        "--format", "json").stdout)
assert coming[0]["off"] == "coupler 1" and coming[0]["on"] == "coupler 6" and coming[0]["change_s"] == 9

# Set list: three wishes, each best in its own.
plans = {choice: json.loads(run("setlist", opera, "--profile", profile, "--choose", choice, "--format", "json").stdout)
         for choice in ("fewest-pieces", "least-change", "least-reach")}
assert len(plans["fewest-pieces"]["packed"]) == min(len(plan["packed"]) for plan in plans.values())
assert plans["least-change"]["change_s"] == min(plan["change_s"] for plan in plans.values())
assert plans["least-reach"]["reach_sum_m"] == min(plan["reach_sum_m"] for plan in plans.values())
with tempfile.TemporaryDirectory() as folder:
    page = os.path.join(folder, "sheet.svg")
    run("setlist", opera, "--profile", profile, "--format", "svg", "--out", page)
    assert "<svg" in open(page, encoding="utf-8").read()

    # What must be asked, and what is refused: exit 2 for the command line, 1 for a file.
    for key in ("C", "Bb", "B"):
        asked = run("build", "--key", key, "--profile", profile, code=2).stderr
        assert "alto" in asked and "basso" in asked, asked
    assert "no piece" in run("build", "--key", "F", "--profile", profile, "--from", "nothing", code=2).stderr
    run("build", "--key", "F", "--a4", "300", "--profile", profile, code=2)
    run("build", "--key", "F", "--temperature", "nan", "--profile", profile, code=2)
    run("setlist", opera, "--profile", profile, "--choose", "best", code=2)
    run("setlist", os.path.join(folder, "missing.json"), "--profile", profile, code=1)
    bad = os.path.join(folder, "bad.json")
    text = open(profile, encoding="utf-8").read()
    for was, becomes, word in (('"length_m": 0.481', '"length_m": 481', "481 millimetres would be written 0.481"),
                               ('"coupler 2"', '"coupler 1"', "two pieces"),
                               ('"mass_kg": 0.16', '"mass_gk": 0.16', "mass_gk")):
        assert was in text, was
        open(bad, "w", encoding="utf-8").write(text.replace(was, becomes))
        said = run("build", "--key", "F", "--profile", bad, code=1).stderr
        assert word in said and said.count("\n") == 1, said
    with open(bad, "wb") as huge:
        huge.truncate(100_000_000)
    assert "too large" in run("build", "--key", "F", "--profile", bad, code=1).stderr

print("family, own pieces, ways, three plans, refusals: as they should be")
sys.exit(0)
