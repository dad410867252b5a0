"""Recorded horn tones against their true pitch: median of the steady part, no octave error.

Two sets: the recordings with a truth table in the shared folder (skipped, and said, when absent), and the recorded horn
samples of Debian's fluid-soundfont-gm. Each is read without a crook, with the F crook (most of these tones are none of
its partials: it must not bend or hide them), and by the program's own `trace`.
"""
import os
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import horns  # noqa: E402

LIMIT_CENTS = 2.0
SECTION_LIMIT_CENTS = 3.0  # several players at once: three ways of measuring the truth differ by up to 2 cents here


def check(title, tones, limit_cents):
    failed = 0
    for words, options in (("no crook known", ()), ("F crook", ("--crook", "F"))):
        failed += horns.table(f"{title}, {words}", tones, horns.read_batch(tones, options), limit_cents)
    if horns.can_trace():
        failed += horns.table(f"{title}, bellhand trace", tones, [horns.read_by_trace(t) for t in tones], limit_cents)
    return failed


def main():
    failed = done = 0
    tones = horns.recorded()
    if tones:
        failed += check("Recordings with a truth table", tones, LIMIT_CENTS)
        done += 1
    else:
        print(f"skipped: recordings with a truth table (no {horns.SHARED}/audio/truth.csv)")
    with tempfile.TemporaryDirectory() as folder:
        tones = horns.sound_font_tones(folder)
        if tones:
            failed += check("Recorded horn samples of the sound font", tones, SECTION_LIMIT_CENTS)
            done += 1
        else:
            print(f"skipped: horn samples of the sound font (no {horns.SOUND_FONT}; Debian: fluid-soundfont-gm)")
    if not done:
        return 77
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
