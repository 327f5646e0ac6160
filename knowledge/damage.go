package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// Damage is one kind of damage as it may be seen on a walk round a car.
type Damage struct {
	Key      string   `yaml:"key"`
	Zones    []string `yaml:"zones"`    // where it may be seen (rebuild.ZonePlaces)
	Seen     string   `yaml:"seen"`     // as a person says it: "Wheel pushed back"
	Severity string   `yaml:"severity"` // one of rebuild.Severities
	Safety   bool     `yaml:"safety"`   // people's lives may hang on it
	Hit      string   `yaml:"hit"`      // the blow it speaks of: one of Hits
	Found    string   `yaml:"found"`    // one of rebuild.WaysOfFinding; empty: seen
	Jobs     []string `yaml:"jobs"`     // keys of DamageJobs that it suggests
	Refs     Refs     `yaml:"ref"`
}

// How hard a zone was hit, mildest first.
const (
	HitNone   = "none"
	HitLight  = "light"
	HitMedium = "medium"
	HitHard   = "hard"
)

// Hits lists them.
func Hits() []string { return []string{HitNone, HitLight, HitMedium, HitHard} }

// Damages lists every kind of damage.
func Damages() []Damage {
	list := slices.Clone(damages())
	for i := range list {
		list[i].Zones = slices.Clone(list[i].Zones)
		list[i].Jobs = slices.Clone(list[i].Jobs)
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

// DamagesAt lists what may be seen in a zone, what is common first.
func DamagesAt(zone string) []Damage {
	return slices.DeleteFunc(Damages(), func(d Damage) bool { return !slices.Contains(d.Zones, zone) })
}

var damages = sync.OnceValue(func() []Damage { return load("damage.yaml", checkDamages) })

func checkDamages(list []Damage) error {
	for _, d := range list {
		switch {
		case len(d.Zones) == 0:
			return fmt.Errorf("%s: names no zone", d.Key)
		case !slices.Contains(Hits(), d.Hit):
			return fmt.Errorf("%s: hit %q: expected one of %q", d.Key, d.Hit, Hits())
		case len(d.Jobs) == 0:
			return fmt.Errorf("%s: suggests no job", d.Key)
		}
		for _, key := range d.Jobs {
			if _, ok := DamageJobFor(key); !ok {
				return fmt.Errorf("%s: there is no job %q in knowledge/damage_jobs.yaml", d.Key, key)
			}
		}
	}
	return checkEntries(list, func(d Damage) entry {
		return entry{d.Key, []string{d.Seen, d.Severity}, d.Refs}
	})
}
