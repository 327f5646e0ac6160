package bond

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func must(t *testing.T, change func(*Case)) Result {
	t.Helper()
	r, err := examine(t, change)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestDoubleIsTwoHalves: a splint is two laps on half of the part between, each
// with half of the load.
func TestDoubleIsTwoHalves(t *testing.T) {
	r := must(t, func(c *Case) { c.Layout = Double })
	half := Lap{First: 140000, Second: 70000, Bond: 2500, Overlap: 25, Load: 200}
	near(t, "peak", r.PeakMPa, half.Peak())
	near(t, "average", r.AverageMPa, 8)
	near(t, "area", r.AreaMm2, 1250)
	near(t, "tension of an outer part", r.PartsMPa[0], 100)
	near(t, "tension of the part between", r.PartsMPa[1], 200)
}

func TestAllowable(t *testing.T) {
	near(t, "by default half", must(t, func(c *Case) { c.Factor = 0 }).AllowableMPa, 22.5)
	near(t, "all shares", must(t, func(c *Case) { c.Factor, c.Preparation, c.HottestC, c.Service = 3, "abraded", 31, "wet" }).AllowableMPa, 45*0.65*0.4*0.5/3)
	if r := must(t, func(c *Case) { c.LoadN = 9000 }); r.Verdict != CannotTell || r.Margin < 1.25 || r.Margin > 1.35 {
		t.Errorf("one side with a margin of %g: %s", r.Margin, r.Verdict)
	}
}

// TestWorstTemperature: of the hottest and the coldest the one counts that
// strains more.
func TestWorstTemperature(t *testing.T) {
	both := func(c *Case) {
		c.First.ExpansionPerK, c.Second.ExpansionPerK = new(23e-6), new(12e-6)
		c.StressFreeC, c.HottestC, c.ColdestC = new(20.0), 30, new(-30.0)
	}
	cold := must(t, both)
	hot := must(t, func(c *Case) { both(c); c.HottestC = 80; c.ColdestC = new(10.0) })
	if cold.WorstC == nil || *cold.WorstC != -30 || hot.WorstC == nil || *hot.WorstC != 80 {
		t.Errorf("worst at %v and %v: expected -30 and 80", cold.WorstC, hot.WorstC)
	}
	near(t, "thermal shear", cold.ThermalMPa, 11e-6*50*math.Sqrt(2500*2/140000.0)/(2/140000.0)*math.Tanh(math.Sqrt(2500*2/140000.0)*12.5))
}

// TestCureEitherWay: warmer than on the sheet the slower rule counts, colder the
// slower energies.
func TestCureEitherWay(t *testing.T) {
	warm := Cure{SheetHours: 24, SheetC: 23, WorkshopC: 33}.reckon()
	near(t, "ten degrees warmer", warm.Hours, 12)
	near(t, "at the earliest", warm.LowHours, CureTime(24, 23, 33, 60))
	cold := Cure{SheetHours: 24, SheetC: 23, WorkshopC: 13, LeastC: new(10.0), EnergyKJMol: 80}.reckon()
	near(t, "by its own energy", cold.Hours, CureTime(24, 23, 13, 80))
	least := Cure{SheetHours: 24, SheetC: 23, WorkshopC: 13, LeastC: new(10.0), EnergyKJMol: 40}.reckon()
	near(t, "never by less than 60 kJ/mol", least.LowHours, CureTime(24, 23, 13, 60))
	if over := (Cure{SheetHours: 24, SheetC: 23, WorkshopC: 70, MostC: new(60.0)}).reckon(); over.Cures {
		t.Error("warmer than the sheet allows, and it cures")
	}
}
