# Completion for bash. The options and their values are read from
# liftsplit's own --help, so that they are always those of the program.

_liftsplit_help()
{
    liftsplit $1 --help 2>/dev/null
}

_liftsplit()
{
    local word=$2 before=$3 command= i
    for ((i = 1; i < COMP_CWORD; i++)); do
        case ${COMP_WORDS[i]} in
        check | curves | well | morning | market | outage)
            command=${COMP_WORDS[i]}
            break
            ;;
        esac
    done
    COMPREPLY=()
    local values
    values=$(_liftsplit_help "$command" |
        sed -n "s/^ *$before \([a-z|]*|[a-z|]*\) .*/\1/p")
    if [[ $before == --* && -n $values ]]; then
        COMPREPLY=($(compgen -W "${values//|/ }" -- "$word"))
    elif [[ $word == -* ]]; then
        local options
        options=$(_liftsplit_help "$command" |
            sed -n 's/^ *\(--[a-z-]*\).*/\1/p')
        COMPREPLY=($(compgen -W "$options" -- "$word"))
    elif [[ -z $command ]]; then
        COMPREPLY=($(compgen -W 'check curves well morning market outage' \
            -- "$word"))
    else
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -d -- "$word"))
    fi
}
complete -F _liftsplit liftsplit
