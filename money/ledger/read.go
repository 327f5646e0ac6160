package ledger

import (
	"fmt"

	"wreckwright/money/amount"
)

// Line is one entry as the reader sees it.
type Line struct {
	ID       int64 // of an existing entry; 0 for a pasted row
	On       string
	Amount   amount.Amount // tax included; below zero: money back
	Tax      amount.Amount
	Kind     string // one of Options.Kinds, or empty
	Supplier string
	What     string
	Job      string // what stands in the job column; the caller finds the job
}

// Sign is which way a column of sums counts.
type Sign string

// The signs.
const (
	GuessSign    Sign = ""
	PaidPositive Sign = "paid is positive" // as a list of bills
	PaidNegative Sign = "paid is negative" // as a bank statement
)

// HeaderChoice says whether the first row names the columns.
type HeaderChoice string

// The choices.
const (
	GuessHeader HeaderChoice = ""
	WithHeader  HeaderChoice = "first row"
	NoHeader    HeaderChoice = "none"
)

// Options are what is known beforehand and what the person chose instead of the
// guesses. The zero value, but for Currency, guesses all.
type Options struct {
	Currency  string   // ISO 4217, of the ledger
	Kinds     []string // known kinds of cost
	Today     string   // ISO date; later days are doubted; empty: not known
	Existing  []Line   // what is in the ledger already
	Separator rune     // 0 guesses
	Decimal   rune     // '.' or ','; 0 guesses
	DayOrder  DayOrder
	Sign      Sign
	Header    HeaderChoice
	Columns   []Field // by column; nil guesses
}

// Problem is what is wrong with a row, and where.
type Problem struct {
	Column int // from 0; -1: the row as a whole
	Field  Field
	Text   string
}

// Row is one row of the paste.
type Row struct {
	LineNumber int // in the pasted text, from 1
	Cells      []string
	Line       Line
	Problems   []Problem  // it cannot be entered while there are any
	Notes      []string   // it can, but look at it
	LeftOut    string     // why it is not taken as an entry: a totals row, above the header
	Duplicate  *Duplicate // what it seems to repeat
}

// Good reports whether the row can be entered as it stands.
func (r Row) Good() bool { return r.LeftOut == "" && len(r.Problems) == 0 }

// Offered reports whether it is suggested for entering: good and no duplicate.
func (r Row) Offered() bool { return r.Good() && r.Duplicate == nil }

// Question is a guess that the paste does not settle.
type Question struct {
	About   string   // "day order", "decimal sign", "sign"
	Text    string   // what is in doubt, with an example
	Choices []string // values for the field of Options of that name
	Taken   string   // the one that the preview uses
}

// Preview is a paste as it would be entered.
type Preview struct {
	Separator rune
	HasHeader bool
	Columns   []Column
	DayOrder  DayOrder
	Decimal   rune // [amount.Guess] where the column has no clear one
	Sign      Sign
	Rows      []Row
	Questions []Question
	Notes     []string
	// Good, Bad, LeftOut and Duplicates count the rows; a duplicate is good too.
	Good, Bad, LeftOut, Duplicates int
	Sum                            amount.Amount // of the offered rows
}

// Read makes the preview of a file or a paste. It fails only where there is
// nothing to preview: too large ([*TooLarge]), no text, unknown currency.
func Read(data []byte, o Options) (Preview, error) {
	if len(data) > MaxBytes {
		return Preview{}, &TooLarge{"bytes", len(data), MaxBytes}
	}
	if !amount.KnownCurrency(o.Currency) {
		return Preview{}, fmt.Errorf("currency %q is not an ISO 4217 code such as GBP or EUR", o.Currency)
	}
	text, note := Text(data)
	p := Preview{Separator: o.Separator, Sum: amount.New(0, o.Currency)}
	if note != "" {
		p.Notes = append(p.Notes, note)
	}
	if p.Separator == 0 {
		p.Separator = guessSeparator(text)
	}
	records, err := records(text, p.Separator)
	if err != nil {
		return Preview{}, err
	}
	head := headerAt(records, o.Header)
	if n := len(records) - head - 1; n > MaxRows {
		return Preview{}, &TooLarge{"rows", n, MaxRows}
	}
	p.fill(records, head, o)
	return p, nil
}

// records cuts the text; blank lines are passed over.
func records(text string, sep rune) ([]record, error) {
	var out []record
	rows, columns := 0, 0
	split(text, sep, func(r record) bool {
		if r.blank() {
			return true
		}
		rows++
		columns = max(columns, len(r.cells))
		if rows <= MaxRows+linesAbove {
			out = append(out, r)
		}
		return columns <= MaxColumns
	})
	switch {
	case columns > MaxColumns:
		return nil, &TooLarge{"columns", columns, MaxColumns}
	case rows > MaxRows+linesAbove:
		return nil, &TooLarge{"rows", rows, MaxRows}
	case rows == 0:
		return nil, fmt.Errorf("there is nothing to read: paste rows with a date, an amount and what it was for, one bill a row")
	}
	return out, nil
}

// headerAt is the index of the header row, or -1.
func headerAt(all []record, choice HeaderChoice) int {
	switch choice {
	case WithHeader:
		return 0
	case NoHeader:
		return -1
	}
	return findHeader(all)
}

// fill works the preview out of the records, whose header is at head.
func (p *Preview) fill(all []record, head int, o Options) {
	var header []string
	body := all[head+1:]
	if head >= 0 {
		header, p.HasHeader = all[head].cells, true
	}
	p.Columns = mapColumns(header, body, o)
	for _, r := range all[:max(head, 0)] {
		p.Rows = append(p.Rows, Row{LineNumber: r.line, Cells: r.cells, LeftOut: "stands above the header"})
	}
	p.settle(body, o)
	reader := rowReader{preview: p, options: o}
	for _, r := range body {
		p.Rows = append(p.Rows, reader.row(r))
	}
	markTotals(p.Rows)
	markDuplicates(p.Rows, o.Existing)
	p.missingColumns()
	p.count()
}

// column lists the cells of a field that hold anything.
func (p *Preview) column(rows []record, f Field) []string {
	at := p.columnOf(f)
	if at < 0 {
		return nil
	}
	var out []string
	for _, r := range rows {
		if at < len(r.cells) && r.cells[at] != "" {
			out = append(out, r.cells[at])
		}
	}
	return out
}

// columnOf is the column read as a field, or -1.
func (p *Preview) columnOf(f Field) int {
	for i, c := range p.Columns {
		if c.Field == f {
			return i
		}
	}
	return -1
}

func (p *Preview) missingColumns() {
	if p.columnOf(FieldDate) < 0 {
		p.Notes = append(p.Notes, "no column looks like dates: say which one is the date")
	}
	if p.columnOf(FieldAmount) < 0 && p.columnOf(FieldPaidIn) < 0 {
		p.Notes = append(p.Notes, "no column looks like sums of money: say which one is the amount")
	}
	if p.columnOf(FieldWhat) < 0 && p.columnOf(FieldSupplier) < 0 {
		p.Notes = append(p.Notes, "no column says what it was for or who was paid: say which one does")
	}
}

func (p *Preview) count() {
	for _, r := range p.Rows {
		switch {
		case r.LeftOut != "":
			p.LeftOut++
		case len(r.Problems) > 0:
			p.Bad++
		default:
			p.Good++
		}
		if r.Good() && r.Duplicate != nil {
			p.Duplicates++
		}
		if r.Offered() {
			p.Sum.Minor += r.Line.Amount.Minor
		}
	}
}
