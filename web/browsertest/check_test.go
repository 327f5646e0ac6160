package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// A run-out by thumb: reading by reading with a verdict after each, taken back,
// kept over a reload, kept as evidence; with scripts and without.
func TestCheckStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); checkStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); checkStory(t, false) })
}

func checkStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/bench"), http.StatusOK)
	b.press(`a[href$="/bench/check"]`)
	b.press(`a[href$="/bench/check/disc-run-out"]`)
	page := car.path(fmt.Sprintf("/bench/check/disc-run-out?job=%d", car.upright))
	b.open(page, http.StatusOK)
	b.holds("main", "Dial gauge", "No verdict yet")
	add := func(reading, says string) {
		t.Helper()
		if scripts { // the keys of the page
			for _, key := range reading {
				b.click(fmt.Sprintf(`[data-key="%c"]`, key))
			}
			b.click(`[data-pad] [data-add]`)
			b.await(says, fmt.Sprintf("document.querySelector('#check-live').textContent.includes(%q)", says))
			return
		}
		b.write("#reading", reading)
		b.press(`button[value="add"]`)
		b.holds("#check-live", says)
	}
	add("0.13", "Fail")
	add("0.03", "Cannot tell")
	if scripts {
		b.click(`[data-undo]`)
		b.await("the list without it", "document.querySelectorAll('.check-taken li').length === 1")
	} else {
		b.press(`[data-undo]`)
	}
	b.holds(".check-taken", "0.13")
	add("0.14", "0.14")
	if scripts {
		b.open(page, http.StatusOK) // as after a locked screen
		b.holds(".draft-note", "was kept")
		b.await("what they say", "document.querySelectorAll('.check-taken li').length === 2")
	}
	b.pick("phase", "before")
	b.write("#which", "left")
	b.press(`button[value="keep"]`)
	b.holds("main", "Fail", "Run-out of a fitted brake disc, left", "readings.txt")
	r := car.now()
	if len(r.Evidence) != 1 || r.Evidence[0].Verdict != rebuild.VerdictFail || r.Evidence[0].JobID != car.upright || !strings.Contains(r.Evidence[0].Settings, "disc-run-out") {
		t.Errorf("kept %+v", r.Evidence)
	}
	b.press(`.undo-line button`)
	if n := len(car.now().Evidence); n != 0 {
		t.Errorf("%d measurements after the undo", n)
	}
}

// Codes pasted, kept, made a finding, a case opened.
func TestCodesStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); codesStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); codesStory(t, false) })
}

func codesStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := startEmpty(t, s)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/bench/codes"), http.StatusOK)
	b.write("#text", "P0301 stored")
	b.press(`button[value="look"]`)
	b.holds("main", "cylinder 1", "Cannot tell")
	b.press(`button[value="keep"]`)
	b.holds("main", "codes.txt", "Make it a finding")
	b.press(`.code-do button`)
	b.holds("main", "Is a finding")
	if f := car.now().Findings; len(f) != 1 || f[0].HowFound != rebuild.FaultCode {
		t.Errorf("findings %+v", f)
	}
	b.press(`.code-do a.button`)
	b.holds("main", "New case")
}

// The pages in the states that a phone meets, held against the accessibility rules.
func TestCheckPagesAreAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	car := fill(t, s)
	at := func(p string) string { return car.path("/bench/" + p) }
	list := []visit{
		{name: "quantities", path: at("check"), status: http.StatusOK},
		{name: "no quantity by these words", path: at("check?q=nothing-is-like-that"), status: http.StatusOK, brief: true},
		{name: "check, empty", path: at("check/brake-fluid"), status: http.StatusOK},
		{name: "check of four wheels", path: at("check/service-brake"), status: http.StatusOK, brief: true},
		{name: "check of a tyre's age", path: at("check/tyre-age"), status: http.StatusOK, brief: true},
		{name: "check of wear", path: at("check/clutch-wear"), status: http.StatusOK, brief: true},
		{name: "check of an own quantity", path: at("check/own?form=difference"), status: http.StatusOK, brief: true},
		{name: "check, open", path: at("check/disc-run-out"), status: http.StatusOK, before: func(b *tab) { takeReadings(b, "0.09", "0.1", "0.095") }},
		{name: "check, failed", path: at("check/tyre-tread"), status: http.StatusOK, brief: true, before: func(b *tab) { takeReadings(b, "1.2", "1.1") }},
		{name: "check, refused", path: at("check/hub-run-out"), status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.press(`button[value="keep"]`)
			b.holds("#problems", "no reading yet")
		}},
		{name: "check, kept", path: at("check/hub-float"), status: http.StatusOK, before: func(b *tab) {
			takeReadings(b, "0.02", "0.03")
			b.press(`button[value="keep"]`)
			b.holds("main", "readings.txt")
		}},
		{name: "check of an axle", path: at("check/brake-imbalance"), status: http.StatusOK, brief: true, before: func(b *tab) {
			b.write("#part\\.left", "2300; 2350")
			b.write("#part\\.right", "1900")
			b.click(`button[value="look"]`)
			b.await("the verdict", "document.querySelector('#check-live .verdict-big') !== null")
		}},
		{name: "codes, empty", path: at("codes"), status: http.StatusOK},
		{name: "codes, read", path: at("codes"), status: http.StatusOK, before: func(b *tab) {
			readCodes(b, "look")
		}},
		{name: "codes, kept", path: at("codes"), status: http.StatusOK, before: func(b *tab) { readCodes(b, "keep") }},
	}
	lookAtAll(t, s, source, list)
}

func takeReadings(b *tab, readings ...string) {
	for i, r := range readings {
		b.write("#reading", r)
		b.click(`[data-pad] [data-add]`)
		b.await("the reading", fmt.Sprintf("document.querySelectorAll('.check-taken li').length === %d", i+1))
	}
}

func readCodes(b *tab, do string) {
	ask[bool](b, `(document.querySelector('#text').value = 'P0301 stored\nP1234\nPO420\n41 0C 1A F8\n41 01 81 07 65 20') !== ''`)
	b.press(fmt.Sprintf(`button[value="%s"]`, do))
	b.holds("main", "cylinder 1", "Live values")
}
