package workshop

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wreckwright/knowledge"
)

// ReadingDoubt is a reading that looks like a slip of the key.
type ReadingDoubt struct {
	Part       string // empty: of the one row
	Value      float64
	Text       string // what is wrong, what was expected, and what was probably meant
	Impossible bool   // nothing can read that: no tick lets it pass
}

// Key names the very reading, for the tick that it really reads that.
func (d ReadingDoubt) Key() string { return d.Part + "=" + strconv.FormatFloat(d.Value, 'g', -1, 64) }

// DoubtReadings looks for slips of the key: readings outside what the quantity
// reads on any car, and readings of one row that differ by a factor of ten or more.
func DoubtReadings(rows []CheckRow, s CheckSettings) []ReadingDoubt {
	if s.Form == FormTyreAge {
		return nil
	}
	quantity, known := knowledge.CheckFor(s.Quantity)
	var doubts []ReadingDoubt
	for _, row := range seriesOf(rows, s) {
		p := knowledge.Plausible{Low: math.Inf(-1), High: math.Inf(1)}
		if known {
			p = plausibleOf(quantity, row.Name, s)
		}
		for i, v := range row.Values {
			d := ReadingDoubt{Part: row.Name, Value: v}
			others := slices.DeleteFunc(slices.Delete(slices.Clone(row.Values), i, i+1), func(o float64) bool { return o < p.Low || o > p.High })
			if d.outside(p, others, s); d.Text == "" {
				d.beside(others, s)
			}
			if d.Text != "" && !slices.ContainsFunc(doubts, func(o ReadingDoubt) bool { return o.Key() == d.Key() }) {
				doubts = append(doubts, d)
			}
		}
	}
	return doubts
}

// seriesOf are the rows of readings that belong together: of a part that wears all
// readings, at whatever distance.
func seriesOf(rows []CheckRow, s CheckSettings) []CheckRow {
	if s.Form != FormWear {
		return rows
	}
	var all CheckRow
	for _, row := range rows {
		all.Values = append(all.Values, row.Values...)
	}
	return []CheckRow{all}
}

// newtonsOf is a newton's worth of the units of brake effort, as package check has
// them.
var newtonsOf = map[string]float64{"kN": 1000, "kgf": 9.80665}

// plausibleOf is where readings of a part lie, in the unit in which they are read.
func plausibleOf(quantity knowledge.Check, part string, s CheckSettings) knowledge.Plausible {
	p, own := quantity.Plausible.Of(part)
	worth := newtonsOf[s.EffortUnit]
	if own || worth == 0 || quantity.Form != "efficiency" {
		return p
	}
	p.Low, p.High = p.Low/worth, p.High/worth
	return p
}

// outside says what is wrong with a reading that lies outside what is plausible.
func (d *ReadingDoubt) outside(p knowledge.Plausible, others []float64, s CheckSettings) {
	unit := readingUnit(d.Part, s)
	range_ := fmt.Sprintf("expected %s to %s", plainNumber(p.Low), withUnit(p.High, unit))
	switch {
	case p.Least != nil && d.Value < *p.Least:
		d.Impossible = true
		d.Text = fmt.Sprintf("%s: nothing reads less than %s here", withUnit(d.Value, unit), withUnit(*p.Least, unit))
	case p.Most != nil && d.Value > *p.Most:
		d.Impossible = true
		d.Text = fmt.Sprintf("%s: nothing reads more than %s here", withUnit(d.Value, unit), withUnit(*p.Most, unit))
	case d.Value < p.Low || d.Value > p.High:
		d.Text = withUnit(d.Value, unit)
	default:
		return
	}
	if meant, ok := meantBy(d.Value, p, others, s); ok {
		d.Text += ": did you mean " + plainNumber(meant) + "?"
		range_ = capitalFirst(range_)
	} else {
		d.Text += "; "
	}
	if d.Impossible && p.Least != nil && d.Value < *p.Least {
		d.Text = strings.Replace(d.Text, " here:", " here;", 1)
	}
	d.Text = strings.TrimSpace(strings.TrimSuffix(d.Text, " ")) + " " + range_
}

// meantBy is the figure that was probably meant: the point forgotten or a place
// off, or a sign too many. Of several the one nearest to the other readings counts,
// else to the limit.
func meantBy(v float64, p knowledge.Plausible, others []float64, s CheckSettings) (float64, bool) {
	var fits []float64
	for _, sign := range []float64{1, -1} {
		for power := -4; power <= 4; power++ {
			// As digits, so that 2455 becomes 24.55 and not 24.550000000000001.
			x, err := strconv.ParseFloat(strconv.FormatFloat(sign*v, 'f', -1, 64)+fmt.Sprintf("e%d", power), 64)
			if err == nil && (sign < 0 || power != 0) && x > p.Low && x < p.High && x != 0 && (sign > 0 || power == 0) {
				fits = append(fits, x)
			}
		}
	}
	if len(fits) == 0 {
		return 0, false
	}
	near, known := nearTo(others, s)
	if !known {
		near = math.Abs(v) // the smallest slip
	}
	best := fits[0]
	for _, x := range fits {
		if math.Abs(math.Log(math.Abs(x)/near)) < math.Abs(math.Log(math.Abs(best)/near)) {
			best = x
		}
	}
	return best, true
}

// nearTo is what a reading should be near: the other readings, else the limit.
func nearTo(others []float64, s CheckSettings) (float64, bool) {
	if m := math.Abs(middle(others)); m > 0 {
		return m, true
	}
	if s.Form != "mean" && s.Form != FormWear {
		return 0, false // the limit is of what comes out, not of a reading
	}
	for _, limit := range []*float64{s.Lower, s.Upper} {
		if limit != nil && *limit != 0 {
			return math.Abs(*limit), true
		}
	}
	return 0, false
}

func middle(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(list))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

// tenfold is from which ratio on two readings are asked about; a digit too many
// makes ten.
const tenfold = 8

// beside says what is wrong with a reading that is ten times the others or a tenth
// of them. Where the instrument itself is as coarse as that, it says nothing.
func (d *ReadingDoubt) beside(others []float64, s CheckSettings) {
	m := middle(others)
	if m == 0 || d.Value == 0 || m*d.Value < 0 {
		return
	}
	ratio := math.Abs(d.Value / m)
	coarse := s.InstrumentLimit != nil && math.Abs(d.Value-m) <= 5**s.InstrumentLimit
	if coarse || ratio < tenfold && ratio > 1.0/tenfold {
		return
	}
	power := math.Round(math.Log10(1 / ratio))
	meant, err := strconv.ParseFloat(strconv.FormatFloat(d.Value, 'f', -1, 64)+fmt.Sprintf("e%d", int(power)), 64)
	unit := readingUnit(d.Part, s)
	d.Text = fmt.Sprintf("%s beside %s", withUnit(d.Value, unit), withUnit(m, unit))
	if err == nil {
		d.Text += fmt.Sprintf(": did you mean %s?", plainNumber(meant))
	}
	d.Text += " Readings that belong together seldom differ ten times"
}

// readingUnit is the unit in which a part is read, which need not be that of the
// quantity.
func readingUnit(part string, s CheckSettings) string {
	switch {
	case part == "mass_kg":
		return "kg"
	case s.Form == "efficiency":
		return s.EffortUnit
	case s.Form == "deceleration":
		return "m/s²"
	case part == "hc_ppm":
		return "ppm"
	case s.Form == "lambda":
		return "%"
	case s.Form == "spread_percent", s.Form == "imbalance", s.Form == "rate":
		return ""
	}
	return s.Unit
}

func withUnit(v float64, unit string) string {
	return strings.TrimSpace(plainNumber(v) + " " + unit)
}

// DoubtValue is a doubt about what comes out, where each reading by itself is
// plausible: a pressure that rises on its own. Empty: none.
func DoubtValue(out Checked) string {
	quantity, known := knowledge.CheckFor(out.Settings.Quantity)
	p := quantity.Plausible.Value
	if !known || p == nil || out.Result == nil {
		return ""
	}
	if v := out.Result.Mean; v < p.Low || v > p.High {
		return fmt.Sprintf("%s comes out as %s; expected %s to %s. Are the readings the right way round?",
			quantity.Name, withUnit(v, out.Result.Unit), plainNumber(p.Low), withUnit(p.High, out.Result.Unit))
	}
	return ""
}
