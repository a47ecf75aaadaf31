# Completion of stillwell for bash. The tables are made from the program's own command line.
# shellcheck shell=bash

# What may stand where the cursor is, one a line: _stillwell_offer PROGRAM CONFIGURATION OFFER
_stillwell_offer() {
    local program=$1 configuration=$2 offer=$3
    case $offer in
    words:*) tr ' ,' '\n\n' <<<"${offer#words:}" ;;
    names:*)
        local kinds
        IFS=, read -ra kinds <<<"${offer#names:}"
        "$program" names "${kinds[@]}" ${configuration:+--config "$configuration"} 2>/dev/null
        ;;
    folders) compgen -d -- "$4" ;;
    files) compgen -f -- "$4" ;;
    esac
}

_stillwell() {
    local commands IFS=$' \t\n'
    local -A options=() takes=() places=()
@tables@
    local current=${COMP_WORDS[COMP_CWORD]} command='' configuration='' option='' offer='' word at
    local -i place=0
    [[ $current != = ]] || current=''
    for ((at = 1; at < COMP_CWORD; at++)); do
        word=${COMP_WORDS[at]}
        if [[ $word == = ]]; then
            continue # of --option=value
        elif [[ -n $option ]]; then
            [[ $option != --config ]] || configuration=${word/#\~/$HOME}
            option=''
        elif [[ $word == -* ]]; then
            [[ -z ${takes["${command:-.} $word"]-} ]] || option=$word
        elif [[ -z $command ]]; then
            command=$word
        else
            place+=1
        fi
    done

    local -a here
    if [[ -n $option ]]; then
        offer=${takes["${command:-.} $option"]}
    elif [[ $current == -* ]]; then
        offer=words:${options[${command:-.}]-}
    elif [[ -z $command ]]; then
        offer=words:$commands
    else
        read -ra here <<<"${places[$command]-}"
        if ((${#here[@]} > 1)) && [[ ${here[-1]} == ... ]] && ((place > ${#here[@]} - 2)); then
            place=${#here[@]}-2
        fi
        offer=${here[place]-words:${options[$command]-}}
    fi
    [[ $offer != files && $offer != folders ]] || compopt -o filenames 2>/dev/null
    # Compared here: compgen -W would expand what it is given, and a file may be called anything.
    COMPREPLY=()
    while read -r word; do
        [[ $word != "$current"* ]] || COMPREPLY+=("$word")
    done < <(_stillwell_offer "${1/#\~/$HOME}" "$configuration" "$offer" "$current")
}

complete -F _stillwell stillwell
