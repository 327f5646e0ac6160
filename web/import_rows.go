package web

import (
	"errors"
	"fmt"
	"strconv"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// importRow is one row of the preview and the entry that it would become.
type importRow struct {
	ledger.Row
	Key   string // value of its box
	Entry rebuild.Entry
	Job   *rebuild.Job
	Kind  string
	Back  bool // money back
	Taken bool
	Again *rebuild.Entry // the entry that it seems to repeat
}

// importRows turns the preview's rows into entries, with what the form says for
// rows that do not say it themselves.
func importRows(rb *rebuild.Rebuild, p ledger.Preview, f *Form) []importRow {
	otherwise := rebuild.Entry{Kind: rebuild.EntryKind(f.Value("kind"))}
	f.readEntryJob(&otherwise)
	rows := make([]importRow, len(p.Rows))
	for i, r := range p.Rows {
		row := importRow{Row: r, Key: strconv.Itoa(r.LineNumber), Taken: r.Offered()}
		if r.Good() {
			row.fill(rb, otherwise)
		}
		if r.Duplicate != nil {
			row.Again = rb.Entry(r.Duplicate.EntryID)
		}
		rows[i] = row
	}
	return rows
}

func (row *importRow) fill(rb *rebuild.Rebuild, otherwise rebuild.Entry) {
	e := workshop.EntryOf(rb, row.Line)
	if row.Line.Kind == "" && otherwise.Kind != "" {
		e.Kind = otherwise.Kind
	}
	if e.Kind == rebuild.EntrySale && e.Amount.Minor > 0 {
		e.Amount, e.Tax = e.Amount.Neg(), e.Tax.Neg()
		row.Notes = append(row.Notes, "a part sold: taken as money back")
	}
	switch {
	case row.Line.Job == "":
		e.JobID, e.General = otherwise.JobID, otherwise.General
	case e.JobID == 0:
		row.Notes = append(row.Notes, fmt.Sprintf("no one job is called %q; it is entered without a job", row.Line.Job))
	}
	var invalid *rebuild.Invalid
	if errors.As(e.Validate(rb.Car.Currency), &invalid) {
		for _, p := range invalid.Problems {
			row.Problems = append(row.Problems, ledger.Problem{Column: -1, Text: p.Text})
		}
		row.Taken = false
	}
	row.Entry, row.Kind, row.Back = e, entryKindLabel(e.Kind), e.Amount.Minor < 0
	row.Job = rb.Job(e.JobID)
}

// keepTicks takes over which rows a person had ticked.
func keepTicks(rows []importRow, f *Form) {
	taken := make(map[string]bool, len(f.Values["take"]))
	for _, key := range f.Values["take"] {
		taken[key] = true
	}
	for i := range rows {
		rows[i].Taken = rows[i].Good() && taken[rows[i].Key]
	}
}

// takenEntries are the entries of the ticked rows.
func takenEntries(rows []importRow) []rebuild.Entry {
	var entries []rebuild.Entry
	for i := range rows {
		if rows[i].Taken {
			entries = append(entries, rows[i].Entry)
		}
	}
	return entries
}
