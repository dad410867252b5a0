#!/usr/bin/env python3
"""No file of code is longer than 450 lines: what is longer is two things."""
import os
import subprocess
import sys

ROOT = os.environ.get("BELLHAND_ROOT") or os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
MOST = 450


def main():
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True)
    long = []
    for name in listed.stdout.split("\n"):
        if name.endswith((".h", ".cpp", ".py", ".sh", ".cmake")) and os.path.isfile(os.path.join(ROOT, name)):
            with open(os.path.join(ROOT, name), encoding="utf-8") as file:
                lines = sum(1 for _ in file)
            if lines > MOST:
                long.append(f"{name}: {lines} lines, {MOST} at most")
    for line in long:
        print(line)
    return 1 if long else 0


if __name__ == "__main__":
    sys.exit(main())
