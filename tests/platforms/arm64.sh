# Unit tests of the core modules for 64-bit ARM under qemu: see tests/platforms.sh. Wants no ARM packages: only modules whose libraries are
# headers, and KissFFT from its source package. What is compiled, and in which groups, is asked of a configured build.
. "$ROOT/tests/platforms/said.sh"
cd "$ROOT"
need aarch64-linux-gnu-g++ g++-aarch64-linux-gnu
need qemu-aarch64-static qemu-user-static
top=$ROOT/build/platforms/arm64
mkdir -p "$top/include/kissfft" "$top/objects"
if [ ! -e "$top/kissfft.done" ]; then
    release=$(. /etc/os-release && echo "$VERSION_CODENAME")
    mkdir -p "$top/apt/lists/partial"
    echo "deb-src http://deb.debian.org/debian $release main" >"$top/apt/sources.list"
    own="-q -o Dir::Etc::SourceList=$top/apt/sources.list -o Dir::Etc::SourceParts=/dev/null -o Dir::State::Lists=$top/apt/lists"
    apt-get $own update >"$top/apt.txt" 2>&1
    (cd "$top" && apt-get $own source --download-only kissfft >>apt.txt 2>&1 && dpkg-source --no-check -x kissfft_*.dsc >/dev/null 2>&1)
    cp "$top"/kissfft-*/*.h "$top/include/kissfft/"
    for file in kiss_fft kiss_fftr; do aarch64-linux-gnu-gcc -O2 -Dkiss_fft_scalar=float -c "$top"/kissfft-*/$file.c -o "$top/$file.o"; done
    touch "$top/kissfft.done"
fi
# A helper of the tests can use sound files and is never asked to here: its header is enough, and functions that refuse.
for name in open close command readf_float writef_float; do printf '#include <stdlib.h>\nvoid sf_%s(void) { abort(); }\n' $name; done >"$top/no_sound_files.c"
aarch64-linux-gnu-gcc -O2 -c "$top/no_sound_files.c" -o "$top/no_sound_files.o"
for name in tl doctest nlohmann sndfile.h; do ln -sfn "/usr/include/$name" "$top/include/$name"; done
cmake --preset release -B "$top/asked" -DBELLHAND_UNITY=ON -DBELLHAND_UNITY_FILES=0 >"$top/configure.txt" 2>&1 || { tail -n 20 "$top/configure.txt"; exit 1; }
python3 - "$top" "$ROOT" >"$top/build.ninja" <<'P'
import json
import os
import re
import sys

top, root = sys.argv[1:]
modules = ("core", "dsp", "pitch", "bleed", "horn", "hand", "trainer")
tests = ("core", "dsp", "pitch", "horn")
flags = f'-std=c++20 -O2 -Wall -Wextra -Wno-subobject-linkage -I{root} -I{root}/src -I{root}/tests -isystem {top}/include -isystem {top}/include/kissfft -Dkiss_fft_scalar=float'
print(f"rule cc\n  command = aarch64-linux-gnu-g++ {flags} $more -MD -MF $out.d -c $in -o $out\n  depfile = $out.d")
print("rule ar\n  command = rm -f $out && aarch64-linux-gnu-ar rcs $out $in\nrule link\n  command = aarch64-linux-gnu-g++ $in no_sound_files.o -o $out -lpthread")
objects = {}
for unit in json.load(open(f"{top}/asked/compile_commands.json")):
    file = unit["file"]
    target = re.search(r"CMakeFiles/([^/ ]+)\.dir/", unit["output"] if "output" in unit else unit["command"].split(" -o ")[1]).group(1)
    support = target == "bellhand_test_support" and re.search(r"/(signals|signals_disturb|model_hand|alloc_guard_posix|environment_posix)\.cpp$", file)
    if not (target in {f"bellhand_{m}" for m in modules} | {f"unit_{t}" for t in tests} | {"bellhand_test_main"} or support):
        continue
    object_ = f"objects/{target}_{re.sub('[^a-z0-9]', '_', os.path.relpath(file, root))}.o"
    more = " ".join(re.findall(r'-DBELLHAND_\w+=\S+', unit["command"]))
    print(f"build {object_}: cc {file}\n  more = {more}")
    objects.setdefault(target, []).append(object_)
synth = []
for name in ("audio/synth", "audio/synth_feed", "audio/horn_spectrum", "audio/synth_player", "audio/paced_source", "tests/unit/audio/synth_test"):
    synth.append(f"objects/{name.replace('/', '_')}.o")
    print(f"build {synth[-1]}: cc {root}/{name}.cpp")
print("build modules.a: ar " + " ".join(sum((objects.get(f"bellhand_{m}", []) for m in modules), []) + ["kiss_fft.o", "kiss_fftr.o"]))
shared = objects["bellhand_test_main"] + objects["bellhand_test_support"]
for test in tests:
    print(f"build unit_{test}: link {' '.join(objects['unit_' + test] + shared)} modules.a")
print(f"build unit_synth: link {' '.join(synth + objects['bellhand_test_main'])} modules.a")
P
ninja -C "$top" -j "$JOBS" -k 0 || true
for one in core dsp pitch horn synth; do
    if [ ! -x "$top/unit_$one" ]; then fail "unit_$one: not built"; continue; fi
    if BELLHAND_ROOT=$ROOT qemu-aarch64-static -L /usr/aarch64-linux-gnu "$top/unit_$one" >"$top/unit_$one.txt" 2>&1; then
        pass "unit_$one: $(grep 'test cases' "$top/unit_$one.txt" | tail -n 1)"
    else
        fail "unit_$one: see $top/unit_$one.txt"
    fi
done
skip "modules with libraries beyond headers (log, sound files, window): no ARM packages here"
finish
