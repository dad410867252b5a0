"""Recorded horn tones as a call would carry them: Opus at 24, 32 and 64 kbit/s, lost packets, band limits, gain riding.

The tones of real_horns.py. At 32 kbit/s the median of the steady part must lie within
3 cents of the truth; the other ways must stay within their own limit. The share of rows that may lie in a wrong octave is
what the ear reaches today on these tones, rounded up: codecs make lines come and go, and after a lost packet the search
begins anew. It is there to be lowered.
opusenc, opusdec: Debian opus-tools; sox: Debian sox. Skipped, and said, where they or the sounds are missing.
"""
import os
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import horns  # noqa: E402


def run(*command):
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def opus(kbit, loss_percent=0):
    def way(source, target):
        packet = target + ".opus"
        run("opusenc", "--quiet", "--bitrate", str(kbit), "--framesize", "20", "--expect-loss", str(loss_percent), source, packet)
        run("opusdec", "--quiet", "--rate", "48000", "--packet-loss", str(loss_percent), packet, target)
        os.remove(packet)
    return way


def sox(*effects):
    return lambda source, target: run("sox", source, target, *effects)


# Name, way, limit in cents, share of rows in a wrong octave. The call band takes the fundamental and, for the highest tones, all but two harmonics.
# compand: attack 0.1 s, release 0.6 s, from -60..-10 dB to a nearly constant level, as automatic gain does.
WAYS = [
    ("Opus 64 kbit/s", opus(64), 3.0, 0.02),
    ("Opus 32 kbit/s", opus(32), 3.0, 0.09),
    ("Opus 24 kbit/s", opus(24), 3.0, 0.05),
    ("Opus 32 kbit/s, 5 % of packets lost", opus(32, 5), 3.0, 0.12),
    ("band 300 to 3400 Hz", sox("highpass", "300", "highpass", "300", "lowpass", "3400", "lowpass", "3400"), 4.5, 0.04),
    ("gain riding", sox("compand", "0.1,0.6", "6:-60,-24,-10,-18", "0", "-60", "0.05"), 3.0, 0.04),
]


def main():
    missing = [tool for tool in ("opusenc", "opusdec", "sox") if shutil.which(tool) is None]
    if missing:
        print(f"skipped: {', '.join(missing)} not installed (Debian: opus-tools, sox)")
        return 77
    with tempfile.TemporaryDirectory() as folder:
        tones = horns.recorded()
        if not tones:
            print(f"skipped: recordings with a truth table (no {horns.SHARED}/audio/truth.csv)")
        tones += [t for t in horns.sound_font_tones(folder) if t.name.endswith("_L_")]
        if not tones:
            print("skipped: no recorded horn tones (Debian: fluid-soundfont-gm)")
            return 77
        clean = []
        for tone in tones:
            path = os.path.join(folder, "clean_" + os.path.splitext(tone.name)[0] + ".wav")
            run("sox", tone.path, "-c", "1", "-b", "16", path)
            clean.append(horns.Tone(tone.name, path, tone.f0_hz, tone.start_s, tone.end_s))
        failed = 0
        for number, (words, way, limit_cents, wrong_share) in enumerate(WAYS):
            carried = []
            for tone in clean:
                path = tone.path.replace("clean_", f"way{number}_")
                way(tone.path, path)
                carried.append(horns.Tone(tone.name, path, tone.f0_hz, tone.start_s, tone.end_s))
            failed += horns.table(words, carried, horns.read_batch(carried), limit_cents, every_line=False, wrong_share=wrong_share)
            for tone in carried:
                os.remove(tone.path)
        return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
