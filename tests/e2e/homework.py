"""Homework from teacher to student and back: composed, opened, played in a lesson, returned, listened to, commented,
followed up (the comments on figures put into the log by hand, so that they are known); and files that mean no good, each refused with one sentence."""
import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
import warnings
import zipfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import BELLHAND, Place, horn_like, write_wav  # noqa: E402

BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
EXERCISE, FAULT = "open-chord", "flat@G4"


def must(place, *arguments):
    done = place.run(*arguments)
    assert done.returncode == 0, (arguments, done.stderr)
    return done.stdout


def play_into_log(place, log, homework):
    """One attempt with a miss and a flat note, and its take, as a lesson leaves them."""
    folder = os.path.join(place.path, "log-takes")
    os.makedirs(folder)
    write_wav(place.file("take.wav"), [horn_like(220.0, 2.0)])
    subprocess.run(["flac", "--silent", "-o", os.path.join(folder, "one.flac"), place.file("take.wav")], check=True)
    book = sqlite3.connect(log)
    session = book.execute("INSERT INTO session (started_at, input, crook, a4_hz, temperament, closed) "
                           "VALUES ('2099-01-01T10:00:00Z', 'test', 'F', 430, 'equal', 1)").lastrowid
    book.execute("INSERT INTO note (session_id, number, start_s, duration_s, crook, a4_hz, temperament, written, partial, hand, f0_hz, target_hz, "
                 "deviation_cents, spread_cents, attack_cents, level_dbfs, finished, written_number) "
                 "VALUES (?, 0, 11.5, 1, 'F', 430, 'equal', 'C4', 4, 'open', 170, 171, -14, 1, -20, -20, 1, 60)", (session,))
    block = book.execute("INSERT INTO block (session_id, number, exercise, title, why, crook, a4_hz, temperament, start_s, planned_s, duration_s, "
                         "planned_rest_s, rest_s, homework_id, homework_part, finished) "
                         "VALUES (?, 0, 'x', 'Scale', '', 'F', 430, 'equal', 10, 60, 5, 60, 0, ?, 0, 1)", (session, homework)).lastrowid
    for number, (asked, note, faults) in enumerate([("C4", 0, "flat"), ("D4", None, "missed")]):
        book.execute("INSERT INTO step (block_id, number, step, pass, asked, asked_number, asked_hand, note_number, held_cents, attack_cents, "
                     "tolerance_cents, faults) VALUES (?, ?, ?, 0, ?, ?, 'open', ?, -14, -20, 5, ?)",
                     (block, number, number, asked, 60 + 2 * number, note, faults))
    book.execute("INSERT INTO take (session_id, block_number, file, start_s, duration_s, bytes, kept, why) "
                 "VALUES (?, 0, 'one.flac', 10.5, 2.6, 1000, 0, 'Scale')", (session,))
    book.commit()
    book.close()


def whole_loop(place):
    given, back = place.file("given.hornwork"), place.file("back.hornwork")
    log = place.file("log.sqlite")
    made = must(place, "homework", "new", "--title", "Week one", "--exercise", "scale-c-major:1-2", "--exercise", "lip-slurs-middle", "--crook", "F", "--a4", "430",
                "--due", "2099-12-31", "--words", "Slowly, please.", "--out", given)
    again = place.file("again.hornwork")
    must(place, "homework", "new", "--title", "Week one", "--exercise", "scale-c-major:1-2", "--exercise", "lip-slurs-middle", "--crook", "F", "--a4", "430",
         "--due", "2099-12-31", "--words", "Slowly, please.", "--out", again)
    assert open(given, "rb").read() == open(again, "rb").read(), "the same homework gives another file"
    assert zipfile.ZipFile(given).namelist() == ["homework.json"]
    identity = made.split("homework ", 1)[1].split(",")[0]

    assert "Slowly, please." in must(place, "homework", "open", given, "--log", log)
    assert "already" in must(place, "homework", "open", given, "--log", log)
    plan = json.loads(must(place, "today", "--log", log, "--format", "json"))
    assert identity in json.dumps(plan), "the plan does not ask for the homework"
    assert place.run("homework", "return", identity, "--out", back, "--log", log).returncode == 2, "nothing was played yet"

    play_into_log(place, log, identity)
    profile = os.path.join(os.environ.get("BELLHAND_ROOT", "."), "assets", "instruments", "demo_coupler_horn.json")
    assert "1 attempts, 1 takes" in must(place, "homework", "return", identity, "--out", back, "--log", log, "--words", "The D is hard.", "--profile", profile)
    assert zipfile.ZipFile(back).namelist() == ["homework.json", "profile.json", "take-01.flac"]
    assert zipfile.ZipFile(back).testzip() is None

    shown = must(place, "homework", "show", back)
    assert "The D is hard." in shown and "0 of 2 right" in shown and "flat" in shown, shown
    wrong = json.loads(must(place, "homework", "show", back, "--format", "json"))["answer"]
    assert [row["asked"] for row in wrong] == ["C4", "D4"], wrong
    assert wrong[0]["take"] == 1 and abs(wrong[0]["at_s"] - 1.0) < 0.01, wrong
    sound = place.file("out.flac")
    must(place, "homework", "show", back, "--extract-take", "1", "--out", sound)
    assert open(sound, "rb").read() == open(os.path.join(place.path, "log-takes", "one.flac"), "rb").read()
    assert place.run("homework", "show", back, "--extract-take", "2", "--out", sound).returncode == 2

    must(place, "homework", "comment", back, "--take", "1", "--at", "1.2", "--text", "Support this C.")
    assert place.run("homework", "comment", back, "--take", "1", "--at", "99", "--text", "x").returncode == 2
    assert place.run("homework", "comment", back, "--take", "1", "--text", "x\x1b[31m").returncode == 2
    assert "take 1 at 0:01.2: Support this C." in must(place, "homework", "show", back)
    assert "1 new comment" in must(place, "homework", "open", back, "--log", log)
    assert "new comment" not in must(place, "homework", "open", back, "--log", log)
    book = sqlite3.connect(log)
    assert book.execute("SELECT who, at_s, text FROM comment").fetchall() == [("teacher", 1.2, "Support this C.")]
    book.close()
    assert "2 tasks" in must(place, "homework", "next", back, "--title", "Week two", "--out", place.file("next.hornwork"))
    return given, back


def way_through_a_lesson(place):
    """Given, opened, played in a lesson as a recording with chosen faults at the pitch that is asked, returned, shown, listened to:
    no figure of it is put into the log by this test."""
    given, back, log = place.file("lesson.hornwork"), place.file("lesson-back.hornwork"), place.file("lesson.sqlite")
    how = ("--crook", "Eb", "--a4", "430", "--temperament", "vallotti")
    made = must(place, "homework", "new", "--title", "Lesson", "--exercise", EXERCISE, *how, "--repetitions", "1", "--out", given)
    identity = made.split("homework ", 1)[1].split(",")[0]
    must(place, "homework", "open", given, "--log", log)
    planned = json.loads(must(place, "today", "--minutes", "1", "--log", log, "--format", "json"))["answer"]["blocks"]
    assert [(block["homework"], block["a4_hz"], block["temperament"], block["repetitions"]) for block in planned] == [(identity, 430, "vallotti", 1)], planned
    wav, truth = place.file("lesson.wav"), place.file("lesson.csv")
    subprocess.run([os.path.join(BUILD, "tests", "make_performance"), EXERCISE, wav, *how, "--seed", "5", "--truth", truth, "--fault", FAULT], check=True,
                   env=place.env)
    with open(truth) as file:
        put_in = {int(row["step"]) - 1: row["faults"].split() for row in csv.DictReader(file) if row["faults"].strip()}
    assert len(put_in) >= 1 and all(faults == [FAULT.split("@")[0]] for faults in put_in.values()), put_in
    # Nobody tells the program a pitch: 430 is 40 cents below the usual 440, so a wrong one would make every note flat.
    must(place, "today", "--run", "--minutes", "1", "--input", wav, "--log", log, "--format", "json")

    assert "1 attempts, 1 takes" in must(place, "homework", "return", identity, "--out", back, "--log", log)
    written = json.loads(zipfile.ZipFile(back).read("homework.json"))
    attempt = written["returned"]["attempts"][0]
    assert attempt["a4_hz"] == 430 and attempt["temperament"] == "vallotti" and attempt["crook"] == "Eb", attempt
    first_pass = [step for step in attempt["steps"] if step.get("pass", 0) == 0]
    told = {step["step"]: step["faults"] for step in first_pass if step.get("faults")}
    assert told == put_in, (told, put_in)
    wrong = json.loads(must(place, "homework", "show", back, "--format", "json"))["answer"]
    assert {row["take"] for row in wrong} == {1}, wrong
    shown = must(place, "homework", "show", back)
    assert FAULT.split("@")[0] in shown and FAULT.split("@")[1] in shown, shown

    # Where `show` says that a note is in the take, it sounds: heard again, by another way through the program, and as wrong.
    sound = place.file("take.flac")
    must(place, "homework", "show", back, "--extract-take", "1", "--out", sound)
    heard = list(csv.DictReader(io.StringIO(must(place, "notes", sound, *how, "--format", "csv"))))
    for row in (row for row in wrong if row["asked"] == FAULT.split("@")[1]):
        near = min(heard, key=lambda note: abs(float(note["start_s"]) - row["at_s"]))
        assert abs(float(near["start_s"]) - row["at_s"]) < 0.1 and near["written"] == row["asked"], (row, near)
        assert float(near["deviation_cents"]) < -5.0, near
    left = json.loads(must(place, "today", "--minutes", "1", "--log", log, "--format", "json"))["answer"]["blocks"]
    assert identity not in json.dumps(left), "what was returned is asked for again"
    return len(first_pass), put_in


def packed(entries, method=zipfile.ZIP_DEFLATED):
    memory = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(memory, "w", method) as archive:
        warnings.simplefilter("ignore")  # a name twice is what one of them is about
        for name, contents in entries:
            archive.writestr(name, contents)
    return memory.getvalue()


def hostile(place, given, back):
    text = zipfile.ZipFile(given).read("homework.json")
    returned = zipfile.ZipFile(back)
    homework, sound = returned.read("homework.json"), returned.read("take-01.flac")
    link = zipfile.ZipInfo("homework.json")
    link.create_system, link.external_attr = 3, 0o120777 << 16
    whole = open(back, "rb").read()
    other = json.loads(text)
    other["surprise"] = 1
    turned = json.loads(text)
    turned["words"] = "play \u202eegap"
    escape = json.loads(text)
    escape["title"] = "\x1b[2Jboo"
    beyond = json.loads(text)
    beyond["parts"][0]["last_step"] = 4000
    wide = bytearray(sound)
    wide[20] = wide[20] & 0xF1 | (7 << 1)
    endless = bytearray(sound)
    endless[21:26] = bytes([endless[21] | 0x0F, 255, 255, 255, 255])
    files = {
        "empty": b"", "text": b"hello", "cut": whole[:len(whole) // 2], "flipped": whole[:200] + bytes([whole[200] ^ 255]) + whole[201:],
        "no_homework": packed([("take-01.flac", sound)]), "folder": packed([("homework.json", text), ("../evil.json", b"{}")]),
        "absolute": packed([("homework.json", text), ("/etc/evil", b"{}")]), "twice": packed([("homework.json", text), ("homework.json", text)]),
        "stranger": packed([("homework.json", text), ("run.sh", b"echo")]), "link": packed([(link, b"/etc/passwd")]),
        "bomb": packed([("homework.json", text), ("take-01.flac", b"\0" * 50_000_000)]), "large": packed([("homework.json", b" " * 25_000_000)]),
        "many": packed([("homework.json", text)] + [(f"f{i}", b"") for i in range(100)]),
        "lzma": packed([("homework.json", text)], zipfile.ZIP_LZMA), "no_json": packed([("homework.json", b"{")]),
        "unknown_key": packed([("homework.json", json.dumps(other))]), "escape": packed([("homework.json", json.dumps(escape))]), "turned": packed([("homework.json", json.dumps(turned))]),
        "beyond": packed([("homework.json", json.dumps(beyond))]), "no_take": packed([("homework.json", homework)]),
        "no_flac": packed([("homework.json", homework), ("take-01.flac", b"RIFF" + sound[4:])]),
        "wide": packed([("homework.json", homework), ("take-01.flac", bytes(wide))]),
        "endless": packed([("homework.json", homework), ("take-01.flac", bytes(endless))]),
        "odd_profile": packed([("homework.json", homework), ("profile.json", b"[]"), ("take-01.flac", sound)]),
        "deep": packed([("homework.json", b"[" * 100_000)]), "not_text": packed([("homework.json", b'{"format":"\xff"}')]),
    }
    log = place.file("untouched.sqlite")
    for name, contents in files.items():
        path = place.file(name + ".hornwork")
        with open(path, "wb") as file:
            file.write(contents)
        for command in (("show", path), ("open", path, "--log", log)):
            done = place.run("homework", *command)
            assert done.returncode in (1, 2), (name, done.returncode, done.stdout, done.stderr)
            sentence = done.stderr.strip()
            assert sentence and "\n" not in sentence and "\x1b" not in sentence and sentence.endswith("."), (name, sentence)
            assert done.stdout == "", name
    assert not os.path.exists(log), "a refused file reached the log"
    return len(files)


MEMORY_OF = """import os, sys
quiet = [(os.POSIX_SPAWN_OPEN, stream, "/dev/null", os.O_WRONLY, 0) for stream in (1, 2)]
print(os.wait4(os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=quiet), 0)[2].ru_maxrss)
"""


def small_files_take_little(place, given):
    """Most memory that `homework show` takes for files of at most 3 kB that unpack to as much as is allowed, kB."""
    text = json.loads(zipfile.ZipFile(given).read("homework.json"))
    attempt = {"part": 1, "steps": [{"step": 1, "asked": "C4"}] * 3900}
    files = {"given": open(given, "rb").read(), "empty_lists": packed([("homework.json", json.dumps({**text, "zz": [[[]] * 4000] * 20}))])}
    for attempts in (1, 3, 5):
        files[f"steps_{attempts}"] = packed([("homework.json", json.dumps({**text, "returned": {"attempts": [attempt] * attempts}}))])
    most = {}
    for name, contents in files.items():
        assert len(contents) <= 3000, (name, len(contents))
        path = place.file(name + ".hornwork")
        with open(path, "wb") as file:
            file.write(contents)
        # From a small interpreter: a new process counts the memory of the one that starts it as its own.
        done = subprocess.run([sys.executable, "-I", "-S", "-c", MEMORY_OF, BELLHAND, "homework", "show", path], env=place.env, check=True,
                              capture_output=True, text=True)
        most[name] = int(done.stdout)
    if not os.environ.get("BELLHAND_SANITIZED"):  # whose own book-keeping takes 100 MB
        assert max(most.values()) < 30_000, most
    return max(most.values())


def words_in_paragraphs(place, given):
    out, name = place.file("paragraphs.hornwork"), place.file("\x1b[31mred\u202e.hornwork")
    must(place, "homework", "comment", given, "--task", "1", "--text", "First listen.\n\nThen play.", "--out", out)
    assert "Teacher, task 1: First listen.\n\n    Then play." in must(place, "homework", "show", out), must(place, "homework", "show", out)
    done = place.run("homework", "show", name)
    assert done.returncode == 1 and "\x1b" not in done.stderr and "\u202e" not in done.stderr, done.stderr


def main():
    with Place() as place:
        given, back = whole_loop(place)
        words_in_paragraphs(place, given)
        memory_kb = small_files_take_little(place, given)
        refused = hostile(place, given, back)
        notes, put_in = way_through_a_lesson(place)
    print(f"the whole loop, {refused} hostile files refused; a lesson of {notes} notes came back with the fault put in on {sorted(put_in)}; "
          f"a file of 3 kB shown in {memory_kb / 1000:.1f} MB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
