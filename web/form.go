package web

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"wreckwright/money/amount"
	"wreckwright/money/ledger"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Form is what was typed, kept as typed so that a refused form comes back with
// it, and what is wrong with it.
type Form struct {
	Values   map[string][]string
	Problems []rebuild.Problem
}

// Value is the field's first value.
func (f *Form) Value(name string) string {
	if v := f.Values[name]; len(v) > 0 {
		return v[0]
	}
	return ""
}

// Has reports whether the field has that value: for boxes and lists.
func (f *Form) Has(name, value string) bool {
	for _, v := range f.Values[name] {
		if v == value {
			return true
		}
	}
	return false
}

// Set fills a field, for a form that opens on something that exists.
func (f *Form) Set(name string, values ...string) {
	if f.Values == nil {
		f.Values = map[string][]string{}
	}
	f.Values[name] = values
}

// Wrong is what is wrong with the field, or nothing.
func (f *Form) Wrong(name string) string {
	for _, p := range f.Problems {
		if p.Field == name {
			return p.Text
		}
	}
	return ""
}

func (f *Form) problem(field, format string, args ...any) {
	f.Problems = append(f.Problems, rebuild.Problem{Field: field, Text: fmt.Sprintf(format, args...)})
}

// readForm parses the request's form, uploads included.
func readForm(r *http.Request) (*Form, error) {
	// Asked first: ParseMultipartForm passes over what is wrong with other forms.
	err := r.ParseForm()
	if err == nil {
		err = r.ParseMultipartForm(16 << 20)
	}
	if err != nil && !errors.Is(err, http.ErrNotMultipart) {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			return nil, err
		}
		return nil, badRequest("The form could not be read (%v). Go back and send it again.", err)
	}
	f := &Form{Values: map[string][]string{}}
	for name, values := range r.Form {
		for _, v := range values {
			f.Values[name] = append(f.Values[name], strings.TrimSpace(strings.ReplaceAll(v, "\r\n", "\n")))
		}
	}
	return f, nil
}

// take keeps the problems of a refused item; false when err is of another kind.
func (f *Form) take(err error) bool {
	var invalid *rebuild.Invalid
	if !errors.As(err, &invalid) {
		return false
	}
	f.Problems = append(f.Problems, invalid.Problems...)
	return true
}

// whole reads a whole number; empty is 0.
func (f *Form) whole(field, name string) int64 {
	text := f.Value(field)
	if text == "" {
		return 0
	}
	n, err := parseWhole(text)
	if err != nil {
		f.problem(field, "%s %q is not a whole number", name, text)
	}
	return n
}

// number reads a decimal number, with point or comma; empty is 0.
func (f *Form) number(field, name string) float64 {
	text := f.Value(field)
	if text == "" {
		return 0
	}
	v, err := parseNumber(text)
	if err != nil {
		f.problem(field, "%s %q is not a number", name, text)
	}
	return v
}

// share reads a percentage, "80" or "80 %", as 0.8; empty is otherwise.
func (f *Form) share(field, name string, otherwise float64) float64 {
	text := strings.TrimSpace(strings.TrimSuffix(f.Value(field), "%"))
	if text == "" {
		return otherwise
	}
	v, err := parseNumber(text)
	switch {
	case err != nil:
		f.problem(field, "%s %q is not a percentage", name, f.Value(field))
	case v > 0 && v < 1 && text == f.Value(field):
		f.problem(field, "%s: %s would be less than one in a hundred; write %s for %s %%, or %s %% if it is meant so", name, text, trimNumber(round2(100*v)), trimNumber(round2(100*v)), text)
	}
	return v / 100
}

// notAhead refuses a day that has not come yet, which is a slip of the year in
// what is already found, paid or done. A day's grace is for clocks elsewhere.
func (f *Form) notAhead(field, name, today string) {
	day, err := time.Parse(time.DateOnly, f.Value(field))
	now, errNow := time.Parse(time.DateOnly, today)
	if err == nil && errNow == nil && day.After(now.AddDate(0, 0, 1)) {
		f.problem(field, "%s, %s, has not come yet: today is %s", name, f.Value(field), today)
	}
}

// money reads a sum in the currency; empty is nothing.
func (f *Form) money(field, name, code string) amount.Amount {
	text := f.Value(field)
	if text == "" {
		return amount.Amount{}
	}
	if err := ledger.Foreign(text, code); err != nil {
		f.problem(field, "%s: %v", name, err)
		return amount.Amount{}
	}
	a, err := amount.Parse(text, code, amount.Guess)
	if err != nil {
		f.problem(field, "%s: %v", name, err)
	}
	return a
}

// costRange reads a range of sums as people write sums, the same as in the
// ledger: "£1.234,50" is no different here.
func (f *Form) costRange(field, name, code string) uncertain.Range {
	return f.rangeOf(field, name, func(field, name string) float64 { return f.money(field, name, code).Float() })
}

// numberRange reads a range of plain numbers.
func (f *Form) numberRange(field, name string) uncertain.Range {
	return f.rangeOf(field, name, f.number)
}

// rangeOf reads three figures from field.low, field.likely, field.high. Only
// the likely one given means that it is certain; all empty is zero.
func (f *Form) rangeOf(field, name string, read func(field, name string) float64) uncertain.Range {
	low, likely, high := f.Value(field+".low"), f.Value(field+".likely"), f.Value(field+".high")
	if low == "" && high == "" {
		return uncertain.Certain(read(field+".likely", name))
	}
	if low == "" || likely == "" || high == "" {
		f.problem(field, "%s needs all three figures (low, likely, high), or the likely one alone where it is certain", name)
		return uncertain.Range{}
	}
	return uncertain.Range{
		Low:    read(field+".low", name+", low"),
		Likely: read(field+".likely", name+", likely"),
		High:   read(field+".high", name+", high"),
	}
}

// setRange fills the three fields of a range; a certain one fills the middle.
func (f *Form) setRange(field string, r uncertain.Range) {
	if r.IsCertain() {
		if r.Likely != 0 {
			f.Set(field+".likely", trimNumber(r.Likely))
		}
		return
	}
	f.Set(field+".low", trimNumber(r.Low))
	f.Set(field+".likely", trimNumber(r.Likely))
	f.Set(field+".high", trimNumber(r.High))
}

// setCosts fills the three fields of a range of sums, which are written in
// hundredths at most: a third decimal would be read back as a thousand.
func (f *Form) setCosts(field string, r uncertain.Range) {
	f.setRange(field, uncertain.Range{Low: round2(r.Low), Likely: round2(r.Likely), High: round2(r.High)})
}

// setNumber fills a field with a number; zero leaves it empty.
func (f *Form) setNumber(field string, v float64) {
	if v != 0 {
		f.Set(field, trimNumber(v))
	}
}

// setMoney fills a field with a sum; nothing leaves it empty.
func (f *Form) setMoney(field string, a amount.Amount) {
	if a.Minor != 0 {
		f.Set(field, a.Number())
	}
}

func round2(v float64) float64 { return math.Round(v*100) / 100 }

func trimNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Rev is the revision for the form's hidden field: a refused form keeps the one
// that it was opened with, so that what was changed meanwhile is still noticed.
func (f *Form) Rev(now int) string {
	if opened := f.Value("rev"); opened != "" {
		return opened
	}
	return strconv.Itoa(now)
}

// rev is the revision that the form was opened with.
func (f *Form) rev() int { return int(f.whole("rev", "the revision")) }
