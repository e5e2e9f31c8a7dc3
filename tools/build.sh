#!/usr/bin/env bash
# Configures (once) and builds one CMake preset. Quiet when all goes well; on failure the log is shown.
#
#   tools/build.sh release [TARGET…]
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
preset=$1
shift
folder=$root/build/$preset
log=$folder/build.log
mkdir -p "$folder"
cd "$root"

step() {
    if ! "$@" </dev/null >>"$log" 2>&1; then
        # The first error is what matters; the end of the log is often only what followed from it.
        grep -m 20 -A 5 -E 'error|FAILED|Error' "$log" >&2 || tail -n 40 "$log" >&2
        echo "Building '$preset' failed. The whole log: $log" >&2
        exit 1
    fi
}

: >"$log"
# A folder that was moved or copied remembers its old place and cannot be built in.
cache=$folder/CMakeCache.txt
if [[ -f $cache ]] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$root" "$cache"; then
    rm -rf "$folder/CMakeFiles" "$cache" "$folder/build.ninja"
fi
[[ -f $folder/build.ninja ]] || step cmake --preset "$preset"
targets=()
for target in "$@"; do targets+=(--target "$target"); done
step cmake --build --preset "$preset" "${targets[@]}"
