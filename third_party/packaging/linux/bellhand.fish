# fish completion for bellhand: commands and options are asked of the program itself
function __bellhand_command
    for word in (commandline -opc)[2..-1]
        string match -q -- '-*' $word; or begin
            echo $word
            return 0
        end
    end
    return 1
end
function __bellhand_options
    bellhand (__bellhand_command) --help 2>/dev/null | string match -rg '^ +(?:-[a-z],)?(--[a-z0-9-]+)'
end
complete -c bellhand -n 'not __bellhand_command' -a '(bellhand --help 2>/dev/null | string match -rg "^  ([a-z]+ +.*)" | string replace -r " +" \t)'
complete -c bellhand -n 'string match -q -- "-*" (commandline -ct)' -a '(__bellhand_options)'
