package angles

import "wreckwright/working"

// The verdicts.
const (
	Pass       = "pass"
	Fail       = "fail"
	CannotTell = "cannot tell"
)

// Engine names what computed a result, with its version.
const Engine = "angles 1"

// Result is a car's wheels examined. A figure that was not measured is nil; each
// stands beside its standard deviation.
type Result struct {
	Wheels map[string]WheelResult `json:"wheels"`
	Axles  map[string]AxleResult  `json:"axles"`

	Thrust    *float64 `json:"thrust_deg"` // positive: the rear axle points to the right
	ThrustSD  *float64 `json:"thrust_deg_sd"`
	LineError *float64 `json:"line_error_deg"` // of lines set parallel against the middles of the axles, to the left
	LineSD    *float64 `json:"line_error_deg_sd"`

	Weights   *WeightResult         `json:"corner_weights"`
	Turns     map[string]TurnResult `json:"turns"`            // steering held to the left, to the right
	Platforms []PlatformResult      `json:"spring_platforms"` // an estimate out of nominal rates

	Checks  []CheckResult `json:"checks"`
	Missing []string      `json:"not_measured"` // what is wanted and was not measured
	Verdict string        `json:"verdict"`
	Why     string        `json:"why"`
	Hold    []Hold        `json:"hold"` // wheels at which nothing is turned yet
	Adjust  []Adjustment  `json:"adjust"`
	Signs   []Sign        `json:"signs"`
	Notes   []string      `json:"notes"`
	Source  string        `json:"limit_source"`

	Engine  string          `json:"engine"`
	Working working.Working `json:"working"`
}

// WheelResult is one wheel, in degrees.
type WheelResult struct {
	Toe            *float64 `json:"toe_deg"`
	ToeSD          *float64 `json:"toe_deg_sd"`
	ToThrust       *float64 `json:"toe_to_thrust_deg"` // front wheels: toe against the thrust line
	Camber         *float64 `json:"camber_deg"`
	CamberSD       *float64 `json:"camber_deg_sd"`
	Caster         *float64 `json:"caster_deg"`
	CasterSD       *float64 `json:"caster_deg_sd"`
	SteeringAxis   *float64 `json:"steering_axis_deg"`
	SteeringAxisSD *float64 `json:"steering_axis_deg_sd"`
	Included       *float64 `json:"included_deg"`
	IncludedSD     *float64 `json:"included_deg_sd"`
}

// AxleResult is one axle.
type AxleResult struct {
	TotalToe      *float64 `json:"total_toe_deg"`
	TotalToeSD    *float64 `json:"total_toe_deg_sd"`
	SetBackMm     *float64 `json:"set_back_mm"`
	SetBackMmSD   *float64 `json:"set_back_mm_sd"`
	SetBackDeg    *float64 `json:"set_back_deg"`
	SetBackDegSD  *float64 `json:"set_back_deg_sd"`
	Track         *float64 `json:"track_mm"`
	CrossCamber   *float64 `json:"cross_camber_deg"` // left less right
	CrossCamberSD *float64 `json:"cross_camber_deg_sd"`
	CrossCaster   *float64 `json:"cross_caster_deg"`
	CrossCasterSD *float64 `json:"cross_caster_deg_sd"`
	HeightMm      *float64 `json:"ride_height_mm"` // mean of both sides
	HeightMmSD    *float64 `json:"ride_height_mm_sd"`
	LeftOverMm    *float64 `json:"left_stands_over_mm"` // left less right
	LeftOverMmSD  *float64 `json:"left_stands_over_mm_sd"`
}

// WeightResult is how the car's weight lies on its wheels.
type WeightResult struct {
	TotalKg      float64 `json:"total_kg"`
	FrontPercent float64 `json:"front_percent"`
	LeftPercent  float64 `json:"left_percent"`
	CrossPercent float64 `json:"cross_percent"` // front right with rear left
	CrossSD      float64 `json:"cross_percent_sd"`
	BiteKg       float64 `json:"bite_kg"`    // rear left less rear right
	SurplusKg    float64 `json:"surplus_kg"` // front right with rear left, over half
}

// CheckResult is one figure held against its limits.
type CheckResult struct {
	Where   string  `json:"where"` // "FL", "front", "car"
	What    string  `json:"what"`
	Value   float64 `json:"value"`
	SD      float64 `json:"sd"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Chance  float64 `json:"chance_in_limits"`
	Verdict string  `json:"verdict"`
}

// Adjustment is one thing to turn. ToeChangeDeg is what it does to the wheel's
// toe besides, where that can be known.
type Adjustment struct {
	Wheel        string   `json:"wheel"`
	What         string   `json:"what"`
	By           float64  `json:"by"`
	Unit         string   `json:"unit"`
	ToeChangeDeg *float64 `json:"toe_change_deg,omitempty"`
	Estimate     bool     `json:"estimate,omitempty"` // out of nominal rates
}

// Sign is what a bent or moved part would look like that fits the figures.
type Sign struct {
	Wheel  string `json:"wheel"` // or the axle
	Text   string `json:"text"`
	Source string `json:"source"`
}

func (f figures) get(name string) *float64 {
	if v, ok := f[name]; ok {
		return &v
	}
	return nil
}

func wheelResult(f, sd figures, n Corner) WheelResult {
	in := n.String() + "."
	r := WheelResult{
		Toe: f.get(in + "toe_deg"), ToeSD: sd.get(in + "toe_deg"),
		Camber: f.get(in + "camber_deg"), CamberSD: sd.get(in + "camber_deg"),
		Caster: f.get(in + "caster_deg"), CasterSD: sd.get(in + "caster_deg"),
		SteeringAxis: f.get(in + "steering_axis_deg"), SteeringAxisSD: sd.get(in + "steering_axis_deg"),
		Included: f.get(in + "included_deg"), IncludedSD: sd.get(in + "included_deg"),
	}
	if n.axle() == 0 && r.Toe != nil && f.has("thrust_deg") {
		r.ToThrust = new(*r.Toe - n.side()*f["thrust_deg"])
	}
	return r
}

func axleResult(f, sd figures, axle int) AxleResult {
	in := axleNames[axle] + "."
	return AxleResult{
		TotalToe: f.get(in + "total_toe_deg"), TotalToeSD: sd.get(in + "total_toe_deg"),
		SetBackMm: f.get(in + "set_back_mm"), SetBackMmSD: sd.get(in + "set_back_mm"),
		SetBackDeg: f.get(in + "set_back_deg"), SetBackDegSD: sd.get(in + "set_back_deg"),
		Track:       f.get(in + "track_mm"),
		CrossCamber: f.get(in + "cross_camber_deg"), CrossCamberSD: sd.get(in + "cross_camber_deg"),
		CrossCaster: f.get(in + "cross_caster_deg"), CrossCasterSD: sd.get(in + "cross_caster_deg"),
		HeightMm: f.get(in + "ride_height_mm"), HeightMmSD: sd.get(in + "ride_height_mm"),
		LeftOverMm: f.get(in + "left_stands_over_mm"), LeftOverMmSD: sd.get(in + "left_stands_over_mm"),
	}
}

func weightResult(f, sd figures) *WeightResult {
	if !f.has("total_kg") {
		return nil
	}
	return &WeightResult{f["total_kg"], f["front_percent"], f["left_percent"], f["cross_percent"], sd["cross_percent"], f["bite_kg"], f["surplus_kg"]}
}
