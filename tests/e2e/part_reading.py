"""Parts as other people's programs write them, read from outside: headings, words, contradictions, clefs, players, dresses of the file.
Every file here is made in this test; what it must be read as is common practice, no source, but for what MusicXML and MIDI lay down."""
import csv
import io
import os
import re
import struct
import subprocess
import sys
import tempfile
import zipfile

program = os.environ["BELLHAND"]


def note(step, octave, duration=4, alter=None, voice=1, chord=False):
    return (f"<note>{'<chord/>' if chord else ''}<pitch><step>{step}</step>{f'<alter>{alter}</alter>' if alter is not None else ''}"
            f"<octave>{octave}</octave></pitch><duration>{duration}</duration><voice>{voice}</voice></note>")


def words(text):
    return f"<direction placement=\"above\"><direction-type><words>{text}</words></direction-type></direction>"


def bars(*contents, first="", second=""):
    out = ""
    for i, content in enumerate(contents):
        start = ("<divisions>4</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>" + first
                 if i == 0 else second if i == 1 else "")
        out += f"<measure number=\"{i + 1}\"><attributes>{start}</attributes>{content}</measure>"
    return out


def score(heading, content, inside=""):
    return ("<?xml version=\"1.0\" encoding=\"UTF-8\"?><score-partwise version=\"3.1\">" + inside + "<part-list><score-part id=\"P1\"><part-name>" +
            heading.replace("&", "&amp;") + "</part-name></score-part></part-list><part id=\"P1\">" + content + "</part></score-partwise>")


def transpose(diatonic, chromatic):
    return f"<transpose><diatonic>{diatonic}</diatonic><chromatic>{chromatic}</chromatic></transpose>"


CHORD = note("C", 5) + note("E", 5) + note("G", 4) + note("C", 5)
REST = "<note><rest measure=\"yes\"/><duration>16</duration><voice>1</voice></note>"
BASS = "<clef><sign>F</sign><line>4</line></clef>"

folder = tempfile.TemporaryDirectory()
files = 0


def part(content, *arguments, code=0, name="part.xml"):
    """What `part` says of a file, standard output and error."""
    global files
    files += 1
    path = os.path.join(folder.name, f"{files}-{name}")
    with open(path, "wb") as out:
        out.write(content if isinstance(content, bytes) else content.encode())
    done = subprocess.run([program, "part", path, *arguments], capture_output=True, text=True)
    assert done.returncode == code, (content[:200], arguments, done.returncode, done.stdout, done.stderr)
    return done.stdout, done.stderr


def crooks(said):
    """The crooks of a summary with their bars: "F 1 D 4"."""
    block = re.search(r"Crook:(.*?)  Notes", said, re.S)
    return " ".join(f"{crook} {bar}" for crook, bar in re.findall(r"(\S+(?: alto| basso)?) from bar (\S+):", block.group(1))) if block else ""


def written(*arguments):
    return [row["written"] for row in csv.DictReader(io.StringIO(part(*arguments)[0]))]


# Headings.
for heading, crook in {
    "Corno in Si♭ alto": "B♭ alto", "Corni in Sib basso": "B♭ basso", "Cors 1 et 2 en mi bémol": "E♭", "Horn (E)": "E", "Horn 3 (D)": "D",
    "Hn. 1 in G": "G", "Horns 1 & 2 in Low B flat": "B♭ basso", "Horn in high C": "C alto", "Corno I in tief C": "C basso",
    "2 Hörner in hoch B": "B♭ alto", "Cors de chasse en ré": "D", "Corno da caccia in Re": "D", "Naturhorn Es": "E♭", "Horn I (Es)": "E♭",
    "Corno primo in do basso": "C basso", "Corno in la grave": "A basso", "Cor en fa#": "F♯", "Horn in F (orig. in E)": "F",
}.items():
    assert crooks(part(score(heading, bars(CHORD)))[0]) == f"{crook} 1", heading
for heading, choices in {"Horn in H": ("B-alto", "B-basso"), "Cor en ut": ("C-alto", "C-basso"), "Waldhorn in As": ("Ab", "Ab-basso"),
                         "Corno in B": ("Bb-alto", "Bb-basso"), "Horn in B": ("B-alto", "Bb-alto")}.items():
    asked = part(score(heading, bars(CHORD)), code=3)[1]
    assert all(f"--crook {choice}" in asked for choice in choices), (heading, asked)
for heading in ("Corno di bassetto in F", "Corno inglese", "Cor anglais en fa", "Flugelhorn in F"):
    assert "--crook" in part(score(heading, bars(CHORD)), code=3)[1], heading

# Words at the place: "in X" from its note, "muta" from the entry after a rest, remarks in brackets told alone.
changed = bars(CHORD, REST, words("{}") + CHORD)
for said, crook in {"changez en ré": "D", "prenez le ton de mi bémol": "E♭", "nimmt Es": "E♭", "change to B flat basso": "B♭ basso",
                    "muta in Mi": "E", "in Es": "E♭", "in Si♭ basso": "B♭ basso", "take E♭ crook": "E♭", "Muta corno I in D": "D",
                    "cambia in Sol": "G", "prendre le cor en mi♭": "E♭", "umstimmen nach E": "E", "E♭ crook": "E♭"}.items():
    assert crooks(part(score("Corno in F", changed.replace("{}", said)))[0]) == f"F 1 {crook} 3", said
for said in ("in tempo", "Solo", "con sord.", "in D.S. al fine", "muta", "crooked"):
    assert crooks(part(score("Corno in F", changed.replace("{}", said)))[0]) == "F 1", said
assert crooks(part(score("Corno I in Es", bars(CHORD, words("muta in Re") + CHORD, REST, CHORD)))[0]) == "E♭ 1 D 4"
told = part(score("Horn in F", bars(words("[orig. in A]") + CHORD, CHORD)))[0]
assert crooks(told) == "F 1" and "told here and not obeyed" in told, told
assert "--crook 3=Bb-alto" in part(score("Corno in F", changed.replace("{}", "Muta in B")), code=3)[1]

# The transposition of the file wins, and what contradicts it is told.
told = part(score("Horn in E♭", bars(CHORD, first=transpose(-4, -7))))[0]
assert crooks(told) == "F 1" and "means E♭" in told and "--crook Eb" in told, told
told = part(score("Cor en ré", bars(CHORD, REST, words("muta in Fa") + CHORD, first=transpose(-6, -10))))[0]
assert crooks(told) == "D 1" and "muta in Fa" in told, told

# Two players on a staff.
pair = note("G", 4, 16) + "<backup><duration>16</duration></backup>" + note("C", 4, 16, voice=2)
assert "--player 1" in part(score("Corni in F", bars(pair)), code=3)[1]
assert written(score("Corni in F", bars(pair)), "--player", "2", "--plan", "csv") == ["C4"]
chords = bars(note("E", 5, 16) + note("C", 5, 16, chord=True), note("G", 4, 16))
assert written(score("Hörner 1. 2. in D", chords), "--player", "1", "--plan", "csv") == ["E5", "G4"]
assert written(score("Hörner 1. 2. in D", chords), "--player", "2", "--plan", "csv") == ["C5", "G4"]

# Bass clef: old by a note under G2, asked without one, answered, and right by its octave sign.
low = bars(CHORD, note("G", 2, 8) + note("C", 2, 8), second=BASS)
assert written(score("Horn in D", low), "--plan", "csv")[4:] == ["G3", "C3"]
unsure = bars(CHORD, note("C", 3, 8) + note("G", 3, 8), second=BASS)
assert "--bass-clef" in part(score("Horn in D", unsure), code=3)[1]
assert written(score("Horn in D", unsure), "--bass-clef", "old", "--plan", "csv")[4:] == ["C4", "G4"]
assert written(score("Horn in D", unsure), "--bass-clef", "new", "--plan", "csv")[4:] == ["C3", "G3"]
signed = unsure.replace("<line>4</line>", "<line>4</line><clef-octave-change>1</clef-octave-change>")
part(score("Horn in D", signed), "--plan", "csv")

# Sounding pitch: asked where it shows, known where the file says so.
sounding = bars(*[note("E", 4, alter=-1) + note("G", 4) + note("B", 4, alter=-1) + note("E", 5, alter=-1)] * 8)
assert "--notes sounding" in part(score("Horn in Es", sounding), code=3)[1]
said = score("Horn in Es", sounding, "<defaults><concert-score/></defaults>")
assert written(said, "--plan", "csv")[:4] == written(score("Horn in Es", sounding), "--notes", "sounding", "--plan", "csv")[:4] == ["C5", "E5", "G5", "C6"]

# The same part in every dress.
plain = score("Corno in Mi♭", bars(CHORD, CHORD))
rows = part(plain, "--plan", "csv")[0]
dresses = {"utf16.xml": plain.replace("UTF-8", "UTF-16").encode("utf-16"),
           "utf16be.xml": b"\xfe\xff" + plain.replace("UTF-8", "UTF-16").encode("utf-16-be"),
           "bom.xml": b"\xef\xbb\xbf" + plain.encode()}
archive = io.BytesIO()
with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as out:
    out.writestr("META-INF/container.xml", "<container><rootfiles><rootfile full-path=\"in/the score.xml\"/></rootfiles></container>")
    out.writestr("in/the score.xml", plain)
dresses["by_content.pdf"] = archive.getvalue()
by_part = re.search(r"<part id=\"P1\">(.*)</part>", plain).group(1)
dresses["timewise.musicxml"] = (plain.replace("score-partwise", "score-timewise").replace(f"<part id=\"P1\">{by_part}</part>",
                                re.sub(r"(<measure [^>]*>)(.*?)</measure>", r'\1<part id="P1">\2</part></measure>', by_part)))
for name, content in dresses.items():
    assert part(content, "--plan", "csv", name=name)[0] == rows, name


# MIDI, format 0 and 1: the same sounding notes, and the crook must be said.
def track(events):
    body = b"".join(events) + b"\x00\xff\x2f\x00"
    return b"MTrk" + struct.pack(">I", len(body)) + body


def midi(kind, *tracks):
    return b"MThd" + struct.pack(">IHHH", 6, kind, len(tracks), 96) + b"".join(tracks)


tempo = b"\x00\xff\x51\x03\x07\xa1\x20"  # 500 000 microseconds a quarter
notes = [b"\x00\x90" + bytes([number, 80]) + b"\x60\x80" + bytes([number, 0]) for number in (65, 69, 72)]
name = b"\x00\xff\x03\x04Horn"
for content in (midi(0, track([name, tempo, *notes])), midi(1, track([tempo]), track([name, *notes]))):
    assert "--crook" in part(content, code=3, name="part.mid")[1]
    assert written(content, "--crook", "F", "--plan", "csv") == ["C5", "E5", "G5"]
    assert written(content, "--crook", "C-alto", "--plan", "csv") == ["F4", "A4", "C5"]

print(f"part: {files} files of other hands read as they should be")
sys.exit(0)
