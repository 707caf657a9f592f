#!/bin/sh
# Each rule of tools/check-* is broken once in a small tree of its own; the
# check has to name that file and must pass the tree without the fault.
set -eu

tree=$TMPDIR/tree
wrong=0

new_tree()
{
    rm -rf "$tree"
    for layer in base num fluid well curve field plan scenario report cli; do
        mkdir -p "$tree/include/$layer" "$tree/src/$layer" "$tree/tests"
        echo '/* malloc(1) and printf(x) in a comment */' \
            >"$tree/include/$layer/good.h"
        printf '#include "%s/good.h"\n' "$layer" >"$tree/src/$layer/good.c"
        echo 'const char *s = "exit(1) stdout"; /* strtod( */' \
            >>"$tree/src/$layer/good.c"
    done
    echo '#include <glpk.h>' >>"$tree/src/plan/good.c"
    printf '#include "base/good.h"\n' >>"$tree/src/fluid/good.c"
    echo '#include "csv.h"' >>"$tree/src/report/good.c"
    echo 'extern int n;' >"$tree/src/report/csv.h"
    echo 'void *p = malloc(1);' >>"$tree/src/base/arena.c"
    echo 'int n = printf("") + snprintf(0, 0, "");' >>"$tree/src/cli/good.c"
}

# refused CHECK FILE TEXT: the text, appended to the file, is refused.
refused()
{
    new_tree
    mkdir -p "$tree/$(dirname "$2")"
    printf '%s\n' "$3" >>"$tree/$2"
    if "$1" "$tree" >"$TMPDIR/out" || ! grep -q "^$2:" "$TMPDIR/out"; then
        echo "$1 let this pass in $2: $3" | head -n 2
        wrong=1
    fi
}

lines()
{
    seq "$1" | sed 's/.*/    x++;/'
}

layers=tools/check-layers
new_tree
$layers "$tree"
tools/check-size "$tree"

refused $layers src/base/good.c '#include "fluid/good.h"'
refused $layers include/num/good.h '#include "well/good.h"'
refused $layers src/plan/good.c '#include "scenario/good.h"'
refused $layers src/report/good.c '#include "scenario/good.h"'
refused $layers src/scenario/good.c '#include "report/good.h"'
refused $layers src/field/good.c '#include "cli/good.h"'
refused $layers src/well/good.c '#include "../fluid/private.h"'
refused $layers src/well/good.c '#include "src/fluid/private.h"'
refused $layers src/well/good.c '#include "absent.h"'
refused $layers src/plan/good.c '#include "glpk.h"'
refused $layers include/well/good.h '#include "good.h"'
refused $layers src/well/good.c '#include <glpk.h>'
refused $layers src/plan/second.c '#include <glpk.h>'
refused $layers include/plan/good.h '#include <glpk.h>'
refused $layers src/report/good.c '#include <yaml.h>'
refused $layers src/cli/good.c '#include <csv.h>'
refused $layers src/scenario/good.c '#include <jansson.h>'
refused $layers src/num/good.c 'void *p = malloc(3);'
refused $layers src/cli/good.c 'void f(void *p) { free (p); }'
refused $layers src/scenario/good.c 'double x = strtod("1", 0);'
refused $layers src/scenario/good.c 'double x = atof("1");'
refused $layers src/plan/good.c '    printf("%d", 1);'
refused $layers src/scenario/good.c '    fputs("", stdout);'
refused $layers src/well/good.c '    exit(1);'
refused $layers src/cli/good.c '    setlocale(LC_ALL, "");'
refused $layers src/odd/good.c 'int x;'
refused $layers src/num/good.c '/* one */ char *s = "\""; exit(1);'

size=tools/check-size
refused $size src/num/good.c "void f(int x)
{
$(lines 59)
}"
refused $size tests/good.c "/* $(seq -s ' ' 40) */"
refused $size include/num/good.h "$(lines 700)"
new_tree
{
    printf 'void f(int x)\n{\n'
    lines 58
    printf '}\n/* %s */\n' "$(seq -s ° 28)"
} >>"$tree/src/num/good.c"
$size "$tree"

for fault in 'static int n; int f(void) { return n++; }' 'int n;' 'int n = 1;' \
    'const char *name = "a";' '_Thread_local int n;' \
    'int f(void) { static int n = 3; return n++; }'; do
    echo "$fault" >"$TMPDIR/fault.c"
    gcc -O2 -c -o "$TMPDIR/fault.o" "$TMPDIR/fault.c"
    if tools/check-statics "$TMPDIR/fault.o" >/dev/null; then
        echo "check-statics let this pass: $fault"
        wrong=1
    fi
done
cat >"$TMPDIR/good.c" <<'EOF'
static const char *const name[] = {"a", "b"};
const double table[] = {1, 2};
const char *f(int i) { return name[i]; }
EOF
gcc -O2 -c -o "$TMPDIR/good.o" "$TMPDIR/good.c"
tools/check-statics "$TMPDIR/good.o"

exit $wrong
