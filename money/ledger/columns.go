package ledger

import (
	"strings"
	"unicode"
)

// Field is what a column is read as.
type Field string

// The fields of a pasted row. FieldPaidIn is money that came back, in a column
// of its own as bank statements have it.
const (
	FieldNone     Field = "" // left out
	FieldDate     Field = "date"
	FieldAmount   Field = "amount"
	FieldPaidIn   Field = "paid in"
	FieldTax      Field = "tax"
	FieldKind     Field = "kind"
	FieldSupplier Field = "supplier"
	FieldWhat     Field = "what"
	FieldJob      Field = "job"
)

// Fields lists them in the order in which a page offers them.
var Fields = []Field{FieldDate, FieldAmount, FieldPaidIn, FieldTax, FieldKind, FieldSupplier, FieldWhat, FieldJob}

// isSum reports whether the field's cells are sums of money.
func (f Field) isSum() bool { return f == FieldAmount || f == FieldPaidIn || f == FieldTax }

// Column is one column of the paste.
type Column struct {
	Header  string // as pasted; empty without a header row
	Example string // the first cell that holds anything
	Field   Field
	Why     string // how the field was found: "header", "content", "chosen", or empty
}

// headerWords are what people write above a column, whole header or one word of
// it, in lower case. "ignored" columns keep a balance from being read as a sum.
var headerWords = []struct {
	field Field
	words []string
}{
	{FieldDate, strings.Fields("date day dated datum on when paid-on posted booked buchungstag valuta")},
	{FieldPaidIn, []string{"paid in", "money in", "credit", "refund", "refunded", "received", "haben", "gutschrift"}},
	{FieldTax, strings.Fields("tax vat gst mwst ust tva")},
	{FieldAmount, []string{"amount", "total", "sum", "price", "cost", "paid", "paid out", "money out", "debit", "gross", "value", "spent", "betrag", "summe", "preis", "kosten", "brutto", "soll", "montant", "importe"}},
	{FieldJob, strings.Fields("job work task project auftrag")},
	{FieldKind, strings.Fields("kind category type class art kategorie")},
	{FieldSupplier, []string{"supplier", "shop", "vendor", "seller", "payee", "merchant", "from", "who", "paid to", "store", "company", "lieferant", "haendler", "händler", "empfänger", "firma"}},
	{FieldWhat, strings.Fields("what description item details detail part memo reference narrative note for particulars article text beschreibung zweck verwendungszweck artikel posten libelle")},
}

// setAside are headers of columns that hold sums but are none of ours.
var setAside = strings.Fields("balance saldo running remaining qty quantity menge net netto no nr number id")

// fieldOfHeader finds the field that a header names; aside says that the column
// is known and of no use.
func fieldOfHeader(header string) (field Field, aside bool) {
	h := strings.ToLower(strings.TrimSpace(header))
	words := strings.FieldsFunc(h, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })
	plain := strings.Join(words, " ")
	if plain == "" {
		return FieldNone, false
	}
	for _, entry := range headerWords {
		for _, w := range entry.words {
			if plain == w {
				return entry.field, false
			}
		}
	}
	for _, w := range words {
		for _, s := range setAside {
			if w == s {
				return FieldNone, true
			}
		}
	}
	for _, entry := range headerWords {
		for _, w := range entry.words {
			if contains(words, w) {
				return entry.field, false
			}
		}
	}
	return FieldNone, false
}

// contains reports whether a phrase stands among the words in a row.
func contains(words []string, phrase string) bool {
	return strings.Contains(" "+strings.Join(words, " ")+" ", " "+phrase+" ")
}

// linesAbove is how many lines may stand before the bills: a title, the account,
// the header.
const linesAbove = 12

// findHeader is the index of the header row within the first rows, or -1: the
// row with the most known words, two at least, and no figure or date in it.
func findHeader(rows []record) int {
	best, bestScore := -1, 1
	for i := range min(len(rows), linesAbove) {
		score := 0
		for _, c := range rows[i].cells {
			if looksLikeValue(c) {
				score = -len(rows[i].cells)
			}
			if field, aside := fieldOfHeader(c); len(c) <= 40 && (field != FieldNone || aside) {
				score++
			}
		}
		if score > bestScore {
			best, bestScore = i, score
		}
	}
	return best
}

func looksLikeValue(cell string) bool {
	if cell == "" {
		return false
	}
	if _, err := readDate(cell); err == nil {
		return true
	}
	return isSum(cell)
}

// isSum reports whether a cell reads as a sum of money in some currency.
func isSum(cell string) bool {
	digits := 0
	for _, r := range cell {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case unicode.IsSpace(r), unicode.Is(unicode.Sc, r), strings.ContainsRune(".,'’+-\u2212()", r):
		default:
			letters := strings.Map(letterOnly, strings.ToUpper(cell))
			return strings.ContainsAny(cell, "0123456789") && (len(letters) == 3 || letters == "CR" || letters == "DR") && isSum(strings.Map(notLetter, cell))
		}
	}
	return digits > 0
}

func letterOnly(r rune) rune {
	if unicode.IsLetter(r) {
		return r
	}
	return -1
}

func notLetter(r rune) rune {
	if unicode.IsLetter(r) {
		return -1
	}
	return r
}

// mapColumns decides what each column is read as.
func mapColumns(header []string, rows []record, o Options) []Column {
	cols := make([]Column, width(header, rows))
	taken := map[Field]bool{}
	asides, looks := make([]bool, len(cols)), make([]look, len(cols))
	for i := range cols {
		looks[i] = lookAt(rows, i, o.Kinds)
		cols[i].Example = example(rows, i)
		if i < len(header) {
			cols[i].Header = header[i]
		}
	}
	claim := func(i int, f Field, why string) {
		if f != FieldNone && !taken[f] && cols[i].Why == "" {
			cols[i].Field, cols[i].Why, taken[f] = f, why, true
		}
	}
	if o.Columns != nil {
		for i := range cols {
			cols[i].Why = "chosen"
			if i < len(o.Columns) && !taken[o.Columns[i]] {
				cols[i].Field = o.Columns[i]
				taken[o.Columns[i]] = o.Columns[i] != FieldNone
			}
		}
		return cols
	}
	for i, h := range header {
		f, aside := fieldOfHeader(h)
		asides[i] = aside
		if f.isSum() && looks[i].filled > 0 && looks[i].sums == 0 {
			continue // "paid by" holds names
		}
		claim(i, f, "header")
	}
	byContent(cols, asides, looks, claim)
	return cols
}

// byContent gives fields that no header named to the columns that hold such
// cells: dates, then sums, then known kinds, then the two wordiest.
func byContent(cols []Column, asides []bool, looks []look, claim func(int, Field, string)) {
	free := func(i int) bool { return cols[i].Why == "" && !asides[i] && looks[i].filled > 0 }
	for i, l := range looks {
		if free(i) && l.share(l.dates) > 0.6 {
			claim(i, FieldDate, "content")
		}
	}
	for i, l := range looks {
		if free(i) && l.share(l.sums) > 0.6 {
			claim(i, FieldAmount, "content")
		}
	}
	for i, l := range looks {
		if free(i) && l.share(l.kinds) > 0.6 {
			claim(i, FieldKind, "content")
		}
	}
	for _, f := range []Field{FieldWhat, FieldSupplier} {
		wordiest := -1
		for i, l := range looks {
			if free(i) && l.share(l.sums) < 0.4 && l.share(l.dates) < 0.4 && (wordiest < 0 || l.letters > looks[wordiest].letters) {
				wordiest = i
			}
		}
		if wordiest >= 0 {
			claim(wordiest, f, "content")
		}
	}
}

// look is what stands in a column.
type look struct{ filled, dates, sums, kinds, letters int }

func (l look) share(n int) float64 { return float64(n) / float64(max(l.filled, 1)) }

func lookAt(rows []record, column int, kinds []string) look {
	var l look
	for _, r := range rows[:min(len(rows), 300)] {
		if column >= len(r.cells) || r.cells[column] == "" {
			continue
		}
		c := r.cells[column]
		l.filled++
		l.letters += len(strings.Map(letterOnly, c))
		if _, err := readDate(c); err == nil {
			l.dates++
		} else if isSum(c) {
			l.sums++
		}
		if _, ok := kindOf(c, kinds); ok {
			l.kinds++
		}
	}
	return l
}

func width(header []string, rows []record) int {
	w := len(header)
	for _, r := range rows {
		w = max(w, len(r.cells))
	}
	return w
}

func example(rows []record, column int) string {
	for _, r := range rows {
		if column < len(r.cells) && r.cells[column] != "" {
			return r.cells[column]
		}
	}
	return ""
}

// kindOf finds the known kind that a cell names, in any case and number.
func kindOf(cell string, kinds []string) (string, bool) {
	c := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(cell)), "s")
	for _, k := range kinds {
		if strings.TrimSuffix(strings.ToLower(k), "s") == c {
			return k, true
		}
	}
	return "", false
}
