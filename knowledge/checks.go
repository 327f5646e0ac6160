package knowledge

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"
)

// Check is a quantity that is measured on a car: how, with what, and between
// which limits it should lie.
type Check struct {
	Key   string   `yaml:"key"`
	Name  string   `yaml:"name"`
	Group string   `yaml:"group"` // brakes, wheels, steering, engine, electrics, cooling, exhaust, clutch
	Form  string   `yaml:"form"`  // of package check; "wear" for readings at distances
	Unit  string   `yaml:"unit"`
	Parts []string `yaml:"parts"` // names of the measured parts, where the form has several

	How     string   `yaml:"how"`
	Tools   []string `yaml:"tools"`
	Hazards []string `yaml:"hazards"` // of the cautions that stand at it

	// InstrumentLimit is the bound of a common instrument's error, to begin with;
	// what the own one can do goes before it.
	InstrumentLimit float64 `yaml:"instrument_limit"`
	Instrument      string  `yaml:"instrument"`

	Plausible Plausible `yaml:"plausible"` // where readings lie

	Maker  string       `yaml:"maker"` // what limit only the maker gives, and where it stands; empty: none
	Limits []CheckLimit `yaml:"limits"`
	Refs   Refs         `yaml:"ref"`
}

// Plausible is where readings of a quantity lie, on whatever car: own estimates,
// and wide. Outside is taken for a slip of the key until somebody says that it
// really reads that; below Least or above Most nothing can read.
type Plausible struct {
	Low   float64              `yaml:"low"`
	High  float64              `yaml:"high"`
	Least *float64             `yaml:"least"`
	Most  *float64             `yaml:"most"`
	Parts map[string]Plausible `yaml:"parts"` // of parts with a range of their own
	Value *Plausible           `yaml:"value"` // of what comes out of the readings
}

// Of is the range of a part; own is false where it has the common one.
func (p Plausible) Of(part string) (of Plausible, own bool) {
	if of, own = p.Parts[part]; own {
		return of, true
	}
	return p, false
}

// check holds a range to its form.
func (p Plausible) check() error {
	switch {
	case p.Low >= p.High:
		return fmt.Errorf("plausible: low %g is not below high %g", p.Low, p.High)
	case p.Least != nil && *p.Least > p.Low, p.Most != nil && *p.Most < p.High:
		return fmt.Errorf("plausible: what is possible is narrower than what is plausible")
	}
	for name, part := range p.Parts {
		if err := part.check(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	if p.Value != nil {
		return p.Value.check()
	}
	return nil
}

// CheckLimit is the limit of a quantity at a place, for a kind of car.
type CheckLimit struct {
	Jurisdictions []string      `yaml:"jurisdictions"` // keys of [Jurisdictions]; none: anywhere
	Variant       string        `yaml:"variant"`       // what the limit is for, where there are several: "DOT 4"
	From          string        `yaml:"from"`          // first used on this day or later
	Until         string        `yaml:"until"`         // first used before this day
	Lower         *float64      `yaml:"lower"`
	Upper         *float64      `yaml:"upper"`
	Dangerous     *float64      `yaml:"dangerous"`      // beyond this the inspection calls it dangerous
	ByTemperature []WarmerLimit `yaml:"by_temperature"` // in place of lower, coldest first
	OfRimMm       float64       `yaml:"of_rim_mm"`      // the rim that the limits are written for, to which they are in proportion; 0: to none
	Note          string        `yaml:"note"`
	AsAt          string        `yaml:"as_at"`
	Refs          Refs          `yaml:"ref"`
}

// WarmerLimit is a lower limit at a temperature.
type WarmerLimit struct {
	C     float64 `yaml:"c"`
	Lower float64 `yaml:"lower"`
}

// Checks lists the quantities in the order of the file.
func Checks() []Check {
	list := slices.Clone(checks())
	for i := range list {
		list[i] = list[i].copied()
	}
	return list
}

// CheckFor finds a quantity by its key.
func CheckFor(key string) (Check, bool) {
	i := slices.IndexFunc(checks(), func(c Check) bool { return c.Key == key })
	if i < 0 {
		return Check{}, false
	}
	return checks()[i].copied(), true
}

func (c Check) copied() Check {
	c.Parts, c.Tools, c.Hazards, c.Refs = slices.Clone(c.Parts), slices.Clone(c.Tools), slices.Clone(c.Hazards), slices.Clone(c.Refs)
	c.Limits = slices.Clone(c.Limits)
	for i := range c.Limits {
		l := &c.Limits[i]
		l.Jurisdictions, l.ByTemperature, l.Refs = slices.Clone(l.Jurisdictions), slices.Clone(l.ByTemperature), slices.Clone(l.Refs)
		for _, at := range []**float64{&l.Lower, &l.Upper, &l.Dangerous} {
			if *at != nil {
				*at = new(**at)
			}
		}
	}
	return c
}

// LimitsFor are the limits that hold at a jurisdiction for a car first used on a
// day (2012-05-01) in a variant. What is empty leaves out nothing. Where the
// jurisdiction has limits of its own for that variant, those for anywhere do not
// count.
func (c Check) LimitsFor(jurisdiction, variant, firstUsed string) []CheckLimit {
	var own, anywhere []CheckLimit
	for _, l := range c.Limits {
		switch {
		case variant != "" && l.Variant != variant, firstUsed != "" && !l.holdsOn(firstUsed):
		case len(l.Jurisdictions) == 0:
			anywhere = append(anywhere, l)
		case jurisdiction == "" || slices.Contains(l.Jurisdictions, jurisdiction):
			own = append(own, l)
		}
	}
	if jurisdiction == "" {
		return append(own, anywhere...)
	}
	if len(own) > 0 {
		return own
	}
	return anywhere
}

// holdsOn reports whether a limit is for cars first used on a day.
func (l CheckLimit) holdsOn(day string) bool {
	return (l.From == "" || day >= l.From) && (l.Until == "" || day < l.Until)
}

// AtTemperature is the limit at a temperature: between two rows in proportion,
// beyond them the nearest. A limit that does not follow the temperature stays.
func (l CheckLimit) AtTemperature(c float64) CheckLimit {
	rows := l.ByTemperature
	if len(rows) == 0 {
		return l
	}
	last := len(rows) - 1
	lower := rows[last].Lower
	switch i := slices.IndexFunc(rows, func(r WarmerLimit) bool { return r.C >= c }); {
	case i == 0:
		lower = rows[0].Lower
	case i > 0:
		a, b := rows[i-1], rows[i]
		lower = a.Lower + (b.Lower-a.Lower)*(c-a.C)/(b.C-a.C)
	}
	l.Lower = &lower
	return l
}

// AtRim is the limit for a steering wheel of a diameter in mm. A limit that does not
// go by the rim stays.
func (l CheckLimit) AtRim(mm float64) CheckLimit {
	if l.OfRimMm == 0 {
		return l
	}
	for _, at := range []**float64{&l.Lower, &l.Upper, &l.Dangerous} {
		if *at != nil {
			*at = new(**at * mm / l.OfRimMm)
		}
	}
	return l
}

// Which says what a limit is for, in words: "DOT 4", "UK, first used from 2010-09-01".
func (l CheckLimit) Which() string {
	parts := []string{}
	if l.Variant != "" {
		parts = append(parts, l.Variant)
	}
	if len(l.Jurisdictions) > 0 {
		parts = append(parts, strings.Join(l.Jurisdictions, "/"))
	}
	if l.From != "" {
		parts = append(parts, "first used from "+l.From)
	}
	if l.Until != "" {
		parts = append(parts, "first used before "+l.Until)
	}
	return strings.Join(parts, ", ")
}

var checks = sync.OnceValue(func() []Check { return load("checks.yaml", checkChecks) })

// checkChecks holds the list to its form: limits that make sense, cautions and
// jurisdictions that exist.
func checkChecks(list []Check) error {
	for _, c := range list {
		for _, h := range c.Hazards {
			if _, ok := CautionFor(h); !ok {
				return fmt.Errorf("%s: there is no caution for %q", c.Key, h)
			}
		}
		if c.Maker == "" && len(c.Limits) == 0 {
			return fmt.Errorf("%s: has no limit and none of the maker's", c.Key)
		}
		if len(c.Tools) == 0 || c.InstrumentLimit < 0 || c.Group == "" || c.Form == "" {
			return fmt.Errorf("%s: tools, group or form are missing, or the instrument's bound is negative", c.Key)
		}
		if err := c.Plausible.check(); err != nil {
			return fmt.Errorf("%s: %w", c.Key, err)
		}
		for _, l := range c.Limits {
			if err := l.check(); err != nil {
				return fmt.Errorf("%s (%s): %w", c.Key, l.Which(), err)
			}
		}
	}
	return checkEntries(list, func(c Check) entry { return entry{c.Key, []string{c.Name, c.How, c.Instrument}, c.Refs} })
}

func (l CheckLimit) check() error {
	known := func(key string) bool {
		return slices.ContainsFunc(jurisdictions(), func(j Jurisdiction) bool { return j.Key == key })
	}
	for _, j := range l.Jurisdictions {
		if !known(j) {
			return fmt.Errorf("there is no jurisdiction %q", j)
		}
	}
	for _, day := range []string{l.From, l.Until} {
		if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
			return fmt.Errorf("%q is no day", day)
		}
	}
	switch {
	case l.Lower == nil && l.Upper == nil && len(l.ByTemperature) == 0:
		return fmt.Errorf("has neither lower nor upper")
	case l.Lower != nil && l.Upper != nil && *l.Lower >= *l.Upper:
		return fmt.Errorf("lower %g is not below upper %g", *l.Lower, *l.Upper)
	case !slices.IsSortedFunc(l.ByTemperature, func(a, b WarmerLimit) int {
		if a.C < b.C {
			return -1
		}
		return 1
	}):
		return fmt.Errorf("temperatures do not rise")
	case l.OfRimMm < 0:
		return fmt.Errorf("a rim of %g mm", l.OfRimMm)
	case len(l.Refs) == 0 || l.AsAt == "":
		return fmt.Errorf("has no source or no date")
	}
	return checkEntries([]CheckLimit{l}, func(l CheckLimit) entry { return entry{"limit", nil, l.Refs} })
}
