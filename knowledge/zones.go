package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// Zone is a place on the car where something can be found.
type Zone struct {
	Key     string   `yaml:"key"`
	Name    string   `yaml:"name"`
	OnPlan  bool     `yaml:"on_plan"` // has an area in the plan view
	Hazards []string `yaml:"hazards"` // hazards of cautions to think of there
	Refs    Refs     `yaml:"ref"`
}

// Zones lists the zones, those of the plan view first, from nose to tail.
func Zones() []Zone {
	list := slices.Clone(zones())
	for i := range list {
		list[i].Hazards = slices.Clone(list[i].Hazards)
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

var zones = sync.OnceValue(func() []Zone { return load("zones.yaml", checkZones) })

func checkZones(list []Zone) error {
	for _, z := range list {
		for _, hazard := range z.Hazards {
			if _, ok := CautionFor(hazard); !ok {
				return fmt.Errorf("%s: hazard %q has no caution", z.Key, hazard)
			}
		}
	}
	return checkEntries(list, func(z Zone) entry { return entry{z.Key, []string{z.Name}, z.Refs} })
}
