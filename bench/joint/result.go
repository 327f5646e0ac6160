package joint

import "wreckwright/working"

// Verdict is what a joint comes to.
type Verdict string

// The verdicts.
const (
	Pass       Verdict = "pass"
	Fail       Verdict = "fail"
	CannotTell Verdict = "cannot tell"
)

// State says where the preload lies.
type State string

// The states.
const (
	UnderTightened State = "under-tightened"
	Fair           State = "fair"
	OverYield      State = "over yield"
	DoesNotFit     State = "does not fit"
	Strips         State = "strips"
	// MakerGoverns is a preload on a conical seat that a flat face would leave
	// loose: nobody can reckon it well, and the maker's torque stands.
	MakerGoverns State = "the maker's figure governs"
)

// Spread is a figure with its ends.
type Spread struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Torques is a torque in other units.
type Torques struct {
	LbfFt float64 `json:"lbf_ft"`
	LbfIn float64 `json:"lbf_in"`
	KgfM  float64 `json:"kgf_m"`
	KgfCm float64 `json:"kgf_cm"`
}

// InUnits writes a torque in N·m in the other units.
func InUnits(nm float64) Torques {
	return Torques{LbfFoot.FromNm(nm), LbfInch.FromNm(nm), KgfMetre.FromNm(nm), KgfCm.FromNm(nm)}
}

// Result is what the tightening of a joint comes to. Where an angle is given,
// Torque is the torque before it and Preload that after it.
type Result struct {
	Thread      Thread  `json:"-"`
	Designation string  `json:"thread"`
	DiameterMm  float64 `json:"diameter_mm"`
	PitchMm     float64 `json:"pitch_mm"`
	PitchDiaMm  float64 `json:"pitch_diameter_mm"`
	MinorDiaMm  float64 `json:"minor_diameter_mm"`
	StressArea  float64 `json:"stress_area_mm2"`
	LeftHand    bool    `json:"left_hand"`
	Class       string  `json:"class"`

	ProofKN   float64 `json:"proof_kn"`
	YieldKN   float64 `json:"yield_kn"`
	TensileKN float64 `json:"tensile_kn"`

	Preload     Spread  `json:"preload_kn"`
	Torque      Spread  `json:"torque_nm"`
	TorqueIn    Torques `json:"torque_in"`
	ProofShare  float64 `json:"proof_share"`
	Shares      Spread  `json:"proof_shares"`
	Utilisation Spread  `json:"utilisation"` // of yield, tension and torsion together, while tightening

	Friction     Spread  `json:"friction"`
	HeadFriction Spread  `json:"head_friction"`
	NutFactor    Spread  `json:"nut_factor"`
	Surface      string  `json:"lubricant"`
	Method       string  `json:"method"`
	Alpha        float64 `json:"scatter_factor"` // largest preload over smallest, of the method
	PrevailingNm float64 `json:"prevailing_nm"`

	Aim        *Aim        `json:"aim"`            // nil on a conical seat: the maker's torque governs
	MostNm     float64     `json:"most_torque_nm"` // the torque at which even the slipperiest joint stays within yield, by the twentieth over its guaranteed least that the verdict allows
	Conditions []Condition `json:"conditions"`     // the same torque on other surfaces
	Angle      *Turn       `json:"angle"`
	Engagement *Engagement `json:"engagement"`
	Pressure   *Bearing    `json:"bearing"`
	Load       *Loaded     `json:"load"`
	Wheel      *Wheel      `json:"wheel"`

	State    State           `json:"state"`
	Verdict  Verdict         `json:"verdict"`
	Why      string          `json:"why"`
	Cautions []string        `json:"cautions"`
	Working  working.Working `json:"working"`
}

// Aim is the torque for a share of the proof force.
type Aim struct {
	ProofShare float64 `json:"proof_share"`
	PreloadKN  float64 `json:"preload_kn"`
	TorqueNm   float64 `json:"torque_nm"`
	LbfFt      float64 `json:"torque_lbf_ft"`
}

// Condition is what the same torque does on another surface.
type Condition struct {
	Key         string  `json:"lubricant"`
	Name        string  `json:"name"`
	Friction    float64 `json:"friction"`
	PreloadKN   float64 `json:"preload_kn"`
	ProofShare  float64 `json:"proof_share"`
	Utilisation float64 `json:"utilisation"`
	State       State   `json:"state"`
}

// Turn is what an angle adds.
type Turn struct {
	AngleDeg      float64 `json:"angle_deg"`
	SnugKN        Spread  `json:"snug_kn"`
	BoltKNMm      float64 `json:"bolt_kn_mm"`
	MemberKNMm    float64 `json:"member_kn_mm"`
	KNPerDeg      float64 `json:"kn_per_deg"`      // with the give of head and thread
	MostKNPerDeg  float64 `json:"most_kn_per_deg"` // without: no joint takes up more
	ElasticKN     float64 `json:"elastic_kn"`      // preload if nothing yielded
	YieldsAtDeg   float64 `json:"yields_at_deg"`   // angle at which the bolt begins to yield
	PastYield     bool    `json:"past_yield"`
	StretchMm     float64 `json:"stretch_mm"` // that stays in the bolt
	StretchOfGrip float64 `json:"stretch_of_grip"`
	NewBoltAlways bool    `json:"new_bolt_each_time"`
}

// Engagement is the strength of a tapped thread.
type Engagement struct {
	LengthMm     float64 `json:"length_mm"`
	Into         string  `json:"into"`
	StripsHoleKN float64 `json:"strips_hole_kn"`
	StripsBoltKN float64 `json:"strips_bolt_kn"`
	StripsKN     float64 `json:"strips_kn"`
	EnoughMm     float64 `json:"enough_mm"` // length at which the bolt breaks first
	BoltFirst    bool    `json:"bolt_breaks_first"`
}

// Bearing is the pressure under the head.
type Bearing struct {
	Material    string  `json:"material"`
	PressureMPa float64 `json:"pressure_mpa"`
	HighMPa     float64 `json:"pressure_high_mpa"`
	LimitMPa    float64 `json:"limit_mpa"`
	Within      bool    `json:"within"`
}

// Wheel is how the nuts of a wheel are tightened.
type Wheel struct {
	Order      []int      `json:"order"` // studs counted around from any one
	RetorqueKm [2]float64 `json:"retorque_km"`
}

// Loaded is what an outer load does to a tightened joint.
type Loaded struct {
	LoadKN      float64 `json:"load_kn"`
	Share       float64 `json:"bolt_share"` // of the load, that the bolt feels
	BoltKN      float64 `json:"bolt_kn"`
	MemberKN    float64 `json:"member_kn"` // clamp force left
	Separated   bool    `json:"separated"`
	AtLowestKN  float64 `json:"member_kn_at_lowest"` // with the lowest preload
	SeparatesKN float64 `json:"separates_at_kn"`
}
