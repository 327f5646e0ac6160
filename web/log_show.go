package web

import (
	"context"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"net/url"
	"strings"

	"wreckwright/bench/gaugelog"
	"wreckwright/bench/recharge"
	"wreckwright/chart"
	"wreckwright/rebuild"
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
	page, err := s.readLog(r, rb, f, false)
	if err != nil {
		return err
	}
	if page.Wait != nil {
		return s.show(w, http.StatusAccepted, "bench_wait", page.Wait)
	}
	return s.show(w, statusOf(f), "bench_log", page)
}

func statusOf(f *Form) int {
	if len(f.Problems) > 0 {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// readLog fills the page with what the form's log says; to the end where wait
// asks for that. What is wrong with the log is a problem of the form.
func (s *Server) readLog(r *http.Request, rb *rebuild.Rebuild, f *Form, wait bool) (logPage, error) {
	frame, err := s.frame(r, "Pressure log", "bench", rb)
	if err != nil {
		return logPage{}, err
	}
	page := logPage{benchPage: newBenchPage(frame, rb, f)}
	hash := f.Value("log")
	if hash == "" {
		return page, nil
	}
	if page.Log, err = s.rawFile(r, hash, f.Value("name"), "log.csv"); err != nil {
		return page, err
	}
	if page.Columns, err = s.columnsOf(r, hash); err != nil {
		return page, err
	}
	settings := f.readUnit()
	if len(f.Problems) > 0 {
		return page, nil
	}
	name := page.Log.Name
	said, done, read, err := s.logs.ask(r.Context(), logKey(f), wait, func(ctx context.Context, heed func(io.Reader) io.Reader) (workshop.Recharged, error) {
		content, _, err := s.workshop.Book().OpenFile(ctx, hash)
		if err != nil {
			return workshop.Recharged{}, err
		}
		defer content.Close()
		return workshop.LoggedPump(ctx, heed(content), name, settings)
	})
	if err != nil {
		return page, f.takeWork(r, err)
	}
	if !done {
		page.Wait = &waitPage{Frame: frame, Name: name, Doing: "Reading", Size: page.Log.Size, Read: read, Action: "/bench/recharge", Job: f.Value("job"), Along: page.Along()}
		return page, nil
	}
	page.Said = &said
	page.Plot = plotOf(said, name)
	return page, nil
}

// columnsOf are the columns to choose from; none where the log shows no header.
func (s *Server) columnsOf(r *http.Request, hash string) ([]Option, error) {
	content, _, err := s.workshop.Book().OpenFile(r.Context(), hash)
	if err != nil {
		return nil, err
	}
	defer content.Close()
	return columnOptions(gaugelog.Names(io.LimitReader(content, 1<<20))), nil
}

func columnOptions(names []string) []Option {
	if len(names) == 0 {
		return nil
	}
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
		p.Runs = append(p.Runs, chart.LogRun{OnS: c.OnS, OffS: c.OffS, IntervalS: c.IntervalS, CutIn: c.CutInBar, CutOut: c.CutOutBar, Counts: c.Settled, Cold: c.ColdFill})
	}
	for _, a := range r.Result.Actuations {
		p.Actuations = append(p.Actuations, a.AtS)
	}
	for _, h := range r.Result.FittedHolds() {
		p.Fitted, p.Leak = append(p.Fitted, curveOf(h.Whole)), append(p.Leak, curveOf(h.Leak))
	}
	return chart.NewPressureLog(p).HTML()
}

func curveOf(curve []recharge.CurvePoint) []chart.LogPoint {
	points := make([]chart.LogPoint, len(curve))
	for i, p := range curve {
		points[i] = chart.LogPoint(p)
	}
	return points
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
	if !ok || !p.Unit() || len(p.Evidence.Raw) != 1 || !readsAsLog(p.Evidence.Raw[0]) {
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
