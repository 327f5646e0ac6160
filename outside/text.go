package outside

import (
	"errors"
	"strings"
)

// TextCase is one result that is not a number beside what a source says it is:
// a check character, a verdict, a date that was read.
type TextCase struct {
	Source string // key in knowledge/sources.yaml, a string literal
	Where  string // clause, table, page, function; a string literal
	What   string // what is compared
	Got    string // what our code gives
	Want   string // what the source gives, never adjusted to our code
}

// CheckText reports every case that differs or does not say where its value
// comes from. An empty table is an error: it would pass for nothing.
func CheckText(t TestingT, cases []TextCase) {
	t.Helper()
	if len(cases) == 0 {
		t.Errorf("outside.CheckText: no cases; a table without cases checks nothing")
	}
	for i, c := range cases {
		if err := c.validate(); err != nil {
			t.Errorf("case %d (%s): %v", i+1, c.What, err)
			continue
		}
		if c.Got != c.Want {
			t.Errorf("%s: got %q, %s %s gives %q", c.What, c.Got, c.Source, c.Where, c.Want)
		}
	}
}

// validate says what a case lacks to count as a check against the outside.
func (c TextCase) validate() error {
	for _, text := range []string{c.Source, c.Where, c.What} {
		if strings.TrimSpace(text) == "" {
			return errors.New("source, place or name is empty: say the source, the place in it and what is compared")
		}
	}
	return nil
}
