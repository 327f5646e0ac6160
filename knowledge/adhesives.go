package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// AdhesiveKind is a kind of structural adhesive.
type AdhesiveKind struct {
	Key      string   `yaml:"key"`
	Name     string   `yaml:"name"`
	Hazards  []string `yaml:"hazards"` // of cautions
	Cautions []string `yaml:"cautions"`
	Refs     Refs     `yaml:"ref"`
}

// BondKnockDown is the share of an adhesive's strength that is left.
type BondKnockDown struct {
	Kind  string  `yaml:"kind"` // preparation, temperature or service
	Key   string  `yaml:"key"`
	Name  string  `yaml:"name"`
	Share float64 `yaml:"share"`
	UpToC float64 `yaml:"upto_c"` // of a temperature
	Refs  Refs    `yaml:"ref"`
}

// AdhesiveKinds lists the kinds of adhesives.
func AdhesiveKinds() []AdhesiveKind { return slices.Clone(adhesiveKinds()) }

// BondKnockDowns lists the knock-downs, temperatures from the coldest on.
func BondKnockDowns() []BondKnockDown { return slices.Clone(bondKnockDowns()) }

var (
	adhesiveKinds  = sync.OnceValue(func() []AdhesiveKind { return load("adhesives.yaml", checkAdhesives) })
	bondKnockDowns = sync.OnceValue(func() []BondKnockDown { return load("bond_knockdowns.yaml", checkKnockDowns) })
)

func checkAdhesives(list []AdhesiveKind) error {
	for _, a := range list {
		for _, h := range a.Hazards {
			if _, ok := CautionFor(h); !ok {
				return fmt.Errorf("%s: %q is no hazard that there is a caution for", a.Key, h)
			}
		}
		if len(a.Cautions) == 0 {
			return fmt.Errorf("%s: nothing to heed", a.Key)
		}
	}
	return checkEntries(list, func(a AdhesiveKind) entry { return entry{a.Key, []string{a.Name}, a.Refs} })
}

func checkKnockDowns(list []BondKnockDown) error {
	hottest := -273.15
	for _, k := range list {
		switch {
		case !slices.Contains([]string{"preparation", "temperature", "service"}, k.Kind):
			return fmt.Errorf("%s: kind %q: expected preparation, temperature or service", k.Key, k.Kind)
		case k.Share <= 0 || k.Share > 1:
			return fmt.Errorf("%s: share %g: expected more than 0, up to 1", k.Key, k.Share)
		case k.Kind == "temperature" && k.UpToC <= hottest:
			return fmt.Errorf("%s: expected temperatures in order", k.Key)
		case k.Kind == "temperature":
			hottest = k.UpToC
		}
	}
	return checkEntries(list, func(k BondKnockDown) entry { return entry{k.Key, []string{k.Name}, k.Refs} })
}
