package workshop

import (
	"wreckwright/rebuild"
)

// surveyStage and makeSafeStage are places in [rebuild.StagePlaces], from 1.
const (
	makeSafeStage = 2
	surveyStage   = 3
)

// RecordNotInspection stands wherever the workbench speaks of driving.
const RecordNotInspection = "This is what the book says, not an inspection: whoever is licensed to test the car has the last word."

// Safety is what the book says about driving the car.
type Safety struct {
	Verdict  string // "no", "cannot tell", "nothing recorded against it"
	Findings []*rebuild.Finding
	Jobs     []*rebuild.Job
	Joints   []*rebuild.Joint
	Why      string // of "cannot tell"
}

// The verdicts on driving. There is no plain yes: a book cannot give one.
const (
	DriveNo         = "no"
	DriveCannotTell = "cannot tell"
	DriveNothing    = "nothing recorded against it"
)

// safetyOf lists what stands against driving: safety-critical or dangerous
// findings that are open or planned, jobs of a safety class that are not proven,
// jobs not proven that settle such a finding, and joints on which lives hang that
// are not proven.
func safetyOf(r *rebuild.Rebuild) Safety {
	var s Safety
	states := r.FindingStates()
	critical := map[int64]bool{}
	for i := range r.Findings {
		f := &r.Findings[i]
		if !f.Safety && f.Severity != rebuild.Danger {
			continue
		}
		critical[f.ID] = true
		if st := states[f.ID]; st == rebuild.FindingOpen || st == rebuild.FindingPlanned {
			s.Findings = append(s.Findings, f)
		}
	}
	for i := range r.Jobs {
		if j := &r.Jobs[i]; safetyJob(j, critical) && j.State != rebuild.JobProven && j.State != rebuild.JobDropped {
			s.Jobs = append(s.Jobs, j)
		}
	}
	s.Joints = openSafetyJoints(r)
	survey := r.Stages[surveyStage-1]
	switch {
	case len(s.Findings)+len(s.Jobs)+len(s.Joints) > 0:
		s.Verdict = DriveNo
	case len(r.Findings)+len(r.Jobs) == 0:
		s.Verdict, s.Why = DriveCannotTell, "nothing is recorded yet"
	case survey.State != rebuild.StageDone:
		s.Verdict, s.Why = DriveCannotTell, "the survey is not finished"
	default:
		s.Verdict = DriveNothing
	}
	return s
}

// safetyJob reports whether lives hang on the job, by its class or by what it
// settles.
func safetyJob(j *rebuild.Job, critical map[int64]bool) bool {
	if j.Safety.Critical() {
		return true
	}
	for _, id := range j.Findings {
		if critical[id] {
			return true
		}
	}
	return false
}
