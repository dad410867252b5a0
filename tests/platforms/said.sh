# What the scripts of this folder share: passed, failed and skipped things, told at the end.
passed=() failed=() skipped=()
pass() { passed+=("$1"); echo "passed: $1"; }
fail() { failed+=("$1"); echo "FAILED: $1"; }
skip() { skipped+=("$1"); echo "skipped: $1"; }
check() { # check NAME COMMAND...
    local name=$1
    shift
    if "$@"; then pass "$name"; else fail "$name"; fi
}
finish() {
    echo
    echo "${#passed[@]} passed, ${#failed[@]} failed, ${#skipped[@]} skipped"
    for one in "${failed[@]}"; do echo "  failed: $one"; done
    for one in "${skipped[@]}"; do echo "  skipped: $one"; done
    [ ${#failed[@]} = 0 ]
}
need() { # need TOOL PACKAGE...: exit 77 without it
    command -v "$1" >/dev/null 2>&1 || [ -x "$1" ] || { echo "skipped: $1 is missing (package $2)"; exit 77; }
}
