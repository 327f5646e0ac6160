package knowledge

import (
	"fmt"
	"math/big"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/rebuild"
)

// TestFaultModelsAreWhole: a list of faults that is complete, as many tests as
// help, each with a way to do it, and repairs that together cure every fault.
func TestFaultModelsAreWhole(t *testing.T) {
	all := parsedFaults(t)
	if len(all) < 14 {
		t.Errorf("%d fault models", len(all))
	}
	for key, m := range all {
		c := m.Case
		if n := len(c.Faults); n < 5 || n > 10 || c.Faults[n-1].ID != "other" {
			t.Errorf("%s: %d faults, the last is %s", key, n, c.Faults[n-1].ID)
		}
		if n := len(c.Tests); n < 5 || n > 10 {
			t.Errorf("%s: %d tests", key, n)
		}
		if c.ReplaceAll == nil || m.WholeName == "" || m.Asks == "" || c.Currency != "EUR" || c.HourValue <= 0 {
			t.Errorf("%s: the whole unit, what to notice or the money is missing", key)
		}
		ids := map[string]bool{}
		for i, test := range c.Tests {
			n := m.Tests[i]
			if ids[test.ID] = true; len(n.How) < 60 || len(n.Tools) == 0 || test.Minutes <= 0 {
				t.Errorf("%s: %s: without a way to do it, tools or minutes", key, test.ID)
			}
			if (test.Measured != nil) != (n.Unit != "") || test.Measured == nil && (len(n.OutcomeNames) != len(test.Outcomes) || slices.Contains(n.OutcomeNames, "")) {
				t.Errorf("%s: %s: a unit or the names of outcomes are missing", key, test.ID)
			}
		}
		for i, r := range c.Repairs {
			n := m.Repairs[i]
			if n.How == "" || n.Kind == "" || r.Minutes <= 0 {
				t.Errorf("%s: %s: without a way to do it, kind or minutes", key, r.ID)
			}
			if ids[r.ID] {
				t.Errorf("%s: %s is a test and a repair", key, r.ID)
			}
		}
		checkCures(t, key, c)
	}
}

// checkCures: each fault has a repair that cures it more often than not, and no
// repair is worse in every way than another.
func checkCures(t *testing.T, key string, c diagnose.Case) {
	t.Helper()
	for f, fault := range c.Faults {
		if best := surest(c, f); best.Fixes[f] < 0.5 {
			t.Errorf("%s: %s: the surest repair, %s, cures it with %g only", key, fault.ID, best.ID, best.Fixes[f])
		}
	}
	for _, r := range c.Repairs {
		if slices.Max(r.Fixes) <= 0 {
			t.Errorf("%s: %s cures nothing", key, r.ID)
		}
		for _, better := range c.Repairs {
			if better.ID != r.ID && dominates(c, better, r) {
				t.Errorf("%s: %s is never better than %s", key, r.ID, better.ID)
			}
		}
	}
}

// dominates reports whether a costs no more than b, in money and in all, and
// cures each fault at least as often.
func dominates(c diagnose.Case, a, b diagnose.Repair) bool {
	if a.Cost > b.Cost || inMoney(c, a.Cost, a.Minutes) > inMoney(c, b.Cost, b.Minutes) {
		return false
	}
	for f := range c.Faults {
		if a.Fixes[f] < b.Fixes[f] {
			return false
		}
	}
	return true
}

// TestChancesAreChances: every row of outcomes sums to 1 as it is written, the
// priors too, and nothing is called certain or impossible.
func TestChancesAreChances(t *testing.T) {
	for key, m := range parsedFaults(t) {
		var priors []float64
		for _, f := range m.Case.Faults {
			priors = append(priors, f.Prior)
		}
		checkRow(t, key+": priors", priors)
		for _, test := range m.Case.Tests {
			for f, row := range test.Chance {
				checkRow(t, fmt.Sprintf("%s: %s under %s", key, test.ID, m.Case.Faults[f].ID), row)
			}
			if test.Healthy != nil {
				checkRow(t, fmt.Sprintf("%s: %s with no fault", key, test.ID), test.Healthy)
			}
			for f, r := range test.Measured {
				if r.Shape != test.Measured[0].Shape {
					t.Errorf("%s: %s under %s: another shape than the first", key, test.ID, m.Case.Faults[f].ID)
				}
			}
		}
		for _, r := range m.Case.Repairs {
			for f, chance := range r.Fixes {
				if chance > 0.98 {
					t.Errorf("%s: %s is too sure of %s", key, r.ID, m.Case.Faults[f].ID)
				}
			}
		}
	}
}

func checkRow(t *testing.T, name string, row []float64) {
	t.Helper()
	sum := new(big.Rat)
	for _, p := range row {
		exact, ok := new(big.Rat).SetString(strconv.FormatFloat(p, 'f', -1, 64))
		if !ok || p < 0.01 || p > 0.99 {
			t.Errorf("%s: a chance of %g", name, p)
			return
		}
		sum.Add(sum, exact)
	}
	if sum.Cmp(big.NewRat(1, 1)) != 0 {
		t.Errorf("%s: sums to %s", name, sum.FloatString(6))
	}
}

// TestFaultModelsNameWhatIsKnown: hazards, sources and the instruments' figures.
func TestFaultModelsNameWhatIsKnown(t *testing.T) {
	figures, err := os.ReadFile("../workshop/recharge_figures.go")
	if err != nil {
		t.Fatal(err)
	}
	answered := 0
	for key, m := range parsedFaults(t) {
		for _, h := range m.Hazards() {
			if _, ok := CautionFor(h.Key); !ok {
				t.Errorf("%s: %s: no caution for %q", key, h.Where, h.Key)
			}
		}
		for _, basis := range bases(m) {
			source, _, _ := strings.Cut(basis, " ")
			if _, ok := SourceFor(source); !ok && basis != "" && basis != faultmodel.OwnEstimate && basis != faultmodel.CommonPractice {
				t.Errorf("%s: basis %q: no such source", key, basis)
			}
		}
		if m.Basis == "" || len(m.Cautions) == 0 {
			t.Errorf("%s: no basis or no caution for the whole", key)
		}
		for _, n := range m.Tests {
			if n.Instrument == "" {
				continue
			}
			told := n.Instrument == string(rebuild.InstrumentRecharge) && strings.Contains(string(figures), strconv.Quote(n.Figure))
			if answered++; !told && !(n.Instrument == string(rebuild.InstrumentCheck) && isMeasured(n)) {
				t.Errorf("%s: the instrument %s has no figure %q", key, n.Instrument, n.Figure)
			}
		}
	}
	if answered < 3 {
		t.Errorf("%d tests are answered by an instrument", answered)
	}
}

// isMeasured reports a test whose figure is that of a quantity, in its unit; of a
// spread also the largest of its places.
func isMeasured(n faultmodel.TestNote) bool {
	name, largest := strings.CutSuffix(n.Figure, ": largest")
	for _, c := range Checks() {
		if c.Name == name && c.Unit == n.Unit && (!largest || c.Form == "spread") {
			return true
		}
	}
	return false
}

func bases(m faultmodel.Model) []string {
	list := []string{m.Basis}
	for _, n := range m.Faults {
		list = append(list, n.Basis)
	}
	for _, n := range m.Tests {
		list = append(list, n.Basis)
	}
	for _, n := range m.Repairs {
		list = append(list, n.Basis)
	}
	return list
}

// TestFaultsAreShared: a cause that stands behind several symptoms has one key,
// once in each model.
func TestFaultsAreShared(t *testing.T) {
	models := map[string][]string{}
	for key, m := range parsedFaults(t) {
		for i, n := range m.Faults {
			if id := m.Case.Faults[i].ID; (n.Shared == "") != (id == "other") {
				t.Errorf("%s: %s: shared %q", key, id, n.Shared)
			}
			if n.Shared != "" && slices.Contains(models[n.Shared], key) {
				t.Errorf("%s: %s stands there twice", key, n.Shared)
			}
			models[n.Shared] = append(models[n.Shared], key)
		}
	}
	for _, shared := range strings.Fields("battery wheel_bearing tyre tyre_pair suspension_arm head_gasket coolant_cap compression engine_mount earth_strap immobiliser") {
		if len(models[shared]) < 2 {
			t.Errorf("%s stands in %v only", shared, models[shared])
		}
	}
}

// TestRestraintsAreLeftAlone: the model for the restraint system names no work
// of one's own.
func TestRestraintsAreLeftAlone(t *testing.T) {
	m := parsedFaults(t)["restraint-lamp"]
	if m.Stop != "restraints" {
		t.Errorf("stop is %q", m.Stop)
	}
	for _, r := range m.Case.Repairs {
		if !strings.Contains(r.Name, "licensed workshop") && !strings.Contains(r.Name, "specialist") {
			t.Errorf("%s: %s", r.ID, r.Name)
		}
	}
	for i, n := range m.Tests {
		if slices.Contains(n.Tools, "multimeter") && m.Case.Tests[i].ID != "rest_volts" {
			t.Errorf("%s measures", m.Case.Tests[i].ID)
		}
	}
}
