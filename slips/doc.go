// Package slips counts the slips of the keyboard between two words, so that a
// message on an unknown name can say which known one was meant.
//
// In: two words. Out: how many letters were added, left out or changed
// (Levenshtein's distance), by dynamic programming over one row.
package slips
