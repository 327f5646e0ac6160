// Package buildfile is what a build file is made of and how one is checked: the
// document that becomes pages of paper, the manifest of its files, the record of
// evidence in which each entry holds the hash of the one before, the rules by
// which an edition leaves things out, and the comparison of results kept with
// results worked out again.
//
// Inputs and outputs are plain values; nothing here reads or writes a file.
// Hashes are SHA-256 (FIPS 180-4) over bytes, and for the record over canonical
// JSON (RFC 8785), so that anybody can work them out again with other tools.
// What a signature proves is said in [Manifest].
package buildfile
