#!/usr/bin/env bash
# Runs clang-tidy on the sources of the program (not on the tests, whose macros drown the checks).
#
#   tools/tidy.sh                all of them
#   tools/tidy.sh --changed      those that differ from the last commit
#   tools/tidy.sh FILE…          these
#   tools/tidy.sh --within S     all, the newest first by their commits, as many as S seconds allow
#
# Reads the compile commands of the preset `test`, or of the folder named in BUILD.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
build=${BUILD:-build/test}
if [[ ! -f $build/compile_commands.json ]]; then
    echo "There are no compile commands in $build. Build first: tools/build.sh test" >&2
    exit 1
fi
within=0
if [[ ${1:-} == --within ]]; then
    within=$2
    # The order in which the last commits touched them; sources the history does not know come last.
    mapfile -t files < <({ git log --format= --name-only -n 400 2>/dev/null || true; tools/sources.sh; } |
        grep -E '^src/.*\.cpp$' | awk '!seen[$0]++' | while read -r file; do [[ -f $file ]] && echo "$file"; done)
elif [[ $# -gt 0 && $1 != --* ]]; then
    files=("$@")
else
    mapfile -t files < <(tools/sources.sh "$@" | grep -E '^src/.*\.cpp$')
fi
# What g++ knows and clang does not is no finding; nor that libstdc++ 12 uses its own deprecated buffer in stable_sort.
status=0
printf '%s\0' "${files[@]}" |
    timeout "$within" xargs -0 -P "$(nproc)" -n 1 clang-tidy-19 -p "$build" --quiet --extra-arg=-Wno-unknown-warning-option --extra-arg=-Wno-deprecated-declarations 2>&1 |
    { grep -vE '^[0-9]+ warnings? (generated|treated)' || true; } || status=$?
if [[ $status -eq 124 ]]; then
    echo "The newest of ${#files[@]} files are tidy, as many as $within s allowed"
elif [[ $status -ne 0 ]]; then
    exit "$status"
else
    echo "${#files[@]} files are tidy"
fi
