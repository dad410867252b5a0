#!/usr/bin/env python3
"""What a drone costs the ear: the same signals without a drone and with one 6 dB below the horn that is taken out first.

    tests/bench/drone.py [--build build/release] [--work FOLDER] [--seed TEXT] [--worst N]

Signals by `make_signals ... drone`: two seconds of drone alone, then the horn; the drone played by the program's own
player, through a small loudspeaker, a room by image sources (RT60 0.3 to 0.8 s), buffers of 10 to 200 ms and a clock up to
120 ppm off; a unison, third, fifth or octave below the note, up to 10 cents beside it. Printed for each figure of the ear:
without drone, with it, the factor between (goal: 2), and for comparison with the drone left in. Latencies may also grow
by one hop (5.3 ms), percentages by 1, since there are zeros among them. Exits with 1 when a figure is beyond that.
"""
import argparse
import os
import re
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import score  # noqa: E402

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
HOP_MS = 5.4


def figures(s):
    """[(what, value, allowance)] of one score, smaller is better."""
    out = []

    def add(what, value, allowance=0.0):
        out.append((what, value, allowance))

    def fine(what, errors, shares=(0.5, 0.95)):
        if errors is not None:
            for share in shares:
                add(f"{what}, {'median' if share == 0.5 else 'p95'}, cents", score.quantile(errors.fine, share))

    fine("steady, judged", s.judged.get("steady"))
    for snr in (40, 20, 10):
        fine(f"steady at {snr} dB, judged", s.judged.get(f"steady{snr}"))
        fine(f"steady at {snr} dB, live", s.live.get(f"steady{snr}"))
        errors = s.live.get(f"steady{snr}/43")
        if errors is not None:
            add(f"gross and missed, 43-1400 Hz, {snr} dB, live, %", errors.lost_percent(), 1.0)
    biases = [b for b, _ in s.bias]
    add("bias at 40 dB, median, cents", score.quantile(biases, 0.5))
    add("bias at 40 dB, worst, cents", max(biases, default=None))
    fine("living lips, judged", s.judged.get("lips"))
    fine("living lips, live", s.live.get("lips"))
    for kind, what in (("step1", "semitone"), ("step2", "whole tone"), ("step7", "fifth"), ("step12", "octave"), ("slur", "slurred tone"), ("reattack", "tongued tone")):
        found = s.latency([kind], "all")
        if found is not None:
            add(f"{what} to within 10 cents, median, ms", found[0], HOP_MS)
            add(f"{what}, p90, ms", found[1], HOP_MS)
            add(f"{what}, never, %", found[2], 1.0)
    onsets = score.summary([v for values in s.onsets.values() for v in values])
    add("onset to within 50 cents, median, ms", onsets[0], HOP_MS)
    add("onset, p90, ms", onsets[1], HOP_MS)
    add("onset, never, %", onsets[2], 1.0)
    for kind in ("glide", "vibrato"):
        add(f"{kind}, p95 of the live error, cents", score.quantile(s.moving[kind], 0.5))
    add("before the horn: rows with a pitch, %", s.early_percent(), 1.0)
    return out


def run(command, **more):
    subprocess.run(command, check=True, **more)


def removal(path):
    """Median and tenth percentile of what the remover says of itself, in words."""
    with open(path) as file:
        found = re.findall(r"heard (\S+) dBFS, left (\S+),", file.read())
    decibels = sorted(float(heard) - float(left) for heard, left in found)
    return f"{score.quantile(decibels, 0.5):.0f} dB in the median, {score.quantile(decibels, 0.1):.0f} dB in nine of ten"


def show(value):
    return "-" if value is None else f"{value:.3f}" if abs(value) < 1 else f"{value:.1f}"


def main():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("--build", default=os.path.join(ROOT, "build", "release"))
    p.add_argument("--work", default=os.path.join(os.environ.get("TMPDIR", "/tmp"), "bellhand-ear"))
    p.add_argument("--seed", default="drone")
    p.add_argument("--worst", type=int, default=0)
    options = p.parse_args()
    tools = os.path.join(options.build, "tests")
    folder = os.path.join(options.work, "drone-" + options.seed)
    manifest = os.path.join(folder, "manifest.csv")
    generator = os.path.join(tools, "make_signals")
    if not os.path.exists(manifest) or os.path.getmtime(manifest) < os.path.getmtime(generator):
        shutil.rmtree(folder, ignore_errors=True)
        os.makedirs(folder)
        shared = os.environ.get("BELLHAND_SHARED", os.path.join(os.path.dirname(ROOT), "shared"))
        run([generator, folder, os.path.join(shared, "audio", "harmonics.csv"), "", options.seed, "drone"])
    signals = score.load_set(folder)
    scores, cpu_s = {}, {}
    for name, sub, more in (("without", "", []), ("removed", "with", []), ("left in", "with", ["--leave", "yes"])):
        out = os.path.join(folder, "out", name.replace(" ", "-"))
        shutil.rmtree(out, ignore_errors=True)
        os.makedirs(out)
        with open(os.path.join(out, "report.txt"), "w") as told:
            done = subprocess.run([os.path.join(tools, "ear_batch"), *more, out, os.path.join(folder, sub)], check=True, text=True, stdout=subprocess.PIPE, stderr=told)
        cpu_s[name] = float(done.stdout.split()[0])
        scores[name] = score.Score(signals, out)
    print(f"{len(signals)} signals, seed '{options.seed}'\n")
    print("| figure | without drone | drone 6 dB below, removed | factor | left in |")
    print("|---|---|---|---|---|")
    beyond = []
    for (what, plain, allowance), (_, removed, _), (_, left, _) in zip(*(figures(scores[name]) for name in ("without", "removed", "left in"))):
        if plain is None:
            continue
        factor = None if removed is None or plain == 0 else removed / plain
        good = removed is not None and removed <= max(2.0 * plain, plain + allowance)
        beyond += [] if good else [what]
        print(f"| {what} | {show(plain)} | {show(removed)} | {'-' if factor is None else f'{factor:.2f}'}{'' if good else ' !'} | {show(left)} |")
    seconds = sum(s.length for s in signals)
    print(f"\nremoved by {removal(os.path.join(folder, 'out', 'removed', 'report.txt'))}; processor for it: "
          f"{1000 * (cpu_s['removed'] - cpu_s['left in']) / seconds:.1f} ms a second of sound, the ear itself {1000 * cpu_s['left in'] / seconds:.1f}")
    if options.worst:
        print("\nWorst files with the drone removed, by kind:")
        for kind in sorted({f[0] for f in scores["removed"].files}):
            for _, file, _, words in sorted((f for f in scores["removed"].files if f[0] == kind), key=lambda f: -f[2])[:options.worst]:
                print(f"  {kind:14s} {file:32s} {words}")
    print(f"\nbeyond the factor 2: {', '.join(beyond) or 'none'}")
    return 1 if beyond else 0


if __name__ == "__main__":
    sys.exit(main())
