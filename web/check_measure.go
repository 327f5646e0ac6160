package web

import (
	"net/http"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// checkMeasure says what the readings say, and keeps them as evidence where that is
// asked for. Without script each reading is a form of its own; with it the page
// keeps the list and asks for the part that says what it comes to.
func (s *Server) checkMeasure(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.checkPage(r, f)
	if err != nil {
		return err
	}
	live, do := r.Header.Get("HX-Request") == "true", f.Value("do")
	if live {
		do = "" // the list is the page's own
	}
	page.Keeping = do == "keep"
	t := readingsOf(r)
	text := f.readTaken(page.Ask, t, !live && do != "undo", do == "undo")
	if do == "add" && len(f.Problems) == 0 && page.Ask.Shape == workshop.ShapeRow && len(page.Taken()) == 0 {
		f.problem("reading", "type the reading first")
	}
	if err := page.examine(f, t, text, s.today()); err != nil {
		return err
	}
	if live {
		return s.showPart(w, r, "check", "check-live", page)
	}
	if page.Keeping && page.Said != nil && len(f.Problems) == 0 {
		done, err := s.keepCheck(w, r, page, text)
		if err != nil || done {
			return err
		}
	}
	return s.show(w, statusOf(f), "check", page)
}

// examine asks the engine, once there is a reading.
func (p *checkPage) examine(f *Form, t readingText, text, today string) error {
	settings := f.readCheckSettings(p.Ask, t, today)
	if p.Keeping {
		f.ownName(p.Ask)
	}
	p.doubt(f, text, &settings)
	if len(f.Problems) > 0 || strings.TrimSpace(text) == "" && !p.Keeping {
		return nil
	}
	said, err := workshop.ExamineCheck(text, settings)
	if err != nil {
		if !f.take(err) {
			return err
		}
		return nil
	}
	if p.doubtValue(f, said, &settings); len(f.Problems) > 0 {
		return nil
	}
	if len(settings.Confirmed) > len(said.Settings.Confirmed) {
		if said, err = workshop.ExamineCheck(text, settings); err != nil {
			return err
		}
	}
	p.Said, p.Line = &said, lineOf(said)
	return nil
}

// keepCheck keeps the readings as a file and the measurement with it. It is tried
// first: what is refused leaves no file behind.
func (s *Server) keepCheck(w http.ResponseWriter, r *http.Request, page checkPage, text string) (bool, error) {
	f, e := page.Entry.Form, page.Said.Evidence()
	f.evidenceOn(&e, page.Said.Settings.Title(), s.today())
	return s.keepText(w, r, page.Rebuild, f, e, text, workshop.ReadingsName)
}

// keepText keeps a measurement whose raw readings are a text.
func (s *Server) keepText(w http.ResponseWriter, r *http.Request, rb *rebuild.Rebuild, f *Form, e rebuild.Evidence, text, name string) (bool, error) {
	f.notAhead("on", "the day of the measurement", s.today())
	if _, err := rb.AddEvidence(e); f.take(err) || len(f.Problems) > 0 {
		return false, nil
	}
	file, err := s.workshop.Book().PutFile(r.Context(), strings.NewReader(text), name, "text/plain", maxFile)
	if err != nil {
		return false, err
	}
	e.Raw = []rebuild.Attachment{file}
	return s.keepEvidence(w, r, f, e)
}
