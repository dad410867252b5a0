"""part from outside: exit codes, sentences, plans as CSV and JSON, signs written and read again, bad files in little time and memory."""
import csv
import io
import json
import os
import subprocess
import sys
import tempfile
import zipfile

program = os.environ["BELLHAND"]
root = os.environ["BELLHAND_ROOT"]
demo = os.path.join(root, "assets", "parts")
ferryman = os.path.join(demo, "the_ferryman.musicxml")
gate = os.path.join(demo, "two_at_the_gate.musicxml")
round_ = os.path.join(demo, "evening_round.musicxml")
high = os.path.join(root, "tests", "data", "parts", "high_horn_in_d.mxl")
two = os.path.join(root, "tests", "data", "parts", "two_horns_b_flat_alto.mxl")


class Done:
    pass


def run(*arguments, code=0):
    """Runs `part`; what it printed, its processor seconds and its largest memory in MB."""
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        process = subprocess.Popen([program, "part", *arguments], stdout=out, stderr=err)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        done = Done()
        done.code, done.seconds, done.mb = process.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024
        out.seek(0)
        err.seek(0)
        done.out, done.err = out.read().decode(), err.read().decode()
    assert done.code == code, (arguments, done.code, done.out[-500:], done.err[-500:])
    return done


def answer(*arguments):
    """The plan as the answer of the published JSON."""
    whole = json.loads(run(*arguments, "--plan", "json").out)
    assert whole["format"] == "bellhand-part-plan", whole["format"]
    return whole["answer"]


# The demo pieces: crooks that change, two players, hand notes.
text = run(ferryman).out
for word in ("F from bar 1", "D from bar 17", "E♭ from bar 28", "Hand:", "Hardest:"):
    assert word in text, (word, text)
asked = run(gate, "--plan", "csv", code=3)
assert "--player 1" in asked.err and asked.out == "", asked.err
assert "Question" in run(gate, code=3).out
upper = list(csv.DictReader(io.StringIO(run(gate, "--player", "1", "--plan", "csv").out)))
lower = list(csv.DictReader(io.StringIO(run(gate, "--player", "2", "--plan", "csv").out)))
assert upper[0]["written"] == "C5" and lower[0]["written"] == "C4"
# Bar 17 begins in bass clef; a C2 in it proves the old notation.
assert [row["written"] for row in lower if row["bar"] == "17"] == ["C4"], lower
assert "old notation" in run(gate, "--player", "2").out
assert "with repeats" in run(round_).out

# A page to play from, the same bytes each time; SVG and PDF by the ending of the name.
with tempfile.TemporaryDirectory() as folder:
    pages = {}
    for name in ("one.pdf", "two.pdf", "one.svg", "two.svg"):
        run(high, "--print", os.path.join(folder, name), "--partials")
        pages[name] = open(os.path.join(folder, name), "rb").read()
    assert pages["one.pdf"] == pages["two.pdf"] and pages["one.pdf"].startswith(b"%PDF-")
    assert pages["one.svg"] == pages["two.svg"] and pages["one.svg"].rstrip().endswith(b"</svg>")
    assert b"CreationDate" not in pages["one.pdf"]
    wrong = run(high, "--print", os.path.join(folder, "page.png"), code=2)
    assert ".pdf or .svg" in wrong.err, wrong.err
    run(gate, "--print", os.path.join(folder, "gate.pdf"), code=3)
    assert sorted(os.listdir(folder)) == ["one.pdf", "one.svg", "two.pdf", "two.svg"]

# CSV and JSON hold the same, byte for byte twice.
first = run(high, "--plan", "csv").out
assert first == run(high, "--plan", "csv").out
rows = list(csv.DictReader(io.StringIO(first)))
assert list(rows[0]) == "bar,beat,note,written,sounding,crook,partial,hand,lips_cents,cost,reason".split(",")
assert len(rows) == 446
plan = answer(high)
assert [note["written"] for note in plan["notes"]] == [row["written"] for row in rows]
assert [note["partial"] for note in plan["notes"]] == [int(row["partial"]) for row in rows]
# The root of an unequal temperament follows the crook unless chosen, and moves what the lips have to do.
just = ("--temperament", "just")
own, on_c = (json.loads(run(high, *just, *more, "--plan", "json").out) for more in ((), ("--root", "C", "--anchor", "a")))
assert (own["question"]["root"], own["question"]["anchor"]) == ("D", "key"), own["question"]
assert (on_c["question"]["root"], on_c["question"]["anchor"]) == ("C", "a"), on_c["question"]
pure = [[note["lips_cents"] for note in whole["answer"]["notes"] if note["hand"] == "open" and note["written"] in ("C4", "E4", "G4", "C5", "E5", "G5")]
        for whole in (own, on_c)]
assert pure[0] and all(abs(cents) < 0.1 for cents in pure[0]), pure[0]  # the tube's own notes are pure on its key
assert max(abs(cents) for cents in pure[1]) > 5, pure[1]
few = list(csv.DictReader(io.StringIO(run(high, "--plan", "csv", "--bars", "2-3").out)))
assert few == [row for row in rows if row["bar"] in ("2", "3")]
assert all(row["reason"].endswith(".") for row in rows)

# Questions and their answers.
bare = open(round_, encoding="utf-8").read()
with tempfile.TemporaryDirectory() as folder:
    def file(name, content):
        path = os.path.join(folder, name)
        with open(path, "wb" if isinstance(content, bytes) else "w") as out:
            out.write(content)
        return path

    c = file("c.musicxml", bare.replace("Horn in E", "Horn in C"))
    asked = run(c, "--plan", "csv", code=3)
    assert "--crook C-alto" in asked.err and "--crook C-basso" in asked.err, asked.err
    low = answer(c, "--crook", "C-basso")
    assert low["changes"][0]["crook"] == "C-basso"
    later = answer(c, "--crook", "C-basso", "--crook", "9=Eb")
    assert [(change["bar"], change["crook"]) for change in later["changes"]] == [("0", "C-basso"), ("9", "Eb")]
    none = file("none.musicxml", bare.replace("Horn in E", "Violin").replace("</score-part>", "</score-part><score-part id=\"P2\"><part-name>Flute</part-name></score-part>"))
    assert "--part" in run(none, code=3).err
    assert "no part" in run(high, "--part", "Tuba", code=2).err

    # Signs: written, read again as pins, the same plan; the compressed file likewise.
    for name in ("signs.musicxml", "signs.mxl"):
        out = os.path.join(folder, name)
        run(high, "--annotate", out, "--partials")
        again = list(csv.DictReader(io.StringIO(run(out, "--plan", "csv").out)))
        for before, after in zip(rows, again, strict=True):
            assert all(before[key] == after[key] for key in ("bar", "beat", "written", "crook", "partial", "hand")), (before, after)
            assert "as pinned" in after["reason"], after
    assert zipfile.ZipFile(out).testzip() is None

    # Pins and costs.
    pinned = json.loads(run(round_, "--pin", "14.1=p5½", "--plan", "json", code=2).out or "null")
    assert pinned is None
    held = answer(round_, "--pin", "1.1=o")
    assert held["pins"] == [{"bar": "1", "note": 1}], held["pins"]
    costs = file("costs.json", json.dumps({"format": "bellhand hand costs", "version": 1, "costs": {"tone_per_step": 0}}))
    assert answer(round_, "--costs", costs)["cost"] < answer(round_)["cost"]
    assert "speed" in run(round_, "--costs", file("bad.json", '{"format":"bellhand hand costs","version":1,"costs":{"speed":1}}'), code=1).err

    # Crooks compared: the one it was composed for first.
    ranking = run(high, "--compare-crooks").out.splitlines()
    assert len(ranking) >= 18 and ranking[1].split()[0] == "D" or ranking[2].split()[0] == "D", ranking[:4]

    # Bad files: one sentence, less than a second of processor and 300 MB.
    def score(bars, heading="Horn in D"):
        return ("<score-partwise><part-list><score-part id=\"P1\"><part-name>" + heading +
                "</part-name></score-part></part-list><part id=\"P1\">" + bars + "</part></score-partwise>")

    def bar(inside):
        return "<measure number=\"1\"><attributes><divisions>2</divisions></attributes>" + inside + "</measure>"

    note = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration></note>"
    entities = "<!DOCTYPE x [" + "".join(f"<!ENTITY e{i} \"{f'&e{i - 1};' * 10 if i else 'ha'}\">" for i in range(10)) + "]>"
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.xml", " " * 39_000_000)
    path = io.BytesIO()
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../../a.xml", score(bar(note)))
    bad = {
        "entities.xml": entities + score("&e9;"),
        "bomb.mxl": bomb.getvalue(),
        "path.mxl": path.getvalue(),
        "nested.xml": score("<measure>" * 100_000 + "</measure>" * 100_000),
        "nested_open.xml": "<score-partwise>" + "<a>" * 100_000,
        "divisions.xml": score(bar(note).replace(">2</divisions>", ">0</divisions>")),
        "negative.xml": score(bar(note.replace(">2</duration>", ">-2</duration>"))),
        "backup.xml": score(bar(note + "<backup><duration>9</duration></backup>")),
        "missing.xml": score("").replace("<part id=\"P1\"></part>", ""),
        "empty.xml": score(""),
        "flood.xml": score("<a/>" * 9_000_000),
        "large_text.xml": score(bar("<note><x>" + "y" * 39_000_000 + "</x></note>")),
        "damaged.mid": b"MThd\0\0\0\x06\0\x01\0\x01\0\x60MTrk\0\0\0\x04\0\x40\x40\x40",
    }
    for name, content in bad.items():
        done = run(file(name, content), code=1)
        said = (done.err or done.out).strip()
        assert said.endswith(".") and "\n" not in said and len(said) < 400, (name, done.err, done.out)
        assert done.seconds < 1.0 and done.mb < 300, (name, done.seconds, done.mb)
    huge = os.path.join(folder, "huge.xml")
    with open(huge, "wb") as out:
        out.truncate(200_000_000)
    done = run(huge, code=1)
    assert done.seconds < 1.0 and done.mb < 300 and done.err.strip().endswith("?") and done.err.count("\n") == 1, (done.seconds, done.mb, done.err)
    repeats = run(file("repeats.xml", score(bar(note + "<barline><repeat direction=\"backward\" times=\"1000000000\"/></barline>"))))
    assert "played straight" in repeats.out and repeats.seconds < 1.0, repeats.out

print("part: demo pieces, plans, questions, signs, pins, costs, crooks and bad files as they should be")
sys.exit(0)
