package noise

import "wreckwright/working"

// Verdict is what a recording comes to.
type Verdict string

// The verdicts. Fail is a bearing with a defect.
const (
	Pass       Verdict = "pass"
	Fail       Verdict = "fail"
	CannotTell Verdict = "cannot tell"
)

// Scores are how strongly each suspect is heard, 0 to 1. They are strengths, no
// chances, and sum to nothing.
type Scores struct {
	OuterRace      float64 `json:"outer_race"`
	InnerRace      float64 `json:"inner_race"`
	RollingElement float64 `json:"rolling_element"`
	Tyre           float64 `json:"tyre"`
	Driveline      float64 `json:"driveline"`
}

// Defect is the strongest family of a bearing's lines.
type Defect struct {
	Part      string    `json:"part"`         // "outer race", "inner race", "rolling element", "unknown"
	Or        string    `json:"or,omitempty"` // another part whose lines coincide with them in this bearing
	Hz        float64   `json:"hz"`           // where it lies
	Order     float64   `json:"order"`
	Strength  float64   `json:"strength"` // over the noise, first line with second or third
	Margin    float64   `json:"margin"`   // over the next family
	Harmonics []float64 `json:"harmonics"`
	Sidebands float64   `json:"sidebands"`
	Band      Band      `json:"band"`
}

// Curve is a spectrum to draw: bin k lies at k StepHz.
type Curve struct {
	StepHz float64
	Amp    []float64
	Floor  []float64 // the noise about each bin
}

// Mark is where a line of the bearing is expected.
type Mark struct {
	Name     string // of the family
	Harmonic int
	Hz       float64 // where the strongest bin within slip lies, when found; else by the geometry
	Order    float64
	Ratio    float64 // over the noise about it
	Found    bool
}

// Result is what the recording holds. What it calls Hz is at RefHz of the shaft:
// with a speed track the spectra are over the shaft's angle.
type Result struct {
	ShaftHz   float64         `json:"shaft_hz"`       // as stated
	HeardHz   *float64        `json:"heard_shaft_hz"` // out of the recording; null where not clear
	DurationS float64         `json:"duration_s"`
	Peaks     []Peak          `json:"peaks"`
	Bearing   *Frequencies    `json:"bearing"` // at the stated speed; null without geometry
	Defect    *Defect         `json:"defect"`
	Scores    Scores          `json:"scores"`
	Bands     []Band          `json:"bands"`
	Clipped   float64         `json:"clipped_share"`
	Verdict   Verdict         `json:"verdict"`
	Why       string          `json:"why"`
	Cautions  []string        `json:"cautions"`
	Working   working.Working `json:"working"`

	// For drawings.
	RefHz    float64 `json:"-"` // heard, else stated
	Tracked  bool    `json:"-"`
	Sound    Curve   `json:"-"`
	Envelope Curve   `json:"-"` // in the band of the strongest family
	Expected []Mark  `json:"-"`
}
