package knowledge

import (
	"fmt"
	"slices"
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
	Road         string `yaml:"road"`   // may it return to the road: "yes" or "no"
	First        string `yaml:"first"`  // what is needed before that
	Tell         string `yaml:"tell"`   // what a buyer must be told
	From         string `yaml:"from"`   // first day it was given, ISO 8601; empty: not known here
	Until        string `yaml:"until"`  // last day it was given; empty: still given
	Refs         Refs   `yaml:"ref"`
}

// Categories lists the salvage categories of every jurisdiction.
func Categories() []Category {
	list := slices.Clone(categories())
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

// CategoryFor finds a category by jurisdiction and code.
func CategoryFor(jurisdiction, code string) (Category, bool) {
	list := Categories()
	i := slices.IndexFunc(list, func(c Category) bool { return c.Jurisdiction == jurisdiction && c.Code == code })
	if i < 0 {
		return Category{}, false
	}
	return list[i], true
}

var categories = sync.OnceValue(func() []Category { return load("categories.yaml", checkCategories) })

func checkCategories(list []Category) error {
	for _, c := range list {
		name := c.Jurisdiction + " " + c.Code
		for _, answer := range []string{c.Repair, c.Road} {
			if answer != "yes" && answer != "no" {
				return fmt.Errorf("%s: repair and road: %q: expected yes or no", name, answer)
			}
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
