#!/bin/bash
# The way through an outage, the cut list and the best start, from outside.
set -u
. tests/cli/lib

field=$TMPDIR/field
cp -r scenarios/three-wells "$field"

# outage LINES: an outage.yaml of a day in periods of two hours.
outage()
{
    printf 'format: 1\nname: trial\nhorizon: 24 h\nperiod: 2 h\n' \
        >"$field/outage.yaml"
    cat >>"$field/outage.yaml"
}

# figure FILE PATH...: a figure of a JSON text.
figure()
{
    python3 -c 'import json, sys
node = json.load(open(sys.argv[1]))
for key in sys.argv[2:]:
    node = node[int(key)] if isinstance(node, list) else node[key]
print(node)' "$@"
}

# near NAME GOT WANT: to a millionth.
near()
{
    same "$1" "$(awk -v g="$2" -v w="$3" 'BEGIN {
        d = g - w
        m = (w < 0 ? -w : w) * 1e-6 + 1e-6
        print(d <= m && d >= -m ? w : g) }')" "$3"
}

ask()
{
    "$LIFTSPLIT" "$@" --quiet --format json
}

# --- what it must agree with -------------------------------------------------

ask morning "$field" >"$TMPDIR/whole"
ask morning "$field" --gas '0.55 MMscf/d' >"$TMPDIR/half"
whole=$(figure "$TMPDIR/whole" plan oil_stb_d)
half=$(figure "$TMPDIR/half" plan oil_stb_d)

outage <<'END'
END
ask outage "$field" >"$TMPDIR/none"
same 'an outage of nothing is an answer' $? 0
near 'and defers nothing' "$(figure "$TMPDIR/none" totals deferred_stb)" 0
near 'and makes what the morning makes' \
    "$(figure "$TMPDIR/none" totals oil_stb)" "$whole"

# Wells that are back at once: every period is a morning of its own.
outage <<'END'
events:
  - {limit: lift_gas, from: 08:00, to: 16:00, left: 50 %, planned: yes}
END
ask outage "$field" --gap '0.0001 %' >"$TMPDIR/cut"
same 'half the gas for eight hours is an answer' $? 0
near 'and defers a third of what a day of it would cost' \
    "$(figure "$TMPDIR/cut" totals deferred_stb)" \
    "$(awk -v a="$whole" -v b="$half" 'BEGIN { print((a - b) / 3) }')"
near 'the gas of a period is what is left' \
    "$(figure "$TMPDIR/cut" timeline 1 gas_balance lift_mmscf_d)" 0.55
same 'the event is what costs' \
    "$(figure "$TMPDIR/cut" totals lost_to 0 cause)" 'lift gas'

# --- the page ----------------------------------------------------------------

"$LIFTSPLIT" outage "$field" --quiet --out "$TMPDIR/new" >"$TMPDIR/out"
same 'all formats are written' "$(ls "$TMPDIR/new" | tr '\n' ' ')" \
    'outage.csv outage.json outage.txt '
same 'a row for each period and well' "$(wc -l <"$TMPDIR/new/outage.csv")" 37
for part in 'HOUR BY HOUR' 'ORDERS, shift' 'WHAT IT COSTS' 'CHECK' CAUTIONS \
    'Every limit and rule holds'; do
    has "the page has: $part" "$TMPDIR/out" "$part"
done
for units in field metric; do
    for what in '' --ladder '--best-start 06:00..10:00'; do
        COLUMNS=80 "$LIFTSPLIT" outage "$field" $what --units $units \
            --quiet >"$TMPDIR/out"
        same "$units $what: no line is wider than 80" \
            "$(awk 'length > 80' "$TMPDIR/out")" ''
        same "$units $what: no line ends in a blank" \
            "$(grep ' $' "$TMPDIR/out")" ''
    done
done
ask outage "$field" --threads 1 >"$TMPDIR/one"
ask outage "$field" --threads 3 >"$TMPDIR/three"
same 'the number of threads changes not a byte' \
    "$(cmp "$TMPDIR/one" "$TMPDIR/three")" ''

# --- the cut list ------------------------------------------------------------

outage <<'END'
restart: {unload: 1 h, gas: 10 Mscf, build_up: 2 h}
store: {now: 5 Mscf, most: 5 Mscf}
END
ask outage "$field" --ladder >"$TMPDIR/ladder"
same 'a cut list is an answer' $? 0
near 'it starts with the oil of today' \
    "$(figure "$TMPDIR/ladder" long steps 0 oil_stb_d)" "$whole"
# A flows by itself at 200 stb/d; 5 Mscf last a day's 1100 Mscf 6.5 minutes.
near 'it ends with what flows by itself' \
    "$(figure "$TMPDIR/ladder" long steps 10 oil_stb_d)" 200
near 'the stored gas lasts so long' \
    "$(figure "$TMPDIR/ladder" long steps 10 act_in_minutes |
        awk '{ printf("%.9g", $1) }')" 6.54545455
# B needs 300 and C 100 Mscf/d: with 440 both run, with 330 they cannot.
same 'a short list keeps wells that are slow to return' \
    "$(figure "$TMPDIR/ladder" short steps | grep -o gas_left | wc -l)" 7
"$LIFTSPLIT" outage "$field" --ladder --quiet --format csv >"$TMPDIR/csv"
same 'no well gets more on the way down' \
    "$(awk -F, 'NR > 1 && $7 >= $6' "$TMPDIR/csv")" ''

# --- the best start ----------------------------------------------------------

outage <<'END'
events:
  - {limit: lift_gas, from: 06:00, to: 12:00, left: 80 %}
  - {well: C, from: 06:00, to: 12:00, planned: yes}
END
ask outage "$field" --best-start 06:00..18:00 >"$TMPDIR/best"
same 'a best start is an answer' $? 0
same 'every period of the window is tried' \
    "$(figure "$TMPDIR/best" starts | grep -o "'at'" | wc -l)" 7
same 'work on a well costs least while gas is short' \
    "$(figure "$TMPDIR/best" starts | grep -o "06:00[^}]*'best': True" |
        wc -l)" 1
ask outage "$field" >"$TMPDIR/one"
near 'it is the plan of that start' \
    "$(figure "$TMPDIR/best" totals deferred_stb)" \
    "$(figure "$TMPDIR/one" totals deferred_stb)"

# --- what cannot be ----------------------------------------------------------

# refused NAME STATE TEXT ARGUMENTS...
refused()
{
    "$LIFTSPLIT" "${@:4}" --quiet >"$TMPDIR/out" 2>"$TMPDIR/err"
    same "$1: exit state" $? "$2"
    has "$1: message" "$TMPDIR/err" "$3"
    empty "$1: nothing on stdout" "$TMPDIR/out"
}
refused 'two reports at once' 2 'one at a time' outage "$field" --ladder \
    --best-start 06:00..08:00
refused 'a window of one time' 2 'is not two times' outage "$field" \
    --best-start 06:00
refused 'a window of words' 2 'is not two times' outage "$field" \
    --best-start 'today..tomorrow'
refused 'least gas over time' 2 'oil or money' outage "$field" \
    --objective gas
refused 'moves of the day' 2 'outage takes no --moves' outage "$field" \
    --moves 3
refused 'a start past the horizon' 2 'past the horizon' outage "$field" \
    --best-start '+20 h..+22 h'
outage <<'END'
events:
  - {unit: K-9, from: 08:00, to: 16:00}
END
for command in outage check; do
    refused "$command: a unit that is not there" 3 'outage.yaml:6:' $command \
        "$field"
done
outage <<'END'
END
refused 'nothing planned' 3 'planned: yes' outage "$field" \
    --best-start 06:00..08:00
rm "$field/outage.yaml"
refused 'no outage.yaml' 6 'docs/input.md' outage "$field"

# No gas at all, and a well that must not be stopped.
outage <<'END'
events:
  - {limit: lift_gas, from: 08:00, to: 10:00}
wells:
  B: {never_stop: yes}
END
"$LIFTSPLIT" outage "$field" --quiet >"$TMPDIR/out"
same 'no plan: exit state' $? 4
has 'no plan: said' "$TMPDIR/out" 'NO PLAN MEETS EVERY LIMIT'
has 'no plan: no order' "$TMPDIR/out" 'No order is given'
finish
