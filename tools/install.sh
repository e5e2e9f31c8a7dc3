#!/usr/bin/env bash
# Installs the Debian packages that are missing, and nothing when none is.
#
#   tools/install.sh build         what ./run needs
#   tools/install.sh build test    what ./test needs as well
#   tools/install.sh build bench   what the benchmarks need as well
set -euo pipefail

build=(cmake ninja-build g++ ccache mold pkg-config libfmt-dev nlohmann-json3-dev libcli11-dev
    libcairo2-dev libpango1.0-dev libglib2.0-dev libqpdf-dev libssl-dev fonts-dejavu-core
    libsqlitecpp-dev libsqlite3-dev libcpp-httplib-dev libqrencode-dev
    libjpeg62-turbo-dev libpng-dev libapriltag-dev libeigen3-dev)
test=(libgtest-dev libgmock-dev librapidcheck-dev clang-19 llvm-19 clang-tidy-19 clang-format-19 libclang-rt-19-dev
    python3 python3-jsonschema qpdf poppler-utils libgeos-dev coinor-cbc chromium)
# The page is built with npm. Where it came with a Node.js of another origin, Debian's would stand in its way.
command -v node >/dev/null && command -v npm >/dev/null || build+=(nodejs npm)
bench=(libbenchmark-dev libgeos-dev libboost-dev libpolyclipping-dev)

wanted=()
for set in "$@"; do
    case "$set" in
        build) wanted+=("${build[@]}") ;;
        test) wanted+=("${test[@]}") ;;
        bench) wanted+=("${bench[@]}") ;;
        *)
            echo "tools/install.sh: no set of packages is called '$set'. There are: build, test, bench." >&2
            exit 2
            ;;
    esac
done
if [[ ${#wanted[@]} -eq 0 ]]; then
    echo "tools/install.sh: say which set of packages: build, test, bench." >&2
    exit 2
fi

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    {
        echo "This is not a Debian system, so nothing can be installed here by itself."
        echo "Seamwright is built and tested on Debian 12, with these packages:"
        echo "  ${wanted[*]}"
    } >&2
    exit 1
fi

# Status "installed" only: a package that was removed but left its settings behind does not count.
installed=$(dpkg-query -W -f '${Package} ${db:Status-Status}\n' "${wanted[@]}" 2>/dev/null |
    sed -n 's/ installed$//p' || true)
missing=()
for package in "${wanted[@]}"; do
    grep -qxF -- "$package" <<<"$installed" || missing+=("$package")
done
[[ ${#missing[@]} -eq 0 ]] && exit 0

as_root=()
if [[ $(id -u) -ne 0 ]]; then
    if ! command -v sudo >/dev/null; then
        {
            echo "Some Debian packages are missing, and installing them takes an administrator. As root, run"
            echo "  apt-get update"
            echo "  apt-get install --no-install-recommends ${missing[*]}"
            echo "and start again."
        } >&2
        exit 1
    fi
    as_root=(sudo)
fi

echo "Installing ${#missing[@]} missing Debian packages: ${missing[*]}" | fold -s -w 100
log=$(mktemp)
trap 'rm -f "$log"' EXIT
apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -y -o DPkg::Lock::Timeout=300)
if ! { "${apt[@]}" update && "${apt[@]}" install --no-install-recommends "${missing[@]}"; } </dev/null >"$log" 2>&1; then
    tail -n 30 "$log" >&2
    echo "The packages could not be installed; the lines above say why." >&2
    exit 1
fi
