"""Learns what open and stop-like tones sound like and writes assets/hand/timbre.txt.

  python3 tests/hand/learn_timbre.py            writes the file
  python3 tests/hand/learn_timbre.py --check    1 when the file is not what this would write

Needs harmonics.csv (measured harmonic levels of recorded horn tones) in $BELLHAND_SHARED/audio, else ../shared/audio
beside the source tree.
"""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import timbre  # noqa: E402

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
SHARED = os.environ.get("BELLHAND_SHARED", os.path.join(os.path.dirname(ROOT), "shared"))
MEASURED = os.path.join(SHARED, "audio", "harmonics.csv")
OUT = os.path.join(ROOT, "assets", "hand", "timbre.txt")


def text(tones):
    model = timbre.Model(tones)
    scores = timbre.left_out_scores(tones)
    slope, shift = timbre.log_odds_line(scores, tones)
    heard = [t for t in tones if t.f0_hz >= timbre.LOWEST_HZ and not t.stopped]
    odds = [slope * scores[t.name] + shift for t in heard]
    mean = sum(odds) / len(odds)
    spread = (sum((x - mean) ** 2 for x in odds) / len(odds)) ** 0.5
    lines = [
        "# What open and stop-like horn tones sound like. Made by tests/hand/learn_timbre.py; do not edit by hand.",
        f"# Measured: {sum(not t.stopped for t in tones)} open tones and {sum(t.stopped for t in tones)} tones played into a stop-like mute, of one source of recordings,",
        "# levels of their first 20 harmonics. No recording of a hand-stopped or half-stopped horn was to be had.",
        f"reference_hz {timbre.REFERENCE_HZ:g}",
        "# group of harmonics: usual level against the whole tone, dB (at the reference, per octave, per octave squared),",
        "# spread in dB, weight in the log odds of stop-like against open",
    ]
    for i, name in enumerate(timbre.NAMES):
        usual = " ".join(f"{u:.4f}" for u in model.usual[i])
        lines.append(f"{name} {usual} {model.spread[i]:.4f} {slope * model.weights[i]:.5f}")
    lines += [
        f"constant {slope * model.constant + shift:.5f}",
        "# log odds of open tones left out of the learning: mean and standard deviation",
        f"open_log_odds {mean:.3f} {spread:.3f}",
        f"# Below {timbre.LOWEST_HZ:g} Hz no stop-like tone was measured; there timbre says nothing.",
        f"range_hz {timbre.LOWEST_HZ:g} {timbre.HIGHEST_HZ:g}",
        "# Published: a full stop raises the centroid from under 1 kHz to over 3 kHz (Dell, thesis, University of Western",
        "# Australia). 2-5 kHz against 0.2-1 kHz, dB, at which a tone is as likely stopped as open, and log odds per dB",
        "# above: chosen between that and the brightest measured open tone (-8 dB).",
        "bright -3 0.6",
        "# One source of tones must not outweigh what pitch says.",
        "most_log_odds 3",
        "# How likely a tone is to sound stop-like at open, quarter, half, three-quarters and full stop: modelled and common",
        "# practice, not measured. Only the full stop, and three-quarters when loud, betray themselves by timbre; a soft",
        "# stopped tone is dull, and another kind of mute was not told from open at all: half of the full stops count.",
        "stop_like_share 0.01 0.02 0.05 0.15 0.5",
    ]
    return "\n".join(lines) + "\n"


def main():
    if not os.path.exists(MEASURED):
        print(f"{MEASURED} is not there: nothing learnt")
        return 77
    wanted = text(timbre.read_tones(MEASURED))
    if "--check" in sys.argv[1:]:
        with open(OUT, encoding="utf-8") as file:
            same = file.read() == wanted
        print("assets/hand/timbre.txt is what the measured tones give" if same else "assets/hand/timbre.txt differs: run tests/hand/learn_timbre.py")
        return 0 if same else 1
    with open(OUT, "w", encoding="utf-8") as file:
        file.write(wanted)
    print(wanted, end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
