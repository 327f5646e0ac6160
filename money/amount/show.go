package amount

import (
	"strings"

	"github.com/bojanz/currency"
)

// Style shows amounts in one locale. It is safe for use by several goroutines
// only if each makes its own; making one is cheap.
type Style struct{ full, whole *currency.Formatter }

// NewStyle takes a BCP 47 language tag such as "en-GB" or "de". An unknown one
// falls back to CLDR's root.
func NewStyle(tag string) Style {
	full := currency.NewFormatter(currency.NewLocale(tag))
	whole := currency.NewFormatter(currency.NewLocale(tag))
	whole.MaxDigits, whole.MinDigits = 0, 0
	return Style{full, whole}
}

// Show is the amount with all its decimals, "£1,234.50".
func (s Style) Show(a Amount) string { return show(s.full, a) }

// ShowWhole is the amount rounded to whole major units, "£1,235": for forecasts,
// whose pence would only pretend.
func (s Style) ShowWhole(a Amount) string { return show(s.whole, a) }

func show(f *currency.Formatter, a Amount) string {
	if a.Currency == "" {
		return a.Number()
	}
	n, err := currency.NewAmount(a.Number(), a.Currency)
	if err != nil {
		return a.String()
	}
	return strings.Replace(f.Format(n), "-", "\u2212", 1)
}
