"""bellhand bore: resonances, impedance and drawing of a bore table and of the modelled horn; every mistake one sentence."""
import csv
import io
import json
import os
import subprocess
import tempfile
import xml.etree.ElementTree

BELLHAND = os.environ["BELLHAND"]


def run(*arguments, code=0):
    done = subprocess.run([BELLHAND, "bore", *arguments], capture_output=True, timeout=60)
    assert done.returncode == code, (arguments, done.returncode, done.stderr)
    if code == 0:
        assert done.stderr == b"", done.stderr
    else:
        assert done.stdout == b"", done.stdout
        assert done.stderr.count(b"\n") == 1, done.stderr
    return done.stdout.decode() if code == 0 else done.stderr.decode()


def rows(*arguments):
    return list(csv.DictReader(io.StringIO(run(*arguments, "--format", "csv"))))


def write(folder, name, text):
    path = os.path.join(folder, name)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return path


def test_cylinder(folder):
    # Cylinder of 1 m and 12 mm, ideal end, losses after Zwikker & Kosten (1949), 20 degrees; computed outside this
    # program with a speed of sound of 343.28 m/s: the program's own speed for moist air scales the frequencies.
    path = write(folder, "tube.csv", "length_mm,start_diameter_mm,end_diameter_mm\n1000,12,12\n")
    found = rows(path, "--end", "ideal", "--temperature", "20", "--humidity", "50", "--resonances", "6")
    for row, hz in zip(found, (83.324, 253.136, 423.518, 594.135, 764.892, 935.742)):
        assert abs(float(row["f_hz"]) / hz - 343.99 / 343.28) < 3e-5, row
    assert [row["gap_cents_per_mm"] for row in found] == [""] * 6
    fast = rows(path, "--end", "ideal", "--resonances", "6", "--fast")
    for row, other in zip(found, fast):
        assert abs(float(row["f_hz"]) - float(other["f_hz"])) < 0.02


def test_hand():
    open_hand = rows("--crook", "F", "--hand", "open")
    stopped = rows("--crook", "F", "--hand", "full")
    by_gap = rows("--crook", "F", "--hand", "4.5")
    assert stopped == by_gap
    for n in range(3, 14):
        # A full stop lands above the open partial below and under its own.
        assert float(open_hand[n - 2]["f_hz"]) < float(stopped[n - 1]["f_hz"]) < float(open_hand[n - 1]["f_hz"])
    deeper = rows("--crook", "F", "--hand", "half", "--hand-depth", "130")
    assert deeper != rows("--crook", "F", "--hand", "half")
    assert float(open_hand[7]["gap_cents_per_mm"]) > 0


def test_files(folder):
    curve, drawing, bore = (os.path.join(folder, name) for name in ("z.csv", "z.svg", "bore.csv"))
    text = run("--crook", "D", "--hand", "half", "--csv", curve, "--svg", drawing, "--bore-out", bore)
    assert text.startswith("Modelled horn (invented bore) in D"), text[:80]
    with open(curve, encoding="utf-8") as file:
        points = list(csv.DictReader(file))
    assert len(points) == 4000
    table = rows("--crook", "D", "--hand", "half")
    for row in table[:12]:
        near = max((point for point in points if abs(float(point["f_hz"]) - float(row["f_hz"])) < 3.0),
                   key=lambda point: float(point["z_abs_pa_s_m3"]))
        assert abs(float(near["f_hz"]) - float(row["f_hz"])) < 0.2, row
        assert abs(float(near["z_abs_pa_s_m3"]) / float(row["z_pa_s_m3"]) - 1) < 0.01, row
    root = xml.etree.ElementTree.parse(drawing).getroot()
    line = root.find("{http://www.w3.org/2000/svg}polyline")
    places = [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
    assert len(places) == 4000 and all(60 <= x <= 940 and 50 <= y <= 430 for x, y in places)
    again = rows(bore)
    for row, other in zip(table, again):
        assert abs(float(row["f_hz"]) - float(other["f_hz"])) < 0.01, (row, other)
    assert len(json.loads(run("--crook", "D", "--format", "json"))["answer"]) == 16


def test_mistakes(folder):
    head = "length_mm,start_diameter_mm,end_diameter_mm\n"
    for text, says in (("", "is empty"), ("8,17,17\n", "must name the columns"), (head + "8,17\n", "line 2 has 2 cells"),
                       (head + "8,17,x\n", "not a number"), (head + "-8,17,17\n", "length of segment 1"),
                       ("length_m,start_diameter_m,end_diameter_m\n8,17,17\n", "not millimetres")):
        assert says in run(write(folder, "bad.csv", text), code=2), text
    assert "missing.csv" in run(os.path.join(folder, "missing.csv"), code=1)
    big = write(folder, "big.csv", head + "1,12,12\n" * 200000)
    run(big, code=1)
    assert "--hand takes" in run("--hand", "lots", code=2)
    assert "--hand takes" in run("--hand", "-3", code=2)
    run("--temperature", "300", code=2)
    run("--crook", "H", code=2)


with tempfile.TemporaryDirectory() as place:
    test_cylinder(place)
    test_hand()
    test_files(place)
    test_mistakes(place)
print("bore command as it should be")
