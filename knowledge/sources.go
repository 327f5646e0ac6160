package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// Source is one entry of the register.
type Source struct {
	Key     string `yaml:"key"`     // capitals, digits, underscores
	Kind    string `yaml:"kind"`    // one of kinds
	Title   string `yaml:"title"`   // with author or publisher
	Edition string `yaml:"edition"` // edition, year or date; empty where there is none
	Read    string `yaml:"read"`    // one of readings: how well it was read
}

// kinds are the kinds of source, the strongest first.
var kinds = []string{
	"standard", "law", "guidance", "book", "paper", "data set", "library",
	"common practice", "memory", "own design",
}

// readings are the answers to "how well was it read".
var readings = []string{"read", "read in part", "abstract only", "second hand", "from memory", "ours"}

// Checkable reports whether a result that rests on the source can be held
// against what the source says. Guidance gives advice and no values; what is
// common practice, remembered or of our own design has no outside.
func (s Source) Checkable() bool {
	return slices.Contains([]string{"standard", "law", "book", "paper", "data set", "library"}, s.Kind)
}

// Sources is the register, sorted by key.
func Sources() []Source { return slices.Clone(register()) }

// SourceFor finds a source by its key.
func SourceFor(key string) (Source, bool) {
	i := slices.IndexFunc(register(), func(s Source) bool { return s.Key == key })
	if i < 0 {
		return Source{}, false
	}
	return register()[i], true
}

var register = sync.OnceValue(func() []Source { return load("sources.yaml", checkSources) })

// checkSources holds the register to its form.
func checkSources(list []Source) error {
	for i, s := range list {
		switch {
		case !keyForm.MatchString(s.Key):
			return fmt.Errorf("entry %d: key %q: expected capitals, digits and underscores", i+1, s.Key)
		case i > 0 && s.Key <= list[i-1].Key:
			return fmt.Errorf("%s: stands after %s: the register is sorted by key, each key once", s.Key, list[i-1].Key)
		case !slices.Contains(kinds, s.Kind):
			return fmt.Errorf("%s: kind %q: expected one of %q", s.Key, s.Kind, kinds)
		case s.Title == "":
			return fmt.Errorf("%s: no title", s.Key)
		case !slices.Contains(readings, s.Read):
			return fmt.Errorf("%s: read %q: expected one of %q", s.Key, s.Read, readings)
		}
	}
	return nil
}
