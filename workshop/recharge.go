package workshop

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"io"
	"strings"

	"wreckwright/bench/gaugelog"
	"wreckwright/bench/recharge"
	"wreckwright/rebuild"
	"wreckwright/working"
)

// UnitSettings is what a person says about a hydraulic power unit and about how
// its readings are to be read; nil or empty: not said.
type UnitSettings struct {
	AmbientC        *float64 `json:"ambient_c,omitempty"`
	GasVolumeL      *float64 `json:"gas_volume_l,omitempty"`
	PrechargeBar    *float64 `json:"precharge_bar,omitempty"` // gauge, at 20 degrees
	PumpLMin        *float64 `json:"pump_l_min,omitempty"`
	ReservoirDropMl *float64 `json:"reservoir_drop_ml,omitempty"`
	ColdFill        bool     `json:"cold_fill,omitempty"` // the first start was the fill from empty
	TimeColumn      string   `json:"time_column,omitempty"`
	PressureColumn  string   `json:"pressure_column,omitempty"`
	EventColumn     string   `json:"event_column,omitempty"`
	PressureUnit    string   `json:"pressure_unit,omitempty"`
}

// JSON is how the settings are kept with a measurement.
func (s UnitSettings) JSON() string {
	text, err := json.Marshal(s)
	if err != nil || string(text) == "{}" {
		return "" // numbers that were read from a form can always be written
	}
	return string(text)
}

// ReadUnitSettings reads the settings that a measurement was kept with; false
// where they are of another instrument.
func ReadUnitSettings(text string) (UnitSettings, bool) {
	var s UnitSettings
	if text == "" {
		return s, true
	}
	err := json.Unmarshal([]byte(text), &s)
	return s, err == nil
}

// CauseChance is the chance of one thing that may be the matter.
type CauseChance struct {
	Name   string
	Chance float64
}

// Recharged is what the readings of a hydraulic power unit say.
type Recharged struct {
	Verdict  rebuild.Verdict
	Why      string   // reasons and what would tell more, in one line
	Reasons  []string // the first a sentence by itself
	Figures  []rebuild.EvidenceFigure
	Causes   []CauseChance // the likeliest first; nil where the readings cannot tell
	Next     []string      // readings that would tell more
	Signs    []string
	Cautions []string // what can hurt
	Notes    []string // what the answer rests on, and what is doubtful in it
	Cycles   []recharge.Cycle
	Working  working.Working
	Engine   string

	Log    *gaugelog.Log    // nil: pump times only
	Result *recharge.Result // nil: starts only
}

// Reason is the verdict's reason in one sentence.
func (r Recharged) Reason() string {
	if len(r.Reasons) == 0 {
		return r.Why
	}
	return r.Reasons[0]
}

// More is what is said beyond the reason; the readings that would tell more are
// in Next and not said again.
func (r Recharged) More() string { return strings.Join(r.Reasons[min(1, len(r.Reasons)):], "; ") }

// PartReason parts the line of reasons that was kept with a measurement: the first
// of them, which is a sentence by itself, from what is said beyond it.
func PartReason(why string) (first, more string) {
	first, more, _ = strings.Cut(why, "; ")
	return first, more
}

// fewestReadings is how many called-out readings make a log.
const fewestReadings = 20

// TimedPump asks the engine what taps of a stopwatch say: the log that the
// called-out readings make, where there are enough of them; else the moments of
// the pump.
func TimedPump(taps []Tap, s UnitSettings) (Recharged, error) {
	var log recharge.Log
	var marks []recharge.Mark
	kinds := map[TapKind]recharge.Kind{TapPumpOn: recharge.PumpOn, TapPumpOff: recharge.PumpOff, TapOperated: recharge.Actuation}
	for _, t := range taps {
		if t.Kind == TapReading {
			log.TimeS, log.PressureBar = append(log.TimeS, t.AtS), append(log.PressureBar, t.Bar)
			continue
		}
		marks = append(marks, recharge.Mark{AtS: t.AtS, Kind: kinds[t.Kind]})
	}
	ctx := context.Background() // a list of taps is short
	if len(log.TimeS) < fewestReadings {
		return saidByTimes(ctx, marks, recharge.ThumbS, s)
	}
	c := s.unit()
	c.Log, c.Marks, c.TimedToS = &log, marks, recharge.ThumbS
	r, err := recharge.Examine(ctx, c)
	return recharged(r), plainInput(err)
}

// LoggedPump reads a pressure log and asks the engine what it says. An error
// that is the file's names the line; it is [*rebuild.Invalid].
func LoggedPump(ctx context.Context, from io.Reader, name string, s UnitSettings) (Recharged, error) {
	log, err := gaugelog.Read(ctx, from, gaugelog.Options{File: name, Time: s.TimeColumn, Pressure: s.PressureColumn, Event: s.EventColumn, Unit: s.PressureUnit})
	if err != nil {
		return Recharged{}, plainInput(err)
	}
	c := s.unit()
	c.Log = &recharge.Log{TimeS: log.TimeS, PressureBar: log.PressureBar, Line: log.Line}
	kinds := map[gaugelog.Kind]recharge.Kind{gaugelog.PumpOn: recharge.PumpOn, gaugelog.PumpOff: recharge.PumpOff, gaugelog.Operated: recharge.Actuation}
	for _, m := range log.Marks {
		if kind, ok := gaugelog.KindOf(m.Text); ok {
			c.Marks = append(c.Marks, recharge.Mark{AtS: m.AtS, Kind: kinds[kind]})
		}
	}
	r, err := recharge.Examine(ctx, c)
	out := recharged(r)
	out.Log = &log
	return out, plainInput(err)
}

func (s UnitSettings) unit() recharge.Case {
	return recharge.Case{AmbientC: s.AmbientC, GasVolumeL: s.GasVolumeL, PrechargeBar: s.PrechargeBar, PumpLMin: s.PumpLMin, ReservoirDropMl: s.ReservoirDropMl}
}

// plainInput turns a mistake in the readings into a problem of the form.
func plainInput(err error) error {
	var wrong *recharge.InputError
	var bad *gaugelog.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &wrong):
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: settingField(wrong.Input), Text: wrong.Error()}}}
	case errors.As(err, &bad):
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "readings", Text: logProblem(bad)}}}
	}
	return err
}

// settingField is the field of a form: the engine's inputs bear the same names.
func settingField(input recharge.Input) string { return cmp.Or(string(input), "readings") }

// settingLabels are what a page calls the settings of a log.
var settingLabels = map[gaugelog.Setting]string{
	gaugelog.SettingTime: "Times", gaugelog.SettingPressure: "Pressures", gaugelog.SettingEvent: "Marks", gaugelog.SettingUnit: "Unit of pressure",
}

// logProblem says what is wrong with a log, and which setting it was. To choose
// columns by hand is the page's to offer, which sees whether there are any.
func logProblem(e *gaugelog.Error) string {
	told := *e
	if label, ok := settingLabels[e.Wrong]; ok {
		told.Problem += " for “" + label + "”"
	}
	return told.Error()
}
