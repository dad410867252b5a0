#!/usr/bin/env python3
"""Do the unit tests notice when a rule changes? Small changes of meaning, one at a time, each against its module's unit tests.

    tests/mutants/run.py                        60 changes over the core modules
    tests/mutants/run.py --seed 7 --count 20    other changes
    tests/mutants/run.py --module trainer       of one module
    tests/mutants/run.py --list                 only say what would be changed
    tests/mutants/run.py --build build/debug    with another finished build

The changes are drawn by a seed from the code of the modules, in turns, so that every module gets its share. Nothing is changed in the
tree or its build: what the changed file is compiled with (itself, or its group) is compiled anew without optimisation, and the module's
unit tests are linked with it in place of the original. A change that does not compile is drawn again. A change that cannot be told from
the original by any test is named in equivalent.txt with the reason, and drawn again too. Leaves with 1 when fewer than nine in ten are
killed."""
import argparse
import json
import os
import random
import re
import shlex
import subprocess
import sys
import tempfile
import time

ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
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


def programs(module):
    """Unit test programs of a module: unit_horn and unit_horn_acoustics for horn."""
    folder = os.path.join(ROOT, "tests", "unit")
    return sorted("unit_" + name for name in os.listdir(folder) if name == module or name.startswith(module + "_"))


class Bench:
    """A finished build, whose unit tests are linked anew with one object in place of another."""

    def __init__(self, build, folder):
        self.build, self.folder = os.path.abspath(build), folder
        with open(os.path.join(self.build, "compile_commands.json"), encoding="utf-8") as file:
            self.commands = {}
            for entry in json.load(file):
                self.commands.setdefault(os.path.normpath(os.path.join(entry["directory"], entry["file"])), entry)
        self.groups = {}  # the file that the compiler reads for a file of ours
        for read in self.commands:
            for inner in re.findall(r'#include "([^"]+)"', self.text(read)) if "/Unity/" in read else []:
                self.groups.setdefault(inner, read)
        self.environment = {**os.environ, "BELLHAND_ROOT": ROOT, "BELLHAND_BUILD": self.build, "BELLHAND": os.path.join(self.build, "bellhand")}

    @staticmethod
    def text(path):
        with open(path, encoding="utf-8") as file:
            return file.read()

    def built(self, targets):
        return subprocess.run(["cmake", "--build", self.build, "-j2", "--target", *targets]).returncode == 0

    def compiled(self, path, changed):
        """The object with `changed` as the text of the file at `path`; None when the compiler refuses it."""
        full = os.path.join(ROOT, path)
        read = self.groups.get(full, full)
        source, changed_file = os.path.join(self.folder, "group.cpp"), os.path.join(self.folder, "changed.cpp")
        with open(changed_file, "w", encoding="utf-8") as file:
            file.write(changed)
        with open(source, "w", encoding="utf-8") as file:
            file.write(self.text(read).replace(f'"{full}"', f'"{changed_file}"') if read != full else changed)
        entry = self.commands[read]
        words = [word for word in shlex.split(entry["command"]) if not re.fullmatch(r"-O\d|-g\d?", word) and os.path.basename(word) != "ccache"]
        words[words.index("-o") + 1] = os.path.join(self.folder, "changed.o")
        words[words.index("-c") + 1] = source
        done = subprocess.run([*words, "-O0"], cwd=entry["directory"], capture_output=True)
        return os.path.join(self.folder, "changed.o") if done.returncode == 0 else None

    def linked(self, program, instead):
        """The program with an object before the libraries: what it defines is not taken from them."""
        told = subprocess.run(["ninja", "-C", self.build, "-t", "commands", "-s", f"tests/{program}"], capture_output=True, text=True, check=True).stdout
        words = shlex.split(next(line for line in reversed(told.splitlines()) if f" -o tests/{program} " in line).strip(": &"))
        out = words.index("-o")
        words[out + 1:out + 2] = [os.path.join(self.folder, program), *instead]
        subprocess.run(words, cwd=self.build, check=True, capture_output=True)
        return os.path.join(self.folder, program)

    def passes(self, module, patience_s, instead=()):
        for program in programs(module):
            try:
                done = subprocess.run([self.linked(program, instead), "--abort-after=1"], cwd=self.folder, env=self.environment, capture_output=True,
                                      timeout=patience_s)
            except subprocess.TimeoutExpired:
                return False
            if done.returncode not in (0, 77):
                return False
        return True


def main():
    options = argparse.ArgumentParser(description="Changes the meaning of the code and sees whether unit tests notice.")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=60)
    options.add_argument("--module", action="append", help="only this one (may be given again)")
    options.add_argument("--list", action="store_true", help="only say what would be changed")
    options.add_argument("--skip", type=int, default=0, help="pass over so many changes first, to go on with a run")
    options.add_argument("--build", default=os.path.join(ROOT, "build", "release"), help="a finished build with tests")
    typed = options.parse_args()
    modules = typed.module or [module for module in MODULES if sources(module) and programs(module)]
    row = draw(modules, typed.seed)
    for _ in range(typed.skip):
        next(row)
    if typed.list:
        for _, (module, path, line, text) in zip(range(typed.count), row):
            print(f"{path}:{line + 1}: {text.strip()}")
        return 0
    with tempfile.TemporaryDirectory(prefix="bellhand-mutants-") as folder:
        return tried(Bench(typed.build, folder), modules, row, typed)


def tried(bench, modules, row, typed):
    """Makes the changes of the row, one at a time, and counts those that are noticed."""
    if not bench.built([program for module in modules for program in programs(module)]):
        return 1
    known, patience_s = equivalents(), {}
    for module in modules:
        begun = time.monotonic()
        if not bench.passes(module, 600):
            print(f"The unit tests of {module} fail without any change.")
            return 1
        patience_s[module] = max(30.0, 5.0 * (time.monotonic() - begun))

    killed, survived, drawn = 0, [], typed.skip
    for module, path, line, text in row:
        if killed + len(survived) == typed.count:
            break
        drawn += 1
        lines = bench.text(os.path.join(ROOT, path)).split("\n")
        before, lines[line] = lines[line], text
        where = f"{path}:{line + 1}: {before.strip()}  ->  {text.strip()}"
        if (path, before.strip(), text.strip()) in known:
            print("equivalent", where, f"({known[path, before.strip(), text.strip()]})", flush=True)
            continue
        changed = bench.compiled(path, "\n".join(lines))
        if changed is None:
            continue  # the compiler noticed: that says nothing about the tests
        noticed = not bench.passes(module, patience_s[module], [changed])
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
