package workshop

import (
	"encoding/json"
	"strings"

	"wreckwright/rebuild"
)

// CheckSettings is what a check was told besides its readings. It is kept with the
// measurement, so that the verdict can be worked out again without anything else.
type CheckSettings struct {
	Quantity string `json:"quantity,omitempty"` // key of knowledge; empty: an own one
	Name     string `json:"name"`
	Which    string `json:"which,omitempty"` // of several alike: front left, cylinder 3
	Unit     string `json:"unit,omitempty"`
	Form     string `json:"form"`

	InstrumentLimit *float64           `json:"instrument_limit,omitempty"` // the error lies within this, both ways
	Resolution      float64            `json:"resolution,omitempty"`
	PartLimits      map[string]float64 `json:"part_limits,omitempty"` // of parts in units of their own
	EffortUnit      string             `json:"effort_unit,omitempty"`
	On              string             `json:"on,omitempty"` // the day to which an age counts

	Lower        *float64 `json:"lower,omitempty"`
	Upper        *float64 `json:"upper,omitempty"`
	Dangerous    *float64 `json:"dangerous,omitempty"`
	TemperatureC *float64 `json:"temperature_c,omitempty"`
	RimMm        *float64 `json:"rim_mm,omitempty"`     // of the steering wheel, where the limit goes by it
	LimitFrom    string   `json:"limit_from,omitempty"` // whose limit it is, in words
	LimitRef     string   `json:"limit_ref,omitempty"`  // its source, where it is one of knowledge's
	Risk         float64  `json:"risk,omitempty"`       // 0: as usual

	// Confirmed says of readings that look like a slip of the key that somebody ticked
	// that it really reads that.
	Confirmed []string `json:"confirmed,omitempty"`

	Want         *float64 `json:"want,omitempty"` // distance that a part shall still go
	DistanceUnit string   `json:"distance_unit,omitempty"`
	Wears        string   `json:"wears,omitempty"` // down, up; empty: as the readings show
}

// JSON is how the settings are kept with a measurement.
func (s CheckSettings) JSON() string {
	text, err := json.Marshal(s)
	if err != nil {
		return "" // numbers that were read from a form can always be written
	}
	return string(text)
}

// ReadCheckSettings reads the settings that a measurement was kept with; false
// where they are not a check's.
func ReadCheckSettings(e *rebuild.Evidence) (CheckSettings, bool) {
	var s CheckSettings
	if e.Instrument != rebuild.InstrumentCheck {
		return s, false
	}
	err := json.Unmarshal([]byte(e.Settings), &s)
	return s, err == nil && s.Form != ""
}

// Title is what a measurement of it is called by itself.
func (s CheckSettings) Title() string {
	if s.Which == "" {
		return s.Name
	}
	return s.Name + ", " + s.Which
}

// SameQuantity reports whether two checks measured the same thing on the same part.
func SameQuantity(a, b *rebuild.Evidence) bool {
	x, known := ReadCheckSettings(a)
	y, also := ReadCheckSettings(b)
	return known && also && x.Quantity == y.Quantity && strings.EqualFold(x.Title(), y.Title()) && x.Unit == y.Unit && x.Form == y.Form
}

// dangerous reports a value on the wrong side of the bound that an inspection
// calls dangerous.
func (s CheckSettings) dangerous(v float64) bool {
	switch {
	case s.Dangerous == nil:
		return false
	case s.Upper != nil && *s.Dangerous >= *s.Upper:
		return v > *s.Dangerous
	}
	return s.Lower != nil && *s.Dangerous <= *s.Lower && v < *s.Dangerous
}
