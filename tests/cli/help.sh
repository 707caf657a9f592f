#!/bin/bash
# The options of the program, its manual page and its completion are the same.
set -u
. tests/cli/lib

for command in '' check curves well morning market outage; do
    "$LIFTSPLIT" $command --help >"$TMPDIR/help" 2>"$TMPDIR/err"
    same "help of '$command' is an answer" $? 0
    empty "help of '$command' says nothing on stderr" "$TMPDIR/err"
    wide=$(awk 'length > 79' "$TMPDIR/help")
    same "help of '$command' fits 79 columns" "$wide" ''
done

options=$("$LIFTSPLIT" --help | sed -n 's/^ *\(--[a-z-]*\).*/\1/p' | sort)
manual=$(sed -n '/^\.SH OPTIONS/,/^\.SH EXIT/p' docs/liftsplit.1 |
    grep -A1 '^\.TP' | tr -d '\\' | grep -o -e '--[a-z-]*' | grep '[a-z]' | sort)
same 'the manual page has the options of the program' "$manual" "$options"

states=$("$LIFTSPLIT" --help | sed -n '/^Exit/,$s/^  \([0-9][0-9]*\) .*/\1/p')
manual=$(sed -n '/^\.SH EXIT/,/^\.SH ENV/s/^\.B \([0-9]*\)$/\1/p' \
    docs/liftsplit.1)
same 'the manual page has the exit states of the program' "$manual" "$states"

version=$("$LIFTSPLIT" --version)
grep -q "^\.TH LIFTSPLIT 1 \"\" \"$version\"" docs/liftsplit.1
same 'the manual page has the version of the program' $? 0

liftsplit() { "$LIFTSPLIT" "$@"; }
. tools/completion/liftsplit.bash
complete_words()
{
    COMP_WORDS=("$@") COMP_CWORD=$(($# - 1))
    _liftsplit liftsplit "${COMP_WORDS[COMP_CWORD]}" \
        "${COMP_WORDS[COMP_CWORD - 1]}"
    echo "${COMPREPLY[*]}"
}
same 'completion knows the commands' \
    "$(complete_words liftsplit c)" 'check curves'
same 'completion knows the options of a command' \
    "$(complete_words liftsplit morning x --o)" '--out --objective --oil-price'
same 'completion offers no option that a command does not take' \
    "$(complete_words liftsplit check x --ob)" ''
same 'completion knows the values of an option' \
    "$(complete_words liftsplit check x --format '')" 'table csv json'
finish
