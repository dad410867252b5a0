# Every first-party C++ file is as clang-format 14 would write it.
cd "$BELLHAND_ROOT" || exit 1
command -v clang-format-14 >/dev/null || { echo "skipped: clang-format-14 is not installed"; exit 77; }
files=$(find src audio gui tests -name '*.h' -o -name '*.cpp' | grep -v '/build/')
clang-format-14 --dry-run --Werror $files && echo "$(echo "$files" | wc -l) files are formatted"
