package web

import (
	"wreckwright/chart"
	"wreckwright/rebuild"
)

// shortZones are the names on the drawing, where left and right are plain.
var shortZones = map[string]string{
	"front-bumper": "Bumper", "bonnet": "Bonnet", "engine-bay": "Engine",
	"front-left-wing": "Wing", "front-right-wing": "Wing",
	"front-left-corner": "Wheel", "front-right-corner": "Wheel",
	"windscreen": "Screen", "left-door": "Door", "right-door": "Door",
	"cabin": "Cabin", "roof": "Roof", "left-sill": "Sill", "right-sill": "Sill",
	"rear-left-quarter": "Quarter", "rear-right-quarter": "Quarter",
	"rear-left-corner": "Wheel", "rear-right-corner": "Wheel",
	"boot": "Boot", "rear-bumper": "Bumper",
	"underside": "Underside", "gearbox-tunnel": "Gearbox, tunnel", "electrics": "Electrics", "fluids": "Fluids",
}

// zoneMarks are the zones for the drawing of the car, each with what stands open
// in it. A tap leads to the address before + key + after; now is the zone that
// the page is about.
func zoneMarks(rb *rebuild.Rebuild, states map[int64]rebuild.FindingState, now, before, after string) []chart.ZoneMark {
	marks := make([]chart.ZoneMark, len(rebuild.ZonePlaces))
	at := make(map[string]*chart.ZoneMark, len(marks))
	for i, place := range rebuild.ZonePlaces {
		marks[i] = chart.ZoneMark{
			Key: place.Key, Name: place.Name, Short: shortZones[place.Key],
			Href: before + place.Key + after, Now: place.Key == now, State: chart.ZoneUnseen,
		}
		if z := rb.Zone(place.Key); z != nil && z.OpenShare > 0 {
			marks[i].State = chart.ZoneClear
		}
		at[place.Key] = &marks[i]
	}
	for i := range rb.Findings {
		if m := at[rb.Findings[i].Zone]; m != nil {
			countFinding(m, &rb.Findings[i], states[rb.Findings[i].ID])
		}
	}
	return marks
}

// countFinding adds a finding to its zone's mark; the gravest state shows.
func countFinding(m *chart.ZoneMark, f *rebuild.Finding, state rebuild.FindingState) {
	if unsettled(state) {
		m.Open++
		if f.Safety {
			m.Safety++
		}
	}
	switch {
	case m.Safety > 0:
		m.State = chart.ZoneSafety
	case m.Open > 0:
		m.State = chart.ZoneOpen
	default:
		m.State = chart.ZoneSettled
	}
}
