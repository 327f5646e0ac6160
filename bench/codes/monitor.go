package codes

import (
	"fmt"
	"slices"
	"strings"
)

// Status is the answer to identifier 01: the lamp, the number of codes, the
// self-tests.
type Status struct {
	LampOn   bool      `json:"lamp_on"`
	Codes    int       `json:"codes"`
	Ignition string    `json:"ignition"` // spark or compression
	Monitors []Monitor `json:"monitors"`
	From     string    `json:"from"` // header of the control unit
	Line     int       `json:"line"`
}

// Monitor is one self-test that the car has.
type Monitor struct {
	Name       string `json:"name"`
	Continuous bool   `json:"continuous"`
	Complete   bool   `json:"complete"`
}

// The self-tests by bit, lowest first.
//
// ref: SAE_J1979 PID 01
var (
	continuous = []string{"misfire", "fuel system", "components"}
	spark      = []string{"catalyst", "heated catalyst", "evaporative system", "secondary air", "particulate filter or air conditioning", "oxygen sensor", "oxygen sensor heater", "exhaust recirculation or valve timing"}
	diesel     = []string{"hydrocarbon catalyst", "NOx treatment", "", "boost pressure", "", "exhaust gas sensor", "particulate filter", "exhaust recirculation or valve timing"}
)

// Ignitions are the kinds of engine that a status tells apart.
const (
	Spark       = "spark"
	Compression = "compression"
)

// MonitorNames lists the names of all self-tests.
func MonitorNames() []string {
	var names []string
	for _, n := range slices.Concat(continuous, spark, diesel) {
		if n != "" && !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

// statusOf reads the four bytes of identifier 01. A bit of D counts only where
// the same of C says that the car has the test.
//
// ref: SAE_J1979 PID 01
func statusOf(d []byte) Status {
	s := Status{LampOn: d[0]&0x80 != 0, Codes: int(d[0] & 0x7F), Ignition: Spark, Monitors: []Monitor{}}
	names := spark
	if d[1]&0x08 != 0 {
		s.Ignition, names = Compression, diesel
	}
	for i, name := range continuous {
		if d[1]>>i&1 == 1 {
			s.Monitors = append(s.Monitors, Monitor{name, true, d[1]>>(i+4)&1 == 0})
		}
	}
	for i, name := range names {
		if name != "" && d[2]>>i&1 == 1 {
			s.Monitors = append(s.Monitors, Monitor{name, false, d[3]>>i&1 == 0})
		}
	}
	return s
}

// Rule is how many self-tests an inspection lets stand incomplete.
type Rule struct {
	Jurisdiction string
	Region       string   // part of it that has a rule of its own; empty: none
	Ignition     string   // spark, compression; empty: both
	From, Until  int      // model years, both included; 0: open
	Most         *int     // incomplete ones that may be; nil: not laid down, as far as is known here
	Only         []string // the names that may be incomplete; empty: any
	Note         string
	Source       string
}

// Ready is whether the state of the self-tests would do.
type Ready struct {
	Jurisdiction string   `json:"jurisdiction"`
	Region       string   `json:"region"`
	ModelYear    int      `json:"model_year"`
	LampOn       bool     `json:"lamp_on"`
	Incomplete   []string `json:"incomplete"`
	Allowed      *int     `json:"allowed"`
	Verdict      string   `json:"verdict"` // pass, fail, cannot tell
	Why          string   `json:"why"`
	Source       string   `json:"source"`
}

// The verdicts.
const (
	Pass       = "pass"
	Fail       = "fail"
	CannotTell = "cannot tell"
)

// Place is where a car goes to its inspection.
type Place struct {
	Jurisdiction, Region string
	ModelYear            int // 0: not known
}

// ready judges all statuses of a car together. Self-tests that run all the time
// do not count as incomplete ones.
func ready(list []Status, place Place, rules []Rule) Ready {
	r := Ready{Jurisdiction: place.Jurisdiction, Region: place.Region, ModelYear: place.ModelYear, Incomplete: []string{}, Verdict: CannotTell}
	for _, s := range list {
		r.LampOn = r.LampOn || s.LampOn
		for _, m := range s.Monitors {
			if !m.Complete && !m.Continuous && !slices.Contains(r.Incomplete, m.Name) {
				r.Incomplete = append(r.Incomplete, m.Name)
			}
		}
	}
	state := "the lamp is off; all self-tests that the car has are complete"
	if n := len(r.Incomplete); n > 0 {
		state = fmt.Sprintf("the lamp is off; %d not complete (%s)", n, strings.Join(r.Incomplete, ", "))
	}
	rule, why := ruleFor(list, place, rules)
	switch {
	case r.LampOn && why == "":
		r.Verdict, r.Why, r.Source = Fail, "the engine lamp is on: what set it off comes first", rule.Source
	case r.LampOn: // wherever it is tested, and whatever is asked for there besides
		r.Verdict, r.Why = Fail, "the engine lamp is on, which no inspection that looks at it lets pass; "+why
	case why != "":
		r.Why = state + "; " + why
	default:
		r.Source, r.Allowed = rule.Source, rule.Most
		r.Verdict, r.Why = rule.judge(r.Incomplete)
		r.Why = state + "; " + r.Why
	}
	if rule.Note != "" && why == "" {
		r.Why += " (" + rule.Note + ")"
	}
	return r
}

// ruleFor finds the rule of a place; why says that there is none.
func ruleFor(list []Status, place Place, rules []Rule) (rule Rule, why string) {
	if place.Jurisdiction == "" {
		return rule, "say where the inspection is to know whether that will do"
	}
	here, years := false, false
	for _, x := range rules {
		if x.Jurisdiction != place.Jurisdiction || x.Region != place.Region {
			continue
		}
		here = true
		if x.Ignition != "" && x.Ignition != list[0].Ignition {
			continue
		}
		if place.ModelYear == 0 && (x.From != 0 || x.Until != 0) {
			years = true
			continue
		}
		if (x.From == 0 || place.ModelYear >= x.From) && (x.Until == 0 || place.ModelYear <= x.Until) {
			return x, ""
		}
	}
	switch {
	case years:
		return rule, "say the model year: the rule of the place goes by it"
	case here:
		return rule, "no rule is known here for such a car at that place"
	}
	return rule, "the rule of that place is not known here: ask there"
}

func (x Rule) judge(incomplete []string) (verdict, why string) {
	if len(incomplete) == 0 {
		return Pass, "that will do"
	}
	if x.Most == nil {
		return CannotTell, "how many may be incomplete is not laid down there, as far as is known here"
	}
	for _, name := range incomplete {
		if len(x.Only) > 0 && !slices.Contains(x.Only, name) {
			return Fail, "only these may be incomplete there: " + strings.Join(x.Only, ", ")
		}
	}
	if len(incomplete) > *x.Most {
		return Fail, fmt.Sprintf("at most %d may be; drive it through the maker's cycle first", *x.Most)
	}
	return Pass, fmt.Sprintf("%d may be", *x.Most)
}
