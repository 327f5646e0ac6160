package faultmodel

import (
	"fmt"
	"math"
	"strconv"

	"wreckwright/diagnose"
)

// Implication is what one figure of the model claims, in words that a person
// can agree or disagree with.
type Implication struct {
	Part    diagnose.Kind // a test or a repair
	ID      string        // of the test or repair
	Fault   string        // ID
	Outcome string        // of a test with outcomes
	Chance  float64       // of the outcome, or of the cure; 0.8 for a measured value
	Words   string        // "if it is gas loss, low comes 9 times in 10"
}

// Implied says what every likelihood and every cure of a case claims.
func Implied(c diagnose.Case) []Implication {
	return Model{
		Case: c, Faults: make([]FaultNote, len(c.Faults)), Tests: make([]TestNote, len(c.Tests)), Repairs: make([]RepairNote, len(c.Repairs)),
	}.Implied()
}

// Implied is [Implied] with the model's own names and units.
func (m Model) Implied() []Implication {
	var all []Implication
	for i := range m.Case.Tests {
		for f := range m.Case.Faults {
			all = append(all, m.impliedByTest(i, f)...)
		}
	}
	for i, r := range m.Case.Repairs {
		for f, chance := range r.Fixes {
			if chance == 0 {
				continue
			}
			all = append(all, Implication{
				Part: diagnose.KindRepair, ID: r.ID, Fault: m.Case.Faults[f].ID, Chance: chance,
				Words: fmt.Sprintf("if it is %s, %s cures it %s", m.FaultName(f), m.RepairName(i), Often(chance)),
			})
		}
	}
	return all
}

func (m Model) impliedByTest(i, f int) []Implication {
	t := m.Case.Tests[i]
	if t.Measured != nil {
		low, high := eightInTen(t.Measured[f])
		return []Implication{{
			Part: diagnose.KindTest, ID: t.ID, Fault: m.Case.Faults[f].ID, Chance: 0.8,
			Words: fmt.Sprintf("if it is %s, 8 readings in 10 lie between %s and %s%s, as many above %s as below",
				m.FaultName(f), round3(low), round3(high), unitOf(m.Tests[i].Unit), round3(t.Measured[f].Centre)),
		}}
	}
	var all []Implication
	for o, key := range t.Outcomes {
		chance := t.Chance[f][o]
		all = append(all, Implication{
			Part: diagnose.KindTest, ID: t.ID, Fault: m.Case.Faults[f].ID, Outcome: key, Chance: chance,
			Words: fmt.Sprintf("if it is %s, “%s” comes %s", m.FaultName(f), m.OutcomeName(i, o), Often(chance)),
		})
	}
	return all
}

func unitOf(unit string) string {
	if unit == "" {
		return ""
	}
	return " " + unit
}

// z90 is the point that a standard normal variable exceeds one time in ten.
const z90 = 1.2815515655446004

// eightInTen is the 10 % and the 90 % point of a reading.
func eightInTen(d diagnose.Reading) (low, high float64) {
	if d.Shape == diagnose.Normal {
		return d.Centre - z90*d.Spread, d.Centre + z90*d.Spread
	}
	factor := math.Pow(d.Spread, z90)
	return d.Centre / factor, d.Centre * factor
}

func round3(v float64) string {
	if math.Abs(v) >= 100 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}

// Often puts a chance into words: "9 times in 10", "never", "1 time in 300".
func Often(chance float64) string {
	switch {
	case chance <= 0:
		return "never"
	case chance >= 1:
		return "always"
	case chance < 0.01:
		return fmt.Sprintf("1 time in %.0f", 1/chance)
	case chance > 0.99:
		return fmt.Sprintf("all but 1 time in %.0f", 1/(1-chance))
	}
	for _, of := range []float64{2, 3, 4, 5, 10, 20, 100} {
		times := math.Round(chance * of)
		if near := math.Abs(chance - times/of); near < 1e-9 || (of == 3 && near < 0.004) {
			return timesIn(times, of, "")
		}
	}
	return timesIn(math.Round(chance*100), 100, "about ")
}

func timesIn(times, of float64, about string) string {
	if times == 1 {
		return fmt.Sprintf("%s1 time in %.0f", about, of)
	}
	return fmt.Sprintf("%s%.0f times in %.0f", about, times, of)
}
