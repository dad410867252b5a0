"""Homework in the window, by keys alone: a teacher composes it; a student opens the file, plays it (a recording with one flat note
stands for the horn), writes words and gives it back; the teacher opens what came back, comments on a flat note and on the whole, and
sets what follows; the student finds the comment at the take."""
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zipfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402
from window import Display, Window, wait_for  # noqa: E402

BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
HOW = ("--crook", "Eb", "--a4", "430", "--temperament", "vallotti")
EXERCISE = "open-chord"


def rows(log, question):
    if not os.path.exists(log):
        return []
    book = sqlite3.connect(f"file:{log}?mode=ro", uri=True)
    try:
        return book.execute(question).fetchall()
    except sqlite3.OperationalError:
        return []  # still being set up
    finally:
        book.close()


def composed(display, place):
    """By a teacher whose draft outlives a kill in the middle."""
    log = place.file("teacher.sqlite")
    folder = os.path.join(place.path, "teacher-homework", "set")
    with Window(display, place, "--demo", "--crook", "F", "--a4", "430", "--temperament", "vallotti", "--log", log) as window:
        window.keys("0", "n", "Return")
        window.type("Chord")
        window.keys("Tab")
        window.type("A teacher: n, x, 5")
        window.keys("Return", "e")
        window.type("open chord")
        window.keys("Return")
        wait_for("the draft", lambda: os.path.exists(os.path.join(folder, "draft.json")))
        window.process.kill()
        window.process.wait()
    with Window(display, place, "--demo", "--log", log) as window:
        window.keys("0", "n", "End", "Right", "Down", "Down", "Return")  # the crook is stepped, not written
        for _ in range(10):  # any crook, then from the highest down to E flat
            window.keys("Right")
        window.keys("Down", "Down", "Down", "Right", "s")  # once each time
        made = wait_for("the file", lambda: [name for name in os.listdir(folder) if name.endswith(".hornwork")])
        assert not os.path.exists(os.path.join(folder, "draft.json")), "saved, and still a draft"
    given = os.path.join(folder, made[0])
    asked = json.loads(zipfile.ZipFile(given).read("homework.json"))
    assert (asked["title"], asked["teacher"]) == ("Chord", "A teacher: n, x, 5"), asked
    part = asked["parts"][0]
    assert (asked["a4_hz"], asked["temperament"], part["crook"], part["repetitions"]) == (430, "vallotti", "Eb", 1), asked
    return given


def student(display, place, given, recording):
    log = place.file("student.sqlite")
    with Window(display, place, "--input", recording, "--log", log) as window:
        window.open(given)
        (identity,), = wait_for("the homework in the log", lambda: rows(log, "SELECT id FROM homework"))
        window.keys("space")
        wait_for("every note judged", lambda: rows(log, "SELECT count(*) FROM step")[0][0] >= 12)
        wait_for("the end of the recording", lambda: rows(log, "SELECT 1 FROM take"))
        window.keys("space", "w")
        window.type("The G is low: r, n, x.")
        window.keys("Return", "s")
        back = os.path.join(place.path, "student-homework", "returned", identity + ".hornwork")
        wait_for("the file that goes back", lambda: os.path.exists(back))
        wait_for("the log knows it", lambda: rows(log, "SELECT 1 FROM homework WHERE returned_at IS NOT NULL AND returned_at <> ''"))
    archive = zipfile.ZipFile(back)
    assert "take-01.flac" in archive.namelist(), archive.namelist()
    returned = json.loads(archive.read("homework.json"))["returned"]
    assert returned["words"] == "The G is low: r, n, x.", returned["words"]
    attempt = returned["attempts"][0]
    assert (attempt["a4_hz"], attempt["temperament"], attempt["crook"]) == (430, "vallotti", "Eb"), attempt
    wrong = {step["asked"] for step in attempt["steps"] if step.get("faults") == ["flat"]}
    assert wrong == {"G4"}, attempt["steps"]
    return back


def teacher(display, place, back):
    log = place.file("teacher.sqlite")
    with Window(display, place, "--demo", "--log", log) as window:
        window.open(back)
        folder = os.path.join(place.path, "teacher-homework", "set")
        kept = wait_for("the teacher's own copy", lambda: [name for name in os.listdir(folder) if name.endswith("-returned.hornwork")])
        window.keys("w")
        window.type("Better: n, f, 5.")
        window.keys("Return", "Down", "Return", "Down", "w")
        window.type("Listen before you place the hand.")
        window.keys("Return", "Escape", "n", "Return")
        window.type(" again")
        window.keys("Return", "s")
        wait_for("what follows", lambda: len([name for name in os.listdir(folder) if name.endswith(".hornwork")]) == 3)
    assert len(kept) == 1, kept
    commented = os.path.join(folder, kept[0])
    comments = json.loads(zipfile.ZipFile(commented).read("homework.json"))["comments"]
    assert [comment["text"] for comment in comments] == ["Better: n, f, 5.", "Listen before you place the hand."], comments
    assert comments[1]["take"] == 1 and comments[1]["note"] == "G4", comments
    following = next(name for name in os.listdir(folder) if name.startswith("chord-again"))
    assert json.loads(zipfile.ZipFile(os.path.join(folder, following)).read("homework.json"))["follows"] == "-".join(kept[0].split("-")[:-1])
    assert rows(log, "SELECT count(*) FROM homework") == [(0,)], "what came back is not the teacher's own work"
    shown = place.run("homework", "show", commented)
    assert "The G is low: r, n, x." in shown.stdout, shown
    return commented


def student_again(display, place, commented):
    log = place.file("student.sqlite")
    with Window(display, place, "--demo", "--log", log) as window:
        window.open(commented)
        said = wait_for("the comment at the take", lambda: rows(log, "SELECT who, text FROM comment WHERE take_id IS NOT NULL"))
    assert said == [("teacher", "Listen before you place the hand.")], said


def main():
    missing = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
    if missing:
        print(f"skipped: {missing[0]} is not installed")
        return 77
    with Place() as place, Display() as display:
        recording = place.file("student.wav")
        subprocess.run([os.path.join(BUILD, "tests", "make_performance"), EXERCISE, recording, *HOW, "--seed", "5", "--fault", "flat@G4"], check=True,
                       env=place.env)
        student_again(display, place, teacher(display, place, student(display, place, composed(display, place), recording)))
    print("composed, played, given back, commented, followed up and read, in the window")
    return 0


if __name__ == "__main__":
    sys.exit(main())
