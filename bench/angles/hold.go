package angles

import (
	"fmt"
	"math"
)

// Hold is a wheel at which nothing is turned yet, and why.
type Hold struct {
	Wheel string `json:"wheel"`
	Text  string `json:"text"`
	// ReadAgain says that a reading is likelier wrong than the wheel.
	ReadAgain bool `json:"read_again"`
}

// What no car that rolled into a workshop shows, in degrees: beyond it a slip of
// the ruler or of a key is likelier.
//
// ref: DESIGN_ANGLE_CHANGES
const (
	oddToe    = 4
	oddCamber = 8
)

// holds are the wheels that wait for a reading or for a part. A track rod or a
// shim that is turned to make up for a bent upright hides the damage.
//
// ref: COMMON_PRACTICE
func holds(c *Case, f, sd figures, checks []CheckResult) []Hold {
	var list []Hold
	for _, n := range Corners {
		if text := oddReading(f, n); text != "" {
			list = append(list, Hold{n.String(), text, true})
			continue
		}
		bent := stateOf(checks, n.String(), "camber_deg") == off || stateOf(checks, n.String(), "steering_axis_deg") == off
		if bent && c.includedState(f, sd, checks, n) == off {
			list = append(list, Hold{Wheel: n.String(), Text: "included angle off: the upright or the strut looks bent; measure it, renew it, and read the angles anew before anything is turned here"})
		}
	}
	return list
}

func oddReading(f figures, n Corner) string {
	in := n.String() + "."
	if x, ok := f[in+"toe_deg"]; ok && math.Abs(x) > oddToe {
		return fmt.Sprintf("that would be %.1f degrees of toe: read both edges and the rim again", x)
	}
	if x, ok := f[in+"camber_deg"]; ok && math.Abs(x) > oddCamber {
		return fmt.Sprintf("that would be %.1f degrees of camber: read it again", x)
	}
	return ""
}

// held tells the wheels at which nothing is turned.
type held [4]bool

func heldWheels(list []Hold) (h held) {
	for _, n := range Corners {
		for _, x := range list {
			h[n] = h[n] || x.Wheel == n.String()
		}
	}
	return h
}

// at reports whether nothing is turned at the wheel of that name.
func (h held) at(wheel string) bool {
	for _, n := range Corners {
		if n.String() == wheel {
			return h[n]
		}
	}
	return false
}

// toe reports whether the toe of an axle waits: both its wheels are set together,
// and the front ones by where the rear ones drive.
func (h held) toe(axle int) bool {
	rear := h[RL] || h[RR]
	if axle == 1 {
		return rear
	}
	return rear || h[FL] || h[FR]
}
