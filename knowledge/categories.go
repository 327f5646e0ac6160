package knowledge

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"
)

// Category is a salvage category of one jurisdiction. It informs; it is no
// legal advice, and the person can overrule it in the book.
type Category struct {
	Jurisdiction string `yaml:"jurisdiction"` // "UK"
	Code         string `yaml:"code"`         // "S"
	Name         string `yaml:"name"`
	Meaning      string `yaml:"meaning"`
	Repair       string `yaml:"repair"` // may it be repaired: "yes" or "no"
	Road         string `yaml:"road"`   // may it return to the road: an answer of [RoadAnswers]
	First        string `yaml:"first"`  // what is needed before that
	Tell         string `yaml:"tell"`   // what a buyer must be told
	From         string `yaml:"from"`   // first day it was given, ISO 8601; empty: not known here
	Until        string `yaml:"until"`  // last day it was given; empty: still given
	Refs         Refs   `yaml:"ref"`

	Aliases    []string `yaml:"aliases"`    // other names of the code
	Unnamed    bool     `yaml:"unnamed"`    // what a write-off without a category means there
	Rank       int      `yaml:"rank"`       // how hard, within its jurisdiction; 0: not comparable
	Structural bool     `yaml:"structural"` // the structure was hurt, or may have been
	Lifts      []string `yaml:"lifts"`      // codes whose mark it takes away
	AsAt       string   `yaml:"as_at"`      // when it was written down, 2026-11 or 2026-11-25
}

// Categories lists the salvage categories of every jurisdiction.
func Categories() []Category {
	list := slices.Clone(categories())
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
		list[i].Aliases, list[i].Lifts = slices.Clone(list[i].Aliases), slices.Clone(list[i].Lifts)
	}
	return list
}

// CategoryFor finds a category by jurisdiction and code; capitals do not count.
func CategoryFor(jurisdiction, code string) (Category, bool) {
	list := Categories()
	i := slices.IndexFunc(list, func(c Category) bool { return c.Jurisdiction == jurisdiction && strings.EqualFold(c.Code, code) })
	if i < 0 {
		return Category{}, false
	}
	return list[i], true
}

var categories = sync.OnceValue(func() []Category { return load("categories.yaml", checkCategories) })

func checkCategories(list []Category) error {
	for _, c := range list {
		name := c.Jurisdiction + " " + c.Code
		if c.Repair != "yes" && c.Repair != "no" {
			return fmt.Errorf("%s: repair: %q: expected yes or no", name, c.Repair)
		}
		if !slices.Contains(RoadAnswers, c.Road) {
			return fmt.Errorf("%s: road: %q: expected one of %q", name, c.Road, RoadAnswers)
		}
		if err := checkAsAt(c.AsAt); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		for _, day := range []string{c.From, c.Until} {
			if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
				return fmt.Errorf("%s: from and until: %q: expected a day such as 2017-10-01", name, day)
			}
		}
	}
	return checkEntries(list, func(c Category) entry {
		return entry{c.Jurisdiction + " " + c.Code, []string{c.Jurisdiction, c.Code, c.Name, c.Meaning, c.First, c.Tell}, c.Refs}
	})
}

// checkAsAt holds the day on which a text was written down to a month or a day.
func checkAsAt(text string) error {
	for _, layout := range []string{"2006-01", time.DateOnly} {
		if _, err := time.Parse(layout, text); err == nil {
			return nil
		}
	}
	return fmt.Errorf("as_at: %q: expected a month or a day such as 2026-11-25", text)
}
