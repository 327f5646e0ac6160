package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// classWheel is the class of gates for what holds a wheel on; the book has no such
// class of jobs.
const classWheel = "wheel"

// gravest orders classes where a thing is about several: first those of which an
// open joint is a hard stop.
var gravest = []string{
	string(rebuild.SafetyBrake), string(rebuild.SafetySteering), string(rebuild.SafetyRestraint), string(rebuild.SafetySuspension), classWheel,
	string(rebuild.SafetyStructure), string(rebuild.SafetyFuel),
}

// worstClass is the gravest of classes; none: lives hang on none of them.
func worstClass(classes []string) string {
	for _, class := range gravest {
		if slices.Contains(classes, class) {
			return class
		}
	}
	return string(rebuild.SafetyNone)
}

// classOfJoint is what lives hang on at a joint: the class it was given or that of
// the part it is named after, whichever is the graver. What holds a wheel on does not
// wait for somebody to choose it from a list, and no lesser class lifts a hard stop.
func classOfJoint(j *rebuild.Joint) string {
	class := worstClass(append(knowledge.PartClasses(j.Title), string(j.Safety)))
	if !j.Safety.Critical() && (class == string(rebuild.SafetyStructure) || class == string(rebuild.SafetyFuel)) {
		return string(rebuild.SafetyNone) // said to be none, and not one that stops the car
	}
	return class
}

// classOfJob is what lives hang on in a job: its class or that of the parts it is
// named after, whichever is the graver. From the stage of paint on a part of the
// structure in its name is only painted.
func classOfJob(j *rebuild.Job) string {
	class := worstClass(append(knowledge.PartClasses(j.Title), string(j.Safety)))
	if !j.Safety.Critical() && class == string(rebuild.SafetyStructure) && j.Stage > proveStage {
		return string(rebuild.SafetyNone)
	}
	return class
}

// offThing is a thing that is off: by its joints, else by its name.
func offThing(r *rebuild.Rebuild, s *rebuild.StripItem) gate.Thing {
	t := gate.Thing{Kind: "strip item", ID: s.ID, Title: s.What, State: "off"}
	classes := knowledge.PartClasses(s.What)
	for _, id := range s.Joints {
		j := r.Joint(id)
		if j == nil {
			continue
		}
		if class := classOfJoint(j); class != string(rebuild.SafetyNone) {
			classes = append(classes, class)
			t.Marks, t.Why = []string{"critical"}, fmt.Sprintf(": the joint %q is undone by it", j.Title)
		}
	}
	if t.Class = worstClass(classes); t.Why == "" {
		t.Why = classReason(t.Class)
	}
	return t
}

// classReason says as what a thing counts.
func classReason(class string) string {
	words := map[string]string{
		"brake": "the brakes", "steering": "the steering", "suspension": "the suspension", "restraint": "the restraints", "structure": "the structure",
		"fuel": "the fuel system", classWheel: "the wheels",
	}[class]
	if words == "" {
		return ""
	}
	return " (" + words + ")"
}

// classesOfFindings says of each finding what it is about: by the jobs that settle
// it, its words, and the zone it was made in where neither tells.
func classesOfFindings(r *rebuild.Rebuild) map[int64]string {
	worst := toldByWords(r)
	for i := range r.Findings {
		if f := &r.Findings[i]; worst[f.ID] == string(rebuild.SafetyNone) {
			worst[f.ID] = classOfZone(f.Zone)
		}
	}
	return worst
}

// toldByWords says of each finding what it is about by the jobs that settle it and
// its words alone.
func toldByWords(r *rebuild.Rebuild) map[int64]string {
	of := map[int64][]string{}
	for i := range r.Jobs {
		for _, id := range r.Jobs[i].Findings {
			of[id] = append(of[id], classOfJob(&r.Jobs[i]))
		}
	}
	worst := make(map[int64]string, len(r.Findings))
	for i := range r.Findings {
		f := &r.Findings[i]
		worst[f.ID] = worstClass(append(of[f.ID], knowledge.FaultClasses(f.What)...))
	}
	return worst
}

// classOfZone is what a danger in a zone is taken to be about where its words do
// not tell.
func classOfZone(zone string) string {
	switch {
	case strings.HasSuffix(zone, "-corner"): // wheel and suspension
		return string(rebuild.SafetySuspension)
	case strings.HasSuffix(zone, "-sill"):
		return string(rebuild.SafetyStructure)
	}
	return string(rebuild.SafetyNone)
}

// stoppedFor are the findings of drives that were stopped.
func stoppedFor(r *rebuild.Rebuild) map[int64]bool {
	stopped := map[int64]bool{}
	for i := range r.Shakedown {
		if run := &r.Shakedown[i]; run.Result == rebuild.RunStop {
			for _, id := range run.Findings {
				stopped[id] = true
			}
		}
	}
	return stopped
}
