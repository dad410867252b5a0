"""The crook-change drill in the window, heard through a real sound server: the first change of tonight's set list mounted rightly, the
second with one coupler too much; one open note each, played into the virtual microphone."""
import json
import os
import shutil
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from crook_changes import HORN, SETS, answer, changes_in, written_c4_hz  # noqa: E402
from played_tones import RATE, add_tone, save  # noqa: E402
from program import Place  # noqa: E402
from virtual_microphone import SoundServer, end, fail, need_tools, skip  # noqa: E402
from window import Display, Window, wait_for  # noqa: E402


def tone(place, name, hz):
    path = place.file(name)
    samples = [0.0] * (RATE // 2)
    add_tone(samples, hz, 2.5)
    save(path, samples + [0.0] * (RATE // 2))
    return path


def main():
    need_tools()
    for tool in ("Xvfb", "xdotool"):
        if shutil.which(tool) is None:
            skip(f"{tool} is not installed")
    with Place() as place, Display() as display, tempfile.TemporaryDirectory(prefix="bellhand-changes-") as folder:
        first, second = answer(place, "setlist", SETS, "--profile", HORN)["numbers"][:2]
        too_much = next(one["name"] for one in json.load(open(HORN, encoding="utf-8"))["couplers"] if one["name"] not in second["pieces"])
        right = tone(place, "right.wav", written_c4_hz(place, first, first["pieces"]))
        wrong = tone(place, "wrong.wav", written_c4_hz(place, second, second["pieces"] + [too_much]))
        log = place.file("log.sqlite")
        server, player = SoundServer(folder), None
        server.start()
        place.env.update(server.env)
        try:
            with Window(display, place, "--device", "default", "--profile", HORN, "--log", log) as window:
                if not server.wait_for_listener(30):
                    fail("the program does not listen to the sound server")
                window.open(SETS)
                window.keys("Down", "Right", "Return")
                player = server.play(right)
                heard = wait_for("the first horn is in the log", lambda: changes_in(log))
                assert heard[0]["stands"] == "in_key" and heard[0]["correct"] == 1, heard
                player.wait(10)
                window.keys("space")
                player = server.play(wrong)
                heard = wait_for("the second horn is in the log", lambda: changes_in(log)[1:])
                assert heard[0]["stands"] == "wrong" and heard[0]["correct"] == 0, heard
                assert too_much in heard[0]["verdict"], (too_much, heard)
                print(heard[0]["verdict"])
        finally:
            end(player)
            server.kill()


main()
