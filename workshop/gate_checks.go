package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// checkThings are the measurements that count, of each quantity one. A failure
// counts until a later measurement of that quantity passes: neither its job, however
// that ends, nor being filed as from before the work takes it away, and what could
// not tell lifts nothing.
func checkThings(r *rebuild.Rebuild) []gate.Thing {
	counts := map[string]*rebuild.Evidence{}
	for _, e := range measuredInOrder(r) {
		for _, q := range settledBy(e) {
			if countsAfter(r, counts[q], e) {
				counts[q] = e
			}
		}
	}
	var things []gate.Thing
	for i := range r.Evidence {
		if e := &r.Evidence[i]; counts[quantityOf(e)] == e {
			things = append(things, gate.Thing{Kind: "check", ID: e.ID, Title: e.Title, State: string(e.Verdict), Class: classOfMeasured(r, e), Why: e.Why})
		}
	}
	return things
}

// measuredInOrder are the measurements in the order of time, without the records of
// codes. Of one day and one job those from before the work come first, whenever they
// were entered.
func measuredInOrder(r *rebuild.Rebuild) []*rebuild.Evidence {
	var list []*rebuild.Evidence
	for i := range r.Evidence {
		if e := &r.Evidence[i]; e.Instrument != rebuild.InstrumentCodes {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, laterEvidence)
	for i := range list {
		for k := i; k > 0 && cameBefore(list[k], list[k-1]); k-- {
			list[k], list[k-1] = list[k-1], list[k]
		}
	}
	return list
}

// cameBefore reports a measurement from before the work that was entered after one
// of that day and job from after it.
func cameBefore(e, after *rebuild.Evidence) bool {
	return e.Phase == rebuild.PhaseBefore && after.Phase != rebuild.PhaseBefore && e.On == after.On && e.JobID != 0 && e.JobID == after.JobID
}

// countsAfter reports whether a measurement takes the place of the one of its
// quantity that counted until then; nil: none did.
func countsAfter(r *rebuild.Rebuild, until, e *rebuild.Evidence) bool {
	switch {
	case e.Verdict == rebuild.VerdictFail:
		return true
	case until != nil && until.Verdict == rebuild.VerdictFail && !settlesSurvey(r, until, e):
		return false
	case e.Phase == rebuild.PhaseBefore, e.Verdict == rebuild.VerdictCannotTell && settledLater(r, e):
		return false
	}
	return e.Verdict == rebuild.VerdictPass || until == nil || until.Verdict != rebuild.VerdictFail
}

// settledLater reports what could not be told of a job that was dropped, or before
// its job was proven.
func settledLater(r *rebuild.Rebuild, e *rebuild.Evidence) bool {
	j := r.Job(e.JobID)
	return j != nil && (j.State == rebuild.JobDropped || j.State == rebuild.JobProven && e.On < j.DoneOn)
}

// classOfMeasured is what lives hang on in what was measured: by its quantity or by
// the job that it was measured for, whichever is the graver.
func classOfMeasured(r *rebuild.Rebuild, e *rebuild.Evidence) string {
	classes := []string{classOfCheck(e)}
	if j := r.Job(e.JobID); j != nil {
		classes = append(classes, classOfJob(j))
	}
	return worstClass(classes)
}

// quantityOf names what was measured on which part, so that measuring it once more
// takes the place of the time before, under whichever job and name either is kept.
// What a check was told says it; the angles and the body are those of the one car;
// of the other instruments only the job and the name tell one unit from another.
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
	if kind := surveyKind(e); kind != "" {
		return string(kind)
	}
	return strings.ToLower(fmt.Sprintf("%s\x00%d\x00%s", e.Instrument, e.JobID, e.Title))
}

// settledBy are the quantities that a measurement says something of: a body whose
// points were measured and stand is straight along five lines as well.
func settledBy(e *rebuild.Evidence) []string {
	if IsSurveyOfPoints(e) && e.Verdict == rebuild.VerdictPass {
		return []string{quantityOf(e), string(rebuild.InstrumentQuickSurvey)}
	}
	return []string{quantityOf(e)}
}

// classOfCheck is what lives hang on in what was measured: a brake is one, whatever
// it was measured for. An own quantity is what it is called after.
func classOfCheck(e *rebuild.Evidence) string {
	if e.Instrument == rebuild.InstrumentAngles {
		return string(rebuild.SafetySuspension) // angles that are off are set, and set on the way
	}
	if IsSurvey(e) {
		return string(rebuild.SafetyStructure)
	}
	settings, known := ReadCheckSettings(e)
	if known && settings.Quantity == "" {
		return worstClass(knowledge.PartClasses(settings.Title()))
	}
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

// laterEvidence puts measurements in the order of time.
func laterEvidence(a, b *rebuild.Evidence) int {
	return cmp.Or(strings.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID))
}
