"""bellhand calibrate --listen: the microphone instead of files, through a sound server of the test's own."""
import csv
import io
import math
import os
import random
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "support"))
from played_tones import open_notes
from virtual_microphone import PROGRAM, SoundServer, end, need_tools

F1 = 42.9
PARTIALS = (8, 4, 6, 5, 10, 9, 12)


def main():
    need_tools()
    random.seed(5)
    with tempfile.TemporaryDirectory(prefix="bellhand-calibrate-") as folder:
        wav = f"{folder}/open.wav"
        open_notes(wav, F1, {}, PARTIALS, seconds=1.6, pause=0.4)
        server = SoundServer(folder)
        server.start()
        program = subprocess.Popen([PROGRAM, "calibrate", "--listen", "17", "--device", "default", "--crook", "F", "--a4", "430",
                                    "--format", "csv"], env=server.env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                   stderr=subprocess.PIPE)
        try:
            assert server.wait_for_listener(20), "the program does not listen to the sound server"
            server.play(wav).wait(timeout=60)
            out, errors = program.communicate(timeout=60)
        finally:
            end(program, server.process)
        assert program.returncode == 0, errors
        assert b"Rest when the lips tire" in errors, errors
        rows = {(row["what"], row["partial"]): row for row in csv.DictReader(io.StringIO(out.decode()))}
        off = 1200 * math.log2(float(rows["f1_hz", ""]["value"]) / F1)
        heard = [n for n in PARTIALS if ("open_partial_cents", str(n)) in rows]
        lost = subprocess.run([PROGRAM, "calibrate", "--listen", "2", "--device", "no such input"], env=server.env,
                              capture_output=True, timeout=60)
        assert lost.returncode == 1 and lost.stdout == b"" and b"No sound has come" in lost.stderr, lost
        print(f"f1 {off:+.2f} cents off, partials {heard}")
        assert abs(off) < 2.0 and len(heard) >= 6


main()
