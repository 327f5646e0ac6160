package web

import (
	"net/http"
	"net/url"
	"testing"
)

// What the forms take, however large, the pages can show.
func TestPagesBearTheLargestFigures(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"Skua"}, "hour_value": {"1000000.01"}}), http.StatusUnprocessableEntity, "between 0 and 1000000")
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"Skua"}, "hour_value": {"1000000"}, "hours_per_week": {"0.001"}, "correlation": {"0.95"}, "ceiling": {"0.01"}}), http.StatusSeeOther)
	g.wants(g.post(g.path("/zones/cabin"), url.Values{"rev": {"0"}, "hidden_expected": {"100"}, "hidden_cost.low": {"1"}, "hidden_cost.likely": {"2"}, "hidden_cost.high": {"100000000"}}), http.StatusSeeOther)
	g.wants(g.post(g.path("/jobs"), url.Values{
		"title": {"All of it"}, "safety": {"none"}, "reference": {"9999999999"},
		"routes.1.kind": {"repair"}, "routes.1.method": {"plain"}, "routes.1.name": {"x"}, "routes.1.choose": {"1"},
		"routes.1.cost.low": {"1"}, "routes.1.cost.likely": {"2"}, "routes.1.cost.high": {"100000000"}, "routes.1.hours.likely": {"100000"},
		"routes.1.works": {"1"}, "routes.1.fallback.name": {"y"}, "routes.1.fallback.cost.likely": {"100000000"},
	}), http.StatusSeeOther)
	g.wants(g.post(g.path("/ledger"), url.Values{"amount": {"9999999999"}, "on": {"2026-05-01"}, "kind": {"part"}, "what": {"x"}}), http.StatusSeeOther)
	for _, page := range []string{"/now", "/jobs", "/jobs.csv", "/money", "/ledger", "/zones/cabin", "/findings", "/car", "/history"} {
		w := g.get(g.path(page))
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d %s", page, w.Code, w.Body)
		}
	}
}
