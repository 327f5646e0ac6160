package workshop

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/bench/check"
	"wreckwright/rebuild"
)

// Readings are read as they were written.
func TestReadingsComeBackAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []CheckRow
		for _, name := range rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z]{1,6}( [a-z]{1,6})?`), 0, 4, rapid.ID[string]).Draw(t, "names") {
			rows = append(rows, CheckRow{name, rapid.SliceOfN(rapid.Float64Range(-1e12, 1e12), 1, 5).Draw(t, "values")})
		}
		if len(rows) == 0 {
			rows = []CheckRow{{"", rapid.SliceOfN(rapid.Float64Range(-1e12, 1e12), 1, 5).Draw(t, "values")}}
		}
		got, err := ReadReadings(WriteReadings(rows))
		if err != nil || len(got) != len(rows) {
			t.Fatalf("%v: %v, %v", rows, got, err)
		}
		for i := range rows {
			if got[i].Name != rows[i].Name || len(got[i].Values) != len(rows[i].Values) {
				t.Fatalf("%v came back as %v", rows[i], got[i])
			}
			for k, v := range rows[i].Values {
				if got[i].Values[k] != v {
					t.Fatalf("%v came back as %v", v, got[i].Values[k])
				}
			}
		}
	})
}

// FuzzReadings: whatever is read can be worked out or is refused in words.
func FuzzReadings(f *testing.F) {
	for _, text := range []string{"0.1\n0.2", "left: 1; 2\nright: 3", ":", ";;", "a: b: 3", "1e400", "NaN", "42000: 5.3\n43000: 5.1", "\x00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, form := range []string{"mean", "spread", "imbalance", FormWear, FormTyreAge} {
			s := CheckSettings{Name: "x", Form: form, InstrumentLimit: new(0.1), Upper: new(1.0), On: "2026-05-01"}
			said, err := ExamineCheck(text, s)
			if err != nil {
				if err.Error() == "" {
					t.Errorf("%s: refused without words", form)
				}
				continue
			}
			if err := onMayDay(said.Evidence()).Validate(); err != nil {
				t.Errorf("%s: %v", form, err)
			}
		}
	})
}

func onMayDay(e rebuild.Evidence) rebuild.Evidence {
	e.On = "2026-05-01"
	return e
}

// The interval of few readings is that of Student's distribution: 4.303 standard
// uncertainties for three of them (table G.2 of the guide, 2 degrees of freedom).
func TestIntervalOfThreeReadings(t *testing.T) {
	said, err := ExamineCheck("10\n11\n12", CheckSettings{Name: "x", Form: "mean", InstrumentLimit: new(0.0), Upper: new(20.0)})
	if err != nil {
		t.Fatal(err)
	}
	// Standard deviation 1, of the mean 1 over the root of 3.
	want := 4.30 / math.Sqrt(3)
	if got := *said.Value.High - 11; math.Abs(got-want) > 0.005 {
		t.Errorf("half of the interval is %v; want %v", got, want)
	}
	if *said.Value.Low >= 11 || said.Figures[0].Name != "x" {
		t.Errorf("%+v", said.Figures)
	}
}

// The limits of the car's place come first, of these the one for its year.
func TestLimitsOfTheCar(t *testing.T) {
	for _, c := range []struct {
		place string
		year  int
		used  string // the day of its first use
		first string // beginning of the first limit
		here  int
	}{
		{"UK", 2012, "", "UK, first used from 2010-09-01: at least 58", 2},
		{"UK", 1999, "", "UK, first used before 2010-09-01: at least 50", 2},
		{"UK", 2010, "2010-10-01", "UK, first used from 2010-09-01: at least 58", 2},
		{"UK", 2010, "2010-03-01", "UK, first used before 2010-09-01: at least 50", 2},
		{"UK", 2012, "2010-08-31", "UK, first used before 2010-09-01: at least 50", 2},
		{"UK", 2010, "", "UK, first used from 2010-09-01: at least 58", 2}, // either may hold: the stricter stands first
		{"DE", 2020, "", "EU/DE/IE, first used from 2012-01-02: at least 58", 2},
		{"US", 2020, "", "", 0},
	} {
		ask, ok := AskCheck("service-brake", "", rebuild.Car{Jurisdiction: c.place, Year: c.year}, c.used)
		if !ok || len(ask.Here) != c.here || len(ask.Here)+len(ask.Away) != len(ask.Limits) {
			t.Fatalf("%s: %d here, %d away", c.place, len(ask.Here), len(ask.Away))
		}
		if c.here > 0 && !strings.HasPrefix(ask.Here[0].Words(ask.Unit), c.first) {
			t.Errorf("%s %d: first %q; want %q", c.place, c.year, ask.Here[0].Words(ask.Unit), c.first)
		}
	}
	if _, ok := AskCheck("nothing", "", rebuild.Car{}, ""); ok {
		t.Error("a quantity that is not there was found")
	}
}

// A limit that follows the temperature wants it; beyond what an inspection calls
// dangerous the first caution says so.
func TestLimitByTemperatureAndDanger(t *testing.T) {
	ask, _ := AskCheck("cranking-voltage", "", rebuild.Car{Jurisdiction: "UK"}, "")
	s := CheckSettings{Name: ask.Name, Unit: ask.Unit, Form: ask.Form, InstrumentLimit: new(0.05)}
	if err := ask.Here[0].Put(&s); err == nil || !strings.Contains(err.Error(), "temperature") {
		t.Errorf("without a temperature: %v", err)
	}
	s.TemperatureC = new(10.0)
	if err := ask.Here[0].Put(&s); err != nil || *s.Lower != 9.4 {
		t.Errorf("at 10 degrees: %v, %v", s.Lower, err)
	}
	ask, _ = AskCheck("brake-imbalance", "", rebuild.Car{Jurisdiction: "UK"}, "")
	s = CheckSettings{Name: ask.Name, Unit: ask.Unit, Form: ask.Form, InstrumentLimit: new(30.0)}
	if err := ask.Here[0].Put(&s); err != nil {
		t.Fatal(err)
	}
	said, err := ExamineCheck("left: 2000\nright: 800", s)
	if err != nil || said.Verdict != rebuild.VerdictFail || len(said.Cautions) == 0 || !strings.Contains(said.Cautions[0], "dangerous") {
		t.Errorf("%+v, %v", said, err)
	}
}

// The forms that a page asks for by a name of its own are the engine's.
func TestOwnFormsAreKnown(t *testing.T) {
	if got := len(OwnForms()); got != len(ownForms) {
		t.Errorf("%d ways; want %d", got, len(ownForms))
	}
	for _, f := range OwnForms() {
		ask, ok := AskCheck(OwnQuantity, f.Key, rebuild.Car{}, "")
		if !ok || ask.Form != f.Key {
			t.Errorf("%s: %+v", f.Key, ask)
		}
		if known := check.FormKeys(); f.Key != FormWear && !strings.Contains(strings.Join(known, " "), f.Key) {
			t.Errorf("%s is no form of the engine", f.Key)
		}
	}
}

// Play at the steering wheel is held to a limit that goes by its rim.
func TestPlayWantsTheRim(t *testing.T) {
	ask, _ := AskCheck("steering-play", "", rebuild.Car{Jurisdiction: "DE"}, "")
	s := CheckSettings{Name: ask.Name, Unit: ask.Unit, Form: ask.Form, InstrumentLimit: new(2.0)}
	if err := ask.Here[0].Put(&s); err == nil || !strings.Contains(err.Error(), "the limit goes by it") {
		t.Errorf("without a rim: %v", err)
	}
	s.RimMm = new(3.2)
	if err := ask.Here[0].Put(&s); err == nil || !strings.Contains(err.Error(), "none of a car") {
		t.Errorf("a rim of 3.2 mm: %v", err)
	}
	s.RimMm = new(320.0)
	if err := ask.Here[0].Put(&s); err != nil || *s.Upper != 64 { // a fifth
		t.Fatalf("%v, at most %v", err, s.Upper)
	}
	said, err := ExamineCheck("70\n70\n70\n", s)
	if err != nil || said.Verdict != rebuild.VerdictFail {
		t.Errorf("70 mm on a small wheel: %s (%v)", said.Verdict, err)
	}
}
