package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/bench/angles/anglesfile"
	"wreckwright/casefile"
	"wreckwright/rebuild"
)

// AnglesName is what the readings of wheel angles are called when they are kept:
// the case file of the command.
const AnglesName = "angles.yaml"

// AnglesSettings is how a measurement of wheel angles was entered and is shown;
// its readings, limits and doubts all stand in its file.
type AnglesSettings struct {
	Show string `json:"show"` // "degrees" or "minutes"
}

// The ways in which angles are shown.
const (
	ShowDegrees = "degrees" // -1.30
	ShowMinutes = "minutes" // -1 degree 18 minutes
)

// JSON is how the settings are kept with a measurement.
func (s AnglesSettings) JSON() string {
	if s.Show != ShowMinutes {
		return `{"show":"` + ShowDegrees + `"}`
	}
	return `{"show":"` + ShowMinutes + `"}`
}

// ReadAnglesSettings reads the settings that a measurement was kept with; false
// where they are not those of wheel angles.
func ReadAnglesSettings(e *rebuild.Evidence) (AnglesSettings, bool) {
	var s AnglesSettings
	if e.Instrument != rebuild.InstrumentAngles {
		return s, false
	}
	err := json.Unmarshal([]byte(e.Settings), &s)
	return s, err == nil && (s.Show == ShowDegrees || s.Show == ShowMinutes)
}

// Angled is what the readings of wheel angles say.
type Angled struct {
	Text     string // the case file
	Settings AnglesSettings
	Case     angles.Case
	Result   angles.Result
	Verdict  rebuild.Verdict
	Why      string
	Figures  []rebuild.EvidenceFigure
	Engine   string
}

// AnglesOf works out a case file of wheel angles, as the command and the page
// write it. A mistake is [*rebuild.Invalid], its field the key in the file.
func AnglesOf(raw string) (Angled, error) { return ExamineAngles(raw, AnglesSettings{}) }

// ExamineAngles is [AnglesOf] with the way in which it is shown.
func ExamineAngles(raw string, s AnglesSettings) (Angled, error) {
	out := Angled{Text: raw, Settings: s}
	file, err := anglesfile.Parse(AnglesName, []byte(raw))
	if err != nil {
		return out, anglesMistake(err)
	}
	out.Case = file.Case
	if out.Result, err = file.Examine(); err != nil {
		return out, anglesMistake(err)
	}
	out.Verdict, out.Engine = rebuild.Verdict(out.Result.Verdict), out.Result.Engine
	out.Why = anglesWhy(out.Result)
	out.Figures = angleFigures(out.Result)
	return out, nil
}

// Evidence is the measurement to be kept, all but its files and what it belongs to.
func (out Angled) Evidence() rebuild.Evidence {
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentAngles, Title: "Wheel angles", Verdict: out.Verdict, Why: out.Why,
		Figures: out.Figures, Engine: out.Engine, Settings: out.Settings.JSON(),
	}
}

// AnglesKept works out anew a measurement of wheel angles that was kept.
func (w *Workshop) AnglesKept(ctx context.Context, e *rebuild.Evidence) (Angled, error) {
	s, ok := ReadAnglesSettings(e)
	text, err := w.keptText(ctx, e, AnglesName)
	if !ok || err != nil {
		return Angled{}, fmt.Errorf("the wheel angles %q cannot be worked out anew: %w", e.Title, errors.Join(err, notUnderstood(ok)))
	}
	return ExamineAngles(text, s)
}

// cornerWords are the wheels as people call them.
var cornerWords = map[string]string{"FL": "front left", "FR": "front right", "RL": "rear left", "RR": "rear right"}

// CornerWords is a wheel, an axle or the car in words: "front left" for "FL".
func CornerWords(where string) string {
	if words, ok := cornerWords[where]; ok {
		return words
	}
	return where
}

// AngleWords names the wheels in what the engine says.
func AngleWords(text string) string {
	return strings.NewReplacer("FL", "front left", "FR", "front right", "RL", "rear left", "RR", "rear right").Replace(text)
}

// anglesMistake puts a mistake at its key.
func anglesMistake(err error) error {
	var wrong *casefile.Error
	if !errors.As(err, &wrong) {
		return err
	}
	return invalidAt(wrong.Key, AngleKeyWords(wrong.Key)+" "+fieldWords.Replace(AngleWords(wrong.Problem+"; expected "+wrong.Expected)))
}

// fieldWords are the names of readings within a message.
var fieldWords = strings.NewReplacer(
	"rim_mm", "the rim", "front_mm", "the front edge", "rear_mm", "the rear edge", "reversed_camber_deg", "camber turned end for end",
	"camber_deg", "camber", "hub_x_mm", "the hub along the line", "at_mm of the gap", "the distances between the lines", "corner_weights_kg", "the weights",
)

// keyWords are the names of readings, by the end of their key.
var keyWords = map[string]string{
	"rim_mm": "rim, edge to edge", "front_mm": "line to the front edge", "rear_mm": "line to the rear edge", "camber_deg": "camber",
	"hub_x_mm": "hub along the line", "out_deg": "turned out by", "in_deg": "turned in by", "camber_out_deg": "camber turned out",
	"camber_in_deg": "camber turned in", "pitch_out_deg": "tilt of the hub turned out", "pitch_in_deg": "tilt of the hub turned in",
	"pitch_mm": "pitch of the thread", "arm_mm": "length of the arm", "angle_deg": "angle of rod and arm", "above_pivot_mm": "rod over the pivot",
	"spacing_mm": "spacing of the bolts", "left_higher_mm": "left pad stands higher by", "track_mm": "track", "nose_down_deg": "slope to the front",
}

// AngleKeyWords is a key of the file in words: "Front left, turned by half: line to
// the front edge".
func AngleKeyWords(key string) string {
	if key == "" || key == "wheels" {
		return "The readings:"
	}
	parts := strings.Split(key, ".")
	last := parts[len(parts)-1]
	if words, ok := keyWords[last]; ok {
		last = words
	}
	if words, ok := cornerWords[last]; ok {
		last = words
	}
	said := []string{}
	for _, p := range parts[:len(parts)-1] {
		switch p {
		case "wheels", "lines", "want":
		case "turned":
			said = append(said, "half a turn on")
		default:
			said = append(said, strings.ReplaceAll(CornerWords(strings.TrimSuffix(strings.TrimSuffix(p, "_kg"), "_mm")), "_", " "))
		}
	}
	text := strings.ReplaceAll(strings.TrimSuffix(strings.TrimSuffix(last, "_deg"), "_mm"), "_", " ")
	if len(said) > 0 {
		text = strings.Join(said, ", ") + ": " + text
	}
	return capitalFirst(text)
}
