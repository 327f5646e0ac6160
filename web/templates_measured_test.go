package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// measuredPages are the pages of what is measured over several visits: body surveys,
// wheel angles, noise.
func (g *templateRig) measuredPages(t *testing.T) []rendering {
	t.Helper()
	heard := url.Values{}
	for _, e := range g.skua.Evidence {
		if e.Instrument == rebuild.InstrumentNoise && e.Phase != "" {
			heard.Set(string(e.Phase), strconv.FormatInt(e.ID, 10))
		}
	}
	list := []rendering{
		{"angles", "/r/1/bench/angles", nil, http.StatusOK},
		{"angles", "/r/1/bench/angles", url.Values{"do": {"look"}, "wheels.FL.camber_deg": {"askew"}}, http.StatusUnprocessableEntity},
		{"noise", "/r/1/bench/noise", nil, http.StatusOK},
		{"error", "/r/1/bench/noise/compare", nil, http.StatusNotFound},
		{"noise_compare", "/r/1/bench/noise/compare?" + heard.Encode(), nil, http.StatusOK},
		{"survey_list", "/r/1/bench/survey", nil, http.StatusOK},
		{"survey_list", "/r/1/bench/survey", url.Values{"kind": {"by eye"}}, http.StatusUnprocessableEntity},
		{"survey_compare", "/r/1/bench/survey/compare", nil, http.StatusOK},
		{"noise_road", g.begins(t, "/r/1/bench/noise/road", url.Values{"request": {"road"}}), nil, http.StatusOK},
	}
	for _, kind := range []string{beginQuick, beginShort} {
		at := g.begins(t, "/r/1/bench/survey", url.Values{"kind": {kind}, "request": {"begin " + kind}})
		at = at[:strings.LastIndexByte(at, '/')]
		for name, path := range map[string]string{"survey": "", "survey_measure": "/measure", "survey_tape": "/tape", "survey_files": "/files"} {
			list = append(list, rendering{name, at + path, nil, http.StatusOK})
		}
		if kind == beginShort {
			list = append(list, rendering{"survey_points", at + "/points", nil, http.StatusOK})
		}
	}
	return list
}

// begins sends a form that begins a sheet, and gives the address it leads to.
func (g *templateRig) begins(t *testing.T, path string, form url.Values) string {
	t.Helper()
	r := httptest.NewRequest(http.MethodPost, "http://localhost"+path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	g.ServeHTTP(w, r)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s: status %d\n%s", path, w.Code, w.Body)
	}
	to, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	return to
}
