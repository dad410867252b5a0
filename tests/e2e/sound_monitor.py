"""A teacher listens to what the computer plays: the monitor of an output is chosen by its name.

The output goes away while another one stays (the sound server then moves listeners to that other one): the program must
not go on with the wrong device but say that its own has gone, and take it again when it is back.
"""
import json
import os
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
from virtual_microphone import PROGRAM, SoundServer, compare, end, fail, need_tools, notes_in, render_demo, until

CALL = ("module-null-sink", "sink_name=call", "rate=44100", "sink_properties=device.description=Call")


def main():
    need_tools()
    with tempfile.TemporaryDirectory(prefix="bellhand-monitor-") as folder:
        server = SoundServer(folder)
        server.start()
        server.ask("load-module", *CALL)
        screen, errors = f"{folder}/screen.txt", f"{folder}/errors.txt"
        program = subprocess.Popen([PROGRAM, "--text", "--device", "monitor of call", "--crook", "D", "--log", f"{folder}/log.sqlite"],
                                   env=server.env, stdin=subprocess.DEVNULL, stdout=open(screen, "w"), stderr=open(errors, "w"))
        try:
            run(server, program, folder, screen, errors)
        finally:
            end(program, server.process)


def run(server, program, folder, screen, errors):
    listed = subprocess.run([PROGRAM, "devices", "--format", "json"], env=server.env, capture_output=True, text=True, timeout=30)
    monitors = [device["name"] for device in json.loads(listed.stdout)["answer"] if device["monitor"] == "yes"]
    print("monitors:", ", ".join(monitors))
    if "Monitor of Call" not in monitors:
        fail("the monitor of the output is not in the list of devices")
    if listed.stderr:
        fail(f"the list of devices is not quiet: {listed.stderr}")

    if not server.wait_for_listener(20):
        fail("the program does not listen", screen, errors)
    unload_call(server)
    time.sleep(4)
    wav = f"{folder}/played.wav"
    truth = render_demo(PROGRAM, wav, "D", seed=2, env=server.env)
    wrong = server.play(wav, "horn")  # what it must not hear
    time.sleep(4)
    wrong.kill()
    wrong.wait()
    if notes_in(f"{folder}/log.sqlite"):
        fail("the program went on with another device than the chosen one", screen, errors)
    server.ask("load-module", *CALL)
    if not server.wait_for_listener(25):
        fail("the program does not listen again", screen, errors)
    server.play(wav, "call").wait(timeout=60)
    time.sleep(1)
    share, median = compare(truth, notes_in(f"{folder}/log.sqlite"), "through the monitor of an output that came back")
    if share < 0.85 or median > 3:
        fail("the log does not say what was played", screen, errors)
    program.send_signal(signal.SIGINT)
    if not until(10, lambda: program.poll() is not None) or program.returncode != 0:
        fail(f"the program ended with {program.returncode} when it was interrupted", screen, errors)


def unload_call(server):
    for line in server.ask("list", "short", "modules").splitlines():
        if "sink_name=call" in line:
            server.ask("unload-module", line.split()[0])


main()
