package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"wreckwright/money/amount"
	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// importPage takes in many rows: first where they are pasted, then as they would
// be entered. Between the two nothing is kept here: all travels in the form.
type importPage struct {
	Frame
	Form  *Form
	Paste string
	// Of the preview; nil before.
	Preview *ledger.Preview
	Reading string
	Columns []importColumn
	Choices []importChoice
	Kinds   []Option
	Jobs    []jobGroup
	Rows    []importRow // that can be entered
	Bad     []importRow
	LeftOut []importRow
	Ticked  int
	Sum     amount.Amount
}

type importColumn struct {
	ledger.Column
	Name   string
	Number int
	Fields []Option
}

// importChoice is one thing about how the rows are read that can be changed.
type importChoice struct {
	Name, Label string
	Options     []Option
	Now         string
	Question    string // what the rows leave open
	Shown       string // how the preview takes it meanwhile
	Must        bool   // has to be answered before saving
}

var importFieldLabels = map[ledger.Field]string{
	ledger.FieldDate: "Date", ledger.FieldAmount: "Amount paid", ledger.FieldPaidIn: "Money back", ledger.FieldTax: "Tax",
	ledger.FieldKind: "Kind", ledger.FieldSupplier: "Supplier", ledger.FieldWhat: "What", ledger.FieldJob: "Job",
}

func importFieldOptions() []Option {
	options := []Option{{"", "Leave out"}}
	for _, field := range ledger.Fields {
		options = append(options, Option{string(field), importFieldLabels[field]})
	}
	return options
}

// importShow is the empty paste box.
func (s *Server) importShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.importWrite(w, r, http.StatusOK, rb, &importPage{Form: &Form{}})
}

func (s *Server) importWrite(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, page *importPage) error {
	frame, err := s.frame(r, "Many costs at once", "ledger", rb)
	if err != nil {
		return err
	}
	frame.Path = frame.Base() + "/ledger/import"
	page.Frame = frame
	return s.show(w, status, "import", page)
}

// importPreview shows the rows as they would be entered.
func (s *Server) importPreview(w http.ResponseWriter, r *http.Request) error {
	rb, page, err := s.importLook(r)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if page.Preview == nil {
		status = http.StatusUnprocessableEntity
	}
	return s.importWrite(w, r, status, rb, page)
}

// importLook reads the rows of the form anew. Where they cannot be read at all
// the page is the paste box again, with the reason.
func (s *Server) importLook(r *http.Request) (*rebuild.Rebuild, *importPage, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	f, err := readForm(r)
	if err != nil {
		return nil, nil, err
	}
	page := &importPage{Form: f, Kinds: append([]Option{{"", "By its words"}}, entryKindOptions()...), Jobs: jobGroups(rb)}
	data, err := importText(r)
	if err != nil {
		if f.take(err) {
			return rb, page, nil
		}
		return nil, nil, err
	}
	preview, err := s.workshop.ReadBills(rb, data, importOptions(f))
	if err != nil {
		f.problem("paste", "%v", err)
		if large := (*ledger.TooLarge)(nil); !errors.As(err, &large) || large.What != "bytes" {
			page.Paste, _ = ledger.Text(data)
		}
		return rb, page, nil
	}
	page.Paste, _ = ledger.Text(data)
	page.fill(rb, &preview)
	return rb, page, nil
}

func (page *importPage) fill(rb *rebuild.Rebuild, p *ledger.Preview) {
	page.Preview = p
	page.Reading = importReading(*p, page.Form)
	for i, c := range p.Columns {
		page.Columns = append(page.Columns, importColumn{c, "col." + strconv.Itoa(i), i + 1, importFieldOptions()})
	}
	page.Choices = importChoices(*p, page.Form)
	rows := importRows(rb, *p, page.Form)
	if page.Form.Value("seen") == page.Reading {
		keepTicks(rows, page.Form)
	}
	var sum int64
	for _, row := range rows {
		switch {
		case row.LeftOut != "":
			page.LeftOut = append(page.LeftOut, row)
		case !row.Good():
			page.Bad = append(page.Bad, row)
		default:
			page.Rows = append(page.Rows, row)
		}
		if row.Taken {
			page.Ticked++
			sum += row.Entry.Amount.Minor
		}
	}
	page.Sum = rb.Amount(sum)
}

// importChoices are the ways of reading. What the rows leave open stands first
// and has to be answered: a date or a decimal sign read the other way round would
// be entered without anybody noticing.
func importChoices(p ledger.Preview, f *Form) []importChoice {
	names := map[string]string{"day order": "day_order", "decimal sign": "decimal", "sign": "sign"}
	choices := []importChoice{
		{Name: "day_order", Label: "Dates", Options: []Option{{"", "As they read best"}, {string(ledger.DayFirst), "Day first: 03/04 is 3 April"}, {string(ledger.MonthFirst), "Month first: 03/04 is 4 March"}}},
		{Name: "decimal", Label: "Decimal sign", Options: []Option{{"", "As they read best"}, {".", "Point: 1,234.50"}, {",", "Comma: 1.234,50"}}},
		{Name: "sign", Label: "Money paid is", Options: []Option{{"", "As they read best"}, {string(ledger.PaidPositive), "Above zero, as on bills"}, {string(ledger.PaidNegative), "Below zero, as on a bank statement"}}},
		{Name: "header", Label: "Names of the columns", Options: []Option{{"", "Where they are found"}, {string(ledger.WithHeader), "In the first row"}, {string(ledger.NoHeader), "There are none"}}},
		{Name: "separator", Label: "Columns are parted by", Options: []Option{{"", "What cuts best"}, {"tab", "Tabs"}, {";", "Semicolons"}, {",", "Commas"}}},
	}
	open := map[string]ledger.Question{}
	for _, q := range p.Questions {
		open[names[q.About]] = q
	}
	for i := range choices {
		c := &choices[i]
		c.Now = f.Value(c.Name)
		if q, ok := open[c.Name]; ok {
			c.Question, c.Shown, c.Options = strings.ToUpper(q.Text[:1])+q.Text[1:], q.Taken, c.Options[1:]
			c.Must = c.Name != "sign"
			if !c.Must {
				c.Now = q.Taken
			}
		}
	}
	return choices
}
