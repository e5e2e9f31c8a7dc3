#!/usr/bin/env bash
# Tests the page in a real browser against the program itself.
#
#   tools/page-tests.sh [PROGRAM] [TEST…]       PROGRAM: default build/release/seamwright; TEST: files in web/tests
#   tools/page-tests.sh --pictures [PROGRAM]    takes the pictures for docs/pictures/page instead
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
pictures=
if [[ ${1:-} == --pictures ]]; then
    pictures=yes
    shift
fi
program=$(realpath -m "${1:-$root/build/release/seamwright}")
[[ $# -gt 0 ]] && shift
if [[ ! -x $program ]]; then
    echo "tools/page-tests.sh: there is no program at $program; build it first." >&2
    exit 2
fi
if [[ ! -x /usr/bin/chromium ]]; then
    echo "tools/page-tests.sh: /usr/bin/chromium is missing (Debian package chromium)." >&2
    exit 2
fi
"$root/tools/web.sh" --packages-only
cd "$root/web"
export SEAMWRIGHT_PROGRAM=$program
if [[ -n $pictures ]]; then
    exec node tests/pictures.mjs "$root/docs/pictures/page"
fi
tests=("$@")
[[ ${#tests[@]} -gt 0 ]] || tests=(tests/*.test.mjs)
# One after the other: the frame figures mean something only while nothing else is drawn.
exec node --test --test-concurrency=1 --test-reporter=spec "${tests[@]}"
