#!/bin/bash
# Where results go, and what happens when they cannot go there.
set -u
. tests/cli/lib
small=scenarios/small

"$LIFTSPLIT" check $small >/dev/full 2>"$TMPDIR/err"
same 'a full device: exit state' $? 6
has 'a full device: message' "$TMPDIR/err" \
    'standard output could not be written'
"$LIFTSPLIT" --version >&- 2>"$TMPDIR/err"
same 'a closed stdout: exit state' $? 6

# The reader is gone long before the curves are built; the parent's wish to
# ignore the signal changes nothing.
for ignore in '' 'trap "" PIPE'; do
    (
        eval "$ignore"
        "$LIFTSPLIT" curves $small --quiet 2>"$TMPDIR/err" | true
        exit "${PIPESTATUS[0]}"
    )
    same "a reader that left ends the program ($ignore)" $? $((128 + 13))
    empty "a reader that left causes no message ($ignore)" "$TMPDIR/err"
done

"$LIFTSPLIT" check $small --out "$TMPDIR/new" >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'a folder that is missing is made' $? 0
same 'all formats are written and nothing else' \
    "$(ls -A "$TMPDIR/new" | tr '\n' ' ')" 'check.csv check.json check.txt '
has 'what is written is said' "$TMPDIR/err" "written: $TMPDIR/new/check.json"
"$LIFTSPLIT" check $small --format csv --quiet >"$TMPDIR/csv"
same 'a file holds what stdout would' \
    "$(cmp "$TMPDIR/csv" "$TMPDIR/new/check.csv")" ''
has 'the result is on stdout as well' "$TMPDIR/out" 'SOUND'

for width in 80 120; do
    COLUMNS=$width "$LIFTSPLIT" check $small --quiet --out "$TMPDIR/$width" \
        >/dev/null
done
same 'files do not depend on the terminal' \
    "$(cmp "$TMPDIR/80/check.txt" "$TMPDIR/120/check.txt")" ''

"$LIFTSPLIT" check $small --out /dev/null/x >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'a folder that cannot be made: exit state' $? 6
has 'a folder that cannot be made: message' "$TMPDIR/err" '/dev/null/x'
empty 'a folder that cannot be made: no half result' "$TMPDIR/out"
mkdir -p "$TMPDIR/taken/check.csv/x"
"$LIFTSPLIT" check $small --quiet --out "$TMPDIR/taken" \
    >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'a file that cannot be replaced: exit state' $? 6
has 'a file that cannot be replaced: message' "$TMPDIR/err" \
    'check.csv cannot be written'
same 'no temporary file is left' "$(ls -A "$TMPDIR/taken" | grep '^\.')" ''

mkdir "$TMPDIR/full"
said=$(
    trap '' XFSZ
    # One block: clang's OpenMP library writes less than that for itself.
    ulimit -f 1
    "$LIFTSPLIT" morning $small --quiet --out "$TMPDIR/full" 2>&1 >/dev/null
    echo "exit state $?"
)
has 'no room for a file: message' <(echo "$said") 'morning.txt cannot be written'
has 'no room for a file: exit state' <(echo "$said") 'exit state 6'
same 'no room for a file: no half file' "$(ls -A "$TMPDIR/full")" ''

for width in 80 120; do
    COLUMNS=$width "$LIFTSPLIT" check $small --quiet >"$TMPDIR/out"
    same "no line is wider than $width" \
        "$(awk -v w=$width 'length > w' "$TMPDIR/out")" ''
done
COLUMNS=80 "$LIFTSPLIT" curves $small --quiet >"$TMPDIR/narrow"
COLUMNS=20 "$LIFTSPLIT" curves $small --quiet >"$TMPDIR/out"
same 'a narrower screen gets 80 columns' \
    "$(cmp "$TMPDIR/narrow" "$TMPDIR/out")" ''

for locale in C de_DE.UTF-8; do
    LC_ALL=$locale "$LIFTSPLIT" curves $small --format csv --quiet \
        >"$TMPDIR/$locale"
done
same 'the locale changes nothing' \
    "$(cmp "$TMPDIR/C" "$TMPDIR/de_DE.UTF-8")" ''
finish
