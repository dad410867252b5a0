#compdef bellhand
# zsh completion for bellhand: commands and options are asked of the program itself
_bellhand() {
    local -a commands options
    local command="" word
    for word in ${words[2,CURRENT-1]}; do
        [[ $word == -* ]] || { command=$word; break }
    done
    if [[ ${words[CURRENT]} == -* ]]; then
        options=(${(f)"$(bellhand $command --help 2>/dev/null | grep -oE -- '^ +(-[a-z],)?--[a-z0-9-]+' | grep -oE -- '--[a-z0-9-]+')"})
        compadd -a options
    elif [[ -z $command ]]; then
        commands=(${(f)"$(bellhand --help 2>/dev/null | sed -n '/^Subcommands:/,/^$/s/^  \([a-z]*\)  *\(.*\)/\1:\2/p')"})
        _describe command commands
        _files
    else
        _files
    fi
}
_bellhand "$@"
