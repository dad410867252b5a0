# Packages for Debian, made on each release and installed where nothing is: see tests/platforms.sh. Needs root (chroot).
# Folders: build/platforms/RELEASE-made (with compilers), RELEASE-bare (fresh). The figures at the end begin at nothing and end
# with the picture.
. "$ROOT/tests/platforms/said.sh"
cd "$ROOT"
need debootstrap debootstrap
need Xvfb xvfb
need import imagemagick
[ "$(id -u)" = 0 ] || { echo "skipped: only root can make a chroot"; exit 77; }
[ "${IN_OWN_MOUNTS:-}" ] || IN_OWN_MOUNTS=1 exec unshare --mount bash "$0" "$@"
top=$ROOT/build/platforms
mkdir -p "$top"
case ${1:-} in
    12) releases=bookworm ;;
    13) releases=trixie ;;
    *) releases="bookworm trixie" ;;
esac
seconds() { echo $(($(date +%s) - $1)); }
inside() { # inside FOLDER COMMAND...: with a home of its own
    local folder=$1
    shift
    # The package is built after the program: what both compile alike comes from the compiler's cache, which begins empty.
    chroot "$folder" env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin DEBIAN_FRONTEND=noninteractive ${DISPLAY:+DISPLAY=$DISPLAY} \
        CMAKE_BUILD_PARALLEL_LEVEL="$JOBS" CCACHE_BASEDIR=/bellhand CCACHE_NOHASHDIR=1 "$@"
}
bare() { # bare RELEASE FOLDER: the smallest system there is
    [ -d "$top/$1" ] || { debootstrap --variant=minbase "$1" "$top/$1.new" >"$top/$1.txt" && mv "$top/$1.new" "$top/$1"; }
    umount "$2/proc" "$2/dev" 2>/dev/null || true
    rm -rf --one-file-system "${2:?}"
    cp -a "$top/$1" "$2"
    mount --bind /proc "$2/proc"
    mount --bind /dev "$2/dev"
}
install() { # install FOLDER PACKAGES...: $fetched tells the seconds of the download
    local folder=$1 from
    shift
    from=$(date +%s)
    inside "$folder" sh -c 'apt-get update -q && apt-get install -q -y --no-install-recommends --download-only "$@"' sh "$@" || return 1
    fetched=$(seconds "$from")
    inside "$folder" apt-get install -q -y --no-install-recommends "$@"
}
sources() { # the tree as it stands, without what is built
    mkdir -p "$1"
    git ls-files -z --cached --others --exclude-standard | tar --null -T - --ignore-failed-read -cf - 2>/dev/null | tar -C "$1" -xf -
    (cd "$1" && git init -q . && git add -A && git -c user.name=x -c user.email=x@example.org -c core.hooksPath=/dev/null commit -qm tree)
}
display() { # a screen without a screen, reached over the loopback
    exec 4>"$top/display"
    Xvfb -displayfd 4 -screen 0 1280x800x24 -listen tcp -ac >"$top/xvfb.txt" 2>&1 &
    server=$!
    exec 4>&-
    for _ in $(seq 100); do read -r number <"$top/display" && break; sleep 0.1; done
    export DISPLAY=127.0.0.1:$number
}
trap '[ -z "${server:-}" ] || kill "$server"' EXIT
end_all_in() { # end_all_in FOLDER: what was started there, and nothing else on this machine
    local one
    for one in /proc/[0-9]*; do
        [ "$(readlink "$one/root" 2>/dev/null)" = "$1" ] && kill "${one#/proc/}" 2>/dev/null
    done
    true
}
picture() { # picture FOLDER FILE PROGRAM ARGUMENTS...: until the window is drawn; PATIENCE says for how many seconds
    local folder=$1 file=$2
    shift 2
    inside "$folder" "$@" >"$file.txt" 2>&1 &
    local program=$! found=
    for _ in $(seq $((5 * ${PATIENCE:-60}))); do
        kill -0 "$program" 2>/dev/null || break
        found=$(xdotool search --onlyvisible --name '^Bellhand$' 2>/dev/null | head -n 1) || true
        [ -n "$found" ] && break
        sleep 0.2
    done
    rm -f "$file"
    for _ in $(seq 60); do # until something is drawn in it
        [ -n "$found" ] && sleep 0.5 && import -window root "$file" && [ "$(convert "$file" -format %k info:)" -gt 50 ] && break
        rm -f "$file"
    done
    end_all_in "$folder"
    wait "$program" 2>/dev/null || true
    [ -s "$file" ]
}

display
for release in $releases; do
    made=$top/$release-made empty=$top/$release-bare out=$top/$release-out
    mkdir -p "$out"
    # The .deb and the portable folder, made on this release from the sources.
    if [ -z "${PACKAGES:-}" ]; then
        bare "$release" "$made"
        sources "$made/repository"
        begun=$(date +%s)
        inside "$made" sh -c 'apt-get update -q && apt-get install -q -y --no-install-recommends git ca-certificates && git clone -q /repository /bellhand' >"$out/git.txt" 2>&1
        if PATIENCE=3600 picture "$made" "$out/source.png" sh -c 'cd /bellhand && sh third_party/setup.sh demo'; then
            pass "$release: sources, from nothing to the picture in $(seconds "$begun") s ($(grep -h 'installed in' "$out/source.png.txt" | head -n 1) $(grep -h '^Built in' "$out/source.png.txt"))"
        else
            tail -n 20 "$out/source.png.txt"
            fail "$release: sources"
        fi
        begun=$(date +%s)
        inside "$made" sh -c 'cd /bellhand && sh third_party/setup.sh package' >"$out/package.txt" 2>&1 || { tail -n 20 "$out/package.txt"; fail "$release: packages"; continue; }
        cp "$made"/bellhand/build/package/bellhand_*.deb "$made"/bellhand/build/package/bellhand_*.tar.xz "$out/"
        pass "$release: packages made after that in $(seconds "$begun") s"
    fi
    deb=$(ls "$out"/bellhand_*.deb)

    # Installed on a bare system.
    begun=$(date +%s)
    bare "$release" "$empty"
    cp "$deb" "$empty/tmp/bellhand.deb"
    inside "$empty" sh -c 'find / -xdev \( -type f -o -type l \) | sort' >"$out/before.txt"
    begun=$(date +%s)
    install "$empty" /tmp/bellhand.deb >"$out/install.txt" 2>&1 || { tail -n 20 "$out/install.txt"; fail "$release: installation"; continue; }
    if picture "$empty" "$out/demo.png" /usr/bin/bellhand --demo; then
        pass "$release: .deb, from nothing to the picture in $(seconds "$begun") s, $fetched s of it for the download"
    else
        fail "$release: demo window"
    fi
    inside "$empty" sh -c 'cd /root && bellhand demo demo.wav --seed 3 && bellhand trace demo.wav --crook F --out trace.csv && bellhand chart --crook F --format pdf --out chart.pdf &&
        bellhand homework new --title T --exercise open-chord --crook F --a4 440 --repetitions 2 --out week.hornwork' >"$out/commands.txt" 2>&1 && pass "$release: demo, trace, chart, homework" || fail "$release: commands"
    if [ -n "${BELLHAND:-}" ]; then
        BELLHAND_ASSETS=$ROOT/assets "$BELLHAND" trace "$empty/root/demo.wav" --crook F --out "$out/trace.here.csv"
        check "$release: trace as here: $(python3 tests/platforms/compare.py "$out/trace.here.csv" "$empty/root/trace.csv" 2>&1)" python3 tests/platforms/compare.py "$out/trace.here.csv" "$empty/root/trace.csv"
    fi
    check "$release: the chart is a PDF" sh -c "head -c 4 '$empty/root/chart.pdf' | grep -q %PDF"
    inside "$empty" apt-get install -q -y --no-install-recommends xdg-utils libglib2.0-bin shared-mime-info desktop-file-utils >"$out/xdg.txt" 2>&1
    kind=$(inside "$empty" env XDG_CURRENT_DESKTOP=GNOME xdg-mime query filetype /root/week.hornwork)
    handler=$(inside "$empty" env XDG_CURRENT_DESKTOP=GNOME xdg-mime query default application/x-hornwork)
    check "$release: a homework file is $kind, opened by $handler" test "$kind $handler" = "application/x-hornwork org.bellhand.Bellhand.desktop"
    check "$release: double-clicked homework" picture "$empty" "$out/homework.png" /usr/bin/env XDG_CURRENT_DESKTOP=GNOME sh -c 'xdg-open /root/week.hornwork; sleep 60'
    inside "$empty" sh -c 'apt-get install -q -y --no-install-recommends bash-completion zsh fish' >"$out/shells.txt" 2>&1 || true
    check "$release: completion in bash" inside "$empty" bash -c '. /usr/share/bash-completion/bash_completion; _comp_load bellhand 2>/dev/null || _completion_loader bellhand; complete -p bellhand'
    check "$release: completion in zsh" inside "$empty" zsh -c 'autoload -Uz compinit && compinit -u -d /tmp/z && (( $+_comps[bellhand] ))'
    check "$release: completion in fish" inside "$empty" fish -c 'complete -C "bellhand tra" | string match -q "trace*"'
    inside "$empty" sh -c 'dpkg -L bellhand | while read -r one; do [ -f "$one" ] && echo "$one"; done' >"$out/owned.txt"
    inside "$empty" apt-get purge -q -y bellhand >"$out/purge.txt" 2>&1
    left=$(while read -r one; do [ -e "$empty$one" ] && echo "$one"; done <"$out/owned.txt") || true
    left="$left$(inside "$empty" find / -xdev -iname '*bellhand*' -not -path '/root/*' -not -path '/tmp/*')"
    check "$release: removal leaves only the user's data ${left:+($left)}" test -z "$left"
    check "$release: the user's data stays" test -d "$empty/root/.local/share/bellhand"

    # The portable folder on a system that has what a desktop has.
    tarball=$(ls "$out"/bellhand_*.tar.xz)
    begun=$(date +%s)
    bare "$release" "$empty"
    begun=$(date +%s)
    install "$empty" libgl1 libopengl0 libgl1-mesa-dri libasound2-plugins libfontconfig1 libx11-6 libxext6 libstdc++6 xz-utils libxcursor1 libxrandr2 libxinerama1 libxi6 >"$out/desktop.txt" 2>&1
    desktop=$(seconds "$begun")
    tar -C "$empty/opt" -xJf "$tarball"
    folder=/opt/$(basename "$tarball" .tar.xz)
    if picture "$empty" "$out/portable.png" "$folder/bin/bellhand" --demo; then
        pass "$release: portable folder, from nothing to the picture in $(seconds "$begun") s, $desktop s of it for what a desktop has ($fetched s for the download)"
    else
        fail "$release: portable folder: $(tail -n 2 "$out/portable.png.txt")"
    fi
done
skip "other distributions: no chroot of them at hand"
finish
