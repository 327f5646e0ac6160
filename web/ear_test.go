package web

import (
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/bench/recharge"
	"wreckwright/rebuild"
)

// pumpSound is an invented recording as WAV: silence with a hiss, and a motor of
// three tones whose pitch sags, running for four seconds every twenty.
func pumpSound(seconds int) string {
	const rate = 8000
	var b strings.Builder
	put := func(values ...any) {
		for _, v := range values {
			if s, ok := v.(string); ok {
				b.WriteString(s)
				continue
			}
			_ = binary.Write(&b, binary.LittleEndian, v) // a Builder takes all
		}
	}
	n := uint32(seconds * rate)
	put("RIFF", 36+2*n, "WAVE", "fmt ", uint32(16), uint16(1), uint16(1), uint32(rate), uint32(2*rate), uint16(2), uint16(16), "data", 2*n)
	noise, phase := uint32(1), 0.0
	for i := range int(n) {
		noise = noise*1664525 + 1013904223
		v := 0.01 * (float64(noise>>16)/32768 - 1)
		if into := math.Mod(float64(i)/rate+13, 20); into < 4 {
			phase += 2 * math.Pi * (180 - 4*into) / rate
			for k, share := range []float64{0.1, 0.06, 0.04} {
				v += share * math.Sin(float64(k+1)*phase)
			}
		}
		put(int16(32767 * v))
	}
	return b.String()
}

func TestRecordingBecomesEvidence(t *testing.T) {
	g := newSurveyRig(t)
	job := g.job("Renew the accumulator", rebuild.JobOpen)
	page := g.path("/bench/listen")
	g.wants(g.get(fmt.Sprintf("%s?job=%d", page, job)), 200, "Gas under pressure", `accept="audio/*`, "upload.js")
	w := g.sendLog(page, url.Values{"job": {fmt.Sprint(job)}, "phase": {"before"}}, "beside.wav", pumpSound(100))
	g.wants(w, http.StatusSeeOther)
	at := w.Header().Get("Location")
	w = g.get(at)
	g.wants(w, 200, "5 runs of the pump heard", "What the readings say", "Mean interval", "beside.wav")
	hash := between(t, w.Body.String(), `name="recording" value="`, `"`)
	save := url.Values{"request": {"s1"}, "recording": {hash}, "name": {"beside.wav"}, "job": {fmt.Sprint(job)}, "phase": {"before"}}
	w = g.post(page+"/save", save)
	g.wants(w, http.StatusSeeOther)
	e := g.now().Evidence[0]
	if e.JobID != job || e.Raw[0].Hash != hash || e.Verdict == rebuild.VerdictPass || e.Engine != recharge.Version+", by ear" {
		t.Errorf("kept %+v", e)
	}
	if mean := e.Figures[0]; mean.Name != "Mean interval" || math.Abs(mean.Value-20) > 0.3 {
		t.Errorf("the interval is %+v, want 20 s", mean)
	}
	g.wants(g.get(w.Header().Get("Location")), 200, hash, "!See the log drawn")
}

func TestRecordingsThatSayNothing(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/listen")
	g.wants(g.post(page, nil), http.StatusUnprocessableEntity, "choose the recording")
	cut := pumpSound(30)[:100_000]
	for name, c := range map[string]struct{ content, says string }{
		"cut.wav":   {cut, "is cut"},
		"text.wav":  {"this is no sound at all, but words; " + strings.Repeat("words ", 50), "the recording is "},
		"short.wav": {pumpSound(2), "long"},
	} {
		w := g.sendLog(page, nil, name, c.content)
		g.wants(w, http.StatusSeeOther)
		g.wants(g.get(w.Header().Get("Location")), http.StatusUnprocessableEntity, c.says, "!Keep it as evidence")
	}
	g.wants(g.get(page+"?recording="+strings.Repeat("0", 64)), http.StatusNotFound)
	g.wants(g.post(page+"/save", url.Values{"title": {"x"}}), http.StatusUnprocessableEntity, "choose the recording first")
}
