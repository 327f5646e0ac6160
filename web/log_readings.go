package web

import (
	"encoding/json"
	"math"
	"net/http"
	"net/url"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// logReadings is a stretch of a log as the zoomable plot wants it: for each
// column of the screen the lowest and the highest reading.
type logReadings struct {
	FromS float64      `json:"from_s"` // of the whole log
	ToS   float64      `json:"to_s"`
	T     []float64    `json:"t"`
	Bar   []float64    `json:"bar"`
	Runs  [][2]float64 `json:"runs"`
	Used  []float64    `json:"used"` // when something was operated

	Fitted [][2]float64 `json:"fitted"` // time and bar, hold after hold
	Leak   [][2]float64 `json:"leak"`
	Holds  []int        `json:"holds"` // where in Fitted and Leak a hold begins
}

// mostColumns bounds what is asked for at once.
const mostColumns = 4000

// logReadingsShow gives the readings of a log between two moments, thinned to
// the width of a screen.
func (s *Server) logReadingsShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	said, err := s.saidLog(r, rb)
	if err != nil {
		return err
	}
	if said.Log == nil || len(said.Log.TimeS) == 0 {
		return notFound("There are no readings to draw.")
	}
	query := r.URL.Query()
	times := said.Log.TimeS
	out := logReadings{FromS: times[0], ToS: times[len(times)-1], Runs: [][2]float64{}, Used: []float64{}, Fitted: [][2]float64{}, Leak: [][2]float64{}, Holds: []int{}}
	from, to := secondsIn(query, "from", out.FromS), secondsIn(query, "to", out.ToS)
	columns, _ := strconv.Atoi(query.Get("columns"))
	out.T, out.Bar = thinned(times, said.Log.PressureBar, from, to, min(max(columns, 100), mostColumns))
	out.mark(said)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	return json.NewEncoder(w).Encode(out)
}

// mark adds what was found in the log.
func (l *logReadings) mark(said workshop.Recharged) {
	for _, c := range said.Cycles {
		l.Runs = append(l.Runs, [2]float64{c.OnS, c.OffS})
	}
	for _, a := range said.Result.Actuations {
		l.Used = append(l.Used, a.AtS)
	}
	for _, h := range said.Result.FittedHolds() {
		l.Holds = append(l.Holds, len(l.Fitted))
		for k := range h.Whole {
			l.Fitted = append(l.Fitted, [2]float64{h.Whole[k].AtS, h.Whole[k].Bar})
			l.Leak = append(l.Leak, [2]float64{h.Leak[k].AtS, h.Leak[k].Bar})
		}
	}
}

// secondsIn reads a moment of the address.
func secondsIn(query url.Values, name string, otherwise float64) float64 {
	v, err := strconv.ParseFloat(query.Get(name), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return otherwise
	}
	return v
}

// thinned are the readings from one moment to another: all of them where they
// fit, else the lowest and the highest of each column, in the order of time.
func thinned(times, bar []float64, from, to float64, columns int) (t, b []float64) {
	t, b = []float64{}, []float64{}
	low, high := -1, -1
	column := -1
	flush := func() {
		if low < 0 {
			return
		}
		first, second := min(low, high), max(low, high)
		t, b = append(t, times[first]), append(b, bar[first])
		if second != first {
			t, b = append(t, times[second]), append(b, bar[second])
		}
		low, high = -1, -1
	}
	for i, at := range times {
		if at < from || at > to {
			continue
		}
		if c := int(float64(columns) * (at - from) / max(to-from, 1e-9)); c != column {
			flush()
			column = c
		}
		if low < 0 || bar[i] < bar[low] {
			low = i
		}
		if high < 0 || bar[i] > bar[high] {
			high = i
		}
	}
	flush()
	return t, b
}

// mostLogs bounds the memory of logs that were read, which zooming asks for again
// and again: a million readings take some 20 MB.
const mostLogs = 2

// saidLog is what the log that the address names says.
func (s *Server) saidLog(r *http.Request, rb *rebuild.Rebuild) (workshop.Recharged, error) {
	f := &Form{}
	for name, values := range r.URL.Query() {
		f.Set(name, values...)
	}
	page, err := s.readLog(r, rb, f, true)
	if err != nil || page.Said == nil {
		return workshop.Recharged{}, err
	}
	return *page.Said, nil
}

// Readings is where the zoomable plot finds the log's readings.
func (p logPage) Readings() string {
	f := &Form{}
	for _, v := range p.Along() {
		f.Set(v.Name, v.Value)
	}
	return p.Base() + "/bench/readings?" + logQuery(f)
}
