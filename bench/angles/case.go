package angles

// Corner is one of the four wheels.
type Corner int

// The corners, in the order in which they are told.
const (
	FL Corner = iota
	FR
	RL
	RR
)

// Corners are all four.
var Corners = [4]Corner{FL, FR, RL, RR}

var (
	cornerNames = [4]string{"FL", "FR", "RL", "RR"}
	axleNames   = [2]string{"front", "rear"}
)

// String is the corner as it is written in a case file.
func (c Corner) String() string { return cornerNames[c] }

// Axle is the name of the corner's axle: front or rear.
func (c Corner) Axle() string { return axleNames[c.axle()] }

func (c Corner) axle() int { return int(c) / 2 }

// side is +1 on the left, -1 on the right.
func (c Corner) side() float64 {
	if c == FL || c == RL {
		return 1
	}
	return -1
}

// Case is one car measured.
type Case struct {
	Lines  Lines
	Wheels [4]*Wheel // by [Corner]; nil where nothing was measured
	Floor  Floor

	TieRod  *TieRod
	Shim    *Shim
	Doubt   Doubt
	Want    [2]Want // front, rear
	Thrust  *Limits // of the thrust angle, degrees
	Cross   *Limits // of the cross-weight, per cent
	Source  string  // where the limits come from
	Weights *[4]float64
	Heights *[4]float64 // ride heights, mm

	PressuresBar *[4]float64 // of the tyres, as they stood

	Turns       [2]*Turns // steering held to the left, to the right
	WheelbaseMm float64   // 0: not said
	TrackMm     float64   // between the steering axes at the ground; 0: not said
	TurnsWant   *Limits   // of the toe-out on turns, degrees

	Springs  *Springs
	StrutTop *StrutTop
}

// Lines are the two reference lines outside the wheels.
type Lines struct {
	// Gap is nil for lines set parallel to the car's centre line; else the
	// centre line runs through the middles of the axles.
	Gap *[2]Gap
}

// Gap is the distance between the two lines, square to the left one, at a
// station along it.
type Gap struct{ AtMm, Mm float64 }

// Wheel is what was read at one wheel with the steering straight.
type Wheel struct {
	Edges     *Edges
	CamberDeg *float64 // inclinometer, before the slope of the floor is taken out
	// Turned are the readings with the wheel rolled on by half a turn: the mean
	// of both is free of the run-out of the rim.
	TurnedEdges     *[2]float64 // front, rear
	TurnedCamberDeg *float64
	// ReversedCamberDeg is read with the inclinometer turned end for end, so that
	// what it shows when it stands upright is taken out.
	ReversedCamberDeg *float64
	HubXMm            *float64 // along the left line, forward positive
	Sweep             *Sweep
}

// Edges are distances from the line to the rim at the height of the hub.
type Edges struct {
	RimMm   float64 // edge to edge
	FrontMm float64 // line to the edge ahead of the hub
	RearMm  float64
}

// Sweep is a wheel steered out and in by turntable angles from straight.
type Sweep struct {
	OutDeg, CamberOutDeg float64
	InDeg, CamberInDeg   float64
	Pitch                *Pitch // nil without the brake held
}

// Pitch is the fore-aft tilt of the hub in the plane of the wheel, nose up
// positive, with the brake held.
type Pitch struct{ OutDeg, InDeg float64 }

// Floor is how the pads beneath the wheels slope.
type Floor struct {
	LeftHigherDeg [2]float64 // front, rear axle
	NoseDownDeg   float64
}

// TieRod is how a track rod adjusts toe.
type TieRod struct {
	PitchMm  float64
	ArmMm    float64 // steering axis to the ball joint
	AngleDeg float64 // between arm and rod; 90 where it is square
	Sleeve   bool    // left- and right-hand thread: twice the pitch for a turn
	Arm      string  // "behind" or "ahead" of the axle; "" where not said
	// AboveMm is the height of the outer ball joint over the point about which
	// camber is set; nil where the effect of camber on toe is not asked for.
	AboveMm *float64
}

// Shim is a pack that sets camber: its two bolts stand this far apart.
type Shim struct{ SpacingMm float64 }

// Limits are between which bounds a figure is wanted.
type Limits struct{ Low, High float64 }

// Middle is half way between the limits.
func (l Limits) Middle() float64 { return (l.Low + l.High) / 2 }

// Want is what is wanted of an axle, by the names of [Quantities].
type Want map[string]Limits

// Doubt is the standard deviation of one reading of each instrument.
type Doubt struct {
	LineMm    float64
	CamberDeg float64
	PitchDeg  float64
	TurnDeg   float64 // turntable
	RimMm     float64
	HubXMm    float64
	WeightKg  float64
	HeightMm  float64
	FloorDeg  float64

	Assumed []string // what was not said and is taken from [UsualDoubt], in words
}

// UsualDoubt is what a ruler and a plain digital inclinometer leave where
// nothing else is said.
//
// ref: DESIGN_ANGLES
func UsualDoubt() Doubt {
	return Doubt{LineMm: 0.5, CamberDeg: 0.1, PitchDeg: 0.1, RimMm: 0.5, HubXMm: 0.5, WeightKg: 1, HeightMm: 1}
}
