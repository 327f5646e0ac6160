package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// HiddenGroup is what may hide in a group of zones beside what is seen, by how
// hard the zone was hit.
type HiddenGroup struct {
	Key    string   `yaml:"key"`
	Zones  []string `yaml:"zones"` // rebuild.ZonePlaces; each stands in one group
	Light  Reserve  `yaml:"light"`
	Medium Reserve  `yaml:"medium"`
	Hard   Reserve  `yaml:"hard"`
	Refs   Refs     `yaml:"ref"`
}

// Reserve is the number of further faults to expect while all of a zone is
// closed, and what one of them costs in [EstimateCurrency]: own estimates.
type Reserve struct {
	Expected float64 `yaml:"expected"`
	Cost     Figures `yaml:"cost"`
}

// HiddenAt is what may hide in a zone that was hit so hard; false where it was
// not hit or the zone is unknown.
func HiddenAt(zone, hit string) (Reserve, bool) {
	for _, g := range hiddenGroups() {
		if !slices.Contains(g.Zones, zone) {
			continue
		}
		switch hit {
		case HitLight:
			return g.Light, true
		case HitMedium:
			return g.Medium, true
		case HitHard:
			return g.Hard, true
		}
	}
	return Reserve{}, false
}

var hiddenGroups = sync.OnceValue(func() []HiddenGroup { return load("hidden.yaml", checkHidden) })

func checkHidden(list []HiddenGroup) error {
	seen := map[string]bool{}
	for _, g := range list {
		for _, zone := range g.Zones {
			if seen[zone] {
				return fmt.Errorf("%s: the zone %s stands in another group too", g.Key, zone)
			}
			seen[zone] = true
		}
		before := Reserve{}
		for _, r := range []Reserve{g.Light, g.Medium, g.Hard} {
			if err := r.Cost.check(); err != nil {
				return fmt.Errorf("%s: %w", g.Key, err)
			}
			if r.Expected <= before.Expected || r.Cost[1] <= before.Cost[1] {
				return fmt.Errorf("%s: a harder blow hides more faults and dearer ones than a lighter one", g.Key)
			}
			before = r
		}
	}
	return checkEntries(list, func(g HiddenGroup) entry { return entry{g.Key, nil, g.Refs} })
}

// Depth is how far a zone was looked into.
type Depth struct {
	Key  string  `yaml:"key"`
	Name string  `yaml:"name"`
	Open float64 `yaml:"open"` // the share of what hides that it brings to light, 0 to 1
	Refs Refs    `yaml:"ref"`
}

// Depths lists the depths, the least first.
func Depths() []Depth {
	list := slices.Clone(depths())
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

var depths = sync.OnceValue(func() []Depth { return load("depths.yaml", checkDepths) })

func checkDepths(list []Depth) error {
	before := 0.0
	for _, d := range list {
		if d.Open <= before || d.Open > 1 {
			return fmt.Errorf("%s: open %g: expected more than the %g before it and at most 1", d.Key, d.Open, before)
		}
		before = d.Open
	}
	return checkEntries(list, func(d Depth) entry { return entry{d.Key, []string{d.Name}, d.Refs} })
}
