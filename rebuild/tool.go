package rebuild

import (
	"strconv"
	"strings"
	"time"
)

// Tool is something that tightens to a known torque.
type Tool struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Title        string  `json:"title"`
	Class        string  `json:"class"`         // its greatest deviation: "4 %", "6 %"; empty: not said
	LowNm        float64 `json:"low_nm"`        // its range
	HighNm       float64 `json:"high_nm"`       // 0: not said
	CalibratedOn string  `json:"calibrated_on"` // ISO date; empty: not known
	Certificate  string  `json:"certificate"`
	Note         string  `json:"note"`
}

// ItemKind is part of [Item].
func (t Tool) ItemKind() Kind { return KindTool }

// ItemID is part of [Item].
func (t Tool) ItemID() int64 { return t.ID }

// Revision is part of [Item].
func (t Tool) Revision() int { return t.Rev }

// Label is part of [Item].
func (t Tool) Label() string { return t.Title }

// Reaches reports whether the torque is in the tool's range.
func (t *Tool) Reaches(torqueNm float64) bool {
	return t.HighNm > 0 && torqueNm >= t.LowNm && torqueNm <= t.HighNm
}

// CalibrationMonths is how long a calibration of a torque tool holds (from
// memory: ISO 6789 asks for it after 12 months or 5000 turns unless the owner
// has set another interval).
const CalibrationMonths = 12

// CalibratedFor reports whether a calibration of that day holds on another day.
func CalibratedFor(calibratedOn, on string) bool {
	from, err := time.Parse(time.DateOnly, calibratedOn)
	to, errTo := time.Parse(time.DateOnly, on)
	return err == nil && errTo == nil && !to.Before(from) && !to.After(from.AddDate(0, CalibrationMonths, 0))
}

// InCalibration reports whether the tool's last calibration holds on that day.
func (t *Tool) InCalibration(on string) bool { return CalibratedFor(t.CalibratedOn, on) }

// widestClass is the wider of the two deviations that ISO 6789 allows tools that
// are set or read, as a share.
const widestClass = 0.06

// ClassShare is the tool's class as a share of the torque: 0.04 for "4 %". Where
// none is said it is the wider of the two that ISO 6789 knows.
func (t *Tool) ClassShare() float64 {
	if percent, err := classPercent(t.Class); err == nil && t.Class != "" {
		return percent / 100
	}
	return widestClass
}

func classPercent(class string) (float64, error) {
	text := strings.TrimLeft(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(class), "%")), "+-± ")
	return strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
}

// Validate checks the tool by itself.
func (t Tool) Validate() error {
	var c checks
	c.text(t.Title, "title", "the tool's name", 1, 120)
	percent, err := classPercent(t.Class)
	c.that(t.Class == "" || err == nil && percent > 0 && percent <= 50, "class", "the class %q is none; write it like 4 %%", short(t.Class))
	c.text(t.Class, "class", "the class", 0, 20)
	c.number(t.LowNm, maxTorqueNm, "low_nm", "the least torque", "N·m")
	c.number(t.HighNm, maxTorqueNm, "high_nm", "the greatest torque", "N·m")
	c.that(t.LowNm == 0 && t.HighNm == 0 || t.LowNm < t.HighNm, "high_nm", "the range from %.4g to %.4g N·m is none: the second figure must be the greater", t.LowNm, t.HighNm)
	c.date(t.CalibratedOn, "calibrated_on", "the day it was calibrated", false)
	c.text(t.Certificate, "certificate", "the certificate", 0, 200)
	c.text(t.Note, "note", "the note", 0, 2000)
	return c.err()
}
