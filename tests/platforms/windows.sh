# Windows by Wine: see tests/platforms.sh. Wine is not Windows: real devices, real fonts of the system, code signing and
# scanners for viruses are not seen here.
. "$ROOT/tests/platforms/said.sh"
cd "$ROOT"
wine=/usr/lib/wine/wine64
need x86_64-w64-mingw32-g++-posix g++-mingw-w64-x86-64-posix
need $wine wine64
need makensis nsis
linux=${BELLHAND:-$ROOT/build/release/bellhand}
[ -x "$linux" ] || { echo "build the release preset first: its outputs are compared with"; exit 1; }
top=$ROOT/build/windows
given=${BELLHAND_SHARED:-$ROOT/../shared}
mkdir -p "$top"
# The assets as they are packed, for programs that were built elsewhere than where they stand.
rm -rf "$top/assets"
cp -r "$ROOT/assets" "$top/assets"
sh third_party/packaging/fonts.sh "$top/assets/fonts"
export BELLHAND_ASSETS=$top/assets

sh third_party/windows/libraries.sh "$top"
cmake --preset windows -DBELLHAND_TESTS=ON >"$top/configure.txt" 2>&1 || { tail -n 30 "$top/configure.txt"; exit 1; }
cmake --build --preset windows -j "$JOBS" --target bellhand bellhandw
cmake --build --preset windows -j "$JOBS" -- -k 0 >"$top/tests.txt" 2>&1 || true # a unit test that cannot be built is told below

# The program as any other, for tests that start one: it becomes the Windows process, so that a signal reaches it.
export WINEPREFIX=$top/wine WINEDEBUG=-all WINEARCH=win64 WINEPATH="$(echo "Z:$top/prefix/bin" | tr / '\\')" WINEDLLOVERRIDES="mscoree,mshtml,winemenubuilder.exe="
[ -e "$WINEPREFIX/system.reg" ] || $wine wineboot --init >/dev/null 2>&1
program=$top/program/bellhand.exe
cat > "$top/bellhand" <<W
#!/bin/sh
export WINEPREFIX='$WINEPREFIX' WINEDEBUG=-all WINEPATH='$WINEPATH' WINEDLLOVERRIDES='$WINEDLLOVERRIDES'
exec $wine '$program' "\$@"
W
chmod +x "$top/bellhand"
out=$top/out
rm -rf "$out"
mkdir -p "$out"

# 1. Unit tests, each program by itself. A case that cannot hold under Wine is named in windows_known.txt with its reason.
for folder in tests/unit/*/; do
    name=unit_$(basename "$folder")
    test=$top/program/tests/$name.exe
    [ -e "$test" ] || { fail "$name: not built, see $top/tests.txt"; continue; }
    known=$(awk -F'|' -v name="$name" '!/^#/ && $1 ~ "^ *" name " *$" { gsub(/^ +| +$/, "", $2); printf "%s%s", sep, $2; sep = "," }' tests/platforms/windows_known.txt)
    if timeout 600 $wine "$test" ${known:+"--test-case-exclude=$known"} >"$out/$name.txt" 2>&1 </dev/null; then
        pass "$name: $(grep -a 'test cases' "$out/$name.txt" | tr -d '\r' | tail -n 1)"
    else
        fail "$name: see $out/$name.txt"
    fi
done
while IFS='|' read -r name case why; do skip "${name// /}: $case:$why"; done < <(grep -v '^#' tests/platforms/windows_known.txt | grep .)

# 2. What the commands say is what they say on Linux.
same() { # same NAME ARGUMENTS...
    local name=$1
    shift
    "$linux" "$@" >"$out/$name.linux" 2>"$out/$name.linux.err" || true
    "$top/bellhand" "$@" >"$out/$name.windows" 2>"$out/$name.windows.err" </dev/null || true
    if said=$(python3 tests/platforms/compare.py "$out/$name.linux" "$out/$name.windows" 2>&1); then pass "$name: $said"; else fail "$name: $said"; fi
}
same crooks crooks
same advise advise C4 E4 G4 C5 --format csv
same drills drill --list
same build build --key F --profile assets/instruments/demo_coupler_horn.json
same chart chart --crook F
same bore bore --crook F --format csv
if [ -d "$given/audio/given" ]; then
    for recording in "$given"/audio/given/*.flac; do same "trace of $(basename "$recording")" trace "$recording"; done
else
    skip "trace of given recordings: there are none beside the project"
fi
"$linux" demo "$out/demo.linux.wav" --seed 3 && "$top/bellhand" demo "$out/demo.windows.wav" --seed 3 </dev/null
check "the demo player's sound is the same to the last bit" cmp "$out/demo.linux.wav" "$out/demo.windows.wav"
for format in svg pdf; do
    "$top/bellhand" chart --crook F --format $format --out "$out/chart.$format" </dev/null || true
    check "chart as $format" test -s "$out/chart.$format"
done

# 3. A folder beyond ASCII, and files that go from one system to the other and back.
folder="$out/Größe ♭"
mkdir -p "$folder"
"$top/bellhand" homework new --title "Übung" --exercise open-chord --crook F --a4 440 --repetitions 2 --out "$folder/week ♭.hornwork" </dev/null >"$out/new.txt" 2>&1 || true
check "homework made on Windows is read on Linux" "$linux" homework show "$folder/week ♭.hornwork"
"$linux" homework new --title "Übung" --exercise open-chord --crook F --a4 440 --repetitions 2 --out "$folder/linux.hornwork" >/dev/null
check "homework made on Linux is read on Windows" "$top/bellhand" homework show "$folder/linux.hornwork" </dev/null
"$top/bellhand" --text --demo --seconds 8 --log "$folder/log.sqlite" </dev/null >/dev/null 2>&1 || true
check "a log in a folder beyond ASCII" test -s "$folder/log.sqlite"
check "... is read on Linux" "$linux" log --log "$folder/log.sqlite"
"$top/bellhand" log --format csv --log "$folder/log.sqlite" </dev/null >"$out/log.csv" 2>/dev/null || true
check "CSV has line feeds alone" sh -c "test -s '$out/log.csv' && ! grep -q $'\r' '$out/log.csv'"

# 4. Tests that start the program, on this one, in folders beyond ASCII: logs, takes and homework, killed and taken up again.
export BELLHAND_PLACES="Größe ♭ "
for test in bad_input own_files cli kill take_kill homework homework_interrupted horn_commands log_commands chart_command bore_command part_command drill_command; do
    if [ ! -x "$ROOT/build/release/tests/make_performance" ] && [ $test = take_kill ]; then skip "$test: make_performance is not built"; continue; fi
    known=$(awk -F'|' -v name="$test" '!/^#/ && $1 ~ "^ *e2e_" name " *$" { print $3 }' tests/platforms/windows_known.txt)
    if [ -n "$known" ]; then continue; fi
    code=0
    BELLHAND=$top/bellhand BELLHAND_ROOT=$ROOT BELLHAND_BUILD=$ROOT/build/release BELLHAND_KILLS=3 timeout 900 python3 tests/e2e/$test.py >"$out/$test.txt" 2>&1 || code=$?
    if [ $code = 0 ]; then pass "$test: $(tail -n 1 "$out/$test.txt")"; elif [ $code = 77 ]; then skip "$test: $(tail -n 1 "$out/$test.txt")"; else fail "$test: see $out/$test.txt"; fi
done

# 5. Installed, a homework file opened by its association, removed.
check "installer and zip" env JOBS="$JOBS" sh third_party/setup.sh windows
check "installed, opened and removed, nothing left" bash tests/platforms/windows_installed.sh "$(ls "$top"/package/*-setup.exe)" "$out/double_click.png"
# 6. Pictures of every page, of the program as it is packed: with its fonts.
sed "s#/program/bellhand.exe#/stage/bellhand.exe#" "$top/bellhand" >"$top/bellhand-packed"
chmod +x "$top/bellhand-packed"
mkdir -p "$top/tests"
ln -sfn "$ROOT/build/release/tests/make_performance" "$top/tests/make_performance" # what the pictures are played by
if command -v Xvfb >/dev/null && command -v xdotool >/dev/null; then
    check "pictures of every page" env BELLHAND="$top/bellhand-packed" bash tests/screens.sh "$out/screens"
else
    skip "pictures: Xvfb or xdotool is missing"
fi

skip "real devices by WASAPI and what outputs play (loopback): Wine has no sound card here; unseen"
skip "real Windows, code signing: unseen"
finish
