#!/bin/bash
# A wrong command line ends with 2, prints nothing on stdout and says what to
# write instead.
set -u
. tests/cli/lib

# refused NAME TEXT ARGUMENT...
refused()
{
    name=$1 text=$2
    shift 2
    "$LIFTSPLIT" "$@" >"$TMPDIR/out" 2>"$TMPDIR/err"
    same "$name: exit state" $? 2
    empty "$name: nothing on stdout" "$TMPDIR/out"
    has "$name: message" "$TMPDIR/err" "$text"
}

refused 'no command' 'no command'
refused 'unknown command' \
    'commands are check, curves, well, morning, market and outage' \
    mornin x
refused 'no scenario' 'morning needs SCENARIO' morning
refused 'no well' 'well needs SCENARIO NAME' well scenarios/small
refused 'a word too many' 'y is one word too many' check x y
refused 'unknown option' 'unknown option --gass' morning x --gass 1
refused 'single dash' 'unknown option -o' morning x -o y
refused 'abbreviation' 'write --format in full' morning x --form csv
refused 'option of another command' 'check takes no --moves' check x --moves 3
refused 'missing value' '--out needs a value: DIR' check x --out
refused 'option as a value' '--out needs a value: DIR' check x --out --quiet
refused 'value for a flag' '--strict takes no value' check x --strict=1
refused 'format' 'choose table, csv or json' check x --format xml
refused 'units' 'choose field or metric' check x --units si
refused 'objective' 'choose oil, money or gas' morning x --objective water
refused 'gas without unit' 'needs a unit of gas rate' morning x --gas 28
refused 'gas with a wrong unit' 'Mscf/d, MMscf/d' morning x --gas '28 stb/d'
refused 'gas below zero' 'is below zero' morning x --gas '-1 MMscf/d'
refused 'gas without number' 'does not start with a number' \
    morning x --gas MMscf/d
refused 'gas with a comma' 'does not start with a number' \
    morning x --gas '2,5 MMscf/d'
refused 'part of a move' 'is not a whole number' morning x --moves 2.5
refused 'moves below zero' 'is not a whole number' morning x --moves -1
refused 'no threads' 'is not a whole number from 1' morning x --threads 0
refused 'moves that are no number' 'is not a whole number' morning x --moves nan
refused 'a well that is not there' 'there is no well "Z-9"' \
    well scenarios/small Z-9 --quiet
refused 'a name that looks like an option' 'there is no well "--strict"' \
    --quiet -- well scenarios/small --strict

"$LIFTSPLIT" --format=csv --quiet check --units=metric scenarios/small \
    >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'options may stand anywhere' $? 0
has 'options with an equals sign count' "$TMPDIR/out" 'lift gas now (kSm3/d)'
"$LIFTSPLIT" check --format csv --quiet -- scenarios/small >"$TMPDIR/out2"
same 'two dashes end the options' $? 0
POSIXLY_CORRECT=1 "$LIFTSPLIT" check scenarios/small --format csv --quiet \
    >"$TMPDIR/out3"
same 'options after the scenario count everywhere' \
    "$(cmp "$TMPDIR/out2" "$TMPDIR/out3")" ''
finish
