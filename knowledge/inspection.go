package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// InspectionItem is one thing that a periodic inspection looks at.
type InspectionItem struct {
	Key    string   `yaml:"key"`
	Name   string   `yaml:"name"`
	Walk   string   `yaml:"walk"`   // where one stands: one of [InspectionWalk]
	Number string   `yaml:"number"` // of the item in the lists of the UK and the EU
	Look   string   `yaml:"look"`   // at what, and how it should be
	Fails  []string `yaml:"fails"`

	Check        string            `yaml:"check"`          // a key of [Checks] whose limits hold; empty: nothing is measured
	CheckByPlace map[string]string `yaml:"check_by_place"` // another one at that place
	Limits       []InspectionLimit `yaml:"limits"`
	Hazards      []string          `yaml:"hazards"`

	// About is what of the book belongs to it.
	About InspectionAbout `yaml:"about"`

	// MayNotApply is set where there are cars that have no such thing.
	MayNotApply bool `yaml:"may_not_apply"`

	// Unseen is the chance that it passes when nobody has looked at it: own estimate.
	Unseen float64 `yaml:"unseen"`
	Refs   Refs    `yaml:"ref"`
}

// InspectionLimit is a limit of one place in words.
type InspectionLimit struct {
	Jurisdictions []string `yaml:"jurisdictions"`
	Text          string   `yaml:"text"`
	Refs          Refs     `yaml:"ref"`
}

// InspectionWalk are the places where one stands, in the order of the walk.
var InspectionWalk = []string{"papers", "driver's seat", "front", "left side", "rear", "right side", "under the bonnet", "underneath", "rollers and exhaust"}

// InspectionPlaces are the jurisdictions whose list this is, as far as it was read;
// elsewhere it is a list of what such inspections look at, without limits.
var InspectionPlaces = []string{"UK", "EU", "IE", "DE"}

// InspectionItems lists the items in the order of the walk. The lists in them are
// not to be altered.
func InspectionItems() []InspectionItem { return slices.Clone(inspectionItems()) }

// InspectionItemFor finds an item by its key.
func InspectionItemFor(key string) (InspectionItem, bool) {
	i := slices.IndexFunc(inspectionItems(), func(it InspectionItem) bool { return it.Key == key })
	if i < 0 {
		return InspectionItem{}, false
	}
	return inspectionItems()[i], true
}

// CheckAt is the key of the check whose limits hold at a jurisdiction; empty: none.
func (it InspectionItem) CheckAt(jurisdiction string) string {
	if key := it.CheckByPlace[jurisdiction]; key != "" {
		return key
	}
	return it.Check
}

// LimitsAt are the limits in words that hold at a jurisdiction.
func (it InspectionItem) LimitsAt(jurisdiction string) []InspectionLimit {
	var list []InspectionLimit
	for _, l := range it.Limits {
		if len(l.Jurisdictions) == 0 || slices.Contains(l.Jurisdictions, jurisdiction) {
			list = append(list, l)
		}
	}
	return list
}

var inspectionItems = sync.OnceValue(func() []InspectionItem {
	list := load("inspection.yaml", checkInspection)
	for i := range list {
		about := &list[i].About
		for _, words := range slices.Concat(about.Words, about.Touched) {
			about.phrases = append(about.phrases, phrase(words))
		}
		for _, words := range about.Anywhere {
			about.elsewhere = append(about.elsewhere, phrase(words))
		}
	}
	return list
})

func checkInspection(list []InspectionItem) error {
	at := 0
	for _, it := range list {
		place := slices.Index(InspectionWalk, it.Walk)
		switch {
		case place < at:
			return fmt.Errorf("%s: walk: %q: expected one of %q, in that order", it.Key, it.Walk, InspectionWalk)
		case it.Unseen <= 0 || it.Unseen > 1:
			return fmt.Errorf("%s: unseen: %g: expected a chance above 0 and at most 1", it.Key, it.Unseen)
		case len(it.Fails) == 0:
			return fmt.Errorf("%s: does not say what fails", it.Key)
		}
		at = place
		if err := it.checkNames(); err != nil {
			return err
		}
	}
	return checkEntries(list, func(it InspectionItem) entry {
		return entry{it.Key, []string{it.Name, it.Number, it.Look}, it.Refs}
	})
}

// checkNames holds the checks and hazards that an item names to those there are.
func (it InspectionItem) checkNames() error {
	keys := []string{it.Check}
	for _, key := range it.CheckByPlace {
		keys = append(keys, key)
	}
	for _, key := range keys {
		if _, ok := CheckFor(key); !ok && key != "" {
			return fmt.Errorf("%s: there is no check %q", it.Key, key)
		}
	}
	if err := it.About.check(); err != nil {
		return fmt.Errorf("%s: %w", it.Key, err)
	}
	for _, h := range it.Hazards {
		if _, ok := CautionFor(h); !ok {
			return fmt.Errorf("%s: there is no caution for %q", it.Key, h)
		}
	}
	for _, l := range it.Limits {
		if l.Text == "" || len(l.Refs) == 0 {
			return fmt.Errorf("%s: a limit has no text or no source", it.Key)
		}
	}
	return nil
}
