#!/usr/bin/env bash
# The linters, each named before it runs; goes on after a failure so that one
# run shows everything, and ends with the names of those that failed.
set -uo pipefail
cd "$(dirname "$0")/.."

failed=()
step() {
	local name=$1
	echo "lint: $name"
	shift
	"$@" || failed+=("$name")
}

# Formatters print the names of files they would change and still exit 0.
prints_nothing() {
	local out
	out=$("$@") || return 1
	[ -z "$out" ] && return 0
	printf '%s\n' "$out" >&2
	return 1
}

# Only files that git knows or would add: no dependency folder, no book.
mapfile -t files < <(git ls-files --cached --others --exclude-standard -- '*.go' |
	while read -r f; do [ -e "$f" ] && echo "$f"; done)

step gofmt prints_nothing gofmt -l "${files[@]}"
step gofumpt prints_nothing go tool -modfile=tools.mod gofumpt -l "${files[@]}"
step "go vet" go vet ./...
step staticcheck go tool -modfile=tools.mod staticcheck ./...

if [ "${#failed[@]}" -gt 0 ]; then
	echo "lint: FAILED: ${failed[*]}" >&2
	exit 1
fi
echo "lint: clean"
