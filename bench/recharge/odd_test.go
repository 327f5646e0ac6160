package recharge_test

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/bench/recharge"
)

// A log of a few milliseconds is averaged to one reading: it says nothing, and
// says so.
func TestLogOfMilliseconds(t *testing.T) {
	log := &recharge.Log{}
	for i := range 20 {
		log.TimeS, log.PressureBar = append(log.TimeS, float64(i)*0.001), append(log.PressureBar, float64(40+i%3))
	}
	r, err := recharge.Examine(context.Background(), recharge.Case{Log: log})
	if err != nil || r.Verdict != recharge.CannotTell {
		t.Errorf("%q, %v", r.Verdict, err)
	}
}

// TestOddReadings asks of any readings whatever that they give an answer or a
// mistake of the input, with chances that sum to 1 and no figure that is no number.
func TestOddReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 4+3*20, 4+3*200).Draw(t, "readings")
		if rapid.Bool().Draw(t, "falls and rises") {
			period := rapid.IntRange(2, 40).Draw(t, "period")
			for i := 4; i+2 < len(data); i += 3 {
				data[i], data[i+2] = 1+data[i]%3, byte(50-i/3%period)+data[i+2]%2
			}
		}
		r, err := recharge.Examine(context.Background(), caseOf(data))
		var wrong *recharge.InputError
		if err != nil {
			if !errors.As(err, &wrong) {
				t.Fatal(err)
			}
			return
		}
		answers(t, r)
	})
}

// answers holds a result against what must be so of any.
func answers(t *rapid.T, r recharge.Result) {
	p := r.Causes
	if sum := p.Normal + p.GasLoss + p.InternalLeak + p.ExternalLeak + p.WeakPump + p.Air + p.Sensor; !(math.Abs(sum-1) < 1e-9) {
		t.Errorf("chances sum to %g", sum)
	}
	if r.Verdict == "" || len(r.Reasons) == 0 {
		t.Errorf("verdict %q, reasons %q", r.Verdict, r.Reasons)
	}
	if r.Verdict != recharge.CannotTell && r.Interval.N < 3 && r.Causes.Sensor < 0.75 {
		t.Errorf("%s of %d intervals", r.Verdict, r.Interval.N)
	}
	for _, e := range []*recharge.Estimate{r.LeakBarPerMin, r.PrechargeBar, r.PrechargeAt20CBar, r.PumpPerCharge, r.AirDelayS, r.LeakMlPerMin, r.PumpMlPerS} {
		if e != nil && !(e.Low <= e.Value && e.Value <= e.High) {
			t.Errorf("%+v", *e)
		}
	}
	for _, h := range r.FittedHolds() {
		for _, q := range h.Whole {
			if math.IsNaN(q.Bar) {
				t.Errorf("curve %+v", q)
			}
		}
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
}

// caseOf makes readings of bytes: a head of four - what is given, the scale of the
// pressures, that of the times, the nominal figures - then three for each reading.
func caseOf(data []byte) recharge.Case {
	var c recharge.Case
	if len(data) < 4 {
		return c
	}
	head, rows := data[:4], data[4:]
	stride := math.Pow(10, float64(head[2]%8)-4)
	figure := func(bit byte, v float64) *float64 {
		if head[3]&bit == 0 {
			return nil
		}
		return &v
	}
	c.GasVolumeL, c.PumpLMin, c.PrechargeBar = figure(1, 0.4), figure(2, 0.8), figure(4, 26)
	c.ReservoirDropMl, c.ColdFill = figure(8, 50), head[3]&16 != 0
	log := &recharge.Log{}
	at := 0.0
	for ; len(rows) >= 3; rows = rows[3:] {
		at += float64(rows[0]) * stride
		bar := float64(int16(binary.LittleEndian.Uint16(rows[1:]))) / 256 * float64(head[1]) / 100
		switch kind := recharge.Kind(rows[1] % 3); {
		case head[0]%3 == 0:
			log.TimeS, log.PressureBar = append(log.TimeS, at), append(log.PressureBar, bar)
		case head[0]%3 == 1 && rows[2]%4 != 0:
			log.TimeS, log.PressureBar = append(log.TimeS, at), append(log.PressureBar, math.Abs(bar))
		default:
			c.Marks = append(c.Marks, recharge.Mark{AtS: at, Kind: kind})
		}
	}
	if len(log.TimeS) > 0 {
		c.Log = log
	}
	return c
}
