"""Tonight's crook changes as tests need them: the demo horn and set list, what a stack of pieces sounds, and what the log keeps."""
import json
import os
import sqlite3

from program import ROOT

HORN = os.path.join(ROOT, "assets", "instruments", "demo_coupler_horn.json")
SETS = os.path.join(ROOT, "assets", "setlists", "demo_opera.json")
COLUMNS = "crook, item, pieces_said, stands, correct, verdict, change_s, set_list"


def changes_in(log):
    if not os.path.exists(log):
        return []
    book = sqlite3.connect(f"file:{log}?mode=ro", uri=True)
    try:
        return [dict(zip(COLUMNS.split(", "), row)) for row in
                book.execute(f"SELECT {COLUMNS} FROM crook_change ORDER BY session_id, number")]
    except sqlite3.OperationalError:
        return []  # still being set up
    finally:
        book.close()


def answer(place, *arguments):
    done = place.run(*arguments, "--format", "json")
    assert done.returncode == 0, (arguments, done.stderr)
    return json.loads(done.stdout)["answer"]


def written_c4_hz(place, number, pieces):
    """Partial 4 of these pieces with the slide where the number has it, at its pitch and in its air."""
    made = answer(place, "crooks", "--profile", HORN, "--a4", "430", "--temperature", "24",
                  "--pieces", ", ".join(pieces), "--slide", str(1000 * number["slide_m"]))
    return next(row["hz"] for row in made if row["partial"] == 4)
