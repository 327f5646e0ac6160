package web

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"sync"

	"wreckwright/rebuild"
	"wreckwright/store"
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
	page, err := s.hear(r, rb, f)
	if err != nil {
		return err
	}
	return s.show(w, statusOf(f), "bench_ear", page)
}

// hear fills the page with what is heard in the form's recording.
func (s *Server) hear(r *http.Request, rb *rebuild.Rebuild, f *Form) (earPage, error) {
	frame, err := s.frame(r, "By ear", "bench", rb)
	if err != nil {
		return earPage{}, err
	}
	page := earPage{benchPage: benchPage{Frame: frame, Entry: newBenchForm(rb, f), Cautions: unitCautions()}, Most: maxRecording}
	hash := f.Value("recording")
	if hash == "" {
		return page, nil
	}
	content, info, err := s.workshop.Book().OpenFile(r.Context(), hash)
	if errors.Is(err, store.ErrNoFile) {
		return page, notFound("The book has no such recording. Choose it once more.")
	}
	if err != nil {
		return page, err
	}
	defer content.Close()
	page.Recording = &rebuild.Attachment{Hash: hash, Name: cmp.Or(f.Value("name"), "recording"), MediaType: info.MediaType, Size: info.Size}
	settings := f.readUnit()
	if len(f.Problems) > 0 {
		return page, nil
	}
	heard, err := s.ears.hear(hash+" "+settings.JSON(), func() (workshop.Heard, error) { return workshop.HearPump(r.Context(), content, settings) })
	if f.take(err) {
		return page, nil
	}
	if err != nil {
		return page, err
	}
	page.Heard, page.Said = &heard, heard.Said
	return page, nil
}

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

// ears hears recordings, one at a time: it takes both cores and some hundred
// megabytes.
type ears struct {
	listening sync.Mutex
	heard     latest[workshop.Heard]
}

// mostHeard bounds the memory; what is heard is small.
const mostHeard = 16

func (e *ears) hear(key string, listen func() (workshop.Heard, error)) (workshop.Heard, error) {
	if kept, ok := e.heard.get(key); ok {
		return kept, nil
	}
	e.listening.Lock()
	defer e.listening.Unlock()
	if kept, ok := e.heard.get(key); ok { // heard while this one waited
		return kept, nil
	}
	heard, err := listen()
	if err == nil {
		e.heard.keep(key, heard)
	}
	return heard, err
}
