"""A sound server of a test's own with a virtual microphone, and the comparison of a log with what was played into it."""
import csv
import math
import os
import shutil
import sqlite3
import subprocess
import sys
import time

PROGRAM = os.environ.get("BELLHAND", "build/release/bellhand")
NEEDED = ("pulseaudio", "pactl", "paplay")


def skip(why):
    print(f"skipped: {why}")
    sys.exit(77)


def fail(why, *files):
    print(f"FAILED: {why}")
    for file in files:
        if os.path.exists(file):
            print(f"--- {file}\n{open(file, errors='replace').read()[-3000:]}")
    sys.exit(1)


def need_tools():
    for tool in NEEDED:
        if shutil.which(tool) is None:
            skip(f"{tool} is not installed (Debian packages pulseaudio, pulseaudio-utils), so there is no virtual microphone")


def end(*processes):
    """Kills those that still run; None is no process."""
    for process in processes:
        if process is not None and process.poll() is None:
            process.kill()
            process.wait()


class SoundServer:
    """A PulseAudio server that nobody else uses, with one virtual output whose monitor is the microphone."""

    def __init__(self, folder):
        self.folder = folder
        self.process = None
        self.env = {k: v for k, v in os.environ.items() if not k.startswith("PULSE_")}
        self.env.update(HOME=f"{folder}/home", XDG_RUNTIME_DIR=f"{folder}/run", XDG_CONFIG_HOME=f"{folder}/home/.config", LC_ALL="C.UTF-8")
        os.makedirs(f"{folder}/home/.config/pulse")
        os.mkdir(f"{folder}/run", 0o700)
        open(f"{folder}/home/.asoundrc", "w").write("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        open(f"{folder}/home/.config/pulse/client.conf", "w").write("autospawn = no\n")

    def start(self):
        self.process = subprocess.Popen(
            ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--disallow-exit=yes",
             "-L", "module-null-sink sink_name=horn rate=48000", "-L", "module-native-protocol-unix"],
            env=self.env, stdout=subprocess.DEVNULL, stderr=open(f"{self.folder}/server.txt", "a"))
        if not until(20, lambda: self.ask("info") is not None):
            fail("the sound server does not start", f"{self.folder}/server.txt")
        self.ask("set-default-source", "horn.monitor")

    def kill(self):
        self.process.kill()
        self.process.wait()

    def ask(self, *words):
        try:
            done = subprocess.run(["pactl", *words], env=self.env, capture_output=True, text=True, timeout=10)
        except subprocess.TimeoutExpired:
            return None
        return done.stdout if done.returncode == 0 else None

    def wait_for_listener(self, limit_s):
        """Until a program records from the server and has had time for its first sound; false when none does."""
        found = until(limit_s, lambda: bool((self.ask("list", "short", "source-outputs") or "").strip()))
        time.sleep(3)  # the server takes up to two seconds to send the first sound
        return found

    def play(self, file, sink="horn"):
        return subprocess.Popen(["paplay", "-d", sink, file], env=self.env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def until(limit_s, condition):
    end = time.monotonic() + limit_s
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.1)
    return condition()


def render_demo(program, wav, crook, seed, env):
    """The demo player's performance as a sound file; returns its truth, a dictionary for each note."""
    table = wav + ".csv"
    done = subprocess.run([program, "demo", wav, "--truth", table, "--crook", crook, "--seed", str(seed)],
                          env=env, capture_output=True, text=True)
    if done.returncode != 0:
        fail(f"the demo player cannot be rendered: {done.stderr}")
    with open(table) as file:
        return list(csv.DictReader(file))


def notes_in(log):
    """Every note in the log, oldest first, as dictionaries of the log's columns."""
    if not os.path.exists(log):
        return []
    with sqlite3.connect(f"file:{log}?mode=ro", uri=True, timeout=10) as db:
        columns = [row[1] for row in db.execute("pragma table_info(note)")]
        rows = db.execute("select * from note order by id").fetchall()
    return [dict(zip(columns, row)) for row in rows]


def compare(truth, notes, what):
    """Shifts the truth in time so that most of its notes meet a logged one and prints the table of both.

    Returns the share of notes logged as played and the median difference of their frequencies in cents.
    """
    def meets(shift):
        pairs = []
        for wanted in truth:
            near = [n for n in notes if abs(n["start_s"] - float(wanted["start_s"]) - shift) < 0.15]
            pairs.append((wanted, min(near, key=lambda n: abs(n["start_s"] - float(wanted["start_s"]) - shift), default=None)))
        return pairs

    shifts = [n["start_s"] - float(truth[i]["start_s"]) for n in notes for i in range(min(4, len(truth)))]
    best = max((meets(shift) for shift in shifts), key=lambda pairs: sum(n is not None and n["written"] == w["written"] for w, n in pairs), default=[])
    good, off = 0, []
    print(f"{what}\n{'played':>7} {'logged':>7} {'truth Hz':>9} {'logged Hz':>9} {'cents off':>9}")
    for wanted, note in best:
        if note is None:
            print(f"{wanted['written']:>7} {'-':>7} {float(wanted['f0_hz']):9.2f}")
            continue
        cents = 1200 * math.log2(note["f0_hz"] / float(wanted["f0_hz"]))
        print(f"{wanted['written']:>7} {note['written']:>7} {float(wanted['f0_hz']):9.2f} {note['f0_hz']:9.2f} {cents:9.2f}")
        if note["written"] == wanted["written"]:
            good += 1
            off.append(abs(cents))
    off.sort()
    median = off[len(off) // 2] if off else float("inf")
    print(f"{good} of {len(truth)} notes as played, median difference {median:.2f} cents, largest {off[-1] if off else 0:.2f}\n")
    return good / len(truth), median


