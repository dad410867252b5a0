"""Lessons through a real sound server.

Over a call: a teacher's microphone and what her computer plays are two inputs heard at once, each with the other side's sound
coming back in it; each note must be told of who played it, and a marked note of each side must have its take in the log.
Unattended: a scripted student hears what is asked as lines, plays it into the virtual microphone with chosen faults, and the
log must name exactly those.

BELLHAND_LESSON_MINUTES=10 for a whole session; without it one minute. BELLHAND_CALL_SEED, BELLHAND_CALL_SECONDS for other calls.
"""
import csv
import os
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, end, fail, need_tools, skip  # noqa: E402

TESTS = os.path.join(os.environ.get("BELLHAND_BUILD", "build/release"), "tests")
STUDENT, PROBE = (os.path.join(TESTS, name) for name in ("scripted_student", "call_probe"))
MINUTES = float(os.environ.get("BELLHAND_LESSON_MINUTES", "1"))


def call(server, folder):
    """Both sides of a call, of half a minute."""
    seed, seconds = os.environ.get("BELLHAND_CALL_SEED", "201"), os.environ.get("BELLHAND_CALL_SECONDS", "28")
    here, there, log = f"{folder}/here.wav", f"{folder}/there.wav", f"{folder}/call.sqlite"
    subprocess.run([PROBE, "make", here, there, seed, seconds], check=True)
    for sink in ("room", "call"):
        server.ask("load-module", "module-null-sink", f"sink_name={sink}", "rate=48000")
    probe = subprocess.Popen([PROBE, "hear", "room.monitor", "call.monitor", log, seed, seconds], env=server.env, stdout=subprocess.PIPE, text=True)
    players = []
    try:
        said = probe.stdout.readline()
        if said != "ready\n":
            fail(f"both sides of a call: {said}")
        players = [server.play(here, "room"), server.play(there, "call")]
        print("both sides of a call:", probe.communicate(timeout=60 + 2 * float(seconds))[0])
        if probe.returncode != 0:
            fail("notes of a call are told of the wrong side")
    except subprocess.TimeoutExpired:
        fail("the call does not come to its end")
    finally:
        end(probe, *players)
    with sqlite3.connect(log) as book:
        takes = sorted(why for (why,) in book.execute("SELECT why FROM take"))
        marks = book.execute("SELECT count(*) FROM comment").fetchone()[0]
    if [take.startswith("marked: the call, ") for take in takes] != [False, True] or marks != 2:
        fail(f"a mark on each side: {marks} in the log, takes {takes}")


def lesson(server, folder):
    """Runs it to its own end; seconds allowed: twice its length and a minute."""
    log, truth, errors = f"{folder}/log.sqlite", f"{folder}/truth.csv", f"{folder}/errors.txt"
    program = subprocess.Popen([PROGRAM, "today", "--run", "--format", "json", "--minutes", str(MINUTES), "--device", "default", "--crook",
                                "F", "--no-metronome", "--no-drone", "--log", log],
                               env=server.env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=open(errors, "w"))
    student = subprocess.Popen([STUDENT, truth, "1"], stdin=program.stdout, stdout=subprocess.PIPE)
    player = subprocess.Popen(["pacat", "--playback", "-d", "horn", "--rate=48000", "--channels=1", "--format=s16le", "--latency-msec=80"],
                              env=server.env, stdin=student.stdout, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        if program.wait(timeout=60 + 120 * MINUTES) != 0:
            fail(f"the lesson ended with {program.returncode}", errors)
    except subprocess.TimeoutExpired:
        fail("the lesson does not come to its end by itself", errors)
    finally:
        end(program, student, player)
    return log, truth


def main():
    need_tools()
    for program in (STUDENT, PROBE):
        if not os.path.exists(program):
            skip(f"{program} is not built")
    with tempfile.TemporaryDirectory(prefix="bellhand-lesson-") as folder:
        server = SoundServer(folder)
        server.start()
        try:
            # Both keep the time of the sound and mostly wait for it: they share the server, not an input.
            with ThreadPoolExecutor() as beside:
                both_sides = beside.submit(call, server, folder)
                log, truth = lesson(server, folder)
                both_sides.result()
        finally:
            server.kill()
        with open(truth) as file:
            put_in = Counter((int(row["block"]) - 1, int(row["pass"]), int(row["step"]), row["fault"]) for row in csv.DictReader(file))
        with sqlite3.connect(log) as book:
            rows = book.execute("SELECT block.number, pass, step, faults FROM step JOIN block ON block.id = step.block_id").fetchall()
        reported = Counter((block, passed, step, fault) for block, passed, step, faults in rows for fault in faults.split())
    found = sum((put_in & reported).values())
    precision, recall = found / max(1, sum(reported.values())), found / max(1, sum(put_in.values()))
    print(f"{MINUTES:g} minutes, {len(rows)} judgements: {sum(put_in.values())} faults put in, {found} found, "
          f"{sum(reported.values())} reported; precision {100 * precision:.1f} %, recall {100 * recall:.1f} %")
    for what, counts in (("not found", put_in - reported), ("not put in", reported - put_in)):
        print(what, dict(counts))
    if not rows or not put_in or min(precision, recall) < (0.95 if MINUTES >= 5 else 0.8):
        fail("the report does not name what was put in")


if __name__ == "__main__":
    main()
