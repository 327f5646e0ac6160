// Package ledger reads bills out of pasted rows and finds entries again.
//
// In: the text of a CSV file or of rows copied out of a spreadsheet ([Read]),
// or the entries of a ledger ([NewIndex]). Out: a [Preview] with every row as
// it would be entered or a precise problem, nothing saved; a [Page] of entries
// with the running balance.
//
// Method. The separator (tab, comma, semicolon) is the one that gives the most
// even columns. A header row is one with known words and no figures. Columns
// are matched to fields by their header words, then by what stands in them;
// the day order, the decimal sign and the sign of money paid are worked out
// from the whole column, because one cell often cannot tell. Whatever is
// guessed can be overridden in [Options], and where the column does not settle
// it the preview says so ([Preview.Questions]). Amounts never pass through a
// float. Nothing is dropped silently: blank lines, totals rows and lines above
// the header are listed with the reason why they are left out.
//
// The bounds are [MaxRows] rows, [MaxColumns] columns and [MaxBytes] bytes.
//
// ref: RFC_4180 section 2
package ledger
