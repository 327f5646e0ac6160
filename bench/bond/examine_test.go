package bond

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func testTables() Tables {
	return Tables{
		Preparations: []Knock{{Key: "abraded", Name: "abraded", Share: 0.65}, {Key: "perfect", Name: "as the sheet's coupons", Share: 1}},
		Temperatures: []Knock{{Key: "to-30", Name: "up to 30", Share: 1, UpToC: 30}, {Key: "to-80", Name: "up to 80", Share: 0.4, UpToC: 80}},
		Services:     []Knock{{Key: "trial", Name: "weeks", Share: 1}, {Key: "wet", Name: "years, wet", Share: 0.5}},
		Adhesives:    []Family{{Key: "epoxy", Name: "epoxy", Cautions: []string{"gloves"}}, {Key: "polyurethane", Name: "polyurethane", Hazards: []string{"isocyanates"}}},
	}
}

// strap is the worked example as a case: everything as on the sheet.
func strap() Case {
	part := Adherend{ModulusGPa: 70, ThicknessMm: 2}
	return Case{
		Holds: "bracket of a wiring loom", Layout: Single, LoadN: 10000, WidthMm: 25, OverlapMm: 25, BondMm: 0.2, First: part, Second: part,
		Adhesive: Adhesive{"epoxy", 45, 0.5}, Preparation: "perfect", Service: "trial", HottestC: 20, Factor: 1,
	}
}

func examine(t *testing.T, change func(*Case)) (Result, error) {
	t.Helper()
	c := strap()
	change(&c)
	return Examine(c, testTables())
}

func TestVerdicts(t *testing.T) {
	for _, tt := range []struct {
		name    string
		change  func(*Case)
		verdict Verdict
		why     string
	}{
		{"one side, little room", func(*Case) {}, CannotTell, "a lap on one side bends and peels"},
		{"one side, much room", func(c *Case) { c.LoadN = 7000 }, Pass, "allowed"},
		{"both sides", func(c *Case) { c.Layout = Double }, Pass, "allowed"},
		{"weak", func(c *Case) { c.Adhesive.ShearMPa = 25 }, Fail, "no length of overlap is enough"},
		{"too short", func(c *Case) { c.OverlapMm, c.LoadN, c.Layout = 3, 8000, Double }, Fail, "an overlap of"},
		{"knocked down", func(c *Case) { c.Preparation, c.Service, c.HottestC = "abraded", "wet", 60 }, Fail, "5.85 MPa are allowed"},
		{"heat alone", func(c *Case) {
			c.First.ExpansionPerK, c.Second.ExpansionPerK, c.StressFreeC, c.HottestC = new(23e-6), new(6e-6), new(10.0), 80
			c.Preparation = "abraded"
		}, Fail, "growing unequally"},
		{"too cold", func(c *Case) {
			c.LoadN, c.Cure = 100, &Cure{SheetHours: 24, SheetC: 23, LeastC: new(10.0), WorkshopC: 5}
		}, Fail, "colder than the sheet allows"},
		{"cold, least not known", func(c *Case) { c.LoadN, c.Cure = 100, &Cure{SheetHours: 24, SheetC: 23, WorkshopC: 15} }, CannotTell, "nobody can tell whether it cures"},
		{"cold but allowed", func(c *Case) {
			c.LoadN, c.Cure = 100, &Cure{SheetHours: 24, SheetC: 23, LeastC: new(10.0), WorkshopC: 10}
		}, Pass, "allowed"},
	} {
		r, err := examine(t, tt.change)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if r.Verdict != tt.verdict || !strings.Contains(r.Why, tt.why) {
			t.Errorf("%s: %s, because %s; expected %s, with %q", tt.name, r.Verdict, r.Why, tt.verdict, tt.why)
		}
		if _, err := json.Marshal(r); err != nil || len(r.Working) < 8 || len(r.Cautions) < 2 {
			t.Errorf("%s: %v, %d steps, %d cautions", tt.name, err, len(r.Working), len(r.Cautions))
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, holds := range []string{"brake pipe bracket", "Steering rack", "front SUBFRAME", "seat belts", "the tie rod", "fuel tank strap", "jacking point", "left sill", "hub", "handbrake cable bracket", "tie-rod boot", "tie  rod", "roll\u2011bar clamp", "drive-shaft guard", "crossmember", "harness anchor", "battery tray"} {
		_, err := examine(t, func(c *Case) { c.Holds = holds })
		var refused *Refusal
		if !errors.As(err, &refused) || !strings.HasPrefix(err.Error(), "refused: ") {
			t.Errorf("%q: %v: expected a refusal", holds, err)
		}
	}
	for _, holds := range []string{"wheel arch liner", "seat trim", "heat jacket", "hubris plate", "number plate", "fuel flap", "cooler duct", "clip of the wiring harness", "battery cover"} {
		if _, err := examine(t, func(c *Case) { c.Holds = holds }); err != nil {
			t.Errorf("%q: %v", holds, err)
		}
	}
	_, err := examine(t, func(c *Case) { c.SafetyCritical, c.LoadN = true, math.NaN() })
	if err == nil || !strings.HasPrefix(err.Error(), "refused: somebody's safety hangs on bracket of a wiring loom. ") {
		t.Errorf("got %v", err)
	}
}

func TestBadCases(t *testing.T) {
	for _, tt := range []struct {
		change func(*Case)
		want   string
	}{
		{func(c *Case) { c.Holds = " " }, "holds: nothing says what hangs on it; expected what the bond holds, in words"},
		{func(c *Case) { c.Layout = "scarf" }, `layout: "scarf" is no layout of a lap; expected single or double`},
		{func(c *Case) { c.LoadN = 0 }, "load_n: 0 N is impossible; expected more than 0, up to 1000000 N"},
		{func(c *Case) { c.LoadN = math.NaN() }, "load_n: NaN is no number; expected more than 0, up to 1000000 N"},
		{func(c *Case) { c.BondMm = -0.1 }, "bond_mm: -0.1 mm is impossible; expected more than 0, up to 10 mm"},
		{func(c *Case) { c.Second.ModulusGPa = 0 }, "adherends[1].modulus_gpa: 0 GPa is impossible; expected more than 0, up to 1000 GPa"},
		{func(c *Case) { c.Adhesive.ShearGPa = 0 }, "adhesive.shear_modulus_mpa: 0 MPa is impossible; expected more than 0, up to 100000 MPa"},
		{func(c *Case) { c.Adhesive.Kind = "spit" }, `adhesive.kind: "spit" is no kind of adhesive known here; expected one of epoxy, polyurethane`},
		{func(c *Case) { c.Preparation = "" }, `preparation: "" is not known here; expected one of abraded, perfect`},
		{func(c *Case) { c.Service = "sea" }, `service: "sea" is not known here; expected one of trial, wet`},
		{func(c *Case) { c.HottestC = 120 }, "hottest_c: at 120 °C no adhesive of the workshop is trusted; expected at most 80 °C"},
		{func(c *Case) { c.Factor = 0.5 }, "factor: 0.5 is impossible; expected 1 to 20"},
		{func(c *Case) { c.First.ExpansionPerK = new(1e-5) }, "adherends: the expansion of one part only is given; expected expansion_per_k of both"},
		{func(c *Case) { c.First.ExpansionPerK, c.Second.ExpansionPerK = new(1e-5), new(1e-5) }, "stress_free_c: expansions are given without it; expected the temperature at which the bond set"},
		{func(c *Case) { c.ColdestC = new(30.0) }, "coldest_c: 30 °C is hotter than the hottest; expected at most hottest_c, 20 °C"},
		{func(c *Case) { c.Cure = &Cure{SheetHours: 0, SheetC: 20, WorkshopC: 20} }, "cure.sheet_hours: 0 h is impossible; expected more than 0, up to 10000 h"},
	} {
		_, err := examine(t, tt.change)
		var wrong *InputError
		if !errors.As(err, &wrong) || err.Error() != tt.want {
			t.Errorf("\n got %v\nwant %s", err, tt.want)
		}
	}
}

func anyLap(t *rapid.T) Lap {
	return Lap{
		First: rapid.Float64Range(1e3, 1e6).Draw(t, "first"), Second: rapid.Float64Range(1e3, 1e6).Draw(t, "second"), Bond: rapid.Float64Range(1, 1e5).Draw(t, "bond"),
		Overlap: rapid.Float64Range(0.1, 2000).Draw(t, "overlap"), Load: rapid.Float64Range(0.1, 1e4).Draw(t, "load"), Strain: rapid.Float64Range(-1e-3, 1e-3).Draw(t, "strain"),
	}
}

// TestShearCarriesTheLoad: what is sheared along the overlap is the load, the
// peak is at an end, turning the lap round changes nothing.
func TestShearCarriesTheLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLap(t)
		l.Overlap = math.Min(l.Overlap, 30/l.Omega())
		const n = 2000
		sum, peak := 0.0, 0.0
		for i := range n {
			x := l.Overlap * ((float64(i)+0.5)/n - 0.5)
			sum += l.Shear(x) * l.Overlap / n
			peak = math.Max(peak, math.Abs(l.Shear(x)))
		}
		if size := l.Load + l.Peak()/l.Omega(); math.Abs(sum-l.Load) > 1e-3*size {
			t.Fatalf("%+v: %g is sheared of %g", l, sum, l.Load)
		}
		if peak > l.Peak()*(1+1e-12) {
			t.Fatalf("%+v: %g inside, %g at the ends", l, peak, l.Peak())
		}
		low, high := l.Ends()
		lowTurned, highTurned := Lap{l.Second, l.First, l.Bond, l.Overlap, l.Load, -l.Strain}.Ends()
		if math.Abs(low-highTurned) > 1e-9*l.Peak() || math.Abs(high-lowTurned) > 1e-9*l.Peak() {
			t.Fatalf("%+v: ends %g, %g; turned round %g, %g", l, low, high, lowTurned, highTurned)
		}
	})
}

// TestLengths: a longer lap has no higher peak, the peak never falls below that
// of an endless one, and the lengths are those at which it says so.
func TestLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLap(t)
		l.Strain = 0
		longer := l
		longer.Overlap *= rapid.Float64Range(1, 10).Draw(t, "times")
		if longer.Peak() > l.Peak()*(1+1e-12) || l.Peak() < l.LongPeak()*(1-1e-12) {
			t.Fatalf("%+v: %g, longer %g, endless %g", l, l.Peak(), longer.Peak(), l.LongPeak())
		}
		enough := l
		enough.Overlap = l.Enough(0.95)
		if math.Abs(l.LongPeak()/enough.Peak()-0.95) > 1e-9 {
			t.Fatalf("%+v: at %g mm %g of an endless lap", l, enough.Overlap, l.LongPeak()/enough.Peak())
		}
		allowable := l.LongPeak() * rapid.Float64Range(0.5, 20).Draw(t, "allowable")
		needed, ok := l.Needed(allowable)
		if ok != (allowable > l.LongPeak()) {
			t.Fatalf("%+v at %g: %v", l, allowable, ok)
		}
		if l.Overlap = needed; ok && math.Abs(l.Peak()-allowable) > 1e-6*allowable {
			t.Fatalf("%+v: needed %g gives %g, not %g", l, needed, l.Peak(), allowable)
		}
	})
}

func TestWarmerCuresFaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Cure{SheetHours: 24, SheetC: 23, LeastC: new(0.0), WorkshopC: rapid.Float64Range(0, 60).Draw(t, "at")}
		warmer := c
		warmer.WorkshopC += rapid.Float64Range(0.1, 20).Draw(t, "more")
		cold, warm := c.reckon(), warmer.reckon()
		if !(warm.Hours < cold.Hours && cold.LowHours <= cold.Hours*(1+1e-12) && cold.Hours <= cold.HighHours*(1+1e-12)) || !cold.Cures {
			t.Fatalf("%+v at %g, %+v at %g", cold, c.WorkshopC, warm, warmer.WorkshopC)
		}
	})
}

// TestMostLoad: under the most load that a result names the bond passes, under a
// little more it does not; and likewise with the overlap that it wants.
func TestMostLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := strap()
		c.Layout = rapid.SampledFrom([]Layout{Single, Double}).Draw(t, "layout")
		c.Second.ThicknessMm = rapid.Float64Range(0.5, 10).Draw(t, "thickness")
		c.OverlapMm = rapid.Float64Range(2, 100).Draw(t, "overlap")
		r, err := Examine(c, testTables())
		if err != nil {
			t.Fatal(err)
		}
		verdictAt := func(change func(*Case)) Verdict {
			d := c
			change(&d)
			got, err := Examine(d, testTables())
			if err != nil {
				t.Fatal(err)
			}
			return got.Verdict
		}
		under, over := verdictAt(func(d *Case) { d.LoadN = 0.999 * r.MostN }), verdictAt(func(d *Case) { d.LoadN = 1.001 * r.MostN })
		if under != Pass || over == Pass {
			t.Fatalf("most load %g N: %s below it, %s above it", r.MostN, under, over)
		}
		if r.NeededMm == nil || *r.NeededMm > 4900 {
			return
		}
		long, short := verdictAt(func(d *Case) { d.OverlapMm = 1.001 * *r.NeededMm }), verdictAt(func(d *Case) { d.OverlapMm = 0.999 * *r.NeededMm })
		if long != Pass || short == Pass {
			t.Fatalf("needed %g mm: %s above it, %s below it", *r.NeededMm, long, short)
		}
	})
}
