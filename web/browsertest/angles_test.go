package browsertest

import (
	"fmt"
	"net/http"
	"testing"

	"wreckwright/rebuild"
)

// Wheel angles by thumb on a phone: half of it put aside, gone on with, worked
// out, kept; with scripts and without.
func TestAnglesStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); anglesStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); anglesStory(t, false) })
}

func anglesStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/bench"), http.StatusOK)
	b.press(`a[href$="/bench/angles"]`)
	b.holds("main", "1. Stand the car ready", "12. How sure a reading is")
	b.write(`[name="rim.front"]`, "483")
	b.write(`[name="wheels.FL.front_mm"]`, "152")
	b.write(`[name="wheels.FL.rear_mm"]`, "600")
	if scripts {
		b.open(car.path("/bench/angles"), http.StatusOK) // as after a locked screen
		b.holds(".draft-note", "was kept")
	}
	b.write("#title", "Sunday")
	b.press(`button[value="aside"]`)
	b.holds("h1", "Sunday")
	b.watch.expect("status of 422")
	b.press(`button[value="look"]`)
	b.holds("#problems", "Front left: line to the front edge", "more than 30 degrees")
	b.write(`[name="wheels.FL.rear_mm"]`, "149")
	b.write(`[name="wheels.FL.camber_deg"]`, "-1°18'")
	b.write(`[name="wheels.FR.front_mm"]`, "151")
	b.write(`[name="wheels.FR.rear_mm"]`, "150.5")
	b.write(`[name="want.front.total_toe_deg.low"]`, "0.1 ± 0.05")
	b.write(`[name="want.source"]`, "invented")
	b.press(`button[value="look"]`)
	b.holds("#result", "Fail", "Front total toe", "−1.30°", "Angles are drawn")
	b.press(`button[value="keep"]`)
	b.holds("main", "Fail", "Where the wheels point", "angles.yaml")
	r := car.now()
	last := len(r.Evidence) - 1
	if last < 0 || r.Evidence[last].Instrument != rebuild.InstrumentAngles || r.Evidence[last].Title != "Sunday" || len(r.Sheets) != 0 {
		t.Fatalf("kept %+v, %d sheets", r.Evidence, len(r.Sheets))
	}
	if !scripts {
		return
	}
	source := needAxe(t)
	for _, v := range []visit{
		{name: "wheel angles, kept", path: car.path(fmt.Sprintf("/bench/evidence/%d", r.Evidence[last].ID)), status: http.StatusOK},
		{name: "wheel angles", path: car.path("/bench/angles"), status: http.StatusOK},
		{name: "wheel angles, worked out", path: car.path("/bench/angles"), status: http.StatusOK, before: func(b *tab) {
			b.write(`[name="wheels.FL.camber_deg"]`, "-1.3")
			b.press(`button[value="look"]`)
			b.holds("#result", "Cannot tell")
		}},
	} {
		look(b, source, v)
	}
}
