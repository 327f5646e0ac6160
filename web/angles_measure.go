package web

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// anglesMeasure says what the readings say, puts a half-filled sheet aside, or
// keeps the readings as evidence.
func (s *Server) anglesMeasure(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.anglesPage(r, f)
	if err != nil {
		return err
	}
	if f.Value("do") == "aside" {
		if done, err := s.anglesAside(w, r, page); err != nil || done {
			return err
		}
		return s.show(w, statusOf(f), "angles", page)
	}
	page.Keeping = f.Value("do") == "keep"
	text, leftOut := f.anglesText(readingsOf(r))
	page.LeftOut = leftOut
	if err := page.examine(f, text); err != nil {
		return err
	}
	if page.Keeping && page.Said != nil && len(f.Problems) == 0 {
		if done, err := s.anglesKeep(w, r, page, text); err != nil || done {
			return err
		}
	}
	return s.show(w, statusOf(f), "angles", page)
}

// examine asks the engine, once the fields can be read.
func (p *anglesPage) examine(f *Form, text string) error {
	if len(f.Problems) > 0 {
		return nil
	}
	said, err := workshop.ExamineAngles(text, workshop.AnglesSettings{Show: f.Value("show")})
	var wrong *rebuild.Invalid
	switch {
	case errors.As(err, &wrong):
		for _, problem := range wrong.Problems {
			f.problem(anglesField(problem.Field), "%s", problem.Text)
		}
		return nil
	case err != nil:
		return err
	}
	p.Said = newAnglesSaid(&said, nil, "")
	for _, h := range said.Result.Hold {
		if h.ReadAgain && p.Keeping && !f.Has("really", "1") {
			p.Doubted = true
			f.problem("wheels."+h.Wheel+".front_mm", "%s: %s; or tick that it really reads that", capital(workshop.CornerWords(h.Wheel)), h.Text)
		}
	}
	return nil
}

// anglesKeep keeps the readings as a file and the measurement with it; the sheet
// that they were gathered on goes in the same change.
func (s *Server) anglesKeep(w http.ResponseWriter, r *http.Request, page anglesPage, text string) (bool, error) {
	f, e := page.Entry.Form, page.Said.Evidence()
	f.evidenceOn(&e, e.Title, s.today())
	e.Title = cmp.Or(f.Value("title"), "Wheel angles")
	f.notAhead("on", "the day of the measurement", s.today())
	if _, err := page.Rebuild.AddEvidence(e); f.take(err) || len(f.Problems) > 0 {
		return false, nil
	}
	file, err := s.workshop.Book().PutFile(r.Context(), strings.NewReader(text), workshop.AnglesName, "text/plain", maxFile)
	if err != nil {
		return false, err
	}
	e.Raw = []rebuild.Attachment{file}
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		change, err := rb.AddEvidence(e)
		if err != nil || page.Sheet == nil {
			return change, err
		}
		done, err := rb.DeleteSheet(page.Sheet.ID, f.rev())
		change.Edits = append(change.Edits, done.Edits...)
		return change, err
	}, func(record store.Record) string {
		at := page.Base() + "/bench"
		if added := (rebuild.Change{Edits: record.Edits}).Added(); added != nil {
			at += fmt.Sprintf("/evidence/%d", added.ItemID())
		}
		return at
	})
	if f.take(err) {
		return false, nil
	}
	return err == nil, err
}

// anglesAside keeps what was entered so far on a measuring sheet, right or wrong:
// it is looked at when it is worked out.
func (s *Server) anglesAside(w http.ResponseWriter, r *http.Request, page anglesPage) (bool, error) {
	f := page.Entry.Form
	held := map[string]string{}
	for field := range f.Values {
		switch field {
		case "request", "back", "do", "rev", "job", "phase", "title", "note":
		default:
			if text := f.Value(field); text != "" {
				held[field] = text
			}
		}
	}
	told, err := json.Marshal(held)
	if err != nil {
		return false, err
	}
	sheet := rebuild.Sheet{
		Of: rebuild.InstrumentAngles, Title: cmp.Or(f.Value("title"), "Wheel angles"), JobID: f.whole("job", "the job"),
		Phase: rebuild.Phase(f.Value("phase")), Told: string(told), Note: f.Value("note"),
	}
	if len(f.Problems) > 0 {
		return false, nil
	}
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		if page.Sheet == nil {
			return rb.AddSheet(sheet)
		}
		sheet.ID, sheet.Rev = page.Sheet.ID, f.rev()
		return rb.EditSheet(sheet)
	}, func(record store.Record) string {
		if len(record.Edits) == 0 {
			return page.Action()
		}
		return fmt.Sprintf("%s/bench/angles/%d", page.Base(), record.Edits[0].ID())
	})
	if f.take(err) {
		return false, nil
	}
	return err == nil, err
}

// showAngles works wheel angles out anew, for their drawing, with those on the
// other side of the work in broken lines.
func (s *Server) showAngles(r *http.Request, page *evidencePage) {
	page.Cautions = cautionsFor([]string{"lifting", "steering"})
	said, err := s.workshop.AnglesKept(r.Context(), page.Evidence)
	if err != nil {
		page.Anew = err.Error()
		return
	}
	var before *workshop.Angled
	ghost := ""
	if other := anglesBefore(page.Against, page.Evidence); other != nil {
		if old, err := s.workshop.AnglesKept(r.Context(), other); err == nil {
			before, ghost = &old, string(other.Phase)+" the work, "+day(other.On)
		}
	}
	page.Angles = newAnglesSaid(&said, before, ghost)
}

// anglesAgain is the address where the angles are measured once more, with the
// limits of this time.
func (p evidencePage) anglesAgain() string {
	at := fmt.Sprintf("%s/bench/angles?from=%d", p.Base(), p.Evidence.ID)
	if p.Evidence.JobID != 0 {
		at += fmt.Sprintf("&job=%d", p.Evidence.JobID)
	}
	return at
}
