"""The program's own drone comes back through the sound server while a horn plays: the notes are right all the same.

The null sink is loudspeaker and microphone at once: its monitor hears the drone that the program plays and the horn that
is played into it. First two seconds of drone alone, which must not be logged as a note; then the demo player's
performance with the drone sounding on; then the server is killed while the drone sounds: practice says so, and goes on.
"""
import os
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, compare, end, fail, need_tools, notes_in, render_demo, until


def main():
    need_tools()
    with tempfile.TemporaryDirectory(prefix="bellhand-drone-") as folder:
        server = SoundServer(folder)
        wav, log = f"{folder}/played.wav", f"{folder}/log.sqlite"
        truth = render_demo(PROGRAM, wav, "F", seed=3, env=server.env)
        server.start()
        screen, errors = f"{folder}/screen.txt", f"{folder}/errors.txt"
        # Written C4 at -30 dBFS a voice: some 9 dB under the demo player, in unison with several of its notes' partials.
        program = subprocess.Popen([PROGRAM, "--text", "--device", "default", "--crook", "F", "--log", log, "--drone", "C4", "--level", "-30"],
                                   env=server.env, stdin=subprocess.DEVNULL, stdout=open(screen, "w"), stderr=open(errors, "w"))
        try:
            if not server.wait_for_listener(20):
                fail("the program does not listen to the sound server", screen, errors)
            if not until(15, lambda: "taken out of the microphone's sound" in open(errors).read()):
                fail("the program does not say that the drone is removed", screen, errors)
            time.sleep(2)
            if notes_in(log):
                fail(f"the drone itself was logged as a note: {notes_in(log)}", screen, errors)
            server.play(wav).wait(timeout=60)
            time.sleep(1)
            share, median = compare(truth, notes_in(log), "while the drone sounds")
            if share < 0.85 or median > 3:
                fail("the log does not say what was played", screen, errors)
            server.kill()
            time.sleep(2)
            if program.poll() is not None:
                fail(f"the program ended with {program.returncode} when the server was killed", screen, errors)
            server.start()
            if not server.wait_for_listener(25):
                fail("the program does not listen again", screen, errors)
            said = open(errors).read()
            if not until(20, lambda: open(errors).read().count("taken out of the microphone's sound") >= 2):
                fail("after the server came back the drone is not removed again", screen, errors)
            if "taken again as soon as it is back" not in said + open(screen, errors="replace").read():
                fail("the program did not say that a device was lost", screen, errors)
            program.send_signal(signal.SIGINT)
            if not until(15, lambda: program.poll() is not None) or program.returncode != 0:
                fail(f"the program ended with {program.returncode} when it was interrupted", screen, errors)
        finally:
            end(program, server.process)


main()
