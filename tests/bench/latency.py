#!/usr/bin/env python3
"""Latency from sound to reading over a virtual microphone, term by term, as a table (milliseconds, median and 90th
percentile). Starts a sound server of its own; needs pulseaudio and pulseaudio-utils.

    tests/bench/latency.py [--build build/release] [--bursts 40] [--pixels]

--pixels measures to changed pixels of the practice screen instead, on a display without a screen (Xvfb, xdotool): the
live pitch on the ladder, and the letter of the note, which by design waits until the note has settled. The load of the
machine stands beside the figures: they mean something on an idle one.
"""
import argparse
import csv
import os
import shutil
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "..", "support"))
from virtual_microphone import SoundServer, end, need_tools  # noqa: E402
from window import Display  # noqa: E402


def quantile(values, share):
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def watched(server, environment, folder, options):
    """What the probe tells of the program in a window; None when that does not listen."""
    program = subprocess.Popen([os.path.join(options.build, "bellhand"), "--device", "default", "--crook", "F", "--log", folder + "/log.sqlite"], env=environment)
    try:
        if not server.wait_for_listener(20):
            return None
        window = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "^Bellhand$"], env=environment, stdout=subprocess.PIPE, text=True).stdout.split()[0]
        subprocess.run(["xdotool", "windowsize", window, "1280", "800", "windowmove", window, "0", "0", "windowfocus", window, "mousemove", "1279", "799", "sleep", "1"], env=environment, check=True)
        return subprocess.run([os.path.join(options.build, "tests", "pixel_probe"), "horn", options.bursts], env=environment, stdout=subprocess.PIPE, text=True)
    finally:
        end(program)


def pixels(options):
    """Server, display, window, then the probe."""
    for tool in ("Xvfb", "xdotool"):
        if shutil.which(tool) is None:
            print(f"skipped: {tool} is not installed")
            return 77
    with tempfile.TemporaryDirectory(prefix="bellhand-latency-") as folder:
        server = SoundServer(folder)
        server.start()
        try:
            with Display() as display:
                environment = {**server.env, "DISPLAY": display.name, "XDG_DATA_HOME": folder + "/data", "XDG_CONFIG_HOME": folder + "/settings"}
                done = watched(server, environment, folder, options)
        finally:
            server.kill()
    if done is None:
        print("the window does not listen")
        return 1
    print(f"load of the machine over the last minute: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    rows = list(csv.DictReader(done.stdout.splitlines()))
    for column, words in (("ladder", "sound to the live pitch on the ladder"), ("letter", "sound to the letter of the note")):
        values = [float(r[column]) for r in rows if r[column]]
        if not values:
            print(f"{words}: no change was seen")
            return 1
        print(f"{words}, ms: median {quantile(values, 0.5):.0f}, 90 % {quantile(values, 0.9):.0f}, worst {max(values):.0f} ({len(values)} of {len(rows)} bursts)")
    return 0


def main():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("--build", default=os.path.join(HERE, "..", "..", "build", "release"))
    p.add_argument("--bursts", default="40")
    p.add_argument("--pixels", action="store_true")
    options = p.parse_args()
    need_tools()
    if options.pixels:
        return pixels(options)
    with tempfile.TemporaryDirectory(prefix="bellhand-latency-") as folder:
        server = SoundServer(folder)
        server.start()
        try:
            done = subprocess.run([os.path.join(options.build, "tests", "latency_probe"), "default", "horn", options.bursts], env=server.env, stdout=subprocess.PIPE, text=True)
        finally:
            server.kill()
    rows = list(csv.DictReader(done.stdout.splitlines()))
    if done.returncode or not rows:
        print("the probe failed")
        return 1
    columns = [("to_ring", "player, server, capture buffer, callback"), ("tone_needed", "estimator: sound it must hear, hop included"),
               ("to_reading", "rest of the capture buffer, ring, analysis, queue, poll"), ("total", "sum: sound to reading")]
    pitches = sorted({float(r["f0_hz"]) for r in rows})
    print(f"{len(rows)} of {options.bursts} bursts read\n")
    print("| term, ms: median / 90 % | all | " + " | ".join(f"{f:g} Hz" for f in pitches) + " |")
    print("|---|" + "---|" * (1 + len(pitches)))
    for column, words in columns:
        cells = []
        for chosen in [None] + pitches:
            values = [float(r[column]) for r in rows if chosen is None or float(r["f0_hz"]) == chosen]
            cells.append(f"{quantile(values, 0.5):.0f} / {quantile(values, 0.9):.0f}")
        print(f"| {words} | " + " | ".join(cells) + " |")
    print("| drawing at 60 frames a second: wait for the frame, buffer swap | 8 + 17 / 17 + 17 |" + " |" * len(pitches))
    return 0


if __name__ == "__main__":
    sys.exit(main())
