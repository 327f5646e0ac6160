package web

import (
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// importText is what was handed in: the file where there is one, else the paste.
// It is read untrimmed, for a first cell may be empty.
func importText(r *http.Request) ([]byte, error) {
	if r.MultipartForm != nil && len(r.MultipartForm.File["file"]) > 0 {
		if header := r.MultipartForm.File["file"][0]; header.Size > 0 {
			return importFile(header)
		}
	}
	return []byte(r.PostFormValue("paste")), nil
}

func importFile(header *multipart.FileHeader) ([]byte, error) {
	f, err := header.Open()
	if err != nil {
		return nil, fmt.Errorf("opening %q: %w", header.Filename, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, ledger.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading %q: %w", header.Filename, err)
	}
	if problem := notRows(header.Filename, data); problem != nil {
		return nil, problem
	}
	return data, nil
}

// notRows refuses files that are not text, in words that say what to do instead.
func notRows(name string, data []byte) error {
	wide := bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff})
	text := ""
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		text = "%q is a whole spreadsheet, not rows of text: save the sheet as CSV there, or copy its rows and paste them here"
	case bytes.HasPrefix(data, []byte("%PDF")):
		text = "%q is a PDF, which holds no rows: ask for a CSV file instead, or type them"
	case !wide && bytes.IndexByte(data, 0) >= 0:
		text = "%q is not text: save it as CSV first"
	default:
		return nil
	}
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "file", Text: fmt.Sprintf(text, name)}}}
}

// importOptions are what the form says about how to read the rows.
func (s *Server) importOptions(rb *rebuild.Rebuild, f *Form) ledger.Options {
	o := ledger.Options{
		Currency: rb.Car.Currency, Today: s.today(), Existing: importExisting(rb),
		DayOrder: ledger.DayOrder(f.Value("day_order")), Sign: ledger.Sign(f.Value("sign")), Header: ledger.HeaderChoice(f.Value("header")),
	}
	for _, k := range rebuild.EntryKinds {
		o.Kinds = append(o.Kinds, string(k))
	}
	switch f.Value("separator") {
	case "tab":
		o.Separator = '\t'
	case ";", ",":
		o.Separator = rune(f.Value("separator")[0])
	}
	if d := f.Value("decimal"); d == "." || d == "," {
		o.Decimal = rune(d[0])
	}
	if f.Value("cut_by") == f.Value("separator") {
		o.Columns = importColumns(f)
	}
	return o
}

// importColumns are the fields chosen for the columns; nil where none were, as on
// the first look and after the rows were cut by another sign.
func importColumns(f *Form) []ledger.Field {
	var columns []ledger.Field
	for i := range ledger.MaxColumns {
		name := "col." + strconv.Itoa(i)
		if _, there := f.Values[name]; !there {
			break
		}
		field := ledger.Field(f.Value(name))
		if !slices.Contains(ledger.Fields, field) {
			field = ledger.FieldNone
		}
		columns = append(columns, field)
	}
	return columns
}

func importExisting(rb *rebuild.Rebuild) []ledger.Line {
	lines := make([]ledger.Line, len(rb.Entries))
	for i := range rb.Entries {
		e := &rb.Entries[i]
		lines[i] = ledger.Line{ID: e.ID, On: e.On, Amount: e.Amount, Tax: e.Tax, Kind: string(e.Kind), Supplier: e.Supplier, What: e.What}
	}
	return lines
}

// importReading names how the rows were read, so that what is saved is read as
// it was seen.
func importReading(p ledger.Preview, f *Form) string {
	parts := []string{strconv.Itoa(int(p.Separator)), strconv.FormatBool(p.HasHeader), string(p.DayOrder), string(p.Sign), strconv.Itoa(int(p.Decimal))}
	for _, c := range p.Columns {
		parts = append(parts, string(c.Field))
	}
	return strings.Join(append(parts, f.Value("kind"), f.Value("job")), "|")
}

// importJobs finds jobs by what people write into a job column: the title in any
// case, or the number.
type importJobs struct {
	rb      *rebuild.Rebuild
	byTitle map[string]int64
}

func newImportJobs(rb *rebuild.Rebuild) importJobs {
	jobs := importJobs{rb, make(map[string]int64, len(rb.Jobs))}
	for i := range rb.Jobs {
		key := strings.ToLower(rb.Jobs[i].Title)
		if _, twice := jobs.byTitle[key]; twice {
			jobs.byTitle[key] = 0
			continue
		}
		jobs.byTitle[key] = rb.Jobs[i].ID
	}
	return jobs
}

func (j importJobs) find(text string) (*rebuild.Job, error) {
	if id := j.byTitle[strings.ToLower(text)]; id != 0 {
		return j.rb.Job(id), nil
	}
	if id, err := strconv.ParseInt(strings.TrimPrefix(text, "#"), 10, 64); err == nil && j.rb.Job(id) != nil {
		return j.rb.Job(id), nil
	}
	if _, several := j.byTitle[strings.ToLower(text)]; several {
		return nil, fmt.Errorf("several jobs are called %q; it is entered without a job", text)
	}
	return nil, fmt.Errorf("no job is called %q; it is entered without a job", text)
}
