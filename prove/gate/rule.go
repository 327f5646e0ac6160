package gate

import (
	"fmt"
	"slices"
	"strings"
)

// Kinds lists what things there are and the states that each can be in.
var Kinds = map[string][]string{
	"book":            {"empty", "begun"},
	"category":        {"may return", "after inspection", "may not", "unknown"},
	"stage":           {"done", "not done"},
	"finding":         {"open", "planned", "settled", "dismissed"},
	"job":             {"open", "waiting", "doing", "done", "proven", "dropped"},
	"joint":           {"never", "undone", "not proven", "proven"},
	"check":           {"pass", "fail", "cannot tell"},
	"codes":           {"none", "there", "not ready", "not known"}, // what a reader of fault codes showed last
	"case":            {"open", "solved", "given up"},
	"strip item":      {"off", "back"},
	"left over":       {"there", "none"}, // fasteners not back on, connectors not made again
	"caution":         {"not read", "read"},
	"must-do":         {"not confirmed", "confirmed"},
	"shakedown stage": {"not done", "passed", "stopped"},
	"inspection item": {"fail", "advisory", "pass", "not looked at"},
	"official test":   {"none", "fail", "pass"},
	"gate":            {"not passed", "passed", "new since"},
}

// Classes are what lives hang on; "none" for what they do not. Those of jobs and
// joints, and "wheel" for what holds a wheel on.
var Classes = []string{"none", "brake", "steering", "suspension", "restraint", "structure", "fuel", "wheel"}

// Rule is one reason for which a gate stays shut. A list that is empty asks for
// nothing.
type Rule struct {
	Key     string
	Gates   []string // at which it speaks
	About   string   // a key of [Kinds]
	States  []string // in which a thing stands against the gate
	Classes []string // only things of these classes
	Keys    []string // only things with these keys
	Marks   []string // only things that have all of these
	Without []string // only things that have none of these

	Hard   bool   // never passed, whatever reason is given
	Papers bool   // about papers and people's word, not about the car itself
	Text   string // what is said; {title}, {state} and {why} are the thing's
	Do     string // what is to be done about it
	Source string
}

// Thing is something that the book knows of the car.
type Thing struct {
	Kind  string // a key of [Kinds]
	ID    int64  // 0: it has none
	Key   string // of a stage, a caution, something to be done; empty: it has none
	Title string
	State string   // one of its kind's
	Class string   // one of [Classes]; empty: none
	Marks []string // what else rules ask for
	Why   string   // why it is in that state, for the words
}

// RuleError says what is wrong with a rule.
type RuleError struct{ Rule, Problem string }

func (e *RuleError) Error() string { return fmt.Sprintf("the rule %q: %s", e.Rule, e.Problem) }

// CheckRules holds rules to the kinds, states and classes that there are and to
// the gates: a slip of the pen there would keep a gate open.
func CheckRules(rules []Rule, gates []string) error {
	for i, r := range rules {
		if slices.ContainsFunc(rules[:i], func(o Rule) bool { return o.Key == r.Key }) {
			return &RuleError{r.Key, "stands there twice"}
		}
		if err := r.check(gates); err != nil {
			return err
		}
	}
	return nil
}

func (r Rule) check(gates []string) error {
	states, known := Kinds[r.About]
	switch {
	case r.Key == "" || r.Text == "" || r.Do == "" || r.Source == "":
		return &RuleError{r.Key, "needs a key, a text, what is to be done and a source"}
	case !known:
		return &RuleError{r.Key, fmt.Sprintf("is about %q, which there is not", r.About)}
	case len(r.States) == 0:
		return &RuleError{r.Key, "names no state; one that is always against the gate needs all of them"}
	case len(r.Gates) == 0:
		return &RuleError{r.Key, "names no gate"}
	}
	for _, list := range []struct {
		name         string
		these, known []string
	}{{"state", r.States, states}, {"class", r.Classes, Classes}, {"gate", r.Gates, gates}} {
		for _, s := range list.these {
			if !slices.Contains(list.known, s) {
				return &RuleError{r.Key, fmt.Sprintf("names the %s %q, which there is not; expected one of %s", list.name, s, strings.Join(list.known, ", "))}
			}
		}
	}
	return nil
}

// checkThing holds a thing to what rules can speak of.
func checkThing(t Thing) error {
	states, known := Kinds[t.Kind]
	switch {
	case !known:
		return fmt.Errorf("the %s %q is of no kind that gates know", t.Kind, t.Title)
	case !slices.Contains(states, t.State):
		return fmt.Errorf("the %s %q is %q; gates know %s", t.Kind, t.Title, t.State, strings.Join(states, ", "))
	case t.Class != "" && !slices.Contains(Classes, t.Class):
		return fmt.Errorf("the %s %q is of the class %q; gates know %s", t.Kind, t.Title, t.Class, strings.Join(Classes, ", "))
	}
	return nil
}

// matches reports whether the rule speaks of the thing as it is.
func (r Rule) matches(t Thing) bool {
	class := t.Class
	if class == "" {
		class = "none"
	}
	has := func(mark string) bool { return slices.Contains(t.Marks, mark) }
	lacks := func(mark string) bool { return !has(mark) }
	return r.About == t.Kind && slices.Contains(r.States, t.State) &&
		(len(r.Classes) == 0 || slices.Contains(r.Classes, class)) &&
		(len(r.Keys) == 0 || slices.Contains(r.Keys, t.Key)) &&
		!slices.ContainsFunc(r.Marks, lacks) && !slices.ContainsFunc(r.Without, has)
}
