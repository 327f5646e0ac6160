package web

import (
	"cmp"
	"net/http"

	"wreckwright/rebuild"
)

// earTake keeps the recording that is sent and goes on to what is heard in it.
func (s *Server) earTake(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if f.Value("stop") != "" {
		s.ears.stop(earKey(f))
		return s.goOn(w, r, "/r/"+r.PathValue("rebuild")+"/bench/listen"+jobQuery(f))
	}
	files, err := s.uploadsUpTo(r, f, "file", maxRecording)
	if err != nil {
		return err
	}
	if len(files) == 0 && len(f.Problems) == 0 {
		f.problem("file", "choose the recording: 5 to 60 minutes beside the car")
	}
	f.Set("recording", "")
	if len(f.Problems) == 0 {
		f.Set("recording", files[0].Hash)
		f.Set("name", files[0].Name)
		return s.goOn(w, r, earAddress("/r/"+r.PathValue("rebuild"), f))
	}
	page, err := s.hear(r, rb, f, true)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusUnprocessableEntity, "bench_ear", page)
}

// earSave keeps what was heard as evidence.
func (s *Server) earSave(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.hear(r, rb, f, true)
	if err != nil {
		return err
	}
	page.Keeping = true
	if page.Recording == nil {
		f.problem("file", "choose the recording first")
	}
	if page.Said != nil {
		e := saidEvidence(*page.Said, f.readUnit())
		f.readBelongs(&e)
		e.Engine += byEar
		e.Title, e.On = cmp.Or(e.Title, "Pump heard in "+page.Recording.Name), cmp.Or(e.On, s.today())
		e.Raw = []rebuild.Attachment{*page.Recording}
		done, err := s.keepEvidence(w, r, f, e)
		if err != nil || done {
			return err
		}
	} else if len(f.Problems) == 0 {
		f.problem("file", "no start of the pump was heard: there is nothing to keep")
	}
	return s.show(w, http.StatusUnprocessableEntity, "bench_ear", page)
}
