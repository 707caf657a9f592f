#!/bin/bash
# Stored reports, compared by number. After a change that is meant to move
# them: GOLDEN=write, run this script, and say in the commit why they moved.
set -u
. tests/cli/lib
golden=tests/golden/small
unset COLUMNS

"$LIFTSPLIT" morning scenarios/small --quiet --out "$TMPDIR/now" >/dev/null
same 'the scenario has an answer' $? 0
# How long the search took is no part of the answer.
sed -i '/"search_/d' "$TMPDIR/now/morning.json"
if [ "${GOLDEN-}" = write ]; then
    cp "$TMPDIR/now/morning.txt" "$TMPDIR/now/morning.json" $golden
fi
# Figures hold to what neighbouring compilers and libraries can tell apart.
same 'the JSON text is the stored one' \
    "$(tools/numdiff $golden/morning.json "$TMPDIR/now/morning.json" \
        1e-5 1e-6)" ''
same 'the page is the stored one' \
    "$(tools/numdiff $golden/morning.txt "$TMPDIR/now/morning.txt" 1e-3)" ''
finish
