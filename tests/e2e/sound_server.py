"""The way of a real microphone: a sound server with a virtual one, PortAudio, the live program, its log.

The demo player's sound is played into a PulseAudio server of the test's own; the program listens through ALSA's pulse
plug-in and logs what it hears; the log is compared with what was played. Then the server is killed in the middle of a
note and started again: the program must say so, take the device again by itself and go on logging.
"""
import os
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, compare, end, fail, need_tools, notes_in, render_demo

CROOK = "F"


def main():
    need_tools()
    with tempfile.TemporaryDirectory(prefix="bellhand-sound-") as folder:
        server = SoundServer(folder)
        wav, log = f"{folder}/played.wav", f"{folder}/log.sqlite"
        truth = render_demo(PROGRAM, wav, CROOK, seed=3, env=server.env)
        server.start()
        screen, errors = f"{folder}/screen.txt", f"{folder}/errors.txt"
        program = subprocess.Popen([PROGRAM, "--text", "--device", "default", "--crook", CROOK, "--log", log], env=server.env,
                                   stdin=subprocess.DEVNULL, stdout=open(screen, "w"), stderr=open(errors, "w"))
        try:
            run(server, program, truth, wav, log, screen, errors)
        finally:
            end(program, server.process)


def run(server, program, truth, wav, log, screen, errors):
    if not server.wait_for_listener(20):
        fail("the program does not listen to the sound server", screen, errors)
    server.play(wav).wait(timeout=60)
    time.sleep(1)
    first = notes_in(log)
    share, median = compare(truth, first, "through the sound server")
    if share < 0.85 or median > 3:
        fail("the log does not say what was played", screen, errors)

    playing = server.play(wav)
    time.sleep(2.2)
    server.kill()
    killed = time.monotonic()
    playing.wait(timeout=20)
    said = ""
    while "is taken again as soon as it is back" not in said and time.monotonic() < killed + 20:
        time.sleep(0.2)
        if program.poll() is not None:
            fail(f"the program ended with {program.returncode} when the sound server was killed", screen, errors)
        said = open(screen, errors="replace").read() + open(errors, errors="replace").read()
    if "is taken again as soon as it is back" not in said:
        fail("the program did not say that the device was lost", screen, errors)
    server.start()
    if not server.wait_for_listener(25):
        fail("the program does not listen again", screen, errors)
    print(f"listening again {time.monotonic() - killed:.1f} s after the kill\n")
    before = len(notes_in(log))
    server.play(wav).wait(timeout=60)
    time.sleep(1)
    after = notes_in(log)[before:]
    share, median = compare(truth, after, "after the server was killed and started again")
    if share < 0.85 or median > 3:
        fail("after the server came back the log does not say what was played", screen, errors)

    program.send_signal(signal.SIGINT)
    try:
        code = program.wait(timeout=10)
    except subprocess.TimeoutExpired:
        fail("the program does not end when it is interrupted", screen, errors)
    if code != 0:
        fail(f"the program ended with {code} when it was interrupted", screen, errors)


main()
