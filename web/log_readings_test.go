package web

import (
	"encoding/json"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestReadingsForTheZoom(t *testing.T) {
	g := newSurveyRig(t)
	log := g.keepFile("skua.csv", "text/csv", []byte(tooth("time_s,pressure_bar")))
	at := g.path("/bench/readings?log=" + log.Hash)
	var whole, part logReadings
	for address, into := range map[string]*logReadings{at: &whole, at + "&from=300&to=620&columns=100": &part} {
		w := g.get(address)
		g.wants(w, http.StatusOK)
		if err := json.Unmarshal(w.Body.Bytes(), into); err != nil {
			t.Fatal(err)
		}
	}
	if whole.FromS != 0 || whole.ToS != 1524 || len(whole.Runs) < 3 || len(whole.T) > 202 {
		t.Errorf("from %g to %g, %d runs, %d readings", whole.FromS, whole.ToS, len(whole.Runs), len(whole.T))
	}
	if len(part.T) < 50 || part.T[0] < 300 || part.T[len(part.T)-1] > 620 || part.FromS != 0 {
		t.Errorf("the stretch has %d readings from %g", len(part.T), part.T[0])
	}
	g.wants(g.get(g.path("/bench/readings")), http.StatusNotFound)
	g.wants(g.get(g.path("/bench/readings?log="+strings.Repeat("0", 64))), http.StatusNotFound)
	words := g.keepFile("words.csv", "text/csv", []byte("time_s,pressure_bar\n0,x\n"))
	g.wants(g.get(g.path("/bench/readings?log="+words.Hash)), http.StatusNotFound)
	page := g.get(g.path("/bench/recharge?" + url.Values{"log": {log.Hash}, "name": {"skua.csv"}}.Encode()))
	g.wants(page, 200, "data-readings=\"/r/1/bench/readings?log="+log.Hash, "uplot.min.js")
}

// TestThinningKeepsTheExtremes: whatever the readings, the lowest and the highest
// stay, nothing is invented, time rises and there are two a column at most.
func TestThinningKeepsTheExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar := rapid.SliceOfN(rapid.Float64Range(-1, 300), 1, 400).Draw(t, "bar")
		times, at := make([]float64, len(bar)), 0.0
		known := map[[2]float64]bool{}
		low, high := math.Inf(1), math.Inf(-1)
		for i := range bar {
			at += rapid.Float64Range(0, 3).Draw(t, "step")
			times[i] = at
			known[[2]float64{at, bar[i]}] = true
			low, high = min(low, bar[i]), max(high, bar[i])
		}
		columns := rapid.IntRange(1, 50).Draw(t, "columns")
		gotT, gotBar := thinned(times, bar, times[0], at, columns)
		gotLow, gotHigh := math.Inf(1), math.Inf(-1)
		for i := range gotT {
			if !known[[2]float64{gotT[i], gotBar[i]}] || i > 0 && gotT[i] < gotT[i-1] {
				t.Fatalf("reading %d, %g bar at %g s, is none or out of order", i, gotBar[i], gotT[i])
			}
			gotLow, gotHigh = min(gotLow, gotBar[i]), max(gotHigh, gotBar[i])
		}
		if gotLow != low || gotHigh != high || len(gotT) > 2*(columns+1) {
			t.Fatalf("%g to %g in %d readings, want %g to %g in %d columns", gotLow, gotHigh, len(gotT), low, high, columns)
		}
	})
}
