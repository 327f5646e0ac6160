package workshop

import (
	"strings"
	"testing"

	"wreckwright/knowledge"
)

// Slips of the key as they are made in a garage, and readings that are none.
func TestReadingsThatLookLikeASlip(t *testing.T) {
	mm, limit := 24.3, 0.01
	disc := CheckSettings{Quantity: "disc-thickness", Unit: "mm", Form: "mean", Lower: &mm, InstrumentLimit: &limit}
	at := func(quantity string, change ...func(*CheckSettings)) CheckSettings {
		q, ok := knowledge.CheckFor(quantity)
		if !ok {
			t.Fatal(quantity)
		}
		s := CheckSettings{Quantity: quantity, Unit: q.Unit, Form: q.Form, InstrumentLimit: &q.InstrumentLimit}
		for _, f := range change {
			f(&s)
		}
		return s
	}
	upTo := func(v float64) func(*CheckSettings) { return func(s *CheckSettings) { s.Upper = &v } }
	in := func(unit string) func(*CheckSettings) { return func(s *CheckSettings) { s.EffortUnit = unit } }
	row := func(values ...float64) []CheckRow { return []CheckRow{{Values: values}} }
	for _, c := range []struct {
		name       string
		s          CheckSettings
		rows       []CheckRow
		says       string // each doubt's, parted by |; empty: none
		impossible bool
	}{
		{"the point forgotten", disc, row(24.55, 2455, 24.54), "2455 mm: did you mean 24.55? Expected 3 to 60 mm", false},
		{"the only reading", disc, row(2455), "did you mean 24.55?", false},
		{"all right", disc, row(24.55, 24.54, 24.56), "", false},
		{"a negative thickness", disc, row(-24.55), "nothing reads less than 0 mm here; did you mean 24.55?", true},
		{"a negative run-out under any limit", at("disc-run-out", upTo(0.1)), row(-0.5), "nothing reads less than 0 mm", true},
		{"a tenth beside the others", at("tyre-tread"), row(6.1, 0.62, 6.2), "0.62 mm beside 6.15 mm: did you mean 6.2?", false},
		{"ten times the other", at("disc-run-out", upTo(0.1)), row(0.04, 0.4), "0.04 mm beside 0.4 mm|0.4 mm beside 0.04 mm: did you mean 0.04?", false},
		{"a coarse gauge near nothing", at("disc-run-out", upTo(0.1)), row(0.01, 0.05), "", false},
		{"milliamperes typed for amperes", at("standby-drain", upTo(0.05)), row(35), "did you mean 0.035? Expected 0 to 20 A", false},
		{"a per cent above all", at("leak-down"), row(120), "nothing reads more than 100 %", true},
		{"newtons", at("service-brake", in("N")), []CheckRow{{"front left", []float64{2500}}, {"mass_kg", []float64{1450}}}, "", false},
		{"newtons called kilonewtons", at("service-brake", in("kN")), []CheckRow{{"front left", []float64{2500}}, {"mass_kg", []float64{1450}}}, "2500 kN: did you mean", false},
		{"the mass in tonnes", at("service-brake", in("N")), []CheckRow{{"front left", []float64{2500}}, {"mass_kg", []float64{1.45}}}, "1.45 kg: did you mean 1450?", false},
		{"a dead cylinder", at("compression-spread"), row(12, 11.8, 1.1, 12.1), "1.1 beside 12: did you mean 11?", false},
		{"per cent typed for m/s2", at("service-brake-by-decelerometer"), row(58), "58 m/s²: did you mean 5.8?", false},
		{"wear falls slowly", at("clutch-wear"), []CheckRow{{"42000", []float64{5.3}}, {"50000", []float64{4.9}}, {"60000", []float64{46}}}, "46 mm beside 5.1 mm: did you mean 4.6?", false},
		{"a drift of the analyser", at("exhaust-co-idle", upTo(0.3)), row(-0.02), "", false},
		{"a quantity of one's own", CheckSettings{Form: "mean", Unit: "mm", InstrumentLimit: &limit}, row(4.1, 41), "4.1 mm beside 41 mm|41 mm beside 4.1 mm: did you mean 4.1?", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			doubts := DoubtReadings(c.rows, c.s)
			var want []string
			if c.says != "" {
				want = strings.Split(c.says, "|")
			}
			if len(doubts) != len(want) {
				t.Fatalf("%+v; want %q", doubts, want)
			}
			for i, d := range doubts {
				if !strings.Contains(d.Text, want[i]) || d.Impossible != c.impossible {
					t.Errorf("%q, impossible %v; want %q, %v", d.Text, d.Impossible, want[i], c.impossible)
				}
			}
		})
	}
}

// What was confirmed stands in the reason, and comes out the same each time.
func TestAConfirmedReadingStandsInTheReason(t *testing.T) {
	limit, lower := 0.01, 24.3
	s := CheckSettings{Quantity: "disc-thickness", Name: "Disc", Unit: "mm", Form: "mean", Lower: &lower, InstrumentLimit: &limit, Confirmed: []string{"2455 mm: did you mean 24.55? Expected 3 to 60 mm"}}
	out, err := ExamineCheck("2455", s)
	if err != nil || !strings.Contains(out.Why, "somebody ticked that it really reads that: 2455 mm") {
		t.Errorf("%q %v", out.Why, err)
	}
}

// A pressure does not rise on its own.
func TestAValueTheWrongWayRound(t *testing.T) {
	limit, upper := 0.02, 0.1
	s := CheckSettings{Quantity: "cooling-pressure", Name: "Fall", Unit: "bar", Form: "difference", Upper: &upper, InstrumentLimit: &limit}
	out, err := ExamineCheck("at the start: 0.9\nafter two minutes: 1.3\n", s)
	if err != nil || !strings.Contains(DoubtValue(out), "the right way round") {
		t.Errorf("%q %v", DoubtValue(out), err)
	}
	if out, err = ExamineCheck("at the start: 1.3\nafter two minutes: 1.25\n", s); err != nil || DoubtValue(out) != "" {
		t.Errorf("%q %v", DoubtValue(out), err)
	}
}
