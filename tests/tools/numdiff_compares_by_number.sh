#!/bin/sh
# tools/numdiff lets numbers differ a little and nothing else.
set -u
bad=0

# expect STATE NAME WANT GOT [REL [ABS]]
expect()
{
    state=$1 name=$2
    printf '%b' "$3" >"$TMPDIR/want"
    printf '%b' "$4" >"$TMPDIR/got"
    shift 4
    tools/numdiff "$TMPDIR/want" "$TMPDIR/got" "$@" >"$TMPDIR/diff"
    if [ $? -ne "$state" ]; then
        echo "BAD: $name"
        cat "$TMPDIR/diff"
        bad=1
    fi
}

expect 0 'the same text' 'oil 12.5 stb/d\n' 'oil 12.5 stb/d\n'
expect 0 'wider columns' 'oil  12.5\n---  ----\n' 'oil   12.5\n----  -----\n'
expect 0 'a number within the tolerance' '"a": 1000.0001,\n' '"a": 1000.0,\n'
expect 1 'a number past the tolerance' '"a": 1000.1,\n' '"a": 1000.0,\n'
expect 0 'a tolerance of the caller' 'a 1000.1\n' 'a 1000.0\n' 1e-3
expect 0 'a small number within ABS' 'a 1e-12\n' 'a -2e-13\n' 1e-6 1e-9
expect 1 'a changed sign' 'a +12\n' 'a -12\n'
expect 1 'another word' 'oil 12\n' 'gas 12\n'
expect 1 'another unit' 'oil 12 stb/d\n' 'oil 12 Sm3/d\n'
expect 1 'a missing line' 'a 1\nb 2\n' 'a 1\n'
expect 1 'a line too many' 'a 1\n' 'a 1\nb 2\n'
expect 1 'a name that ends in a number' 'N-1 5\n' 'N-2 5\n'
exit $bad
