#!/usr/bin/env bash
# Starts every screen on a display without a screen, with the demo player, and writes a PNG of each.
#   tests/screens.sh [--size WxH] [--scale S] [--dark] [--only NAME] OUT_DIR
# --size   of the display and the window, default 1280x800
# --scale  of all type, 0.75 to 3, default 1
# --only   one screen, or several with commas between: practice today run rest progress log homework compose review lesson sides chart bench changes called judged hand balance figures closing closed waiting input crook pitch temperament sound help about files start part played asked
# Needs Xvfb, xdotool and ImageMagick; exit code 77 when one of them is missing.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=${BELLHAND:-$here/../build/release/bellhand}
size=1280x800
scale=1
dark=no
only=
out=
while [ $# -gt 0 ]; do
    case $1 in
        --size) size=$2; shift 2 ;;
        --scale) scale=$2; shift 2 ;;
        --dark) dark=yes; shift ;;
        --only) only=$2; shift 2 ;;
        -*) sed -n '2,7p' "$0" >&2; exit 2 ;;
        *) out=$1; shift ;;
    esac
done
[ -n "$out" ] || { sed -n '2,7p' "$0" >&2; exit 2; }
for tool in Xvfb xdotool import; do
    command -v "$tool" >/dev/null || { echo "skipped: $tool is not installed"; exit 77; }
done
mkdir -p "$out"
out=$(cd "$out" && pwd)
width=${size%x*}
height=${size#*x}

home=$(mktemp -d)
server=
window=
finish() {
    [ -z "$window" ] || kill "$window" 2>/dev/null || true
    [ -z "$window" ] || wait "$window" 2>/dev/null || true
    [ -z "$server" ] || kill "$server" 2>/dev/null || true
    [ -z "$server" ] || wait "$server" 2>/dev/null || true
    rm -rf "$home"
}
trap finish EXIT
# A home of its own: no settings, log or sound server of the person who runs this.
export HOME=$home XDG_DATA_HOME=$home/data XDG_CONFIG_HOME=$home/config XDG_RUNTIME_DIR=$home/run
mkdir -p "$XDG_RUNTIME_DIR" && chmod 700 "$XDG_RUNTIME_DIR"

# A server that goes takes the socket of its number with it, so that no two tests that run at once share a number; and one that
# starts anew when its last caller leaves refuses whoever calls meanwhile, so that it must not.
export DISPLAY=":$((1000 + $$ % 50000))"
Xvfb "$DISPLAY" -screen 0 "${size}x24" -nolisten tcp -noreset >"$home/server.txt" 2>&1 &
server=$!
for _ in $(seq 600); do
    xdotool getdisplaygeometry >/dev/null 2>&1 && break
    kill -0 "$server" 2>/dev/null || { cat "$home/server.txt" >&2; echo "the display did not start" >&2; exit 1; }
    sleep 0.05
done

start() { # options of the program
    "$program" "$@" --log "$home/log.sqlite" >/dev/null 2>"$home/window.txt" &
    window=$!
    local found=
    for _ in $(seq 1200); do
        found=$(xdotool search --onlyvisible --name '^Bellhand$' 2>/dev/null | head -1) || true
        [ -n "$found" ] && break
        kill -0 "$window" 2>/dev/null || { cat "$home/window.txt" >&2; echo "the program ended before its window was there" >&2; exit 1; }
        sleep 0.05
    done
    [ -n "$found" ] || { cat "$home/window.txt" "$home/server.txt" >&2; echo "no window appeared" >&2; exit 1; }
    xdotool windowsize "$found" "$width" "$height" windowmove "$found" 0 0 windowfocus "$found"
    xdotool mousemove $((width - 1)) $((height - 1))
    sleep 0.6
    scale_type
    if [ "$dark" = yes ]; then
        keys d
    fi
}

# Each step of the type scale is a tenth.
scale_type() {
    local steps
    steps=$(awk -v s="$scale" 'BEGIN { printf "%d", log(s) / log(1.1) + (s >= 1 ? 0.5 : -0.5) }')
    while [ "$steps" -gt 0 ]; do keys ctrl+plus; steps=$((steps - 1)); done
    while [ "$steps" -lt 0 ]; do keys ctrl+minus; steps=$((steps + 1)); done
}

keys() {
    for key in "$@"; do
        xdotool key "$key"
        sleep 0.08
    done
}

stop() {
    keys ctrl+q
    for _ in $(seq 100); do
        kill -0 "$window" 2>/dev/null || break
        sleep 0.05
    done
    local code=0
    wait "$window" || code=$?
    window=
    [ "$code" = 0 ] || { cat "$home/window.txt" >&2; echo "the program ended with $code" >&2; exit 1; }
}

shoot() { # name
    sleep 0.4
    import -window root "$out/$1.png"
    echo "$out/$1.png"
}

wanted() { [ -z "$only" ] || [[ ",$only," == *",$1,"* ]]; }

if wanted today || wanted run || wanted rest || wanted log || wanted progress || wanted homework || wanted compose || wanted practice || wanted lesson || wanted chart || wanted bench || wanted changes || wanted called || wanted judged || wanted hand || wanted balance || wanted figures || wanted crook || wanted pitch || wanted temperament || wanted sound || wanted help || wanted about || wanted input || wanted files; then
    start --demo --crook F --a4 440
    sleep 5
    wanted practice && shoot practice
    if wanted today; then keys 5; sleep 0.4; shoot today; keys 1; fi
    if wanted run || wanted rest; then
        keys 5 space; sleep 4
        wanted run && shoot run
        if wanted rest; then keys Next; sleep 0.4; shoot rest; fi
        keys Escape 1
    fi
    if wanted progress; then keys 6; sleep 0.4; shoot progress; keys 1; fi
    if wanted log; then keys 7; sleep 0.4; shoot log; keys 1; fi
    if wanted homework; then
        "$program" homework new --title "The hand placed first" --teacher "A teacher" --student "A student" --due 2027-01-15 \
            --words "Place the hand, breathe, then play. Listen to the low D before you close." --exercise evening-air \
            --exercise scale-c-major:1-2 --crook Eb --times 2 --out "$home/week.hornwork" >/dev/null
        keys i
        xdotool type --delay 10 "$home/week.hornwork"
        keys Return; sleep 0.4; shoot homework; keys 1
    fi
    if wanted compose; then
        keys 0 n e
        xdotool type --delay 10 "evening air"
        keys Down Return e
        xdotool type --delay 10 "c major"
        keys Return Right Down Left; sleep 0.6; shoot compose; keys Escape Escape 1
    fi
    if wanted chart; then keys 3; sleep 0.4; shoot chart; keys 1; fi
    if wanted bench; then keys 4; sleep 0.4; shoot bench; keys 1; fi
    if wanted changes || wanted called || wanted judged; then
        keys 4 Tab Left; sleep 0.6
        wanted changes && shoot changes
        # The third number: something stands on the horn, and there is a rest.
        keys Return Next space Next space 3; sleep 1
        wanted called && shoot called
        keys Return; sleep 0.6
        wanted judged && shoot judged
        keys Escape Escape Escape 1
    fi
    if wanted hand; then keys 8; sleep 0.4; shoot hand; keys 1; fi
    if wanted balance; then keys 8 Return; sleep 0.4; shoot balance; keys 1; fi
    if wanted figures; then keys 8 q; sleep 0.6; shoot figures; keys Escape 1; fi
    if wanted lesson; then keys 2; sleep 1; shoot lesson; keys 1; fi
    for sheet in crook:c pitch:a temperament:t sound:o help:F1 about:v input:i files:ctrl+o; do
        if wanted "${sheet%:*}"; then
            keys "${sheet#*:}"
            sleep 0.3
            shoot "${sheet%:*}"
            keys Escape
        fi
    done
    stop
fi
if wanted sides; then
    # The same exercise on both sides of a call: here from a file, there by the demo player, some seconds later.
    "$program" demo "$home/teacher.wav" --crook F --seed 3 >/dev/null
    start --input "$home/teacher.wav" --crook F --a4 440
    keys i; sleep 0.6
    keys Tab Escape 2; sleep 6
    shoot sides
    stop
fi
if wanted part || wanted asked || wanted played; then
    cp "$here/../assets/parts/the_ferryman.musicxml" "$here/../assets/parts/two_at_the_gate.musicxml" "$home"
    start "$home/the_ferryman.musicxml" --demo --a4 440
    sleep 1
    if wanted part; then keys Down Down Right; sleep 0.4; shoot part; fi
    if wanted played; then
        keys Home Return; sleep 4; shoot played
        keys Escape; sleep 0.4
    fi
    if wanted asked; then
        keys ctrl+o
        xdotool type --delay 10 "$home/two_at_the_gate.musicxml"
        keys Return; sleep 0.4; shoot asked
    fi
    stop
fi
if wanted review; then
    # What a lesson of thirteen seconds with one note too low leaves, given back from the command line.
    "$program" homework new --title "The open chord" --student "A student" --exercise open-chord --crook Eb --a4 430 --repetitions 1 \
        --out "$home/chord.hornwork" >"$home/made.txt"
    identity=$(sed 's/.*homework \([^,]*\),.*/\1/' "$home/made.txt")
    "$(dirname "$program")/tests/make_performance" open-chord "$home/chord.wav" --crook Eb --a4 430 --seed 5 --fault flat@G4
    "$program" homework open "$home/chord.hornwork" --log "$home/student.sqlite" >/dev/null
    "$program" today --run --minutes 1 --input "$home/chord.wav" --log "$home/student.sqlite" >/dev/null
    "$program" homework return "$identity" --words "The G is hard to place." --out "$home/back.hornwork" --log "$home/student.sqlite" >/dev/null
    start --demo --crook F --a4 440
    keys i
    xdotool type --delay 10 "$home/back.hornwork"
    keys Return; sleep 1
    keys Down Return Down w
    xdotool type --delay 10 "Listen before you place the hand."
    keys Return; sleep 0.6; shoot review
    stop
fi
if wanted closing || wanted closed; then
    # Partial 6 of the F horn, held open for a second and closed over four: once under way, once measured.
    PYTHONPATH="$here/support" python3 - "$home/closing.wav" <<'SOUND'
import sys
from played_tones import RATE, add_tone, save
samples = [0.0] * (3 * RATE)
add_tone(samples, 261.92, 6.5, lambda t: -216 * min(1.0, max(0.0, (t - 1.2) / 3.8)) ** 0.8)
save(sys.argv[1], samples + [0.0] * RATE)
SOUND
    start --input "$home/closing.wav" --crook F --a4 440
    keys 9
    sleep 5.5
    wanted closing && shoot closing
    sleep 5
    wanted closed && shoot closed
    stop
fi
if wanted waiting; then
    start --device "a microphone that is not there"
    sleep 1
    shoot waiting
    stop
fi
if wanted start; then
    rm -f "$XDG_CONFIG_HOME/bellhand/settings.json" # nothing was ever chosen
    start
    sleep 1
    shoot start
    stop
fi
