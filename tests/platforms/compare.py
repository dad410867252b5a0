"""compare.py ONE OTHER [CENTS]: two outputs of one command on two systems. Lines and words must be equal; numbers that are not written alike
may differ by another C library's mathematics: frequencies and cents by CENTS (0.01), all others by one in the last digit written, or 0.002 where a
column is a share (0 to 1)."""
import math
import re
import sys

limit_cents = float(sys.argv[3]) if len(sys.argv) > 3 else 0.01
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
SHARE = 0.002


def lines(path):
    return open(path, encoding="utf-8", newline="").read().split("\n")


def column(heads, cells, index):
    return heads[index] if len(heads) == len(cells) else ""


worst = {"cents": 0.0, "share": 0.0}
one, other = lines(sys.argv[1]), lines(sys.argv[2])
if len(one) != len(other):
    sys.exit(f"{len(one)} lines and {len(other)}")
heads = one[0].split(",")
for number, (a, b) in enumerate(zip(one, other), 1):
    if a == b:
        continue
    left, right = a.split(","), b.split(",")
    if len(left) != len(right):
        sys.exit(f"line {number}: {a!r} and {b!r}")
    for index, (x, y) in enumerate(zip(left, right)):
        if x == y:
            continue
        if NUMBER.sub("#", x) != NUMBER.sub("#", y):
            sys.exit(f"line {number}: {x!r} and {y!r}")
        name = column(heads, left, index)
        for p, q in zip(NUMBER.findall(x), NUMBER.findall(y)):
            u, v = float(p), float(q)
            digits = len(p.partition(".")[2])
            if "hz" in name and u > 0 and v > 0:
                cents = abs(1200 * math.log2(u / v))
                worst["cents"] = max(worst["cents"], cents)
                if cents > limit_cents:
                    sys.exit(f"line {number}, {name}: {p} and {q} are {cents:.4f} cents apart")
            elif name.endswith("cents"):
                worst["cents"] = max(worst["cents"], abs(u - v))
                if abs(u - v) > limit_cents:
                    sys.exit(f"line {number}, {name}: {p} and {q}")
            elif abs(u - v) > max(1.01 * 10.0 ** -digits, SHARE if 0 <= u <= 1 and 0 <= v <= 1 else 0.0):
                sys.exit(f"line {number}, {name}: {p} and {q}")
            else:
                worst["share"] = max(worst["share"], abs(u - v))
print(f"{len(one)} lines, at most {worst['cents']:.5f} cents apart")
