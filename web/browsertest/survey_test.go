package browsertest

import (
	"fmt"
	"net/http"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// A body by tape, on a phone: line after line by the keys of the page, a reading
// that differs asked for again, readings kept over a lost signal, kept as evidence.
func TestSurveyStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); surveyStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); surveyStory(t, false) })
}

// noSignal makes everything that the page sends fail, signal mends it.
const (
	noSignal = `(window.sends = XMLHttpRequest.prototype.send, window.fetches = window.fetch,
XMLHttpRequest.prototype.send = function () { var x = this; setTimeout(function () { x.dispatchEvent(new ProgressEvent('error')); }); },
window.fetch = function () { return Promise.reject(new TypeError('no signal')); }, true)`
	signal = `(XMLHttpRequest.prototype.send = window.sends, window.fetch = window.fetches, window.dispatchEvent(new Event('online')), true)`
)

func surveyStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/bench"), http.StatusOK)
	b.press(`a[href$="/bench/survey"]`)
	b.pick("kind", "quick")
	b.press(`.sheet .actions button`)
	b.holds("main", "Across the front", "0 of 10 readings")
	readings := func() int {
		survey, err := workshop.ReadBodySurvey(car.now().Sheets[0].Told)
		if err != nil {
			t.Fatal(err)
		}
		return len(survey.Readings)
	}
	read := func(mm, says string) {
		t.Helper()
		if !scripts {
			b.write("#mm", mm)
			b.press(`.survey-add`)
			b.holds("main", says)
			return
		}
		for _, key := range mm {
			b.click(fmt.Sprintf(`[data-key="%c"]`, key))
		}
		b.click(`.check-pad-add`)
		b.await(says, fmt.Sprintf("document.querySelector('main').textContent.includes(%q)", says))
	}
	read("840", "Front left to rear right")
	if scripts {
		b.watch.expect("htmx:")
		ask[bool](b, noSignal)
		read("2815", "1 reading is kept in this phone")
		b.holds(".survey-line", "Front right to rear left")
		read("2801", "2 readings are kept in this phone")
		ask[bool](b, signal)
		b.await("both are sent", "!!document.querySelector('[data-survey-kept][hidden]') && document.querySelector('main').textContent.includes('3 of 10 readings')")
	} else {
		read("2815", "Front right to rear left")
		read("2801", "3 of 10")
	}
	if n := readings(); n != 3 {
		t.Fatalf("%d readings", n)
	}
	read("1460", "Across the rear")
	read("1060", "Reading 2 of this line")
	read("852", "too far apart: read it once more")
	read("840.5", "set aside")
	for i, mm := range []string{"2815", "2801", "1460"} {
		read(mm, fmt.Sprintf("%d of 10 readings", 7+i))
	}
	b.holds(".survey-line", "Across the rear")
	read("1060", "All of the list is read")
	b.press(`.survey-now .empty a`)
	b.holds("main", "Fail", "14.0 mm longer", "What five lines cannot see")
	b.press(`form[action$="/keep"] .actions button`)
	b.holds("main", "Fail", "survey.json")
	r := car.now()
	last := len(r.Evidence) - 1
	if last < 0 || r.Evidence[last].Instrument != rebuild.InstrumentQuickSurvey || readings() != 11 {
		t.Fatalf("kept %+v", r.Evidence)
	}
	if scripts {
		lookAtSurvey(t, b, car, r.Evidence[last].ID)
	}
}

// Readings that were kept over a lost signal and are refused afterwards stay, all of
// them and in their order, and nothing that is being typed is written over.
func TestARefusedKeptReadingIsNotLost(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := fill(t, s)
	b := newTab(t, s)
	b.width(phone)
	b.open(car.path("/bench/survey"), http.StatusOK)
	b.pick("kind", "quick")
	b.press(`.sheet .actions button`)
	b.watch.expect("htmx:")
	b.watch.expect("422")
	b.watch.expect("404")
	readings := func() []workshop.TapeReading {
		survey, err := workshop.ReadBodySurvey(car.now().Sheets[0].Told)
		if err != nil {
			t.Fatal(err)
		}
		return survey.Readings
	}
	waiting := func(n int) {
		t.Helper()
		b.await(fmt.Sprintf("%d wait", n), fmt.Sprintf("JSON.parse(localStorage.getItem('survey-kept:' + location.pathname) || '[]').length === %d", n))
	}
	take := func(mm string) {
		b.write("#mm", mm)
		b.click(`.check-pad-add`)
	}
	ask[bool](b, noSignal)
	for i, mm := range []string{"0", "-1", "2801"} {
		take(mm)
		waiting(i + 1)
	}
	b.write("#mm", "77")
	ask[bool](b, signal)
	b.await("the refusal", "document.querySelector('[data-survey-kept]').textContent.includes('expected above 0')")
	b.holds("[data-survey-kept]", "Across the front: 0 mm", "-1 mm, waits", "2801 mm, waits")
	waiting(3)
	if v := valueOf(b, "#mm"); v != "77" {
		t.Errorf("the field holds %q", v)
	}
	b.click(`[data-survey-kept] button`)
	waiting(3)
	ask[bool](b, "(document.querySelector('#mm').value = '', true)")
	b.click(`[data-survey-kept] button`)
	b.await("it stands in the field", "document.querySelector('#mm').value === '0'")
	b.await("the second is refused", "!!document.querySelector('[data-survey-kept] li')?.textContent.includes('-1 mm')")
	waiting(2)
	b.holds(".survey-line", "Across the front")
	b.write("#mm", "841")
	ask[bool](b, `(document.querySelectorAll('[data-survey-kept] li button')[1].click(), true)`)
	b.await("the last is sent", "document.querySelector('[data-survey-kept][hidden]') !== null")
	if v := valueOf(b, "#mm"); v != "841" {
		t.Errorf("what was typed is gone: %q", v)
	}
	if list := readings(); len(list) != 1 || list[0].Mm != 2801 {
		t.Errorf("%+v", list)
	}
	b.click(`.check-pad-add`)
	b.await("it is taken", "document.querySelector('main').textContent.includes('2 of 10 readings')")
	ask[bool](b, noSignal)
	take("2815")
	waiting(1)
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.DeleteSheet(r.Sheets[0].ID, r.Sheets[0].Rev)
	})
	ask[bool](b, signal)
	b.await("that the survey is gone", "document.querySelector('[data-survey-kept]').textContent.includes('not there any more')")
	waiting(1)
}

// lookAtSurvey holds the pages of a survey against the rules.
func lookAtSurvey(t *testing.T, b *tab, car *car, evidence int64) {
	t.Helper()
	source := needAxe(t)
	at := fmt.Sprintf("/bench/survey/%d", car.now().Sheets[0].ID)
	b.open(car.path("/bench/survey"), http.StatusOK)
	b.pick("kind", "short")
	b.press(`.sheet .actions button`)
	b.holds("main", "0 of 18 points are fixed")
	points := fmt.Sprintf("/bench/survey/%d", car.now().Sheets[1].ID)
	b.open(car.path(points+"/points"), http.StatusOK)
	b.click(`[data-map] svg`)
	b.await("a tap says where", "document.querySelector('#x').value !== ''")
	for _, page := range []string{"/bench/survey", at, at + "/measure", points + "/points", points + "/points?point=L1", points + "/measure", points + "/tape", points + "/files", points, fmt.Sprintf("/bench/evidence/%d", evidence), "/bench/survey/compare"} {
		look(b, source, visit{name: "survey " + page, path: car.path(page), status: http.StatusOK, brief: true})
	}
	look(b, source, visit{name: "a refused reading", path: car.path(points + "/measure"), status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
		b.write("#mm", "12x")
		b.click(`.check-pad-add`)
		b.await("what is wrong", "document.querySelector('#problems') !== null")
		b.holds("#problems", "is not a number")
	}})
}
