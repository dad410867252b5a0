"""The log's own commands and the report through the real binary."""
import csv
import io
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402


def good(done):
    assert done.returncode == 0 and done.stderr == "", (done.args, done.returncode, done.stderr)
    return done.stdout


def refused(done, code, words):
    assert done.returncode == code and done.stdout == "" and done.stderr.count("\n") == 1, done
    assert words in done.stderr, done.stderr


def listed(place, log, *more):
    return [int(row["session"]) for row in json.loads(good(place.run("log", "--log", log, "--format", "json", *more)))["answer"]]


with Place() as place:
    log = place.file("log.sqlite")
    for seed in ("3", "4"):
        done = place.run("--demo", "--text", "--seconds", "6", "--seed", seed, "--log", log, "--crook", "Eb")
        assert done.returncode == 0, done
    assert listed(place, log) == [2, 1]
    assert json.loads(good(place.run("log", "list", "--log", log, "--format", "json")))["answer"][0]["session"] == 2
    shown = good(place.run("log", "show", "last", "--log", log, "--format", "csv"))
    assert shown == good(place.run("log", "2", "--log", log, "--format", "csv"))
    notes = len(shown.splitlines()) - 1
    assert notes >= 2, shown

    # Delete, undo, delete for good.
    assert "undo 2" in good(place.run("log", "delete", "2", "--log", log))
    assert listed(place, log) == [1] and listed(place, log, "--bin") == [2]
    refused(place.run("log", "2", "--log", log), 2, "bin")
    refused(place.run("log", "delete", "2", "--log", log), 2, "bin")
    good(place.run("log", "undo", "--log", log))
    assert listed(place, log) == [2, 1] and listed(place, log, "--bin") == []
    assert good(place.run("log", "2", "--log", log, "--format", "csv")) == shown
    refused(place.run("log", "undo", "--log", log), 1, "bin is empty")
    refused(place.run("log", "undo", "2", "--log", log), 2, "not in the bin")
    refused(place.run("log", "delete", "first", "--log", log), 2, '"first" is not a session')
    refused(place.run("log", "delete", "99", "--log", log), 2, "no session 99")

    # Comments.
    good(place.run("log", "comment", "last", "Softer", "attacks", "--teacher", "--note", "1", "--at", "2.5", "--log", log))
    refused(place.run("log", "comment", "1", "x", "--take", "7", "--log", log), 2, "no take 7")
    refused(place.run("log", "comment", "1", "--log", log), 2, "WORDS")

    # Takes and their room.
    folder = place.file("log-takes")
    os.makedirs(folder, exist_ok=True)
    book = sqlite3.connect(log)
    for number in (1, 2):
        open(os.path.join(folder, f"{number}.flac"), "wb").write(b"x")
        book.execute("INSERT INTO take (session_id, file, start_s, duration_s, bytes, kept, why) VALUES (1, ?, 1.5, 60, 40000000, 0, 'keep that')",
                     (f"{number}.flac",))
    book.commit()
    book.close()
    rows = json.loads(good(place.run("log", "takes", "--log", log, "--format", "json")))["answer"]
    assert [(row["take"], row["session"], row["bytes"], row["kept"]) for row in rows] == [(1, 1, 40000000, ""), (2, 1, 40000000, "")], rows
    assert "use 80 of 2000 MB" in good(place.run("log", "takes", "--log", log))
    assert "use 80 of 75 MB" in good(place.run("log", "takes", "--budget", "75", "--keep", "2", "--log", log))
    assert [row["kept"] for row in json.loads(good(place.run("log", "takes", "--log", log, "--format", "json")))["answer"]] == ["", "kept"]
    refused(place.run("log", "takes", "--budget", "10", "--log", log), 2, "50")
    refused(place.run("log", "takes", "--keep", "9", "--log", log), 2, "no take 9")
    # The budget holds: named at one start of a session, gone at the next; what is kept stays.
    for _ in range(2):
        done = place.run("--demo", "--text", "--seconds", "2", "--log", log)
        assert done.returncode == 0, done
    assert [row["take"] for row in json.loads(good(place.run("log", "takes", "--log", log, "--format", "json")))["answer"]] == [2]
    assert os.listdir(folder) == ["2.flac"], os.listdir(folder)
    good(place.run("log", "delete", "last", "--log", log))
    good(place.run("log", "delete", "last", "--log", log))
    good(place.run("log", "empty-bin", "--log", log))

    # Export.
    everything = json.loads(good(place.run("log", "export", "--format", "json", "--log", log)))
    assert everything["format"] == "bellhand-log" and everything["version"] == 2
    assert [row["session"] for row in everything["answer"]["sessions"]] == [1, 2]
    assert everything["answer"]["comments"][0]["text"] == "Softer attacks" and everything["answer"]["comments"][0]["who"] == "teacher"
    file = place.file("notes.csv")
    good(place.run("log", "export", "--session", "2", "--out", file, "--log", log))
    rows = list(csv.DictReader(open(file, encoding="utf-8", newline="")))
    assert len(rows) == notes and rows[0]["session"] == "2"
    of_json = [row for row in everything["answer"]["notes"] if row["session"] == 2]
    assert len(of_json) == notes > 0, of_json
    for row, other in zip(rows, of_json):
        assert row["written"] == other["written"] and float(row["deviation_cents"]) == other["deviation_cents"], (row, other)
    table = list(csv.DictReader(io.StringIO(good(place.run("log", "export", "--table", "sessions", "--log", log)))))
    assert [row["crook"] for row in table] == ["Eb", "Eb"]
    refused(place.run("log", "export", "--table", "everything", "--log", log), 2, "sessions")
    refused(place.run("log", "export", "--out", place.file("nowhere/x.csv"), "--log", log), 1, "nowhere")

    # The report: well-formed, and valid as far as an outside checker says.
    page = place.file("report.html")
    good(place.run("report", "--out", page, "--player", "A <b>Student</b>", "--log", log))
    text = open(page, encoding="utf-8").read()
    root = ElementTree.fromstring(text.split("\n", 1)[1])
    svg = "{http://www.w3.org/2000/svg}"
    charts = root.findall(f".//{svg}svg")
    assert len(charts) >= 3 and all(chart.find(f"{svg}title") is not None for chart in charts)
    assert "A <b>Student</b>" in "".join(root.itertext()) and "Softer attacks" in text
    if shutil.which("tidy"):
        checked = subprocess.run(["tidy", "-errors", "-quiet", page], capture_output=True, text=True)
        # The checker knows HTML 5 and reports what is not; it does not know svg's role and aria attributes' places.
        assert checked.returncode < 2 and "Error" not in checked.stderr, checked.stderr
        print(f"tidy: {checked.stderr.count('Warning')} warnings, no errors")
    else:
        print("tidy is not installed: the page was checked for well-formedness only")
    summary = good(place.run("report", "--log", log, "--range", "all"))
    assert "2 sessions" in summary and "licensed" in summary, summary
    refused(place.run("report", "--range", "month", "--log", log), 2, "day, week or all")
    refused(place.run("report", "--until", "1.3.2026", "--log", log), 2, "2026-03-01")
    refused(place.run("report"), 1, "empty")
    assert "Nothing in this period" in (good(place.run("report", "--until", "1999-01-01", "--out", page, "--log", log)), open(page, encoding="utf-8").read())[1]

    # Gone for good.
    good(place.run("log", "delete", "1", "--log", log))
    assert "1 session is gone" in good(place.run("log", "empty-bin", "--log", log))
    assert listed(place, log) == [2] and listed(place, log, "--bin") == []
    print(f"log list, show, delete, undo, empty-bin, comment, export; report: {notes} notes")
