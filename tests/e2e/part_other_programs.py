"""Hand signs written by --annotate as other programs see them: a notation editor's drawing and what it writes again, and an
engraver's importer. Both are general-purpose programs from packages; without them the test is skipped."""
import os
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree
import zipfile

program = os.environ["BELLHAND"]
root = os.environ["BELLHAND_ROOT"]
editor = shutil.which("musescore3") or shutil.which("mscore")
importer = shutil.which("musicxml2ly")
if not editor and not importer:
    print("skipped: neither a notation editor (musescore3) nor an engraver's importer (musicxml2ly) is installed")
    sys.exit(77)

FRACTIONS = ("¼", "½", "¾")
parts = [("the_ferryman.musicxml", "assets", []), ("evening_round.musicxml", "assets", []),
         ("two_at_the_gate.musicxml", "assets", ["--player", "1"]), ("high_horn_in_d.mxl", "tests/data", []),
         ("two_horns_b_flat_alto.mxl", "tests/data", ["--part", "1"])]


def text_of(path):
    if not path.endswith(".mxl"):
        return open(path, encoding="utf-8").read()
    with zipfile.ZipFile(path) as archive:
        name = next(n for n in archive.namelist() if n.endswith((".xml", ".musicxml")) and "META-INF" not in n)
        return archive.read(name).decode("utf-8")


def first_part(path):
    return tree.fromstring(text_of(path)).find("part")


def notes(part):
    """(step, alter, octave, tied) of every head that sounds."""
    found = []
    for note in part.iter("note"):
        pitch = note.find("pitch")
        if pitch is not None:
            alter = float(pitch.findtext("alter") or 0)
            found.append((pitch.findtext("step"), alter, pitch.findtext("octave")))
    return found


def marks(part):
    found = {"o": 0, "+": 0, **{sign: 0 for sign in FRACTIONS}}
    for technical in part.iter("technical"):
        for mark in technical:
            if mark.tag == "open-string":
                found["o"] += 1
            elif mark.tag == "stopped":
                found["+"] += 1
            elif mark.tag == "fingering" and (mark.text or "").strip() in FRACTIONS:
                found[mark.text.strip()] += 1
    return found


checked = 0
with tempfile.TemporaryDirectory() as folder:
    environment = dict(os.environ, QT_QPA_PLATFORM="offscreen", HOME=folder, XDG_RUNTIME_DIR=folder)

    def other(*command):
        return subprocess.run(command, env=environment, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=300)

    for name, where, said in parts:
        source = os.path.join(root, where, "parts", name)
        signed = os.path.join(folder, "signed" + os.path.splitext(name)[1])
        written = subprocess.run([program, "part", source, "--annotate", signed, "--partials", *said], capture_output=True, text=True)
        assert written.returncode == 0, (name, written.stderr)
        meant, heads = marks(first_part(signed)), notes(first_part(signed))
        assert heads == notes(first_part(source)), name
        struck = sum(meant.values())
        assert struck > 40, (name, meant)
        if editor:
            again = os.path.join(folder, "again.musicxml")
            other(editor, "-o", again, signed)
            assert notes(first_part(again)) == heads, (name, "the editor reads other notes")
            assert marks(first_part(again)) == meant, (name, marks(first_part(again)), meant)
            other(editor, "-o", os.path.join(folder, "page.svg"), signed)
            drawn = "".join(open(os.path.join(folder, page), encoding="utf-8").read()
                            for page in sorted(os.listdir(folder)) if re.fullmatch(r"page-\d+\.svg", page))
            for page in [p for p in os.listdir(folder) if p.startswith("page")]:
                os.remove(os.path.join(folder, page))
            seen = drawn.count('class="Fingering"')
            assert seen == sum(meant[sign] for sign in FRACTIONS), (name, "fractions drawn", seen, meant)
            # Articulations and ornaments that the piece has of its own are drawn beside the signs.
            whole = tree.fromstring(text_of(source))
            own = sum(len(marks_of) for kind in ("articulations", "ornaments") for marks_of in whole.iter(kind))
            seen = drawn.count('class="Articulation"')
            assert meant["o"] + meant["+"] <= seen <= meant["o"] + meant["+"] + own, (name, "signs drawn", seen, meant, own)
            checked += 1
        if importer:
            imported = os.path.join(folder, "imported.ly")
            other(importer, "-o", imported, signed)
            text = open(imported, encoding="utf-8").read()
            # Of a score with several parts only the one that was signed has signs.
            assert text.count("\\open") == meant["o"], (name, text.count("\\open"), meant)
            assert len(re.findall(r"\\stopped|[-^_]\+", text)) == meant["+"], (name, meant)
            for sign in FRACTIONS:
                assert len(re.findall(r"\^\s*" + sign, text)) == meant[sign], (name, sign, meant)
            checked += 1
print(f"{checked} of {2 * len(parts)} readings by other programs have the notes and every sign")
