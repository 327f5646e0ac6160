package web

import (
	"cmp"
	"net/http"

	"wreckwright/rebuild"
)

// logTake keeps the log that is sent and goes on to what it says.
func (s *Server) logTake(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if f.Value("stop") != "" {
		s.logs.stop(logKey(f))
		return s.goOn(w, r, "/r/"+r.PathValue("rebuild")+"/bench/recharge"+jobQuery(f))
	}
	files, err := s.uploads(r, f, "file")
	if err != nil {
		return err
	}
	if len(files) == 0 && len(f.Problems) == 0 {
		f.problem("file", "choose the log: a CSV file with a header and one reading a line")
	}
	if len(files) > 0 && !readsAsLog(files[0]) {
		f.problem("file", "the file %q is no text but %s: a log is a CSV file with a header and one reading a line", files[0].Name, mediaWords(files[0].MediaType))
	}
	if len(f.Problems) == 0 {
		f.Set("log", files[0].Hash)
		f.Set("name", files[0].Name)
		frame, err := s.frame(r, "", "", rb)
		if err != nil {
			return err
		}
		return s.goOn(w, r, logAddress(frame.Base(), f))
	}
	f.Set("log", "")
	page, err := s.readLog(r, rb, f, true)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusUnprocessableEntity, "bench_log", page)
}

// logSave keeps what a log says as evidence.
func (s *Server) logSave(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.readLog(r, rb, f, true)
	if err != nil {
		return err
	}
	page.Keeping = true
	if page.Log == nil {
		f.problem("file", "choose the log first")
	}
	if page.Said != nil {
		e := saidEvidence(*page.Said, f.readUnit())
		f.readBelongs(&e)
		e.Title, e.On = cmp.Or(e.Title, "Pressure log "+page.Log.Name), cmp.Or(e.On, s.today())
		e.Raw = []rebuild.Attachment{*page.Log}
		done, err := s.keepEvidence(w, r, f, e)
		if err != nil || done {
			return err
		}
	}
	return s.show(w, http.StatusUnprocessableEntity, "bench_log", page)
}
