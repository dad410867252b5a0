#!/bin/sh
# package.sh STAGE SOURCES VERSION OUT: from an installed tree STAGE the zip OUT.zip and the installer OUT-setup.exe.
# SOURCES: the unpacked sources of the libraries, for their notices.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
stage=$(cd "$1" && pwd) sources=$(cd "$2" && pwd) version=$3
mkdir -p "$(dirname "$4")"
out=$(cd "$(dirname "$4")" && pwd)/$(basename "$4")

sh "$here/../fonts.sh" "$stage/assets/fonts"
for program in "$stage"/*.exe "$stage"/*.dll; do x86_64-w64-mingw32-strip "$program"; done
{
    echo "Bellhand stands on these libraries and fonts, each under its own licence. libsndfile and SoundTouch are under the LGPL:"
    echo "their DLLs may be replaced by others that were built from the same or from changed sources."
    for folder in "$sources"/*/; do
        for notice in debian/copyright COPYING LICENSE.txt LICENSE COPYING.Xiph README.md; do
            if [ -f "$folder$notice" ]; then
                printf '\n==== %s ====\n\n' "$(basename "$folder")"
                cat "$folder$notice"
                break
            fi
        done
    done
    for package in fonts-dejavu-core fonts-inter fonts-texgyre libcli11-dev nlohmann-json3-dev libexpected-dev libstb-dev; do
        [ -f "/usr/share/doc/$package/copyright" ] && printf '\n==== %s ====\n\n' "$package" && cat "/usr/share/doc/$package/copyright"
    done
} > "$stage/third-party-notices.txt"

folder=$(basename "$out")
rm -rf "$out" "$out.zip"
cp -r "$stage" "$out"
(cd "$(dirname "$out")" && cmake -E tar cf "$folder.zip" --format=zip "$folder")
rm -rf "$out"

(cd "$stage" && find . -type f -printf 'Delete "$INSTDIR\\%P"\n' | sort && find . -mindepth 1 -depth -type d -printf 'RMDir "$INSTDIR\\%P"\n') |
    sed 's|/|\\|g' > "$out.removal.nsh"
makensis -V2 -INPUTCHARSET UTF8 "-DSTAGE=$stage" "-DVERSION=$version" "-DOUT=$out-setup.exe" "-DREMOVAL=$out.removal.nsh" "$here/installer.nsi"
rm "$out.removal.nsh"
ls -l "$out.zip" "$out-setup.exe"
