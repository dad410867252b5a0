#!/usr/bin/env python3
"""Do the unit tests notice when a rule changes? Small changes of meaning, one at a time, each against its module's unit tests.

    tests/mutants/run.py                        60 changes over the core modules
    tests/mutants/run.py --seed 7 --count 20    other changes
    tests/mutants/run.py --module trainer       of one module
    tests/mutants/run.py --list                 only say what would be changed
    tests/mutants/run.py --here build/release   in this tree and a finished build of it: for a clone that nobody works in

The changes are drawn by a seed from the code of the modules, in turns, so that every module gets its share. They are made in a copy of
the tree (build/mutants), which is built once; then each change costs one compilation, one link and the module's unit tests. A change
that does not compile is drawn again. A change that cannot be told from the original by any test is named in equivalent.txt with the
reason, and drawn again too. Leaves with 1 when fewer than nine in ten are killed."""
import argparse
import os
import random
import re
import shutil
import subprocess
import sys
import time

ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
COPY = os.path.join(ROOT, "build", "mutants")
BUILD = os.path.join(COPY, "build", "release")
MODULES = ["core", "datafile", "dsp", "pitch", "horn", "hand", "trainer", "drill", "skill", "instrument", "homework", "logbook", "progress"]
# pattern -> replacements, on a line without its strings and comments; binary operators stand between spaces (clang-format sees to it).
# Whether a bound belongs to a range means something for counts only: of measured numbers none lies on it.
COUNT = r"(?=\d+\b(?![.'])|[\w.>-]*(?:size|count|length)\b)"
CHANGES = [
    (r" < ", [" >= "]), (r" <= ", [" > "]), (r" > ", [" <= "]), (r" >= ", [" < "]),
    (r" < " + COUNT, [" <= "]), (r" <= " + COUNT, [" < "]), (r" > " + COUNT, [" >= "]), (r" >= " + COUNT, [" > "]),
    (r" == ", [" != "]), (r" != ", [" == "]), (r" && ", [" || "]), (r" \|\| ", [" && "]),
    (r"(?<=[\w)\]]) \+ (?=[\w(*&-])", [" - "]), (r"(?<=[\w)\]]) - (?=[\w(*&-])", [" + "]),
    (r"(?<=[\w)\]]) \* (?=[\w(&-])", [" / "]), (r"(?<=[\w)\]]) / (?=[\w(&-])", [" * "]),
    (r" \+= ", [" -= "]), (r" -= ", [" += "]),
    (r"\btrue\b", ["false"]), (r"\bfalse\b", ["true"]), (r"(?<=[ (])!(?=[a-z(*])", [""]),
    (r"\bstd::min\(", ["std::max("]), (r"\bstd::max\(", ["std::min("]),
]
CONSTANT = re.compile(r"\bconstexpr (?:double|float|int|std::size_t|std::uint\d+_t|auto) k\w+ = (-?[\d.']+)(?=;)")
# Lines without a rule in them.
SKIP = re.compile(r"^\s*(#|//|///|\*|using |namespace |template|static_assert|friend |case |default:|struct |class |enum )|operator|assert\(")


def code_of(line):
    """The line with strings, characters and comments blanked, same length."""
    blank = lambda m: " " * len(m.group(0))
    line = re.sub(r'"(?:[^"\\]|\\.)*"', lambda m: '"' + " " * (len(m.group(0)) - 2) + '"', line)
    line = re.sub(r"'(?:[^'\\]|\\.)'", blank, line)
    return re.sub(r"//.*$", blank, line)


def changes_of(path):
    """Every change of one file: (line number, new line)."""
    found = []
    for number, line in enumerate(open(os.path.join(ROOT, path), encoding="utf-8").read().split("\n")):
        code = code_of(line)
        if SKIP.search(code):
            continue
        for pattern, replacements in CHANGES:
            for match in re.finditer(pattern, code):
                for replacement in replacements:
                    found.append((number, line[:match.start()] + replacement + line[match.end():]))
        constant = CONSTANT.search(code)
        if constant:
            value = constant.group(1)
            for factor in (0.5, 2):
                number_value = float(value.replace("'", "")) * factor
                text = repr(number_value) if "." in value else str(round(number_value))
                if text != value:
                    found.append((number, line[:constant.start(1)] + text + line[constant.end(1):]))
    return found


def sources(module):
    """The files of a module that are compiled on this system."""
    out = []
    for base, _, files in os.walk(os.path.join(ROOT, "src", module)):
        out += [os.path.relpath(os.path.join(base, file), ROOT) for file in files if re.search(r"(?<!_windows)(?<!_macos)\.cpp$", file)]
    return sorted(out)


def draw(modules, seed):
    """An endless row of changes, the modules in turns."""
    chance = random.Random(seed)
    pools = {module: [(path, *change) for path in sources(module) for change in changes_of(path)] for module in modules}
    for pool in pools.values():
        chance.shuffle(pool)
    while any(pools.values()):
        for module in modules:
            if pools[module]:
                yield (module, *pools[module].pop())


def equivalents():
    """{(path, original line, changed line)} of equivalent.txt: three lines and a reason, blocks parted by an empty line."""
    known = {}
    with open(os.path.join(os.path.dirname(__file__), "equivalent.txt"), encoding="utf-8") as file:
        blocks = re.sub(r"^#.*\n", "", file.read(), flags=re.M).strip().split("\n\n")
    for block in filter(None, blocks):
        path, before, after, why = block.split("\n", 3)
        known[path.strip(), before.strip(), after.strip()] = why.strip()
    return known


def copy_tree():
    """What git knows of and what is new, as it is now; files that did not change keep their time, so that little is built."""
    names = subprocess.run(["git", "ls-files", "-co", "--exclude-standard", "-z"], cwd=ROOT, capture_output=True, check=True).stdout.decode().split("\0")
    wanted = set(filter(None, names))
    for name in sorted(wanted):
        source, target = os.path.join(ROOT, name), os.path.join(COPY, name)
        if not os.path.isfile(source):
            continue
        if os.path.exists(target) and open(source, "rb").read() == open(target, "rb").read():
            continue
        os.makedirs(os.path.dirname(target), exist_ok=True)
        shutil.copyfile(source, target)
    for base, folders, files in os.walk(COPY):
        folders[:] = [folder for folder in folders if os.path.join(base, folder) != os.path.join(COPY, "build")]
        for file in files:
            if os.path.relpath(os.path.join(base, file), COPY) not in wanted:
                os.remove(os.path.join(base, file))


def build(targets, quiet=True):
    return subprocess.run(["cmake", "--build", BUILD, "-j1", "--target", *targets], capture_output=quiet, text=True).returncode == 0


def programs(module):
    """Unit test programs of a module: unit_horn and unit_horn_acoustics for horn."""
    folder = os.path.join(ROOT, "tests", "unit")
    return sorted("unit_" + name for name in os.listdir(folder) if name == module or name.startswith(module + "_"))


def passes(module, patience_s):
    environment = {**os.environ, "BELLHAND_ROOT": COPY, "BELLHAND_BUILD": BUILD, "BELLHAND": os.path.join(BUILD, "bellhand")}
    for program in programs(module):
        try:
            done = subprocess.run([os.path.join(BUILD, "tests", program), "--abort-after=1"], cwd=os.path.join(BUILD, "tests"), env=environment,
                                  capture_output=True, timeout=patience_s)
        except subprocess.TimeoutExpired:
            return False
        if done.returncode not in (0, 77):
            return False
    return True


def main():
    global COPY, BUILD
    options = argparse.ArgumentParser(description="Changes the meaning of the code and sees whether unit tests notice.")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=60)
    options.add_argument("--module", action="append", help="only this one (may be given again)")
    options.add_argument("--list", action="store_true", help="only say what would be changed")
    options.add_argument("--skip", type=int, default=0, help="pass over so many changes first, to go on with a run")
    options.add_argument("--here", metavar="BUILD", help="change this tree, and build in this finished build of it, instead of a copy")
    typed = options.parse_args()
    modules = typed.module or [module for module in MODULES if sources(module) and programs(module)]

    known = equivalents()
    if typed.here:
        COPY, BUILD = ROOT, os.path.abspath(typed.here)
    elif not typed.list:
        copy_tree()
    row = draw(modules, typed.seed)
    for _ in range(typed.skip):
        next(row)
    if typed.list:
        for _, (module, path, line, text) in zip(range(typed.count), row):
            print(f"{path}:{line + 1}: {text.strip()}")
        return 0

    if not typed.here:
        subprocess.run(["cmake", "--preset", "release", "-DBELLHAND_TESTS=ON"], cwd=COPY, check=True, capture_output=True)
    print("Building the unit tests of", ", ".join(modules), "once ...", flush=True)
    if not build([program for module in modules for program in programs(module)], quiet=False):
        return 1
    patience_s = {}
    for module in modules:
        begun = time.monotonic()
        if not passes(module, 600):
            print(f"The unit tests of {module} fail without any change.")
            return 1
        patience_s[module] = max(30.0, 10.0 * (time.monotonic() - begun))

    killed, survived, drawn = 0, [], typed.skip
    for module, path, line, text in row:
        if killed + len(survived) == typed.count:
            break
        drawn += 1
        target = os.path.join(COPY, path)
        with open(target, encoding="utf-8") as file:
            original = file.read()
        lines = original.split("\n")
        before, lines[line] = lines[line], text
        where = f"{path}:{line + 1}: {before.strip()}  ->  {text.strip()}"
        if (path, before.strip(), text.strip()) in known:
            print("equivalent", where, f"({known[path, before.strip(), text.strip()]})", flush=True)
            continue
        with open(target, "w", encoding="utf-8") as file:
            file.write("\n".join(lines))
        try:
            if not build(programs(module)):
                continue  # the compiler noticed: that says nothing about the tests
            noticed = not passes(module, patience_s[module])
        finally:
            with open(target, "w", encoding="utf-8") as file:
                file.write(original)
        killed += noticed
        if not noticed:
            survived.append(where)
        print("killed    " if noticed else "SURVIVED  ", where, flush=True)
    total = killed + len(survived)
    print(f"\nSeed {typed.seed}: {killed} of {total} killed ({100 * killed / max(total, 1):.0f} %), {drawn} drawn.")
    for where in survived:
        print("  survived", where)
    return 0 if killed >= 0.9 * total else 1


if __name__ == "__main__":
    sys.exit(main())
