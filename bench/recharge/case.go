package recharge

import (
	"fmt"
	"math"
	"slices"
)

// Kind is what a mark beside a log says.
type Kind int

// The marks.
const (
	PumpOn Kind = iota
	PumpOff
	Actuation
)

// Mark is something that happened, as the person or the logger noted it.
type Mark struct {
	AtS  float64
	Kind Kind
}

// PumpRun is one run of the pump.
type PumpRun struct{ OnS, OffS float64 }

// Log is a pressure log. TimeS rises; gaps and uneven steps are allowed.
type Log struct {
	TimeS       []float64
	PressureBar []float64 // gauge
	Line        []int32   // where each row stands in its file; nil where it has none
}

// Case is what is known about a unit. A pointer that is nil is not known.
type Case struct {
	Log             *Log      // nil: pump times only
	Marks           []Mark    // with neither log nor runs their starts and stops are the pump times
	Runs            []PumpRun // in order; sharper than what the log shows
	AmbientC        *float64
	GasVolumeL      *float64 // nominal volume of the shell
	PrechargeBar    *float64 // nominal, gauge at 20 degrees
	PumpLMin        *float64 // nominal flow at working pressure
	ReservoirDropMl *float64 // how far the level fell over the log
	ColdFill        bool     // of pump times: the first run was the fill from empty; a log shows that itself
	TimedToS        float64  // standard uncertainty of one time in Runs and Marks, [ThumbS] say; 0: as fine as they are written
}

// Standard uncertainties of the moment at which a pump started or stopped, by
// how it was noted. A reaction to a sound takes 0.15 to 0.3 s and scatters by a
// third of that, but a stop is a sound that ends, which is told later and less
// surely; the ear of the instrument has windows of about a tenth of a second.
//
// ref: DESIGN_RECHARGE
const (
	ThumbS = 0.3
	EarS   = 0.15
)

// Input names what a person can give beside the readings: the command has a flag
// for it, a page a field.
type Input string

// The inputs.
const (
	InputAmbientC        Input = "ambient_c"
	InputGasVolumeL      Input = "gas_volume_l"
	InputPrechargeBar    Input = "precharge_bar"
	InputPumpLMin        Input = "pump_l_min"
	InputReservoirDropMl Input = "reservoir_drop_ml"
	InputRuns            Input = "runs"
)

// InputError is a case that no unit can make.
type InputError struct {
	Line     int    // in the log's file; 0 where the case as a whole is meant
	What     string // "pressure", "the temperature"
	Input    Input  // which input is wrong; empty: the readings are
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	where := e.What
	if e.Line > 0 {
		where = fmt.Sprintf("line %d: %s", e.Line, where)
	}
	return fmt.Sprintf("%s: %s; expected %s", where, e.Problem, e.Expected)
}

// Limits of what is computed with.
const (
	minRows     = 20
	vacuumBar   = -AtmosphereBar - 0.5 // below it no gauge reading can lie, an offset of half a bar allowed
	highestBar  = 1000.0
	maxRunCount = 100_000
)

func (c Case) validate() error {
	for _, v := range []struct {
		what      string
		input     Input
		value     *float64
		low, high float64
	}{
		{"the temperature", InputAmbientC, c.AmbientC, -40, 80},
		{"the gas volume", InputGasVolumeL, c.GasVolumeL, 0.01, 100},
		{"the pre-charge", InputPrechargeBar, c.PrechargeBar, 0.5, 400},
		{"the pump's flow", InputPumpLMin, c.PumpLMin, 0.01, 200},
		{"the fall of the reservoir's level", InputReservoirDropMl, c.ReservoirDropMl, -10000, 10000},
	} {
		if v.value != nil && !(*v.value >= v.low && *v.value <= v.high) {
			return &InputError{What: v.what, Input: v.input, Problem: fmt.Sprintf("%g is not possible", *v.value), Expected: fmt.Sprintf("%g to %g", v.low, v.high)}
		}
	}
	if !(c.TimedToS >= 0 && c.TimedToS <= 60) {
		return &InputError{What: "pump times", Problem: fmt.Sprintf("an uncertainty of %g s is not possible", c.TimedToS), Expected: "0 to 60"}
	}
	if c.Log == nil && len(c.Runs) == 0 && len(timedMarks(c.Marks)) == 0 {
		return &InputError{What: "case", Problem: "neither a pressure log nor pump times", Expected: "one of them"}
	}
	if len(c.Runs) > maxRunCount {
		return &InputError{What: "pump times", Problem: fmt.Sprintf("%d runs", len(c.Runs)), Expected: fmt.Sprintf("at most %d", maxRunCount)}
	}
	for i, r := range c.Runs {
		if !(r.OffS > r.OnS) || math.IsInf(r.OnS, 0) || math.IsInf(r.OffS, 0) || i > 0 && r.OnS < c.Runs[i-1].OffS {
			return &InputError{What: fmt.Sprintf("pump run %d", i+1), Problem: fmt.Sprintf("%g to %g", r.OnS, r.OffS), Expected: "runs that end after they start, in order, apart"}
		}
	}
	for i, m := range c.Marks {
		if math.IsNaN(m.AtS) || math.IsInf(m.AtS, 0) {
			return &InputError{What: fmt.Sprintf("mark %d", i+1), Problem: fmt.Sprintf("at %g s", m.AtS), Expected: "a time"}
		}
	}
	if c.Log == nil {
		return nil
	}
	return c.Log.validate()
}

func (l *Log) validate() error {
	if len(l.TimeS) != len(l.PressureBar) || l.Line != nil && len(l.Line) != len(l.TimeS) {
		return &InputError{What: "log", Problem: "times and pressures differ in number", Expected: "one pressure for each time"}
	}
	if len(l.TimeS) < minRows {
		return &InputError{What: "log", Problem: fmt.Sprintf("%d %s", len(l.TimeS), plural(len(l.TimeS), "reading")), Expected: fmt.Sprintf("at least %d", minRows)}
	}
	lowest, highest := 0, 0
	for i, p := range l.PressureBar {
		if i > 0 && !(l.TimeS[i] >= l.TimeS[i-1]) {
			return &InputError{Line: l.line(i), What: "time", Problem: "the clock runs backwards", Expected: "times that never fall"}
		}
		if !(p <= highestBar) || math.IsInf(l.TimeS[i], 0) || math.IsInf(p, 0) {
			return &InputError{Line: l.line(i), What: "pressure", Problem: fmt.Sprintf("%g bar is no pressure of such a unit", p), Expected: fmt.Sprintf("up to %g bar; another unit?", highestBar)}
		}
		if p < l.PressureBar[lowest] {
			lowest = i
		}
		if p > l.PressureBar[highest] {
			highest = i
		}
	}
	if l.PressureBar[highest] == l.PressureBar[lowest] {
		return &InputError{What: "pressure", Problem: fmt.Sprintf("every reading is %g bar", l.PressureBar[0]), Expected: "a pressure that changes; is this the right column, is the sensor connected?"}
	}
	if p := l.PressureBar[lowest]; p < vacuumBar && !l.startsAt(p) {
		first := slices.IndexFunc(l.PressureBar, func(v float64) bool { return v < vacuumBar })
		p = l.PressureBar[first]
		return &InputError{Line: l.line(first), What: "pressure", Problem: fmt.Sprintf("%.4g bar is below a vacuum", p), Expected: fmt.Sprintf("gauge pressures above %.4g bar; the sensor's zero, its wiring or the unit are wrong", vacuumBar)}
	}
	return nil
}

// startsAt reports a log that begins, drained, at its lowest reading: a sensor
// with a shifted zero, which is a finding and no mistake of the file.
func (l *Log) startsAt(lowest float64) bool {
	n := min(10, len(l.PressureBar))
	sum := 0.0
	for _, p := range l.PressureBar[:n] {
		sum += p
	}
	return math.Abs(sum/float64(n)-lowest) < 2
}

func (l *Log) line(i int) int {
	if l.Line == nil {
		return 0
	}
	return int(l.Line[i])
}
