package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// UsualLength is how long something takes of which nothing is said.
type UsualLength struct {
	Key    string  `yaml:"key"`
	What   string  `yaml:"what"`
	Unit   string  `yaml:"unit"` // "hours" of own work, "days" of the calendar
	Low    float64 `yaml:"low"`
	Likely float64 `yaml:"likely"`
	High   float64 `yaml:"high"`
	Refs   Refs    `yaml:"ref"`
}

// UsualLengthFor finds one by its key.
func UsualLengthFor(key string) (UsualLength, bool) {
	list := usualLengths()
	i := slices.IndexFunc(list, func(u UsualLength) bool { return u.Key == key })
	if i < 0 {
		return UsualLength{}, false
	}
	return list[i], true
}

var usualLengths = sync.OnceValue(func() []UsualLength { return load("usual_lengths.yaml", checkUsualLengths) })

func checkUsualLengths(list []UsualLength) error {
	for _, u := range list {
		if u.Unit != "hours" && u.Unit != "days" {
			return fmt.Errorf("%s: unit %q: expected hours or days", u.Key, u.Unit)
		}
		if !(u.Low >= 0 && u.Low <= u.Likely && u.Likely <= u.High && u.High > 0) {
			return fmt.Errorf("%s: %g, %g, %g are not in order", u.Key, u.Low, u.Likely, u.High)
		}
	}
	return checkEntries(list, func(u UsualLength) entry { return entry{u.Key, []string{u.What}, u.Refs} })
}
