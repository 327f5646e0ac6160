package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// GateRule is one reason for which a gate stays shut; package gate says what its
// words mean and holds them to what there is.
type GateRule struct {
	Rule    string   `yaml:"rule"`
	Gates   []string `yaml:"gates"` // as in rebuild.Gates
	About   string   `yaml:"about"`
	States  []string `yaml:"states"`
	Classes []string `yaml:"classes"` // as in rebuild.SafetyClasses, and wheel
	Keys    []string `yaml:"keys"`
	Marks   []string `yaml:"marks"`
	Without []string `yaml:"without"`
	Hard    bool     `yaml:"hard"`
	Papers  bool     `yaml:"papers"`
	Text    string   `yaml:"text"`
	Do      string   `yaml:"do"`
	Refs    Refs     `yaml:"ref"`
}

// GateRules lists them in the order in which they are tried. The lists in them
// are not to be altered.
func GateRules() []GateRule { return slices.Clone(gateRules()) }

var gateRules = sync.OnceValue(func() []GateRule { return load("gates.yaml", checkGateRules) })

func checkGateRules(list []GateRule) error {
	return checkEntries(list, func(r GateRule) entry {
		return entry{r.Rule, []string{r.About, r.Text, r.Do}, r.Refs}
	})
}

// MustDo is something that the law asks for at a gate.
type MustDo struct {
	Key           string   `yaml:"key"`
	At            []string `yaml:"at"` // road, inspection, hand-over
	Jurisdictions []string `yaml:"jurisdictions"`
	Text          string   `yaml:"text"`
	AsAt          string   `yaml:"as_at"`
	Refs          Refs     `yaml:"ref"`
}

// MustDoGates are the words of [MustDo.At].
var MustDoGates = []string{"road", "inspection", "hand-over"}

// MustDosFor lists what is asked for in a jurisdiction. The lists in them are not
// to be altered.
func MustDosFor(jurisdiction string) []MustDo {
	return slices.DeleteFunc(slices.Clone(mustDos()), func(m MustDo) bool {
		return len(m.Jurisdictions) > 0 && !slices.Contains(m.Jurisdictions, jurisdiction)
	})
}

var mustDos = sync.OnceValue(func() []MustDo { return load("must_dos.yaml", checkMustDos) })

func checkMustDos(list []MustDo) error {
	for _, m := range list {
		if len(m.At) == 0 || slices.ContainsFunc(m.At, func(at string) bool { return !slices.Contains(MustDoGates, at) }) {
			return fmt.Errorf("%s: at: %q: expected some of %q", m.Key, m.At, MustDoGates)
		}
		if err := checkAsAt(m.AsAt); err != nil {
			return fmt.Errorf("%s: %w", m.Key, err)
		}
	}
	return checkEntries(list, func(m MustDo) entry { return entry{m.Key, []string{m.Text}, m.Refs} })
}
