#!/usr/bin/env python3
"""Latency from sound to reading over a virtual microphone, term by term, as a table (milliseconds, median and 90th
percentile). Starts a sound server of its own; needs pulseaudio and pulseaudio-utils.

    tests/bench/latency.py [--build build/release] [--bursts 40]
"""
import argparse
import csv
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "..", "support"))
from virtual_microphone import SoundServer, need_tools  # noqa: E402


def quantile(values, share):
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def main():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("--build", default=os.path.join(HERE, "..", "..", "build", "release"))
    p.add_argument("--bursts", default="40")
    options = p.parse_args()
    need_tools()
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
