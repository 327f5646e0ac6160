package workshop

import (
	"cmp"
	"fmt"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// checkThings are the measurements that count: of each quantity the latest, not
// from before the work, and none from before the job was proven.
func checkThings(r *rebuild.Rebuild) []gate.Thing {
	latest := map[string]*rebuild.Evidence{}
	for i := range r.Evidence {
		e := &r.Evidence[i]
		q := quantityOf(e)
		if old := latest[q]; e.Instrument != rebuild.InstrumentCodes && e.Phase != rebuild.PhaseBefore && (old == nil || laterEvidence(old, e)) {
			latest[q] = e
		}
	}
	var things []gate.Thing
	for i := range r.Evidence {
		e := &r.Evidence[i]
		if latest[quantityOf(e)] != e || settledLater(r, e) {
			continue
		}
		t := gate.Thing{Kind: "check", ID: e.ID, Title: e.Title, State: string(e.Verdict), Why: e.Why}
		if j := r.Job(e.JobID); j != nil {
			t.Class = string(j.Safety)
		}
		if t.Class == "" || t.Class == string(rebuild.SafetyNone) {
			t.Class = classOfCheck(e)
		}
		things = append(things, t)
	}
	return things
}

// settledLater reports a measurement of a job that was dropped, or that was made
// before its job was proven.
func settledLater(r *rebuild.Rebuild, e *rebuild.Evidence) bool {
	j := r.Job(e.JobID)
	return j != nil && (j.State == rebuild.JobDropped || j.State == rebuild.JobProven && e.On < j.DoneOn)
}

// quantityOf names what was measured on which part, so that measuring it once more
// takes the place of the time before, under whichever job and name either is kept.
// What a check was told says it; the angles are those of the one car; of the other
// instruments only the job and the name tell one unit from another.
func quantityOf(e *rebuild.Evidence) string {
	if s, ok := ReadCheckSettings(e); ok {
		if s.Quantity == "" {
			return strings.ToLower(fmt.Sprintf("own\x00%s\x00%s\x00%s\x00%s", s.Name, s.Which, s.Unit, s.Form))
		}
		return strings.ToLower("check\x00" + s.Quantity + "\x00" + s.Which)
	}
	if e.Instrument == rebuild.InstrumentAngles {
		return string(e.Instrument)
	}
	return strings.ToLower(fmt.Sprintf("%s\x00%d\x00%s", e.Instrument, e.JobID, e.Title))
}

// classOfCheck is what lives hang on in what was measured, where its job does not
// say so: a brake is one, whatever it was measured for.
func classOfCheck(e *rebuild.Evidence) string {
	if e.Instrument == rebuild.InstrumentAngles {
		return string(rebuild.SafetySuspension) // angles that are off are set, and set on the way
	}
	settings, _ := ReadCheckSettings(e)
	switch quantity, _ := knowledge.CheckFor(settings.Quantity); quantity.Group {
	case "brakes":
		return string(rebuild.SafetyBrake)
	case "steering":
		return string(rebuild.SafetySteering)
	case "wheels":
		return classWheel
	}
	return string(rebuild.SafetyNone)
}

func laterEvidence(old, e *rebuild.Evidence) bool {
	return cmp.Or(strings.Compare(old.On, e.On), cmp.Compare(old.ID, e.ID)) < 0
}

// codesThings is what the reader of fault codes showed last. Codes tell what they
// tell, not that something passed or failed: a record that "cannot tell" stands
// against driving only by the codes that are in it.
func codesThings(r *rebuild.Rebuild) []gate.Thing {
	var last *rebuild.Evidence
	for i := range r.Evidence {
		e := &r.Evidence[i]
		if e.Instrument == rebuild.InstrumentCodes && e.Phase != rebuild.PhaseBefore && (last == nil || laterEvidence(last, e)) {
			last = e
		}
	}
	if last == nil || settledLater(r, last) {
		return nil
	}
	t := gate.Thing{Kind: "codes", ID: last.ID, Title: last.Title, State: "not known", Why: last.Why}
	n := codesCounted(last)
	switch {
	case n > 0:
		t.State = "there"
		t.Title = fmt.Sprintf("%s on record on %s: %s", countedCodes(n), last.On, last.Why)
	case last.Verdict == rebuild.VerdictPass:
		t.State = "none"
	case last.Verdict == rebuild.VerdictFail:
		t.State = "not ready"
	}
	return []gate.Thing{t}
}

// codesCounted is how many codes a record holds.
func codesCounted(e *rebuild.Evidence) int {
	for _, f := range e.Figures {
		if f.Name == figureCodes {
			return int(f.Value)
		}
	}
	return 0
}
