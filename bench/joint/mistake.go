package joint

import "fmt"

// Input is what somebody entered.
type Input string

// The inputs that can be wrong.
const (
	InThread     Input = "thread"
	InNut        Input = "nut"
	InTorque     Input = "torque"
	InPreload    Input = "preload"
	InFriction   Input = "friction"
	InNutFactor  Input = "nut_factor"
	InFinish     Input = "finish"
	InSurface    Input = "lubricant"
	InMethod     Input = "method"
	InHead       Input = "head"
	InAngle      Input = "angle"
	InProofShare Input = "proof_share"
	InPrevailing Input = "prevailing"
	InGrip       Input = "grip"
	InMaterial   Input = "material"
	InInto       Input = "into"
	InEngagement Input = "engagement"
	InStiffness  Input = "stiffness"
	InLoad       Input = "load"
	InUnit       Input = "unit"
	InStuds      Input = "studs"
	InWrench     Input = "wrench"
	InReading    Input = "reading"
)

// InputError is a mistake in what was entered.
type InputError struct {
	Input    Input
	Problem  string // "M10x3: M10 has no pitch of 3"
	Expected string // "pitches 1.5 (coarse), 1.25, 1, 0.75"; may be empty
}

func (e *InputError) Error() string {
	if e.Expected == "" {
		return e.Problem
	}
	return e.Problem + "; expected " + e.Expected
}

func wrong(in Input, expected, problem string, args ...any) *InputError {
	return &InputError{in, fmt.Sprintf(problem, args...), expected}
}
