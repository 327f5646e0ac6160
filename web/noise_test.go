package web

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// wheelSound is an invented recording: hiss, a shaft's hum, and where strikes is not
// nought a ringing that often a turn.
type wheelSound struct {
	seconds, hz, strikes, gain float64
	rate, channels             int
	seed                       uint64
}

func (s wheelSound) wav() string {
	rate, channels := cmp.Or(s.rate, 11025), cmp.Or(s.channels, 1)
	r := rand.New(rand.NewPCG(s.seed, 3))
	x := make([]float64, int(float64(rate)*s.seconds))
	for i := range x {
		turn := 2 * math.Pi * s.hz * float64(i) / float64(rate)
		x[i] = 0.1*r.NormFloat64() + 0.05*math.Cos(turn) + 0.04*math.Cos(2*turn+1) + 0.02*math.Cos(3*turn+2)
	}
	for at := 0.0; s.strikes > 0 && at < s.seconds; at += (1 + 0.01*r.NormFloat64()) / (s.strikes * s.hz) {
		for i := int(at * float64(rate)); i < len(x) && i < int(at*float64(rate))+rate/200; i++ {
			since := float64(i)/float64(rate) - at
			x[i] += 0.6 * math.Exp(-1500*since) * math.Sin(2*math.Pi*2700*since)
		}
	}
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) } // a buffer takes all
	size := uint32(2 * channels * len(x))
	b.WriteString("RIFF")
	put(36 + size)
	b.WriteString("WAVEfmt ")
	put(uint32(16))
	put([]uint16{1, uint16(channels)})
	put([]uint32{uint32(rate), uint32(2 * channels * rate)})
	put([]uint16{uint16(2 * channels), 16})
	b.WriteString("data")
	put(size)
	for _, v := range x {
		for range channels {
			put(int16(32000 * max(-1, min(1, 0.5*s.gain*v))))
		}
	}
	return b.String()
}

// sendFiles posts a form with files by their fields.
func (g *surveyRig) sendFiles(path string, values url.Values, files map[string][2]string) *httptest.ResponseRecorder {
	g.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for field, list := range values {
		for _, v := range list {
			if err := form.WriteField(field, v); err != nil {
				g.t.Fatal(err)
			}
		}
	}
	for field, file := range files {
		part, err := form.CreateFormFile(field, file[0])
		if err == nil {
			_, err = part.Write([]byte(file[1]))
		}
		if err != nil {
			g.t.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		g.t.Fatal(err)
	}
	r := httptest.NewRequest("POST", path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return g.answer(r)
}

func newNoiseRig(t *testing.T) *surveyRig {
	g := newSurveyRig(t)
	g.server.noises.patience, g.server.drives.patience = time.Minute, time.Minute
	return g
}

// told is a wheel at 15 turns a second with an invented hub, whose outer race is
// struck 5.80 times a turn.
func told(more ...string) url.Values {
	v := url.Values{"speed": {"rpm"}, "rpm": {"900"}, "elements": {"14"}, "element_mm": {"12.7"}, "pitch_mm": {"60"}, "angle_deg": {"36"}, "corner": {"FL"}}
	for i := 0; i+1 < len(more); i += 2 {
		v.Set(more[i], more[i+1])
	}
	return v
}

func (g *surveyRig) hear(values url.Values, sound string) *httptest.ResponseRecorder {
	g.t.Helper()
	w := g.sendFiles(g.path("/bench/noise"), values, map[string][2]string{"file": {"wheel.wav", sound}})
	if w.Code == http.StatusSeeOther {
		w = g.get(w.Header().Get("Location"))
	}
	return w
}

func TestNoiseBecomesEvidence(t *testing.T) {
	g := newNoiseRig(t)
	job := g.job("Renew the wheel bearing", rebuild.JobOpen)
	g.wants(g.get(fmt.Sprintf("%s?job=%d", g.path("/bench/noise"), job)), 200, "a loose hub is not driven", `accept="audio/*`, "Guided road test")
	var kept []*rebuild.Evidence
	for _, side := range []struct {
		phase   string
		sound   wheelSound
		verdict rebuild.Verdict
		says    string
	}{
		{"before", wheelSound{seconds: 8, hz: 15, strikes: 5.802, gain: 1, seed: 1}, rebuild.VerdictFail, "outer race"},
		{"after", wheelSound{seconds: 8, hz: 15.05, gain: 1, seed: 2}, rebuild.VerdictPass, "o bearing line stands out"},
	} {
		values := told("job", fmt.Sprint(job), "phase", side.phase)
		w := g.hear(values, side.sound.wav())
		g.wants(w, 200, "What is heard", side.says, "<audio controls", "Spectrum of the envelope", "The sound over time", "Ball or roller", "Strengths, no chances")
		save := told("job", fmt.Sprint(job), "phase", side.phase, "request", "k"+side.phase, "name", "wheel.wav", "recording", between(t, w.Body.String(), `name="recording" value="`, `"`))
		first := g.post(g.path("/bench/noise/save"), save)
		g.wants(first, http.StatusSeeOther)
		again := g.post(g.path("/bench/noise/save"), save)
		if before, after := first.Header().Get("Location"), again.Header().Get("Location"); before != after {
			t.Errorf("sent twice: %s and %s", before, after)
		}
		rb := g.now()
		e := &rb.Evidence[len(rb.Evidence)-1]
		if e.Verdict != side.verdict || e.JobID != job || string(e.Phase) != side.phase || e.Instrument != rebuild.InstrumentNoise || len(e.Raw) != 1 {
			t.Fatalf("kept %+v", e)
		}
		kept = append(kept, e)
	}
	if len(kept) != 2 || len(g.now().Evidence) != 2 {
		t.Fatalf("%d measurements", len(g.now().Evidence))
	}
	w := g.get(g.path(fmt.Sprintf("/bench/evidence/%d", kept[1].ID)))
	g.wants(w, 200, "before=", "front left", "Balls or rollers in a row: 14", "heard anew", "<audio controls")
	w = g.get(fmt.Sprintf("%s?before=%d&after=%d", g.path("/bench/noise/compare"), kept[0].ID, kept[1].ID))
	g.wants(w, 200, "fig-spectrum-before", "Bearing lines over the noise", "expected and heard")
	g.wants(g.get(g.path("/bench/noise/compare?before=999&after=1")), http.StatusNotFound)
	anew, err := workshop.Again(t.Context(), kept[0], g.open)
	if err != nil || anew.Verdict != string(kept[0].Verdict) || anew.Why != kept[0].Why || len(anew.Figures) != len(kept[0].Figures) || anew.Figures[0].Value != kept[0].Figures[0].Value {
		t.Errorf("again: %+v, %v", anew, err)
	}
}

func (g *surveyRig) open(hash string) (io.ReadCloser, error) {
	content, _, err := g.book.OpenFile(g.t.Context(), hash)
	return content, err
}

func TestNoiseThatSaysNothing(t *testing.T) {
	g := newNoiseRig(t)
	page := g.path("/bench/noise")
	sound := wheelSound{seconds: 6, hz: 15, gain: 1, seed: 4}
	silence := sound
	silence.gain = 0
	short, slow := sound, sound
	short.seconds, slow.rate = 2, 4000
	for name, c := range map[string]struct {
		sound  string
		told   url.Values
		says   string
		typed  string
		status int
	}{
		"silence":         {silence.wav(), told(), "silence", `value="900"`, 422},
		"too short":       {short.wav(), told(), "at least 3.3 s", `value="900"`, 422},
		"too slow a rate": {slow.wav(), told(), "8000 to 96000", `value="900"`, 422},
		"d > D":           {sound.wav(), told("element_mm", "70"), "smaller than the circle", `value="70"`, 422},
		"no speed":        {sound.wav(), told("rpm", "0"), "above 0", `value="14"`, 422},
		"no number":       {sound.wav(), told("rpm", "fast"), "is not a number", `value="fast"`, 422},
		"no tyre":         {sound.wav(), url.Values{"speed": {"road"}, "speed_kmh": {"80"}}, "tyre&#39;s size", `value="80"`, 422},
		"bad tyre":        {sound.wav(), url.Values{"speed": {"road"}, "speed_kmh": {"80"}, "tyre": {"round"}}, "expected", `value="round"`, 422},
		"no kind":         {sound.wav(), url.Values{}, "how the speed is known", "wheel.wav", 422},
		"no track":        {sound.wav(), url.Values{"speed": {"track"}, "tyre": {"245/35R20"}}, "CSV, GPX or NMEA", "wheel.wav", 422},
		"teeth":           {sound.wav(), told("teeth", "41, many"), "whole number", `value="41, many"`, 422},
		"text":            {strings.Repeat("no sound at all. ", 40), told(), "recording", `value="900"`, 422},
	} {
		t.Run(name, func(t *testing.T) {
			g.t = t
			w := g.hear(c.told, c.sound)
			g.wants(w, c.status, c.says, c.typed, "!What is heard")
		})
	}
	g.t = t
	g.wants(g.post(page, told()), 422, "choose the recording", `value="900"`)
	g.wants(g.post(page+"/save", told()), 422, "choose the recording first")
	g.wants(g.get(page+"?recording="+strings.Repeat("0", 64)), http.StatusNotFound)
	stereo := sound
	stereo.channels = 2
	g.wants(g.hear(told(), stereo.wav()), 200, "What is heard")
	loud := sound
	loud.gain = 12
	g.wants(g.hear(told(), loud.wav()), 200, "of the recording is cut off")
}

func TestNoiseWithTrack(t *testing.T) {
	g := newNoiseRig(t)
	files := map[string][2]string{"file": {"run.wav", wheelSound{seconds: 9, hz: 12, gain: 1, seed: 5}.wav()}, "track": {"speeds.csv", "time,speed\n0,90\n5,x\n"}}
	values := url.Values{"tyre": {"245/35R20"}}
	w := g.sendFiles(g.path("/bench/noise"), values, files)
	g.wants(w, 422, "line 3", "run.wav", `value="245/35R20"`)
	files["track"] = [2]string{"speeds.csv", "time_s,speed_kmh\n0,80\n3,90\n6,100\n9,110\n"}
	w = g.sendFiles(g.path("/bench/noise"), values, files)
	g.wants(w, http.StatusSeeOther)
	at := w.Header().Get("Location")
	w = g.get(at)
	g.wants(w, 200, "What is heard", "The sound over orders and speed", "after the first point")
	u, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	save := u.Query()
	save.Set("request", "t1")
	g.wants(g.post(g.path("/bench/noise/save"), save), http.StatusSeeOther)
	e := &g.now().Evidence[0]
	s, ok := workshop.ReadNoiseSettings(e)
	if !ok || len(e.Raw) != 2 || s.TrackStartS == nil || s.TrackFile != "speeds.csv" {
		t.Fatalf("kept %+v", e)
	}
	anew, err := workshop.Again(t.Context(), e, g.open)
	if err != nil || anew.Verdict != string(e.Verdict) || anew.Why != e.Why {
		t.Errorf("again: %+v, %v", anew, err)
	}
}

func TestGuidedRoadTest(t *testing.T) {
	g := newNoiseRig(t)
	model, ok := knowledge.FaultModelFor("hum-with-speed")
	if !ok {
		t.Fatal("no model of a hum")
	}
	humming := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddCase(rebuild.Case{Title: "Hum", Model: string(model.YAML), On: "2026-05-01", ModelFrom: model.Key, State: rebuild.CaseOpen})
	})
	w := g.post(g.path("/bench/noise/road"), url.Values{"request": {"r0"}})
	g.wants(w, http.StatusSeeOther)
	at, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	g.wants(g.get(at), 200, "never weaved", "Tap what the car did", "Two pieces of different kinds")
	g.wants(g.post(at, url.Values{"tag": {"cruise"}, "part_kmh": {"80"}}), 422, "choose the recording first", `value="80"`)
	g.wants(g.post(at, url.Values{"do": {"tyre"}, "roll_out_mm": {"12"}}), 422, "cannot be")
	g.wants(g.post(at, url.Values{"do": {"tyre"}, "tyre": {"245/35R20"}, "request": {"r1"}}), http.StatusSeeOther)
	send := func(request, tag, kmh string, s wheelSound) *httptest.ResponseRecorder {
		return g.sendFiles(at, url.Values{"request": {request}, "tag": {tag}, "part_kmh": {kmh}}, map[string][2]string{"file": {tag + request + ".wav", s.wav()}})
	}
	g.wants(send("x", "backwards", "80", wheelSound{seconds: 3, hz: 10.7, gain: 1}), 422, "tap what the car did")
	g.wants(send("x", "cruise", "0", wheelSound{seconds: 3, hz: 10.7, gain: 1}), 422, "above 0")
	for i := range 3 {
		seed := uint64(20 + 2*i)
		g.wants(send(fmt.Sprintf("l%d", i), "weave left", "80", wheelSound{seconds: 4, hz: 10.7, gain: 1, seed: seed}), http.StatusSeeOther)
		g.wants(send(fmt.Sprintf("w%d", i), "weave right", "80", wheelSound{seconds: 4, hz: 10.7, gain: 1, seed: seed + 1}), http.StatusSeeOther)
	}
	g.wants(g.get(at), 200, "What they say together", "no louder to either side", "If it is a bearing, where?", "3 of 3")
	out := url.Values{"out": {"6"}, "out_is": {"nothing"}, "request": {"o1"}}
	g.wants(g.post(at, out), 422, "has moved or is gone")
	w = g.post(at+"/keep", url.Values{"request": {"k1"}, "title": {"Sunday's drive"}})
	g.wants(w, http.StatusSeeOther)
	rb := g.now()
	e := &rb.Evidence[0]
	if e.Title != "Sunday's drive" || e.Verdict != rebuild.VerdictCannotTell || len(e.Raw) != 6 {
		t.Fatalf("kept %+v", e)
	}
	page := g.path(fmt.Sprintf("/bench/evidence/%d", e.ID))
	g.wants(g.get(page), 200, "Enter in the case", "Weave: steering left", "points, it condemns")
	step := url.Values{"case": {fmt.Sprint(humming)}, "test": {"bend"}, "request": {"s1"}}
	g.wants(g.post(page+"/case", step), http.StatusSeeOther)
	k := g.now().Case(humming)
	if len(k.Steps) != 1 || k.Steps[0].EvidenceID != e.ID || k.Steps[0].Outcome != "same" {
		t.Fatalf("the trail is %+v", k.Steps)
	}
	step.Set("request", "s2")
	g.wants(g.post(page+"/case", step), 422)
	anew, err := workshop.Again(t.Context(), e, g.open)
	if err != nil || anew.Why != e.Why || len(anew.Figures) != len(e.Figures) {
		t.Errorf("again: %+v, %v", anew, err)
	}
	mark := between(t, g.get(at).Body.String(), `name="out_is" value="`, `"`)
	g.wants(g.post(at, url.Values{"out": {"1"}, "out_is": {mark}, "request": {"o2"}}), http.StatusSeeOther)
	if s, err := workshop.ReadDrive(g.now().Sheets[0].Told); err != nil || len(s.Parts) != 5 {
		t.Errorf("%d pieces, %v", len(s.Parts), err)
	}
	g.wants(g.get(g.path("/bench/noise/road/99")), http.StatusNotFound)
}
