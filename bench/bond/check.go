package bond

import (
	"math"
	"strconv"
	"strings"
)

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Bound is what a number of a case may be: above Low (at it where Closed), up to
// High.
type Bound struct {
	Low, High float64
	Closed    bool
	Unit      string
}

// Bounds of the numbers by their keys in a case file.
var bounds = map[string]Bound{
	"load_n":             {0, 1e6, false, " N"},
	"width_mm":           {0, 5000, false, " mm"},
	"overlap_mm":         {0, 5000, false, " mm"},
	"bond_mm":            {0, 10, false, " mm"},
	"modulus_gpa":        {0, 1000, false, " GPa"},
	"thickness_mm":       {0, 200, false, " mm"},
	"expansion_per_k":    {-1e-4, 1e-3, true, " a kelvin"},
	"shear_strength_mpa": {0, 200, false, " MPa"},
	"shear_modulus_mpa":  {0, 1e5, false, " MPa"},
	"hottest_c":          {-60, 250, true, " °C"},
	"coldest_c":          {-60, 250, true, " °C"},
	"stress_free_c":      {-60, 250, true, " °C"},
	"factor":             {1, 20, true, ""},
	"sheet_hours":        {0, 10000, false, " h"},
	"sheet_c":            {-40, 250, true, " °C"},
	"least_c":            {-40, 250, true, " °C"},
	"most_c":             {-40, 250, true, " °C"},
	"workshop_c":         {-40, 250, true, " °C"},
	"energy_kj_mol":      {20, 200, true, " kJ/mol"},
}

// BoundOf is what the number of a key may be.
func BoundOf(key string) Bound { return bounds[key] }

// number is a number of a case with its place.
type number struct {
	where string
	value *float64
}

// numbers lists every number that was given.
func (c *Case) numbers() []number {
	list := []number{
		{"load_n", &c.LoadN},
		{"width_mm", &c.WidthMm},
		{"overlap_mm", &c.OverlapMm},
		{"bond_mm", &c.BondMm},
		{"adherends[0].modulus_gpa", &c.First.ModulusGPa},
		{"adherends[0].thickness_mm", &c.First.ThicknessMm},
		{"adherends[0].expansion_per_k", c.First.ExpansionPerK},
		{"adherends[1].modulus_gpa", &c.Second.ModulusGPa},
		{"adherends[1].thickness_mm", &c.Second.ThicknessMm},
		{"adherends[1].expansion_per_k", c.Second.ExpansionPerK},
		{"adhesive.shear_strength_mpa", &c.Adhesive.ShearMPa},
		{"hottest_c", &c.HottestC},
		{"coldest_c", c.ColdestC},
		{"stress_free_c", c.StressFreeC},
		{"factor", &c.Factor},
	}
	modulus := 1000 * c.Adhesive.ShearGPa
	list = append(list, number{"adhesive.shear_modulus_mpa", &modulus})
	if u := c.Cure; u != nil {
		list = append(list, number{"cure.sheet_hours", &u.SheetHours}, number{"cure.sheet_c", &u.SheetC}, number{"cure.least_c", u.LeastC}, number{"cure.most_c", u.MostC}, number{"cure.workshop_c", &u.WorkshopC})
		if u.EnergyKJMol != 0 {
			list = append(list, number{"cure.energy_kj_mol", &u.EnergyKJMol})
		}
	}
	return list
}

// check holds a case to what can be.
func (c *Case) check() error {
	if strings.TrimSpace(c.Holds) == "" {
		return wrong("holds", "what the bond holds, in words", "nothing says what hangs on it")
	}
	if c.Layout != Single && c.Layout != Double {
		return wrong("layout", "single or double", "%q is no layout of a lap", c.Layout)
	}
	for _, n := range c.numbers() {
		if n.value == nil {
			continue
		}
		key := n.where[strings.LastIndexByte(n.where, '.')+1:]
		if err := bounds[key].check(n.where, *n.value); err != nil {
			return err
		}
	}
	return c.checkTogether()
}

func (b Bound) check(where string, x float64) error {
	if problem := b.Problem(x); problem != "" {
		return wrong(where, b.String(), "%s", problem)
	}
	return nil
}

// Problem says what is wrong with a number; nothing where it is within the bound.
func (b Bound) Problem(x float64) string {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return plain(x) + " is no number"
	case x >= b.Low && x <= b.High && (x > b.Low || b.Closed):
		return ""
	}
	return plain(x) + b.Unit + " is impossible"
}

// String writes a bound in words.
func (b Bound) String() string {
	if b.Closed {
		return plain(b.Low) + " to " + plain(b.High) + b.Unit
	}
	return "more than " + plain(b.Low) + ", up to " + plain(b.High) + b.Unit
}

func (c *Case) checkTogether() error {
	both := c.First.ExpansionPerK != nil && c.Second.ExpansionPerK != nil
	one := c.First.ExpansionPerK != nil || c.Second.ExpansionPerK != nil
	switch {
	case one && !both:
		return wrong("adherends", "expansion_per_k of both", "the expansion of one part only is given")
	case both && c.StressFreeC == nil:
		return wrong("stress_free_c", "the temperature at which the bond set", "expansions are given without it")
	case c.ColdestC != nil && *c.ColdestC > c.HottestC:
		return wrong("coldest_c", "at most hottest_c, "+plain(c.HottestC)+" °C", "%s °C is hotter than the hottest", plain(*c.ColdestC))
	}
	return nil
}
