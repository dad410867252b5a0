#!/bin/sh
# portable.sh STAGE OUT: from an installed tree STAGE (bin, share) a folder OUT that runs from anywhere on a Linux whose C
# library is at least as new as the builder's. What talks to the machine itself (C and C++ runtime, graphics driver, X,
# ALSA) is the host's: its own libraries need their own, newer runtime.
set -eu
stage=$1 out=$2
host='^(linux-vdso|ld-linux.*|libc|libm|libdl|libpthread|librt|libresolv|libGL|libOpenGL|libGLX|libGLdispatch|libEGL|libdrm|libX11|libX11-xcb|libxcb|libXext|libasound|libstdc\+\+|libgcc_s|libwayland.*|libfontconfig|libfreetype|libz|libexpat)\.so'
rm -rf "$out"
mkdir -p "$out/lib"
cp -r "$stage/bin" "$stage/share" "$out/"
ldd "$out/bin/bellhand" | awk '$2 == "=>" && $3 ~ /^\// { print $3 }' | sort -u | while read -r library; do
    basename "$library" | grep -qE "$host" && continue
    cp -L "$library" "$out/lib/"
done
strip "$out/bin/bellhand"
chmod u+w "$out"/lib/*
for library in "$out"/lib/*; do patchelf --set-rpath '$ORIGIN' "$library"; done
patchelf --set-rpath '$ORIGIN/../lib' "$out/bin/bellhand"
sh "$(dirname "$0")/../fonts.sh" "$out/share/bellhand/fonts"
ln -s bin/bellhand "$out/bellhand"
gunzip "$out"/share/doc/bellhand/*.gz
mv "$out/share/doc/bellhand/apache-2.0.txt" "$out/LICENSE.txt"
mv "$out/share/doc/bellhand/third-party-notices.txt" "$out/third-party-notices.txt"
cat > "$out/README.txt" <<'W'
Bellhand runs from this folder: ./bellhand opens it, ./bellhand --demo shows it without a microphone.
Put the folder where you like. `sh desktop.sh` adds Bellhand to the menu of your desktop and opens homework files
with it; `sh desktop.sh remove` takes that away again. Your log and settings stay in your home folder.
W
cat > "$out/desktop.sh" <<'W'
#!/bin/sh
# desktop.sh [remove]: this folder's Bellhand in the menu of the desktop, and as what opens homework files.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
data=${XDG_DATA_HOME:-$HOME/.local/share}
if [ "${1:-}" = remove ]; then
    rm -f "$data/applications/org.bellhand.Bellhand.desktop" "$data/mime/packages/bellhand.xml" "$data/icons/hicolor/scalable/apps/bellhand.svg"
else
    mkdir -p "$data/applications" "$data/mime/packages" "$data/icons/hicolor/scalable/apps"
    sed "s|^Exec=bellhand|Exec=\"$here/bellhand\"|" "$here/share/applications/org.bellhand.Bellhand.desktop" > "$data/applications/org.bellhand.Bellhand.desktop"
    cp "$here/share/mime/packages/bellhand.xml" "$data/mime/packages/"
    cp "$here/share/icons/hicolor/scalable/apps/bellhand.svg" "$data/icons/hicolor/scalable/apps/"
fi
for update in "update-mime-database $data/mime" "update-desktop-database $data/applications"; do
    command -v "${update%% *}" >/dev/null 2>&1 && $update || true
done
W
