"""kill -9 at random moments of exercises, one run after the other in each of two logs: the log opens, is sound, and misses a second at most
of what was judged."""
import concurrent.futures
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402

KILLS, LOGS = int(os.environ.get("BELLHAND_KILLS", "6")), 2
LONGEST_LOSS_S = 1.0


def one_kill(place, chance, number):
    log = place.file("log.sqlite")
    with open(place.file("told"), "w") as out:
        process = place.start("today", "--run", "--format", "json", "--demo", "--seed", str(number + 1), "--minutes", "3",
                              "--log", log, stdout=out, stderr=subprocess.DEVNULL)
    time.sleep(chance.uniform(0.5, 9.0))
    process.send_signal(signal.SIGKILL)
    process.wait()
    with open(place.file("told")) as file:
        told = [json.loads(line)["answer"] for line in file.read().split("\n")[:-1] if line]
    if not os.path.exists(log):
        return 0.0, 0
    book = sqlite3.connect(log)
    assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    session = book.execute("SELECT max(id) FROM session").fetchone()[0]
    if session is None or session <= number - 1:
        return 0.0, 0
    steps = book.execute("SELECT count(*) FROM step JOIN block ON block.id = step.block_id WHERE block.session_id = ?",
                         (session,)).fetchone()[0]
    book.close()
    assert place.run("log", "--log", log).returncode == 0
    assert place.run("today", "--log", log).returncode == 0
    judged = [event["at_s"] for event in told if event["event"] == "step"]
    lost_s = 0.0 if steps >= len(judged) else judged[-1] - judged[steps]
    assert lost_s < LONGEST_LOSS_S, (steps, judged)
    return lost_s, steps


def one_log(seed):
    """Losses and steps kept of a log whose runs are all killed."""
    chance = random.Random(seed)
    with Place() as place:
        results = [one_kill(place, chance, number) for number in range(KILLS // LOGS)]
        assert sum(steps for _, steps in results) > 0, "nothing was judged in any run"
        book = sqlite3.connect(place.file("log.sqlite"))
        assert book.execute("SELECT count(*) FROM skill").fetchone()[0] > 0
        assert book.execute("SELECT count(*) FROM session WHERE closed").fetchone()[0] == 0
        book.close()
    return results


def main():
    with concurrent.futures.ThreadPoolExecutor(LOGS) as pool:
        results = sum(pool.map(one_log, range(33, 33 + LOGS)), [])
    print(f"{KILLS} runs killed, {sum(steps for _, steps in results)} judgements kept; longest loss of what had been "
          f"told: {max(lost for lost, _ in results):.2f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
