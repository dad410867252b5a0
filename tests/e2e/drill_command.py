"""`bellhand drill`: the list, an exercise shown and read back, performances judged against what was played."""
import collections
import csv
import io
import json
import os
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from program import Place  # noqa: E402

BUILD = os.environ.get("BELLHAND_BUILD", os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "build", "release"))
HEADER = "step,pass,crook,asked,hand,heard,start_s,held_cents,attack_cents,tolerance_cents,timing_ms,level_db,verdict"


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def perform(place, exercise, name, *options):
    wav, truth = place.file(name + ".wav"), place.file(name + ".csv")
    subprocess.run([os.path.join(BUILD, "tests", "make_performance"), exercise, wav, "--truth", truth, *options], check=True, env=place.env)
    return wav, rows(open(truth).read())


def judged(place, exercise, wav, *options):
    done = place.run("drill", exercise, "--input", wav, "--format", "csv", *options)
    assert done.returncode == 0 and done.stderr == "", done
    assert done.stdout.splitlines()[0] == HEADER
    return rows(done.stdout)


def lists(place):
    done = place.run("drill", "--list", "--format", "json", "--crook", "A")
    assert done.returncode == 0 and done.stderr == "", done
    table = json.loads(done.stdout)["answer"]
    assert len(table) >= 42, len(table)
    by_name = {row["name"]: row for row in table}
    assert by_name["evening-air"]["playable"] == "yes"
    assert "above what parts for A ask for" in by_name["high-song"]["playable"]
    print(f"--list: {len(table)} exercises, {sum(row['playable'] == 'yes' for row in table)} playable on A")


def shows_and_reads_back(place):
    done = place.run("drill", "evening-air", "--show")
    assert done.returncode == 0 and "Evening air" in done.stdout and "three-quarters" in done.stdout, done
    text = place.run("drill", "evening-air", "--show", "--format", "json").stdout
    path = place.file("air.json")
    open(path, "w").write(text)
    again = place.run("drill", path, "--show", "--format", "json")
    assert again.returncode == 0 and again.stdout == text, again
    print("--show: an exercise written out is read back as it was")


def a_good_performance(place):
    wav, truth = perform(place, "evening-air", "good", "--seed", "4")
    table = judged(place, "evening-air", wav)
    assert len(table) >= 20, table
    assert [row["step"] for row in table] == [row["step"] for row in truth]
    good = sum(row["verdict"] == "good" for row in table)
    assert good >= 0.95 * len(table), [row for row in table if row["verdict"] != "good"]
    summary = place.run("drill", "evening-air", "--input", wav).stdout.splitlines()[-1]
    assert summary.startswith(f"{good} of {len(table)} notes right"), summary
    print(f"a good performance: {summary}")


def tolerances_are_the_players(place):
    wav, _ = perform(place, "evening-air", "mine", "--seed", "4")

    def of_open_notes(*options):
        return {row["tolerance_cents"] for row in judged(place, "evening-air", wav, *options) if row["hand"] == "open"}

    assert of_open_notes() == {"5"}, of_open_notes()
    assert of_open_notes("--tolerance", "0.5") == {"2.5"}
    folder = os.path.join(place.env["XDG_CONFIG_HOME"], "bellhand")
    os.makedirs(folder, exist_ok=True)
    with open(os.path.join(folder, "settings.json"), "w") as file:
        json.dump({"crook": "F", "a4_hz": 440, "temperament": "equal", "device": "", "channel": 1, "tolerance_factor": 1.5}, file)
    assert of_open_notes() == {"7.5"}, of_open_notes()
    assert of_open_notes("--tolerance", "2") == {"10"}
    os.remove(os.path.join(folder, "settings.json"))
    print("tolerances: the usual, typed and saved ones")


def faults_come_out(place):
    wav, truth = perform(place, "scale-c-major", "faulty", "--seed", "5", "--crook", "Eb", "--fault", "flat@A4", "--fault", "missed@E4*0.5",
                         "--fault", "wrong-partial@G4", "--fault", "attack-flat@B4")
    table = judged(place, "scale-c-major", wav, "--crook", "Eb")
    put_in, told = collections.Counter(), collections.Counter()
    for row in truth:
        put_in.update((row["step"], fault) for fault in row["faults"].split())
    for row in table:
        told.update((row["step"], fault) for fault in row["verdict"].split() if fault not in ("good", "extra"))
    assert {fault for _, fault in put_in} == {"flat", "missed", "wrong-partial", "attack-flat"}, put_in
    for (step, fault), count in put_in.items():
        assert told[step, fault] >= count, (step, fault, told)
    named = {fault for _, fault in put_in}
    wrong = sum(count for (step, fault), count in told.items() if fault in named and (step, fault) not in put_in)
    assert wrong == 0, told - put_in
    print(f"faults put in: {dict(put_in)}; all told, none of these kinds elsewhere")


def an_exercise_on_two_crooks(place):
    done = place.run("drill", "air-on-two-crooks", "--show")
    assert done.returncode == 0, done
    parts = []
    for crook, seed in (("F", "6"), ("Eb", "7")):
        parts.append(perform(place, "evening-air", crook, "--crook", crook, "--seed", seed)[0])
    both = place.file("both.wav")
    import wave
    with wave.open(both, "wb") as out:
        for i, part in enumerate(parts):
            with wave.open(part) as piece:
                if i == 0:
                    out.setparams(piece.getparams())
                out.writeframes(piece.readframes(piece.getnframes()))
                out.writeframes(bytes(piece.getsampwidth() * piece.getframerate() * 4))
    table = judged(place, "air-on-two-crooks", both, "--tempo", "76")
    crooks = [row["crook"] for row in table]
    notes = len(table) // 2
    assert notes >= 20, table
    assert crooks == ["F"] * notes + ["Eb"] * notes, crooks
    good = sum(row["verdict"] == "good" for row in table)
    assert good >= 0.9 * len(table), [row for row in table if row["verdict"] != "good"]
    print(f"one tune on two crooks: {good} of {len(table)} good")


def what_does_not_work_is_said(place):
    wav = place.file("good.wav")
    for arguments, part in ((["drill"], "Say which exercise"), (["drill", "evening-are", "--input", wav], 'nearest name is "evening-air"'),
                            (["drill", "evening-air"], "--input FILE"), (["drill", "evening-air", "--input", wav, "--crook", "C"], "alto or basso"),
                            (["drill", "evening-air", "--input", wav, "--measure", "loud"], "measure")):
        done = place.run(*arguments)
        assert done.returncode == 2 and part in done.stderr and done.stderr.count("\n") == 1, (arguments, done)
    for arguments in (["drill", "evening-air", "--input", place.file("nothing.wav")], ["drill", place.file("nothing.json"), "--show"]):
        done = place.run(*arguments)
        assert done.returncode == 1 and done.stderr.count("\n") == 1, (arguments, done)
    print("what does not work is said in one sentence")


def main():
    with Place() as place:
        lists(place)
        shows_and_reads_back(place)
        a_good_performance(place)
        tolerances_are_the_players(place)
        faults_come_out(place)
        an_exercise_on_two_crooks(place)
        what_does_not_work_is_said(place)


main()
