"""The crook-change drill in the window, by keys alone, on tonight's set list: the first change named by its pieces; then mounted and
played, a recording made here standing for the microphone: the first horn is put together rightly, the second has one coupler too
much. What was heard is in the log, and the piece that is wrong is named."""
import json
import os
import shutil
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from crook_changes import HORN, SETS, answer, changes_in, written_c4_hz  # noqa: E402
from played_tones import RATE, add_tone, save  # noqa: E402
from program import Place  # noqa: E402
from window import Display, Window, wait_for  # noqa: E402


def recording(place, right_hz, wrong_hz):
    """A note four seconds after the first call, another twenty-two seconds after it."""
    path = place.file("mounted.wav")
    samples = [0.0] * (4 * RATE)
    add_tone(samples, right_hz, 2.5)
    samples += [0.0] * (22 * RATE - len(samples))
    add_tone(samples, wrong_hz, 2.5)
    save(path, samples + [0.0] * (4 * RATE))
    return path


def main():
    for tool in ("Xvfb", "xdotool"):
        if shutil.which(tool) is None:
            print(f"skipped: {tool} is not installed")
            sys.exit(77)
    with Place() as place, Display() as display:
        numbers = answer(place, "setlist", SETS, "--profile", HORN)["numbers"]
        first, second = numbers[0], numbers[1]
        all_pieces = json.load(open(HORN, encoding="utf-8"))
        couplers = [one["name"] for one in all_pieces["couplers"]]
        names = [one["name"] for one in all_pieces["master_crooks"]] + couplers + [one["name"] for one in all_pieces["bits"]]
        too_much = next(name for name in couplers if name not in second["pieces"])
        wav = recording(place, written_c4_hz(place, first, first["pieces"]), written_c4_hz(place, second, second["pieces"] + [too_much]))
        log = place.file("log.sqlite")
        with Window(display, place, "--input", wav, "--profile", HORN, "--log", log) as window:
            window.open(SETS)
            window.keys("Return")
            window.keys(*[str((names.index(piece) + 1) % 10) for piece in first["pieces"] if names.index(piece) < 10])
            for piece in first["pieces"]:
                if names.index(piece) >= 10:
                    window.keys("Home", *["Down"] * names.index(piece), "space")
            window.keys("Return")
            said = wait_for("what was named is in the log", lambda: changes_in(log))
            assert len(said) == 1 and said[0]["correct"] == 1 and said[0]["stands"] is None, said
            assert said[0]["item"] == first["name"] and set(said[0]["pieces_said"].split(" + ")) == set(first["pieces"]), said
            # The same evening, mounted and played.
            window.keys("Escape", "Escape", "Down", "Right", "Return")
            heard = wait_for("the first horn is in the log", lambda: changes_in(log)[1:])
            assert heard[0]["stands"] == "in_key" and heard[0]["correct"] == 1, heard
            assert 2.0 < heard[0]["change_s"] < 6.0, heard
            window.keys("space")
            heard = wait_for("the second horn is in the log", lambda: changes_in(log)[2:])
            assert heard[0]["stands"] == "wrong" and heard[0]["correct"] == 0, heard
            assert too_much in heard[0]["verdict"], (too_much, heard)
            assert heard[0]["item"] == second["name"] and "The Drowned Bell" in heard[0]["set_list"], heard
            time.sleep(0.5)
        listed = answer(place, "log", "list", "--log", log)
        drills = [one for one in listed if one["input"].startswith("crook changes: ")]
        assert len(drills) == 2, listed
        # Notes of a horn that may be put together wrongly teach the log nothing of the player.
        assert all(one["notes"] == 0 for one in drills), drills
        rows = answer(place, "log", "export", "--log", log)["crook_changes"]
        assert [row["right"] for row in rows] == [True, True, False], rows
        print(f"named in {said[0]['change_s']:.1f} s; heard: {heard[0]['verdict']}")


main()
