"""One horn behind every command: for all seventeen crooks what `chart` says of the hand is what `bore` computes, within a
cent, on the partials 2 to 16; and in just intonation on the key the tube's own notes need nothing."""
import csv
import io
import json
import os
import subprocess

BELLHAND = os.environ["BELLHAND"]
CROOKS = ("C-alto B-alto Bb-alto A Ab G F# F E Eb D Db C-basso B-basso Bb-basso A-basso Ab-basso").split()
HANDS = ("open", "quarter", "half", "three-quarters", "full")
PURE = (2, 3, 4, 5, 6, 8, 10, 12) # partials that just intonation leaves where they are
MOST_CENTS = 1.0


def run(*arguments):
    done = subprocess.run([BELLHAND, *arguments], capture_output=True, timeout=120)
    assert done.returncode == 0, (arguments, done.stderr)
    return done.stdout.decode()


def falls(crook):
    """Fall from the open hand of each degree, by partial, as `bore` computes it."""
    table = {}
    for degree, hand in enumerate(HANDS):
        rows = csv.DictReader(io.StringIO(run("bore", "--fast", "--crook", crook, "--hand", hand, "--resonances", "17", "--format", "csv")))
        for row in rows:
            table.setdefault(int(row["number"]), {})[degree] = float(row["from_open_cents"])
    return table


def at(degrees, closure):
    low = min(3, int(closure * 4))
    part = closure * 4 - low
    return degrees[low] + part * (degrees[low + 1] - degrees[low])


worst = 0.0
compared = 0
for crook in CROOKS:
    bore = falls(crook)
    assert all(abs(degrees[0]) < 0.05 for degrees in bore.values()), bore
    chart = json.loads(run("chart", "--crook", crook, "--format", "json"))["answer"]["notes"]
    for note in chart:
        for way in note["ways"]:
            # A full stop named from the partial below is the next branch; a hand drawn out is no closure.
            if way["hand_out"] or (way["hand"] == "full" and way["hand_cents"] > 0.0) or not 2 <= way["partial"] <= 16:
                continue
            off = abs(way["hand_cents"] - at(bore[way["partial"]], way["closure"]))
            assert off <= MOST_CENTS, (crook, note["written"], way, bore[way["partial"]])
            worst = max(worst, off)
            compared += 1
    just = json.loads(run("chart", "--crook", crook, "--temperament", "just", "--format", "json"))["answer"]["notes"]
    open_ways = {way["partial"]: way for note in just for way in note["ways"][:1] if way["hand"] == "open" and not way["lipped"]}
    for partial in PURE:
        assert abs(open_ways[partial]["needed_cents"]) <= 0.1, (crook, partial, open_ways[partial])
print(f"{compared} ways on {len(CROOKS)} crooks: chart and bore differ by {worst:.2f} cents at most")
