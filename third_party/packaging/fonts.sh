#!/bin/sh
# fonts.sh FOLDER: the fonts of screens and pages, from the system's packages, for a program that travels with its own.
set -eu
mkdir -p "$1"
for font in truetype/dejavu/DejaVuSans.ttf opentype/inter/Inter-Regular.otf opentype/inter/Inter-SemiBold.otf opentype/inter/Inter-Bold.otf; do
    cp "/usr/share/fonts/$font" "$1/"
done
cp /usr/share/texmf/fonts/opentype/public/tex-gyre/texgyreschola-bold.otf /usr/share/texmf/fonts/opentype/public/tex-gyre/texgyreschola-italic.otf "$1/"
