package web

import (
	"slices"

	"wreckwright/rebuild"
)

// findingForm is the form that a finding is entered or edited with, and what its
// fields choose from.
type findingForm struct {
	Form       *Form
	Zones      []Option
	Severities []Option
	Ways       []Option
}

func newFindingForm(f *Form) findingForm {
	return findingForm{
		Form: f, Zones: zoneOptions("Tap the drawing, or pick here"),
		Severities: optionsOf(rebuild.Severities), Ways: optionsOf(rebuild.WaysOfFinding),
	}
}

// presetFinding fills a new finding's form with what is most likely meant, so
// that words alone are enough to save it.
func presetFinding(rb *rebuild.Rebuild, zone, today string) *Form {
	f := &Form{}
	f.Set("zone", zone)
	f.Set("severity", string(rebuild.Minor))
	f.Set("how_found", string(presetWay(rb, zone, today)))
	f.Set("on", today)
	return f
}

// presetWay repeats the way of the last finding of the same day, since one goes
// round with the same lamp or the same meter; else what a zone that was stripped
// suggests.
func presetWay(rb *rebuild.Rebuild, zone, today string) rebuild.HowFound {
	if n := len(rb.Findings); n > 0 && rb.Findings[n-1].On == today {
		return rb.Findings[n-1].HowFound
	}
	if z := rb.Zone(zone); z != nil && z.OpenShare >= 0.5 {
		return rebuild.Stripped
	}
	return rebuild.Seen
}

// setFinding fills the form with a finding that exists.
func (f *Form) setFinding(finding *rebuild.Finding) {
	f.Set("zone", finding.Zone)
	f.Set("what", finding.What)
	f.Set("how_found", string(finding.HowFound))
	f.Set("severity", string(finding.Severity))
	f.Set("on", finding.On)
	f.Set("dismissed", finding.Dismissed)
	f.setFiles(finding.Photos)
	if finding.Safety {
		f.Set("safety", "1")
	}
}

// readFinding reads the fields of a finding, all but its photos.
func (f *Form) readFinding(finding *rebuild.Finding) {
	finding.Zone = f.Value("zone")
	finding.What = f.Value("what")
	finding.HowFound = rebuild.HowFound(f.Value("how_found"))
	finding.Severity = rebuild.Severity(f.Value("severity"))
	finding.Safety = f.Has("safety", "1")
	finding.On = f.Value("on")
}

// addPhotos keeps each photo once, also when it was sent twice. The finding's
// own list is left alone: a rebuild is read by others meanwhile.
func addPhotos(had, more []rebuild.Attachment) []rebuild.Attachment {
	all := slices.Clone(had)
	for _, a := range more {
		if !slices.ContainsFunc(all, func(b rebuild.Attachment) bool { return b.Hash == a.Hash }) {
			all = append(all, a)
		}
	}
	return all
}
