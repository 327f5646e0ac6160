package web

import (
	"strconv"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// jointFields is what the form of a joint needs besides its values.
type jointFields struct {
	Form       *Form
	Zones      []Option
	Classes    []Option
	Units      []Option
	Sources    []Option
	Lockings   []Option
	Lubricants []string
	Jobs       []Option // those still ahead or ticked
}

func newJointFields(rb *rebuild.Rebuild, f *Form) jointFields {
	fields := jointFields{
		Form: f, Zones: zoneOptions("Not said"), Classes: safetyOptions(), Units: torqueUnitOptions(),
		Sources: append([]Option{{"", "Not said"}}, optionsOf(rebuild.JointSources)...), Lockings: optionsOf(rebuild.Lockings),
	}
	for _, s := range knowledge.FrictionRanges() {
		fields.Lubricants = append(fields.Lubricants, s.Name)
	}
	for i := range rb.Jobs {
		j := &rb.Jobs[i]
		id := strconv.FormatInt(j.ID, 10)
		if j.Ahead() || j.State == rebuild.JobDone || f.Has("jobs", id) {
			fields.Jobs = append(fields.Jobs, Option{id, j.Title})
		}
	}
	return fields
}

// jointProblems are the fields of the book and those of the form.
var jointProblems = map[string]string{"torque_nm": "torque", "tolerance_nm": "tolerance", "passes": "passes", "jobs": "jobs"}

// setJoint fills the form with a joint, in newton metres and the car's unit of so
// many km.
func (f *Form) setJoint(j *rebuild.Joint, per float64) {
	f.Set("title", j.Title)
	f.Set("zone", j.Zone)
	f.Set("safety", string(j.Safety))
	f.Set("thread", j.Thread)
	f.setNumber("count", float64(j.Count))
	f.setTorque("torque", j.TorqueNm)
	f.setTorque("tolerance", j.ToleranceNm)
	f.setNumber("angle_deg", j.AngleDeg)
	f.setNumber("angle_tolerance_deg", j.AngleToleranceDeg)
	passes := make([]string, len(j.Passes))
	for i, p := range j.Passes {
		passes[i] = trimNumber(tidyTorque(p))
	}
	f.Set("passes", strings.Join(passes, "; "))
	f.Set("source", string(j.Source))
	f.Set("source_where", j.SourceWhere)
	f.setNumber("friction", j.Friction)
	f.Set("lubricant", j.Lubricant)
	f.Set("locking", string(j.Locking))
	if j.OneTime {
		f.Set("one_time", "1")
	}
	f.Set("retorque_after_km", distanceField(j.RetorqueAfterKm, per))
	ids := make([]string, len(j.Jobs))
	for i, id := range j.Jobs {
		ids[i] = strconv.FormatInt(id, 10)
	}
	f.Set("jobs", ids...)
	f.Set("note", j.Note)
}

// readJoint reads what a joint is and how it is to be tightened. Distances are in
// the car's unit, of so many km; one that was left alone stays to the last digit.
func (f *Form) readJoint(j *rebuild.Joint, per float64) {
	j.Title, j.Zone, j.Safety = f.Value("title"), f.Value("zone"), rebuild.SafetyClass(f.Value("safety"))
	if j.Safety == "" {
		f.problem("safety", "say whether lives hang on it; if none do, \"None of these\"")
	}
	j.Thread, j.Count = f.Value("thread"), int(f.whole("count", "the number of fasteners"))
	j.TorqueNm = keepTyped(j.TorqueNm, f.torque("torque", "the torque"))
	j.ToleranceNm = keepTyped(j.ToleranceNm, f.torque("tolerance", "the tolerance"))
	j.AngleDeg = f.number("angle_deg", "the angle")
	j.AngleToleranceDeg = f.number("angle_tolerance_deg", "the angle's tolerance")
	j.Passes = f.torques("passes", "the passes before the last")
	j.Source, j.SourceWhere = rebuild.JointSource(f.Value("source")), f.Value("source_where")
	j.Friction, j.Lubricant = f.number("friction", "the friction"), f.Value("lubricant")
	j.Locking, j.OneTime = rebuild.Locking(f.Value("locking")), f.Has("one_time", "1")
	if f.Value("retorque_after_km") != distanceField(j.RetorqueAfterKm, per) {
		j.RetorqueAfterKm = per * f.number("retorque_after_km", "the distance")
	}
	j.Jobs = f.numbers("jobs", "job")
	j.Note = f.Value("note")
}

// keepTyped keeps a torque as it was entered where the form shows it rounded and
// it was left alone.
func keepTyped(had, typed float64) float64 {
	if tidyTorque(had) == typed {
		return had
	}
	return typed
}

// numbers reads the items that were ticked.
func (f *Form) numbers(field, what string) []int64 {
	var list []int64
	for _, text := range f.Values[field] {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			f.problem(field, "there is no %s %q", what, text)
			continue
		}
		list = append(list, n)
	}
	return list
}
