package knowledge

import (
	"fmt"
	"slices"
	"sync"
	"time"
)

// RoughRate says what a unit of [EstimateCurrency] is roughly called in another
// currency: for own estimates, never for sums that were paid.
type RoughRate struct {
	Currency string  `yaml:"currency"` // ISO 4217
	Factor   float64 `yaml:"factor"`
	AsAt     string  `yaml:"as_at"` // ISO date
	Refs     Refs    `yaml:"ref"`
}

// RoughRates lists the rates.
func RoughRates() []RoughRate {
	list := slices.Clone(roughRates())
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

// RoughRateFor finds the rate of a currency; false: no estimate can be given in
// it.
func RoughRateFor(currency string) (RoughRate, bool) {
	list := RoughRates()
	i := slices.IndexFunc(list, func(r RoughRate) bool { return r.Currency == currency })
	if i < 0 {
		return RoughRate{}, false
	}
	return list[i], true
}

var roughRates = sync.OnceValue(func() []RoughRate { return load("rough_rates.yaml", checkRoughRates) })

func checkRoughRates(list []RoughRate) error {
	for _, r := range list {
		if r.Factor <= 0 {
			return fmt.Errorf("%s: factor %g: expected more than 0", r.Currency, r.Factor)
		}
		if _, err := time.Parse(time.DateOnly, r.AsAt); err != nil {
			return fmt.Errorf("%s: as_at %q: expected a date like 2026-03-21", r.Currency, r.AsAt)
		}
	}
	return checkEntries(list, func(r RoughRate) entry { return entry{r.Currency, nil, r.Refs} })
}
