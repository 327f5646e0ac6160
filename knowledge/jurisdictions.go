package knowledge

import (
	"fmt"
	"maps"
	"slices"
	"sync"
)

// Jurisdiction is where a car may be used and who decides there. It informs; it
// is no legal advice.
type Jurisdiction struct {
	Key          string            `yaml:"key"` // "UK", as in a car's data
	Name         string            `yaml:"name"`
	Authority    string            `yaml:"authority"` // whose word counts
	Unmarked     string            `yaml:"unmarked"`  // may a car without any mark be used: an answer of [RoadAnswers]
	Test         PeriodicTest      `yaml:"test"`      // the zero value: none known here
	PerYear      float64           `yaml:"per_year"`  // average distance a year; 0: not known here
	PerYearUnit  string            `yaml:"per_year_unit"`
	ForeignAs    map[string]string `yaml:"foreign_as"`   // as what a mark from elsewhere counts here
	MileageFrom  int               `yaml:"mileage_from"` // first model year whose mileage must be stated on a sale; 0: no such rule known here
	MileageYears int               `yaml:"mileage_years"`
	AsAt         string            `yaml:"as_at"`
	Refs         Refs              `yaml:"ref"`
	Duties       []Duty            `yaml:"duties"`
}

// PeriodicTest is the periodic inspection of a car.
type PeriodicTest struct {
	Name       string  `yaml:"name"`
	FirstYears float64 `yaml:"first_years"` // after the first use
	EveryYears float64 `yaml:"every_years"`
	YearlyFrom float64 `yaml:"yearly_from"` // age in years from which it is due every year; 0: never
}

// Duty is what must be done before the road (Do says when) or told on a sale
// (Tell says when); one of the two is set, to a word of occasions.
type Duty struct {
	Do   string `yaml:"do"`
	Tell string `yaml:"tell"`
	Text string `yaml:"text"`
	AsAt string `yaml:"as_at"`
	Refs Refs   `yaml:"ref"`
}

// HistoryRule is a rule by which a car's story is held together.
type HistoryRule struct {
	Rule     string             `yaml:"rule"`
	Severity string             `yaml:"severity"` // "stop", "question", "note"
	Text     string             `yaml:"text"`     // with places in braces
	Limits   map[string]float64 `yaml:"limits"`
	Ask      string             `yaml:"ask"` // whose word counts, where it is not the jurisdiction's authority
	AsAt     string             `yaml:"as_at"`
	Refs     Refs               `yaml:"ref"`
}

// RoadAnswers are the answers to "may it return to the road" that data gives.
var RoadAnswers = []string{"yes", "after inspection", "no"}

// occasions are when a duty applies.
var occasions = []string{"always", "marked", "foreign mark", "import", "mileage"}

// Jurisdictions lists the jurisdictions known by name.
func Jurisdictions() []Jurisdiction {
	list := slices.Clone(jurisdictions())
	for i := range list {
		list[i].Refs, list[i].ForeignAs = slices.Clone(list[i].Refs), maps.Clone(list[i].ForeignAs)
		list[i].Duties = slices.Clone(list[i].Duties)
		for k := range list[i].Duties {
			list[i].Duties[k].Refs = slices.Clone(list[i].Duties[k].Refs)
		}
	}
	return list
}

// HistoryRules lists the rules of a story's consistency.
func HistoryRules() []HistoryRule {
	list := slices.Clone(historyRules())
	for i := range list {
		list[i].Refs, list[i].Limits = slices.Clone(list[i].Refs), maps.Clone(list[i].Limits)
	}
	return list
}

var (
	jurisdictions = sync.OnceValue(func() []Jurisdiction { return load("jurisdictions.yaml", checkJurisdictions) })
	historyRules  = sync.OnceValue(func() []HistoryRule { return load("history_rules.yaml", checkHistoryRules) })
)

func checkJurisdictions(list []Jurisdiction) error {
	for _, j := range list {
		if !slices.Contains(RoadAnswers, j.Unmarked) {
			return fmt.Errorf("%s: unmarked: %q: expected one of %q", j.Key, j.Unmarked, RoadAnswers)
		}
		if err := checkAsAt(j.AsAt); err != nil {
			return fmt.Errorf("%s: %w", j.Key, err)
		}
		if err := checkDuties(j.Duties); err != nil {
			return fmt.Errorf("%s: %w", j.Key, err)
		}
	}
	return checkEntries(list, func(j Jurisdiction) entry {
		return entry{j.Key, []string{j.Name, j.Authority}, j.Refs}
	})
}

func checkDuties(list []Duty) error {
	for _, d := range list {
		if (d.Do == "") == (d.Tell == "") || !slices.Contains(occasions, d.Do+d.Tell) {
			return fmt.Errorf("duty %q: expected do or tell, one of %q", d.Text, occasions)
		}
		if err := checkAsAt(d.AsAt); err != nil {
			return fmt.Errorf("duty %q: %w", d.Text, err)
		}
	}
	if len(list) == 0 {
		return nil
	}
	return checkEntries(list, func(d Duty) entry { return entry{d.Do + d.Tell + ": " + d.Text, []string{d.Text}, d.Refs} })
}

func checkHistoryRules(list []HistoryRule) error {
	for _, r := range list {
		if !slices.Contains([]string{"stop", "question", "note"}, r.Severity) {
			return fmt.Errorf("%s: severity: %q: expected stop, question or note", r.Rule, r.Severity)
		}
		if err := checkAsAt(r.AsAt); err != nil {
			return fmt.Errorf("%s: %w", r.Rule, err)
		}
	}
	return checkEntries(list, func(r HistoryRule) entry { return entry{r.Rule, []string{r.Text}, r.Refs} })
}

// Reading is how well the sources of a text were read: the weakest of them, from
// "read" to "from memory"; "ours" where all are of our own.
func (r Refs) Reading() string {
	weakest := "ours"
	strength := []string{"ours", "read", "read in part", "abstract only", "second hand", "from memory"}
	for _, ref := range r {
		if s, ok := SourceFor(ref.Key); ok && slices.Index(strength, s.Read) > slices.Index(strength, weakest) {
			weakest = s.Read
		}
	}
	return weakest
}
