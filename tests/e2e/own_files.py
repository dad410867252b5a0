"""The files that come with the program, removed and damaged one by one: whoever needs one says so in one sentence that names it, exits
with 1 and answers nothing; whoever does not need it answers as before. Every file of assets is gone through: a new one must be
told here who reads it."""
import fnmatch
import glob
import os
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import ROOT, Place  # noqa: E402
from window import Display, Window  # noqa: E402

ASSETS = os.path.join(ROOT, "assets")
EAR = [["trace", "SOUND"], ["notes", "SOUND"], ["hands", "SOUND"], ["calibrate", "SOUND", "--crook", "F"], ["drill", "open-chord", "--input", "SOUND"],
       ["part", f"{ASSETS}/parts/the_ferryman.musicxml", "--crook", "D", "--perform", "SOUND"], ["--text", "--demo", "--seconds", "1", "--log", "LOG"],
       ["--text", "--input", "SOUND", "--log", "LOG"], ["practise", "open-chord", "--crook", "F", "--demo", "--log", "LOG"]]
EXERCISES = [["drill", "--list"], ["drill", "open-chord", "--show"], ["practise", "open-chord", "--crook", "F", "--demo", "--log", "LOG"],
             ["homework", "new", "--title", "T", "--exercise", "open-chord", "--crook", "F", "--a4", "440", "--repetitions", "2", "--out", "OUT"]]
WINDOW = []  # read by the window alone, which goes on without it
# Who reads it; None: nobody, it is there for people, as a model and to try things with.
READ_BY = {"hand/*.txt": EAR, "exercises/*.json": EXERCISES, "instruments/*.json": WINDOW, "setlists/*.json": WINDOW,
           "parts/*": None, "homework/*": None, "schema/*": None, "screenshots/*": None, "*README.md": None}


def found():
    """Every asset that the program reads, and the commands that need it."""
    read = {}
    for path in sorted(glob.glob(f"{ASSETS}/**/*", recursive=True)):
        if os.path.isdir(path):
            continue
        place = os.path.relpath(path, ASSETS)
        kinds = [kind for kind in READ_BY if fnmatch.fnmatch(place, kind)]
        assert kinds, f"assets/{place}: who reads it, and what do they say without it? Tell READ_BY in {__file__}"
        if all(READ_BY[kind] is not None for kind in kinds):
            read[place] = READ_BY[kinds[0]]
    return read


def removed(path):
    os.remove(path)


def cut(path):
    """The end did not arrive."""
    with open(path, "r+b") as file:
        file.truncate(os.path.getsize(path) - 2)


def other(path):
    with open(path, "wb") as file:
        file.write(bytes(range(256)) * 20)


class Trial(Place):
    """A place with its own copy of the assets."""

    def __enter__(self):
        super().__enter__()
        self.assets = self.file("own")
        self.whole()
        self.env["BELLHAND_ASSETS"] = self.assets
        self.words = {"SOUND": self.file("sound.wav"), "LOG": self.file("log.sqlite"), "OUT": self.file("out.hornwork")}
        assert self.run("demo", self.words["SOUND"], "--seed", "3").returncode == 0
        return self

    def whole(self):
        shutil.rmtree(self.assets, ignore_errors=True)
        shutil.copytree(ASSETS, self.assets)

    def asked(self, command):
        return self.run(*[self.words.get(word, word) for word in command])


def refuses(trial, command, name):
    done = trial.asked(command)
    assert done.returncode == 1, (name, command, done)
    assert done.stdout == "", (name, command, done.stdout[:300])
    assert done.stderr.startswith("bellhand: ") and done.stderr.count("\n") == 1 and os.path.basename(name) in done.stderr, (name, command, done.stderr)
    for left in ("LOG", "OUT"):
        assert not os.path.exists(trial.words[left]), (name, command, left)
    return done.stderr.strip()


def one_by_one(trial, read):
    for name, commands in read.items():
        for harm in (removed, cut, other):
            trial.whole()
            harm(os.path.join(trial.assets, name))
            # Each harm with one command, all commands with a file that is gone.
            for command in commands if harm is removed else commands[:1]:
                said = refuses(trial, command, name)
            if commands:
                print(f"  {name}, {harm.__name__}: {said[:150]}")


def nobody_misses_the_rest(trial, read):
    unread = [["crooks"], ["chart", "--crook", "F"], ["advise", "C4", "E4", "G4", "--crook", "F"], ["bore", "--crook", "F"]]
    asked = [EAR[0], EAR[1], EXERCISES[0], *unread]
    trial.whole()
    before = [trial.asked(command).stdout for command in asked]
    assert all(before)
    for base, _, files in os.walk(trial.assets):
        for file in files:
            if os.path.relpath(os.path.join(base, file), trial.assets) not in read:
                os.remove(os.path.join(base, file))
    assert [trial.asked(command).stdout for command in asked] == before, "a file that nobody was said to read changes an answer"
    shutil.rmtree(trial.assets)
    os.mkdir(trial.assets)
    assert [trial.asked(command).stdout for command in unread] == before[3:]
    print("  all others removed at once: the answers are the same")


def window(trial, read):
    if not all(shutil.which(tool) for tool in ("Xvfb", "xdotool")):
        print("  the window is left out: Xvfb or xdotool is not installed")
        return
    trial.whole()
    harmed = {"hand/timbre.txt": removed, "hand/hand_colour.txt": cut, "exercises/tunes.json": removed,
              **{name: other for name, commands in read.items() if commands is WINDOW}}
    for name, harm in harmed.items():
        harm(os.path.join(trial.assets, name))
    errors = trial.file("errors.txt")
    with Display() as display, open(errors, "w") as file:
        with Window(display, trial, "--demo", "--log", trial.words["LOG"], errors=file) as shown:
            shown.keys("4", "Tab", "5", "e", "Escape", "1")
    said = open(errors).read().splitlines()
    assert len(said) == len(harmed), said
    for name in harmed:
        assert any(os.path.basename(name) in line for line in said), (name, said)
    # Nothing was heard, so nothing is kept.
    sessions = trial.run("log", "--log", trial.words["LOG"], "--format", "csv").stdout.splitlines()
    assert len(sessions) <= 1, sessions
    print("  the window:", *said, sep="\n    ")


def main():
    read = found()
    assert len(read) >= 11, read
    with Trial() as trial:
        one_by_one(trial, read)
        nobody_misses_the_rest(trial, read)
        window(trial, read)


if __name__ == "__main__":
    main()
