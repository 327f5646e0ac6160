package check

import "wreckwright/working"

// The verdicts.
const (
	Pass       = "pass"
	Fail       = "fail"
	CannotTell = "cannot tell"
)

// Engine names what computed a result, with its version.
const Engine = "check 1"

// Result is a quantity examined.
type Result struct {
	Name string `json:"name"`
	Unit string `json:"unit"`
	Form string `json:"form"`

	Mean                float64  `json:"mean"` // the value: of a derived quantity out of the means of its parts
	StandardUncertainty float64  `json:"standard_uncertainty"`
	DegreesOfFreedom    *float64 `json:"degrees_of_freedom"` // nil: infinite, a normal distribution
	ReadingsSD          *float64 `json:"readings_sd"`        // nil for parts and for one reading
	N                   int      `json:"n"`                  // readings in all

	Lower      *float64 `json:"lower"`
	Upper      *float64 `json:"upper"`
	Risk       float64  `json:"risk"`
	Chance     float64  `json:"chance_in_limits"`
	AcceptLow  *float64 `json:"accept_low"`  // nil without a lower limit, and where no value could pass
	AcceptHigh *float64 `json:"accept_high"` // likewise

	Verdict  string          `json:"verdict"`
	Why      string          `json:"why"`
	Next     []string        `json:"next"` // what would decide an open verdict
	Usual    *Global         `json:"usual,omitempty"`
	Parts    []PartResult    `json:"parts"`
	Cautions []string        `json:"cautions"`
	Engine   string          `json:"engine"`
	Working  working.Working `json:"working"`
}

// PartResult is one measured part.
type PartResult struct {
	Name   string  `json:"name"`
	Mean   float64 `json:"mean"`
	SD     float64 `json:"sd"` // of its readings; 0 for one
	N      int     `json:"n"`
	Weight float64 `json:"weight"` // how much the value follows it
}
