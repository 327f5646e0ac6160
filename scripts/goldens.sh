#!/usr/bin/env bash
# Rewrites the golden files: runs the tests of every folder that knows the flag
# -update with it. Look at `git diff` afterwards: a golden is right only when
# somebody has read the change.
set -euo pipefail
cd "$(dirname "$0")/.."

git ls-files --cached --others --exclude-standard -- '*_test.go' |
	while read -r f; do [ -e "$f" ] && grep -l '"update"' "$f" || true; done |
	xargs -r -n1 dirname | sort -u |
	while read -r folder; do
		echo "goldens: $folder"
		go test "./$folder" -count=1 -update </dev/null
	done
