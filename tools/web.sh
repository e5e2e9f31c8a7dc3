#!/usr/bin/env bash
# Builds the page: installs what it needs into web/node_modules when the lock file changed, checks the types, bundles.
# Quiet when all goes well; on failure the log is shown.
#
#   tools/web.sh [FOLDER]          default build/web
#   tools/web.sh --packages-only   installs, the packages of the page's tests included, and builds nothing
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
with_tests=
if [[ ${1:-} == --packages-only ]]; then
    with_tests=yes
    shift
fi
folder=$(realpath -m "${1:-$root/build/web}")
mkdir -p "$root/build"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
cd "$root/web"

step() {
    if ! "$@" </dev/null >"$log" 2>&1; then
        tail -n 40 "$log" >&2
        echo "Building the page failed at: $*" >&2
        exit 1
    fi
}

if ! command -v node >/dev/null || ! command -v npm >/dev/null; then
    echo "The page is built with node and npm (Debian packages nodejs and npm); one of them is missing." >&2
    exit 1
fi

# Two builds at a time would write into the same node_modules.
exec 9>"$root/build/web.lock"
flock 9

stamp=node_modules/.seamwright
wanted=$(cat package.json package-lock.json | sha256sum | cut -d' ' -f1)
have=$(cat "$stamp" 2>/dev/null || true)
if [[ -n $with_tests ]]; then
    [[ $have == "$wanted with tests" ]] || { step npm ci --ignore-scripts && echo "$wanted with tests" >"$stamp"; }
    exit 0
fi
case "$have" in
    "$wanted" | "$wanted with tests") ;;
    *) step npm ci --ignore-scripts --omit=dev && echo "$wanted" >"$stamp" ;;
esac
step node_modules/.bin/tsc --noEmit
step node_modules/.bin/vite build --logLevel warn --outDir "$folder"
