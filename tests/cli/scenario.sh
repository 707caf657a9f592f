#!/bin/bash
# What a wrong or a doubtful scenario does to exit states and streams.
set -u
. tests/cli/lib
here=$TMPDIR/field
cp -r scenarios/small "$here"

"$LIFTSPLIT" check "$here" >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'warnings alone are no failure' $? 0
has 'a warning is on stderr' "$TMPDIR/err" 'warning: '
has 'a warning is in the report' "$TMPDIR/out" WARNINGS
"$LIFTSPLIT" check "$here" --strict >"$TMPDIR/strict" 2>/dev/null
same 'warnings under --strict: exit state' $? 1
same 'warnings under --strict: the same answer' \
    "$(cmp "$TMPDIR/out" "$TMPDIR/strict")" ''
"$LIFTSPLIT" check "$here" --quiet >/dev/null 2>"$TMPDIR/err"
empty 'quiet means no warnings on stderr' "$TMPDIR/err"

sed -i -e 's/water_cut: 60 %/water_cut: 160 %/' -e 's/north:/nord:/' \
    "$here/scenario.yaml"
for command in check curves morning; do
    "$LIFTSPLIT" $command "$here" --quiet >"$TMPDIR/out" 2>"$TMPDIR/err"
    same "$command of a wrong scenario: exit state" $? 3
    empty "$command of a wrong scenario: nothing on stdout" "$TMPDIR/out"
    has "$command of a wrong scenario: the place" "$TMPDIR/err" \
        "scenario.yaml:"
    has "$command of a wrong scenario: all faults" "$TMPDIR/err" 160
    has "$command of a wrong scenario: all faults" "$TMPDIR/err" north
done

"$LIFTSPLIT" check "$TMPDIR/nothing" >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'a scenario that is not there: exit state' $? 6
has 'a scenario that is not there: message' "$TMPDIR/err" nothing
finish
