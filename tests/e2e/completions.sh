# What the shells complete: a command by its beginning, an option of a command. bash always, zsh and fish where they are.
set -u
root=${BELLHAND_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
program=${BELLHAND:-$root/build/release/bellhand}
scripts=$root/third_party/packaging/linux
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin" "$work/functions"
ln -s "$program" "$work/bin/bellhand"
export PATH=$work/bin:$PATH HOME=$work
failed=0
expect() { # expect WHAT TEXT WORD
    case $2 in *"$3"*) ;; *) echo "$1: $3 is not offered but: $2"; failed=1 ;; esac
}

in_bash() { # in_bash WORDS...: the last one is being typed
    bash --norc -c 'source "$0"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _bellhand; echo "${COMPREPLY[@]}"' "$scripts/bellhand.bash" "$@"
}
expect "bash" "$(in_bash bellhand tra)" trace
expect "bash" "$(in_bash bellhand trace --cr)" --crook
tried="bash"

if command -v fish >/dev/null; then
    in_fish() { fish --no-config -c "source '$scripts/bellhand.fish'; complete -C '$1'"; }
    expect "fish" "$(in_fish 'bellhand tra')" trace
    expect "fish" "$(in_fish 'bellhand trace --cr')" --crook
    tried="$tried, fish"
fi

if command -v zsh >/dev/null; then
    cp "$scripts/bellhand.zsh" "$work/functions/_bellhand"
    # A shell at a terminal of its own, in which the key that completes is pressed.
    cat >"$work/type.zsh" <<'Z'
zmodload zsh/zpty
zpty shell "PS1='ready: ' TERM=dumb zsh -f -i"
zpty -w shell "fpath=($HOME/functions \$fpath); autoload -Uz compinit; compinit -u -d $HOME/dump; PS1='here: '"
zpty -r shell seen '*here: '
zpty -w -n shell "$1"$'\t'
sleep 2
zpty -w -n shell $'!\n' # what stands on the line is drawn up to here
zpty -r shell seen '*!*'
print -r -- "${seen//[[:cntrl:]]/}"
zpty -d shell
Z
    expect "zsh" "$(timeout 30 zsh -f "$work/type.zsh" 'bellhand trac' 2>/dev/null)" "bellhand trace"
    expect "zsh" "$(timeout 30 zsh -f "$work/type.zsh" 'bellhand trace --croo' 2>/dev/null)" "--crook"
    tried="$tried, zsh"
fi
[ $failed = 0 ] && echo "completion works in $tried"
exit $failed
