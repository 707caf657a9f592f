#!/bin/bash
# The answer to a whole scenario: outcomes, options and exit states.
set -u
. tests/cli/lib
small=scenarios/small

"$LIFTSPLIT" morning $small --quiet >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'a plan is an answer' $? 0
empty 'quiet is quiet' "$TMPDIR/err"
same 'the first line says how good it is' \
    "$(head -1 "$TMPDIR/out" | cut -d: -f1)" 'PROVEN OPTIMAL'
has 'the well on test is left alone' "$TMPDIR/out" 'on the test separator'

"$LIFTSPLIT" morning $small --quiet --strict >/dev/null
same 'warnings under --strict' $? 1

"$LIFTSPLIT" morning $small --quiet --gas '0.1 MMscf/d' >"$TMPDIR/out"
same 'no plan: exit state' $? 4
same 'no plan: the first line' "$(head -1 "$TMPDIR/out" | cut -d: -f1)" \
    'NO PLAN MEETS EVERY LIMIT'
has 'no plan: the conflict' "$TMPDIR/out" 'S-1'

# Figures of the JSON text, by their path.
figure()
{
    python3 -c 'import json, sys
node = json.load(open(sys.argv[1]))
for key in sys.argv[2:]:
    node = node[int(key)] if isinstance(node, list) else node[key]
print(node)' "$@"
}
"$LIFTSPLIT" morning $small --quiet --format json >"$TMPDIR/best"
"$LIFTSPLIT" morning $small --quiet --format json --moves 1 >"$TMPDIR/one"
"$LIFTSPLIT" morning $small --quiet --format json --moves 0 >"$TMPDIR/none"
moves=$(figure "$TMPDIR/one" moves | grep -o "'well'" | wc -l)
same 'one move means one move' "$moves" 1
same 'no move means no move' "$(figure "$TMPDIR/none" moves)" '[]'
oil=$(for f in none one best; do
    figure "$TMPDIR/$f" plan oil_stb_d
done)
same 'more moves never make less oil' "$oil" "$(echo "$oil" | sort -g)"

"$LIFTSPLIT" morning $small --quiet --format json --gas '1.5 MMscf/d' \
    >"$TMPDIR/less"
used=$(figure "$TMPDIR/less" plan gas_balance lift_mmscf_d)
same 'the gas of the command line is the limit' \
    "$(awk -v u="$used" 'BEGIN { print (u <= 1.5 + 1e-9 && u > 1.4) }')" 1

"$LIFTSPLIT" morning $small --quiet --format json --objective money \
    >"$TMPDIR/money"
same 'the objective is said' "$(figure "$TMPDIR/money" objective)" money
rich=$(figure "$TMPDIR/money" plan money_usd_d)
poor=$(figure "$TMPDIR/best" plan money_usd_d)
same 'a plan for money makes no less of it' \
    "$(awk -v a="$rich" -v b="$poor" 'BEGIN { print (a >= b - 1e-6) }')" 1
cp -r $small "$TMPDIR/free"
sed -i '/^prices:/d' "$TMPDIR/free/scenario.yaml"
"$LIFTSPLIT" morning "$TMPDIR/free" --objective money --quiet \
    >"$TMPDIR/out" 2>"$TMPDIR/err"
same 'money without prices: exit state' $? 3
has 'money without prices: message' "$TMPDIR/err" 'add prices'
empty 'money without prices: nothing on stdout' "$TMPDIR/out"

"$LIFTSPLIT" morning $small --quiet --format json --threads 1 >"$TMPDIR/one"
"$LIFTSPLIT" morning $small --quiet --format json --threads 3 >"$TMPDIR/three"
same 'the number of threads changes not a byte' \
    "$(cmp "$TMPDIR/one" "$TMPDIR/three")" ''

"$LIFTSPLIT" morning $small --quiet --format json --units metric \
    >"$TMPDIR/metric"
metric=$(figure "$TMPDIR/metric" plan oil_sm3_d)
field=$(figure "$TMPDIR/best" plan oil_stb_d)
# One stb is 0.158987294928 m3 (NIST SP 811, 2008).
same 'the units change no rate' \
    "$(awk -v m="$metric" -v f="$field" 'BEGIN {
        ratio = m / f / 0.158987294928
        print (ratio > 1 - 1e-12 && ratio < 1 + 1e-12)
    }')" 1

"$LIFTSPLIT" well $small N-1 --quiet >"$TMPDIR/out"
same 'one well is an answer' $? 0
has 'one well works on its curve' "$TMPDIR/out" 'the well works here'
"$LIFTSPLIT" well $small S-1 --quiet >"$TMPDIR/out"
has 'a well with a table has no model' "$TMPDIR/out" 'no model of this well'

for command in 'check' 'curves' 'morning' 'well N-2'; do
    for width in 80 120; do
        set -- $command
        COLUMNS=$width "$LIFTSPLIT" $1 $small ${2-} --quiet >"$TMPDIR/out"
        same "$command: no line is wider than $width" \
            "$(awk -v w=$width 'length > w' "$TMPDIR/out")" ''
    done
done

# Why a well gets what it gets.
"$LIFTSPLIT" morning scenarios/three-wells --explain C --quiet >"$TMPDIR/why"
same 'a well can be explained' $? 0
has 'its next best way is named' "$TMPDIR/why" 'The next best is without gas'
has 'its ways are listed' "$TMPDIR/why" 'on its curve, 300 to 900'
"$LIFTSPLIT" morning scenarios/three-wells --explain C --quiet --format json |
    grep -q '"why": "C gets 500 Mscf/d'
same 'also as JSON' $? 0
"$LIFTSPLIT" morning scenarios/three-wells --explain Z --quiet 2>"$TMPDIR/err"
same 'a well that is not there cannot be explained' $? 2
has 'and that is said' "$TMPDIR/err" 'there is no well "Z"'
finish
