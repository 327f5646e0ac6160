package browsertest

import (
	"net/http"
	"testing"
)

// At the viewing, phone in hand: tap the zone on the drawing, tick, save, see the
// sum, take it back. With scripts and without.
func TestWalkRound(t *testing.T) {
	t.Parallel()
	for _, scripts := range []bool{true, false} {
		s := serve(t)
		car := startEmpty(t, s)
		b := newTab(t, s)
		if !scripts {
			b.noScripts()
		}
		b.width(phone)
		b.open(car.path("/walk"), http.StatusOK)
		b.holds("main", "0 of 24 zones", "Nothing to add up yet")
		b.press(`.walk-plan svg a[href*="zone=front-left-corner"]`)
		b.holds("#look-head", "Front left wheel")
		b.whole(phone)
		b.click(`input[name="seen"][value="wheel-pushed-back"]`)
		b.click(`input[name="seen"][value="tyre"]`)
		b.pick("hit", "medium")
		b.press(`#look form .actions button:first-child`)
		b.holds(".did", "2 findings", "3 jobs", "reserve")
		b.holds("main", "1 of 24 zones", "Would come to about", "Next: front bumper")
		rb := car.now()
		if z := rb.Zone("front-left-corner"); len(rb.Findings) != 2 || len(rb.Jobs) != 3 || z.HiddenExpected != 1.2 {
			t.Errorf("scripts %t: %d findings, %d jobs, zone %+v", scripts, len(rb.Findings), len(rb.Jobs), z)
		}
		b.press(`.did button`)
		b.holds("main", "0 of 24 zones", "Nothing to add up yet")
		if rb := car.now(); len(rb.Findings)+len(rb.Jobs) != 0 {
			t.Errorf("scripts %t: the undo left %d findings, %d jobs", scripts, len(rb.Findings), len(rb.Jobs))
		}
	}
}
