// Package gaugelog answers what a logger wrote down: times in seconds, gauge
// pressures in bar and the marks beside them, out of the CSV of any logger.
//
// In: the bytes of the file as a stream, and the columns and unit where the
// person names them. Out: a [Log] with one row for each readable pressure, the
// [Columns] as they were understood, guesses said, and counts of what was left
// out; or an [Error] that names file, line, column, what is wrong and what was
// expected. [ReadRuns] reads a list of pump runs.
//
// Method. The first lines are searched for a header that names a time and a
// pressure; lines above it are the logger's own notes. Separator (comma,
// semicolon, tab, bar), decimal comma, unit (bar, psi, kPa, MPa, gauge or
// absolute) and the form of the time (seconds and their multiples, a clock, a
// date with a time) come from the header, a row of units beneath it and the
// first rows; whatever was guessed is said in Columns. Where nothing names the
// unit, readings that do not look like bar are a mistake. Fields may be quoted
// (RFC 4180). An empty cell, NaN, n/a and their like are missing values and are
// counted; any other text in a number is a mistake. Rows that share one stamp
// are spread evenly up to the next stamp, since a logger that writes whole
// seconds may sample more often. A clock that runs backwards is a mistake; one
// that has no date may pass midnight.
//
// One pass, no row is held as text; memory is three numbers, 20 bytes, for each
// row (for a moment 28), at most [MaxRows] rows.
//
// ref: RFC_4180 section 2; ISO_8601 date and time; SI_BROCHURE_9 bar; YARD_1959 psi; ISO_2533 sea level
package gaugelog
