package workshop

import (
	"errors"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func aLook(zone string, seen ...string) Look {
	return Look{Zone: zone, Seen: seen, Depth: "outside", On: today}
}

// looked is the step that notes a look.
func looked(l Look) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		n, err := l.Note(r)
		if err != nil {
			return rebuild.Change{}, err
		}
		return r.NoteDamage(n)
	}
}

func TestALookBecomesFindingsJobsAndAReserve(t *testing.T) {
	r := stand(t, looked(aLook("front-left-corner", "wheel-leans", "wheel-pushed-back")))
	if len(r.Findings) != 2 || r.Findings[0].What != "Wheel pushed back" || r.Findings[0].Severity != rebuild.Danger || !r.Findings[0].Safety {
		t.Errorf("findings %+v", r.Findings)
	}
	titles := map[string]int{}
	for _, j := range r.Jobs {
		titles[j.Title] = len(j.Findings)
	}
	// One set of arms for both; the shell and the angles each for the one that asks for it.
	if len(r.Jobs) != 3 || titles["Renew the bent suspension arms: front left"] != 2 || titles["Set the wheel angles"] != 1 {
		t.Errorf("jobs %v", titles)
	}
	arms := r.Jobs[0]
	if arms.Safety != rebuild.SafetySuspension || arms.Stage != 6 || len(arms.Routes) != 2 || arms.Routes[0].Works != 0.85 || arms.Routes[0].Fallback == nil {
		t.Errorf("arms %+v", arms)
	}
	for _, j := range r.Jobs {
		for _, route := range j.Routes {
			if !strings.HasPrefix(route.Basis, "own estimate") || !strings.Contains(route.Basis, "change it") {
				t.Errorf("%s, %s: basis %q", j.Title, route.Name, route.Basis)
			}
		}
	}
	hard, _ := knowledge.HiddenAt("front-left-corner", knowledge.HitHard)
	if z := r.Zone("front-left-corner"); z.HiddenExpected != hard.Expected || z.HiddenCost.Likely != hard.Cost[1] || z.OpenShare != 0.1 {
		t.Errorf("zone %+v", z)
	}
}

// Every kind of damage in every zone can be noted, all of a zone at once, in any
// currency.
func TestAllDamageOfAllZonesCanBeNoted(t *testing.T) {
	for _, currency := range []string{"GBP", "EUR", "JPY", "CHF", "ISK"} {
		r := stand(t, withCar(func(c *rebuild.Car) {
			c.Currency, c.Ceiling, c.HourValue = currency, amount.New(0, currency), amount.New(0, currency)
		}))
		kinds := 0
		for _, place := range rebuild.ZonePlaces {
			var keys []string
			for _, d := range knowledge.DamagesAt(place.Key) {
				keys = append(keys, d.Key)
			}
			kinds += len(keys)
			r = more(t, r, looked(aLook(place.Key, keys...)))
		}
		if err := r.Validate(); err != nil {
			t.Fatal(err)
		}
		_, known := knowledge.RoughRateFor(currency)
		for _, j := range r.Jobs {
			_, priced := j.Planned()
			if priced != known || j.Chosen != 0 {
				t.Errorf("%s, %s: priced %t, chosen %d", currency, j.Title, priced, j.Chosen)
			}
			for _, route := range j.Routes {
				if bars := rebuild.Bars(j.Safety, route); len(bars) > 0 {
					t.Errorf("%s, %s: %s", j.Title, route.Name, bars[0].Reason)
				}
			}
			if strings.ContainsAny(j.Title, "{}") || strings.HasSuffix(j.Title, ": ") {
				t.Errorf("title %q", j.Title)
			}
		}
		for _, f := range r.Findings {
			if len(r.JobsOf(f.ID)) == 0 {
				t.Errorf("%s: no job", f.What)
			}
		}
		if len(r.Findings) != kinds {
			t.Errorf("%d findings of %d kinds", len(r.Findings), kinds)
		}
		if _, err := forecastOf(t.Context(), r, translate(r)); err != nil {
			t.Errorf("%s: %v", currency, err)
		}
	}
}

func TestOneJobServesTheWholeCar(t *testing.T) {
	r := stand(t, looked(aLook("left-door", "airbag-fired")), looked(aLook("right-door", "airbag-fired", "gaps-uneven")), looked(aLook("bonnet", "gaps-uneven")))
	settles := map[string]int{}
	for _, j := range r.Jobs {
		settles[j.Title] += len(j.Findings)
	}
	if len(r.Jobs) != 3 || settles["Renew belts and tensioners"] != 2 || settles["Measure the shell and pull it straight where it is out"] != 2 {
		t.Errorf("jobs %v", settles)
	}
}

func TestReserveGrowsAndLeavesOwnFiguresAlone(t *testing.T) {
	expected := func(zone, hit string) float64 { h, _ := knowledge.HiddenAt(zone, hit); return h.Expected }
	hit := func(zone, how string, seen ...string) step {
		l := aLook(zone, seen...)
		l.Hit = how
		return looked(l)
	}
	r := stand(t, hit("bonnet", "", "panel-dented"))
	if got := r.Zone("bonnet").HiddenExpected; got != expected("bonnet", knowledge.HitLight) {
		t.Errorf("a dent sets %g aside", got)
	}
	r = more(t, r, hit("bonnet", "", "panel-creased"))
	if got := r.Zone("bonnet").HiddenExpected; got != expected("bonnet", knowledge.HitMedium) {
		t.Errorf("a crease raises it to %g", got)
	}
	r = more(t, r, hit("bonnet", "", "hail"))
	if got := r.Zone("bonnet").HiddenExpected; got != expected("bonnet", knowledge.HitMedium) {
		t.Errorf("hail lowers it to %g", got)
	}
	r = more(t, r, hit("bonnet", knowledge.HitHard, "latch"))
	if got := r.Zone("bonnet").HiddenExpected; got != expected("bonnet", knowledge.HitHard) {
		t.Errorf("what the person says of the blow counts, not %g", got)
	}
	own := stand(t, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		z := *r.Zone("bonnet")
		z.HiddenExpected, z.HiddenCost = 0.1, uncertain.Certain(40)
		return r.EditZone(z)
	}, hit("bonnet", knowledge.HitHard, "latch"))
	if z := own.Zone("bonnet"); z.HiddenExpected != 0.1 || !OwnReserve(own, z) {
		t.Errorf("the person's own reserve became %g", z.HiddenExpected)
	}
	none := stand(t, hit("bonnet", knowledge.HitNone, "panel-creased"))
	if z := none.Zone("bonnet"); z.HiddenExpected != 0 || OwnReserve(none, z) {
		t.Errorf("a zone that was not hit sets %g aside", z.HiddenExpected)
	}
}

// Deeper looks leave less to fear.
func TestDepthOfStripShrinksWhatIsLeft(t *testing.T) {
	r, before := stand(t, looked(aLook("engine-bay", "rail-kinked"))), 99.0
	for _, d := range knowledge.Depths() {
		r = more(t, r, func(r *rebuild.Rebuild) (rebuild.Change, error) {
			l := Look{Zone: "engine-bay", Words: "at " + d.Key, Severity: rebuild.Minor, Depth: d.Key, On: today}
			return looked(l)(r)
		})
		if left := r.Zone("engine-bay").HiddenLeft(); left >= before || left <= 0 {
			t.Errorf("%s: %g faults left, %g before", d.Key, left, before)
		} else {
			before = left
		}
	}
}

func TestSomethingElseInWords(t *testing.T) {
	l := aLook("roof")
	l.Words, l.Severity, l.Safety = "aerial gone", rebuild.Major, true
	l.Photos = []rebuild.Attachment{{Hash: strings.Repeat("ab", 32), Name: "a.jpg", MediaType: "image/jpeg", Size: 3}}
	r := stand(t, looked(l))
	if f := r.Findings[0]; f.What != "aerial gone" || f.Severity != rebuild.Major || !f.Safety || f.HowFound != rebuild.Seen || len(f.Photos) != 1 || len(r.Jobs) != 0 {
		t.Errorf("%+v, %d jobs", f, len(r.Jobs))
	}
}

func TestLookRefuses(t *testing.T) {
	r := stand(t)
	for field, l := range map[string]Look{
		"seen":  aLook("roof", "wheel-pushed-back"),
		"hit":   {Zone: "roof", Hit: "gale", Depth: "outside"},
		"depth": {Zone: "roof", Depth: "everywhere"},
	} {
		_, err := l.Note(r)
		var invalid *rebuild.Invalid
		if !errors.As(err, &invalid) || invalid.Problems[0].Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

// The factors by hand: 380 pounds at a rough 1.2 are 456, with two digits 460.
func TestRoughRange(t *testing.T) {
	for _, tt := range []struct {
		currency string
		want     uncertain.Range
	}{
		{"GBP", uncertain.Range{Low: 180, Likely: 380, High: 750}},
		{"EUR", uncertain.Range{Low: 220, Likely: 460, High: 900}},
		{"HUF", uncertain.Range{Low: 88_000, Likely: 190_000, High: 370_000}},
	} {
		rate, ok := knowledge.RoughRateFor(tt.currency)
		if got := roughRange(knowledge.Figures{180, 380, 750}, rate); !ok || got != tt.want {
			t.Errorf("%s: %v, want %v", tt.currency, got, tt.want)
		}
	}
	rate, _ := knowledge.RoughRateFor("EUR")
	if basis := basisIn(rate); !strings.Contains(basis, "1.2 EUR") || !strings.Contains(basis, rate.AsAt) {
		t.Errorf("basis %q", basis)
	}
}

func TestPicks(t *testing.T) {
	r := stand(t, looked(aLook("front-left-corner", "wheel-kerbed")))
	for _, p := range Picks(r, "front-left-corner") {
		if p.Noted != (p.Key == "wheel-kerbed") {
			t.Errorf("%s: noted %t", p.Key, p.Noted)
		}
		if len(p.Jobs) == 0 || p.Cost <= 0 || p.Cost != twoDigits(p.Cost) || strings.Contains(p.Jobs[0], "front left") {
			t.Errorf("%s: jobs %q, cost %g", p.Key, p.Jobs, p.Cost)
		}
	}
	if len(Picks(r, "moon")) > 0 {
		t.Error("something to pick on the moon")
	}
}
