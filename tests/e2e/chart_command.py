"""bellhand chart and bellhand advise: every form of output, and one sentence for every wrong use."""
import csv
import io
import json
import os
import subprocess
import tempfile
import xml.etree.ElementTree

BELLHAND = os.environ["BELLHAND"]


def run(*arguments, code=0):
    done = subprocess.run([BELLHAND, *arguments], capture_output=True, timeout=60)
    assert done.returncode == code, (arguments, done.returncode, done.stderr)
    if code == 0:
        assert done.stderr == b"", done.stderr
    else:
        assert done.stdout == b"", done.stdout
        assert done.stderr.count(b"\n") == 1, done.stderr
    return done.stdout if code == 0 else done.stderr.decode()


def test_chart_forms():
    table = run("chart", "--crook", "D", "--a4", "430").decode()
    assert table.startswith("Horn in D, A4 = 430 Hz, equal temperament\n"), table[:80]
    rows = list(csv.DictReader(io.StringIO(run("chart", "--crook", "D", "--a4", "430", "--format", "csv").decode())))
    usual = {row["written"]: row for row in rows if row["usual"] == "yes"}
    assert len(usual) == 50
    # Written G5 on the D crook sounds A4 (Encyclopaedia Britannica, 11th ed., vol. 13, "Horn": D sounds a minor
    # seventh lower).
    assert usual["G5"]["sounding"] == "A4" and float(usual["G5"]["target_hz"]) == 430.0
    for row in rows:
        assert abs(float(row["needed_cents"]) - float(row["hand_cents"]) - float(row["lips_cents"])) < 0.02, row
    whole = json.loads(run("chart", "--crook", "bb-basso", "--format", "json", "--bass-clef", "old", "--key", "C"))
    chart = whole["answer"]
    assert whole["format"] == "bellhand-chart" and whole["question"]["crook"] == "Bb-basso", whole["question"]
    assert chart["bass_clef"] == "old" and chart["key"]["written"] == "C major"
    assert [note["written"] for note in chart["notes"]] == list(usual)
    by_name = {note["written"]: note for note in chart["notes"]}
    assert by_name["C3"]["bass_clef"] == "C2"


def test_pages():
    with tempfile.TemporaryDirectory() as folder:
        for form in ("svg", "pdf"):
            path = os.path.join(folder, "chart." + form)
            out = run("chart", "--crook", "Eb", "--temperament", "vallotti", "--format", form, "--out", path)
            assert out == b""
            with open(path, "rb") as file:
                data = file.read()
            if form == "svg":
                assert xml.etree.ElementTree.fromstring(data).tag.endswith("svg")
            else:
                assert data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF")


def test_signs_that_the_hand_does_not_bear_out():
    text = run("chart", "--crook", "Bb-basso").decode()
    # Half stop for F sharp 4 falls 48 cents of 102 on B flat basso (computed, see tests/unit/horn/modelled_hand_test.cpp).
    assert "½ gives −48 ±" in text and "comes nearer" in text, text
    assert "½ gives" not in [line for line in run("chart").decode().splitlines() if line.startswith("F♯4")][0]


def test_root_and_anchor():
    alone = run("chart", "--temperament", "just", "--crook", "E").decode()
    assert alone.startswith("Horn in E, A4 = 440 Hz, Just on E\nHand:"), alone[:90]
    company = run("chart", "--temperament", "just", "--crook", "Eb", "--anchor", "a").decode()
    # Computed: 600 - 1200 log2(45/32).
    assert "the key of E♭ stands 9.8 cents above equal temperament" in company, company[:200]
    chosen = json.loads(run("chart", "--temperament", "quarter-comma", "--root", "C", "--enharmonic", "flat", "--crook", "Eb", "--format", "json"))
    assert chosen["question"]["root"] == "C" and chosen["question"]["enharmonic"] == "flat", chosen["question"]
    assert {note["target"] for note in chosen["answer"]["notes"]} >= {"the root", "a pure major third above C"}
    assert "is no root" in run("chart", "--root", "C4", code=2)


def test_wrong_use():
    assert "alto or basso" in run("chart", "--crook", "C", code=2)
    assert "380 to 470" in run("chart", "--a4", "500", code=2)
    assert '"nan" is not a number' in run("chart", "--a4", "nan", code=2)
    assert "werckmeister-3" in run("chart", "--temperament", "wild", code=2)
    assert "mixolydian" in run("chart", "--key", "H-major", code=2)
    assert "--key" in run("chart", "--sounding", code=2)
    run("chart", "--format", "gif", code=2)
    assert "/nowhere/chart.pdf" in run("chart", "--format", "pdf", "--out", "/nowhere/chart.pdf", code=1)
    assert "/nowhere/horn.json" in run("chart", "--profile", "/nowhere/horn.json", code=1)
    assert "--sounding" in run("advise", "C4", code=2)
    assert "F#4" in run("advise", "--sounding", "H4", code=2)
    run("advise", code=2)


def test_full_disk():
    if os.path.exists("/dev/full"):
        assert "written" in run("chart", "--format", "svg", "--out", "/dev/full", code=1)


def test_advice():
    lines = run("advise", "--sounding", "D3", "A3", "D4", "F#4", "A4", "D5").decode().splitlines()
    assert lines[0].split()[:2] == ["1", "D"], lines[0]
    # The same passage as written for the horn in F.
    as_written = run("advise", "--crook", "F", "A3", "E4", "A4", "C#5", "E5", "A5", "--format", "csv").decode()
    ranked = list(csv.DictReader(io.StringIO(as_written)))
    assert len(ranked) == 17 and ranked[0]["crook"] == "D", ranked[0]
    assert ranked[0]["open"] == "6" and ranked[0]["lowest"] == "C4"


for name, test in list(globals().items()):
    if name.startswith("test_"):
        test()
print("chart and advise: all well")
