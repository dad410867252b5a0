"""Nothing is left undone in the sources, and every exception from a check says why."""
import os
import re
import sys

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
os.chdir(root)
UNDONE = re.compile(r"\b(TO" r"DO|FIX" r"ME|XX" r"X|HA" r"CK)\b")
BARE = re.compile(r"NOLINT(?:NEXTLINE|(?!NEXTLINE))(?!\([\w.,\- *]+\): \S)")
bad, seen = [], 0
for folder in ("src", "audio", "gui", "tests", "third_party"):
    for base, _, files in os.walk(folder):
        for file in files:
            if not file.endswith((".h", ".cpp", ".py", ".sh", ".cmake", ".txt")) or file == "words.py":
                continue
            seen += 1
            path = os.path.join(base, file)
            for number, line in enumerate(open(path, encoding="utf-8"), 1):
                if UNDONE.search(line):
                    bad.append(f"{path}:{number}: left undone: {line.strip()}")
                if "NOLINT" in line and BARE.search(line):
                    bad.append(f"{path}:{number}: an exception without its check and reason: {line.strip()}")
print("\n".join(bad))
print(f"{seen} files, {len(bad)} findings")
sys.exit(1 if bad or seen == 0 else 0)
