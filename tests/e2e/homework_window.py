"""Homework in the window, by keys alone: a teacher composes it; a student opens the file, plays it (a recording with one flat note
stands for the horn), writes words and gives it back; the teacher opens what came back, comments on a flat note and on the whole, and
sets what follows; the student finds the comment at the take."""
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time
import zipfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import BELLHAND, Place  # noqa: E402

BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
HOW = ("--crook", "Eb", "--a4", "430", "--temperament", "vallotti")
EXERCISE = "open-chord"


def wait_for(what, ready, seconds=60.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        value = ready()
        if value:
            return value
        time.sleep(0.1)
    raise AssertionError(f"{what}: not within {seconds:g} s")


class Display:
    """A display without a screen. A server that went may take the socket of the next one of its number with it, so that each is
    tried before it is used."""

    def start(self):
        reader, writer = os.pipe()
        self.server = subprocess.Popen(["Xvfb", "-displayfd", str(writer), "-screen", "0", "1280x800x24", "-nolisten", "tcp"], pass_fds=(writer,),
                                       stderr=subprocess.DEVNULL)
        os.close(writer)
        with os.fdopen(reader) as told:
            self.name = ":" + told.readline().strip()
        env = dict(os.environ, DISPLAY=self.name)
        return subprocess.run(["xdotool", "getdisplaygeometry"], env=env, capture_output=True).returncode == 0

    def __enter__(self):
        for _ in range(5):
            if self.start():
                return self
            self.__exit__()
            time.sleep(1.0)
        raise AssertionError("no display could be started")

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()


class Window:
    """The program in a window of that display, closed by its own key."""

    def __init__(self, display, place, *arguments):
        self.env = dict(place.env, DISPLAY=display.name)
        self.arguments = arguments

    def __enter__(self):
        self.process = subprocess.Popen([BELLHAND, *self.arguments], env=self.env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            found = wait_for("a window", lambda: subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "^Bellhand$"], env=self.env,
                                                                capture_output=True, text=True).stdout.split())
        except AssertionError:
            self.process.kill()
            raise
        subprocess.run(["xdotool", "windowfocus", found[0]], env=self.env, check=True)
        time.sleep(1.0)
        return self

    def keys(self, *keys):
        for key in keys:
            subprocess.run(["xdotool", "key", key], env=self.env, check=True)
            time.sleep(0.15)

    def type(self, words):
        subprocess.run(["xdotool", "type", "--delay", "12", words], env=self.env, check=True)
        time.sleep(0.3)

    def open(self, path):
        self.keys("i")
        self.type(path)
        self.keys("Return")

    def __exit__(self, *_):
        if self.process.poll() is not None:  # killed on purpose
            return
        subprocess.run(["xdotool", "key", "ctrl+q"], env=self.env, check=False)
        try:
            code = self.process.wait(20)
        finally:
            self.process.kill()
        assert code == 0, code


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
