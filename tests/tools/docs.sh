#!/bin/sh
# What the texts for people name must be there: links, paths, targets of make,
# commands and options of the program; and what they quote as the program's
# output it must print. First the check itself has to refuse each of these
# faults once, in a small tree of its own.
#
# Looked at: links, and what stands in code quotes or code blocks. A part in
# angle brackets, as in gradient_<author>.c, stands for anything. In capitals,
# as in unit-LAYER, a word is a place for a name and is passed over. In a block
# each line after one that begins with "$ liftsplit" is output; a line "..."
# stands for lines left out.
set -eu
unset COLUMNS

program=${LIFTSPLIT:-${BUILD:-build}/liftsplit}
case $program in /*) ;; *) program=$PWD/$program ;; esac
[ -x "$program" ] || { echo "$program is not built"; exit 1; }

help=$TMPDIR/help
{
    "$program" --help
    for command in check curves well morning market outage; do
        "$program" "$command" --help
    done
} >"$help"

# facts FILE...: "link PLACE TARGET", "code PLACE WORDS", "runs PLACE WORDS" and
# "says PLACE LINE", one a line.
facts()
{
    awk '
    FNR == 1 { in_block = 0 }
    /^ *```/ { in_block = !in_block; runs = 0; next }
    in_block && /^\$ / { runs = $2 == "liftsplit" }
    in_block && runs {
        print(/^\$ / ? "runs" : "says"), FILENAME ":" FNR, $0
        next
    }
    in_block { print "code", FILENAME ":" FNR, $0; next }
    {
        rest = $0
        while (match(rest, /`[^`]+`/)) {
            code = substr(rest, RSTART + 1, RLENGTH - 2)
            print "code", FILENAME ":" FNR, code
            rest = substr(rest, 1, RSTART - 1) "x" substr(rest, RSTART + RLENGTH)
        }
        while (match(rest, /\]\([^)]*\)/)) {
            print "link", FILENAME ":" FNR, substr(rest, RSTART + 2, RLENGTH - 3)
            rest = substr(rest, RSTART + RLENGTH)
        }
    }' "$@"
}

wrong=0
refuse()
{
    echo "$1: $2"
    wrong=1
}

# A pattern in the shell matches a file.
is_there()
{
    set +f
    set -- $1
    set -f
    [ -e "$1" ]
}

check_link()
{
    case $2 in
    http://* | https://* | mailto:* | '#'*) return ;;
    esac
    is_there "$(dirname "${1%:*}")/${2%%#*}" || refuse "$1" "no file $2"
}

check_path()
{
    path=$(printf '%s\n' "$2" | sed 's/<[^>]*>/*/g; s/[],;:.)]*$//')
    case $path in
    *[A-Z][A-Z]*.md) ;;
    *[A-Z][A-Z]*) return ;;
    esac
    is_there "$path" || refuse "$1" "no file $2"
}

check_target()
{
    case $2 in
    -* | *=* | *[A-Z]*) return ;;
    esac
    grep -q "^$2:" "$TMPDIR/targets" || refuse "$1" "make knows no $2"
}

check_option()
{
    option=$(printf '%s\n' "$2" | sed 's/[^a-z-].*$//')
    grep -q -- "^ *$option\( \|\$\)" "$help" ||
        refuse "$1" "liftsplit knows no $option"
}

check_command()
{
    case $2 in
    -* | *[!a-z]*) return ;;
    esac
    grep -q "^  $2 " "$help" || refuse "$1" "liftsplit knows no command $2"
}

# The words of one piece of code. `tool` is what the line calls, a word after
# # is a comment.
check_code()
{
    place=$1 tool='' before=''
    shift
    case ${1:-} in --[a-z]*) tool=liftsplit ;; esac
    [ "${1:-}" != '$' ] || shift
    for word; do
        case $word in
        '#'*) break ;;
        '&&' | '||' | '|' | ';') tool='' before='' && continue ;;
        src/* | include/* | tests/* | tools/* | docs/* | scenarios/* | \
            README.md | DEVELOPERS.md) check_path "$place" "$word" ;;
        esac
        case $tool in
        make) check_target "$place" "$word" ;;
        liftsplit)
            case $before in
            liftsplit | */liftsplit) check_command "$place" "$word" ;;
            esac
            case $word in --[a-z]*) check_option "$place" "$word" ;; esac
            ;;
        '')
            case $word in
            make) tool=make ;;
            liftsplit | */liftsplit) tool=liftsplit ;;
            *=*) ;;
            *) tool=other ;;
            esac
            ;;
        esac
        before=$word
    done
}

# The output of "$ liftsplit ..." for the lines that follow; its exit state is
# no matter here. Blanks at the ends of lines do not count.
run_program()
{
    eval "set -- ${1#$ }"
    shift
    ("$program" "$@" || :) 2>&1 </dev/null | sed 's/^ *//; s/ *$//' >"$TMPDIR/ran"
}

check_said()
{
    case $2 in '' | ...) return ;; esac
    grep -qxF -- "$2" "$TMPDIR/ran" || refuse "$1" "not printed: $2"
}

# check TREE: every fault of its texts in a line; its state in $wrong.
check()
{
    wrong=0
    cd "$1"
    make -pRrqs : 2>/dev/null | grep '^[a-z][a-z-]*:' >"$TMPDIR/targets" || :
    facts $(ls README.md DEVELOPERS.md docs/*.md 2>/dev/null) >"$TMPDIR/facts"
    [ -s "$TMPDIR/facts" ] || refuse "$1" 'no texts'
    set -f
    while read -r kind place text; do
        case $kind in
        link) check_link "$place" "$text" ;;
        code) check_code "$place" $text ;;
        runs) check_code "$place" $text && run_program "$text" ;;
        says) check_said "$place" "$text" ;;
        esac
    done <"$TMPDIR/facts"
    set +f
    cd - >/dev/null
}

# --- the check is checked ---------------------------------------------------

tree=$TMPDIR/tree
missed=0

# says STATE TEXT: the check of a tree with that text ends with that state.
says()
{
    rm -rf "$tree"
    mkdir -p "$tree/docs" "$tree/src/well"
    : >"$tree/src/well/gradient_one.c"
    printf 'check:\n\ttrue\n' >"$tree/Makefile"
    printf '%s\n' "$2" >"$tree/docs/text.md"
    check "$tree" >"$TMPDIR/said"
    [ "$wrong" -eq "$1" ] || {
        echo "check of \"$2\" ended with $wrong:"
        cat "$TMPDIR/said"
        missed=1
    }
}

says 0 '[a](text.md#part), [b](../Makefile), [c](https://example.org)'
says 1 '[a](absent.md)'
says 0 '`src/well/gradient_<author>.c` and `src/well/`, `build/absent`'
says 1 'in `src/well/absent.c`'
says 1 '`src/well/absent_<author>.c`'
says 1 '```
cat docs/absent.md
```'
says 0 '`make -j2 DEV=1 check`, `make unit-LAYER`'
says 1 '`make absent`'
says 1 '`make check absent`'
says 0 '`--out`, `liftsplit morning scenarios/NAME --format=json`'
says 1 '`--absent`'
says 1 '`liftsplit morning docs --absent`'
says 1 '`build/liftsplit absent docs`'
says 0 '`other --absent` and make absent'
says 1 '```
$ make check   # absent
$ make absent
```'
says 0 '```
$ liftsplit --version
liftsplit '"$("$program" --version | cut -d" " -f2)"'
...
```'
says 1 '```
$ liftsplit --version
liftsplit of another day
```'
[ "$missed" -eq 0 ] || exit 1

# --- this tree --------------------------------------------------------------

check "$PWD"
exit "$wrong"
