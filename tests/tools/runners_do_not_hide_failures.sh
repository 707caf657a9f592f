#!/bin/sh
# What tools/run-unit, run-scripts and watch-memory must not take as good.
set -eu

wrong=0
here=$TMPDIR

# script NAME BODY: makes an executable $here/NAME.
script()
{
    printf '#!/bin/sh\n%s\n' "$2" >"$here/$1"
    chmod +x "$here/$1"
}

passes()
{
    "$@" >"$here/out" 2>&1 || { echo "should pass: $*"; wrong=1; }
}

fails()
{
    if "$@" >"$here/out" 2>&1; then
        echo "should fail: $*"
        wrong=1
    fi
}

script good 'echo "[====] Synthesis: Tested: 10 | Passing: 10"'
script empty 'echo "[====] Synthesis: Tested: 0 | Passing: 0"'
script silent :
script failing 'echo "[====] Synthesis: Tested: 10 | Passing: 9"; exit 1'
passes tools/run-unit "$here/good"
fails tools/run-unit "$here/empty"
fails tools/run-unit "$here/silent"
fails tools/run-unit "$here/failing" "$here/good"
fails tools/run-unit "$here/absent" "$here/good"

passes tools/run-scripts "$here/good"
fails tools/run-scripts "$here/good" "$here/failing"
fails tools/run-scripts

cat >"$here/leak.c" <<'EOF'
#include <stdlib.h>
#include <string.h>
int main(int argc, char **argv)
{
    int *p = malloc(10);
    memset(p, 0, 8);
    if (argc > 1 && strcmp(argv[1], "leak") == 0)
        p = NULL;
    free(p);
    return 0;
}
EOF
gcc -g -O0 -o "$here/plain" "$here/leak.c"
gcc -g -O0 -fsanitize=address -o "$here/sanitised" "$here/leak.c"
# The leak shows in a child of a child and not in any exit state.
script parent '"$@" || :; exit 0'
for run in "asan $here/log $here/parent $here/sanitised" \
    "valgrind $here/log $here/parent $here/plain"; do
    passes tools/watch-memory $run tidy
    fails tools/watch-memory $run leak
done
passes tools/watch-memory asan "$here/log" true
fails tools/watch-memory asan "$here/log" false

exit $wrong
