package rebuild

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Problem is one thing that cannot be taken as it was entered.
type Problem struct {
	Field string // the form field, as in the item's JSON: "title", "routes.2.cost"
	Text  string // what is wrong and what was expected
}

// Invalid is the error of an item that breaks its rules.
type Invalid struct{ Problems []Problem }

func (e *Invalid) Error() string {
	texts := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		texts[i] = p.Text
	}
	return strings.Join(texts, "; ")
}

// Conflict is the error of an edit made against something that has changed, or
// gone, since the page was opened.
type Conflict struct {
	Kind  Kind
	ID    int64
	Label string
	Now   Item // as it stands; nil where it was deleted
}

func (e *Conflict) Error() string {
	if e.Now == nil && e.Label == "" {
		return fmt.Sprintf("the %s %d is not there any more", e.Kind, e.ID)
	}
	if e.Now == nil {
		return fmt.Sprintf("the %s %q is not there any more", e.Kind, e.Label)
	}
	return fmt.Sprintf("the %s %q was changed meanwhile", e.Kind, e.Label)
}

// Missing is the error of asking for something that is not there.
type Missing struct {
	Kind Kind
	ID   int64
}

func (e *Missing) Error() string { return fmt.Sprintf("there is no %s %d", e.Kind, e.ID) }

// checks collects problems.
type checks struct{ problems []Problem }

func (c *checks) that(ok bool, field, format string, args ...any) {
	if !ok {
		c.problems = append(c.problems, Problem{field, fmt.Sprintf(format, args...)})
	}
}

// text checks a line that a person typed.
func (c *checks) text(s, field, name string, least, most int) {
	n := utf8.RuneCountInString(s)
	c.that(utf8.ValidString(s), field, "%s is not valid text", name)
	c.that(n >= least, field, "%s is missing", name)
	c.that(n <= most, field, "%s has %d characters; at most %d fit", name, n, most)
	c.that(strings.IndexFunc(s, hidden) < 0, field, "%s holds a control character", name)
}

func hidden(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }

// fold checks a part and prefixes its fields.
func (c *checks) fold(prefix string, problems []Problem) {
	for _, p := range problems {
		c.problems = append(c.problems, Problem{prefix + p.Field, p.Text})
	}
}

func (c *checks) err() error {
	if len(c.problems) == 0 {
		return nil
	}
	return &Invalid{c.problems}
}
