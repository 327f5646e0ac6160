package gate

import "fmt"

// DriveStage is one stage of the first drives.
type DriveStage struct {
	Key    string
	Name   string
	OnRoad bool // it needs the road-test gate
}

// Run is one time a stage was done, in the order of time.
type Run struct {
	Stage  string
	Passed bool // else it was stopped
}

// Stage states of the first drives.
const (
	NotDone = "not done"
	Passed  = "passed"
	Stopped = "stopped"
)

// Released is where a stage stands.
type Released struct {
	Key   string
	State string // NotDone, Passed, Stopped: by its latest run
	Ready bool   // it may be done now
	Why   string // why not, in words; empty when it may
	Runs  int
}

// Drive says which stage may be done: the first one where no hard stop stands,
// one on the road only once its gate was passed, and each only after the stage
// before was passed and not stopped by a later run. A stop in a later stage sends
// nothing back: what it found is put right and that stage is done again; but an
// earlier stage that was stopped anew holds back all after it.
//
// runs are in the order of time. gatePassed is whether the road-test gate was
// passed with nothing new against it since.
func Drive(stages []DriveStage, runs []Run, road Gate, gatePassed bool) []Released {
	out := make([]Released, len(stages))
	before := "" // the name of the stage that holds back what follows
	for i, s := range stages {
		r := Released{Key: s.Key, State: StateOf(s.Key, runs)}
		for _, run := range runs {
			if run.Stage == s.Key {
				r.Runs++
			}
		}
		switch {
		case road.State == HardStop:
			r.Why = "a hard stop stands against the road test"
		case before != "":
			r.Why = fmt.Sprintf("%q comes first", before)
		case s.OnRoad && !gatePassed:
			r.Why = "the road-test gate is not passed"
		default:
			r.Ready = true
		}
		if r.State != Passed && before == "" {
			before = s.Name
		}
		out[i] = r
	}
	return out
}

// StateOf is how a stage stands: by its latest run. runs are in the order of time.
func StateOf(stage string, runs []Run) string {
	state := NotDone
	for _, run := range runs {
		switch {
		case run.Stage != stage:
		case run.Passed:
			state = Passed
		default:
			state = Stopped
		}
	}
	return state
}
