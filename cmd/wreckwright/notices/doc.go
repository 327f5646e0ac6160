// Package notices holds the licence notices of the modules that are linked into
// the program, and of the Go standard library, as embedded text.
//
// The texts are copied out of the module cache by `go generate`; a test
// compares them with what is linked, so that a new dependency cannot be
// forgotten.
package notices

//go:generate go run collect.go
