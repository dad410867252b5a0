"""The live text view in a real terminal (tmux): what it shows, its keys, and how it leaves the terminal behind."""
import json
import os
import re
import shutil
import subprocess
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import BELLHAND, Place  # noqa: E402


class Terminal:
    """A tmux server of its own with one window."""

    count = 0

    def __init__(self, place, columns, rows, language, *arguments):
        Terminal.count += 1
        self.socket = place.file(f"tmux{Terminal.count}")  # a server that is just ending takes no new window
        exports = " ".join(f"{key}={place.env[key]}" for key in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"))
        command = f"env -u DISPLAY -u WAYLAND_DISPLAY -u LC_ALL -u LC_CTYPE {exports} LANG={language} {BELLHAND} {' '.join(arguments)}; echo left with $?; cat"
        self.tmux("-u", "new-session", "-d", "-x", str(columns), "-y", str(rows), command)

    def tmux(self, *arguments):
        done = subprocess.run(["tmux", "-S", self.socket, "-f", "/dev/null", *arguments], capture_output=True, env={**os.environ, "LANG": "C.UTF-8"})
        return done.stdout.decode()

    def screen(self):
        return self.tmux("capture-pane", "-p")

    def wait_for(self, pattern, seconds=20.0):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            screen = self.screen()
            if re.search(pattern, screen):
                return screen
            time.sleep(0.1)
        raise AssertionError(f"never saw {pattern!r}:\n{screen}")

    def keys(self, *names):
        self.tmux("send-keys", *names)

    def close(self):
        self.tmux("kill-server")


def shows_the_notes(place):
    terminal = Terminal(place, 80, 24, "C.UTF-8", "--demo", "--text", "--crook", "D", "--a4", "430", "--seed", "2", "--log", place.file("log.sqlite"))
    try:
        screen = terminal.wait_for(r"G4 +partial +6 +open")
        assert "D crook, A4 = 430 Hz, Equal" in screen
        assert re.search(r"C4 +partial +4 +open +[+-]\d+\.\d cents", screen), screen
        assert re.search(r"flat ─+", screen) and "sharp" in screen, screen
        assert "Saved as session 1." in screen and "q stop" in screen
        terminal.wait_for(r"level █+·+ +-\d+ dBFS")
        live = terminal.wait_for(r"██.*partial \d")
        assert re.search(r"sounds \d+\.\d\d Hz", live) and re.search(r"should \d+\.\d\d Hz", live), live
        print(live)
        terminal.keys(">")
        terminal.wait_for("E♭ crook")
        terminal.keys("Left")
        terminal.wait_for("D crook")
        terminal.keys("+")
        terminal.wait_for("A4 = 431 Hz")
        terminal.keys("-", "-")
        terminal.wait_for("A4 = 429 Hz")
        terminal.keys("q")
        left = terminal.wait_for("left with 0")
        assert "crook" not in left and "session 1" in left, left
    finally:
        terminal.close()
    listed = json.loads(place.run("log", "--log", place.file("log.sqlite"), "--format", "json").stdout)["answer"]
    assert listed[0]["closed"] == "yes" and listed[0]["notes"] >= 3, listed
    crooks = {note["crook"] for note in json.loads(place.run("log", "1", "--log", place.file("log.sqlite"), "--format", "json").stdout)["answer"]}
    assert "D" in crooks, crooks


def fits_small_and_plain_terminals(place):
    for columns, rows, language in ((40, 12, "C.UTF-8"), (132, 50, "C"), (30, 6, "C")):
        terminal = Terminal(place, columns, rows, language, "--demo", "--text", "--log", place.file("log.sqlite"))
        try:
            screen = terminal.wait_for(r"partial")
            lines = screen.rstrip("\n").split("\n")
            assert len(lines) <= rows and all(len(line) <= columns for line in lines), screen
            if language == "C":
                assert screen.isascii(), screen
            terminal.keys("C-c")
            terminal.wait_for("left with 0")
        finally:
            terminal.close()


def says_what_is_wrong(place):
    with open(place.file("shopping.sqlite"), "w") as file:
        file.write("bread, valve oil")
    terminal = Terminal(place, 100, 24, "C.UTF-8", "--demo", "--text", "--log", place.file("shopping.sqlite"))
    try:
        terminal.wait_for(r"is not a Bellhand log.* notes wait in\s+memory|is not a Bellhand log")
        terminal.keys("q")
        terminal.wait_for("left with 1")
    finally:
        terminal.close()


def main():
    if shutil.which("tmux") is None:
        print("skipped: tmux is not installed (Debian: tmux)")
        return 77
    with Place() as place:
        shows_the_notes(place)
        fits_small_and_plain_terminals(place)
        says_what_is_wrong(place)
    print("text view: notes, keys, sizes, messages, and a clean terminal afterwards")
    return 0


if __name__ == "__main__":
    sys.exit(main())
