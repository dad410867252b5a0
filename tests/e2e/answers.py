"""Every command that prints JSON answers with an object of the published schema: format, version, what was asked, and the
answer in SI units; and the CSV beside it has the columns that are documented."""
import csv
import io
import json
import os
import re
import sqlite3
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from json_schema import problems  # noqa: E402
from played_tones import open_notes, slow_closing  # noqa: E402
from program import ROOT, Place  # noqa: E402

SCHEMA = json.load(open(os.path.join(ROOT, "assets", "schema", "answers.schema.json"), encoding="utf-8"))
HORN = os.path.join(ROOT, "assets", "instruments", "demo_coupler_horn.json")
SETS = os.path.join(ROOT, "assets", "setlists", "demo_opera.json")
QUESTION = ["crook", "a4_hz", "temperature_c", "temperament", "root", "anchor", "enharmonic", "profile"]
# Units that are not SI, or SI with a prefix, at the end of a name.
NOT_SI = re.compile(r"_(mm|cm|km|ms|min|khz|mb|kb|inch|ft|f|mpa)(_|$)")


def asked(place):
    """Arguments of every command that prints JSON, with the format they answer in."""
    open_wav, fall_wav = place.file("open.wav"), place.file("closing.wav")
    open_notes(open_wav, 42.9, {n: 0.0 for n in range(3, 13)}, (8, 4, 6, 5, 9, 12, 10, 7))
    slow_closing(fall_wav, 8 * 42.9, -105.0)
    demo, work, log = place.file("demo.wav"), place.file("work.hornwork"), log_with_a_session(place)
    for arguments in (["demo", demo], ["homework", "new", "--title", "One", "--exercise", "open-chord", "--out", work]):
        done = place.run(*arguments)
        assert done.returncode == 0, (arguments, done.stderr)
    horn, crook = ("--profile", HORN), ("--crook", "F", "--a4", "430")
    return [
        ("advise", ["advise", "--sounding", "D3", "A3", "F#4", "--key", "D"]),
        ("bore", ["bore", "--crook", "Eb", "--hand", "half"]),
        ("build", ["build", "--key", "Eb", *horn]),
        ("build", ["build", "--key", "Eb", "--room", "18", *horn]),
        ("build", ["build", "--key", "C-alto", *horn]),
        ("calibration", ["calibrate", open_wav, "--closing", fall_wav, *crook]),
        ("changes", ["changes", open_wav, "--profile", HORN, "--setlist", SETS]),
        ("chart", ["chart", "--crook", "Eb", "--key", "G", "--temperament", "just", "--anchor", "a"]),
        ("change-sheet", ["setlist", SETS, *horn]),
        ("closings", ["hands", fall_wav, "--closing", *crook]),
        ("crooks", ["crooks", "--a4", "430", "--temperature", "25"]),
        ("own-crooks", ["crooks", *horn]),
        ("stack", ["crooks", *horn, "--pieces", first_crook()]),
        ("devices", ["devices"]),
        ("exercise-list", ["drill", "--list", *crook]),
        ("judgements", ["drill", "open-chord", "--input", demo, *crook]),
        ("hands", ["hands", demo]),
        ("homework-wrong", ["homework", "show", work]),
        ("notes", ["notes", demo]),
        ("sessions", ["log", "--log", log]),
        ("sessions", ["log", "list", "--bin", "--log", log]),
        ("session-notes", ["log", "show", "last", "--log", log]),
        ("takes", ["log", "takes", "--log", log]),
        ("today", ["today", "--minutes", "10"]),
        ("log", ["log", "export", "--log", log]),
    ]


def log_with_a_session(place):
    """A log as a session leaves it: a note, a block with a step, a take, a comment."""
    log = place.file("log.sqlite")
    made = place.run("--text", "--demo", "--seconds", "1", "--log", log)
    assert os.path.exists(log), made.stderr
    book = sqlite3.connect(log)
    session = book.execute("INSERT INTO session (started_at, input, crook, a4_hz, temperament, closed) "
                           "VALUES ('2099-01-01T10:00:00Z', 'test', 'F', 430, 'equal', 1)").lastrowid
    book.execute("INSERT INTO note (session_id, number, start_s, duration_s, crook, a4_hz, temperament, written, partial, hand, f0_hz, target_hz, "
                 "deviation_cents, spread_cents, attack_cents, level_dbfs, finished, written_number) "
                 "VALUES (?, 0, 11.5, 1, 'F', 430, 'equal', 'C4', 4, 'open', 170, 171, -14, 1, -20, -20, 1, 60)", (session,))
    block = book.execute("INSERT INTO block (session_id, number, exercise, title, why, crook, a4_hz, temperament, start_s, planned_s, duration_s, "
                         "planned_rest_s, rest_s, homework_id, homework_part, finished, steps, good_steps) "
                         "VALUES (?, 0, 'open-chord', 'Open chord', 'Warm-up', 'F', 430, 'equal', 10.5, 60, 58, 60, 60, '', 0, 1, 1, 0)", (session,)).lastrowid
    book.execute("INSERT INTO step (block_id, number, step, pass, asked, asked_number, asked_hand, note_number, held_cents, attack_cents, "
                 "tolerance_cents, timing_s, level_db, faults) VALUES (?, 0, 0, 0, 'C4', 60, 'open', 0, -14, -20, 10, 0.05, -2, 'flat')", (block,))
    book.execute("INSERT INTO comment (session_id, note_number, who, at_s, text, written_at) "
                 "VALUES (?, 0, 'teacher', 11.5, 'Softer', '2099-01-02T10:00:00Z')", (session,))
    book.execute("INSERT INTO take (session_id, block_number, file, start_s, duration_s, bytes, kept, why) "
                 "VALUES (?, 0, 'one.flac', 10.5, 2.6, 1000, 0, 'Scale')", (session,))
    book.commit()
    book.close()
    return log


def first_crook():
    return json.load(open(HORN, encoding="utf-8"))["master_crooks"][0]["name"]


def names_in(value):
    if isinstance(value, dict):
        for name, inner in value.items():
            yield name
            yield from names_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from names_in(inner)


def check(place, answer_format, arguments):
    done = place.run(*arguments, "--format", "json")
    assert done.returncode in (0, 1), (arguments, done.stderr)
    answer = checked(json.loads(done.stdout), answer_format)
    if answer_format != "log": # a whole log holds many crooks, each in its rows
        assert list(answer["question"])[:len(QUESTION)] == QUESTION, (arguments, answer["question"])
    return answer


def check_csv(place, answer_format, arguments, answer):
    """The CSV has the columns of the rows of the answer, in their order; lengths and times as people read them."""
    rows = answer["answer"]
    if not isinstance(rows, list) or not rows:
        return
    header = next(csv.reader(io.StringIO(place.run(*arguments, "--format", "csv").stdout)))
    si = [re.sub(r"_per_mm$", "_per_m", re.sub(r"_ms$", "_s", re.sub(r"(?<!per)_mm$", "_m", name))) for name in header]
    assert si == list(rows[0]), (answer_format, header)


def check_other_ways(place):
    """What is asked for otherwise than by --format, and what tells its events line by line; the names of the latter."""
    parts = os.path.join(ROOT, "assets", "parts", "the_ferryman.musicxml")
    plan = checked(json.loads(place.run("part", parts, "--plan", "json", "--temperament", "just", "--anchor", "a").stdout), "part-plan")
    assert plan["question"]["root"] == "F" and plan["question"]["anchor"] == "a", plan["question"]
    told = [["practise", "open-chord", "--crook", "F", "--a4", "430"], ["today", "--run", "--minutes", "1"], ["part", parts, "--play", "--bars", "1-2"]]
    listening = [place.start(*arguments, "--format", "json", "--input", place.file("demo.wav"), "--log", place.file(f"{arguments[0]}.sqlite"),
                             stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for arguments in told]  # all at once: each takes as long as the sound
    for arguments, process in zip(told, listening):
        out, errors = process.communicate(timeout=60)
        assert process.returncode == 0, (arguments, errors)
        events = [checked(json.loads(line), "event")["answer"]["event"] for line in out.splitlines()]
        assert events[0] == "asked" and "summary" in events, (arguments, events)
    return {"practise", "part"}


def checked(answer, answer_format):
    """The answer, which is an object of its published schema."""
    assert list(answer) == ["format", "version", "question", "answer"], list(answer)
    assert answer["format"] == "bellhand-" + answer_format, answer["format"]
    wrong = problems(answer, SCHEMA)
    form = SCHEMA["$defs"].get(answer["format"])
    assert form is not None, f"{answer['format']} has no schema"
    assert not wrong, problems(answer, form, SCHEMA)[:8]
    bad = sorted({name for name in names_in(answer) if NOT_SI.search(name)})
    assert not bad, ("not in SI units", bad)
    return answer


def commands_with_json(place):
    """Every command, and what is below it, whose help offers --format with json."""
    def listed(text):
        part = re.split(r"\n(?:Subcommands|SUBCOMMANDS|Commands):\n", text)
        return re.findall(r"^  ([a-z-]+)\s", part[1], re.M) if len(part) > 1 else []

    found, queue = [], [[name] for name in listed(place.run("--help").stdout)]
    assert len(queue) > 10, "the help lists no commands any more"
    while queue:
        command = queue.pop()
        text = place.run(*command, "--help").stdout
        option = re.search(r"--format[^\n]*\n?[^\n]*", text)
        if option and "json" in option.group(0):
            found.append(" ".join(command))
        queue += [command + [name] for name in listed(text)]
    return found


def main():
    with Place() as place:
        tried = asked(place)
        seen = set()
        for answer_format, arguments in tried:
            answer = check(place, answer_format, arguments)
            check_csv(place, answer_format, arguments, answer)
            seen.add(arguments[0] if arguments[0] not in ("log", "homework") else " ".join(
                [arguments[0]] + [one for one in arguments[1:2] if not one.startswith("-")]))
        seen |= check_other_ways(place)
        missing = sorted(set(commands_with_json(place)) - seen)
        assert not missing, f"commands with JSON that are not tried here: {missing}"
        print(f"{len(tried)} answers in {len({one for one, _ in tried})} formats: all as published")


main()
