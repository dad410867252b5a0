"""A lesson through a real sound server, unattended: a scripted student hears what is asked as lines, plays it into the
virtual microphone with chosen faults, and the log must name exactly those.

BELLHAND_LESSON_MINUTES=10 for a whole session; without it one minute.
"""
import csv
import os
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, end, fail, need_tools, skip  # noqa: E402

STUDENT = os.path.join(os.environ.get("BELLHAND_BUILD", "build/release"), "tests", "scripted_student")
MINUTES = float(os.environ.get("BELLHAND_LESSON_MINUTES", "1"))


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
    if not os.path.exists(STUDENT):
        skip(f"{STUDENT} is not built")
    with tempfile.TemporaryDirectory(prefix="bellhand-lesson-") as folder:
        server = SoundServer(folder)
        server.start()
        try:
            log, truth = lesson(server, folder)
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
