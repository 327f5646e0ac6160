package ledger

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"wreckwright/money/amount"
)

// rowReader turns records into rows.
type rowReader struct {
	preview *Preview
	options Options
}

func (rr rowReader) row(r record) Row {
	row := Row{LineNumber: r.line, Cells: r.cells}
	rr.date(&row)
	rr.sums(&row)
	rr.texts(&row)
	if row.Line.What == "" && row.Line.Supplier == "" {
		row.problem(-1, FieldWhat, "it does not say what it was for or who was paid")
	}
	return row
}

func (row *Row) problem(column int, f Field, text string) {
	row.Problems = append(row.Problems, Problem{column, f, text})
}

func (rr rowReader) cell(row *Row, f Field) (text string, column int) {
	at := rr.preview.columnOf(f)
	if at < 0 || at >= len(row.Cells) {
		return "", at
	}
	return row.Cells[at], at
}

func (rr rowReader) date(row *Row) {
	text, at := rr.cell(row, FieldDate)
	w, err := readDate(text)
	if err != nil {
		row.problem(at, FieldDate, err.Error())
		return
	}
	day, ok := w.day(rr.preview.DayOrder)
	if !ok {
		row.problem(at, FieldDate, fmt.Sprintf("%q is not a day of the calendar between 1970 and 2200 when read %s", text, rr.preview.DayOrder))
		return
	}
	row.Line.On = day.Format(time.DateOnly)
	if rr.options.Today != "" && row.Line.On > rr.options.Today {
		row.Notes = append(row.Notes, fmt.Sprintf("%s is still to come", row.Line.On))
	}
}

func (rr rowReader) sums(row *Row) {
	code := rr.options.Currency
	text, at := rr.cell(row, FieldAmount)
	back, backAt := rr.cell(row, FieldPaidIn)
	f := FieldAmount
	if text == "" && back != "" {
		text, at, f = back, backAt, FieldPaidIn
	} else if text != "" && back != "" && !isNothing(back, code) {
		row.problem(backAt, FieldPaidIn, "both an amount paid and one paid in are given; a row is one or the other")
		return
	}
	a, err := readSum(text, code, rr.preview.Decimal)
	if err != nil {
		row.problem(at, f, err.Error())
		return
	}
	if f == FieldPaidIn && a.Minor > 0 || f == FieldAmount && rr.preview.Sign == PaidNegative {
		a = a.Neg()
	}
	if limit := int64(amount.MaxMinor / 1000); a.Minor > limit || a.Minor < -limit {
		row.problem(at, f, fmt.Sprintf("%s is too large a sum", a))
		return
	}
	row.Line.Amount, row.Line.Tax = a, amount.New(0, code)
	if a.IsZero() {
		row.problem(at, f, "the amount is nothing: only what was paid, or came back, goes into the ledger")
		return
	}
	rr.tax(row)
}

// isNothing reports a zero written out.
func isNothing(text, code string) bool {
	a, err := readSum(text, code, amount.Guess)
	return err == nil && a.IsZero() || strings.Trim(text, "-–— ") == ""
}

func (rr rowReader) tax(row *Row) {
	text, at := rr.cell(row, FieldTax)
	if text == "" {
		return
	}
	tax, err := readSum(text, rr.options.Currency, rr.preview.Decimal)
	if err != nil {
		row.problem(at, FieldTax, err.Error())
		return
	}
	if (tax.Minor < 0) != (row.Line.Amount.Minor < 0) {
		tax = tax.Neg()
	}
	if abs(tax.Minor) > abs(row.Line.Amount.Minor) {
		row.problem(at, FieldTax, fmt.Sprintf("the tax %s is more than the amount %s it is part of", tax, row.Line.Amount))
		return
	}
	row.Line.Tax = tax
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

// texts reads the words; the lengths are what a ledger entry holds.
func (rr rowReader) texts(row *Row) {
	row.Line.What = rr.text(row, FieldWhat, 300)
	row.Line.Supplier = rr.text(row, FieldSupplier, 120)
	row.Line.Job = rr.text(row, FieldJob, 200)
	cell, _ := rr.cell(row, FieldKind)
	if cell == "" {
		return
	}
	kind, ok := kindOf(cell, rr.options.Kinds)
	row.Line.Kind = kind
	if !ok {
		row.Notes = append(row.Notes, fmt.Sprintf("%q is not a kind of cost that is known here; choose one", short(cell)))
	}
}

// text is a cell on one line, cut to what the ledger holds.
func (rr rowReader) text(row *Row, f Field, most int) string {
	cell, _ := rr.cell(row, f)
	cell = strings.ToValidUTF8(strings.Join(strings.Fields(strings.Map(printable, cell)), " "), "\ufffd")
	if utf8.RuneCountInString(cell) <= most {
		return cell
	}
	row.Notes = append(row.Notes, fmt.Sprintf("the text was cut to %d characters", most))
	return string([]rune(cell)[:most])
}

// printable turns control characters into blanks.
func printable(r rune) rune {
	if r < ' ' || r >= 0x7f && r < 0xa0 {
		return ' '
	}
	return r
}

func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}
