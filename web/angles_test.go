package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/bench/angles/anglesfile"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// readCar is an invented car as a person types it.
func readCar() url.Values {
	f := url.Values{}
	for field, text := range map[string]string{
		"show": "degrees", "lines": "parallel", "rim.front": "483", "rim.rear": "483",
		"wheels.FL.front_mm": "152,0", "wheels.FL.rear_mm": "149.0", "wheels.FL.camber_deg": "-2.9",
		"wheels.FR.front_mm": "151.0", "wheels.FR.rear_mm": "150.6", "wheels.FR.camber_deg": "-1°18'",
		"wheels.RL.front_mm": "171.4", "wheels.RL.rear_mm": "170.0", "wheels.RL.camber_deg": "-1 36",
		"wheels.RR.front_mm": "170.9", "wheels.RR.rear_mm": "170.1", "wheels.RR.camber_deg": "-90'",
		"want.front.total_toe_deg.low": "0°03' ± 0°06'", "want.front.camber_deg.low": "-1.75", "want.front.camber_deg.high": "-0.75",
		"want.source": "invented, page 4", "tie_rod.pitch_mm": "1.5", "tie_rod.arm_mm": "130", "tie_rod.arm": "behind",
		"reading_sd.line_mm": "0.3", "reading_sd.camber_deg": "3'",
	} {
		f.Set(field, text)
	}
	return f
}

// What is typed is worked out, kept as the file of the command, shown again.
func TestAnglesFromFormToEvidence(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/angles")
	g.wants(g.get(g.path("/bench")), 200, `href="`+at+`"`)
	page := g.get(at)
	g.wants(page, 200, "Front left", "Put aside half filled", "What can hurt here")
	for _, fault := range checkStructure(page.Body.String()) {
		t.Error(fault)
	}
	f := readCar()
	f.Set("do", "look")
	page = g.post(at, f)
	g.wants(page, 200, "verdict-big", "Front left camber", "−2.90°", "Track rod", "bent", "Angles are drawn", `value="-1.3"`, `value="-1.6"`)
	for _, fault := range checkStructure(page.Body.String()) {
		t.Error(fault)
	}
	f.Set("do", "keep")
	f.Set("phase", "before")
	f.Set("request", "twice")
	done := g.post(at, f)
	g.wants(done, http.StatusSeeOther)
	g.wants(g.post(at, f), http.StatusSeeOther)
	list := g.now().Evidence
	if len(list) != 1 {
		t.Fatalf("%d measurements are kept", len(list))
	}
	e := list[0]
	if e.Instrument != rebuild.InstrumentAngles || e.Verdict != rebuild.VerdictFail || e.Phase != rebuild.PhaseBefore || e.Raw[0].Name != workshop.AnglesName {
		t.Errorf("%+v", e)
	}
	page = g.get(done.Header().Get("Location"))
	g.wants(page, 200, "Where the wheels point", "wheels-above", "Measure it once more", "angles.yaml")
	for _, fault := range checkStructure(page.Body.String()) {
		t.Error(fault)
	}
	g.wants(g.get(fmt.Sprintf("%s?from=%d", at, e.ID)), 200, `value="invented, page 4"`, `value="483"`)
}

// A mistake stands at its field, and what was typed is kept.
func TestAnglesMistakes(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/angles")
	for _, c := range []struct{ field, text, wrong, says string }{
		{"wheels.FL.front_mm", "wide", "wheels.FL.front_mm", "is not a number"},
		{"wheels.FL.camber_deg", "1°75'", "wheels.FL.camber_deg", "minutes run from 0 to 59"},
		{"wheels.FR.camber_deg", "leaning", "wheels.FR.camber_deg", "is not an angle"},
		{"wheels.FL.rear_mm", "", "wheels.FL.rear_mm", "must be read"},
		{"rim.front", "", "rim.front", "must be read"},
		{"rim.front", "48", "rim.front", "is impossible"},
		{"wheels.FL.front_mm", "650", "wheels.FL.front_mm", "more than 30 degrees"},
		{"wheels.FL.turned.front_mm", "151", "wheels.FL.turned.rear_mm", "must be read"},
		{"wheels.FL.sweep.out_deg", "20", "wheels.FL.sweep.camber_out_deg", "must be read"},
		{"lines", "free", "gap.front.mm", "need the distance between them"},
		{"want.front.camber_deg.high", "", "want.front.camber_deg.low", "give both ends"},
		{"want.front.camber_deg.high", "-3", "want.front.camber_deg.low", "is above"},
		{"want.source", "", "want.source", "say where the limits are from"},
		{"corner_weights_kg.FL", "360", "corner_weights_kg.FR", "must be read"},
		{"ride_height_mm.RR", "340", "ride_height_mm.FL", "must be read"},
		{"turns.left.inner_deg", "20", "turns.left.outer_deg", "must be read"},
		{"tie_rod.arm_mm", "", "tie_rod.arm_mm", "must be read"},
		{"tie_rod.pitch_mm", "90", "tie_rod.pitch_mm", "is impossible"},
		{"floor.front.left_higher_mm", "6", "floor.front.track_mm", "must be read"},
		{"on", "2031-01-01", "on", "has not come yet"},
	} {
		f := readCar()
		f.Set("do", "keep")
		f.Set(c.field, c.text)
		page := g.post(at, f)
		g.wants(page, 422, c.says, `id="`+c.wrong+`-wrong"`)
		if c.text != "" && !strings.Contains(page.Body.String(), `value="`+strings.ReplaceAll(c.text, "'", "&#39;")+`"`) {
			t.Errorf("%s: %q is not in the form any more", c.field, c.text)
		}
	}
	for _, c := range []struct{ field, text, says string }{ // looked at, what is half read is left out and named
		{"wheels.FL.rear_mm", "", "Front left, line to rim: both edges and the rim must be read"},
		{"wheels.FL.turned.front_mm", "151", "Front left, half a turn on, line to rim"},
		{"wheels.FL.sweep.out_deg", "20", "Front left, sweep: both turns and both cambers"},
		{"corner_weights_kg.FL", "360", "The corner weights: all four wheels"},
		{"floor.front.left_higher_mm", "6", "over which track"},
		{"tie_rod.arm_mm", "", "The track rod: the thread and the arm"},
	} {
		f := readCar()
		f.Set("do", "look")
		f.Set(c.field, c.text)
		g.wants(g.post(at, f), 200, "Left out, half read", c.says, "What the readings say")
	}
	g.wants(g.post(at, url.Values{"do": {"look"}}), 422, "there are none")
	slip := readCar() // a slip of ten
	slip.Set("do", "look")
	slip.Set("wheels.FL.front_mm", "15.2")
	page := g.post(at, slip)
	g.wants(page, 200, "degrees of toe: read both edges and the rim again", "Nothing is turned there until then")
	if strings.Contains(page.Body.String(), "Track rod ") {
		t.Error("a slip of ten says what to turn")
	}
	slip.Set("do", "keep")
	g.wants(g.post(at, slip), 422, "or tick that it really reads that", `name="really"`)
	slip.Set("wheels.FL.front_mm", "-152")
	g.wants(g.post(at, slip), 422, "less than nothing")
	if n := len(g.now().Evidence); n != 0 {
		t.Errorf("%d measurements were kept", n)
	}
}

// A half-filled sheet is put aside with whatever stands in it, gone on with, and
// kept: then it is gone, in one change that can be undone.
func TestAnglesSheet(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/angles")
	half := url.Values{"do": {"aside"}, "show": {"minutes"}, "wheels.FL.front_mm": {"152.5"}, "wheels.FL.camber_deg": {"-1°1"}, "title": {"Wheels, Sunday"}, "request": {"a"}}
	done := g.post(at, half)
	g.wants(done, http.StatusSeeOther)
	g.wants(g.post(at, half), http.StatusSeeOther)
	sheets := g.now().Sheets
	if len(sheets) != 1 || sheets[0].Title != "Wheels, Sunday" {
		t.Fatalf("%+v", sheets)
	}
	page := g.get(done.Header().Get("Location"))
	g.wants(page, 200, `value="152.5"`, "Wheels, Sunday", "Throw this sheet away")
	g.wants(g.get(at), 200, "Half filled", "Wheels, Sunday")
	one := fmt.Sprintf("%s/%d", at, sheets[0].ID)

	// Somebody else goes on with it meanwhile.
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		s := rb.Sheets[0]
		s.Note = "the other phone"
		return rb.EditSheet(s)
	})
	f := readCar()
	f.Set("rev", fmt.Sprint(sheets[0].Rev))
	f.Set("do", "aside")
	g.wants(g.post(one, f), http.StatusConflict)
	f.Set("rev", fmt.Sprint(g.now().Sheets[0].Rev))
	f.Set("do", "keep")
	f.Set("request", "b")
	kept := g.post(one, f)
	g.wants(kept, http.StatusSeeOther)
	g.wants(g.post(one, f), http.StatusSeeOther) // sent again: the answer was lost
	if rb := g.now(); len(rb.Sheets) != 0 || len(rb.Evidence) != 1 {
		t.Errorf("%d sheets, %d measurements", len(rb.Sheets), len(rb.Evidence))
	}
	g.wants(g.get(one), http.StatusNotFound)
	g.wants(g.post(g.path("/undo"), url.Values{}), http.StatusSeeOther)
	if rb := g.now(); len(rb.Sheets) != 1 || len(rb.Evidence) != 0 {
		t.Errorf("undone: %d sheets, %d measurements", len(rb.Sheets), len(rb.Evidence))
	}
	g.wants(g.post(one+"/delete", url.Values{"rev": {fmt.Sprint(g.now().Sheets[0].Rev)}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/bench/angles/77")), http.StatusNotFound)
}

// Before and after the work are drawn over one another.
func TestAnglesBeforeAndAfter(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/angles")
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Upright, front left", Safety: rebuild.SafetySuspension, State: rebuild.JobOpen})
	})
	f := readCar()
	f.Set("do", "keep")
	f.Set("job", fmt.Sprint(job))
	f.Set("phase", "before")
	g.wants(g.post(at, f), http.StatusSeeOther)
	f.Set("wheels.FL.camber_deg", "-1.25")
	f.Set("phase", "after")
	done := g.post(at, f)
	g.wants(done, http.StatusSeeOther)
	g.wants(g.get(done.Header().Get("Location")), 200, "Before and after", "fig-wheel-before", "before the work")
}

// What is written as an angle is read as the same angle.
func TestAnglesAreReadAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-40, 40).Draw(t, "angle")
		for _, show := range []string{workshop.ShowDegrees, workshop.ShowMinutes} {
			got, err := readingText{}.angle(typedAngle(v, show))
			if err != nil || math.Abs(got-v) > 1.0/6000 {
				t.Fatalf("%v as %q: %v, %v", v, typedAngle(v, show), got, err)
			}
		}
	})
	for text, want := range map[string]float64{
		"-0°30'": -0.5, "−1° 18′": -1.3, "1 18": 1.3, "18'": 0.3, "-90'": -1.5, "-1.3°": -1.3, "+0.05": 0.05, "1°7.5'": 1.125, "20": 20,
	} {
		got, err := readingText{}.angle(text)
		if err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "x", "1°60'", "1 2 3", "--1", "1°", "1e5"} {
		if got, err := (readingText{}).angle(text); err == nil && text != "1°" {
			t.Errorf("%q gives %v", text, got)
		}
	}
	if v, err := (readingText{comma: true}).angle("-1,25"); err != nil || v != -1.25 {
		t.Errorf("with a comma: %v, %v", v, err)
	}
}

// The form and the file agree: what is kept is worked out alike by the command's
// own reader.
func TestAnglesFormWritesTheCommandsFile(t *testing.T) {
	f := &Form{Values: readCar()}
	text, _ := f.anglesText(readingText{})
	if len(f.Problems) > 0 {
		t.Fatal(f.Problems)
	}
	file, err := anglesfile.Parse("angles.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if got := *file.Case.Wheels[3].CamberDeg; got != -1.5 {
		t.Errorf("-90' is kept as %v", got)
	}
	if l := file.Case.Want[0]["total_toe_deg"]; math.Abs(l.Low+0.05) > 1e-9 || math.Abs(l.High-0.15) > 1e-9 {
		t.Errorf("0°03' ± 0°06' is kept as %+v", l)
	}
	if got := file.Case.Doubt.CamberDeg; got != 0.05 {
		t.Errorf("a doubt of 3' is kept as %v", got)
	}
}

func TestWhatToTurnInWords(t *testing.T) {
	for turns, want := range map[float64]string{0.05: "a touch (18°)", 0.25: "1/4 turn", 0.7: "3/4 turn", 1: "1 turn", 1.26: "1 1/4 turns", 2.1: "2 turns", 2.5: "2 1/2 turns"} {
		if got := turnsWords(turns); got != want {
			t.Errorf("%g turns: %q; want %q", turns, got, want)
		}
	}
	for turns, want := range map[float64]string{0.08: "½ flat of a hexagon", 1.0 / 6: "1 flat of a hexagon", 1.25: "7½ flats of a hexagon"} {
		if got := flatsWords(turns); got != want {
			t.Errorf("%g turns: %q; want %q", turns, got, want)
		}
	}
}
