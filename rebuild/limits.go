package rebuild

import (
	"strings"
	"time"

	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// Bounds on what one entry may say: far above any car, there to catch a slipped
// finger before it reaches a sum.
const (
	maxCost  = 100_000_000 // major units
	maxHours = 100_000
)

func (c *checks) rangeOf(r uncertain.Range, field, name string, most float64) {
	if err := r.Validate(uncertain.Bounds{Min: 0, Max: most}); err != nil {
		c.that(false, field, "%s: %v", name, err)
	}
}

func (c *checks) chance(p float64, field, name string) {
	c.that(p >= 0 && p <= 1, field, "%s must be between 0 %% and 100 %%, not %.4g %%", name, p*100)
}

func (c *checks) oneOf(s, field, name string, known ...string) {
	for _, k := range known {
		if s == k {
			return
		}
	}
	c.that(false, field, "%s cannot be %q; it is one of: %s", name, s, strings.Join(known, ", "))
}

// date checks an ISO date between 1970 and 2200.
func (c *checks) date(s, field, name string, needed bool) {
	c.dateSince(1970, s, field, name, needed)
}

// dateSince checks an ISO date between that year and 2200.
func (c *checks) dateSince(year int, s, field, name string, needed bool) {
	if s == "" {
		c.that(!needed, field, "%s is missing", name)
		return
	}
	day, err := time.Parse(time.DateOnly, s)
	if err != nil {
		c.that(false, field, "%s %q is not a date; write it like 2026-03-21", name, s)
		return
	}
	c.that(day.Year() >= year && day.Year() <= 2200, field, "%s %q is not between %d and 2200", name, s, year)
}

// moment checks an RFC 3339 moment between 1970 and 2200.
func (c *checks) moment(s, field, name string, needed bool) {
	if s == "" {
		c.that(!needed, field, "%s is missing", name)
		return
	}
	at, err := time.Parse(time.RFC3339, s)
	c.that(err == nil && at.Year() >= 1970 && at.Year() <= 2200, field, "%s %q is none; write it like 2026-03-21T14:03:07Z", name, s)
}

// money checks an amount against the currency it should be in.
func (c *checks) money(a amount.Amount, currency, field, name string) {
	c.that(currency == "" || a.Currency == currency || a == amount.Amount{}, field, "%s is in %s, but this rebuild is kept in %s", name, a.Currency, currency)
	c.that(a.Minor <= amount.MaxMinor/1000 && a.Minor >= -amount.MaxMinor/1000, field, "%s is too large a sum", name)
}
