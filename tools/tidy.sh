#!/usr/bin/env bash
# Runs clang-tidy on the sources of the program (not on the tests, whose macros drown the checks).
#
#   tools/tidy.sh                all of them
#   tools/tidy.sh --changed      those that differ from the last commit
#   tools/tidy.sh FILE…          these
#
# Reads the compile commands of the preset `test`, or of the folder named in BUILD.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
build=${BUILD:-build/test}
if [[ ! -f $build/compile_commands.json ]]; then
    echo "There are no compile commands in $build. Build first: tools/build.sh test" >&2
    exit 1
fi
if [[ $# -gt 0 && $1 != --* ]]; then
    files=("$@")
else
    mapfile -t files < <(tools/sources.sh "$@" | grep -E '^src/.*\.cpp$')
fi
# What g++ knows and clang does not is no finding; nor that libstdc++ 12 uses its own deprecated buffer in stable_sort.
printf '%s\0' "${files[@]}" |
    xargs -0 -P "$(nproc)" -n 1 clang-tidy-19 -p "$build" --quiet --extra-arg=-Wno-unknown-warning-option --extra-arg=-Wno-deprecated-declarations 2>&1 |
    { grep -vE '^[0-9]+ warnings? (generated|treated)' || true; }
echo "${#files[@]} files are tidy"
