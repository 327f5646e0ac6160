package bond

import "wreckwright/working"

// Verdict is what a bond comes to.
type Verdict string

// The verdicts.
const (
	Pass       Verdict = "pass"
	Fail       Verdict = "fail"
	CannotTell Verdict = "cannot tell"
)

// Result is what a bond comes to. Stresses in MPa.
type Result struct {
	Holds      string     `json:"holds"`
	Layout     Layout     `json:"layout"`
	AreaMm2    float64    `json:"area_mm2"` // of all laps
	OmegaPerMm float64    `json:"omega_per_mm"`
	OmegaL     float64    `json:"omega_l"`
	AverageMPa float64    `json:"average_mpa"`
	PeakMPa    float64    `json:"peak_mpa"` // thermal stress included
	Ratio      float64    `json:"peak_over_average"`
	EndsMPa    [2]float64 `json:"ends_mpa"` // where the second and where the first adherend carries all of the load
	MiddleMPa  float64    `json:"middle_mpa"`
	ThermalMPa float64    `json:"thermal_mpa"` // of the ends, without the load, at the worst temperature
	WorstC     *float64   `json:"worst_c"`     // nil: no thermal stress reckoned

	KnockDowns   []KnockDown `json:"knock_downs"`
	Factor       float64     `json:"factor"`
	AllowableMPa float64     `json:"allowable_mpa"`
	Margin       float64     `json:"margin"` // allowable over peak

	EnoughMm float64    `json:"enough_mm"`  // overlap of 95 % of what any length can give
	NoMoreMm float64    `json:"no_more_mm"` // omega L = 6
	NeededMm *float64   `json:"needed_mm"`  // for a pass under this load; nil: no length is enough, or not reckoned
	MostN    float64    `json:"most_load_n"`
	PartsMPa [2]float64 `json:"parts_mpa"` // tension of either part

	Cure     *Cured          `json:"cure"`
	Hazards  []string        `json:"hazards"`
	Verdict  Verdict         `json:"verdict"`
	Why      string          `json:"why"`
	Cautions []string        `json:"cautions"`
	Working  working.Working `json:"working"`
}

// KnockDown is a share of the sheet's strength that is left.
type KnockDown struct {
	Name   string  `json:"name"`
	Share  float64 `json:"share"`
	Source string  `json:"source"`
}
