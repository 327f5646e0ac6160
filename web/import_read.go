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
func importOptions(f *Form) ledger.Options {
	o := ledger.Options{
		DayOrder: ledger.DayOrder(f.Value("day_order")), Sign: ledger.Sign(f.Value("sign")), Header: ledger.HeaderChoice(f.Value("header")),
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

// importReading names how the rows were read, so that what is saved is read as
// it was seen.
func importReading(p ledger.Preview, f *Form) string {
	parts := []string{strconv.Itoa(int(p.Separator)), strconv.FormatBool(p.HasHeader), string(p.DayOrder), string(p.Sign), strconv.Itoa(int(p.Decimal))}
	for _, c := range p.Columns {
		parts = append(parts, string(c.Field))
	}
	return strings.Join(append(parts, f.Value("kind"), f.Value("job")), "|")
}
