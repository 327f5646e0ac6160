// Package codes answers what a reader of a car's control units showed: which
// fault codes, and what the raw bytes of live values mean.
//
// In: text as it was copied or typed ("P0301 P0420-11", a report of any reader),
// raw answers in hexadecimal ("41 0C 1A F8", with or without a header), or both,
// line by line. Out: each code by its structure (system, standard or maker's,
// group), each live value with its formula, the self-tests of emission control
// and whether they would do for an inspection, and what could not be read.
// [Compare] holds a record before work against one after it.
//
// A maker's code has the meaning that the maker gave it, which stands in the
// repair manual and nowhere here; of a standard one the group is told in words
// of our own, handed over in [Tables]. A code names a circuit or a symptom, not a
// part to buy.
//
// ref: SAE_J2012 structure of a code; SAE_J1979 service 01 scaling
package codes
