package workshop

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/bench/joint"
	"wreckwright/knowledge"
	"wreckwright/outside"
)

// strengthIn is the strength of a bolt by the book's tables.
func strengthIn(t *testing.T, designation string) (joint.Thread, joint.Strength) {
	t.Helper()
	tables := JointTables()
	thread, err := joint.ParseThread(designation, tables)
	if err != nil {
		t.Fatal(err)
	}
	s, err := tables.StrengthOf(thread)
	if err != nil {
		t.Fatal(err)
	}
	return thread, s
}

// TestProofLoads holds the tables' classes to published proof loads, newtons.
func TestProofLoads(t *testing.T) {
	classes := [3]string{"8.8", "10.9", "12.9"}
	var cases []outside.Case
	for _, r := range []struct {
		thread string
		loads  [3]float64
	}{
		{"M6", [3]float64{11600, 16700, 19500}},
		{"M8", [3]float64{21200, 30400, 35500}},
		{"M10", [3]float64{33700, 48100, 56300}},
		{"M12", [3]float64{48900, 70000, 81800}},
		{"M14", [3]float64{66700, 95500, 112000}},
		{"M16", [3]float64{91000, 130000, 152000}},
	} {
		for i, class := range classes {
			thread, s := strengthIn(t, r.thread+"-"+class)
			cases = append(
				cases,
				outside.Case{Source: "ISO_898_1", Where: "table of proof loads, coarse", What: r.thread + " " + class + " of the printed area, N", Got: thread.TableAreaMm2() * s.ProofMPa, Want: r.loads[i], Tolerance: 0.0055 * r.loads[i], Why: "printed to 3 figures; M6 8.8 is rounded down by 0.5 %"},
				outside.Case{Source: "ISO_898_1", Where: "table of proof loads, coarse", What: r.thread + " " + class + " of the exact area, N", Got: 1000 * s.ProofKN, Want: r.loads[i], Tolerance: 0.0065 * r.loads[i], Why: "printed to 3 figures of a rounded area"},
			)
		}
	}
	for _, r := range []struct {
		thread string
		loads  [3]float64
	}{
		{"M8x1", [3]float64{22700, 32500, 38000}},
		{"M10x1.25", [3]float64{35500, 50800, 59400}},
		{"M12x1.5", [3]float64{51100, 73100, 85500}},
		{"M12x1.25", [3]float64{53400, 76400, 89300}},
		{"M14x1.5", [3]float64{72500, 104000, 121000}},
		{"M16x1.5", [3]float64{96900, 139000, 162000}},
		{"M20x1.5", [3]float64{163000, 226000, 264000}},
		{"M22x1.5", [3]float64{200000, 276000, 323000}},
		{"M24x2", [3]float64{230000, 319000, 372000}},
		{"M24x1.5", [3]float64{241000, 333000, 389000}},
		{"M27x1.5", [3]float64{308000, 427000, 499000}},
	} {
		for i, class := range classes {
			thread, s := strengthIn(t, r.thread+"-"+class)
			cases = append(cases, outside.Case{Source: "ISO_898_1", Where: "table of proof loads, fine (from memory)", What: r.thread + " " + class + ", N", Got: thread.TableAreaMm2() * s.ProofMPa, Want: r.loads[i], Tolerance: 0.005 * r.loads[i], Why: "3 figures"})
		}
	}
	outside.Check(t, cases)
}

// TestStrengthRows holds each class to the row of its table, MPa or ksi.
func TestStrengthRows(t *testing.T) {
	var cases []outside.Case
	for _, r := range []struct {
		bolt                  string
		tensile, yield, proof float64
	}{
		{"M10-4.6", 400, 240, 225},
		{"M10-4.8", 420, 340, 310},
		{"M10-5.6", 500, 300, 280},
		{"M10-5.8", 520, 420, 380},
		{"M10-6.8", 600, 480, 440},
		{"M16-8.8", 800, 640, 580},
		{"M18-8.8", 830, 660, 600},
		{"M16-9.8", 900, 720, 650},
		{"M24-10.9", 1040, 940, 830},
		{"M24-12.9", 1220, 1100, 970},
	} {
		_, s := strengthIn(t, r.bolt)
		cases = append(
			cases,
			outside.Case{Source: "ISO_898_1", Where: "table 3", What: r.bolt + " tensile, MPa", Got: s.TensileMPa, Want: r.tensile, Tolerance: 0, Why: "exact"},
			outside.Case{Source: "ISO_898_1", Where: "table 3", What: r.bolt + " yield, MPa", Got: s.YieldMPa, Want: r.yield, Tolerance: 0, Why: "exact"},
			outside.Case{Source: "ISO_898_1", Where: "table 3", What: r.bolt + " proof, MPa", Got: s.ProofMPa, Want: r.proof, Tolerance: 0, Why: "exact"},
		)
	}
	for _, r := range []struct {
		bolt                  string
		tensile, yield, proof float64
	}{
		{"1/2-13 grade 1", 60, 36, 33},
		{"1/2-13 grade 2", 74, 57, 55},
		{"7/8-9 grade 2", 60, 36, 33},
		{"1/2-13 grade 5", 120, 92, 85},
		{"1 1/4-7 grade 5", 105, 81, 74},
		{"1/2-13 grade 7", 133, 115, 105},
		{"1/2-13 grade 8", 150, 130, 120},
	} {
		_, s := strengthIn(t, r.bolt)
		ksi := func(mpa float64) float64 { return mpa / joint.MPaPerKsi }
		cases = append(
			cases,
			outside.Case{Source: "SAE_J429", Where: "table 1", What: r.bolt + " tensile, ksi", Got: ksi(s.TensileMPa), Want: r.tensile, Tolerance: 1e-9, Why: "exact"},
			outside.Case{Source: "SAE_J429", Where: "table 1", What: r.bolt + " yield, ksi", Got: ksi(s.YieldMPa), Want: r.yield, Tolerance: 1e-9, Why: "exact"},
			outside.Case{Source: "SAE_J429", Where: "table 1", What: r.bolt + " proof, ksi", Got: ksi(s.ProofMPa), Want: r.proof, Tolerance: 1e-9, Why: "exact"},
		)
	}
	for bolt, clamp := range map[string]float64{"1/2-13 grade 5": 9046, "3/8-16 grade 8": 6974} {
		_, s := strengthIn(t, bolt)
		cases = append(cases, outside.Case{Source: "SAE_J429", Where: "torque table at 75 % of proof", What: bolt + ", clamp force, lbf", Got: 0.75 * s.ProofKN * 1000 / joint.LbfN, Want: clamp, Tolerance: 0.003 * clamp, Why: "the table's area has 3 or 4 figures"})
	}
	outside.Check(t, cases)
}

// TestExaminedTorques holds whole examinations to published torques and
// preloads: tables, heads and formulas together.
func TestExaminedTorques(t *testing.T) {
	examine := func(c joint.Case) joint.Result {
		t.Helper()
		r, err := joint.Examine(c, JointTables())
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	var cases []outside.Case
	for _, r := range []struct {
		bolt          string
		mu            float64
		force, torque float64
	}{
		{"M8x1-8.8", 0.10, 20.7, 22.8},
		{"M8x1-12.9", 0.14, 33.9, 50.1},
		{"M12x1.25-8.8", 0.12, 48.0, 90},
		{"M12x1.25-10.9", 0.14, 68.7, 149},
		{"M14x1.5-10.9", 0.10, 97.5, 182},
		{"M14x1.5-8.8", 0.14, 63.2, 159},
		{"M16x1.5-12.9", 0.12, 150.6, 374},
		{"M16x1.5-8.8", 0.10, 89.6, 189},
		{"M12-8.8", 0.14, 41.9, 93},
	} {
		got := examine(joint.Case{Thread: r.bolt, TorqueNm: &r.torque, Friction: &r.mu})
		cases = append(
			cases,
			outside.Case{Source: "VDI_2230", Where: "table of 90 % of yield, preload", What: fmt.Sprintf("%s at %g, kN of the printed torque", r.bolt, r.mu), Got: got.Preload.Value, Want: r.force, Tolerance: 0.013 * r.force, Why: "torques of 2 or 3 figures"},
			outside.Case{Source: "VDI_2230", Where: "table of 90 % of yield, preload", What: fmt.Sprintf("%s at %g, use of yield", r.bolt, r.mu), Got: got.Utilisation.Value, Want: 0.9, Tolerance: 0.012, Why: "torques of 2 or 3 figures"},
		)
	}
	for _, n := range knowledge.NutFactors() {
		bolt := examine(joint.Case{Thread: "1/2-13 grade 5", Finish: n.Key})
		cases = append(cases, outside.Case{Source: "SHIGLEY", Where: "eq. 8-27", What: n.Name + ": torque over diameter and preload", Got: bolt.Torque.Value / (bolt.DiameterMm * bolt.Preload.Value), Want: n.Factor, Tolerance: 1e-12, Why: "the formula itself"})
	}
	outside.Check(t, cases)
}

// TestPrintedTables holds the tables of nut factors, lock nuts and wrenches to
// what is printed.
func TestPrintedTables(t *testing.T) {
	var cases []outside.Case
	factors := map[string]float64{}
	for _, n := range knowledge.NutFactors() {
		factors[n.Key] = n.Factor
	}
	for key, want := range map[string]float64{"black": 0.30, "zinc": 0.20, "lubricated": 0.18, "cadmium": 0.16, "anti-seize": 0.12, "low-friction-nut": 0.09, "not-stated": 0.20} {
		cases = append(cases, outside.Case{Source: "SHIGLEY", Where: "table 8-15", What: "K, " + key, Got: factors[key], Want: want, Tolerance: 0, Why: "exact"})
	}
	for key, want := range map[string]float64{"bare-dry": 0.20, "cadmium-dry": 0.20, "zinc-dry": 0.295} {
		cases = append(cases, outside.Case{Source: "BICKFORD", Where: "chapter 2 table 1", What: "K, " + key, Got: factors[key], Want: want, Tolerance: 0, Why: "exact"})
	}
	rows := map[string][3]float64{
		"M6": {3, 0.45, 0.30}, "M8": {6, 0.85, 0.60}, "M12": {15.5, 2.3, 1.6}, "M16": {32, 4.5, 3}, "M20": {54, 7.5, 5.3}, "M22": {68, 9.5, 6.5}, "M24": {80, 11.5, 8},
	}
	for _, p := range knowledge.PrevailingTorques() {
		want, ok := rows[p.Thread]
		if !ok {
			continue
		}
		for i, got := range []float64{p.FirstOn, p.FirstOff, p.FifthOff} {
			cases = append(cases, outside.Case{Source: "ISO_2320", Where: "table class 04", What: fmt.Sprintf("%s column %d, N·m", p.Thread, i+1), Got: got, Want: want[i], Tolerance: 0, Why: "exact"})
		}
	}
	for _, w := range knowledge.WrenchClasses() {
		if w.Key == "setting" || w.Key == "setting-small" {
			largest := 100.0
			if w.UpTo > 0 {
				largest = w.UpTo
			}
			cases = append(cases, outside.Case{Source: "ISO_6789", Where: "type II class A", What: w.Name + ", %", Got: 100 * joint.WrenchLimit(largest), Want: w.Percent, Tolerance: 1e-12, Why: "exact"})
		}
	}
	outside.Check(t, cases)
}

// TestEverySizeIsReckoned: every thread with every class that is made for it
// gives a sound result.
func TestEverySizeIsReckoned(t *testing.T) {
	tables := JointTables()
	n := 0
	for _, size := range tables.Threads {
		for _, pitch := range size.Pitches {
			for _, class := range tables.Classes {
				if class.System != size.System || size.DiameterMm <= class.OverMm || size.DiameterMm > class.UpToMm {
					continue
				}
				text := fmt.Sprintf("%sx%g-%s", size.Name, pitch.Mm, class.Name)
				if size.System == joint.Unified {
					text = fmt.Sprintf("%s-%g %s %s", size.Name, pitch.PerInch, pitch.Series, class.Name)
				}
				r, err := joint.Examine(joint.Case{Thread: text}, tables)
				if err != nil {
					t.Errorf("%s: %v", text, err)
					continue
				}
				if r.Verdict == joint.Fail || math.IsNaN(r.Torque.Value) || r.Torque.Value <= 0 {
					t.Errorf("%s at the usual share of its proof force: %s, %s, %g N·m", text, r.Verdict, r.Why, r.Torque.Value)
				}
				n++
			}
		}
	}
	if n < 500 {
		t.Errorf("only %d bolts reckoned", n)
	}
}
