// Package outside is how an engine's tests are held against the outside world:
// a published standard, a handbook table, a worked example, open data, a
// general reference library.
//
// Input: a table of [Case], each with the key of its source in
// knowledge/sources.yaml, the place in it, what was computed, the value got,
// the value published, the tolerance and why that tolerance ([TextCase] for
// results that are not numbers). [Check] and [CheckText] fail the test for each value that is out of tolerance and for each case that does not
// say where its number comes from. The tables are also read as source text: a
// test of knowledge/ fails when a place cited in an engine has no case here,
// and docs/REFERENCES.md lists the cases under their sources. For that to work
// Source and Where are written as plain string literals in the table.
//
// Only tests import this package.
package outside
