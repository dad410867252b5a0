# bash completion for bellhand: commands and options are asked of the program itself
_bellhand() {
    local current=${COMP_WORDS[COMP_CWORD]} command="" word
    for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
        case $word in -*) ;; *) command=$word; break ;; esac
    done
    compopt -o filenames 2>/dev/null
    if [[ $current == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$(bellhand $command --help 2>/dev/null | grep -oE -- '^ +(-[a-z],)?--[a-z0-9-]+' | grep -oE -- '--[a-z0-9-]+')" -- "$current")
    elif [[ -z $command ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$(bellhand --help 2>/dev/null | sed -n '/^Subcommands:/,/^$/s/^  \([a-z]*\) .*/\1/p')" -- "$current"; compgen -f -- "$current")
    else
        mapfile -t COMPREPLY < <(compgen -f -- "$current")
    fi
}
complete -F _bellhand bellhand
