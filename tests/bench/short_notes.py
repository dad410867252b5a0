#!/usr/bin/env python3
"""Short notes, the ends of held ones, and what is no horn: every figure in one run.

    tests/bench/short_notes.py [--build build/release] [--work FOLDER] [--seed 1] [--minutes 60] [--held 300]

Real short tones are made sound from their measurements (the shared folder's short tones: $BELLHAND_SHARED, else ../shared
beside the repository), as they are, 10 dB softer, and in rooms; then rendered here with other phases, pitches and paces.
Held tones have measured spectra, attacks and decays, in rooms of 0.3 to 1.2 s. Speech comes from espeak-ng (Debian), twelve
voices whose speed and pitch follow from the seed; left out, and that is said, where it is not installed.
"""
import argparse
import os
import random
import shutil
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
SHARED = os.environ.get("BELLHAND_SHARED", os.path.join(os.path.dirname(ROOT), "shared"))

VOICES = ["en-gb", "en-us+m3", "de+f2", "fr-fr+m1", "it+f4", "es+m5", "nl+f1", "pl+m7", "sv+f3", "pt+m2", "cs+f5", "en-gb-scotland+m4"]
WORDS = (
    "the a one two three four five six seven eight nine ten bar horn note play again slower louder softer from letter where we "
    "should breathe before after long phrase please listen to oboe string begin on and watch me not so fast good morning everyone "
    "today shall rehearse second movement first repeat only can you hear that your hand must close little more open quarter half "
    "water table window yesterday evening maybe nobody knows why music stands are always missing when train was late very slowly "
    "beautiful remember another question answer yes no perhaps certainly who has pencil under chair thank you that will be all").split()


def speak(folder, seed, minutes):
    """Sound files of every voice, together about `minutes` long."""
    rng = random.Random(seed)
    files = []
    for number, voice in enumerate(VOICES):
        speed, pitch = rng.randint(110, 220), rng.randint(15, 85)
        words = int(minutes / len(VOICES) * speed * 0.9)
        text = []
        while words > 0:
            count = rng.randint(1, 14)
            words -= count
            text.append(" ".join(rng.choice(WORDS) for _ in range(count)).capitalize() + rng.choice(".....?!,"))
        path = os.path.join(folder, f"voice{seed}_{number}.wav")
        subprocess.run(["espeak-ng", "-v", voice, "-s", str(speed), "-p", str(pitch), "-w", path, " ".join(text)], check=True)
        files.append(path)
    return files


def main():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("--build", default=os.path.join(ROOT, "build", "release"))
    p.add_argument("--work", default=os.path.join(os.environ.get("TMPDIR", "/tmp"), "bellhand-short-notes"))
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--minutes", type=float, default=60.0, help="of speech")
    p.add_argument("--held", type=int, default=300, help="held tones")
    options = p.parse_args()
    tool = os.path.join(options.build, "tests", "short_notes")
    os.makedirs(options.work, exist_ok=True)
    seed = str(options.seed)

    def run(*words):
        subprocess.run([tool, *words], check=True)

    short = os.path.join(SHARED, "audio", "short")
    if os.path.exists(os.path.join(short, "resynth.py")):
        sounds = os.path.join(options.work, "short")
        if not os.path.exists(os.path.join(sounds, "truth.csv")):
            subprocess.run([sys.executable, os.path.join(short, "resynth.py"), sounds], check=True)
        courses = os.path.join(short, "short_tones.json")
        run("short", sounds)
        run("short", sounds, "--gain", "-10")
        run("short", sounds, "--room", "0.3")
        run("short", sounds, "--room", "0.8")
        run("courses", courses, "--seed", seed)
        run("given", os.path.join(SHARED, "audio", "truth.csv"))
        run("held", os.path.join(SHARED, "audio", "harmonics.csv"), courses, "--count", str(options.held), "--seed", seed)
    else:
        print(f"short and held tones left out: no {short}")
    run("noises", "--seed", seed)
    if shutil.which("espeak-ng"):
        run("other", *speak(options.work, options.seed, options.minutes))
    else:
        print("speech left out: espeak-ng is not installed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
