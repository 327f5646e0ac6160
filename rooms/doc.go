// Package rooms holds the floor plan to its word. It is tests only.
//
// The top-level folders are rooms; docs/ARCHITECTURE.md says what each is for
// and the table in plan_test.go says what each may import. The tests read every
// Go file of the module with go/parser (asking the go command would let a
// cached answer pass for a fresh one) and report each import that the table
// does not allow, each folder that has no place in it, each pure room (the
// engines and the heart) that reaches
// for the disk, the network, the clock or shared randomness, each name that
// says nothing, and each folder without a doc.go. The rules themselves are tested on small made-up modules in
// testdata/, each with its faults listed.
package rooms
