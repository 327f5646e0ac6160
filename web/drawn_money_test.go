package web

import (
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// Figures write sums as the pages around them do.
func TestDrawnMoneyWritesAsThePageDoes(t *testing.T) {
	for _, of := range []struct{ language, currency string }{
		{"en-GB", "GBP"}, {"en-US", "USD"}, {"de", "EUR"}, {"fr", "EUR"}, {"sv", "SEK"}, {"en", "CHF"}, {"en-GB", "JPY"},
	} {
		f := Frame{style: amount.NewStyle(of.language), Rebuild: &rebuild.Rebuild{Car: rebuild.Car{Currency: of.currency}}}
		for _, v := range []float64{0, 950, 38_000, 1_234_567} {
			drawn, shown := f.drawnMoney().Text(v), f.Whole(v)
			if plainSpaces(drawn) != plainSpaces(shown) {
				t.Errorf("%s %s: a figure writes %q, the page %q", of.language, of.currency, drawn, shown)
			}
		}
	}
}

// plainSpaces takes the many kinds of space out: figures set them thinner.
func plainSpaces(s string) string {
	var kept []rune
	for _, r := range s {
		switch r {
		case ' ', '\u00a0', '\u202f', '\u2009':
		default:
			kept = append(kept, r)
		}
	}
	return string(kept)
}
