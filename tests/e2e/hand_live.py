#!/usr/bin/env python3
"""Open and stop-like tones through a virtual microphone: the live view says open of the ones, full stop of the others.

The tones are synthetic. A full stop of partial n sounds a semitone above partial n - 1 (common practice, no source; the
crook of F at A4 = 440 gives exactly that) and is bright: its energy lies from 2 to 5 kHz (after the centroids published by
Dell, thesis, University of Western Australia).
"""
import math
import os
import struct
import subprocess
import sys
import tempfile
import time
import wave

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from virtual_microphone import SoundServer, fail, need_tools  # noqa: E402

RATE = 48000
F1 = 440.0 * 2 ** (-16 / 12) / 4  # written C4 of the F horn, partial 4, sounds F3


def open_level(hz):
    return 1.0 if hz < 500 else (500 / hz) ** 2


def stopped_level(hz):
    return 0.25 if hz < 1500 else 1.0 if hz < 4500 else (4500 / hz) ** 3


def tone(hz, seconds, level):
    harmonics = [(k, level(k * hz)) for k in range(1, int(14000 / hz))]
    scale = 0.12 / math.sqrt(sum(a * a for _, a in harmonics))
    out = []
    for i in range(int(seconds * RATE)):
        t = i / RATE
        edge = min(1.0, t / 0.03, (seconds - t) / 0.05)
        out.append(scale * edge * sum(a * math.sin(2 * math.pi * k * hz * t + k * k) for k, a in harmonics if a > 0.003))
    return out


def main():
    need_tools()
    program = os.environ["BELLHAND"]
    with tempfile.TemporaryDirectory() as folder:
        samples = [0.0] * RATE
        for partial in (4, 5, 6, 8):
            samples += tone(partial * F1, 0.9, open_level) + [0.0] * (RATE // 3)
        for partial in (5, 6, 8):
            samples += tone((partial - 1) * F1 * 2 ** (1 / 12), 0.9, stopped_level) + [0.0] * (RATE // 3)
        sound = f"{folder}/tones.wav"
        with wave.open(sound, "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(RATE)
            file.writeframes(b"".join(struct.pack("<h", int(32767 * max(-1.0, min(1.0, x)))) for x in samples))
        server = SoundServer(folder)
        server.start()
        told = f"{folder}/told.txt"
        try:
            env = dict(server.env, LC_ALL="C.UTF-8", XDG_DATA_HOME=f"{folder}/data")
            with open(told, "w") as out, open(f"{folder}/errors.txt", "w") as errors:
                view = subprocess.Popen([program, "--text", "--crook", "F", "--a4", "440", "--seconds", "30", "--log", f"{folder}/log.sqlite"],
                                        env=env, stdout=out, stderr=errors)
                if not server.wait_for_listener(20):
                    fail("the live view does not listen", f"{folder}/errors.txt")
                server.play(sound).wait()
                time.sleep(1)
                view.terminate()
                view.wait(timeout=20)
        finally:
            server.kill()
        lines = [line for line in open(told).read().splitlines() if " hand " in line]
        for line in lines:
            print(line)
        if len(lines) != 7:
            fail(f"7 notes were played, the hand was heard in {len(lines)}", told, f"{folder}/errors.txt")
        heard = [line.split(" hand ")[1] for line in lines]
        if not all(words.startswith("open") for words in heard[:4]):
            fail("an open tone was not heard as open")
        if not all("full" in words.split(";")[0].split("(")[0] for words in heard[4:]):
            fail("a stop-like tone was not heard as stopped")


main()
