// Package knowledge is what the program knows that is data, not code: the
// register of sources, the cautions, what the stages of a rebuild must get
// right, the salvage categories.
//
// Each list is a YAML file in this folder, built into the program, read once
// and checked strictly: an unknown key, a missing text, a second entry with the
// same key or a source that is not in the register is an error that names the
// file and the entry. The accessors ([Sources], [Cautions], [Stages],
// [Categories]) return plain structs in the order of the file; each call gives
// copies of its own, so that no reader can change what another sees.
//
// The fault models ([FaultModels]) are files of their own in faults/, handed out
// as they stand: package diagnose/faultmodel reads them, and a case of a rebuild
// begins as a copy of one. Their chances are own estimates unless a basis says
// otherwise; testdata/courses.txt shows where each of them leads.
//
// A value cites its source as `ref: KEY WHERE` (see [ParseRefs]). The tests of
// this package hold the register over the whole module: every cited key is
// registered, every registered key is cited, every place that an engine cites
// has a case in a test that checks it (package outside), and docs/REFERENCES.md,
// written out of all that by `make references`, is current.
package knowledge
