#!/usr/bin/env bash
# Installs what the tests need and the machine lacks. Go alone builds the
# program; the tests also drive Chromium, compare with scipy, read PDFs with
# poppler, check signatures with openssl and run axe-core.
# Debian packages come by apt-get, axe-core by npm from its lock file.
# Does nothing, and needs no network, where everything is there already.
set -euo pipefail
cd "$(dirname "$0")/.."

as_root() {
	if [ "$(id -u)" -eq 0 ]; then
		"$@"
	elif command -v sudo >/dev/null; then
		sudo "$@"
	else
		echo "install-test-needs: not root and no sudo: run as root: $*" >&2
		return 1
	fi
}

missing=()
command -v chromium >/dev/null || missing+=(chromium)
command -v pdfinfo >/dev/null || missing+=(poppler-utils)
command -v openssl >/dev/null || missing+=(openssl)
/usr/bin/python3 -c 'import scipy' 2>/dev/null || missing+=(python3-scipy)
if ! command -v npm >/dev/null; then
	missing+=(nodejs npm)
fi

if [ "${#missing[@]}" -gt 0 ]; then
	if ! command -v apt-get >/dev/null; then
		echo "install-test-needs: missing ${missing[*]}: install them with this system's package manager, then run make test again" >&2
		exit 1
	fi
	echo "install-test-needs: installing ${missing[*]}"
	as_root env DEBIAN_FRONTEND=noninteractive apt-get update -q
	as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends "${missing[@]}"
fi

# npm writes node_modules/.package-lock.json last: older than the lock file, or
# missing, means that the folder is not what the lock file asks for.
lock=web/browsertest/package-lock.json
stamp=web/browsertest/node_modules/.package-lock.json
if [ ! -e "$stamp" ] || [ "$lock" -nt "$stamp" ]; then
	npm ci --prefix web/browsertest --no-audit --no-fund --ignore-scripts
	touch "$stamp"
fi
