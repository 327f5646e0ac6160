package chart

import (
	"math"
	"strconv"
	"strings"
)

// Money says how a sum is written. Sums in figures are whole units of the currency; the exact decimals belong to the
// ledger. The zero value writes "38,000".
type Money struct {
	Symbol string // "£", "EUR"
	Group  string // between thousands; empty means ","
	After  bool   // symbol behind the number, with a thin gap
}

// Text writes v rounded to whole units: "£38,000", "−£1,200", "38.000 €".
func (m Money) Text(v float64) string {
	if !finite(v) {
		return "–"
	}
	n := math.Round(v)
	digits := m.grouped(strconv.FormatFloat(math.Abs(n), 'f', 0, 64))
	switch {
	case m.Symbol == "":
	case m.After:
		digits += "\u202f" + m.Symbol
	case len([]rune(m.Symbol)) > 1:
		digits = m.Symbol + "\u202f" + digits
	default:
		digits = m.Symbol + digits
	}
	if n < 0 {
		return "−" + digits
	}
	return digits
}

func (m Money) grouped(digits string) string {
	group := m.Group
	if group == "" {
		group = ","
	}
	var b strings.Builder
	for i, r := range digits {
		if i > 0 && (len(digits)-i)%3 == 0 {
			b.WriteString(group)
		}
		b.WriteRune(r)
	}
	return b.String()
}

// percent writes a share of one: 0.234 gives "23 %"; small shares keep a sign of life.
func percent(share float64) string {
	switch {
	case !finite(share):
		return "–"
	case share > 0 && share < 0.01:
		return "< 1 %"
	}
	return strconv.FormatFloat(math.Round(share*100), 'f', 0, 64) + " %"
}
