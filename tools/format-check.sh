#!/usr/bin/env bash
# Says which C++ files are not laid out as .clang-format wants; with --fix lays them out.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
mapfile -t files < <(tools/sources.sh)
if [[ ${1:-} == --fix ]]; then
    clang-format-19 -i "${files[@]}"
    exit 0
fi
if ! clang-format-19 --dry-run -Werror "${files[@]}" 2>/dev/null; then
    for file in "${files[@]}"; do
        clang-format-19 --dry-run -Werror "$file" 2>/dev/null || echo "  $file"
    done >&2
    echo "These files are not laid out as .clang-format wants. To lay them out: tools/format-check.sh --fix" >&2
    exit 1
fi
echo "${#files[@]} files are laid out well"
