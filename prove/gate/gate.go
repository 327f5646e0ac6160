package gate

import (
	"slices"
	"strings"
)

// State is how a gate stands.
type State string

// The states of a gate.
const (
	Open     State = "open"      // nothing on record stands against it
	Closed   State = "closed"    // passed only with a written reason
	HardStop State = "hard stop" // not passed at all
)

// Against is one thing that stands against a gate, by one rule.
type Against struct {
	Rule   string
	Kind   string // of the thing
	ID     int64  // 0: it has none
	Key    string // empty: it has none
	Text   string
	Do     string
	Hard   bool
	Papers bool
	Source string
}

// Gate is the verdict on one gate.
type Gate struct {
	Key     string
	State   State
	Against []Against // hard stops first, then in the order of the rules and the things
	Hard    int       // how many of them are hard stops
	Papers  int       // how many are about papers and people's word only
}

// OfCar is how many stand against it that are about the car itself.
func (g Gate) OfCar() int { return len(g.Against) - g.Papers }

// Judge gives the verdict on each gate, in the order of gates. It fails where a
// rule or a thing is none that it knows.
func Judge(rules []Rule, things []Thing, gates []string) ([]Gate, error) {
	if err := CheckRules(rules, gates); err != nil {
		return nil, err
	}
	for _, t := range things {
		if err := checkThing(t); err != nil {
			return nil, err
		}
	}
	rules = slices.Clone(rules)
	slices.SortStableFunc(rules, func(a, b Rule) int { return rank(a) - rank(b) })
	verdicts := make([]Gate, len(gates))
	for i, key := range gates {
		verdicts[i] = judge(key, rules, things)
	}
	return verdicts, nil
}

// rank puts hard rules first and those about papers last.
func rank(r Rule) int {
	switch {
	case r.Hard:
		return 0
	case r.Papers:
		return 2
	}
	return 1
}

func judge(key string, rules []Rule, things []Thing) Gate {
	g := Gate{Key: key, State: Open}
	taken := make([]bool, len(things))
	for _, r := range rules {
		if !slices.Contains(r.Gates, key) {
			continue
		}
		for i, t := range things {
			if !taken[i] && r.matches(t) {
				taken[i] = true
				g.add(r, t)
			}
		}
	}
	switch {
	case g.Hard > 0:
		g.State = HardStop
	case len(g.Against) > 0:
		g.State = Closed
	}
	return g
}

func (g *Gate) add(r Rule, t Thing) {
	say := strings.NewReplacer("{title}", t.Title, "{state}", t.State, "{why}", t.Why).Replace
	g.Against = append(g.Against, Against{
		Rule: r.Key, Kind: t.Kind, ID: t.ID, Key: t.Key, Text: say(r.Text), Do: say(r.Do), Hard: r.Hard, Papers: r.Papers, Source: r.Source,
	})
	if r.Hard {
		g.Hard++
	}
	if r.Papers {
		g.Papers++
	}
}
