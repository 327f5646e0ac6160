package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// benchForm is what a measurement's form holds besides its readings.
type benchForm struct {
	Form   *Form
	Jobs   []jobGroup
	Phases []Option
	Units  []Option
	Hint   string // what a note may say
}

func newBenchForm(rb *rebuild.Rebuild, f *Form) benchForm {
	return benchForm{
		Hint: "Ignition on, nothing operated, how warm it was",
		Form: f, Jobs: jobGroups(rb), Phases: phaseOptions(),
		Units: []Option{{"", "As the header says, else bar"}, {"bar", "bar"}, {"psi", "psi"}, {"kPa", "kPa"}, {"MPa", "MPa"}},
	}
}

func phaseOptions() []Option {
	return []Option{{"", "Not said"}, {string(rebuild.PhaseBefore), "Before the work"}, {string(rebuild.PhaseAfter), "After the work"}}
}

// benchPage is the page of one instrument: its form and, once there are
// readings, what they say.
type benchPage struct {
	Frame
	Entry    benchForm
	Cautions []knowledge.Caution
	Said     *workshop.Recharged // nil: nothing was read yet
	Wait     *waitPage           // not nil: the file is still being read
	Keeping  bool                // it was to be kept
}

// Trouble says above a list of problems what did not come about.
func (p benchPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "That cannot be read yet:"
}

func newBenchPage(frame Frame, rb *rebuild.Rebuild, f *Form) benchPage {
	return benchPage{Frame: frame, Entry: newBenchForm(rb, f), Cautions: unitCautions()}
}

// unitCautions stand wherever a hydraulic unit is measured.
func unitCautions() []knowledge.Caution {
	return cautionsFor([]string{"stored-gas", "fluid-injection"})
}

// presetBench fills a measurement's form out of the address: the job that led
// here, and before or after by where the job stands.
func presetBench(r *http.Request, rb *rebuild.Rebuild) *Form {
	f := &Form{}
	id, err := strconv.ParseInt(r.URL.Query().Get("job"), 10, 64)
	if err != nil {
		return f
	}
	if job := rb.Job(id); job != nil {
		f.Set("job", strconv.FormatInt(id, 10))
		f.Set("phase", string(rebuild.PhaseBefore))
		if job.Finished() {
			f.Set("phase", string(rebuild.PhaseAfter))
		}
	}
	return f
}

// optional reads a number that may be left out.
func (f *Form) optional(field, name string) *float64 {
	if strings.TrimSpace(f.Value(field)) == "" {
		return nil
	}
	v := f.number(field, name)
	return &v
}

// readUnit reads what is known of the unit and how its log is to be read.
func (f *Form) readUnit() workshop.UnitSettings {
	return workshop.UnitSettings{
		AmbientC:        f.optional("ambient_c", "the temperature"),
		GasVolumeL:      f.optional("gas_volume_l", "the gas volume"),
		PrechargeBar:    f.optional("precharge_bar", "the pre-charge"),
		PumpLMin:        f.optional("pump_l_min", "the pump's flow"),
		ReservoirDropMl: f.optional("reservoir_drop_ml", "the fall of the reservoir's level"),
		ColdFill:        f.Has("cold_fill", "1"),
		TimeColumn:      f.Value("time_column"),
		PressureColumn:  f.Value("pressure_column"),
		EventColumn:     f.Value("event_column"),
		PressureUnit:    f.Value("pressure_unit"),
	}
}

// readBelongs reads what a measurement belongs to and how it is called.
func (f *Form) readBelongs(e *rebuild.Evidence) {
	e.Title, e.Note = f.Value("title"), f.Value("note")
	e.JobID = f.whole("job", "the job")
	e.Phase = rebuild.Phase(f.Value("phase"))
	e.On = f.Value("on")
}

// saidEvidence makes a measurement of what an instrument said.
func saidEvidence(r workshop.Recharged, s workshop.UnitSettings) rebuild.Evidence {
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentRecharge, Verdict: r.Verdict, Why: r.Why, Figures: r.Figures, Engine: r.Engine, Settings: s.JSON(),
	}
}

// keepEvidence keeps a measurement and goes on to its page.
func (s *Server) keepEvidence(w http.ResponseWriter, r *http.Request, f *Form, e rebuild.Evidence) (bool, error) {
	if f.notAhead("on", "the day of the measurement", s.today()); len(f.Problems) > 0 {
		return false, nil
	}
	err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddEvidence(e) }, func(record store.Record) string {
		at := fmt.Sprintf("/r/%s/bench", r.PathValue("rebuild"))
		if len(record.Edits) == 1 && record.Edits[0].After != nil {
			at += fmt.Sprintf("/evidence/%d", record.Edits[0].ID())
		}
		return at
	})
	if f.take(err) {
		return false, nil
	}
	return err == nil, err
}

// takeTaps takes over what is wrong with a list of taps.
func (f *Form) takeTaps(err error) bool {
	var wrong *workshop.TapsError
	if errors.As(err, &wrong) {
		f.problem("taps", "%s", wrong.Error())
		return true
	}
	return f.take(err)
}

// measuredOn is the day of a moment where the workshop stands, as the stamp says it.
func measuredOn(at time.Time, today string) string {
	if at.IsZero() {
		return today
	}
	return at.Format(time.DateOnly)
}
