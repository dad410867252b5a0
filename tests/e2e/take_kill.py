"""kill -9 at random moments while a take is recorded: the next start makes a take of what was there, playable, the same sound as was
played, and at most a second of it missing. BELLHAND_KILLS says how often."""
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place, write_wav  # noqa: E402

KILLS = int(os.environ.get("BELLHAND_KILLS", "6"))
AT_ONCE = 4
BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
EXERCISE = "open-chord"
RATE_HZ, BYTES = 48000, 3
LONGEST_LOSS_S = 1.0


def samples_of(path):
    """Bytes of a FLAC with one channel and 24 bits, unpacked; `flac` checks it against its own sum (MD5 of the stream information)."""
    done = subprocess.run(["flac", "--silent", "--decode", "--stdout", "--force-raw-format", "--endian=little", "--sign=signed", path], check=True,
                          stdout=subprocess.PIPE)
    return done.stdout


def one_kill(seed, played):
    """Seconds of sound missing, and whether a take had begun."""
    chance = random.Random(seed)
    with Place() as place:
        log, given, folder = place.file("log.sqlite"), place.file("given.hornwork"), place.file("log-takes")
        for arguments in (("homework", "new", "--title", "T", "--exercise", EXERCISE, "--crook", "F", "--a4", "440", "--repetitions", "2", "--out", given),
                          ("homework", "open", given, "--log", log)):
            done = place.run(*arguments)
            assert done.returncode == 0, done.stderr
        process = place.start("today", "--run", "--minutes", "1", "--format", "json", "--input", played, "--log", log, stdout=subprocess.PIPE,
                              stderr=subprocess.DEVNULL)
        process.stdout.readline()  # told when the sound begins
        begun = time.monotonic()
        time.sleep(chance.uniform(0.5, 9.0))
        process.send_signal(signal.SIGKILL)
        killed_s = time.monotonic() - begun
        process.stdout.close()
        process.wait()

        # The next start: any session of practice with this log.
        write_wav(place.file("silence.wav"), [[0.0] * (RATE_HZ // 2)])
        journals = [name for name in os.listdir(folder) if name.endswith(".sound")] if os.path.isdir(folder) else []
        done = place.run("--text", "--input", place.file("silence.wav"), "--log", log)
        assert done.returncode == 0, done.stderr
        book = sqlite3.connect(log)
        assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        takes = book.execute("SELECT file, start_s, duration_s, bytes FROM take").fetchall()
        block = book.execute("SELECT min(start_s) FROM block").fetchone()[0]
        book.close()
        assert len(takes) == len(journals) <= 1, (takes, journals)
        if not takes:
            # A take begins when its block does; one that began less than a second ago may not be there yet.
            assert block is None or killed_s - block < LONGEST_LOSS_S, (block, killed_s)
            return 0.0, False
        file, start_s, duration_s, size = takes[0]
        path = os.path.join(folder, file)
        assert os.path.getsize(path) == size and sorted(os.listdir(folder)) == [file], os.listdir(folder)
        kept, whole = samples_of(path), samples_of(played)
        first = BYTES * round(start_s * RATE_HZ)
        assert abs(len(kept) / BYTES / RATE_HZ - duration_s) < 1e-3, (len(kept), duration_s)
        assert kept == whole[first:first + len(kept)], "another sound than was played"
        lost_s = killed_s - (start_s + duration_s)
        assert lost_s < LONGEST_LOSS_S, (killed_s, start_s, duration_s)
        return max(0.0, lost_s), True


def main():
    with Place() as place:
        played = place.file("played.flac")
        subprocess.run([os.path.join(BUILD, "tests", "make_performance"), EXERCISE, played, "--seed", "3"], check=True, env=place.env)
        with ThreadPoolExecutor(AT_ONCE) as pool:
            results = list(pool.map(lambda seed: one_kill(seed, played), range(KILLS)))
    recorded = sum(begun for _, begun in results)
    assert recorded >= KILLS / 2, "hardly a take had begun"
    print(f"{KILLS} kills, {recorded} takes finished at the next start and the same sound; at most {max(lost for lost, _ in results):.2f} s missing")
    return 0


if __name__ == "__main__":
    sys.exit(main())
