package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/bench/noise/track"
	"wreckwright/bench/recording"
	"wreckwright/rebuild"
)

// noiseEngine is the name under which what a recording says is kept.
const noiseEngine = "noise 1"

// How the speed of what turns is known.
const (
	SpeedRPM   = "rpm"   // turns a minute
	SpeedRoad  = "road"  // road speed, steady
	SpeedTrack = "track" // a file of speeds on the way
)

// NoiseSettings is what the instrument is told besides its recording.
type NoiseSettings struct {
	Speed       string   `json:"speed"`
	RPM         float64  `json:"rpm,omitempty"`
	SpeedKmh    float64  `json:"speed_kmh,omitempty"`
	TrackFile   string   `json:"track_file,omitempty"`    // its name among the raw files
	TrackStartS *float64 `json:"track_start_s,omitempty"` // when the recording began, after the track's first point; nil: looked for
	Tyre        string   `json:"tyre,omitempty"`
	RollOutMm   float64  `json:"roll_out_mm,omitempty"` // measured, over RollTurns
	RollTurns   float64  `json:"roll_turns,omitempty"`
	TreadBlocks int      `json:"tread_blocks,omitempty"`
	Elements    int      `json:"elements,omitempty"` // 0: the bearing's inside is not known
	ElementMm   float64  `json:"element_mm,omitempty"`
	PitchMm     float64  `json:"pitch_mm,omitempty"`
	AngleDeg    float64  `json:"angle_deg,omitempty"`
	OuterTurns  bool     `json:"outer_turns,omitempty"`
	Teeth       []int    `json:"teeth,omitempty"`
	AxleRatio   float64  `json:"axle_ratio,omitempty"`
	Corner      string   `json:"corner,omitempty"` // FL, FR, RL, RR
	Tag         string   `json:"tag,omitempty"`    // what the car did
	// Parts are the pieces of a guided road test; none: one recording by itself.
	Parts []NoisePart `json:"parts,omitempty"`
}

// NoisePart is a piece of a recording of a road test.
type NoisePart struct {
	File     string  `json:"file"` // content hash of the recording
	Name     string  `json:"name"`
	Tag      string  `json:"tag"`
	Place    string  `json:"place,omitempty"` // corner that the phone lay at; empty: its usual place
	SpeedKmh float64 `json:"speed_kmh"`
	FromS    float64 `json:"from_s,omitempty"`
	ToS      float64 `json:"to_s,omitempty"` // 0: to its end
}

// JSON is how the settings are kept with a measurement.
func (s NoiseSettings) JSON() string {
	text, err := json.Marshal(s)
	if err != nil { // a number that is none; nothing that was checked holds one
		return ""
	}
	return string(text)
}

// ReadNoiseSettings reads the settings that a measurement was kept with; false
// where they are not those of a noise.
func ReadNoiseSettings(e *rebuild.Evidence) (NoiseSettings, bool) {
	var s NoiseSettings
	if e.Instrument != rebuild.InstrumentNoise {
		return s, false
	}
	return s, json.Unmarshal([]byte(e.Settings), &s) == nil && (s.Speed != "" || len(s.Parts) > 0)
}

// SameNoise reports that two measurements are of one kind: two recordings by
// themselves, or two road tests.
func SameNoise(a, b *rebuild.Evidence) bool {
	of, oka := ReadNoiseSettings(a)
	with, okb := ReadNoiseSettings(b)
	return oka && okb && (len(of.Parts) > 0) == (len(with.Parts) > 0)
}

// Noised is what a recording says.
type Noised struct {
	Settings NoiseSettings // complete: with the start in the track, where it was looked for
	Result   noise.Result
	Notes    []string // of the track
	Spectrum NoiseSpectrum
	Picture  noise.Matrix  // the sound over time
	Orders   *noise.Matrix // the sound over orders and speed; nil: the speed hardly changes
	Rings    *noise.Matrix // its envelope so
	Verdict  rebuild.Verdict
	Why      string
	Figures  []rebuild.EvidenceFigure
	Engine   string
}

// Evidence is the measurement to be kept, all but its files and what it belongs to.
func (out Noised) Evidence() rebuild.Evidence {
	title := "Noise recorded"
	if out.Settings.Corner != "" {
		title += ", " + CornerWords(out.Settings.Corner)
	}
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentNoise, Title: title, Verdict: out.Verdict, Why: out.Why,
		Figures: out.Figures, Engine: out.Engine, Settings: out.Settings.JSON(),
	}
}

// ExamineNoise asks which rotating part makes the noise of a recording (WAV, FLAC,
// MP3, Ogg Vorbis). way is the file of speeds where the settings name one. A
// mistake is [*rebuild.Invalid], its field that of the settings, "file" for the
// recording.
func ExamineNoise(ctx context.Context, sound, way io.Reader, s NoiseSettings) (Noised, error) {
	out := Noised{Settings: s, Engine: noiseEngine}
	c, err := s.noiseCase()
	if err != nil {
		return out, noiseMistake(err)
	}
	if c.Samples, c.Rate, err = decode(ctx, sound); err != nil {
		return out, noiseMistake(err)
	}
	if s.Speed == SpeedTrack {
		if out.Notes, err = out.Settings.layTrack(ctx, &c, way); err != nil {
			return out, noiseMistake(err)
		}
	}
	if out.Result, err = noise.Examine(ctx, c); err != nil {
		return out, noiseMistake(err)
	}
	out.Verdict, out.Why = rebuild.Verdict(out.Result.Verdict), noiseWords(out.Result.Why)
	out.Figures = noiseFigures(out.Result)
	return out, out.draw(ctx, c)
}

var (
	bearingFlag = strings.NewReplacer(" (--bearing n,d,D,angle)", "", "--bearing n,d,D,angle", "what was told of the bearing's inside")
	rpmFlag     = regexp.MustCompile(`--rpm (\d+)`)
)

// noiseWords names what the engine says by the page's fields, where it speaks of the
// command's.
func noiseWords(why string) string {
	return rpmFlag.ReplaceAllString(bearingFlag.Replace(why), "$1 turns a minute")
}

// noiseCase is all of the case but what the files hold.
func (s NoiseSettings) noiseCase() (noise.Case, error) {
	c := noise.Case{OuterTurns: s.OuterTurns, Teeth: s.Teeth, AxleRatio: s.AxleRatio}
	if s.Tyre != "" {
		t, err := noise.ParseTyre(s.Tyre)
		if err != nil {
			return c, err
		}
		c.Tyre, c.TreadBlocks = &t, s.TreadBlocks
	}
	if s.Elements != 0 || s.ElementMm != 0 || s.PitchMm != 0 {
		c.Bearing = &noise.Geometry{Elements: s.Elements, ElementDia: s.ElementMm, PitchDia: s.PitchMm, AngleDeg: s.AngleDeg}
		if err := c.Bearing.Check(); err != nil {
			return c, err
		}
	}
	switch s.Speed {
	case SpeedRPM:
		c.ShaftHz, c.SpeedDoubt = s.RPM/60, noise.TachoDoubt
		if !(c.ShaftHz > 0) {
			return c, invalidAt("rpm", "how fast it turns must be above 0")
		}
	case SpeedRoad, SpeedTrack:
		radius, err := s.radiusMm()
		if err != nil {
			return c, err
		}
		if s.Speed == SpeedTrack {
			return c, nil
		}
		if !(s.SpeedKmh > 0 && s.SpeedKmh <= 500) {
			return c, invalidAt("speed_kmh", "the road speed must be above 0, at most 500 km/h")
		}
		c.ShaftHz, c.SpeedDoubt = noise.WheelHz(s.SpeedKmh, radius), noise.RoadDoubt
	default:
		return c, invalidAt("speed", "say how the speed is known: turns a minute, road speed, or a file of speeds")
	}
	return c, nil
}

// radiusMm is what the wheel rolls on: by its roll-out where that was measured,
// else out of the tyre's size.
func (s NoiseSettings) radiusMm() (float64, error) {
	switch {
	case s.RollOutMm != 0:
		radius := s.RollOutMm / (2 * math.Pi * math.Max(s.RollTurns, 1))
		if !(radius >= 100 && radius <= 1000) {
			return 0, invalidAt("roll_out_mm", fmt.Sprintf("%s mm of road for %s of the wheel cannot be: expected 630 to 6280 mm for each turn", plainNumber(s.RollOutMm), turnsWords(math.Max(s.RollTurns, 1))))
		}
		return radius, nil
	case s.Tyre != "":
		t, err := noise.ParseTyre(s.Tyre)
		if err != nil {
			return 0, err
		}
		return t.RollingRadiusMm(), nil
	}
	return 0, invalidAt("tyre", "with a road speed the tyre's size is needed, or how far the car rolls for some turns of the wheel")
}

func turnsWords(n float64) string {
	if n == 1 {
		return "one turn"
	}
	return plainNumber(n) + " turns"
}

// decode reads a recording whole, a second more than is taken at most.
func decode(ctx context.Context, from io.Reader) (samples []float32, rate int, err error) {
	sound, err := recording.Open(from)
	if err != nil {
		return nil, 0, plainSound(err)
	}
	rate = sound.SampleRate()
	block := make([]float32, 1<<16)
	for {
		n, err := sound.Read(block)
		samples = append(samples, block[:n]...)
		switch {
		case errors.Is(err, io.EOF):
			return samples, rate, nil
		case ctx.Err() != nil:
			return nil, 0, ctx.Err()
		case err != nil:
			return nil, 0, plainSound(err)
		case len(samples) > rate*(noise.LongestS+1):
			return samples, rate, nil // too long, which the engine says
		}
	}
}

// layTrack puts the speeds on the way beside the recording.
func (s *NoiseSettings) layTrack(ctx context.Context, c *noise.Case, from io.Reader) ([]string, error) {
	if from == nil {
		return nil, invalidAt("track", "choose the file of speeds: CSV, GPX or NMEA")
	}
	way, err := track.Read(from)
	if err != nil {
		return nil, err
	}
	radius, err := s.radiusMm()
	if err != nil {
		return nil, err
	}
	if s.TrackStartS == nil {
		began, err := beganAt(ctx, *c, way, radius)
		if err != nil {
			return nil, err
		}
		s.TrackStartS = &began
	}
	at, hz := way.Shaft(radius, *s.TrackStartS)
	c.Track = &noise.Track{AtS: at, ShaftHz: hz}
	return way.Notes, nil
}

// beganAt looks for when the recording began in the time of the track.
func beganAt(ctx context.Context, c noise.Case, way track.Track, radius float64) (float64, error) {
	at, hz := way.Shaft(radius, 0)
	c.Track = &noise.Track{AtS: at, ShaftHz: hz}
	found, err := noise.Began(ctx, c)
	if err == nil && !found.Clear {
		err = invalidAt("track_start_s", "the file of speeds is longer than the recording, and "+found.Why+": say how many seconds after its first point the recording began")
	}
	return math.Round(found.StartsS*1000) / 1000, err
}

// noiseFields are the fields of the form by what the engine calls them.
var noiseFields = map[string]string{
	"recording": "file", "sample rate": "file", "speed track": "track", "shaft speed": "speed", "bearing": "elements", "teeth": "teeth",
	"axle ratio": "axle_ratio", "tread": "tread_blocks", "tyre": "tyre", "rolling radius": "roll_out_mm",
}

// noiseMistake puts what the engine cannot work with at its field.
func noiseMistake(err error) error {
	var input *noise.InputError
	var way *track.Error
	switch {
	case errors.As(err, &input):
		field, known := noiseFields[input.What]
		if !known {
			field = "file"
		}
		return invalidAt(field, "the "+input.What+": "+input.Problem+"; expected "+input.Expected)
	case errors.As(err, &way):
		return invalidAt("track", "the file of speeds: "+way.Error())
	}
	return err
}
