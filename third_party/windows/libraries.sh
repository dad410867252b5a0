#!/bin/sh
# libraries.sh FOLDER: the libraries of Bellhand for 64-bit Windows in FOLDER/prefix, from Debian's source packages, which
# are fetched into FOLDER/sources. Needs no root. Those under the LGPL alone (libsndfile, SoundTouch) become DLLs in
# FOLDER/prefix/bin, the others are linked in. Safe to run again: what is there already is left alone.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$1/sources" "$1/prefix" "$1/build"
top=$(cd "$1" && pwd)
src=$top/sources P=$top/prefix B=$top/build
export BELLHAND_WINDOWS_LIBRARIES="$P"
T=x86_64-w64-mingw32
CC=$T-gcc-posix CXX=$T-g++-posix AR=$T-ar
jobs=${JOBS:-$(nproc)}
flags="-O2 -DNDEBUG"
mkdir -p "$P/lib/pkgconfig" "$P/include" "$P/bin" "$P/share"

ready() { [ -e "$B/$1.done" ]; }
mark() { touch "$B/$1.done"; echo "$1 is ready"; }
# The unpacked folder of a source package, whichever version the distribution has.
folder_of() { for found in "$src/$1"-[0-9]*/; do printf %s "${found%/}"; return; done; }

fetch() {
    release=$(. /etc/os-release && echo "$VERSION_CODENAME")
    lists="$src/apt"
    mkdir -p "$lists/lists/partial"
    for suite in "debian $release" "debian $release-updates" "debian-security $release-security"; do
        echo "deb-src http://deb.debian.org/${suite% *} ${suite#* } main"
    done > "$lists/sources.list"
    own="-q -o Dir::Etc::SourceList=$lists/sources.list -o Dir::Etc::SourceParts=/dev/null -o Dir::State::Lists=$lists/lists"
    apt-get $own update
    # A mirror may lack the newest correction of a package; the untouched upstream archive, which it has, will do then.
    (cd "$src" && apt-get $own source --download-only portaudio19 glfw3 kissfft imgui sqlite3 libsndfile flac libogg libvorbis \
        opus libzip soundtouch cairo pixman libpng1.6 fmtlib pugixml freetype fontconfig expat) || true
    for name in portaudio19 glfw3 kissfft imgui sqlite3 libsndfile flac libogg libvorbis opus libzip soundtouch cairo pixman \
        libpng1.6 fmtlib pugixml freetype fontconfig expat; do
        [ -n "$(folder_of "$name")" ] && [ -d "$(folder_of "$name")" ] && continue
        (cd "$src" && dpkg-source --no-check -x "$name"_*.dsc >/dev/null 2>&1) && continue
        archive=$(ls "$src/$name"_*.orig.tar.* | head -n 1)
        version=$(basename "$archive" | sed "s/^${name}_//; s/\.orig\.tar\..*//")
        mkdir -p "$src/$name-$version"
        tar -C "$src/$name-$version" --strip-components=1 -xf "$archive"
    done
}
cm() { # cm NAME SOURCE[/FOLDER] OPTIONS...: a library with a CMakeLists.txt
    name=$1 source=$(folder_of "${2%%/*}")${2#"${2%%/*}"}
    shift 2
    ready "$name" && return 0
    cmake -S "$source" -B "$B/$name" -G Ninja -DCMAKE_TOOLCHAIN_FILE="$here/mingw-w64.cmake" -DCMAKE_INSTALL_PREFIX="$P" \
        -DCMAKE_INSTALL_LIBDIR=lib -DCMAKE_BUILD_TYPE=Release -DBUILD_SHARED_LIBS=OFF -DCMAKE_POLICY_VERSION_MINIMUM=3.5 "$@" > "$B/$name.log" 2>&1 &&
        cmake --build "$B/$name" -j "$jobs" >> "$B/$name.log" 2>&1 && cmake --install "$B/$name" >> "$B/$name.log" 2>&1 ||
        { tail -n 30 "$B/$name.log" >&2; exit 1; }
    mark "$name"
}
au() { # au NAME SOURCE OPTIONS...: a library with a configure script, configured; `made` makes it
    name=$1 source=$(folder_of "$2")
    shift 2
    ready "$name" && return 0
    # Debian's patches touch what configure was made from: keep make from making it again.
    (cd "$source" && touch aclocal.m4 && sleep 1 && find . -name configure -o -name config.h.in -o -name Makefile.in | xargs touch)
    mkdir -p "$B/$name"
    (cd "$B/$name" && PKG_CONFIG_LIBDIR="$P/lib/pkgconfig" PKG_CONFIG="$here/pkg-config-static" CPPFLAGS="-I$P/include" LDFLAGS="-L$P/lib" \
        CFLAGS="$flags" "$source/configure" --host=$T CC=$CC CXX=$CXX --prefix="$P" --disable-shared --enable-static "$@") > "$B/$name.log" 2>&1 ||
        { tail -n 30 "$B/$name.log" >&2; exit 1; }
}
made() { # made NAME (FOLDER TARGET)...: the parts of it that are needed
    name=$1
    shift
    ready "$name" && return 0
    while [ $# -gt 0 ]; do
        make -C "$B/$name/$1" -j "$jobs" "$2" >> "$B/$name.log" 2>&1 || { tail -n 30 "$B/$name.log" >&2; exit 1; }
        shift 2
    done
    mark "$name"
}
compile() { # compile NAME COMPILER FLAGS FILES...: objects in build/NAME
    name=$1 compiler=$2 options=$3
    shift 3
    mkdir -p "$B/$name"
    printf '%s\n' "$@" | xargs -P "$jobs" -I{} sh -c "$compiler $flags $options -c {} -o $B/$name/\$(basename {}).o"
}
pc() { # pc NAME FLAGS LIBRARIES [REQUIRES]: what pkg-config says of a library without a build of its own
    printf 'prefix=%s\nName: %s\nDescription: %s\nVersion: 1\nRequires: %s\nCflags: -I${prefix}/include %s\nLibs: -L${prefix}/lib %s\n' \
        "$P" "$1" "$1" "${4:-}" "$2" "$3" > "$P/lib/pkgconfig/$1.pc"
}

[ -e "$B/fetched.done" ] || { fetch; mark fetched; }

if ! ready strict; then # a <filesystem> that refuses paths made from text, which are right on other systems only
    mkdir -p "$P/strict/bits"
    header=$(echo '#include <filesystem>' | $CXX -std=c++20 -E -x c++ - | sed -n 's/^# [0-9]* "\(.*bits\/fs_path\.h\)".*/\1/p' | head -n 1)
    refused='path(const std::string\&, format = auto_format) = delete; path(std::string_view, format = auto_format) = delete;'
    sed "s/^    path(const path& __p) = default;/&\n    $refused/" "$header" > "$P/strict/bits/fs_path.h"
    grep -q 'std::string_view, format = auto_format) = delete' "$P/strict/bits/fs_path.h"
    mark strict
fi
if ! ready headers; then # zlib comes built; libraries of headers alone are those of this system
    cp /usr/$T/lib/libz.a "$P/lib/"
    cp /usr/$T/include/zlib.h /usr/$T/include/zconf.h "$P/include/"
    pc zlib "" "-lz"
    for name in CLI nlohmann tl doctest stb; do cp -r "/usr/include/$name" "$P/include/"; done
    for name in CLI11 nlohmann_json tl-expected doctest; do
        for place in /usr/lib/cmake /usr/lib/x86_64-linux-gnu/cmake /usr/share/cmake; do
            [ -d "$place/$name" ] && mkdir -p "$P/share/cmake" && cp -r "$place/$name" "$P/share/cmake/"
        done
    done
    # Some say where they lay, not where they lie.
    grep -rl 'set(_IMPORT_PREFIX "/usr")' "$P/share/cmake" | xargs -r sed -i 's|set(_IMPORT_PREFIX "/usr")|set(_IMPORT_PREFIX "'"$P"'")|'
    mark headers
fi
if ! ready kissfft; then # with the flags of its package, so that it rounds as there
    S=$(folder_of kissfft)
    compile kissfft "$CC" "-O3 -ffast-math -fomit-frame-pointer -Dkiss_fft_scalar=float" "$S/kiss_fft.c" "$S/kiss_fftr.c"
    $AR rcs "$P/lib/libkissfft-float.a" "$B"/kissfft/*.o
    mkdir -p "$P/include/kissfft"
    cp "$S"/*.h "$P/include/kissfft/"
    pc kissfft-float '-I${prefix}/include/kissfft -Dkiss_fft_scalar=float' "-lkissfft-float"
    mark kissfft
fi
if ! ready sqlite; then # the package holds the tree of sources; one file is made of it with tclsh
    mkdir -p "$B/sqlite"
    (cd "$B/sqlite" && "$(folder_of sqlite3)/configure" --disable-tcl --disable-readline && make sqlite3.c) > "$B/sqlite.log" 2>&1
    compile sqlite "$CC" "-DSQLITE_THREADSAFE=1" "$B/sqlite/sqlite3.c"
    $AR rcs "$P/lib/libsqlite3.a" "$B/sqlite/sqlite3.c.o"
    cp "$B/sqlite/sqlite3.h" "$P/include/"
    pc sqlite3 "" "-lsqlite3"
    mark sqlite
fi
if ! ready soundtouch; then # a dozen files; its own build wants OpenMP
    S=$(folder_of soundtouch)
    compile soundtouch "$CXX" "-I$S/include" "$S"/source/SoundTouch/*.cpp
    $CXX -shared -static -s -Wl,--export-all-symbols,--exclude-libs,ALL,--out-implib,"$P/lib/libSoundTouch.dll.a" "$B"/soundtouch/*.o -o "$P/bin/libSoundTouch.dll"
    mkdir -p "$P/include/soundtouch"
    cp "$S"/include/*.h "$P/include/soundtouch/"
    pc soundtouch '-I${prefix}/include/soundtouch' "-lSoundTouch"
    mark soundtouch
fi
if ! ready portaudio; then # its own build knows WASAPI for another compiler only; WASAPI alone, so that a device is there once
    S=$(folder_of portaudio19)
    include="-I$S/include -I$S/src/common -I$S/src/os/win -DPA_USE_WASAPI=1"
    rm -rf "$B/portaudio"
    compile portaudio "$CC" "$include" "$S"/src/common/pa_*.c "$S"/src/os/win/pa_win_hostapis.c "$S"/src/os/win/pa_win_util.c \
        "$S"/src/os/win/pa_win_waveformat.c "$S"/src/os/win/pa_win_coinitialize.c
    compile portaudio "$CC" "$include -w -include $here/wasapi_prelude.h" "$S/src/hostapi/wasapi/pa_win_wasapi.c"
    $AR rcs "$P/lib/libportaudio.a" "$B"/portaudio/*.o
    cp "$S"/include/*.h "$P/include/"
    pc portaudio-2.0 "" "-lportaudio -lole32 -lwinmm -luuid -lksuser"
    mark portaudio
fi
cm fmt fmtlib -DFMT_TEST=OFF -DFMT_DOC=OFF
cm pugixml pugixml
cm zip libzip -DENABLE_COMMONCRYPTO=OFF -DENABLE_GNUTLS=OFF -DENABLE_MBEDTLS=OFF -DENABLE_OPENSSL=OFF -DENABLE_WINDOWS_CRYPTO=OFF -DENABLE_BZIP2=OFF \
    -DENABLE_LZMA=OFF -DENABLE_ZSTD=OFF -DBUILD_TOOLS=OFF -DBUILD_REGRESS=OFF -DBUILD_EXAMPLES=OFF -DBUILD_DOC=OFF -DCMAKE_C_FLAGS=-DZIP_STATIC
pc libzip "-DZIP_STATIC" "-lzip -lz -ladvapi32"
cm glfw glfw3 -DGLFW_BUILD_EXAMPLES=OFF -DGLFW_BUILD_TESTS=OFF -DGLFW_BUILD_DOCS=OFF
if ! ready imgui; then
    S=$(folder_of imgui)
    mkdir -p "$P/include/imgui/backends"
    cp "$S"/*.h "$P/include/imgui/"
    cp "$S"/backends/imgui_impl_glfw.h "$S"/backends/imgui_impl_opengl3.h "$P/include/imgui/backends/"
    cp "$S"/backends/imgui_impl_glfw.h "$S"/backends/imgui_impl_opengl3.h "$P/include/imgui/"
    # Debian's patches take the font rasteriser out of the sources: here is the one of libstb.
    printf '#define STB_TRUETYPE_IMPLEMENTATION\n#define STB_RECT_PACK_IMPLEMENTATION\n#include <stb_rect_pack.h>\n#include <stb_truetype.h>\n' > "$B/stb.c"
    compile imgui "$CC" "-I$P/include/stb" "$B/stb.c"
    compile imgui "$CXX" "-I$S -I$S/backends -I$P/include -I$P/include/stb" "$S/imgui.cpp" "$S/imgui_draw.cpp" "$S/imgui_tables.cpp" "$S/imgui_widgets.cpp" \
        "$S/backends/imgui_impl_glfw.cpp" "$S/backends/imgui_impl_opengl3.cpp"
    rm -f "$P/lib/libimgui.a"
    $AR rcs "$P/lib/libimgui.a" "$B"/imgui/*.o
    pc imgui '-I${prefix}/include/imgui -I${prefix}/include/stb' "-limgui -limm32"
    mark imgui
fi
cm ogg libogg -DINSTALL_DOCS=OFF -DBUILD_TESTING=OFF
cm flac flac -DBUILD_PROGRAMS=OFF -DBUILD_EXAMPLES=OFF -DBUILD_TESTING=OFF -DBUILD_DOCS=OFF -DINSTALL_MANPAGES=OFF -DBUILD_CXXLIBS=OFF -DWITH_STACK_PROTECTOR=OFF
cm vorbis libvorbis
au opus opus --disable-doc --disable-extra-programs --disable-hardening --disable-stack-protector
made opus . install
cm sndfile libsndfile -DBUILD_SHARED_LIBS=ON -DCMAKE_C_FLAGS=-DFLAC__NO_DLL -DCMAKE_C_STANDARD_LIBRARIES=-lssp -DBUILD_PROGRAMS=OFF -DBUILD_EXAMPLES=OFF -DBUILD_TESTING=OFF -DENABLE_MPEG=OFF -DENABLE_CPACK=OFF -DINSTALL_MANPAGES=OFF
pc sndfile "" "-lsndfile"
cm expat expat/expat -DEXPAT_BUILD_TOOLS=OFF -DEXPAT_BUILD_EXAMPLES=OFF -DEXPAT_BUILD_TESTS=OFF -DEXPAT_BUILD_DOCS=OFF -DEXPAT_SHARED_LIBS=OFF
cm png libpng1.6 -DPNG_SHARED=OFF -DPNG_TESTS=OFF -DPNG_HARDWARE_OPTIMIZATIONS=OFF
cm freetype freetype -DFT_DISABLE_HARFBUZZ=ON -DFT_DISABLE_BROTLI=ON -DFT_DISABLE_BZIP2=ON -DFT_DISABLE_PNG=ON -DFT_REQUIRE_ZLIB=OFF
au fontconfig fontconfig --disable-docs --disable-nls
made fontconfig fc-case all fc-lang all src install fontconfig install . install-pkgconfigDATA
au pixman pixman --disable-gtk --disable-libpng --disable-openmp
made pixman pixman install . install-pkgconfigDATA
au cairo cairo --enable-win32 --disable-win32-font --enable-ft --enable-fc --enable-pdf --enable-svg --disable-ps --enable-png --disable-script --disable-xlib \
    --disable-xcb --disable-gobject --disable-trace --disable-interpreter --disable-gtk-doc --disable-valgrind
made cairo src install
echo "The libraries for Windows are in $P."
