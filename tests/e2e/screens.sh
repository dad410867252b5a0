#!/usr/bin/env bash
# Every screen comes up on a bare display with the demo player, and something different is on each.
set -euo pipefail
root=${BELLHAND_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
code=0
# Most of the time is waiting: what needs a program of its own is looked at beside the rest.
bash "$root/tests/screens.sh" --size 1280x800 --only sides,part,asked,played,review,closing,closed,waiting,start "$out" >"$out/others.txt" 2>&1 &
others=$!
bash "$root/tests/screens.sh" --size 1280x800 \
    --only practice,today,run,rest,progress,log,homework,compose,lesson,chart,bench,changes,called,judged,hand,balance,figures,crook,pitch,temperament,sound,help,about,input,files \
    "$out" >"$out/names.txt" || code=$?
wait "$others" || code=$?
cat "$out/others.txt" >>"$out/names.txt"
if [ "$code" != 0 ]; then
    cat "$out/names.txt"
    exit "$code"
fi
failed=no
for name in practice today run rest progress log homework compose review lesson sides chart bench changes called judged hand balance figures closing closed crook pitch temperament sound help about input files start waiting part played asked; do
    file=$out/$name.png
    if [ ! -s "$file" ]; then
        echo "$name: no picture"
        failed=yes
        continue
    fi
    size=$(identify -format '%wx%h' "$file")
    colours=$(identify -format '%k' "$file")
    echo "$name: $size, $colours colours"
    [ "$size" = 1280x800 ] || { echo "$name: not the size asked for"; failed=yes; }
    [ "$colours" -ge 20 ] || { echo "$name: next to nothing is drawn"; failed=yes; }
done
[ "$(cd "$out" && md5sum ./*.png | cut -d' ' -f1 | sort -u | wc -l)" = 34 ] || { echo "two screens look the same"; failed=yes; }
[ "$failed" = no ]
