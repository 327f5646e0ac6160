// Package report writes documents: the build file, as pages of paper (PDF) and
// as one ZIP that anybody can check, and it checks such a ZIP.
//
// What is told comes in as plain values of package prove/buildfile; what the
// files hold comes out of a book by way of a function that opens them. Photos are
// read one or two at a time, made small and written anew, so that their number
// does not count and no position stays in them. Checking reads the ZIP where it
// lies and writes nothing anywhere.
package report
