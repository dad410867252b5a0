#!/usr/bin/env bash
# Bellhand on other systems than the one that builds it. Not part of the test command: each takes long and wants more packages
# (group "platform" of third_party/packages.txt). What cannot be tried here is skipped by name, at the end.
#   tests/platforms.sh windows           libraries, program and unit tests for 64-bit Windows; run under Wine; installer and removal
#   tests/platforms.sh debian [12|13]    packages built in a chroot of that release, then installed in a bare one (as root)
#   tests/platforms.sh arm64             unit tests of the core modules for 64-bit ARM, run under qemu
# JOBS says how many compilers run at once.
set -euo pipefail
root=$(cd "$(dirname "$0")/.." && pwd)
export ROOT=$root JOBS=${JOBS:-$(nproc)}
case ${1:-} in
    windows | debian | arm64) ;;
    *) sed -n '2,7p' "$0" >&2; exit 2 ;;
esac
script=$root/tests/platforms/$1.sh
shift
exec bash "$script" "$@"
