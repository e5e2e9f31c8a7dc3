#!/usr/bin/env bash
# Lists the C++ files of the project, one a line: all of them, or with --changed those that differ from the last commit.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
# Files that git does not know yet count too; outside a clone every file does.
if [[ ${1:-} == --changed ]]; then
    { git diff --name-only --diff-filter=d HEAD; git ls-files --others --exclude-standard; }
elif git rev-parse --is-inside-work-tree >/dev/null 2>&1; then
    git ls-files --cached --others --exclude-standard
else
    find src tests fuzz bench tools -type f 2>/dev/null
fi | grep -E '^(src|tests|fuzz|bench|tools)/.*\.(cpp|h)$' | sort -u | while read -r file; do
    if [[ -f $file ]]; then echo "$file"; fi
done
