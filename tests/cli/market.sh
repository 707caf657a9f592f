#!/bin/bash
# The market, and the what-if options of a morning: single points of it.
set -u
. tests/cli/lib

field=$TMPDIR/field
mkdir -p "$field"
cp scenarios/three-wells/*.csv "$field"
sed 's/^limits:.*/limits: {lift_gas: 1100 Mscf\/d}/' \
    scenarios/three-wells/scenario.yaml >"$field/scenario.yaml"
cat >>"$field/scenario.yaml" <<'END'
compressors:
  K-1: {capacity: 900 Mscf/d, state: running}
  K-2: {capacity: 500 Mscf/d, state: running}
station: {fuel: 2 %, flare_maximum: 1 MMscf/d}
sales: {maximum: 1 MMscf/d, price: 2 $/Mscf, from: discharge}
market: {maximum: 300 Mscf/d, price: 3 $/Mscf, enters: suction}
prices: {oil: 60 $/stb, water: 1 $/stb, compression: 0.2 $/Mscf}
END

# of FILE KEY NAME VALUE: the number KEY of the first object of the JSON in
# which NAME is VALUE; of the object named VALUE if NAME is "in".
of()
{
    awk -v key="\"$2\":" -v name="\"$3\":" -v value="$4" '
    name == "\"in\":" && $1 == "\"" value "\":" { is_it = 1 }
    index($0, name " " value) { is_it = 1 }
    is_it && $1 == key { sub(",", "", $2); print $2; exit }' "$1"
}

# sum NUMBER...: nine digits, as many as CSV has; nothing without a number.
sum()
{
    awk 'BEGIN {
        for (i = 1; i < ARGC; i++) {
            if (ARGV[i] == "") exit
            all += ARGV[i]
        }
        printf("%.9g\n", all)
    }' "$@"
}

ask()
{
    "$LIFTSPLIT" "$@" --quiet --format json
}

ask market "$field" >"$TMPDIR/market"
same 'a market is an answer' $? 0
"$LIFTSPLIT" market scenarios/three-wells --quiet --format csv >"$TMPDIR/csv"
same 'it has a point for no gas, where one well flows alone' \
    "$(sed -n 2p "$TMPDIR/csv" | cut -d, -f1,3,4,9)" '-1.1,0,200,1'
same 'today is a point' "$(grep -c today "$TMPDIR/csv")" 1
n=0
while IFS=, read -r change _ _ oil _; do
    n=$((n + 1))
    [ $((n % 16)) -eq 0 ] || continue
    gas=$(awk -v c="$change" 'BEGIN { printf("%.12g", 1.1 + c) }')
    ask morning scenarios/three-wells --gas "$gas MMscf/d" >"$TMPDIR/one"
    got=$(awk '/"plan":/ { is_it = 1 } is_it && $1 == "\"oil_stb_d\":" {
        printf("%.6g\n", $2); exit }' "$TMPDIR/one")
    same "--gas $gas is a point of the curve" "$got" \
        "$(awk -v o="$oil" 'BEGIN { printf("%.6g", o) }')"
done < <(tail -n +2 "$TMPDIR/csv")
same 'points were compared' $((n > 60)) 1

# With a compressor less.
today=$(of "$TMPDIR/market" oil_stb_d in by_objective)
loss=$(of "$TMPDIR/market" oil_change_stb_d what '"without compressor K-2"')
ask morning "$field" --unit K-2=off >"$TMPDIR/one"
same '--unit is what the unit is worth' \
    "$(sum "$(of "$TMPDIR/one" oil_stb_d in plan)")" "$(sum "$today" "$loss")"
same 'a compressor less costs oil' "$(awk -v b="$loss" 'BEGIN {
    print(b + 0 < -1) }')" 1
ask morning "$field" --unit K-2=off --unit K-1=off >"$TMPDIR/one"
same 'several units can be set' \
    "$(grep -c '"running": true' "$TMPDIR/one")" 0

# Prices: the rows of gas bought and sold.
for price in 3 0; do
    for word in market sales; do
        list=buying
        [ $word = market ] || list=selling
        ask morning "$field" --objective money \
            --$word-price "$price \$/Mscf" >"$TMPDIR/one"
        sed -n "/\"$list\"/,/^ \]/p" "$TMPDIR/market" >"$TMPDIR/list"
        want=$(of "$TMPDIR/list" money_usd_d price_usd_mscf "$price.0")
        [ -n "$want" ] || continue
        same "--$word-price $price is a row of the market" \
            "$(sum "$(of "$TMPDIR/one" money_usd_d in plan)")" "$(sum "$want")"
        echo "$word $price" >>"$TMPDIR/prices"
    done
done
same 'three prices were compared' "$(wc -l <"$TMPDIR/prices")" 3
ask morning "$field" --buy '0 Mscf/d' >"$TMPDIR/one"
change=$(of "$TMPDIR/market" oil_change_stb_d what '"without gas to buy"')
same '--buy nothing is without gas to buy' \
    "$(sum "$(of "$TMPDIR/one" oil_stb_d in plan)")" \
    "$(sum "$today" "$change")"
for gas in 0.1 0.4; do
    ask morning "$field" --sell "$gas MMscf/d" >"$TMPDIR/one"
    same "--sell $gas is no more and no less" \
        "$(sum "$(of "$TMPDIR/one" sales_mmscf_d in plan)")" $gas
done
# 60 $/stb of oil less 1 $/stb of water, 2 $/Mscf and 0.2 $/Mscf beside: at
# twice the price of oil the money grows by 60 $ for each stb.
ask morning "$field" >"$TMPDIR/one"
ask morning "$field" --oil-price '120 $/stb' >"$TMPDIR/two"
same '--oil-price counts every barrel' "$(
    echo "$(of "$TMPDIR/one" oil_stb_d in plan)" \
        "$(of "$TMPDIR/one" money_usd_d in plan)" \
        "$(of "$TMPDIR/two" money_usd_d in plan)" |
        awk '{ d = $3 - $2 - 60 * $1; print($1 > 0 && d < 0.01 && d > -0.01) }'
)" 1
# More pressure for all wells: their curves are built anew.
ask market scenarios/demo --header '900 psig' >"$TMPDIR/low"
ask morning scenarios/demo --header '950 psig' >"$TMPDIR/one"
today=$(of "$TMPDIR/low" oil_stb_d in by_objective)
change=$(of "$TMPDIR/low" oil_change_stb_d what '"50 psi more header pressure"')
same '50 psi are worth what --header brings' \
    "$(sum "$(of "$TMPDIR/one" oil_stb_d in plan)")" "$(sum "$today" "$change")"
ask market scenarios/three-wells --oil-price '60 $/stb' >"$TMPDIR/one"
same 'an oil price can be given where there is none' \
    "$(grep -c '"money_usd_d": null' "$TMPDIR/one")" 0

# What cannot be.
refused()
{
    "$LIFTSPLIT" "${@:3}" --quiet >"$TMPDIR/out" 2>"$TMPDIR/err"
    same "$1: exit state" $? 2
    has "$1: message" "$TMPDIR/err" "$2"
}
refused 'a unit with a slip' 'did you mean K-2?' morning "$field" --unit k2=off
refused 'a unit unlike all' 'no such compressor' morning "$field" \
    --unit pump=off
refused 'a state unknown' 'on, off or available' morning "$field" \
    --unit K-1=maybe
refused 'a unit without a state' 'write --unit K-1=off' morning "$field" \
    --unit K-1
refused 'a price of something else' '$/stb' morning "$field" \
    --oil-price '60 $/Mscf'
refused 'least gas has no curve' 'oil or money against gas' market "$field" \
    --objective gas --target '100 stb/d'
refused 'a check buys nothing' 'check takes no --buy' check "$field" \
    --buy '1 MMscf/d'

"$LIFTSPLIT" market "$field" --quiet --target '9999 stb/d' >"$TMPDIR/out"
same 'no plan: exit state' $? 4
has 'no plan: said' "$TMPDIR/out" 'NO PLAN MEETS EVERY LIMIT'

"$LIFTSPLIT" market "$field" --quiet --out "$TMPDIR/new" >"$TMPDIR/out"
same 'all formats are written' "$(ls "$TMPDIR/new" | tr '\n' ' ')" \
    'market.csv market.json market.txt '
for units in field metric; do
    for width in 80 120; do
        COLUMNS=$width "$LIFTSPLIT" market "$field" --units $units --quiet \
            >"$TMPDIR/out"
        same "$units: no line is wider than $width" \
            "$(awk -v w=$width 'length > w' "$TMPDIR/out")" ''
        same "$units: no line ends in a blank" "$(grep ' $' "$TMPDIR/out")" ''
    done
done
for part in 'OIL AGAINST GAS' 'compression full' 'displacing sales' 'bought' \
    'spare compression' 'GAS BOUGHT' 'GAS SOLD' 'WHO GIVES GAS UP FIRST' \
    'WHAT THINGS ARE WORTH TODAY' 'OBJECTIVES SIDE BY SIDE'; do
    has "the page has: $part" "$TMPDIR/out" "$part"
done
finish
