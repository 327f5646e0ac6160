// Package working is the record behind "show the working": the steps by which
// an engine came to a figure.
//
// An engine appends a [Step] for every figure that a person may want to open:
// what it is, the formula in symbols, the value with its unit, and the key of
// the source in knowledge/sources.yaml (or the words "common practice",
// "own estimate"). Commands print the steps as the JSON array "working"; pages
// show them in a fold beneath the figure. The package does no arithmetic.
package working
