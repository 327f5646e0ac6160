package web

import (
	"context"
	"io"
	"net/http"

	"wreckwright/bench/noise"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// noisePage is the instrument that tells which rotating part makes a noise: what
// is told of a recording and, once there is one, what is heard in it.
type noisePage struct {
	Frame
	Entry     benchForm
	Cautions  []knowledge.Caution
	Before    []string            // said before anybody drives
	Recording *rebuild.Attachment // nil: none was chosen yet
	Way       *rebuild.Attachment // the file of speeds; nil: none
	Heard     *noiseSaid          // nil: nothing can be said yet
	Wait      *waitPage           // not nil: it is still being listened to
	Keeping   bool
	Most      int64
	Drives    []noiseRoadLine
}

// noiseRate is what a browser turns a recording into that is read nowhere else:
// bearings ring high.
const noiseRate = 44100

// Rate is that for the form.
func (noisePage) Rate() int { return noiseRate }

// Trouble says above a list of problems what did not come about.
func (p noisePage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "That says nothing yet:"
}

// Speeds are the ways in which the speed is known.
func (noisePage) Speeds() []Option {
	return []Option{{workshop.SpeedRoad, "Road speed, steady"}, {workshop.SpeedTrack, "File of speeds"}, {workshop.SpeedRPM, "Turns a minute"}}
}

// Tags are what the car did.
func (noisePage) Tags() []Option { return append([]Option{{"", "Not said"}}, tagOptions()...) }

// Corners are where the phone lay.
func (noisePage) Corners() []Option { return cornerOptions("Not at a wheel") }

// Open reports that something is wrong with one of the fields.
func (p noisePage) Open(fields ...string) bool {
	for _, field := range fields {
		if p.Entry.Form.Wrong(field) != "" {
			return true
		}
	}
	return false
}

// Any reports that one of the fields is filled, or wrong.
func (p noisePage) Any(fields ...string) bool {
	for _, field := range fields {
		if p.Entry.Form.Value(field) != "" {
			return true
		}
	}
	return p.Open(fields...)
}

// Along are the fields to be sent along when what was heard is kept.
func (p noisePage) Along() []namedValue {
	var told []namedValue
	for _, name := range noiseFields {
		if v := p.Entry.Form.Value(name); v != "" && name != "job" && name != "phase" {
			told = append(told, namedValue{name, v})
		}
	}
	return told
}

// noiseCautions stand wherever somebody drives to listen.
func noiseCautions() []knowledge.Caution { return cautionsFor([]string{"road-test", "lifting"}) }

func (s *Server) noiseShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetNoise(r, rb)
	if r.URL.Query().Get("recording") != "" {
		f = &Form{} // what was emptied stays empty
	}
	for name, values := range r.URL.Query() {
		if name != "did" {
			f.Set(name, values...)
		}
	}
	page, err := s.noise(r, rb, f, false)
	if err != nil {
		return err
	}
	if page.Wait != nil {
		return s.show(w, http.StatusAccepted, "bench_wait", page.Wait)
	}
	return s.show(w, statusOf(f), "noise", page)
}

// noise fills the page with what is heard in the form's recording; to the end where
// wait asks for that.
func (s *Server) noise(r *http.Request, rb *rebuild.Rebuild, f *Form, wait bool) (noisePage, error) {
	frame, err := s.frame(r, "What makes that noise?", "bench", rb)
	if err != nil {
		return noisePage{}, err
	}
	page := noisePage{Frame: frame, Entry: newBenchForm(rb, f), Cautions: noiseCautions(), Before: noise.RoadCautions(), Most: maxRecording, Drives: noiseRoadLines(frame, rb)}
	page.Entry.Hint = "Where the phone lay, road, wind, what else could be heard"
	if way := f.Value("way"); way != "" {
		if page.Way, err = s.rawFile(r, way, f.Value("way_name"), "speeds"); err != nil {
			return page, err
		}
		f.Set("way_name", page.Way.Name)
	}
	hash := f.Value("recording")
	if hash == "" {
		return page, nil
	}
	if page.Recording, err = s.rawFile(r, hash, f.Value("name"), "recording"); err != nil {
		return page, err
	}
	settings := f.readNoise()
	if len(f.Problems) > 0 {
		return page, nil
	}
	heard, done, read, err := s.askNoise(r.Context(), page.Recording, page.Way, settings, wait)
	if err != nil {
		return page, f.takeWork(r, err)
	}
	if !done {
		page.Wait = &waitPage{Frame: frame, Name: page.Recording.Name, Doing: "Listening", Size: page.Recording.Size, Read: read, Action: "/bench/noise", Job: f.Value("job"), Along: page.Along()}
		return page, nil
	}
	said := *heard // the one that is kept is of no case
	said.Cases = s.noiseCases(rb, heard.Result)
	page.Heard = &said
	return page, nil
}

// noiseKey is by which a recording that was heard is remembered.
func noiseKey(sound, way *rebuild.Attachment, settings workshop.NoiseSettings) string {
	key := sound.Hash + " " + settings.JSON()
	if way != nil {
		key += " " + way.Hash
	}
	return key
}

// askNoise listens to a recording and draws it, or gives what was heard before.
func (s *Server) askNoise(ctx context.Context, sound, way *rebuild.Attachment, settings workshop.NoiseSettings, wait bool) (*noiseSaid, bool, int64, error) {
	return s.noises.ask(ctx, noiseKey(sound, way, settings), wait, func(ctx context.Context, heed func(io.Reader) io.Reader) (*noiseSaid, error) {
		content, _, err := s.workshop.Book().OpenFile(ctx, sound.Hash)
		if err != nil {
			return nil, err
		}
		defer content.Close()
		var speeds io.Reader
		if way != nil {
			file, _, err := s.workshop.Book().OpenFile(ctx, way.Hash)
			if err != nil {
				return nil, err
			}
			defer file.Close()
			speeds = file
		}
		heard, err := workshop.ExamineNoise(ctx, heed(content), speeds, settings)
		if err != nil {
			return nil, err
		}
		return newNoiseSaid(heard), nil
	})
}

// noiseCases is what a recording says to the open cases of a hum.
func (s *Server) noiseCases(rb *rebuild.Rebuild, heard noise.Result) []humCase {
	var list []humCase
	for _, k := range s.workshop.HumCases(rb) {
		if said, ok := s.workshop.NoiseSays(rb, k, heard); ok {
			list = append(list, humCase{HumSaid: said, Href: casePath(rb, k.ID)})
		}
	}
	return list
}

// humCase is what recordings say to a case, with where it stands.
type humCase struct {
	workshop.HumSaid
	Href string
}
