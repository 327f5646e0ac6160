package knowledge

import (
	"fmt"
	"slices"
	"strings"
)

// InspectionAbout says what of a book belongs to an item of the inspection: what is
// in one of Zones (none: anywhere) and is of one of Classes or holds one of Words
// (neither: anything there), or holds one of Anywhere in whatever zone.
type InspectionAbout struct {
	Zones    []string `yaml:"zones"`
	Classes  []string `yaml:"classes"` // of [SafetyPartClasses]
	Words    []string `yaml:"words"`
	Anywhere []string `yaml:"anywhere"`
	// Work on one of these asks for another look, but a fault of them is none of the
	// item's: classes and words.
	TouchedClasses []string `yaml:"touched_classes"`
	Touched        []string `yaml:"touched"`
	Not            []string `yaml:"not"` // words that only sound like it

	phrases   []string // the words in the one form of [Named], with those of Touched
	elsewhere []string // those of Anywhere
}

// Named is something of a book with its words in one form, to be held against many
// items.
type Named struct {
	Zone    string // empty: not said
	Classes []string
	words   string // parted and enclosed by single gaps
}

// NameOf is a thing by its name, zone and classes.
func NameOf(name, zone string, classes []string) Named {
	return Named{zone, classes, phrase(name)}
}

func phrase(words string) string { return " " + strings.Join(plainWords(words), " ") + " " }

// Holds reports whether work on the thing has to do with the item.
func (a InspectionAbout) Holds(n Named) bool {
	if slices.ContainsFunc(a.elsewhere, func(p string) bool { return strings.Contains(n.words, p) }) {
		return true
	}
	if !a.Within(n) {
		return false
	}
	if len(a.Classes)+len(a.phrases)+len(a.TouchedClasses) == 0 {
		return len(a.Zones) > 0 && n.Zone != ""
	}
	return slices.ContainsFunc(slices.Concat(a.Classes, a.TouchedClasses), func(c string) bool { return slices.Contains(n.Classes, c) }) || slices.ContainsFunc(a.phrases, func(p string) bool { return strings.Contains(n.words, p) })
}

// says reports whether a word in its one form stands in the name.
func (n Named) says(words string) bool {
	return strings.Contains(n.words, " "+words+" ")
}

// Within reports whether a thing is in the zones, of which none are anywhere. Of
// one without a zone its name tells the side; one that names none may be anywhere.
func (a InspectionAbout) Within(n Named) bool {
	if len(a.Zones) == 0 {
		return true
	}
	if n.Zone != "" {
		return slices.Contains(a.Zones, n.Zone)
	}
	for _, sides := range [][2]string{{"left", "right"}, {"right", "left"}, {"front", "rear"}, {"rear", "front"}} {
		elsewhere := func(zone string) bool { return !strings.Contains(zone, sides[0]) }
		if !slices.ContainsFunc(a.Zones, elsewhere) && n.says(sides[1]) && !n.says(sides[0]) {
			return false
		}
	}
	return true
}

func (a InspectionAbout) check() error {
	for _, c := range slices.Concat(a.Classes, a.TouchedClasses) {
		if c == "none" || !slices.Contains(SafetyPartClasses, c) {
			return fmt.Errorf("about: %q is no class; expected some of %q", c, SafetyPartClasses[1:])
		}
	}
	if len(a.Zones)+len(a.Classes)+len(a.Words) == 0 {
		return fmt.Errorf("about: nothing of the book belongs to it")
	}
	return nil
}
