package web

import (
	"net/http"
	"net/url"
	"strconv"

	"wreckwright/bench/check"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// checkPage is one quantity: how it is measured, the readings, what they say.
type checkPage struct {
	Frame
	Ask      workshop.CheckAsk
	Entry    benchForm
	Cautions []knowledge.Caution
	Said     *workshop.Checked // nil: nothing can be said yet
	Line     *numberLine
	Keeping  bool // it was to be kept
	// Slips are readings that look like a slip of the key, to be ticked where it
	// really reads that.
	Slips []slip
}

// slip is a reading that looks like a slip of the key.
type slip struct {
	Key, Label string
	Ticked     bool
}

// Trouble says above a list of problems what did not come about.
func (p checkPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "That says nothing yet:"
}

// Action is the address that the readings are sent to.
func (p checkPage) Action() string {
	at := p.Base() + "/bench/check/" + p.Ask.Key
	if p.Ask.Own {
		at += "?" + url.Values{"form": {p.Ask.Form}}.Encode()
	}
	return at
}

// OwnForms are the ways in which a quantity of one's own is worked out.
func (checkPage) OwnForms() []Option {
	var list []Option
	for _, f := range workshop.OwnForms() {
		list = append(list, Option{f.Key, capital(f.What)})
	}
	return list
}

// WearWays are the ways in which readings go as a part wears.
func (checkPage) WearWays() []Option {
	return []Option{{"", "go as they show"}, {check.WearsDown, "fall as it wears"}, {check.WearsUp, "rise as it wears"}}
}

// EffortUnits are the units of brake effort.
func (checkPage) EffortUnits() []Option {
	return []Option{{"N", "N"}, {"kN", "kN"}, {"kgf", "kgf"}}
}

// Limits are the limits to choose from, by where they hold.
func (p checkPage) Limits() (here []Option) { return limitOptions(p.Ask.Here, p.Ask.Unit) }

// Elsewhere are the limits of other places.
func (p checkPage) Elsewhere() []Option { return limitOptions(p.Ask.Away, p.Ask.Unit) }

func limitOptions(list []workshop.LimitChoice, unit string) []Option {
	var options []Option
	for _, l := range list {
		options = append(options, Option{l.Key, l.Words(unit)})
	}
	return options
}

// Chosen is the limit that is chosen from the list; nil: none.
func (p checkPage) Chosen() *workshop.LimitChoice {
	if l, ok := p.Ask.Choice(p.Entry.Form.Value("limit")); ok {
		return &l
	}
	return nil
}

// Taken are the readings so far, to be read back.
func (p checkPage) Taken() []takenReading {
	rows, err := workshop.ReadReadings(p.Entry.Form.Value("taken"))
	if err != nil || p.Ask.Shape == workshop.ShapeWeek {
		return nil
	}
	var list []takenReading
	for _, row := range rows {
		for _, v := range row.Values {
			list = append(list, takenReading{row.Name, trimNumber(v)})
		}
	}
	return list
}

// takenReading is one reading; At is the distance, where there is one.
type takenReading struct{ At, Value string }

// NextPlace is the number of the place that is read next, where each reading is
// another place.
func (p checkPage) NextPlace() int { return len(p.Taken()) + 1 }

func (s *Server) checkShow(w http.ResponseWriter, r *http.Request) error {
	page, err := s.checkPage(r, nil)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "check", page)
}

// checkPage is the page of the quantity in the address; without a form it opens
// with what is most likely meant.
func (s *Server) checkPage(r *http.Request, f *Form) (checkPage, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return checkPage{}, err
	}
	ask, ok := workshop.AskCheck(r.PathValue("quantity"), r.URL.Query().Get("form"), rb.Car, rb.Appraisal.FirstUsed)
	if !ok {
		return checkPage{}, notFound("There is no quantity " + strconv.Quote(r.PathValue("quantity")) + " to be measured; the bench lists all.")
	}
	if f == nil {
		f = presetBench(r, rb)
		f.presetCheck(ask, workshop.LastCheck(rb, ask.Key), rb.Car)
	}
	frame, err := s.frame(r, ask.Name, "bench", rb)
	if err != nil {
		return checkPage{}, err
	}
	page := checkPage{Frame: frame, Ask: ask, Entry: newBenchForm(rb, f), Cautions: cautionsFor(ask.Hazards)}
	page.Entry.Hint = "In which state, with which tool, what was odd"
	return page, nil
}

// cautionsFor are the cautions of hazards.
func cautionsFor(hazards []string) []knowledge.Caution {
	var list []knowledge.Caution
	for _, hazard := range hazards {
		if c, ok := knowledge.CautionFor(hazard); ok {
			list = append(list, c)
		}
	}
	return list
}

// presetCheck fills the form with the limit and the instrument of the last time,
// else with those that are common.
func (f *Form) presetCheck(ask workshop.CheckAsk, last *workshop.CheckSettings, car rebuild.Car) {
	if ask.InstrumentLimit > 0 {
		f.setNumber("instrument_limit", ask.InstrumentLimit)
	}
	f.Set("distance_unit", car.DistanceUnit)
	for _, p := range ask.Parts {
		f.setNumber("limit."+p.Field, p.Limit)
		if last != nil {
			f.setNumber("limit."+p.Field, last.PartLimits[p.Name])
		}
	}
	if len(ask.Here) > 0 {
		f.Set("limit", ask.Here[0].Key)
	}
	if last == nil {
		return
	}
	if last.InstrumentLimit != nil {
		f.setNumber("instrument_limit", *last.InstrumentLimit)
	}
	f.setNumber("resolution", last.Resolution)
	f.Set("effort_unit", last.EffortUnit)
	f.setOptional("rim_mm", last.RimMm)
	if last.LimitRef != "" {
		f.presetLimit(ask, last)
		return
	}
	f.setOptional("lower", last.Lower)
	f.setOptional("upper", last.Upper)
	f.Set("limit_from", last.LimitFrom)
	f.Set("wears", last.Wears)
}

// presetLimit chooses the limit that was measured against last.
func (f *Form) presetLimit(ask workshop.CheckAsk, last *workshop.CheckSettings) {
	for _, l := range append(ask.Here, ask.Away...) {
		if l.For() == last.LimitFrom && l.Refs.String() == last.LimitRef {
			f.Set("limit", l.Key)
		}
	}
}

// setOptional fills a field with a number that may be nought; nil leaves it empty.
func (f *Form) setOptional(field string, v *float64) {
	if v != nil {
		f.Set(field, trimNumber(*v))
	}
}
