# windows_installed.sh SETUP.exe: installs it under a fresh Wine, starts it, opens a homework file by its association and removes it; what stays of
# the computer's files and registry must be what was there before, and the user's log.
set -euo pipefail
setup=$1
wine=/usr/lib/wine/wine64
home=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server"; WINEPREFIX=$home/wine "$(dirname $wine)/wineserver64" -k 2>/dev/null || true; rm -rf "$home"' EXIT
export WINEPREFIX=$home/wine WINEDEBUG=-all WINEARCH=win64 WINEDLLOVERRIDES="mscoree,mshtml,winemenubuilder.exe=" HOME=$home
# Wine's desktop is made when its first program starts, and stays without a screen if there was none then.
if command -v Xvfb >/dev/null && command -v xdotool >/dev/null; then
    export DISPLAY=":$((1000 + $$ % 50000))"
    Xvfb "$DISPLAY" -screen 0 1280x800x24 -nolisten tcp -noreset >/dev/null 2>&1 &
    server=$!
    for _ in $(seq 200); do xdotool getdisplaygeometry >/dev/null 2>&1 && break; sleep 0.05; done
fi
$wine wineboot --init >/dev/null 2>&1
files() { (cd "$WINEPREFIX/drive_c" && find . -type f -o -type d | grep -viE '/(temp|logs|windows/(installer|prefetch))(/|$)' | sort); }
keys() { $wine reg export 'HKCU\Software' "Z:$home/$1.reg" /y >/dev/null 2>&1 && tr -d '\0\r' <"$home/$1.reg" | grep -aiE 'bellhand|hornwork' || true; }
files >"$home/before.txt"
$wine "$setup" /S
installed=$(find "$WINEPREFIX/drive_c" -name bellhand.exe -printf '%h\n' | head -n 1)
[ -n "$installed" ] || { echo "nothing was installed"; exit 1; }
"$wine" "$installed/bellhand.exe" --version </dev/null
[ "$(keys installed | wc -l)" -gt 5 ] || { echo "the associations are missing"; exit 1; }
folder="$WINEPREFIX/drive_c/users/$(id -un)/Größe ♭"
mkdir -p "$folder"
"$wine" "$installed/bellhand.exe" homework new --title Übung --exercise open-chord --crook F --a4 440 --repetitions 2 --out "$folder/week.hornwork" </dev/null
opened=$($wine reg query 'HKCU\Software\Classes\Bellhand.Homework\shell\open\command' /ve 2>/dev/null | tr -d '\r' | grep -a bellhandw)
echo "a double click runs:$opened"
# What a double click does: the shell is asked to open the file, and finds the program by itself.
data="$WINEPREFIX/drive_c/users/$(id -un)/AppData/Local/Bellhand"
if [ -n "$server" ]; then
    # Windows shows what this user's classes add among everybody's; this Wine does not: there they are put for that moment.
    for class in .hornwork Bellhand.Homework; do $wine reg copy "HKCU\\Software\\Classes\\$class" "HKCR\\$class" /s /f >/dev/null; done
    $wine start /unix "$folder/week.hornwork" >/dev/null 2>&1 &
    shown=
    for _ in $(seq 600); do
        shown=$(xdotool search --onlyvisible --name '^Bellhand$' 2>/dev/null | head -n 1) || true
        [ -n "$shown" ] && break
        sleep 0.2
    done
    [ -n "$shown" ] || { echo "no window opened"; exit 1; }
    for _ in $(seq 120); do # until something is drawn in it
        sleep 0.5
        import -window root "$home/drawn.png"
        [ "$(convert "$home/drawn.png" -format %k info:)" -gt 50 ] && break
    done
    [ -z "${2:-}" ] || cp "$home/drawn.png" "$2"
    for _ in $(seq 100); do
        xdotool windowfocus "$shown" key ctrl+q 2>/dev/null || break
        sleep 0.3
    done
    for class in .hornwork Bellhand.Homework; do $wine reg delete "HKCR\\$class" /f >/dev/null; done
    taken=$(python3 -c 'import sqlite3, sys; print(*[row[0] for row in sqlite3.connect(sys.argv[1]).execute("SELECT title FROM homework")])' "$data/log.sqlite")
    [ "$taken" = Übung ] || { echo "the homework is not in the log: $taken"; exit 1; }
    echo "double-clicked, it is in the log"
else
    echo "not double-clicked: Xvfb or xdotool is missing"
fi
$wine "$installed/uninstall.exe" /S
for _ in $(seq 100); do [ -e "$installed" ] || break; sleep 0.2; done
rm -r "$folder"
files >"$home/after.txt"
left=$(diff "$home/before.txt" "$home/after.txt" | grep '^>' | grep -viE 'AppData/(Local|Roaming)$|AppData/(Local|Roaming)/Bellhand(/|$)|Microsoft' || true)
[ -z "$left" ] || { echo "files stay: $left"; exit 1; }
stay=$(keys after)
[ -z "$stay" ] || { echo "keys stay: $stay"; exit 1; }
[ -z "$server" ] || [ -s "$data/log.sqlite" ] || { echo "the log went with the program: $(find "$WINEPREFIX/drive_c/users" -name 'log*')"; exit 1; }
echo "nothing stays but the user's own files"
