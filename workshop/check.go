package workshop

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/bench/check"
	"wreckwright/rebuild"
	"wreckwright/working"
)

// The forms that are asked for in a way of their own.
const (
	FormWear    = "wear"     // readings at distances, worked out by [check.Wear]
	FormTyreAge = "tyre_age" // the digits of a tyre instead of readings
)

// Checked is what the readings of a check say.
type Checked struct {
	Settings CheckSettings
	Rows     []CheckRow
	Verdict  rebuild.Verdict
	Why      string
	Next     []string // what would decide it
	Cautions []string // what can hurt
	Notes    []string // what the answer rests on, and what is doubtful in it
	Figures  []rebuild.EvidenceFigure
	Working  working.Working
	Engine   string

	Value     rebuild.EvidenceFigure // the quantity with its 95 % interval
	Result    *check.Result          // nil for a part that wears
	Remaining *check.WearResult      // nil for anything else
}

// ExamineCheck asks the engine what readings, written by [WriteReadings], say. Of
// a tyre's age they are the digits of its side. A mistake is [*rebuild.Invalid],
// its fields those of the page.
func ExamineCheck(text string, s CheckSettings) (Checked, error) {
	out := Checked{Settings: s}
	c := s.ask()
	if s.Form == FormTyreAge {
		day, err := time.Parse(time.DateOnly, s.On)
		if err != nil {
			return out, invalidAt("on", "say the day to which the age counts")
		}
		c.WeekCode, c.On = strings.TrimSpace(text), day
		return out.examined(c)
	}
	rows, err := ReadReadings(text)
	if err != nil {
		return out, err
	}
	if out.Rows = rows; len(rows) == 0 {
		return out, invalidAt("taken", "there is no reading yet")
	}
	if s.Form == FormWear {
		return out.worn()
	}
	for _, row := range rows {
		if row.Name == "" {
			c.Readings = row.Values
			continue
		}
		p := check.Part{Name: row.Name, Readings: row.Values}
		if limit, own := s.PartLimits[row.Name]; own {
			p.Instrument.Limit = &limit
		}
		c.Parts = append(c.Parts, p)
	}
	return out.examined(c)
}

func (s CheckSettings) ask() check.Case {
	return check.Case{
		Name: s.Name, Unit: s.Unit, Form: s.Form, EffortUnit: s.EffortUnit, Lower: s.Lower, Upper: s.Upper, Risk: s.Risk,
		Instrument: check.Instrument{Limit: s.InstrumentLimit, Resolution: s.Resolution},
	}
}

func (out Checked) examined(c check.Case) (Checked, error) {
	r, err := check.Examine(c)
	if err != nil {
		return out, checkMistake(err)
	}
	out.Result = &r
	out.Verdict, out.Next, out.Notes, out.Working, out.Engine = rebuild.Verdict(r.Verdict), r.Next, r.Cautions, r.Working, r.Engine
	for i := range out.Next {
		out.Next[i] = signed(out.Next[i])
	}
	out.Why = out.against(r.Why)
	out.Value = rebuild.EvidenceFigure{Name: r.Name, Value: r.Mean, Unit: r.Unit}
	if half := r.Half(0.95); half > 0 {
		out.Value.Low, out.Value.High = new(r.Mean-half), new(r.Mean+half)
	}
	out.Figures = append([]rebuild.EvidenceFigure{out.Value}, extremes(r, c)...)
	out.Figures = append(out.Figures, rebuild.EvidenceFigure{Name: figureChance, Value: 100 * r.Chance, Unit: "%"})
	out.Figures = append(out.Figures, bound(figureLower, r.Lower, r.Unit)...)
	out.Figures = append(out.Figures, bound(figureFrom, r.AcceptLow, r.Unit)...)
	out.Figures = append(out.Figures, bound(figureUpTo, r.AcceptHigh, r.Unit)...)
	out.Figures = append(out.Figures, bound(figureUpper, r.Upper, r.Unit)...)
	if out.Settings.dangerous(r.Mean) {
		out.Cautions = []string{fmt.Sprintf("beyond %s %s an inspection calls it dangerous: it is not driven until that is mended", plainNumber(*out.Settings.Dangerous), r.Unit)}
	}
	out.Figures = slices.DeleteFunc(out.Figures, boundless)
	return out, nil
}

// against adds whose limit it is to a reason.
func (out Checked) against(why string) string {
	why = signed(why)
	switch {
	case out.Settings.LimitFrom == "":
	case out.Settings.LimitRef != "":
		why += "; the limit is for: " + out.Settings.LimitFrom
	default:
		why += "; the limit is from: " + out.Settings.LimitFrom
	}
	if len(out.Settings.Confirmed) > 0 {
		why += "; " + doubtConfirmed + ": " + strings.Join(out.Settings.Confirmed, "; ")
	}
	return why
}

// doubtConfirmed comes before readings that look like a slip.
const doubtConfirmed = "doubtful, and kept because somebody ticked that it really reads that"

// signed writes the engine's plus and minus as one sign.
func signed(text string) string { return strings.ReplaceAll(text, "+-", "±") }

// worn asks how far a part still goes.
func (out Checked) worn() (Checked, error) {
	s := out.Settings
	limit := s.Lower
	if limit == nil {
		limit = s.Upper
	}
	if limit == nil {
		return out, invalidAt("lower", "say at which value it is worn out")
	}
	c := check.WearCase{
		Name: s.Name, Unit: s.Unit, DistanceUnit: s.DistanceUnit, Limit: *limit, Side: s.Wears, Want: s.Want, Risk: s.Risk,
		Instrument: check.Instrument{Limit: s.InstrumentLimit, Resolution: s.Resolution},
	}
	for _, row := range out.Rows {
		at, err := strconv.ParseFloat(row.Name, 64)
		if err != nil {
			return out, invalidAt("taken", fmt.Sprintf("%q is no distance; write each line as the distance, a colon and the reading", shortened(row.Name)))
		}
		for _, v := range row.Values {
			c.Points = append(c.Points, check.WearPoint{At: at, Value: v})
		}
	}
	r, err := check.Wear(c)
	if err != nil {
		return out, checkMistake(err)
	}
	out.Remaining = &r
	out.Verdict, out.Notes, out.Working, out.Engine = rebuild.Verdict(r.Verdict), r.Cautions, r.Working, r.Engine
	out.Why = out.against(r.Why)
	out.Value = rebuild.EvidenceFigure{Name: r.Name, Value: r.ValueNow, Unit: r.Unit}
	out.Figures = []rebuild.EvidenceFigure{out.Value, {Name: "Wear over 1000 " + r.DistanceUnit, Value: r.PerThousand, Unit: r.Unit}}
	if left := r.Remaining.Likely; left != nil {
		out.Figures = append(out.Figures, rebuild.EvidenceFigure{Name: "Distance left", Value: *left, Low: r.Remaining.Low, High: r.Remaining.High, Unit: r.DistanceUnit})
	}
	if r.Chance != nil {
		out.Figures = append(out.Figures, rebuild.EvidenceFigure{Name: "Chance that it goes that far", Value: 100 * *r.Chance, Unit: "%"})
	}
	out.Figures = append(out.Figures, bound(figureWornAt, limit, r.Unit)...)
	out.Figures = slices.DeleteFunc(out.Figures, boundless)
	return out, nil
}

// Reason is the verdict's reason in one sentence.
func (out Checked) Reason() string {
	first, _ := PartReason(out.Why)
	return first
}

// More is what is said beyond the reason.
func (out Checked) More() string {
	_, more := PartReason(out.Why)
	return more
}

// Evidence is the measurement to be kept, all but its files and what it belongs to.
func (out Checked) Evidence() rebuild.Evidence {
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentCheck, Title: out.Settings.Title(), Verdict: out.Verdict, Why: out.Why,
		Figures: out.Figures, Engine: out.Engine, Settings: out.Settings.JSON(),
	}
}

func invalidAt(field, text string) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: field, Text: text}}}
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// checkMistake puts a mistake that the engine found at the field of the page.
func checkMistake(err error) error {
	var wrong *check.InputError
	if !errors.As(err, &wrong) {
		return err
	}
	field, text := wrong.Key, wrong.Problem+"; expected "+wrong.Expected
	if part, ok := strings.CutPrefix(wrong.Key, "parts."); ok {
		name, rest, _ := strings.Cut(part, ".")
		field, text = "part."+partField(name), capitalFirst(PartWords(name))+": "+text
		if strings.HasPrefix(rest, "instrument") {
			field, text = "limit."+partField(name), "say how far off the figure for “"+PartWords(name)+"” may be"
		}
		return invalidAt(field, text)
	}
	base, _, _ := strings.Cut(strings.TrimPrefix(wrong.Key, "usual."), "[")
	switch base {
	case "readings", "points", "parts":
		field = "taken"
		if base == "points" && strings.HasPrefix(wrong.Problem, "there are") {
			text = "the wear shows from two readings at two distances on"
		}
	case "week_code":
		field, text = "taken", "the digits of the tyre: "+text
	case "limit":
		field, text = "lower", "the value at which it is worn out "+text
	case "lower":
		if strings.HasPrefix(wrong.Problem, "is missing") {
			text = "choose a limit above, or enter the maker's"
		}
	case "instrument_limit":
		if strings.HasPrefix(wrong.Problem, "is missing") {
			text = "say how far off the instrument may be"
		}
	case "risk":
		text = "the risk borne: " + text
	}
	return invalidAt(field, text)
}

// partWords are the parts whose names are not words by themselves.
var partWords = map[string]string{
	"mass_kg": "mass of the car, kg", "co_percent": "CO, %", "co2_percent": "CO₂, %", "o2_percent": "O₂, %", "hc_ppm": "HC, ppm", "minutes": "minutes between",
}

// PartWords is what a part of a quantity is called on a page.
func PartWords(name string) string {
	if words, ok := partWords[name]; ok {
		return words
	}
	return name
}
