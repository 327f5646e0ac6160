package knowledge

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
)

// SafetyParts are the words for parts of one class that lives hang on.
type SafetyParts struct {
	Class string   `yaml:"class"` // of [SafetyPartClasses]
	Parts []string `yaml:"parts"`
	Also  []string `yaml:"also"`  // of what was observed; they name no part
	Heads []string `yaml:"heads"` // what came off is one of these, not the part it sits on
	Refs  Refs     `yaml:"ref"`
}

// SafetyPartClasses are the classes of package gate, and "none" for words that
// only sound like such a part.
var SafetyPartClasses = []string{"none", "brake", "steering", "suspension", "restraint", "structure", "fuel", "wheel"}

// PartClasses are the classes of the parts that a name speaks of, in the order of
// the name; none: of no such part.
func PartClasses(name string) []string { return classesIn(name, false) }

// FaultClasses are the classes of what an observation speaks of: parts, and words
// for how they behave.
func FaultClasses(observed string) []string { return classesIn(observed, true) }

// within are the words after which a name goes on with what its thing sits on.
var within = []string{"of", "on", "at", "to", "for", "in", "behind", "under", "from", "off", "out", "with", "by", "near", "over"}

// sitsOn reports whether what is named is a small thing that a part only carries.
func sitsOn(words []string) bool {
	end := slices.IndexFunc(words, func(w string) bool { return slices.Contains(within, w) })
	if end < 0 {
		end = len(words)
	}
	return end > 0 && partIndex().heads[words[end-1]]
}

// classesIn takes the longest words first from the left; what was taken is used up.
func classesIn(text string, observed bool) []string {
	words := plainWords(text)
	if !observed && sitsOn(words) {
		return nil
	}
	var list []string
	for i := 0; i < len(words); {
		class, used := longestPart(words[i:], observed)
		if used == 0 {
			i++
			continue
		}
		if class != "none" && !slices.Contains(list, class) {
			list = append(list, class)
		}
		i += used
	}
	return list
}

// longestPart is the class of the longest words at the beginning of a text.
func longestPart(words []string, observed bool) (class string, used int) {
	index := partIndex()
	for n := min(len(words), index.longest); n > 0; n-- {
		key := strings.Join(words[:n], " ")
		if class, ok := index.parts[key]; ok {
			return class, n
		}
		if class, ok := index.also[key]; ok && observed {
			return class, n
		}
	}
	return "", 0
}

// plainWords are the words of a text in lower case and in the singular.
func plainWords(text string) []string {
	words := strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
	for i, w := range words {
		switch {
		case strings.HasSuffix(w, "ss"), w == "abs", w == "srs", w == "chassis":
		case strings.HasSuffix(w, "ies") && len(w) > 4:
			words[i] = strings.TrimSuffix(w, "ies") + "y"
		case strings.HasSuffix(w, "s") && len(w) > 3:
			words[i] = strings.TrimSuffix(w, "s")
		}
	}
	return words
}

type indexedParts struct {
	parts, also map[string]string // the words in one form, and their class
	heads       map[string]bool
	longest     int // words in the longest of them
}

var partIndex = sync.OnceValue(func() indexedParts {
	index := indexedParts{parts: map[string]string{}, also: map[string]string{}, heads: map[string]bool{}}
	put := func(into map[string]string, class string, names []string) {
		for _, name := range names {
			words := plainWords(name)
			into[strings.Join(words, " ")] = class
			index.longest = max(index.longest, len(words))
		}
	}
	for _, p := range safetyParts() {
		put(index.parts, p.Class, p.Parts)
		put(index.also, p.Class, p.Also)
		for _, head := range p.Heads {
			index.heads[strings.Join(plainWords(head), " ")] = true
		}
	}
	return index
})

var safetyParts = sync.OnceValue(func() []SafetyParts { return load("safety_parts.yaml", checkSafetyParts) })

func checkSafetyParts(list []SafetyParts) error {
	seen := map[string]string{}
	for _, p := range list {
		if !slices.Contains(SafetyPartClasses, p.Class) {
			return fmt.Errorf("%s: expected one of %q", p.Class, SafetyPartClasses)
		}
		for _, name := range slices.Concat(p.Parts, p.Also) {
			key := strings.Join(plainWords(name), " ")
			if other, twice := seen[key]; twice {
				return fmt.Errorf("%s: %q stands there twice, also under %s", p.Class, name, other)
			}
			if key == "" {
				return fmt.Errorf("%s: a word is missing", p.Class)
			}
			seen[key] = p.Class
		}
	}
	return checkEntries(list, func(p SafetyParts) entry { return entry{p.Class, nil, p.Refs} })
}
