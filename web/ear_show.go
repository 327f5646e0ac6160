package web

import (
	"context"
	"io"
	"net/http"
	"net/url"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// earPage is the instrument by ear: the form that takes a recording and, once
// there is one, the runs of the pump that were heard.
type earPage struct {
	benchPage
	Recording *rebuild.Attachment // nil: none was chosen yet
	Heard     *workshop.Heard
	Most      int64 // bytes that are taken
}

// maxRecording bounds a recording: an hour of 16000 samples a second is 115 MB.
const maxRecording = 190 << 20

// earFields are the fields that say which recording is listened to and what is
// known of the unit.
var earFields = []string{"recording", "name", "cold_fill", "ambient_c", "gas_volume_l", "precharge_bar", "pump_l_min", "reservoir_drop_ml", "job", "phase"}

func (s *Server) earShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetBench(r, rb)
	for name, values := range r.URL.Query() {
		if name != "did" {
			f.Set(name, values...)
		}
	}
	page, err := s.hear(r, rb, f, false)
	if err != nil {
		return err
	}
	if page.Wait != nil {
		return s.show(w, http.StatusAccepted, "bench_wait", page.Wait)
	}
	return s.show(w, statusOf(f), "bench_ear", page)
}

// hear fills the page with what is heard in the form's recording; to the end
// where wait asks for that.
func (s *Server) hear(r *http.Request, rb *rebuild.Rebuild, f *Form, wait bool) (earPage, error) {
	frame, err := s.frame(r, "By ear", "bench", rb)
	if err != nil {
		return earPage{}, err
	}
	page := earPage{benchPage: newBenchPage(frame, rb, f), Most: maxRecording}
	hash := f.Value("recording")
	if hash == "" {
		return page, nil
	}
	page.Recording, err = s.rawFile(r, hash, f.Value("name"), "recording")
	if err != nil {
		return page, err
	}
	settings := f.readUnit()
	if len(f.Problems) > 0 {
		return page, nil
	}
	heard, done, read, err := s.ears.ask(r.Context(), earKey(f), wait, func(ctx context.Context, heed func(io.Reader) io.Reader) (workshop.Heard, error) {
		content, _, err := s.workshop.Book().OpenFile(ctx, hash)
		if err != nil {
			return workshop.Heard{}, err
		}
		defer content.Close()
		return workshop.HearPump(ctx, heed(content), settings)
	})
	if err != nil {
		return page, f.takeWork(r, err)
	}
	if !done {
		page.Wait = &waitPage{Frame: frame, Name: page.Recording.Name, Doing: "Listening", Size: page.Recording.Size, Read: read, Action: "/bench/listen", Job: f.Value("job"), Along: page.Along()}
		return page, nil
	}
	page.Heard, page.Said = &heard, heard.Said
	return page, nil
}

// earKey is by which a recording that was heard is remembered.
func earKey(f *Form) string { return f.Value("recording") + " " + f.readUnit().JSON() }

// HeardFor is how long the recording is.
func (p earPage) HeardFor() string { return minutes(p.Heard.DurationS) }

// Along are the fields to be sent along when what was heard is kept.
func (p earPage) Along() []namedValue {
	var told []namedValue
	for _, name := range earFields {
		if v := p.Entry.Form.Value(name); v != "" && name != "job" && name != "phase" {
			told = append(told, namedValue{name, v})
		}
	}
	return told
}

func earAddress(base string, f *Form) string {
	query := url.Values{}
	for _, name := range earFields {
		if v := f.Value(name); v != "" {
			query.Set(name, v)
		}
	}
	return base + "/bench/listen?" + query.Encode()
}

// mostHeard bounds the memory; what is heard is small.
const mostHeard = 16
