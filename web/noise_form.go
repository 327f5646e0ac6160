package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// noiseFields are the fields that say which recording is listened to and what is
// known of what turns.
var noiseFields = []string{
	"recording", "name", "way", "way_name", "speed", "rpm", "speed_kmh", "track_start_s", "tyre", "roll_out_mm", "roll_turns", "tread_blocks",
	"elements", "element_mm", "pitch_mm", "angle_deg", "outer_turns", "teeth", "axle_ratio", "corner", "tag", "job", "phase",
}

// readNoise reads what the instrument is told.
func (f *Form) readNoise() workshop.NoiseSettings {
	s := workshop.NoiseSettings{
		Speed: f.Value("speed"), Tyre: f.Value("tyre"), Corner: f.Value("corner"), Tag: f.Value("tag"), OuterTurns: f.Has("outer_turns", "1"),
		RollOutMm: f.number("roll_out_mm", "how far it rolls"), RollTurns: f.number("roll_turns", "the turns"),
		TreadBlocks: int(f.whole("tread_blocks", "the blocks of the tread")), Elements: int(f.whole("elements", "the balls or rollers")),
		ElementMm: f.number("element_mm", "their diameter"), PitchMm: f.number("pitch_mm", "the pitch diameter"),
		AngleDeg: f.number("angle_deg", "the contact angle"), AxleRatio: f.number("axle_ratio", "the axle ratio"),
	}
	switch s.Speed {
	case workshop.SpeedRPM:
		s.RPM = f.number("rpm", "the turns a minute")
	case workshop.SpeedRoad:
		s.SpeedKmh = f.number("speed_kmh", "the road speed")
	case workshop.SpeedTrack:
		s.TrackFile, s.TrackStartS = f.Value("way_name"), f.optional("track_start_s", "when the recording began")
		if f.Value("way") == "" {
			f.problem("track", "choose the file of speeds: CSV, GPX or NMEA")
		}
	}
	for _, text := range strings.FieldsFunc(f.Value("teeth"), func(c rune) bool { return c == ',' || c == ';' || c == ' ' }) {
		n, err := strconv.Atoi(text)
		if err != nil {
			f.problem("teeth", "the teeth: %q is not a whole number", text)
		}
		s.Teeth = append(s.Teeth, n)
	}
	if !f.oneOrNone("corner", noise.Corners) {
		s.Corner = ""
	}
	return s
}

// oneOrNone refuses what is not among the choices.
func (f *Form) oneOrNone(field string, choices []string) bool {
	text := f.Value(field)
	if text == "" {
		return true
	}
	for _, c := range choices {
		if c == text {
			return true
		}
	}
	f.problem(field, "%q is not among the choices", text)
	return false
}

// setNoise fills the form with what the instrument was told; the files aside.
func (f *Form) setNoise(s workshop.NoiseSettings) {
	f.Set("speed", s.Speed)
	f.Set("tyre", s.Tyre)
	f.Set("corner", s.Corner)
	f.Set("tag", s.Tag)
	for field, v := range map[string]float64{
		"rpm": s.RPM, "speed_kmh": s.SpeedKmh, "roll_out_mm": s.RollOutMm, "roll_turns": s.RollTurns, "tread_blocks": float64(s.TreadBlocks),
		"elements": float64(s.Elements), "element_mm": s.ElementMm, "pitch_mm": s.PitchMm, "angle_deg": s.AngleDeg, "axle_ratio": s.AxleRatio,
	} {
		f.setNumber(field, v)
	}
	if s.TrackStartS != nil {
		f.Set("track_start_s", trimNumber(*s.TrackStartS))
	}
	if s.OuterTurns {
		f.Set("outer_turns", "1")
	}
	var teeth []string
	for _, n := range s.Teeth {
		teeth = append(teeth, strconv.Itoa(n))
	}
	f.Set("teeth", strings.Join(teeth, ", "))
}

// presetNoise opens the form: the job of the address, and what was told of the car
// the last time; never a speed, which is another each time.
func presetNoise(r *http.Request, rb *rebuild.Rebuild) *Form {
	f := presetBench(r, rb)
	job, phase := f.Value("job"), f.Value("phase")
	f.Set("speed", workshop.SpeedRoad)
	if last := lastNoise(rb); last != nil {
		s := *last
		f.setNoise(workshop.NoiseSettings{
			Speed: workshop.SpeedRoad, Tyre: s.Tyre, RollOutMm: s.RollOutMm, RollTurns: s.RollTurns, TreadBlocks: s.TreadBlocks,
			Elements: s.Elements, ElementMm: s.ElementMm, PitchMm: s.PitchMm, AngleDeg: s.AngleDeg, OuterTurns: s.OuterTurns, Teeth: s.Teeth, AxleRatio: s.AxleRatio,
		})
	}
	f.Set("job", job)
	f.Set("phase", phase)
	return f
}

// lastNoise is what the instrument was told the last time; nil: never.
func lastNoise(rb *rebuild.Rebuild) *workshop.NoiseSettings {
	for i := len(rb.Evidence) - 1; i >= 0; i-- {
		if s, ok := workshop.ReadNoiseSettings(&rb.Evidence[i]); ok && len(s.Parts) == 0 {
			return &s
		}
	}
	return nil
}

// noiseAddress is the page of a recording with all that was told of it.
func noiseAddress(base string, f *Form) string {
	query := url.Values{}
	for _, name := range noiseFields {
		if v := f.Value(name); v != "" {
			query.Set(name, v)
		}
	}
	return base + "/bench/noise?" + query.Encode()
}

// noiseAgain is the page on which a kept recording is heard anew; empty: it has none.
func noiseAgain(base string, e *rebuild.Evidence) string {
	s, ok := workshop.ReadNoiseSettings(e)
	if !ok || len(s.Parts) > 0 {
		return ""
	}
	return noiseAddress(base, noiseFormOf(e, s))
}

func noiseFormOf(e *rebuild.Evidence, s workshop.NoiseSettings) *Form {
	f := &Form{}
	f.setNoise(s)
	sound, way := workshop.NoiseFiles(e, s)
	if sound != nil {
		f.Set("recording", sound.Hash)
		f.Set("name", sound.Name)
	}
	if way != nil {
		f.Set("way", way.Hash)
		f.Set("way_name", way.Name)
	}
	if e.JobID != 0 {
		f.Set("job", strconv.FormatInt(e.JobID, 10))
	}
	f.Set("phase", string(e.Phase))
	return f
}

// tagOptions are what the car may have done.
func tagOptions() []Option {
	words := map[noise.RoadTag]string{
		noise.RoadCruise: "Steady, straight on", noise.RoadWeaveLeft: "Weave: steering left", noise.RoadWeaveRight: "Weave: steering right",
		noise.RoadOtherSurface: "On another surface", noise.RoadNeutral: "Rolling in neutral", noise.RoadDrive: "Pulling", noise.RoadCoast: "In gear, foot off",
	}
	var list []Option
	for _, tag := range noise.RoadTags {
		list = append(list, Option{string(tag), words[tag]})
	}
	return list
}

// tagWords is one of them in words.
func tagWords(tag string) string {
	for _, o := range tagOptions() {
		if o.Value == tag {
			return o.Label
		}
	}
	return tag
}

// cornerOptions are the corners of the car, none first.
func cornerOptions(none string) []Option {
	list := []Option{{"", none}}
	for _, corner := range noise.Corners {
		list = append(list, Option{corner, capital(workshop.CornerWords(corner))})
	}
	return list
}
