#!/bin/bash
# The gas side of the demonstration field: planted faults come out on top, other
# header pressures change the answer, and the reports fit a terminal.
set -u
. tests/cli/lib

demo=scenarios/demo
export COLUMNS=80

# first WELL: the best explanation of its readings
first()
{
    "$LIFTSPLIT" well $demo "$1" --diagnose --quiet --format json |
        grep -m 1 '"explanation"' | sed 's/.*: "\(.*\)",/\1/'
}

same 'shallow injection' "$(first QS-04)" \
    'injects at a station above the operating one'
same 'gas at two depths' "$(first QS-07)" \
    'a valve above stands open, and the gas enters there too'
same 'a hole in the tubing' "$(first QS-10)" \
    'gas enters through a hole in the tubing'
same 'a plugged port' "$(first QS-06)" \
    'the operating port is smaller than it should be'
same 'a meter that reads high' "$(first QE-01)" \
    'the meter of the injection rate is wrong'
same 'a healthy well' "$(first QS-03)" \
    'injects at the operating station, as meant'

# oil [OPTION ...]: planned, stb/d
oil()
{
    "$LIFTSPLIT" morning $demo --quiet --format json "$@" |
        grep -A1 '^ "plan": {' | sed -n 's/ *"oil_stb_d": \([0-9]*\).*/\1/p'
}

low=$(oil --header '1000 psig') same=$(oil) high=$(oil --header '1300 psig')
[ "${low:-0}" -gt 0 ] && [ "$low" -lt "$same" ] && [ "$same" -le "$high" ]
same "less header pressure makes less oil, more no less: $low, $same, $high" $? 0

for well in QN-06 QS-10 QE-01 QS-15 QS-15S QE-14 QN-15; do
    options=--unload
    case $well in QS-15* | QE-14 | QN-15) options= ;; esac
    "$LIFTSPLIT" well $demo $well $options --quiet >"$TMPDIR/report"
    same "well $well has a report" $? 0
    same "well $well: no line is wider than 80" \
        "$(awk 'length > 80' "$TMPDIR/report")" ''
done
# share NAME KEY: planned gas of a string or of its well
share()
{
    "$LIFTSPLIT" well $demo "$1" --quiet --format json |
        grep -A5 '^ "plan": {' | sed -n "s/.*\"$2_mscf_d\": \([0-9.]*\).*/\1/p"
}
same 'two strings share the gas of their well' \
    "$(awk "BEGIN {printf \"%.6f\", $(share QS-15 lift_gas_of_string) + \
        $(share QS-15S lift_gas_of_string)}")" \
    "$(awk "BEGIN {printf \"%.6f\", $(share QS-15S lift_gas)}")"
"$LIFTSPLIT" well $demo QN-06 --unload --quiet >"$TMPDIR/report"
grep -q '^UNLOADING' "$TMPDIR/report" && grep -q '^RESTART' "$TMPDIR/report"
same 'unloading and restart are told' $? 0
"$LIFTSPLIT" well $demo QE-14 --unload >"$TMPDIR/report" 2>"$TMPDIR/err"
same 'a well without valves cannot be unloaded' $? 2
finish
