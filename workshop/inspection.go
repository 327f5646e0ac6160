package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/check"
	"wreckwright/knowledge"
	"wreckwright/prove/rehearsal"
	"wreckwright/rebuild"
)

// InspectionLine is an item of the inspection with its limits here and with what
// came of looking at it.
type InspectionLine struct {
	knowledge.InspectionItem
	Seen     *rebuild.Rehearsed // nil: not looked at
	Evidence *rebuild.Evidence  // the measurement behind it; nil: none
	Unit     string             // of its figure; empty: it has none, or a plain number
	Measured bool               // it has a figure
	CheckKey string             // of the check whose limits hold; empty: none
	Limits   []LimitLine
	Cautions []knowledge.Caution

	// Stale says what changed after it was looked at, so that the look counts no
	// more; empty: nothing.
	Stale []string
	Open  []Concern // findings and jobs that stand open about it

	InLimits *float64 // chance of its figure to lie within the limit; nil: not worked out
	Chance   float64  // to pass the official test
	From     string   // how that came about
}

// LimitLine is a limit as it is shown.
type LimitLine struct{ Text, Source string }

// Result is what came of looking at it; empty: not looked at. That it does not apply
// is taken of items only that some cars have not.
func (l InspectionLine) Result() rebuild.ItemResult {
	if l.Seen == nil || l.Seen.Result == rebuild.ItemNone && !l.MayNotApply {
		return ""
	}
	return l.Seen.Result
}

// Counts reports a look that still counts.
func (l InspectionLine) Counts() bool {
	result := l.Result()
	return result != "" && (len(l.Stale) == 0 || result == rebuild.ItemFail || result == rebuild.ItemNone)
}

// Against is the first open thing that fails the item whatever was seen.
func (l InspectionLine) Against() string {
	for _, c := range l.Open {
		if c.Fails {
			return c.Title
		}
	}
	return ""
}

// InspectionPart is what is looked at from one place round the car.
type InspectionPart struct {
	Walk   string
	Lines  []InspectionLine
	Looked int
}

// Slug names the part within an address.
func (p InspectionPart) Slug() string {
	return strings.NewReplacer(" ", "-", "'", "").Replace(p.Walk)
}

// Inspection is the rehearsal of the official inspection.
type Inspection struct {
	Place     string // jurisdiction
	Known     bool   // its list is known here; else the list is one of what such inspections look at
	TestName  string // "MOT test"; empty: not known here
	FirstUsed string
	Parts     []InspectionPart
	Reckoned  rehearsal.Reckoned
}

// InspectionOf is the list for the car's jurisdiction with what was looked at and
// the chance to pass.
func InspectionOf(r *rebuild.Rebuild) (Inspection, error) {
	in := Inspection{Place: r.Car.Jurisdiction, Known: slices.Contains(knowledge.InspectionPlaces, r.Car.Jurisdiction), FirstUsed: r.Appraisal.FirstUsed}
	if i := slices.IndexFunc(knowledge.Jurisdictions(), func(j knowledge.Jurisdiction) bool { return j.Key == in.Place }); i >= 0 {
		in.TestName = knowledge.Jurisdictions()[i].Test.Name
	}
	var items []rehearsal.Item
	var lines []InspectionLine
	book := changesOf(r)
	for _, it := range knowledge.InspectionItems() {
		l := inspectionLine(r, it)
		book.put(&l)
		lines = append(lines, l)
		items = append(items, rehearsal.Item{
			Key: it.Key, Name: it.Name, Result: rehearsal.Result(l.Result()), InLimits: l.InLimits, Unseen: it.Unseen, Stale: len(l.Stale) > 0, Against: l.Against(),
		})
	}
	var err error
	if in.Reckoned, err = rehearsal.Reckon(items, rehearsal.Own); err != nil {
		return in, fmt.Errorf("working out the chance to pass: %w", err)
	}
	for i, l := range lines {
		l.Chance, l.From = in.Reckoned.Items[i].Chance, in.Reckoned.Items[i].From
		in.put(l)
	}
	return in, nil
}

// put hangs an item on the part of the walk it belongs to.
func (in *Inspection) put(l InspectionLine) {
	if n := len(in.Parts); n == 0 || in.Parts[n-1].Walk != l.Walk {
		in.Parts = append(in.Parts, InspectionPart{Walk: l.Walk})
	}
	p := &in.Parts[len(in.Parts)-1]
	p.Lines = append(p.Lines, l)
	if l.Counts() {
		p.Looked++
	}
}

// Line is the item with that key, or nil.
func (in *Inspection) Line(key string) *InspectionLine {
	for i := range in.Parts {
		for k := range in.Parts[i].Lines {
			if l := &in.Parts[i].Lines[k]; l.Key == key {
				return l
			}
		}
	}
	return nil
}

func inspectionLine(r *rebuild.Rebuild, it knowledge.InspectionItem) InspectionLine {
	l := InspectionLine{InspectionItem: it, Seen: r.RehearsedItem(it.Key), CheckKey: it.CheckAt(r.Car.Jurisdiction)}
	for _, h := range it.Hazards {
		if c, ok := knowledge.CautionFor(h); ok {
			l.Cautions = append(l.Cautions, c)
		}
	}
	for _, limit := range it.LimitsAt(r.Car.Jurisdiction) {
		l.Limits = append(l.Limits, LimitLine{limit.Text, sourcesRead(limit.Refs)})
	}
	if l.Seen != nil && l.Seen.EvidenceID != 0 {
		l.Evidence = r.EvidenceAt(l.Seen.EvidenceID)
	}
	of, ok := knowledge.CheckFor(l.CheckKey)
	if !ok {
		return l
	}
	l.Unit, l.Measured = of.Unit, true
	limits := of.LimitsFor(r.Car.Jurisdiction, "", r.Appraisal.FirstUsed)
	for _, limit := range limits {
		l.Limits = append(l.Limits, LimitLine{limitText(limit, of.Unit), sourcesRead(limit.Refs)})
	}
	if of.Maker != "" {
		l.Limits = append(l.Limits, LimitLine{"The maker's goes first: " + lowerFirst(of.Maker), ""})
	}
	if l.Result() != rebuild.ItemNone {
		l.InLimits = inLimits(l, of, limits)
	}
	return l
}

// inLimits is the chance of the figure to lie within the limit: as the check behind
// it worked it out, or that of the figure read to lie within the one limit that
// holds, by the doubt of a usual instrument. Where several could hold, it goes by
// something else as well, is for cars of a kind or none is known, it is not worked out.
func inLimits(l InspectionLine, of knowledge.Check, limits []knowledge.CheckLimit) *float64 {
	if measured := chanceMeasured(l.Evidence, l.CheckKey); measured != nil {
		return measured
	}
	if l.Seen == nil || l.Seen.Value == nil || len(limits) != 1 || len(limits[0].ByTemperature) > 0 || limits[0].OfRimMm > 0 || limits[0].Variant != "" || of.InstrumentLimit <= 0 {
		return nil
	}
	result, err := check.Examine(check.Case{
		Name: of.Name, Unit: of.Unit, Readings: []float64{*l.Seen.Value}, Instrument: check.Instrument{Limit: &of.InstrumentLimit},
		Lower: limits[0].Lower, Upper: limits[0].Upper,
	})
	if err != nil {
		return nil // a figure that is none of this quantity: the page asks for it anew
	}
	return &result.Chance
}

// chanceMeasured is the chance that a check of that very quantity worked out, with
// its own instrument, readings and limit; nil: none did.
func chanceMeasured(e *rebuild.Evidence, quantity string) *float64 {
	if e == nil {
		return nil
	}
	if s, ok := ReadCheckSettings(e); !ok || s.Quantity != quantity {
		return nil
	}
	for _, f := range e.Figures {
		if p := f.Value / 100; f.Name == figureChance && p >= 0 && p <= 1 { // kept in percent
			return &p
		}
	}
	return nil
}

func limitText(l knowledge.CheckLimit, unit string) string {
	var parts []string
	say := func(format string, v *float64) {
		if v != nil {
			parts = append(parts, strings.TrimSpace(fmt.Sprintf(format, *v, unit)))
		}
	}
	say("at least %g %s", l.Lower)
	say("at most %g %s", l.Upper)
	text := strings.Join(parts, ", ")
	if len(l.ByTemperature) > 0 {
		text = "by the temperature"
	}
	if which := l.Which(); which != "" {
		text += " (" + which + ")"
	}
	parts = []string{text}
	say("dangerous beyond %g %s", l.Dangerous)
	if l.Note != "" {
		parts = append(parts, l.Note)
	}
	return strings.Join(parts, "; ")
}

// sourcesRead names sources with how well each was read.
func sourcesRead(refs knowledge.Refs) string {
	var parts []string
	for _, ref := range refs {
		s, ok := knowledge.SourceFor(ref.Key)
		switch {
		case !ok:
			parts = append(parts, ref.String())
		case s.Kind == "common practice" || s.Kind == "own design":
			parts = append(parts, s.Kind+": "+ref.Where)
		default:
			parts = append(parts, fmt.Sprintf("%s, %s (%s)", s.Title, ref.Where, s.Read))
		}
	}
	return strings.Join(parts, "; ")
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// OfficialLine is an official test beside the rehearsal of that day.
type OfficialLine struct {
	*rebuild.OfficialTest
	Compared rehearsal.Compared
}

// OfficialTests are the tests, the latest first, each held against what had been
// expected of it.
func OfficialTests(r *rebuild.Rebuild) []OfficialLine {
	var lines []OfficialLine
	for i := range r.OfficialTests {
		t := &r.OfficialTests[i]
		var items []rehearsal.Tested
		for _, item := range t.Items {
			name := item.Text
			if it, ok := knowledge.InspectionItemFor(item.Key); ok {
				name = it.Name
			}
			items = append(items, rehearsal.Tested{Key: name, Rehearsed: rehearsal.Result(item.Rehearsed), Found: rehearsal.Result(item.Found)})
		}
		lines = append(lines, OfficialLine{t, rehearsal.Compare(items, t.Result == rebuild.TestPass, t.Chance)})
	}
	slices.SortStableFunc(lines, func(a, b OfficialLine) int { return strings.Compare(b.On, a.On) })
	return lines
}

// TestOf fills an official test with the rehearsal as it stands, or, of one that is
// in the book already, as it stood then: the chance that was expected, and beside
// each item what had been found before. found are the items that the test failed
// or noted; what had been looked at and the test did not name, it passed.
func TestOf(r *rebuild.Rebuild, t rebuild.OfficialTest, found []rebuild.TestedItem) (rebuild.OfficialTest, error) {
	before, err := lookedAtBefore(r, &t)
	if err != nil {
		return t, err
	}
	t.Items = nil
	named := map[string]bool{}
	for _, item := range found {
		i := slices.IndexFunc(before, func(b rebuild.TestedItem) bool { return b.Key == item.Key && b.Key != "" })
		if i >= 0 {
			item.Rehearsed = before[i].Rehearsed
		}
		named[item.Key] = true
		t.Items = append(t.Items, item)
	}
	for _, b := range before {
		if !named[b.Key] {
			t.Items = append(t.Items, rebuild.TestedItem{Key: b.Key, Rehearsed: b.Rehearsed, Found: rebuild.ItemPass})
		}
	}
	return t, nil
}

// lookedAtBefore is what the rehearsal had said of each item; it fills the chance
// of a test that is not in the book yet.
func lookedAtBefore(r *rebuild.Rebuild, t *rebuild.OfficialTest) ([]rebuild.TestedItem, error) {
	var before []rebuild.TestedItem
	if old := r.OfficialTest(t.ID); old != nil {
		t.Jurisdiction, t.Chance = old.Jurisdiction, old.Chance
		for _, item := range old.Items {
			if item.Rehearsed != "" && item.Key != "" {
				before = append(before, item)
			}
		}
		return before, nil
	}
	in, err := InspectionOf(r)
	if err != nil {
		return nil, err
	}
	t.Jurisdiction = r.Car.Jurisdiction
	if in.Reckoned.Looked > 0 {
		t.Chance = &in.Reckoned.Chance
	}
	for _, h := range r.Rehearsal {
		if l := in.Line(h.Key); l != nil && !l.Counts() {
			continue // something changed since: nobody had looked at it as it is
		}
		before = append(before, rebuild.TestedItem{Key: h.Key, Rehearsed: h.Result})
	}
	return before, nil
}
