#!/bin/sh
# Times the forecast beside the same model in numpy, in turns, and prints the
# best of each with their ratios. Needs python3 with numpy; run it on a machine
# that does nothing else.
#
# usage: compare_numpy.sh [ROUNDS]
set -eu
cd "$(dirname "$0")"
unset OPENBLAS_CORETYPE OPENBLAS_L2_SIZE
rounds=${1:-5}
python=/usr/bin/python3
jobs=40 trials=100000
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go test -c -o "$work/bench" .
for round in $(seq "$rounds"); do
	"$work/bench" -test.run '^$' -test.bench "^BenchmarkForecast$/^jobs=$jobs\$/^trials=$trials\$" -test.benchtime 1x -test.count 10 |
		awk '/ns\/op/ { print $3 / 1e6 }' >>"$work/go"
	for style in plain tuned; do
		"$python" testdata/numpy_model.py $style $jobs $trials 10 |
			sed 's/.*"seconds": \([0-9.e-]*\).*/\1/' | awk '{ print $1 * 1000 }' >>"$work/$style"
	done
done
best() { sort -g "$work/$1" | head -n 1; }
echo "$jobs jobs x $trials trials, best of $rounds rounds of 10, milliseconds"
for style in plain tuned; do
	echo "$(best go) $(best $style) $style" |
		awk '{ printf "numpy, %-6s %8.1f    wreckwright %8.1f    ratio %.1f\n", $3, $2, $1, $2 / $1 }'
done
