"""Every command through the real binary: help, exit codes, the contract of trace and notes, the log, saved settings."""
import csv
import io
import json
import math
import os
import re
import signal
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402

TRACE_HEADER = ("time_s,f0_hz,confidence,level_dbfs,written,partial,hand,target_hz,deviation_cents,"
                "judged_time_s,judged_hz,f0_sd_cents,judged_sd_cents,closure,hand_confidence")
LOG_HEADER = "start_s,duration_s,written,partial,hand,f0_hz,deviation_cents,spread_cents,level_dbfs"
NOTES_HEADER = LOG_HEADER + ",heard_hand,heard_partial,closure,closure_low,closure_high,hand_confidence,hand_cents,lips_cents,advice,match_db,match_octaves,match_slope,unsteady_cents,drift_cents_s,tremor_cents,tremor_hz,sway_db,sway,transition_ms,overshoot_cents,settling_ms,known_within_cents"


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def help_and_version(place):
    top = place.run("--help")
    assert top.returncode == 0 and "Usage: bellhand" in top.stdout and top.stderr == "", top
    commands = re.findall(r"^  ([a-z]+)  +\S", top.stdout.split("Subcommands:")[1], re.M)
    for expected in ("trace", "notes", "chart", "devices", "log"):
        assert expected in commands, commands
    asked = [[command] for command in commands]
    for command in asked:  # grows by what is below a command
        done = place.run(*command, "--help")
        assert done.returncode == 0 and "Usage: bellhand " + " ".join(command) in done.stdout and done.stderr == "", (command, done)
        raw = re.findall(r"^.*\b(?:TEXT|INT|UINT|FLOAT|BOOLEAN|ENUM)\b.*$", done.stdout, re.M)
        assert not raw, (command, raw)
        asked += [command + [below] for below in re.findall(r"^  ([a-z-]+)  +\S", done.stdout.partition("Subcommands:")[2], re.M)]
    done = place.run("--version")
    assert done.returncode == 0 and re.fullmatch(r"\d+\.\d+\.\d+\n", done.stdout), done
    print(f"--help: {len(commands)} commands: {' '.join(commands)}")


def bad_usage(place):
    for arguments in (["nonsense"], ["--nonsense"], ["trace"], ["trace", "a.wav", "b.wav"], ["notes", "x.wav", "--crook"],
                      ["--demo", "--input", "x.wav"], ["--input", "x.wav", "--device", "0"], ["--demo", "--seed", "x"],
                      ["--seconds", "-1", "--demo", "--text"], ["log", "first"], ["log", "--format", "xml"], ["--channel", "-1"]):
        done = place.run(*arguments)
        assert done.returncode == 2, (arguments, done)
        assert done.stdout == "" and done.stderr.count("\n") == 1 and done.stderr.startswith("bellhand: "), (arguments, done)
    print("bad usage: exit code 2, one sentence on stderr")


def trace_contract(place):
    wav, truth = place.file("demo.wav"), place.file("truth.csv")
    assert place.run("demo", wav, "--truth", truth, "--crook", "D", "--a4", "430", "--seed", "3").returncode == 0
    traced = place.run("trace", wav, "--crook", "D", "--a4", "430")
    assert traced.returncode == 0 and traced.stderr == "", traced.stderr
    assert traced.stdout.splitlines()[0] == TRACE_HEADER
    table = rows(traced.stdout)
    voiced = [row for row in table if row["f0_hz"]]
    assert len(voiced) > 0.5 * len(table)
    before = 0.0
    for row in table:
        assert float(row["time_s"]) > before
        before = float(row["time_s"])
        assert 0.0 <= float(row["confidence"]) <= 1.0 and -201 < float(row["level_dbfs"]) < 10
        after_level = list(row.values())[4:]
        if not row["f0_hz"]:
            assert not any(after_level), row
            continue
        assert len(row["f0_hz"].split(".")[1]) >= 6, row
        if row["written"]:
            assert re.fullmatch(r"[A-G][#b]?\d", row["written"]) and 1 <= int(row["partial"]) <= 24
            assert row["hand"] in ("open", "quarter", "half", "three-quarters", "full")
            cents = 1200 * math.log2(float(row["f0_hz"]) / float(row["target_hz"]))
            assert abs(cents - float(row["deviation_cents"])) < 0.01, row
        if row["judged_hz"]:
            assert float(row["judged_time_s"]) <= float(row["time_s"])

    out = place.file("trace.csv")
    assert place.run("trace", wav, "--crook", "D", "--a4", "430", "--out", out).stdout == ""
    with open(out) as file:
        assert file.read() == traced.stdout

    # No look-ahead: cut the file anywhere, and the rows up to there are the same.
    with open(wav, "rb") as file:
        whole = file.read()
    at = whole.index(b"data") + 8
    samples = len(whole) - at
    for share in (0.23, 0.61):
        part = place.file("part.wav")
        size = int(samples * share) // 8 * 8
        with open(part, "wb") as file:
            file.write(whole[:4] + (at - 8 + size).to_bytes(4, "little") + whole[8:at - 4] + size.to_bytes(4, "little") + whole[at:at + size])
        lines = place.run("trace", part, "--crook", "D", "--a4", "430").stdout.splitlines()
        assert len(lines) > share * 0.95 * len(table)
        assert lines == traced.stdout.splitlines()[:len(lines)]
    print(f"trace: {len(table)} rows, {len(voiced)} with a pitch; cut files give the same rows")
    return wav, truth


def notes_against_truth(place, wav, truth):
    done = place.run("notes", wav, "--crook", "D", "--a4", "430")
    assert done.returncode == 0 and done.stdout.splitlines()[0] == NOTES_HEADER, done
    found = rows(done.stdout)
    with open(truth) as file:
        played = list(csv.DictReader(file))
    assert [n["written"] for n in found] == [n["written"] for n in played], (found, played)
    worst = 0.0
    for note, true in zip(found, played):
        assert (note["partial"], note["hand"]) == (true["partial"], true["hand"])
        assert abs(float(note["start_s"]) - float(true["start_s"])) < 0.05, (note, true)
        worst = max(worst, abs(float(note["deviation_cents"]) - float(true["deviation_cents"])))
    assert worst < 6.0, worst  # the player's lips wander by 2 cents besides what the truth says
    as_json = json.loads(place.run("notes", wav, "--crook", "D", "--a4", "430", "--format", "json").stdout)["answer"]
    assert [n["written"] for n in as_json] == [n["written"] for n in found] and isinstance(as_json[0]["f0_hz"], float)
    wrong = rows(place.run("notes", wav, "--crook", "Eb", "--a4", "430").stdout)
    assert len(wrong) == len(found) and wrong[0]["written"] == "B3", wrong[0]
    print(f"notes: {len(found)} as played, worst deviation {worst:.1f} cents off the truth")


def sessions(place):
    log = place.file("log.sqlite")
    done = place.run("--demo", "--text", "--seconds", "4", "--log", log, "--crook", "Bb-basso", "--a4", "415", "--temperament", "vallotti")
    assert done.returncode == 0, done
    lines = done.stdout.splitlines()
    assert 3 <= len(lines) <= 8 and "partial" in lines[0] and "cents" in lines[0], lines
    for number, name in ((signal.SIGTERM, "SIGTERM"), (signal.SIGINT, "Ctrl-C"), (signal.SIGHUP, "SIGHUP")):
        with open(os.devnull, "w") as nowhere:
            process = place.start("--demo", "--text", "--log", log, stdout=nowhere, stderr=nowhere)
            time.sleep(2.5)
            process.send_signal(number)
            assert process.wait(10) == 0, name
    table = place.run("log", "--log", log)
    assert table.returncode == 0 and len(table.stdout.splitlines()) == 5, table.stdout
    listed = json.loads(place.run("log", "--log", log, "--format", "json").stdout)["answer"]
    assert [s["session"] for s in listed] == [4, 3, 2, 1]
    assert all(s["closed"] == "yes" and s["notes"] >= 2 and s["input"] == "demo player" for s in listed), listed
    first = listed[-1]
    assert first["crook"] == "Bb-basso" and first["a4_hz"] == 415.0 and first["temperament"] == "vallotti"
    notes = rows(place.run("log", "1", "--log", log, "--format", "csv").stdout)
    assert len(notes) == len(lines) and all(n["crook"] == "Bb-basso" for n in notes)
    assert ",".join(notes[0]).startswith(LOG_HEADER)
    assert place.run("log", "last", "--log", log).stdout.splitlines()[0].split()[0] == "start_s"
    missing = place.run("log", "99", "--log", log)
    assert missing.returncode == 2 and missing.stdout == "" and "99" in missing.stderr, missing
    empty = place.run("log")
    assert empty.returncode == 1 and empty.stdout == "" and "no session" in empty.stderr, empty
    # The demo's notes stay out of the player's own log.
    assert place.run("--demo", "--text", "--seconds", "0.2").returncode == 0
    assert place.run("log").returncode == 1
    print("log: sessions closed at the end, by SIGTERM, Ctrl-C and SIGHUP")


def settings(place):
    done = place.run("--text", "--seconds", "0.5", "--crook", "Eb", "--a4", "421.6", "--log", place.file("own.sqlite"))
    assert done.returncode == 0, done
    path = place.file("config/bellhand/settings.json")
    with open(path) as file:
        saved = json.load(file)
    assert saved["crook"] == "Eb" and saved["a4_hz"] == 421.6, saved
    assert place.run("--text", "--seconds", "0.5", "--log", place.file("own.sqlite")).returncode == 0
    newest = json.loads(place.run("log", "--log", place.file("own.sqlite"), "--format", "json").stdout)["answer"][0]
    assert newest["crook"] == "Eb" and newest["a4_hz"] == 421.6, newest
    with open(path, "w") as file:
        file.write("{ this is no JSON")
    done = place.run("--text", "--seconds", "0.5", "--log", place.file("own.sqlite"))
    assert done.returncode == 0 and path in done.stderr and "usual ones" in done.stderr, done
    print("settings: remembered, and a damaged file is said and replaced")


def main():
    with Place() as place:
        help_and_version(place)
        trace_and_truth = trace_contract(place)
        notes_against_truth(place, *trace_and_truth)
        assert place.run("devices").returncode == 0
        sessions(place)
        settings(place)
        bad_usage(place)
    return 0


if __name__ == "__main__":
    sys.exit(main())
