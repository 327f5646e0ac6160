// Package store keeps the book of a workshop: rebuilds and their files, in one
// folder that can be copied, read by other programs and carried away.
//
// A book is a folder with book.db (SQLite; tables with plain typed columns, see
// migrations/), files/ab/HASH (photos and receipts under the SHA-256 of their
// content) and lock (held while a process has the book open for writing).
//
// In: a [rebuild.Change] made by the functions of package rebuild. Out: the next
// [rebuild.Rebuild], after the rows and a journal line with each item as it was
// and as it became are safely on disk, in one transaction. Rebuilds are loaded
// whole and kept in memory by version, so that a page reads no row. A change
// counts once however often its form is sent ([By].Request). [Book.Undo] and
// [Book.Redo] go along the journal. Times are milliseconds, UTC.
//
// Durability: write-ahead log with synchronous=FULL (https://sqlite.org/pragma.html#pragma_synchronous),
// so that a change that was acknowledged survives a crash of the process or the
// machine; files are written aside, synced and renamed before a row tells of them.
//
// Errors that a person can do something about have a Hint method.
package store
