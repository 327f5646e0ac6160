package ledger

import (
	"strings"
	"time"
	"unicode"
)

// Duplicate is what a row seems to repeat.
type Duplicate struct {
	EntryID    int64 // of an entry in the ledger; 0: a row of this paste
	LineNumber int   // of that row
	// Sure: same day, same sum, like words. Otherwise the day is up to
	// nearDays off, as between a receipt and the bank's statement of it.
	Sure bool
	Line Line // as it stands there
}

// nearDays is how far a bank's date runs behind the receipt's.
// common practice, no source
const nearDays = 3

// known is a line that a row may repeat.
type known struct {
	line   Line
	number int
	words  map[string]bool
	used   bool
}

// markDuplicates compares each good row with the ledger and with the rows above
// it. Each existing entry is repeated at most once: two equal bills against one
// entry leave the second to be compared with the first.
func markDuplicates(rows []Row, existing []Line) {
	bySum := map[int64][]*known{}
	for _, l := range existing {
		bySum[l.Amount.Minor] = append(bySum[l.Amount.Minor], &known{line: l, words: wordsOf(l)})
	}
	for i := range rows {
		if !rows[i].Good() {
			continue
		}
		line := rows[i].Line
		words := wordsOf(line)
		if match, sure := bestMatch(bySum[line.Amount.Minor], line, words); match != nil {
			match.used = true
			rows[i].Duplicate = &Duplicate{match.line.ID, match.number, sure, match.line}
		}
		bySum[line.Amount.Minor] = append(bySum[line.Amount.Minor], &known{line: line, number: rows[i].LineNumber, words: words})
	}
}

// bestMatch prefers the same day over a near one and the ledger over the paste.
func bestMatch(candidates []*known, line Line, words map[string]bool) (match *known, sure bool) {
	for _, k := range candidates {
		if k.used && k.number == 0 || k.line.Amount != line.Amount || !alike(k.words, words) {
			continue
		}
		if k.line.On == line.On {
			return k, true
		}
		// Two bills of one sum days apart within one paste are two bills.
		if match == nil && k.number == 0 && daysApart(k.line.On, line.On) <= nearDays {
			match = k
		}
	}
	return match, false
}

func daysApart(a, b string) int {
	x, errX := time.Parse(time.DateOnly, a)
	y, errY := time.Parse(time.DateOnly, b)
	if errX != nil || errY != nil {
		return nearDays + 1
	}
	d := int(x.Sub(y).Hours() / 24)
	return max(d, -d)
}

// alike reports whether at least half of the words of the shorter text stand in
// the other, or whether one of them says nothing.
func alike(a, b map[string]bool) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	shared := 0
	for w := range a {
		if b[w] {
			shared++
		}
	}
	return 2*shared >= len(a)
}

// wordsOf are the words of supplier and purpose, lower case, without endings of
// plurals and without single letters.
func wordsOf(l Line) map[string]bool {
	words := map[string]bool{}
	for _, w := range strings.FieldsFunc(strings.ToLower(l.Supplier+" "+l.What), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if len([]rune(w)) > 1 {
			words[strings.TrimSuffix(w, "s")] = true
		}
	}
	return words
}

// totalWords begin a row that adds up others.
var totalWords = []string{"total", "subtotal", "sub-total", "sub total", "grand total", "sum", "balance", "carried forward", "brought forward", "summe", "gesamt", "zwischensumme", "saldo", "übertrag"}

// markTotals leaves out rows that add up the others: by their words where they
// have no date, or where the sum is that of all rows above.
func markTotals(rows []Row) {
	var running int64
	counted := 0
	for i := range rows {
		r := &rows[i]
		if r.LeftOut != "" {
			continue
		}
		word, sums := hasTotalWord(r.Cells), r.Line.Amount.Currency != "" && counted > 1 && r.Line.Amount.Minor == running
		if word && (r.Line.On == "" || sums) {
			r.LeftOut, r.Problems, r.Notes = "looks like a totals row", nil, nil
			continue
		}
		if r.Line.On == "" && sums && r.Line.What == "" && r.Line.Supplier == "" {
			r.LeftOut, r.Problems, r.Notes = "adds up the rows above it", nil, nil
			continue
		}
		running += r.Line.Amount.Minor
		counted++
	}
}

func hasTotalWord(cells []string) bool {
	for _, c := range cells {
		lower := strings.TrimRight(strings.ToLower(c), " :.")
		for _, w := range totalWords {
			if lower == w || strings.HasPrefix(lower, w+" ") || strings.HasPrefix(lower, w+":") {
				return true
			}
		}
	}
	return false
}
