package joint

import (
	"math"
	"strconv"
)

// Thread is a thread with what its designation says of the bolt.
type Thread struct {
	Text        string // as it was written
	Designation string // as it is written here: "M10x1.25-10.9", "3/8-16 UNC grade 5"
	System      System
	Size        string  // "M10", "3/8"
	DiameterMm  float64 // nominal
	PitchMm     float64
	PerInch     float64 // 0 for metric
	Series      string  // "coarse", "fine", "UNC", "UNF"
	LeftHand    bool
	LengthMm    float64 // of the bolt; 0: not said
	Class       string  // "10.9", "A2-70", "grade 5"; empty: not said
}

// Ratios of the basic profile of 60 degrees to the pitch.
var (
	pitchDepth        = 3 * math.Sqrt(3) / 8   // d - d2
	minorDepthMetric  = 17 * math.Sqrt(3) / 24 // d - d3
	minorDepthUnified = 3 * math.Sqrt(3) / 4
	nutMinorDepth     = 5 * math.Sqrt(3) / 8 // d - D1
)

// PitchDiameterMm is the diameter at which threads and grooves are as wide.
//
// ref: ISO_724 basic dimensions
func (t Thread) PitchDiameterMm() float64 { return t.DiameterMm - pitchDepth*t.PitchMm }

// MinorDiameterMm is the diameter at the root of the bolt's thread.
//
// ref: ISO_724 basic dimensions; SHIGLEY table 8-2
func (t Thread) MinorDiameterMm() float64 {
	if t.System == Unified {
		return t.DiameterMm - minorDepthUnified*t.PitchMm
	}
	return t.DiameterMm - minorDepthMetric*t.PitchMm
}

// StressDiameterMm is the diameter of a plain bar as strong as the thread.
func (t Thread) StressDiameterMm() float64 {
	return (t.PitchDiameterMm() + t.MinorDiameterMm()) / 2
}

// StressAreaMm2 is the area that carries tension.
//
// ref: ISO_898_1 clause 9; ASME_B1_1 stress area
func (t Thread) StressAreaMm2() float64 {
	d := t.StressDiameterMm()
	return math.Pi / 4 * d * d
}

// TableAreaMm2 is the stress area as tables print it: three figures. Tables of
// loads are the product of this with a strength.
func (t Thread) TableAreaMm2() float64 { return figures(t.StressAreaMm2(), 3) }

// figures rounds to so many figures.
func figures(x float64, n int) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', n-1, 64), 64)
	if err != nil {
		return x
	}
	return y
}
