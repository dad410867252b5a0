"""Recorded horn tones against their true pitch: median of the steady part, no octave error.

Two sets: the recordings with a truth table in the shared folder (skipped, and said, when absent), and the recorded horn
samples of Debian's fluid-soundfont-gm. Each is read without a crook, with the F crook (most of these tones are none of
its partials: it must not bend or hide them). The program's own `trace` must say the same, row by row.
"""
import os
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import horns  # noqa: E402

LIMIT_CENTS = 2.0
SECTION_LIMIT_CENTS = 3.0  # several players at once: three ways of measuring the truth differ by up to 2 cents here


# A section beats: for a moment the players' octaves outweigh their fundamental (3 of 379 rows of one sample).
SECTION_WRONG_SHARE = 0.01


def check(title, tones, limit_cents, wrong_share=0.0):
    failed = horns.table(f"{title}, no crook known", tones, horns.read_batch(tones), limit_cents, wrong_share=wrong_share)
    with_crook = horns.read_batch(tones, ("--crook", "F"))
    failed += horns.table(f"{title}, F crook", tones, with_crook, limit_cents, wrong_share=wrong_share)
    for tone, batch in zip(tones, with_crook):
        traced = horns.read_by_trace(tone, crook="F")
        same = len(traced.live) == len(batch.live) and all(bool(a) == bool(b) and (not a or abs(a - b) < 1e-3) for a, b in zip(traced.live, batch.live))
        if not same:
            print(f"  {tone.name}: `bellhand trace` says something else   <- {traced.words()}")
            failed += 1
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
            failed += check("Recorded horn samples of the sound font", tones, SECTION_LIMIT_CENTS, SECTION_WRONG_SHARE)
            done += 1
        else:
            print(f"skipped: horn samples of the sound font (no {horns.SOUND_FONT}; Debian: fluid-soundfont-gm)")
    if not done:
        return 77
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
