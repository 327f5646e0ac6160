package web

import (
	"cmp"
	"errors"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"net/url"
	"strings"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// logPage is the instrument for a pressure log: the form that takes one and,
// once there is one, what it says.
type logPage struct {
	benchPage
	Log     *rebuild.Attachment // nil: none was chosen yet
	Columns []Option            // of its header
	Plot    template.HTML
}

// logShow reads the log that the address names, if it names one: so that what it
// says can be come back to.
func (s *Server) logShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetBench(r, rb)
	query := r.URL.Query()
	for name, values := range query {
		if name != "did" {
			f.Set(name, values...)
		}
	}
	page, err := s.readLog(r, rb, f)
	if err != nil {
		return err
	}
	return s.show(w, statusOf(f), "bench_log", page)
}

func statusOf(f *Form) int {
	if len(f.Problems) > 0 {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// readLog fills the page with what the form's log says. What is wrong with the
// log is a problem of the form.
func (s *Server) readLog(r *http.Request, rb *rebuild.Rebuild, f *Form) (logPage, error) {
	frame, err := s.frame(r, "Pressure log", "bench", rb)
	if err != nil {
		return logPage{}, err
	}
	page := logPage{benchPage: benchPage{Frame: frame, Entry: newBenchForm(rb, f), Cautions: unitCautions()}}
	hash := f.Value("log")
	if hash == "" {
		return page, nil
	}
	content, info, err := s.workshop.Book().OpenFile(r.Context(), hash)
	if errors.Is(err, store.ErrNoFile) {
		return page, notFound("The book has no such log. Choose it once more.")
	}
	if err != nil {
		return page, err
	}
	defer content.Close()
	page.Log = &rebuild.Attachment{Hash: hash, Name: cmp.Or(f.Value("name"), "log.csv"), MediaType: info.MediaType, Size: info.Size}
	page.Columns = columnOptions(workshop.LogColumns(io.LimitReader(content, 1<<20)))
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return page, err
	}
	settings := f.readUnit()
	if len(f.Problems) > 0 {
		return page, nil
	}
	said, ok := s.logs.get(logKey(f))
	if !ok {
		said, err = workshop.LoggedPump(r.Context(), content, page.Log.Name, settings)
		if f.take(err) {
			return page, nil
		}
		if err != nil {
			return page, err
		}
		s.logs.keep(logKey(f), said)
	}
	page.Said = &said
	page.Plot = plotOf(said, page.Log.Name)
	return page, nil
}

func columnOptions(names []string) []Option {
	options := []Option{{"", "Guess"}}
	for _, name := range names {
		options = append(options, Option{name, name})
	}
	return options
}

// plotOf draws the log with what was found in it.
func plotOf(r workshop.Recharged, name string) template.HTML {
	if r.Log == nil || r.Result == nil {
		return ""
	}
	p := chart.PressureLog{Head: chart.Head{ID: "log", Title: "Pressure over time: " + name}, TimeS: r.Log.TimeS, Bar: r.Log.PressureBar}
	for _, c := range r.Cycles {
		p.Runs = append(p.Runs, chart.LogRun{OnS: c.OnS, OffS: c.OffS, IntervalS: c.IntervalS, CutIn: c.CutInBar, CutOut: c.CutOutBar, Counts: c.Settled})
	}
	for _, a := range r.Result.Actuations {
		p.Actuations = append(p.Actuations, a.AtS)
	}
	fitted, leak := r.FittedHolds()
	p.Fitted, p.Leak = curvesOf(fitted), curvesOf(leak)
	return chart.NewPressureLog(p).HTML()
}

func curvesOf(curves [][]workshop.CurvePoint) [][]chart.LogPoint {
	var out [][]chart.LogPoint
	for _, curve := range curves {
		points := make([]chart.LogPoint, len(curve))
		for i, p := range curve {
			points[i] = chart.LogPoint(p)
		}
		out = append(out, points)
	}
	return out
}

// logFields are the fields that say which log is read and how: they stand in
// the address of what it says.
var logFields = []string{
	"log", "name", "time_column", "pressure_column", "event_column", "pressure_unit",
	"ambient_c", "gas_volume_l", "precharge_bar", "pump_l_min", "reservoir_drop_ml", "job", "phase",
}

// Along are the fields that say which log is read and how, to be sent along when
// it is kept.
func (p logPage) Along() []namedValue {
	var told []namedValue
	for _, name := range logFields {
		if v := p.Entry.Form.Value(name); v != "" && name != "job" && name != "phase" {
			told = append(told, namedValue{name, v})
		}
	}
	return told
}

// logAddress is where what the log says is shown.
func logAddress(base string, f *Form) string {
	return base + "/bench/recharge?" + logQuery(f)
}

// logKey is by which a log that was read is remembered: whatever changes the
// answer.
func logKey(f *Form) string {
	told := &Form{}
	for _, name := range logFields {
		if name != "job" && name != "phase" {
			told.Set(name, f.Value(name))
		}
	}
	return logQuery(told)
}

func logQuery(f *Form) string {
	query := url.Values{}
	for _, name := range logFields {
		if v := f.Value(name); v != "" {
			query.Set(name, v)
		}
	}
	return query.Encode()
}

// LogAddress is where the evidence's log can be seen drawn; empty where it has
// none.
func (p evidencePage) LogAddress() string {
	settings, ok := workshop.ReadUnitSettings(p.Evidence.Settings)
	if !ok || len(p.Evidence.Raw) != 1 || !readsAsLog(p.Evidence.Raw[0]) {
		return ""
	}
	f := &Form{}
	f.Set("log", p.Evidence.Raw[0].Hash)
	f.Set("name", p.Evidence.Raw[0].Name)
	f.setUnit(settings)
	return logAddress(p.Base(), f)
}

// readsAsLog reports whether a raw file may be a log: a list of taps and a
// recording are none.
func readsAsLog(a rebuild.Attachment) bool {
	return a.Name != tapsFile && strings.HasPrefix(a.MediaType, "text/")
}

// setUnit fills the form with what was said of a unit and its log.
func (f *Form) setUnit(s workshop.UnitSettings) {
	for name, v := range map[string]*float64{
		"ambient_c": s.AmbientC, "gas_volume_l": s.GasVolumeL, "precharge_bar": s.PrechargeBar, "pump_l_min": s.PumpLMin, "reservoir_drop_ml": s.ReservoirDropMl,
	} {
		if v != nil {
			f.Set(name, trimNumber(*v))
		}
	}
	f.setBox("cold_fill", s.ColdFill)
	f.Set("time_column", s.TimeColumn)
	f.Set("pressure_column", s.PressureColumn)
	f.Set("event_column", s.EventColumn)
	f.Set("pressure_unit", s.PressureUnit)
}

// Read says how the log was read.
func (p logPage) Read() string {
	if p.Said == nil || p.Said.Log == nil {
		return ""
	}
	c := p.Said.Log.Columns
	words := fmt.Sprintf("%s: times from %q (%s), pressures from %q in %s", plural(len(p.Said.Log.TimeS), "reading", "readings"), c.Time, c.TimeForm, c.Pressure, c.Unit)
	if c.Event != "" {
		words += fmt.Sprintf(", marks from %q", c.Event)
	}
	if p.Said.Log.Missing > 0 {
		words += fmt.Sprintf("; %s without a pressure", plural(p.Said.Log.Missing, "row", "rows"))
	}
	return words + "."
}
