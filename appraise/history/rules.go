package history

import (
	"fmt"
	"slices"
	"strings"
)

// The answers to "may it return to the road", the best first.
const (
	Yes             = "yes"
	AfterInspection = "after inspection"
	Unknown         = "unknown"
	No              = "no"
)

// hardness orders the answers: of two the harder one holds.
var hardness = []string{Yes, AfterInspection, Unknown, No}

// The severities, the gravest first.
const (
	Stop     = "stop"     // do not buy it for the road
	Question = "question" // ask, and see the answer in writing
	Note     = "note"     // to know
)

// How well a source was read by whoever wrote the rule down.
const (
	BasisRead   = "read"
	BasisSecond = "second hand"
	BasisMemory = "from memory"
	BasisOwn    = "ours"
)

// Basis is what a text rests on.
type Basis struct {
	Source string // citation, "KEY where; KEY where"
	Read   string // how well: the weakest of the sources
	AsAt   string // the day of the copy, or when it was written down
}

// Rules are what is known about histories.
type Rules struct {
	Places     []Place
	Categories []Category
	Rules      []Rule
}

// Place is a jurisdiction.
type Place struct {
	Key, Name, Authority string
	Unmarked             string // the answer for a car without any mark
	Test                 Test
	PerYear              float64 // average distance a year; 0: not known
	PerYearUnit          string
	Duties               []Duty
	// ForeignAs says as what a mark of another jurisdiction counts here: by its
	// code there.
	ForeignAs map[string]string
	// MileageFrom is the first model year whose mileage must be stated on a sale,
	// MileageYears for how many years; 0: no such rule known.
	MileageFrom, MileageYears int
	Basis
}

// Test is the periodic inspection; the zero value is none known.
type Test struct {
	Name                   string
	FirstYears, EveryYears float64
	YearlyFrom             float64 // age in years from which it is due every year; 0: never
}

// Duty is something that must be done or told.
type Duty struct {
	Tell bool   // told on a sale; else done before the road
	When string // "always", "marked", "import", "odometer", "foreign mark", "mileage"
	Text string
	Basis
}

// Category is a salvage category or title brand.
type Category struct {
	Jurisdiction, Code, Name, Meaning string
	Aliases                           []string
	Unnamed                           bool // meant where a write-off has no category
	Road                              string
	First, Tell                       string
	From, Until                       string // ISO days in which it was given; "" open
	Rank                              int    // how hard, within the jurisdiction; 0: not comparable
	Structural                        bool
	Lifts                             []string // codes whose mark it takes away
	Basis
}

// Rule is a rule of consistency.
type Rule struct {
	Key, Severity, Text string
	Ask                 string // whose word counts; empty: the authority of the place
	Limits              map[string]float64
	Basis
}

// needed are the rules that this package applies, with the limits that each
// must have.
var needed = map[string][]string{
	"final-mark": nil, "use-after-final": nil, "mark": nil, "category-unknown": nil, "category-missing": nil,
	"category-outside-dates": nil, "category-softened": nil, "written-off-again": nil, "brand-not-carried-over": nil,
	"jurisdiction-unknown": nil, "odometer-falls": {"tolerance", "tolerance_share"}, "unit-switch": {"low", "high"},
	"odometer-rollover": {"turns_at", "share"}, "odometer-slip": nil, "pace-implausible": {"mi", "km", "days"},
	"pace-high": {"mi", "km", "days"}, "pace-high-over-weeks": {"days"}, "pace-low": {"mi", "km", "years"},
	"distance-for-age": {"low", "high", "years"}, "no-readings": nil,
	"plate-change-near-write-off": {"before_days", "after_days"}, "inspection-soon-after-damage": {"days"},
	"keepers-in-a-row": {"count", "days"}, "keepers-after-write-off": {"count", "days"}, "used-after-export": nil,
	"stolen": nil, "recovered": nil, "finance-open": nil, "settled-without-finance": nil, "recovered-without-theft": nil,
	"model-year": {"below", "above"}, "inspection-gap": {"grace_days"}, "record-gap": {"years"},
}

// Validate reports what is missing in the rules; a caller's own data, so an
// error here is a mistake of the program's.
func (r Rules) Validate() error {
	for key, limits := range needed {
		rule, ok := r.rule(key)
		if !ok {
			return fmt.Errorf("history rules: %s is missing", key)
		}
		if !slices.Contains([]string{Stop, Question, Note}, rule.Severity) {
			return fmt.Errorf("history rules: %s has the severity %q", key, rule.Severity)
		}
		for _, name := range limits {
			if _, ok := rule.Limits[name]; !ok {
				return fmt.Errorf("history rules: %s lacks the limit %s", key, name)
			}
		}
	}
	for _, r := range r.Rules {
		if _, ok := needed[r.Key]; !ok {
			return fmt.Errorf("history rules: %s is not applied anywhere", r.Key)
		}
	}
	return nil
}

func (r Rules) rule(key string) (Rule, bool) {
	i := slices.IndexFunc(r.Rules, func(x Rule) bool { return x.Key == key })
	if i < 0 {
		return Rule{}, false
	}
	return r.Rules[i], true
}

func (r Rules) place(key string) (Place, bool) {
	i := slices.IndexFunc(r.Places, func(p Place) bool { return strings.EqualFold(p.Key, key) })
	if i < 0 {
		return Place{}, false
	}
	return r.Places[i], true
}

// category finds a category of a jurisdiction by its code or another name of it.
func (r Rules) category(jurisdiction, code string) (Category, bool) {
	for _, c := range r.Categories {
		if !strings.EqualFold(c.Jurisdiction, jurisdiction) {
			continue
		}
		names := append([]string{c.Code}, c.Aliases...)
		if code == "" && c.Unnamed || code != "" && slices.ContainsFunc(names, func(n string) bool { return plainCode(n) == plainCode(code) }) {
			return c, true
		}
	}
	return Category{}, false
}

// plainCode is a code without case, spaces and hyphens and without the word
// category before it.
func plainCode(code string) string {
	s := strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' || r == '_' || r == '.' {
			return -1
		}
		return r
	}, strings.ToLower(code))
	for _, word := range []string{"category", "cat"} {
		if rest, ok := strings.CutPrefix(s, word); ok && len(rest) == 1 {
			return rest
		}
	}
	return s
}

// said is the end of a text: what it rests on and whose word counts.
func (b Basis) said(authority string) string {
	switch b.Read {
	case BasisMemory:
		return fmt.Sprintf(" (In part from memory, as at %s: ask %s.)", b.AsAt, authority)
	case BasisSecond:
		return fmt.Sprintf(" (In part read second hand, as at %s: the word of %s counts.)", b.AsAt, authority)
	case BasisOwn:
		return ""
	}
	return fmt.Sprintf(" (As at %s; the word of %s counts.)", b.AsAt, authority)
}
