package recharge

import "wreckwright/working"

// Version of the method, kept with a stored result.
const Version = "recharge 2"

// Verdicts.
const (
	Pass       = "pass"
	Fail       = "fail"
	CannotTell = "cannot tell"
)

// Cycle is one recharge. IntervalS is from the start of the one before.
type Cycle struct {
	OnS       float64  `json:"on_s"`
	OffS      float64  `json:"off_s"`
	IntervalS *float64 `json:"interval_s"`
	CutInBar  *float64 `json:"cut_in_bar"`
	CutOutBar *float64 `json:"cut_out_bar"`
	FillS     float64  `json:"fill_s"`
	ColdFill  bool     `json:"cold_fill"`
	Static    bool     `json:"static"`  // nothing operated since the start before
	Settled   bool     `json:"settled"` // static, and the gas had come to rest: counts in the mean interval
	rested    bool     // whatever was operated since the start before, the gas had come to rest by this one
	busy      bool     // something is known to have been operated since the start before
}

// Interval is the mean of the settled intervals with its 95 % interval by
// Student's t; null where there are too few.
type Interval struct {
	N     int      `json:"n"`
	MeanS *float64 `json:"mean_s"`
	LowS  *float64 `json:"low_s"`
	HighS *float64 `json:"high_s"`
}

// Settle is the fall of pressure by cooling after a settled recharge.
type Settle struct {
	DropBar       float64 `json:"drop_bar"`
	TimeConstantS float64 `json:"time_constant_s"`
	DropLow       float64 `json:"drop_low_bar"`
	DropHigh      float64 `json:"drop_high_bar"`
	TimeLowS      float64 `json:"time_constant_low_s"`
	TimeHighS     float64 `json:"time_constant_high_s"`
}

// Estimate is a value with its 95 % interval.
type Estimate struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Drop is one actuation.
type Drop struct {
	AtS     float64 `json:"at_s"`
	DropBar float64 `json:"drop_bar"`
	cut     bool    // a recharge began at once: how far it would have fallen is not seen
}

// Causes are the chances of what is the matter; they sum to 1.
type Causes struct {
	Normal       float64 `json:"normal"`
	GasLoss      float64 `json:"gas_loss"`
	InternalLeak float64 `json:"internal_leak"`
	ExternalLeak float64 `json:"external_leak"`
	WeakPump     float64 `json:"weak_pump"`
	Air          float64 `json:"air"`
	Sensor       float64 `json:"sensor"`
}

// Screen is what was found wrong with the readings themselves.
type Screen struct {
	Readings   int     `json:"readings"`
	Dropouts   int     `json:"dropouts"`    // readings far below those either side
	Spikes     int     `json:"spikes"`      // readings far above them
	Jumps      int     `json:"jumps"`       // rises faster than the pump can make
	ZeroBar    float64 `json:"zero_bar"`    // reading while drained; 0 where it was not seen
	ZeroSeen   bool    `json:"zero_seen"`   // the log begins drained
	QuantumBar float64 `json:"quantum_bar"` // step of the readings; 0 where too fine to see
	NoiseBar   float64 `json:"noise_bar"`   // standard deviation of a reading, its step included
	Gaps       int     `json:"gaps"`        // stretches without readings
}

// Advice is what to read or give next, and the inputs that take it; none where
// it is a matter of the readings themselves.
type Advice struct {
	Text   string  `json:"text"`
	Inputs []Input `json:"inputs,omitempty"`
}

// Result is what a unit's readings say.
type Result struct {
	Cycles              []Cycle         `json:"cycles"`
	StaticIntervalsS    []float64       `json:"static_intervals_s"`
	Interval            Interval        `json:"interval"`
	CutInBar            *float64        `json:"cut_in_bar"`
	CutOutBar           *float64        `json:"cut_out_bar"`
	Settle              *Settle         `json:"settle"`
	LeakBarPerMin       *Estimate       `json:"leak_bar_per_min"` // at the middle of the band
	Actuations          []Drop          `json:"actuations"`
	DropPerActuationBar *float64        `json:"drop_per_actuation_bar"`
	PrechargeBar        *Estimate       `json:"precharge_bar"`     // gauge, at the temperature of the log
	PrechargeAt20CBar   *Estimate       `json:"precharge_20c_bar"` // gauge, at 20 degrees
	LeakConductance     *Estimate       `json:"leak_per_charge"`   // G/C0 in 1/(bar^2 s)
	PumpPerCharge       *Estimate       `json:"pump_per_charge"`   // Qp/C0 in 1/(bar s)
	LeakMlPerMin        *Estimate       `json:"leak_ml_per_min"`   // at the middle of the band; needs the unit's size
	PumpMlPerS          *Estimate       `json:"pump_ml_per_s"`     // at the middle of the band; needs the unit's size
	Duty                *float64        `json:"duty"`              // share of the time that the pump runs
	AirDelayS           *Estimate       `json:"air_delay_s"`       // from pump on to the gas's pressure at the cold fill
	Causes              Causes          `json:"causes"`
	Verdict             string          `json:"verdict"`
	Why                 string          `json:"why"`           // the reasons and, where it cannot tell, what would: in one line
	Reasons             []string        `json:"reasons"`       // of the verdict, the first a sentence by itself; none holds a "; "
	Next                []Advice        `json:"next_readings"` // what would tell more
	Signs               []string        `json:"signs"`         // every condition met
	Cautions            []string        `json:"cautions"`
	Screen              *Screen         `json:"screen"`
	Version             string          `json:"version"`
	Working             working.Working `json:"working"`

	fit   *relaxation // the settled holds together; nil: not fitted
	fitAt []int       // the recharge before each of them
}
