#!/bin/sh
# Installs what Bellhand needs from Debian packages, then builds.
#   sh third_party/setup.sh              packages only
#   sh third_party/setup.sh demo         ... and build, then start on the demo player (window, or text without a display)
#   sh third_party/setup.sh test         ... and build, then run the whole test suite
#   sh third_party/setup.sh package      ... and build, then make a .deb and a portable folder in build/package
#   sh third_party/setup.sh windows      ... and build for 64-bit Windows, libraries too, then make an installer and a zip in build/windows/package
#   sh third_party/setup.sh develop      packages for formatting, sanitizers, fuzzers and benchmarks too
# Safe to run again: what is there already is left alone.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(dirname "$here")
wish=${1:-packages}

case $wish in
    packages | demo) groups="build" ;;
    test) groups="build|test" ;;
    package) groups="build|package" ;;
    windows) groups="build|windows" ;;
    develop) groups="build|test|package|windows|platform|extra" ;;
    *) sed -n '2,9p' "$0" >&2; exit 2 ;;
esac
wanted=$(awk -F'|' -v groups="^($groups)\$" '!/^#/ && NF >= 5 { gsub(/ /, "", $1); gsub(/ /, "", $4); if ($4 ~ groups) print $1 }' "$here/packages.txt")

if ! command -v apt-get >/dev/null 2>&1; then
    echo "This script installs Debian packages; on this system please install what corresponds to:" >&2
    echo $wanted >&2
    [ "$wish" = packages ] && exit 1
else
    missing=""
    for package in $wanted; do
        [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)" = installed ] || missing="$missing $package"
    done
    if [ -n "$missing" ]; then
        as_root=""
        if [ "$(id -u)" != 0 ]; then
            command -v sudo >/dev/null 2>&1 || { echo "These packages are missing and only root can install them:$missing" >&2; exit 1; }
            as_root=sudo
        fi
        echo "Installing:$missing"
        begun=$(date +%s)
        $as_root apt-get update -q
        $as_root apt-get install -q -y --no-install-recommends --download-only $missing
        fetched=$(date +%s)
        $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
        echo "Packages downloaded in $((fetched - begun)) s, installed in $(($(date +%s) - fetched)) s."
    fi
fi

# Builds what is named; ninja's line tells how far it is. Files are compiled in groups, which is quickest from nothing.
build() {
    echo "Building with $(nproc) processors; on two this takes $1."
    begun=$(date +%s)
    cmake --preset release -DBELLHAND_UNITY=ON "$2" >/dev/null
    shift 2
    NINJA_STATUS="[%p after %e s: %f of %t] " cmake --build --preset release "$@"
    echo "Built in $(($(date +%s) - begun)) s."
}

cd "$root"
case $wish in
    demo)
        build "4 to 5 minutes" -DBELLHAND_TESTS=OFF --target bellhand
        exec build/release/bellhand --demo
        ;;
    package)
        cmake --preset package
        cmake --build --preset package
        (cd build/package && cpack --config CPackConfig.cmake -G DEB)
        DESTDIR="$root/build/package/stage" cmake --install build/package --prefix /
        folder=build/package/$(cd build/package && ls bellhand_*.deb | tail -n 1 | sed 's/\.deb$//; s/_amd64/_linux-x86_64/')
        sh third_party/packaging/linux/portable.sh build/package/stage "$folder"
        tar -C build/package -cJf "$folder.tar.xz" "$(basename "$folder")"
        ls -l build/package/bellhand_*.deb "$folder.tar.xz"
        ;;
    windows)
        top=$root/build/windows
        sh third_party/windows/libraries.sh "$top"
        cmake --preset windows >/dev/null
        cmake --build --preset windows --target bellhand bellhandw
        rm -rf "$top/stage"
        cmake --install "$top/program" --prefix "$top/stage" >/dev/null
        version=$(sed -n 's/^CMAKE_PROJECT_VERSION:STATIC=//p' "$top/program/CMakeCache.txt")
        sh third_party/packaging/windows/package.sh "$top/stage" "$top/sources" "$version" "$top/package/bellhand-$version-windows-x86_64"
        ;;
    test)
        build "10 to 15 minutes" -DBELLHAND_TESTS=ON
        exec ctest --preset release
        ;;
esac
