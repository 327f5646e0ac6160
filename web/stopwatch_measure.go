package web

import (
	"cmp"
	"net/http"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// stopwatchMeasure says what the taps say, and keeps them as evidence where that
// is asked for.
func (s *Server) stopwatchMeasure(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.stopwatchPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Keeping = f.Value("save") != ""
	settings := f.readUnit()
	taps, err := workshop.ReadTaps(f.Value("taps"))
	if err == nil && len(taps) == 0 {
		f.problem("taps", "there is no tap yet: four starts of the pump make three intervals")
	}
	var said workshop.Recharged
	if err == nil && len(f.Problems) == 0 {
		if said, err = workshop.TimedPump(taps, settings); err == nil {
			page.Said = &said
		}
	}
	if err != nil && !f.takeTaps(err) {
		return err
	}
	if page.Said != nil && page.Keeping {
		done, err := s.keepTaps(w, r, rb, f, taps, saidEvidence(said, settings))
		if err != nil || done {
			return err
		}
	}
	status := http.StatusOK
	if len(f.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.show(w, status, "stopwatch", page)
}

// tapsFile is what a list of taps is called when it is kept.
const tapsFile = "taps.txt"

// keepTaps keeps the list of taps as a file and the measurement with it. The
// measurement is tried first: what is refused leaves no file behind.
func (s *Server) keepTaps(w http.ResponseWriter, r *http.Request, rb *rebuild.Rebuild, f *Form, taps []workshop.Tap, e rebuild.Evidence) (bool, error) {
	f.readBelongs(&e)
	e.Title = cmp.Or(e.Title, "Pump timed by thumb")
	if first := taps[0].At; !first.IsZero() {
		e.At = first.Format(time.RFC3339Nano)
	}
	e.On = cmp.Or(e.On, measuredOn(taps[0].At, s.today()))
	f.notAhead("on", "the day of the measurement", s.today())
	if _, err := rb.AddEvidence(e); f.take(err) || len(f.Problems) > 0 {
		return false, nil
	}
	list := strings.ReplaceAll(f.Value("taps"), "\r\n", "\n") + "\n"
	file, err := s.workshop.Book().PutFile(r.Context(), strings.NewReader(list), tapsFile, "text/plain", maxFile)
	if err != nil {
		return false, err
	}
	e.Raw = []rebuild.Attachment{file}
	return s.keepEvidence(w, r, f, e)
}
