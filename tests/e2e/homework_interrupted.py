"""A homework of three times through, twice interrupted by kill -9 and once by a full disk: counted right for student and teacher, and
every take and every judged note is in the file that goes back. Two bars, faster than written, since it is played as long as it lasts.
Needs a small disk of its own (a tmpfs in a mount namespace)."""
import csv
import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
import zipfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402

BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
EXERCISE, BARS, TEMPO, DISK_MB = "open-chord", "1-2", "112", 24
SEEDS = (3, 4, 5)


def must(place, *arguments):
    done = place.run(*arguments)
    assert done.returncode == 0, (arguments, done.stderr)
    return done


def perform(place, name, seed, passes):
    """The sound, and when each of its notes begins."""
    wav, truth = place.file(name + ".wav"), place.file(name + ".csv")
    subprocess.run([os.path.join(BUILD, "tests", "make_performance"), EXERCISE, wav, "--seed", str(seed), "--passes", str(passes), "--bars", BARS,
                    "--tempo", TEMPO, "--truth", truth], check=True, env=place.env)
    with open(truth) as file:
        return wav, [float(row["start_s"]) for row in csv.DictReader(file)]


def session(place, log, wav, kill_at_s=None):
    """Leads through today's plan; what was told."""
    told = place.file("told.json")
    with open(told, "w") as out, open(place.file("said"), "w") as said:
        process = place.start("today", "--run", "--minutes", "1", "--format", "json", "--input", wav, "--log", log, stdout=out, stderr=said)
        if kill_at_s is None:
            process.wait(timeout=180)
        else:
            # By the program's own clock: a busy machine may be late.
            while process.poll() is None:
                with open(told) as file:
                    lines = [json.loads(line)["answer"] for line in file.read().split("\n")[:-1] if line]
                if any(event["at_s"] > kill_at_s for event in lines):
                    break
                time.sleep(0.05)
            process.send_signal(signal.SIGKILL)
            process.wait()
    with open(told) as file:
        return [event for event in (json.loads(line)["answer"] for line in file.read().split("\n")[:-1] if line) if event["event"] == "step"]


def steps_in(log):
    book = sqlite3.connect(log)
    assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    count = book.execute("SELECT count(*) FROM step").fetchone()[0]
    book.close()
    return count


def progress(place, log):
    return [block["why"] for block in json.loads(must(place, "today", "--minutes", "1", "--log", log, "--format", "json").stdout)["answer"]["blocks"] if "homework" in block]


def three_times_through(place, disk):
    place.env["TMPDIR"] = place.path
    log, given, back = os.path.join(disk, "log.sqlite"), place.file("given.hornwork"), place.file("back.hornwork")
    made = must(place, "homework", "new", "--title", "Three times", "--exercise", f"{EXERCISE}:{BARS}", "--tempo", TEMPO, "--crook", "F", "--a4", "440", "--times", "3", "--out", given).stdout
    identity = made.split("homework ", 1)[1].split(",")[0]
    must(place, "homework", "open", given, "--log", log)
    assert "0 of 3 times played" in progress(place, log)[0], progress(place, log)

    told = 0
    for number in (0, 1):  # one time through, and killed in the middle of the next
        wav, starts = perform(place, f"killed-{number}", SEEDS[number], 2)
        told += len(session(place, log, wav, kill_at_s=starts[len(starts) * 3 // 4]))
        assert f"{number + 1} of 3 times played" in progress(place, log)[0], progress(place, log)

    wav, _ = perform(place, "full", SEEDS[2], 1)
    filler = os.path.join(disk, "filler")
    with open(filler, "wb", buffering=0) as file:
        try:
            while True:
                file.write(b"x" * 4096)
        except OSError:
            pass
    in_log = steps_in(log)
    told_when_full = len(session(place, log, wav))
    with open(place.file("said")) as file:
        said = file.read()
    assert told_when_full > 0 and steps_in(log) < in_log + told_when_full, "the disk was not full"
    assert any("unsaved" in name for name in os.listdir(place.path)), (os.listdir(place.path), said)
    os.remove(filler)

    # The next start of anything that uses the log.
    came_back = must(place, "today", "--log", log).stderr
    assert "are in it now" in came_back, came_back
    assert not any("unsaved" in name for name in os.listdir(place.path) + os.listdir(disk)), os.listdir(place.path)
    assert not progress(place, log), progress(place, log)
    lost = told + told_when_full - steps_in(log)
    assert lost <= 2, f"{lost} judgements that were told are not in the log"

    must(place, "homework", "return", identity, "--out", place.file("usual.hornwork"), "--log", log)  # finishes what is still a journal
    takes = [row["take"] for row in json.loads(must(place, "log", "takes", "--log", log, "--format", "json").stdout)["answer"]]
    assert len(takes) == 3, takes
    chosen = [word for take in takes for word in ("--take", take)]
    must(place, "homework", "return", identity, "--out", back, "--log", log, *chosen)
    returned = json.loads(zipfile.ZipFile(back).read("homework.json"))["returned"]
    assert [attempt.get("passes", 0) for attempt in returned["attempts"]] == [1, 1, 1], [attempt.get("passes") for attempt in returned["attempts"]]
    assert sum(len(attempt["steps"]) for attempt in returned["attempts"]) == steps_in(log)
    assert sorted(take["attempt"] for take in returned["takes"]) == [1, 2, 3], returned["takes"]
    for number, take in enumerate(returned["takes"], 1):
        sound = place.file(f"take-{number}.flac")
        must(place, "homework", "show", back, "--extract-take", str(number), "--out", sound)
        subprocess.run(["flac", "--silent", "--test", sound], check=True)
        attempt = returned["attempts"][take["attempt"] - 1]
        last = max(step["start_s"] + step["duration_s"] for step in attempt["steps"] if "duration_s" in step)
        assert take["starts_s"] + take["duration_s"] > last - 1.5, (take, last)
    shown = must(place, "homework", "show", back).stdout
    assert "Task 1: 3 of 3 times played: done" in shown, shown
    print(f"three times through, two kills, one full disk: {steps_in(log)} judgements and {len(takes)} takes in the file, {lost} of {told + told_when_full} told "
          "judgements missing")
    return 0


def inside():
    with Place() as place:
        disk = place.file("disk")
        os.makedirs(disk)
        if subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={DISK_MB}m", "tmpfs", disk], capture_output=True).returncode != 0:
            print("skipped: no disk of its own can be made here")
            return 77
        try:
            return three_times_through(place, disk)
        finally:
            subprocess.run(["umount", "--lazy", disk], check=True)  # a folder with a disk on it cannot be removed


def main():
    if "--inside" in sys.argv:
        return inside()
    if subprocess.run(["unshare", "--map-root-user", "--mount", "true"], capture_output=True).returncode != 0:
        print("skipped: no mount namespace can be made here")
        return 77
    return subprocess.run(["unshare", "--map-root-user", "--mount", sys.executable, os.path.abspath(__file__), "--inside"]).returncode


if __name__ == "__main__":
    sys.exit(main())
