"""The drone goes out through the sound server and comes back through the microphone's way as the note it should be.

Also: the server is killed while the drone sounds; the drone comes back by itself.
"""
import math
import os
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, end, fail, need_tools, notes_in, until

# Written G4 on the horn in D sounds A3: half of A4 = 430 Hz, whatever the program computes.
TRUTH_HZ = 215.0


def start(server, words, name):
    return subprocess.Popen([PROGRAM, *words], env=server.env, stdin=subprocess.DEVNULL,
                            stdout=open(f"{server.folder}/{name}.out", "w"), stderr=open(f"{server.folder}/{name}.err", "w"))


def main():
    need_tools()
    with tempfile.TemporaryDirectory(prefix="bellhand-out-") as folder:
        server = SoundServer(folder)
        server.start()
        log = f"{folder}/log.sqlite"
        tuning = ["--crook", "D", "--a4", "430"]
        listener = start(server, ["--text", "--device", "default", "--log", log, *tuning], "listener")
        player = None
        try:
            if not server.wait_for_listener(20):
                fail("the program does not listen", f"{folder}/listener.err")
            player = start(server, ["sound", "--drone", "G4", "--horn", "--level", "-30", *tuning], "player")
            heard(log, 0, "the drone")
            server.kill()
            time.sleep(1)
            before = len(notes_in(log))
            server.start()
            heard(log, before, "the drone after the server was killed and started again")
            for process, name in ((player, "player"), (listener, "listener")):
                process.send_signal(signal.SIGINT)
                if not until(15, lambda: process.poll() is not None) or process.returncode != 0:
                    fail(f"the {name} ended with {process.returncode} when it was interrupted", f"{folder}/{name}.err")
            words = open(f"{folder}/player.err").read()
            if "G4 (215.00 Hz)" not in words or "Turn headphones down" not in words:
                fail("the program does not say what it sounds, or not to be careful", f"{folder}/player.err")
        finally:
            end(listener, player, server.process)


def heard(log, before, what):
    def held():
        return [note for note in notes_in(log)[before:] if note["written"] == "G4" and note["duration_s"] > 1.5]

    if not until(30, held):
        fail(f"{what} was not heard: {notes_in(log)[before:]}")
    cents = 1200 * math.log2(held()[-1]["f0_hz"] / TRUTH_HZ)
    print(f"{what}: {cents:+.3f} cents off")
    if abs(cents) > 0.5:
        fail(f"{what} came back {cents:+.3f} cents off")


main()
