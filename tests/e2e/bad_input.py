"""Bad input of every kind: one clear sentence, the right exit code, no crash, nothing lost."""
import csv
import io
import math
import os
import random
import resource
import shutil
import signal
import sqlite3
import struct
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import BELLHAND, Place, horn_like, write_wav  # noqa: E402

F_C4_HZ = 174.614  # written C4 on the F crook at A4 = 440 Hz: F3 of the equal-tempered scale (ISO 16:1975)


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def refused(place, words, code, *arguments):
    """One sentence on stderr that has the words in it, nothing on stdout, the exit code."""
    done = place.run(*arguments)
    assert done.returncode == code, (arguments, done)
    assert done.stdout == "", (arguments, done.stdout[:200])
    assert done.stderr.startswith("bellhand: ") and done.stderr.count("\n") == 1 and len(done.stderr) < 400, (arguments, done.stderr)
    for word in words:
        assert word in done.stderr, (word, done.stderr)
    print(f"  {' '.join(map(str, arguments))[:60]:60s} -> {code}  {done.stderr.strip()}")


def reads(place, name, note, **options):
    """The file is read, and the notes are as they should be (`note` a name, or None for no note at all)."""
    done = place.run("notes", place.file(name), "--crook", "F", **options)
    assert done.returncode == 0 and done.stderr == "", (name, done)
    found = [row["written"] for row in rows(done.stdout)]
    assert found == ([note] if note else []), (name, found)
    traced = place.run("trace", place.file(name), "--crook", "F")
    assert traced.returncode == 0 and "nan" not in traced.stdout and "inf" not in traced.stdout, name
    print(f"  {name:28s} -> {found or 'no note'}, {len(traced.stdout.splitlines()) - 1} rows")


def files(place):
    print("files that cannot be read:")
    for command in ("trace", "notes"):
        refused(place, ["nosuch.wav"], 1, command, place.file("nosuch.wav"))
        refused(place, [], 1, command, place.path)
    with open(place.file("text.wav"), "w") as file:
        file.write("this is no sound\n" * 100)
    refused(place, ["text.wav"], 1, "trace", place.file("text.wav"))
    open(place.file("zero.wav"), "w").close()
    refused(place, ["zero.wav"], 1, "trace", place.file("zero.wav"))
    write_wav(place.file("empty.wav"), [[]])
    refused(place, ["empty.wav"], 1, "trace", place.file("empty.wav"))
    with open(place.file("cut.wav"), "wb") as file:
        file.write(b"RIFF\x24\x00\x00\x00WAVEfmt ")
    refused(place, ["cut.wav"], 1, "notes", place.file("cut.wav"))
    tone = horn_like(F_C4_HZ, 0.6)
    write_wav(place.file("tone.wav"), [tone])
    refused(place, ["channel"], 2, "notes", place.file("tone.wav"), "--channel", "9")
    refused(place, ["no/such"], 1, "trace", place.file("tone.wav"), "--out", "/no/such/folder/out.csv")
    refused(place, ["nosuch.wav"], 1, "--text", "--input", place.file("nosuch.wav"), "--log", place.file("l.sqlite"))

    print("files that are unusual, but sound:")
    reads(place, "tone.wav", "C4")
    silence = [0.0] * len(tone)
    write_wav(place.file("eight_channels.wav"), [silence] * 6 + [tone] + [silence])
    eight = rows(place.run("notes", place.file("eight_channels.wav"), "--crook", "F", "--channel", "7").stdout)
    assert [n["written"] for n in eight] == ["C4"], eight
    assert rows(place.run("notes", place.file("eight_channels.wav"), "--crook", "F", "--channel", "2").stdout) == []
    reads(place, "eight_channels.wav", "C4")
    for rate in (8000, 192000):
        write_wav(place.file(f"{rate}_hz.wav"), [horn_like(F_C4_HZ, 0.6, rate)], rate)
        reads(place, f"{rate}_hz.wav", "C4")
    for rate in (4000, 400000):
        write_wav(place.file(f"{rate}_hz.wav"), [horn_like(F_C4_HZ, 0.2, rate)], rate)
        refused(place, ["Hz"], 1, "trace", place.file(f"{rate}_hz.wav"))

    chance = random.Random(1)
    holes = [math.nan if chance.random() < 0.01 else math.inf if chance.random() < 0.001 else x for x in horn_like(F_C4_HZ, 0.6)]
    write_wav(place.file("not_a_number.wav"), [holes], floating=True)
    done = place.run("trace", place.file("not_a_number.wav"), "--crook", "F")
    assert done.returncode == 0 and "nan" not in done.stdout and "inf" not in done.stdout
    write_wav(place.file("all_nan.wav"), [[math.nan] * 48000], floating=True)
    reads(place, "all_nan.wav", None)
    write_wav(place.file("clipped.wav"), [[max(-1.0, min(1.0, 12 * x)) for x in horn_like(F_C4_HZ, 0.6)]])
    reads(place, "clipped.wav", "C4")
    write_wav(place.file("noise.wav"), [[0.2 * chance.gauss(0, 1) for _ in range(3 * 48000)]])
    reads(place, "noise.wav", None)
    write_wav(place.file("silence.wav"), [[0.0] * 96000])
    reads(place, "silence.wav", None)
    write_wav(place.file("one_sample.wav"), [[0.5]])
    reads(place, "one_sample.wav", None)


def choices(place):
    print("choices that make no sense:")
    tone = place.file("tone.wav")
    for start in (["trace", tone], ["notes", tone], ["--text", "--demo", "--log", place.file("l.sqlite")]):
        refused(place, ["crook"], 2, *start, "--crook", "H")
        refused(place, ["alto", "basso"], 2, *start, "--crook", "C")
        refused(place, ["alto", "basso"], 2, *start, "--crook", "B-flat")
        refused(place, ["380", "470"], 2, *start, "--a4", "379.9")
        refused(place, ["380", "470"], 2, *start, "--a4", "470.1")
        refused(place, ["--a4"], 2, *start, "--a4", "high")
        refused(place, [], 2, *start, "--a4", "nan")
        refused(place, ["equal"], 2, *start, "--temperament", "cosy")


def no_device(place):
    print("no input device:")
    log = place.file("device.sqlite")
    done = place.run("--text", "--seconds", "4", "--log", log)
    assert done.returncode == 0, done
    told = [line for line in done.stderr.splitlines() if "saved as session" not in line]
    assert len(told) == 1, done.stderr
    print(f"  waits, and says: {told[0]}")
    listed = rows(place.run("log", "--log", log, "--format", "csv").stdout)
    assert len(listed) == 1 and listed[0]["closed"] == "yes", listed


def logs(place):
    print("logs that fail:")
    demo = ["--demo", "--text", "--seconds", "3"]

    def rescued(done, log):
        """The notes are in the file that the message names; the usual log is untouched."""
        assert done.returncode == 1, done
        assert len(done.stdout.splitlines()) >= 2
        lines = done.stderr.splitlines()
        print(f"  {os.path.basename(log):14s} -> {lines[-1]}")
        assert len(lines) <= 3, lines
        named = lines[-1].split("saved in ")[1].split(" instead")[0]
        notes = rows(place.run("log", "1", "--log", named, "--format", "csv").stdout)
        assert len(notes) == len(done.stdout.splitlines()), (notes, done.stdout)
        os.remove(named)

    locked = place.file("locked.sqlite")
    assert place.run("--demo", "--text", "--seconds", "1", "--log", locked).returncode == 0
    other = sqlite3.connect(locked)
    other.execute("BEGIN EXCLUSIVE")
    rescued(place.run(*demo, "--log", locked), locked)
    other.rollback()
    other.close()

    corrupt = place.file("corrupt.sqlite")
    with open(locked, "rb") as file:
        damaged = bytearray(file.read())
    damaged[100:4096] = b"\xaa" * 3996
    with open(corrupt, "wb") as file:
        file.write(damaged)
    rescued(place.run(*demo, "--log", corrupt), corrupt)
    with open(corrupt, "rb") as file:
        assert file.read() == bytes(damaged)
    refused(place, ["corrupt.sqlite"], 1, "log", "--log", corrupt)

    other_kind = place.file("text.sqlite")
    with open(other_kind, "w") as file:
        file.write("dear diary")
    rescued(place.run(*demo, "--log", other_kind), other_kind)
    refused(place, ["text.sqlite"], 1, "log", "--log", other_kind)
    refused(place, ["none.sqlite"], 1, "log", "--log", place.file("none.sqlite"))

    # /proc takes no files from anyone, root included: a folder that is read-only for us.
    rescued(place.run(*demo, "--log", "/proc/bellhand/log.sqlite"), "/proc/bellhand")

    full = place.file("full.sqlite")
    assert place.run("--demo", "--text", "--seconds", "1", "--log", full).returncode == 0

    def small_files():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
    done = place.run(*demo, "--log", full, preexec_fn=small_files)
    assert done.returncode == 1 and len(done.stdout.splitlines()) >= 2, done
    assert 1 <= len(done.stderr.splitlines()) <= 2, done.stderr
    print(f"  files may not grow -> {done.stderr.splitlines()[-1]}")
    assert "could not be saved anywhere" in done.stderr, done.stderr
    assert sqlite3.connect(full).execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert place.run("log", "1", "--log", full).returncode == 0

    disk_full(place, demo, rescued)


def disk_full(place, demo, rescued):
    folder = place.file("tiny")
    os.mkdir(folder)
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", folder], capture_output=True)
    if mounted.returncode != 0:
        print("  skipped: a really full disk (no right to mount a small tmpfs here)")
        return
    try:
        filler = os.open(os.path.join(folder, "filler"), os.O_WRONLY | os.O_CREAT)
        try:
            while True:
                os.write(filler, b"x" * 1024)
        except OSError:
            os.close(filler)
        rescued(place.run(*demo, "--log", os.path.join(folder, "log.sqlite")), "full disk")
    finally:
        subprocess.run(["umount", folder], check=True)
        shutil.rmtree(folder)
    with open("/dev/full", "wb") as full:
        process = subprocess.run([BELLHAND, "trace", place.file("tone.wav")], env=place.env, stdout=full, stderr=subprocess.PIPE)
        assert process.returncode == 1 and b"disk full" in process.stderr, process


def main():
    with Place() as place:
        files(place)
        choices(place)
        no_device(place)
        logs(place)
    return 0


if __name__ == "__main__":
    sys.exit(main())
