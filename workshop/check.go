package workshop

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
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

// CheckSettings is what a check was told besides its readings. It is kept with the
// measurement, so that the verdict can be worked out again without anything else.
type CheckSettings struct {
	Quantity string `json:"quantity,omitempty"` // key of knowledge; empty: an own one
	Name     string `json:"name"`
	Which    string `json:"which,omitempty"` // of several alike: front left, cylinder 3
	Unit     string `json:"unit,omitempty"`
	Form     string `json:"form"`

	InstrumentLimit *float64           `json:"instrument_limit,omitempty"` // the error lies within this, both ways
	Resolution      float64            `json:"resolution,omitempty"`
	PartLimits      map[string]float64 `json:"part_limits,omitempty"` // of parts in units of their own
	EffortUnit      string             `json:"effort_unit,omitempty"`
	On              string             `json:"on,omitempty"` // the day to which an age counts

	Lower        *float64 `json:"lower,omitempty"`
	Upper        *float64 `json:"upper,omitempty"`
	Dangerous    *float64 `json:"dangerous,omitempty"`
	TemperatureC *float64 `json:"temperature_c,omitempty"`
	RimMm        *float64 `json:"rim_mm,omitempty"`     // of the steering wheel, where the limit goes by it
	LimitFrom    string   `json:"limit_from,omitempty"` // whose limit it is, in words
	LimitRef     string   `json:"limit_ref,omitempty"`  // its source, where it is one of knowledge's
	Risk         float64  `json:"risk,omitempty"`       // 0: as usual

	// Confirmed says of readings that look like a slip of the key that somebody ticked
	// that it really reads that.
	Confirmed []string `json:"confirmed,omitempty"`

	Want         *float64 `json:"want,omitempty"` // distance that a part shall still go
	DistanceUnit string   `json:"distance_unit,omitempty"`
	Wears        string   `json:"wears,omitempty"` // down, up; empty: as the readings show
}

// JSON is how the settings are kept with a measurement.
func (s CheckSettings) JSON() string {
	text, err := json.Marshal(s)
	if err != nil {
		return "" // numbers that were read from a form can always be written
	}
	return string(text)
}

// ReadCheckSettings reads the settings that a measurement was kept with; false
// where they are not a check's.
func ReadCheckSettings(e *rebuild.Evidence) (CheckSettings, bool) {
	var s CheckSettings
	if e.Instrument != rebuild.InstrumentCheck {
		return s, false
	}
	err := json.Unmarshal([]byte(e.Settings), &s)
	return s, err == nil && s.Form != ""
}

// Title is what a measurement of it is called by itself.
func (s CheckSettings) Title() string {
	if s.Which == "" {
		return s.Name
	}
	return s.Name + ", " + s.Which
}

// SameQuantity reports whether two checks measured the same thing on the same part.
func SameQuantity(a, b *rebuild.Evidence) bool {
	x, known := ReadCheckSettings(a)
	y, also := ReadCheckSettings(b)
	return known && also && x.Quantity == y.Quantity && strings.EqualFold(x.Title(), y.Title()) && x.Unit == y.Unit && x.Form == y.Form
}

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

// figureChance is the name of the figure that is the chance of lying within the
// limits.
const figureChance = "Chance within the limits"

// IsChance reports a figure that is the chance of lying within the limits.
func IsChance(f rebuild.EvidenceFigure) bool { return f.Name == figureChance }

// The names of the figures that are limits, or where a value is accepted from.
const (
	figureLower  = "Lower limit"
	figureUpper  = "Upper limit"
	figureFrom   = "Accepted from"
	figureUpTo   = "Accepted up to"
	figureWornAt = "Worn out at"
)

// IsBound reports a figure that is a limit, or where a value is accepted from.
func IsBound(f rebuild.EvidenceFigure) bool {
	return slices.Contains([]string{figureLower, figureUpper, figureFrom, figureUpTo, figureWornAt}, f.Name)
}

// ShownFigures are the figures of a measurement as they are shown: where a value is
// accepted from has the digits of the value's own doubt, here as on its picture.
func ShownFigures(e *rebuild.Evidence) []rebuild.EvidenceFigure {
	if e.Instrument != rebuild.InstrumentCheck {
		return e.Figures
	}
	return shownFigures(e.Figures)
}

// Shown are the figures as they are shown.
func (out Checked) Shown() []rebuild.EvidenceFigure { return shownFigures(out.Figures) }

func shownFigures(kept []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	list := slices.Clone(kept)
	for i := range list {
		if f := &list[i]; f.Name == figureFrom || f.Name == figureUpTo {
			f.Value = ShownBound(list[0], f.Value)
		}
	}
	return list
}

// ShownBound is where a value is accepted from, to one digit beyond the first of the
// value's doubt.
func ShownBound(value rebuild.EvidenceFigure, v float64) float64 {
	scale := math.Abs(v) / 1000
	if value.Low != nil && value.High != nil && *value.High > *value.Low {
		scale = (*value.High - *value.Low) / 10
	}
	if scale <= 0 {
		return v
	}
	digits := min(max(0, -int(math.Floor(math.Log10(scale)))), 9)
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', digits, 64), 64)
	if err != nil {
		return v
	}
	return short
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

// dangerous reports a value on the wrong side of the bound that an inspection
// calls dangerous.
func (s CheckSettings) dangerous(v float64) bool {
	switch {
	case s.Dangerous == nil:
		return false
	case s.Upper != nil && *s.Dangerous >= *s.Upper:
		return v > *s.Dangerous
	}
	return s.Lower != nil && *s.Dangerous <= *s.Lower && v < *s.Dangerous
}

// extremes are the largest and the smallest place of a spread, which other
// questions ask for: how bad the worst cylinder is.
func extremes(r check.Result, c check.Case) []rebuild.EvidenceFigure {
	if r.Form != "spread" && r.Form != "spread_percent" || len(r.Parts) == 0 {
		return nil
	}
	high, low := r.Parts[0].Mean, r.Parts[0].Mean
	for _, p := range r.Parts {
		high, low = max(high, p.Mean), min(low, p.Mean)
	}
	unit := c.Unit
	if r.Form == "spread_percent" {
		unit = "" // of the readings, which nobody said
	}
	figures := []rebuild.EvidenceFigure{{Name: r.Name + LargestOf, Value: high, Unit: unit}, {Name: r.Name + SmallestOf, Value: low, Unit: unit}}
	if limit := c.Instrument.Limit; limit != nil && *limit > 0 {
		for i, v := range []float64{high, low} {
			figures[i].Low, figures[i].High = new(v-0.95**limit), new(v+0.95**limit) // of a rectangular distribution
		}
	}
	return figures
}

// The ends of the names of the largest and the smallest place of a spread.
const (
	LargestOf  = ": largest"
	SmallestOf = ": smallest"
)

func bound(name string, at *float64, unit string) []rebuild.EvidenceFigure {
	if at == nil {
		return nil
	}
	return []rebuild.EvidenceFigure{{Name: name, Value: *at, Unit: unit}}
}

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

// Leading are the figures that a person looks at first.
func (out Checked) Leading() []rebuild.EvidenceFigure { return leadingChecked(out.Figures) }

// leadingChecked are the value and what decides: the chance, or the distance left.
func leadingChecked(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for i, f := range all {
		if i == 0 || f.Name == figureChance || f.Name == "Distance left" {
			list = append(list, f)
		}
	}
	return list
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
