# windows_installed.sh SETUP.exe: installs it under a fresh Wine, starts it, opens a homework file by its association and removes it; what stays of
# the computer's files and registry must be what was there before, and the user's log.
set -euo pipefail
setup=$1
wine=/usr/lib/wine/wine64
home=$(mktemp -d)
trap 'WINEPREFIX=$home/wine "$(dirname $wine)/wineserver64" -k 2>/dev/null || true; rm -rf "$home"' EXIT
export WINEPREFIX=$home/wine WINEDEBUG=-all WINEARCH=win64 WINEDLLOVERRIDES="mscoree,mshtml,winemenubuilder.exe=" HOME=$home
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
"$wine" "$installed/bellhand.exe" homework new --title T --exercise open-chord --crook F --a4 440 --repetitions 2 --out "$folder/week.hornwork" </dev/null
opened=$($wine reg query 'HKCU\Software\Classes\Bellhand.Homework\shell\open\command' /ve 2>/dev/null | tr -d '\r' | grep -a bellhandw)
echo "a double click runs:$opened"
$wine "$installed/uninstall.exe" /S
for _ in $(seq 100); do [ -e "$installed" ] || break; sleep 0.2; done
rm -r "$folder"
files >"$home/after.txt"
left=$(diff "$home/before.txt" "$home/after.txt" | grep '^>' | grep -viE 'AppData/(Local|Roaming)$|Microsoft' || true)
[ -z "$left" ] || { echo "files stay: $left"; exit 1; }
stay=$(keys after)
[ -z "$stay" ] || { echo "keys stay: $stay"; exit 1; }
echo "nothing stays"
