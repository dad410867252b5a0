"""kill -9 at random moments of a session, one session after the other in each of three logs: the log opens, is sound, and misses a second at most."""
import concurrent.futures
import random
import signal
import sqlite3
import subprocess
import sys
import time
import os

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402

KILLS, LOGS = int(os.environ.get("BELLHAND_KILLS", "12")), 3
LONGEST_LOSS_S = 1.0


def heard_until(line):
    """End of the note that a printed line tells of: start and duration in seconds."""
    words = line.split()
    return float(words[0]) + float(words[words.index("s", 2) - 1])


def one_kill(place, chance, number):
    log = place.file("log.sqlite")
    with open(place.file("printed"), "w") as out:
        process = place.start("--demo", "--text", "--seed", str(number + 1), "--log", log, stdout=out, stderr=subprocess.DEVNULL)
    begun = time.monotonic()
    time.sleep(chance.uniform(0.3, 6.0))
    process.send_signal(signal.SIGKILL)
    killed_s = time.monotonic() - begun
    process.wait()
    with open(place.file("printed")) as file:
        printed = [line for line in file.read().split("\n")[:-1] if line]

    if not os.path.exists(log):
        assert killed_s < 1.0
        return 0.0
    book = sqlite3.connect(log)
    assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    sessions = book.execute("SELECT count(*) FROM session").fetchone()[0]
    if sessions <= number:
        assert killed_s < 1.0, "the session was not begun"
    session = book.execute("SELECT max(id) FROM session").fetchone()[0]
    notes = book.execute("SELECT start_s, duration_s, finished FROM note WHERE session_id = ? ORDER BY number", (session,)).fetchall()
    book.close()
    assert place.run("log", "--log", log).returncode == 0
    # What was printed was heard; what was heard more than a second before the end must be in the log.
    last_heard_s = max(map(heard_until, printed), default=0.0)
    logged_s = max((start + duration for start, duration, _ in notes), default=0.0)
    assert last_heard_s - logged_s < LONGEST_LOSS_S, (printed, notes)
    assert len(notes) >= len(printed) - 1, (printed, notes)
    return last_heard_s - logged_s


def one_log(seed):
    """Largest loss and number of sessions begun of a log whose sessions are all killed."""
    chance = random.Random(seed)
    with Place() as place:
        losses = [one_kill(place, chance, number) for number in range(KILLS // LOGS)]
        book = sqlite3.connect(place.file("log.sqlite"))
        count = book.execute("SELECT count(*) FROM session").fetchone()[0]
        closed = book.execute("SELECT count(*) FROM session WHERE closed").fetchone()[0]
        book.close()
        assert closed == 0, "a killed session says that it ended in order"
        # The log is still good for the next session.
        assert place.run("--demo", "--text", "--seconds", "2", "--log", place.file("log.sqlite")).returncode == 0
    return max(losses), count


def main():
    with concurrent.futures.ThreadPoolExecutor(LOGS) as pool:
        done = list(pool.map(one_log, range(20, 20 + LOGS)))
    print(f"{KILLS} kills, {sum(count for _, count in done)} sessions begun; largest loss of what had been shown: {max(loss for loss, _ in done):.2f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
