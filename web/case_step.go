package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// caseStep enters what was tried: a test with how it came out, a repair with
// whether it cured, the whole unit.
func (s *Server) caseStep(w http.ResponseWriter, r *http.Request) error {
	return s.caseChange(w, r, "step", func(rb *rebuild.Rebuild, f *Form, k *rebuild.Case) string {
		step := s.readStep(f, rb, k)
		if err := s.workshop.StepFits(k, step); err != nil && len(f.Problems) == 0 {
			f.problem("what", "%v", err)
			return ""
		}
		k.Steps = append(slices.Clone(k.Steps), step)
		if step.Cured {
			k.State, k.Cause = rebuild.CaseSolved, s.likelyCause(r, rb, *k)
		}
		return fmt.Sprintf("noted in the case %q: %s", k.Title, s.workshop.StepInWords(k, step))
	})
}

// likelyCause is the fault that a cured case most likely had; empty where only the
// whole unit cured it.
func (s *Server) likelyCause(r *http.Request, rb *rebuild.Rebuild, k rebuild.Case) string {
	if k.Steps[len(k.Steps)-1].Kind == rebuild.StepWhole {
		return ""
	}
	k.Cause = ""
	d, err := s.workshop.Diagnose(r.Context(), rb, &k)
	if err != nil || len(d.Faults) == 0 {
		return ""
	}
	return d.Faults[0].ID
}

// caseChange makes one change to the case in the address; refused, the case's page
// comes back with the form of that name as typed. edit gives the words for the
// journal; empty: the book's own.
func (s *Server) caseChange(w http.ResponseWriter, r *http.Request, form string, edit func(*rebuild.Rebuild, *Form, *rebuild.Case) string) error {
	rb, now, err := s.caseOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	k := *now
	k.Rev = f.rev()
	what := ""
	if k.Rev == now.Rev { // else it is a conflict, whatever the form says
		what = edit(rb, f, &k)
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			c, err := rb.EditCase(k)
			if what != "" {
				c.What = what
			}
			return c, err
		}, func(store.Record) string { return casePath(rb, k.ID) })
		if !f.take(err) {
			return err
		}
	}
	return s.caseForm(w, r, http.StatusUnprocessableEntity, rb, now, f, form)
}

// readStep reads what was tried.
func (s *Server) readStep(f *Form, rb *rebuild.Rebuild, k *rebuild.Case) rebuild.CaseStep {
	step := rebuild.CaseStep{
		At: s.now().Format(time.RFC3339), Kind: rebuild.CaseStepKind(f.Value("kind")), What: f.Value("what"), Note: f.Value("note"),
	}
	f.readCame(&step)
	if id := f.whole("evidence", "the measurement"); id != 0 {
		s.takeOffer(f, rb, k, &step, id)
	}
	if step.Kind == rebuild.StepWhole {
		step.Cured, step.What = true, ""
	}
	return step
}

// readCame reads how it came out.
func (f *Form) readCame(step *rebuild.CaseStep) {
	step.Outcome, step.Cured = "", false
	step.Value, step.ValueSD = nil, 0
	switch {
	case step.Kind == rebuild.StepRepair:
		step.Cured = f.Has("cured", "1")
		if f.Value("cured") == "" {
			f.problem("cured", "say whether the symptom is gone")
		}
	case step.Kind != rebuild.StepTest, f.Value("evidence") != "":
	case f.Value("outcome") != "":
		step.Outcome = f.Value("outcome")
	default:
		if step.Value = f.optional("reading", "the measured value"); step.Value == nil {
			f.problem("reading", "enter what was measured")
		}
		step.ValueSD = f.number("doubt", "how far off it may be") / uncertain.HalfOf95
	}
}

// takeOffer takes over the value of a measurement of the book.
func (s *Server) takeOffer(f *Form, rb *rebuild.Rebuild, k *rebuild.Case, step *rebuild.CaseStep, id int64) {
	offer, err := s.workshop.OfferOf(rb, k, step.What, id)
	if err != nil {
		f.problem("evidence", "%v", err)
		return
	}
	step.Value, step.ValueSD, step.EvidenceID = &offer.Value, offer.SD, id
}

// caseTrail changes or takes out one step that was entered.
func (s *Server) caseTrail(w http.ResponseWriter, r *http.Request) error {
	place := r.FormValue("place")
	return s.caseChange(w, r, "trail."+place, func(rb *rebuild.Rebuild, f *Form, k *rebuild.Case) string {
		at, err := strconv.Atoi(place)
		if err != nil || at < 1 || at > len(k.Steps) {
			f.problem("place", "there is no step %q in the trail", place)
			return ""
		}
		k.Steps = slices.Clone(k.Steps)
		step := k.Steps[at-1]
		words := s.workshop.StepInWords(k, step)
		if f.Has("do", "out") {
			k.Steps = slices.Delete(k.Steps, at-1, at)
			s.resettle(r, rb, k)
			return fmt.Sprintf("took out of the case %q: %s", k.Title, words)
		}
		if step.EvidenceID == 0 {
			f.readCame(&step)
		}
		if step.Kind == rebuild.StepWhole {
			step.Cured = true
		}
		step.Note = f.Value("note")
		if err := s.workshop.StepFits(k, step); err != nil && len(f.Problems) == 0 {
			f.problem("outcome", "%v", err)
			return ""
		}
		k.Steps[at-1] = step
		s.resettle(r, rb, k)
		return fmt.Sprintf("changed in the case %q: %s", k.Title, s.workshop.StepInWords(k, step))
	})
}

// resettle keeps a case's end in line with its trail after a step changed.
func (s *Server) resettle(r *http.Request, rb *rebuild.Rebuild, k *rebuild.Case) {
	switch {
	case k.Cured() && k.State == rebuild.CaseOpen:
		k.State, k.Cause = rebuild.CaseSolved, s.likelyCause(r, rb, *k)
	case !k.Cured() && k.State == rebuild.CaseSolved:
		k.State, k.Cause = rebuild.CaseOpen, ""
	}
}

// caseNotNow says that something cannot be done now, or that it can after all.
func (s *Server) caseNotNow(w http.ResponseWriter, r *http.Request) error {
	return s.caseChange(w, r, "not-now", func(_ *rebuild.Rebuild, f *Form, k *rebuild.Case) string {
		id := f.Value("what")
		name := s.workshop.ActionName(k, id)
		if f.Has("do", "back") {
			k.NotNow = slices.DeleteFunc(slices.Clone(k.NotNow), func(other string) bool { return other == id })
			return fmt.Sprintf("put back in the case %q: %s", k.Title, name)
		}
		if !slices.Contains(k.NotNow, id) {
			k.NotNow = append(slices.Clone(k.NotNow), id)
		}
		return fmt.Sprintf("left out for now in the case %q: %s", k.Title, name)
	})
}

// caseEnd says how a case ended, or opens it again, or names another cause.
func (s *Server) caseEnd(w http.ResponseWriter, r *http.Request) error {
	return s.caseChange(w, r, "end", func(_ *rebuild.Rebuild, f *Form, k *rebuild.Case) string {
		state := rebuild.CaseState(f.Value("state"))
		if !slices.Contains(rebuild.CaseStates, state) {
			f.problem("state", "say how it ended: open, solved or given up")
			return ""
		}
		k.State, k.Cause = state, ""
		if state == rebuild.CaseSolved {
			k.Cause, k.Note = f.Value("cause"), cmp.Or(k.Note, f.Value("note"))
		}
		return ""
	})
}
