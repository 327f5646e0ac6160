package web

import (
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// evidencePage is one measurement as it was kept.
type evidencePage struct {
	Frame
	Evidence *rebuild.Evidence
	Job      *rebuild.Job // nil: it belongs to none
	Against  *comparison  // nil: nothing to hold it against
	Entry    benchForm
	Cautions []knowledge.Caution
	Edit     bool // the form is open
}

// Figures are the figures without the chances, which Chances are.
func (p evidencePage) Figures() []rebuild.EvidenceFigure {
	figures, _ := workshop.PartChances(p.Evidence.Figures)
	return figures
}

// Chances are those of the causes, the likeliest first.
func (p evidencePage) Chances() []workshop.CauseChance {
	_, chances := workshop.PartChances(p.Evidence.Figures)
	return chances
}

// Leading are the figures that a person looks at first.
func (p evidencePage) Leading() []rebuild.EvidenceFigure {
	return workshop.LeadingFigures(p.Evidence.Figures)
}

// Reason is the verdict's reason in one sentence, More what is said beyond it.
func (p evidencePage) Reason() string {
	first, _ := workshop.PartReason(p.Evidence.Why)
	return first
}

// More is what is said beyond the reason.
func (p evidencePage) More() string {
	_, more := workshop.PartReason(p.Evidence.Why)
	return more
}

func (s *Server) evidenceShow(w http.ResponseWriter, r *http.Request) error {
	rb, e, err := s.evidenceOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setEvidence(e)
	return s.evidenceForm(w, r, http.StatusOK, rb, e, f)
}

func (s *Server) evidenceForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, e *rebuild.Evidence, f *Form) error {
	frame, err := s.frame(r, e.Title, "bench", rb)
	if err != nil {
		return err
	}
	return s.show(w, status, "evidence", evidencePage{
		Frame: frame, Evidence: e, Job: rb.Job(e.JobID), Against: compareOne(rb, e), Entry: newBenchForm(rb, f),
		Cautions: unitCautions(), Edit: status != http.StatusOK,
	})
}

// evidenceOf finds what the address names.
func (s *Server) evidenceOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Evidence, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "evidence")
	if err != nil {
		return nil, nil, err
	}
	e := rb.EvidenceAt(id)
	if e == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindEvidence, ID: id}
	}
	return rb, e, nil
}

// setEvidence fills the form with what of a measurement can be changed.
func (f *Form) setEvidence(e *rebuild.Evidence) {
	f.Set("title", e.Title)
	f.Set("on", e.On)
	f.Set("phase", string(e.Phase))
	f.Set("note", e.Note)
	if e.JobID != 0 {
		f.Set("job", strconv.FormatInt(e.JobID, 10))
	}
}
