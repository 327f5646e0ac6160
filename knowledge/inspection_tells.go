package knowledge

import (
	"slices"
	"strings"
	"sync"
)

// Tells reports whether an observation says that something is wrong with the item.
// It is stricter than [InspectionAbout.Holds]: of an observation the longest words
// that any item or part goes by are taken first and used up, so that an airbag lamp
// is no lamp of the front and a brake hose no weak brake; the zone must fit as well
// as the word. Where it is not clear which item is meant, none is: a wrong one sends
// a person to look at the wrong place.
func (a InspectionAbout) Tells(n Named) bool {
	taken := n.taken()
	among := func(list []string) bool {
		return slices.ContainsFunc(list, func(words string) bool { return slices.Contains(taken, strings.TrimSpace(phrase(words))) })
	}
	switch {
	case among(a.Not):
		return false
	case among(a.Anywhere):
		return true
	case !a.Within(n) && !a.manyWheels(n):
		return false
	case len(a.Classes)+len(a.Words) == 0:
		return len(a.Zones) > 0 && n.Zone != "" && !slices.ContainsFunc(taken, isNamed)
	}
	return among(a.Words) || slices.ContainsFunc(taken, func(words string) bool {
		return !itemWords().claimed[words] && slices.Contains(a.Classes, partClass(words))
	})
}

// manyWheels reports an observation of more wheels than those of one side, wherever
// it was entered.
func (a InspectionAbout) manyWheels(n Named) bool {
	corner := func(zone string) bool { return strings.HasSuffix(zone, "-corner") }
	if !corner(n.Zone) || len(a.Zones) == 0 || slices.ContainsFunc(a.Zones, func(z string) bool { return !corner(z) }) {
		return false
	}
	words := strings.Fields(n.words)
	for i := range words {
		if i > 0 && slices.Contains([]string{"wheel", "rim", "tyre", "tire"}, words[i]) && slices.Contains([]string{"three", "four", "all", "every"}, words[i-1]) {
			return i+1 == len(words) || !slices.Contains([]string{"nut", "bolt", "stud"}, words[i+1])
		}
	}
	return false
}

// isNamed reports words that an item knows, or a part that lives hang on.
func isNamed(words string) bool {
	class := partClass(words)
	return itemWords().known[words] || class != "" && class != "none"
}

func partClass(words string) string {
	index := partIndex()
	if class, ok := index.parts[words]; ok {
		return class
	}
	return index.also[words]
}

// ofFaults are words that say what is wrong rather than with what: "no leak" is
// none, where "no horn" is one that is missing.
var ofFaults = []string{"leak", "drip", "misfire", "crack", "chip", "stone chip", "screen crack", "play", "scratch"}

// taken are the words of the name that items and parts go by, the longest first.
// After "no" or "without", what names a fault or only a part's class is not there.
func (n Named) taken() []string {
	var list []string
	words := strings.Fields(n.words)
	for i := 0; i < len(words); {
		used := 0
		for k := min(len(words)-i, itemWords().longest); k > 0 && used == 0; k-- {
			if key := strings.Join(words[i:i+k], " "); itemWords().known[key] || partClass(key) != "" {
				used = k
				if absent := i > 0 && (words[i-1] == "no" || words[i-1] == "without"); !absent || itemWords().claimed[key] && !slices.Contains(ofFaults, key) {
					list = append(list, key)
				}
			}
		}
		i += max(used, 1)
	}
	return list
}

type wordsOfItems struct {
	known   map[string]bool // that any item names, in the one form
	claimed map[string]bool // by which an item is told
	longest int             // words in the longest, of parts too
}

var itemWords = sync.OnceValue(func() wordsOfItems {
	w := wordsOfItems{known: map[string]bool{}, claimed: map[string]bool{}, longest: partIndex().longest}
	for _, it := range InspectionItems() {
		for i, list := range [][]string{it.About.Words, it.About.Anywhere, it.About.Touched, it.About.Not} {
			for _, words := range list {
				key := strings.TrimSpace(phrase(words))
				w.known[key] = true
				w.claimed[key] = w.claimed[key] || i < 2
				w.longest = max(w.longest, strings.Count(key, " ")+1)
			}
		}
	}
	return w
})
