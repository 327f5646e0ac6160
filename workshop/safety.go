package workshop

import (
	"slices"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// surveyStage and makeSafeStage are places in [rebuild.StagePlaces], from 1.
const (
	makeSafeStage = 2
	surveyStage   = 3
)

// RecordNotInspection stands wherever the workbench speaks of driving.
const RecordNotInspection = "This is what the book says, not an inspection: whoever is licensed to test the car has the last word."

// Safety is what the book says about driving the car: what stands against the
// road-test gate and is about the car itself.
type Safety struct {
	Verdict  string // "no", "cannot tell", "nothing recorded against it"
	Findings []*rebuild.Finding
	Jobs     []*rebuild.Job
	Joints   []*rebuild.Joint // on which lives hang
	Others   []gate.Against   // what is none of these: checks, cases, what is off the car
	Why      string           // of "cannot tell"
	HardStop bool             // no reason passes the gate
	Papers   int              // what the gate asks for besides: people's word
}

// Against is how many stand against driving.
func (s Safety) Against() int { return len(s.Findings) + len(s.Jobs) + len(s.Joints) + len(s.Others) }

// The verdicts on driving. There is no plain yes: a book cannot give one.
const (
	DriveNo         = "no"
	DriveCannotTell = "cannot tell"
	DriveNothing    = "nothing recorded against it"
)

// unknowns are the rules by which not enough is known, rather than something wrong.
var unknowns = map[string]string{"survey": "the survey is not finished", "nothing-recorded": "nothing is recorded yet"}

// safetyOf reads the road-test gate. The story of the car's category needs the
// day: see safetyOn.
func safetyOf(r *rebuild.Rebuild) Safety { return safetyOn(r, "") }

func safetyOn(r *rebuild.Rebuild, today string) Safety {
	lines, err := gatesOf(r, today)
	if err != nil { // a rule or thing that is none: a test holds that there is no such
		return Safety{Verdict: DriveCannotTell, Why: err.Error()}
	}
	return safetyAt(r, lines[0])
}

// safetyAt sorts what stands against the road-test gate.
func safetyAt(r *rebuild.Rebuild, road GateLine) Safety {
	s := Safety{HardStop: road.HardStop(), Papers: road.Papers}
	for _, a := range road.Against {
		switch why, unknown := unknowns[a.Rule]; {
		case a.Papers:
		case unknown:
			if s.Why == "" || a.Rule == "nothing-recorded" {
				s.Why = why
			}
		case a.Kind == "finding":
			s.Findings = append(s.Findings, r.Finding(a.ID))
		case a.Kind == "job":
			s.Jobs = append(s.Jobs, r.Job(a.ID))
		case a.Kind == "joint" && r.Joint(a.ID).Safety.Critical():
			s.Joints = append(s.Joints, r.Joint(a.ID))
		default:
			s.Others = append(s.Others, a)
		}
	}
	switch {
	case s.Against() > 0:
		s.Verdict, s.Why = DriveNo, ""
	case s.Why != "":
		s.Verdict = DriveCannotTell
	default:
		s.Verdict = DriveNothing
	}
	return s
}

// safetyJob reports whether lives hang on the job, by its class or by what it
// settles.
func safetyJob(j *rebuild.Job, critical map[int64]bool) bool {
	return j.Safety.Critical() || slices.ContainsFunc(j.Findings, func(id int64) bool { return critical[id] })
}
