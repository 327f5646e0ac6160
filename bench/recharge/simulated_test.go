package recharge

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// The logs in testdata are simulated, of invented units; what was put into them
// stands here. They test that what is read is what was put in, not that real
// units are so.
var simulated = []struct {
	file                    string
	interval, p0, leak, tau float64 // s start to start, bar gauge, g in 1e-7/(bar^2 s), s
	pump                    float64 // Qp/C0 at 45 bar in 1e-4/(bar s)
	levelMl                 float64
	drop                    float64 // bar by cooling alone
	cause                   func(Causes) float64
}{
	{"dev02_gas_loss_half", 186.21, 12.5, 4.53259, 9, 23.773, -5, 2.814, func(c Causes) float64 { return c.GasLoss }},
	{"dev03_gas_loss_severe", 69.96, 4.0, 12.21762, 6, 64.080, 2, 2.815, func(c Causes) float64 { return c.GasLoss }},
	{"dev04_valve_leak", 75.27, 26, 11.5684, 9, 11.892, -2, 2.492, func(c Causes) float64 { return c.InternalLeak }},
	{"dev05_external_leak", 153.48, 26, 5.5991, 9, 11.892, 165, 2.62, func(c Causes) float64 { return c.ExternalLeak }},
}

// readColumns reads a file of numbers beneath a header.
func readColumns(t testing.TB, name string) [][]float64 {
	t.Helper()
	file, err := os.Open("testdata/" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns := make([][]float64, len(rows[0]))
	for _, row := range rows[1:] {
		for i, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			columns[i] = append(columns[i], v)
		}
	}
	return columns
}

func simulatedCase(t testing.TB, name string, withRuns bool) Case {
	t.Helper()
	log := readColumns(t, name)
	c := Case{Log: &Log{TimeS: log[0], PressureBar: log[1]}}
	if withRuns {
		times := readColumns(t, name+"_pump")
		for i := range times[0] {
			c.Runs = append(c.Runs, PumpRun{times[0][i], times[1][i]})
		}
	}
	return c
}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if math.Abs(got-want) > share*math.Abs(want) {
		t.Errorf("%s: %.5g, put in %.5g (allowed %.0f %%)", what, got, want, 100*share)
	}
}

func TestSimulatedLogs(t *testing.T) {
	for _, s := range simulated {
		t.Run(s.file, func(t *testing.T) {
			c := simulatedCase(t, s.file, true)
			c.ReservoirDropMl = &s.levelMl
			r, err := Examine(t.Context(), c)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "interval", *r.Interval.MeanS, s.interval, 0.02)
			near(t, "leak", r.LeakConductance.Value*1e7, s.leak, 0.06)
			near(t, "time constant", r.Settle.TimeConstantS, s.tau, 0.25)
			near(t, "fall by cooling", r.Settle.DropBar, s.drop, 0.1)
			near(t, "pump", r.PumpPerCharge.Value*1e4, s.pump, 0.10)
			near(t, "cut-in", *r.CutInBar, 40, 0.01)
			near(t, "cut-out", *r.CutOutBar, 50, 0.02)
			if math.Abs(r.PrechargeBar.Value-s.p0) > 1.5 {
				t.Errorf("pre-charge %.2f bar, put in %.2f", r.PrechargeBar.Value, s.p0)
			}
			if p := s.cause(r.Causes); p < 0.9 || r.Verdict != Fail {
				t.Errorf("chance of what was put in %.2f, verdict %s: %s", p, r.Verdict, r.Why)
			}
		})
	}
}

// TestPumpTimesAlone: without pressures gas loss and leaks are still told apart,
// inner and outer leaks are not.
func TestPumpTimesAlone(t *testing.T) {
	for _, s := range simulated {
		c := simulatedCase(t, s.file, true)
		c.Log = nil
		r, err := Examine(t.Context(), c)
		if err != nil {
			t.Fatal(err)
		}
		near(t, s.file+": interval", *r.Interval.MeanS, s.interval, 0.02)
		leaks := r.Causes.InternalLeak + r.Causes.ExternalLeak
		switch gas := s.p0 < 20; {
		case gas && r.Causes.GasLoss < 0.9, !gas && leaks < 0.5:
			t.Errorf("%s: %+v", s.file, r.Causes)
		case !gas && math.Max(r.Causes.InternalLeak, r.Causes.ExternalLeak) > 0.8*leaks:
			t.Errorf("%s: inner and outer leak told apart without a level: %+v", s.file, r.Causes)
		}
	}
}
