#!/usr/bin/env python3
"""Measures the ear: our estimator and its peers over signals of known pitch, one table, same files, same run.

    tests/bench/ear.py [--build build/release] [--work FOLDER] [--set shared] [--set second] [--set fresh] [--peers all|fast|none]
                       [--brief] [--worst N] [--fresh] [--crook F --a4 440]

Sets: `second` is made by make_signals; `fresh` likewise from the seed of $BELLHAND_EAR_SEED (else today's date), so that
nobody can have tuned anything on it; `shared` by the shared pitch bench, where $BELLHAND_SHARED (else ../shared beside
the repository) has one. Peers: aubio (yinfast, yinfft; with `all` also yin and mcomb) and Praat; one that is not
installed is left out, and that is said. Peers' readings are kept in the work folder until the signals change; ours are
always made anew. Columns of the table: judged = the value for the score and the log, live = the value for the eye.
"""
import argparse
import os
import shutil
import subprocess
import sys
import time

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import score  # noqa: E402

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))


def arguments():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("--build", default=os.path.join(ROOT, "build", "release"))
    p.add_argument("--work", default=os.path.join(os.environ.get("TMPDIR", "/tmp"), "bellhand-ear"))
    p.add_argument("--set", action="append", dest="sets", choices=["shared", "second", "fresh"])
    p.add_argument("--peers", default="all", choices=["all", "fast", "none"])
    p.add_argument("--worst", type=int, default=0, help="list our N worst files of each kind")
    p.add_argument("--brief", action="store_true", help="only the figures that have a goal")
    p.add_argument("--fresh", action="store_true", help="run the peers again")
    p.add_argument("--crook")
    p.add_argument("--a4", default="440")
    return p.parse_args()


def shared_folder():
    return os.environ.get("BELLHAND_SHARED", os.path.join(os.path.dirname(ROOT), "shared"))


def run(command, **more):
    return subprocess.run(command, check=True, text=True, stdout=subprocess.PIPE, **more).stdout


def make_set(name, folder, tools):
    """Makes the signals when they are missing or older than their generator. False when they cannot be had."""
    manifest = os.path.join(folder, "manifest.csv")
    if name in ("second", "fresh"):
        seed = "" if name == "second" else os.environ.get("BELLHAND_EAR_SEED", time.strftime("%Y-%m-%d"))
        generator = os.path.join(tools, "make_signals")
        if not os.path.exists(manifest) or os.path.getmtime(manifest) < os.path.getmtime(generator):
            shutil.rmtree(folder, ignore_errors=True)
            os.makedirs(folder)
            print(run([generator, folder, os.path.join(shared_folder(), "audio", "harmonics.csv"), "", seed]).strip())
    else:
        bench = os.path.join(shared_folder(), "pitchbench", "bench.sh")
        if not os.path.exists(bench):
            print(f"set `shared` skipped: no {bench}")
            return False
        if not os.path.exists(manifest):
            os.makedirs(folder, exist_ok=True)
            run(["bash", bench, "signals"], env={**os.environ, "BENCH_DIR": folder})
    l2 = os.path.join(folder, "l2.csv")
    if not os.path.exists(l2) or os.path.getmtime(l2) < os.path.getmtime(manifest):
        with open(l2, "w") as file:
            file.write(run([os.path.join(tools, "mean_square_harmonic"), folder]))
    return True


def read_by(folder, name, command, always, fresh):
    """Runs a reader over a set unless its readings are newer than the signals; returns milliseconds of CPU per second."""
    out = os.path.join(folder, "out", name)
    note = os.path.join(out, "cpu.txt")
    if always or fresh or not os.path.exists(note) or os.path.getmtime(note) < os.path.getmtime(os.path.join(folder, "manifest.csv")):
        shutil.rmtree(out, ignore_errors=True)
        os.makedirs(out)
        before, begun = os.times(), time.time()
        run(command(out))
        used = os.times()
        cpu = used.children_user + used.children_system - before.children_user - before.children_system
        with open(note, "w") as file:
            file.write(f"{cpu} {time.time() - begun}")
    with open(note) as file:
        return float(file.read().split()[0])


def readers(name, folder, tools, options):
    """Name, command and analysis window (None: twice the delay of its judged reading)."""
    ours = [os.path.join(tools, "ear_batch")] + (["--crook", options.crook, "--a4", options.a4] if options.crook else [])
    found = [("ours", lambda out: ours + [out, folder], None)]
    if options.peers == "none":
        return found
    aubio = os.path.join(tools, "peer_aubio")
    if os.path.exists(aubio):
        for method in ["yinfast", "yinfft"] + (["yin", "mcomb"] if options.peers == "all" else []):
            size = "4096" if method == "mcomb" else "2048"
            found.append((f"aubio {method}", lambda out, m=method, n=size: [aubio, m, n, folder, out], int(size) / 48000.0))
    else:
        print("peer aubio left out: library not installed when the tests were built (libaubio-dev)")
    if shutil.which("praat"):
        names = os.path.join(folder, "names.txt")
        with open(os.path.join(folder, "manifest.csv")) as file, open(names, "w") as to:
            to.writelines(line.split(",", 1)[0] + "\n" for line in list(file)[1:])
        script = os.path.join(HERE, "peer_praat.praat")
        floor_hz = 50 if name == "shared" else 40  # its lowest pitch: as the shared bench runs it; lower for lower notes
        found.append(("Praat", lambda out: ["praat", "--run", script, names, os.path.join(folder, "wav"), out, str(floor_hz)], 3.0 / floor_hz))
    else:
        print("peer Praat left out: not installed (praat)")
    return found


def show(value, digits=2):
    return "-" if value is None else f"{value:.{digits}f}"


def pair(errors, digits=3):
    return "-" if errors is None else f"{show(score.quantile(errors.fine, 0.5), digits)} / {show(score.quantile(errors.fine, 0.95))}"


def latency(values):
    return "-" if values is None else f"{show(values[0], 0)} / {show(values[1], 0)} / {show(values[2], 0)} %"


def right(s, kind, table="live"):
    errors = getattr(s, table).get(kind)
    return "-" if errors is None else show(errors.right_percent(), 1)


def lines_of(s):
    """(what, goal, figure) for one reader."""
    lost = s.live
    live_sd, judged_sd = s.live.get("all"), s.judged.get("all")
    ratios = [r for r, _ in s.ratio]
    biases = [b for b, _ in s.bias]
    out = [
        ("steady, judged: median / p95 error, cents", "0.04 / 0.5", pair(s.judged.get("steady"))),
        ("worst / median bias at 40 dB, judged, cents", "0.02", f"{show(max(biases, default=None), 3)} / {show(score.quantile(biases, 0.5), 3)}"),
        ("judged jitter / Cramer-Rao bound at 20 dB: median / p90", "1.6", f"{show(score.quantile(ratios, 0.5))} / {show(score.quantile(ratios, 0.9))}"),
        ("live at 20 dB: median / p95, cents", "0.2 / 1.0", pair(s.live.get("steady20"))),
        ("live: delay on moving pitch, ms", "2", show(score.quantile([d for d in s.delays if d is not None], 0.5), 0)),
    ]
    for snr in (40, 20, 10):
        e, d = lost.get(f"steady{snr}/43"), s.judged.get(f"steady{snr}/43")
        if e:
            out.append((f"gross + missed, 43-1400 Hz, {snr} dB, live / judged, %", "0 / 0", f"{show(e.lost_percent())} / {show(d.lost_percent())}"))
    e = [lost[k] for k in lost if k.endswith("/29")]
    if e:
        out.append(("the same, 29-43 Hz, all SNR, live, %", "0", show(100.0 * sum(x.missed + x.gross for x in e) / sum(x.rows for x in e))))
    for kind, what in (("step1", "semitone"), ("step2", "whole tone"), ("step7", "fifth"), ("step12", "octave"), ("slur", "slurred tone"), ("reattack", "tongued tone")):
        if (kind, "all") not in s.changes:
            continue
        for label, words in (("high", "over 200 Hz"), ("mid", "120-200 Hz"), ("low", "under 120 Hz")):
            goal = {("step1", "high"): "15 / 25 / 0", ("step1", "low"): "30 / 35 / 0"}.get((kind, label), "")
            out.append((f"{what} to within 10 cents, {words}: median / p90 ms / never", goal, latency(s.latency([kind], label))))
    for label, words in (("high", "over 200 Hz"), ("mid", "120-200 Hz"), ("low", "under 120 Hz")):
        out.append((f"onset to within 50 cents, {words}: median / p90 ms / never", "", latency(score.summary(s.onsets.get(label, [])))))
    out += [
        ("glide, p95 of the live error, cents", "1", show(score.quantile(s.moving["glide"], 0.5))),
        ("vibrato, p95 of the live error, cents", "3.5", show(score.quantile(s.moving["vibrato"], 0.5))),
        ("room: settle to 10 cents after a whole tone: median / p90 ms / never", "110", latency(score.summary(s.rooms))),
    ]
    if "lips" in s.judged:
        out.append(("living lips: judged / live median, p95, cents", "", f"{pair(s.judged['lips'])}; {pair(s.live['lips'])}"))
    goals = {"piano10": "97", "piano20": "", "white0": "99.5", "pink5": "99.5", "codec": "98"}
    for kind, what in (("piano20", "keyboard chord 20 dB below"), ("piano10", "keyboard chord 10 dB below"), ("white0", "white noise 0 dB"), ("pink5", "pink noise 5 dB"),
                       ("codec", "call band"), ("codec/stopped", "call band, stopped"), ("reverb", "room, held part"), ("clicks", "metronome clicks"), ("hum50", "mains hum 12 dB below"),
                       ("clipped", "clipped"), ("laptop", "laptop microphone (no fundamental)"), ("autogain", "automatic gain"), ("gate", "noise gate"), ("loss", "5 % packets lost"), ("speech", "between speech")):
        if kind in s.live:
            goal = "98" if kind == "codec/stopped" else goals.get(kind, "")
            out.append((f"{what}: rows within 50 cents, live / judged, %", goal, f"{right(s, kind)} / {right(s, kind, 'judged')}"))
    rates = sorted((k for k in s.judged if k.startswith("rate") and "/" not in k), key=lambda k: int(k[4:]))
    for kind in rates:
        out.append((f"{int(kind[4:])} Hz: judged median / p95 cents, lost %", "same", f"{pair(s.judged[kind])}, {show(s.judged[kind].lost_percent(), 1)}"))
    for what in s.noise:
        goal = {"white": "1", "pink": "1", "breath": "2", "hum": "2"}.get(what, "")
        out.append((f"no horn, {what}: rows with a pitch, %", goal, show(sum(s.noise[what]) / len(s.noise[what]), 1)))
    if s.speech[0]:
        out.append(("speech before and after: rows with a pitch, %", "", show(100.0 * s.speech[1] / s.speech[0], 1)))
    out.append(("errors within one stated deviation, live / judged, %", "68 +- 5", f"{show(live_sd.sd_percent() if live_sd else None, 1)} / {show(judged_sd.sd_percent() if judged_sd else None, 1)}"))
    e, d = s.live.get("steady"), s.judged.get("steady")
    out.append(("the same on steady tones alone", "68 +- 5", f"{show(e.sd_percent(), 1)} / {show(d.sd_percent(), 1)}"))
    if s.missing:
        out.append(("files without readings", "0", str(s.missing)))
    return out


def measure(name, folder, tools, options):
    signals = score.load_set(folder)
    seconds = sum(s.length for s in signals)
    print(f"\n## Set `{name}`: {len(signals)} signals, {seconds:.0f} s\n")
    columns, ours = [], None
    for reader, command, window_s in readers(name, folder, tools, options):
        cpu = read_by(folder, reader.replace(" ", "-"), command, reader == "ours", options.fresh)
        s = score.Score(signals, os.path.join(folder, "out", reader.replace(" ", "-")), window_s)
        ours = s if reader == "ours" else ours
        columns.append((reader, lines_of(s), 1000.0 * cpu / seconds))
    print("| figure | goal | " + " | ".join(c[0] for c in columns) + " |")
    print("|---|---|" + "---|" * len(columns))
    for what, goal, _ in columns[0][1]:
        if options.brief and not goal:
            continue
        print(f"| {what} | {goal} | " + " | ".join(dict((w, f) for w, _, f in c[1]).get(what, "-") for c in columns) + " |")
    print("| processor, whole process, ms per second of sound | 10 | " + " | ".join(f"{c[2]:.1f}" for c in columns) + " |")
    if options.worst:
        print("\nOur worst files of each kind:")
        for kind in sorted({f[0] for f in ours.files}):
            worst = sorted((f for f in ours.files if f[0] == kind), key=lambda f: -f[2])[: options.worst]
            for _, file, _, words in worst:
                print(f"  {kind:12s} {file:32s} {words}")
        print("  bias         " + ", ".join(f"{n} {b:.3f}" for b, n in sorted(ours.bias, reverse=True)[: options.worst]))
        print("  over bound   " + ", ".join(f"{n} {r:.2f}" for r, n in sorted(ours.ratio, reverse=True)[: options.worst]))
        shares = [(k, e.sd_percent()) for k, e in ours.judged.items() if e.stated_sd and "/" not in k]
        print("  within judged sd, by kind: " + ", ".join(f"{k} {v:.0f}" for k, v in shares))
        shares = [(k, e.sd_percent()) for k, e in ours.live.items() if e.stated_sd and "/" not in k]
        print("  within live sd, by kind:   " + ", ".join(f"{k} {v:.0f}" for k, v in shares))


def main():
    options = arguments()
    tools = os.path.join(options.build, "tests")
    done = 0
    for name in options.sets or ["shared", "second"]:
        folder = os.path.join(options.work, name)
        if make_set(name, folder, tools):
            measure(name, folder, tools, options)
            done += 1
    return 0 if done else 77


if __name__ == "__main__":
    sys.exit(main())
