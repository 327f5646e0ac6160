package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// Three things come off with what hangs together, get their labels, and go back:
// in the right order, the one with one-time bolts not before those are there, and
// at the end nothing is left over. Once with scripts and once without.
func TestStripStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); stripStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); stripStory(t, false) })
}

func stripStory(t *testing.T, scripts bool) {
	s := serve(t)
	startEmpty(t, s)
	b := newTab(t, s)
	if !scripts {
		b.noScripts()
	}
	b.open("/r/1/now", http.StatusOK)
	b.press(`.tabs a[href$="/strip"]`)
	b.holds("main", "Nothing came off yet")
	takeThreeOff(b, picture(t, "caliper.png"), scripts)
	numberPhoto(b, scripts)
	printLabels(b)
	putAllBack(b)
	strippedWhole(t, s)
}

func takeThreeOff(b *tab, photo string, scripts bool) {
	b.t.Helper()
	b.write("#what", "Wheel")
	b.choose("#zone", "front-left-corner")
	b.write(`[name="fasteners.1.count"]`, "5")
	b.write(`[name="fasteners.1.thread"]`, "M14x1.5")
	b.write(`[name="fasteners.1.tool"]`, "19 mm socket")
	b.pick("condition", "reuse")
	b.press(`#take .actions button`)
	b.holds(".did", "Done: you took off")
	b.holds(".off-just", "1. Wheel", "B1 goes on the bag")
	// The zone stays; what came off last is offered as what had to come off first.
	b.holds("#take-head", "Front left wheel and suspension")
	b.holds("#take", "Brakes")
	b.hand("#photos", photo)
	b.write("#what", "Caliper")
	b.click(`label.pick:has(input[name="after"])`)
	b.write(`[name="fasteners.1.count"]`, "2")
	b.write(`[name="fasteners.1.thread"]`, "M12x1.5")
	b.click(`label.check:has([name="fasteners.1.one_time"])`)
	b.write(`[name="fasteners.1.to_buy"]`, "caliper bolt")
	b.write("#connectors", "pad wear plug")
	b.press(`#take .actions button`)
	b.holds(".off-just", "2. Caliper", "B2 goes on the bag")
	b.write("#what", "Hub cap")
	b.write(`[name="fasteners.1.count"]`, "1")
	b.write(`[name="fasteners.1.thread"]`, "M14x1.5")
	if scripts { // the thread brings the tool it had before
		b.do("leaving the field", focus("#what"))
		b.await("the tool", `document.querySelector('[name="fasteners.1.tool"]').value === '19 mm socket'`)
	}
	b.press(`#take .actions button`)
	b.press(`.off-again button[value="1"]`)
	b.holds(".off-just", "4. Hub cap (2)")
	b.press(`.did button`)
	b.holds(".off-sum", "3 of 3 things still off")
}

func numberPhoto(b *tab, scripts bool) {
	b.t.Helper()
	b.press(`#trail a.off-item[href$="/2"]`)
	if scripts {
		b.await("the photo", `document.querySelector('[data-marked]').naturalWidth > 0`)
		b.click("[data-marked]")
		b.await("the number drawn", `document.querySelector('.off-marks circle') !== null`)
		b.write(`[name="mark.0.1.text"]`, "upper bolt")
	} else {
		b.write(`[name="mark.0.1.text"]`, "upper bolt")
		b.choose(`[name="mark.0.1.place"]`, "50 50")
	}
	b.press(`form[data-marks] .actions button`)
	b.holds(".off-legend", "upper bolt")
	at := ask[string](b, `document.querySelector('.off-marks circle').getAttribute('cx')`)
	if !strings.HasPrefix(at, "50") && !strings.HasPrefix(at, "49") {
		b.t.Errorf("the number in the middle stands at %s", at)
	}
}

func printLabels(b *tab) {
	b.t.Helper()
	b.press(`.tabs a[href$="/strip"]`)
	b.press(`.off-nav a[href$="/labels"]`)
	if n := ask[int](b, `document.querySelectorAll('.label-sheet .fig-label').length`); n != 3 {
		b.t.Errorf("%d labels are drawn; want 3", n)
	}
	b.press(`form[method=post][action$="/labels"] button`)
	b.holds("main", "every bag has its label")
}

func putAllBack(b *tab) {
	b.t.Helper()
	b.press(`.off-nav a[href$="/refit"]`)
	b.holds("main", "3 things still off", "The 2 new fasteners (M12x1.5, caliper bolt) have not arrived")
	ready := func() string {
		return ask[string](b, `[...document.querySelectorAll('.refit-line:has(form.refit-back) .off-what')].map(e => e.textContent).join(', ')`)
	}
	if got := ready(); got != "Hub cap" {
		b.t.Errorf("%q can go back; want the hub cap alone", got)
	}
	b.click(`#item-3 label.check`)
	b.press(`#item-3 form.refit-back button`)
	b.holds(".did", "put back")
	b.press(`form[action$="/refit/buy"]:has([value="ordered"]) button`)
	b.holds("main", "ordered 4 May 2026")
	b.press(`form[action$="/refit/buy"]:has([value="arrived"]) button`)
	if got := ready(); got != "Caliper" {
		b.t.Errorf("%q can go back at once; want the caliper, and the wheel after it", got)
	}
	b.holds("#item-1", "After what stands above it")
	b.click(`#item-2 label.check:has([name="emptied"])`)
	b.click(`#item-2 label.check:has([name="made"])`)
	b.press(`#item-2 form.refit-back button`)
	b.press(`#item-1 form.refit-back button`) // the bag is not ticked
	b.holds("#left", "All is back on, but", "5 fasteners not back on the car", "B1")
	b.press(`#left form button`)
	b.holds("#left", "Nothing is left over")
	b.press(`.did button`)
	b.holds("#left", "5 fasteners not back on the car")
}

// strippedWhole looks into the book itself.
func strippedWhole(t *testing.T, s *served) {
	t.Helper()
	r, err := s.book.Load(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Strip) != 3 || len(r.StillOff("")) != 0 || r.LeftOver().Fasteners != 5 || r.Strip[1].Fasteners[0].ArrivedOn != "2026-05-04" || len(r.Strip[1].After) != 1 {
		t.Errorf("the trail is %+v", r.Strip)
	}
	if problems, err := s.book.Verify(t.Context()); err != nil || len(problems) > 0 {
		t.Errorf("the book: %v, %v", problems, err)
	}
}

// What was typed at the car survives a lost signal.
func TestStripDraftSurvivesALostSignal(t *testing.T) {
	t.Parallel()
	s := serve(t)
	startEmpty(t, s)
	b := newTab(t, s)
	b.open("/r/1/strip?zone=roof", http.StatusOK)
	b.write("#what", "Aerial foot")
	b.write(`[name="fasteners.1.count"]`, "4")
	b.loseWhileSending(s)
	b.open("/r/1/strip?zone=roof", http.StatusOK)
	b.holds(".draft-note", "What you typed here before was kept")
	if got := ask[string](b, `document.querySelector('#what').value + document.querySelector('[name="fasteners.1.count"]').value`); got != "Aerial foot4" {
		t.Errorf("kept is %q", got)
	}
	b.press(`#take .actions button`)
	b.holds(".off-just", "Aerial foot")
	if got := ask[string](b, `document.querySelector('#what').value`); got != "" {
		t.Errorf("after it was taken %q stands in the form", got)
	}
}

// The pages of a stripped corner keep to the accessibility rules.
func TestStripPagesAreAccessible(t *testing.T) {
	source := needAxe(t)
	s := serveDemo(t)
	r, err := s.book.Load(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	marked, waits := int64(0), int64(0)
	for _, item := range r.Strip {
		if len(item.Marks) > 0 {
			marked = item.ID
		}
		if item.Condition == rebuild.ConditionDamaged && item.Off() {
			waits = item.ID
		}
	}
	list := []visit{
		{name: "strip", path: "/r/1/strip", status: http.StatusOK},
		{name: "strip, just off", path: fmt.Sprintf("/r/1/strip?just=%d", marked), status: http.StatusOK, brief: true},
		{name: "strip, nothing fits", path: "/r/1/strip?q=nothing-is-like-that", status: http.StatusOK, brief: true},
		{name: "refit", path: "/r/1/refit", status: http.StatusOK},
		{name: "refit, a part", path: "/r/1/refit?zone=front-left-corner", status: http.StatusOK, brief: true},
		{name: "labels", path: "/r/1/strip/labels", status: http.StatusOK},
		{name: "labels, none", path: "/r/2/strip/labels", status: http.StatusOK, brief: true},
		{name: "refit, none", path: "/r/2/refit", status: http.StatusOK, brief: true},
		{name: "a thing with numbers on its photo", path: fmt.Sprintf("/r/1/strip/%d", marked), status: http.StatusOK},
		{name: "a damaged thing", path: fmt.Sprintf("/r/1/strip/%d", waits), status: http.StatusOK, brief: true},
		{name: "strip, refused", path: "/r/1/strip", status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.write("#what", "Arm")
			b.write(`[name="fasteners.1.count"]`, "some")
			b.press(`#take .actions button`)
			b.holds("#problems", "is not a whole number")
		}},
	}
	lookAtAll(t, s, source, list)
}
