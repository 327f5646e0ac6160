package store

import (
	"bytes"
	"encoding/csv"
	"regexp"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// ledgerTable is ledger.csv: all entries of all rebuilds.
func ledgerTable(all []*rebuild.Rebuild) [][]string {
	lines := [][]string{{"rebuild", "car", "entry", "date", "amount", "tax", "currency", "kind", "supplier", "what", "job", "job title", "general", "receipts"}}
	for _, r := range all {
		for _, e := range r.Entries {
			title := ""
			if j := r.Job(e.JobID); j != nil {
				title = j.Title
			}
			lines = append(lines, []string{
				number(r.ID), r.Car.Name, number(e.ID), e.On, e.Amount.Number(), e.Tax.Number(), e.Amount.Currency, string(e.Kind), e.Supplier, e.What,
				orEmpty(e.JobID), title, yes(e.General), names(e.Receipts),
			})
		}
	}
	return lines
}

// jobsTable is jobs.csv: all jobs of all rebuilds with what they are planned to
// cost and what they did.
func jobsTable(all []*rebuild.Rebuild) [][]string {
	lines := [][]string{{
		"rebuild", "car", "job", "title", "zone", "safety", "state", "needed", "route", "route kind", "cost low", "cost likely", "cost high",
		"hours low", "hours likely", "hours high", "works", "paid", "reference price", "currency", "hours spent", "done on", "note",
	}}
	for _, r := range all {
		paid := r.Paid()
		for i := range r.Jobs {
			lines = append(lines, jobLine(r, &r.Jobs[i], paid[r.Jobs[i].ID]))
		}
	}
	return lines
}

func jobLine(r *rebuild.Rebuild, j *rebuild.Job, paid int64) []string {
	route, reference := make([]string, 9), ""
	if way, ok := j.Planned(); ok {
		route = []string{
			way.Name, string(way.Kind), decimal(way.Cost.Low), decimal(way.Cost.Likely), decimal(way.Cost.High),
			decimal(way.Hours.Low), decimal(way.Hours.Likely), decimal(way.Hours.High), decimal(way.Works),
		}
	}
	if !j.Reference.IsZero() {
		reference = j.Reference.Number()
	}
	line := []string{number(r.ID), r.Car.Name, number(j.ID), j.Title, rebuild.ZoneName(j.Zone), string(j.Safety), string(j.State), decimal(j.Needed)}
	line = append(line, route...)
	return append(line, r.Amount(paid).Number(), reference, r.Car.Currency, decimal(j.HoursSpent), j.DoneOn, j.Note)
}

// EncodeTable writes comma-separated values with every cell made safe: whatever
// the workbench hands out as CSV goes through here.
//
// ref: RFC_4180 section 2
func EncodeTable(lines [][]string) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	for _, line := range lines {
		cells := make([]string, len(line))
		for i, cell := range line {
			cells[i] = safeCell(cell)
		}
		if err := w.Write(cells); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// plainNumber is what a cell may hold that begins with a sign and is no formula.
var plainNumber = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)

// safeCell keeps a spreadsheet from taking a text for a formula: an apostrophe
// goes before a first character that would make it one.
func safeCell(cell string) string {
	if cell == "" || plainNumber.MatchString(cell) || !strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", []rune(cell)[0]) {
		return cell
	}
	return "'" + cell
}

func number(n int64) string { return strconv.FormatInt(n, 10) }

func orEmpty(n int64) string {
	if n == 0 {
		return ""
	}
	return number(n)
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

func names(files []rebuild.Attachment) string {
	list := make([]string, len(files))
	for i, f := range files {
		list[i] = f.Name
	}
	return strings.Join(list, "; ")
}
