#!/usr/bin/env bash
# Runs every fuzz target of the module for a short time each.
# Usage: scripts/fuzz.sh [TIME]   TIME as go test takes it, 20s when not given.
set -euo pipefail
cd "$(dirname "$0")/.."
time=${1:-20s}

# Fuzzing takes one target at a time; the targets are found in the sources.
git ls-files --cached --others --exclude-standard -- '*_test.go' |
	while read -r f; do [ -e "$f" ] && grep -HoE '^func Fuzz[A-Za-z0-9_]+' "$f" || true; done |
	while IFS=: read -r file func; do
		target=${func#func }
		echo "fuzz: $target in $(dirname "$file") for $time"
		go test "./$(dirname "$file")" -run '^$' -fuzz "^${target}\$" -fuzztime "$time" -fuzzminimizetime 10x </dev/null
	done
