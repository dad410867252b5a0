#!/usr/bin/env python3
"""Every function that a header declares is called by the program: what only tests call is listed here with its reason."""
import collections
import os
import re
import subprocess
import sys

ROOT = os.environ.get("BELLHAND_ROOT") or os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
# What tests and tools need that the program does not.
FOR_TESTS = {
    "src/desk/keys.h": {"letter_meanings": "one meaning a letter is held by keys_test"},
    "src/desk/model/lesson.h": {"echoes": "counted by lesson_sides_test"},
    "src/desk/pages/homework_page.h": {"draft_waits": "seen by homework_page_test"},
    "src/dsp/a_weighting.h": {"a_weighting_db": "the standard's formula, which the filter is held against"},
    "src/hand/hand_colour.h": {
        "hand_colour_text": "writes assets/hand (tests/bench/learn_hand_colour.cpp)",
        "trait_name": "names a trait in hand_positions_test",
    },
    "src/horn/acoustics/line.h": {"segment_matrix": "held against the wave equation in line_test"},
    "src/horn/acoustics/natural_horn.h": {"hand_tables": "writes the table of modelled falls (tests/bench/make_hand_table.cpp)"},
    "src/part/plan/costs.h": {"cost_table": "every cost has a source and a test"},
    "src/part/plan/phrase.h": {"phrase_score": "the plan is held against all others in plan_test"},
    "src/progress/progress.h": {"note_maps": "timed apart by tests/bench/long_log_bench.cpp"},
}
DECLARED = re.compile(r"^\s*(?:\[\[nodiscard\]\]\s*)?(?:[\w:<>,*&]+\s+)*?[*&]?([a-z_]\w*)\(", re.M)
NO_NAMES = {"if", "for", "while", "switch", "return", "sizeof", "static_assert", "operator", "alignas", "decltype"}


def code_of(text):
    text = re.sub(r"//.*", "", text)
    return re.sub(r'"(?:[^"\\\n]|\\.)*"', '""', text)


def main():
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard", "src", "audio", "gui"], cwd=ROOT, capture_output=True, text=True, check=True)
    files = [name for name in listed.stdout.split() if name.endswith((".h", ".cpp", ".in")) and os.path.isfile(os.path.join(ROOT, name))]
    codes = {}
    for name in files:
        with open(os.path.join(ROOT, name), encoding="utf-8") as file:
            codes[name] = code_of(file.read())
    places = collections.defaultdict(collections.Counter)
    for name, code in codes.items():
        for word in re.findall(r"[A-Za-z_]\w*", code):
            places[word][name] += 1
    unused = []
    for header in filter(lambda name: name.endswith(".h"), files):
        own = header[:-2] + ".cpp"
        for name in sorted(set(DECLARED.findall(codes[header])) - NO_NAMES):
            where = places[name]
            # A declaration and its definition, and nothing else anywhere.
            lonely = set(where) <= {header, own} and where[header] == 1 and where[own] <= 1
            if lonely and name not in FOR_TESTS.get(header, {}):
                unused.append(f"{header}: nothing calls {name}()")
    for header, names in FOR_TESTS.items():
        for name in names:
            if places[name][header] == 0:
                unused.append(f"tests/lint/unused.py: {header} has no {name}() any more")
    for line in unused:
        print(line)
    return 1 if unused else 0


if __name__ == "__main__":
    sys.exit(main())
