package knowledge

import (
	"slices"
	"sync"
)

// Caution is what must stand at a step where the work can hurt somebody. Text
// and DeferTo are shown together.
type Caution struct {
	Hazard  string   `yaml:"hazard"`   // the key: "lifting", "restraints"
	Name    string   `yaml:"name"`     // heading
	Zones   []string `yaml:"zones"`    // zones (rebuild.ZonePlaces) where it is shown unasked
	Classes []string `yaml:"classes"`  // safety classes (rebuild.SafetyClasses) of jobs that show it
	Text    string   `yaml:"text"`     // what can happen and what to do about it
	DeferTo string   `yaml:"defer_to"` // the maker's procedure, local codes, licensed practice
	Refs    Refs     `yaml:"ref"`
}

// Cautions lists the cautions, one for each hazard.
func Cautions() []Caution {
	list := slices.Clone(cautions())
	for i := range list {
		list[i].Zones = slices.Clone(list[i].Zones)
		list[i].Classes = slices.Clone(list[i].Classes)
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

// CautionFor finds the caution for a hazard.
func CautionFor(hazard string) (Caution, bool) {
	list := Cautions()
	i := slices.IndexFunc(list, func(c Caution) bool { return c.Hazard == hazard })
	if i < 0 {
		return Caution{}, false
	}
	return list[i], true
}

// CautionsAt lists the cautions for work in a zone by a job of a safety class;
// either may be empty. Those of the class come first: they are the reason why
// the job has one.
func CautionsAt(zone, class string) []Caution {
	var ofClass, ofZone []Caution
	for _, c := range Cautions() {
		switch {
		case class != "" && slices.Contains(c.Classes, class):
			ofClass = append(ofClass, c)
		case zone != "" && slices.Contains(c.Zones, zone):
			ofZone = append(ofZone, c)
		}
	}
	return append(ofClass, ofZone...)
}

var cautions = sync.OnceValue(func() []Caution { return load("cautions.yaml", checkCautions) })

func checkCautions(list []Caution) error {
	return checkEntries(list, func(c Caution) entry {
		return entry{c.Hazard, []string{c.Name, c.Text, c.DeferTo}, c.Refs}
	})
}
