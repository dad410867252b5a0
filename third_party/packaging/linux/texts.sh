#!/bin/sh
# texts.sh PROGRAM SOURCE VERSION OUT: what a package says in words. OUT/man: a page for the program and one for each
# command, from their --help; OUT/doc: copyright, licence text, notices, changelog; OUT/metainfo.
set -eu
program=$1 source=$2 version=$3 out=$4
linux=$(cd "$(dirname "$0")" && pwd)
day=$(cd "$source" && git log -1 --format=%cs 2>/dev/null || true)
[ -n "$day" ] || day=$(date -u -r "$source/CMakeLists.txt" +%F)
rm -rf "$out"
mkdir -p "$out/man" "$out/doc" "$out/metainfo"

page() { # page NAME COMMAND PURPOSE
    printf '#!/bin/sh\ncase $1 in --version) echo "bellhand %s" ;; *) exec "%s" %s --help ;; esac\n' "$version" "$program" "$2" > "$out/asked"
    chmod +x "$out/asked"
    SOURCE_DATE_EPOCH=$(date -u -d "$day" +%s) help2man --no-info --name "$3" --version-string "$version" --output "$out/man/$1.1" "$out/asked"
    sed -i "s/\\basked\\b/$(printf %s "$1" | sed 's/-/\\\\-/g')/g; s/\\bASKED\\b/$(printf %s "$1" | tr a-z A-Z)/g" "$out/man/$1.1"
    rm "$out/asked"
}
page bellhand "" "practice tuner and partial trainer for the natural horn"
"$program" --help | sed -n '/^Subcommands:/,/^$/s/^  \([a-z]*\)  *\(.*\)/\1|\2/p' | while IFS='|' read -r command purpose; do
    page "bellhand-$command" "$command" "$purpose"
done
gzip -9n "$out"/man/*.1

sed "s/@VERSION@/$version/; s/@DATE@/$day/" "$linux/org.bellhand.Bellhand.metainfo.xml" > "$out/metainfo/org.bellhand.Bellhand.metainfo.xml"

licence=/usr/share/common-licenses/Apache-2.0
[ -f "$licence" ] || { echo "$licence is missing: install the package base-files" >&2; exit 1; }
gzip -9nc "$licence" > "$out/doc/apache-2.0.txt.gz"
cp "$linux/copyright" "$out/doc/copyright"
{
    echo "Bellhand stands on these libraries and fonts, each under its own licence."
    echo "Their copyright notices follow as the system that built this package has them."
    echo
    awk -F'|' '!/^#/ && $4 ~ /build/ { for (i = 1; i <= 5; i++) gsub(/^ +| +$/, "", $i); print "  " $1 " (" $3 "): " $5 }' "$source/third_party/packages.txt"
    for package in $(awk -F'|' '!/^#/ && $4 ~ /build/ { gsub(/ /, "", $1); print $1 }' "$source/third_party/packages.txt"); do
        case $package in cmake | ninja-build | g++ | ccache | pkg-config) continue ;; esac
        notice=/usr/share/doc/$package/copyright
        [ -f "$notice" ] || continue
        printf '\n==== %s ====\n\n' "$package"
        cat "$notice"
    done
} > "$out/doc/third-party-notices.txt"
gzip -9n "$out/doc/third-party-notices.txt"
{
    echo "bellhand ($version) unstable; urgency=medium"
    echo
    echo "  * As of the sources of $day."
    echo
    echo " -- The Bellhand authors <bellhand@example.org>  $(LC_ALL=C date -u -d "$day" '+%a, %d %b %Y 00:00:00 +0000')"
} | gzip -9n > "$out/doc/changelog.gz"
