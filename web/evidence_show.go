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

	Checked *workshop.Checked // of a check, worked out anew; nil: of another instrument, or it cannot be
	Line    *numberLine
	Codes   *codesSaid  // of a record of fault codes
	Angles  *anglesSaid // of wheel angles
	Survey  *surveySaid // of a body survey
	Noise   *noiseKept  // of a recording
	Pull    string      // address that holds it against the survey before it; empty: there is none
	Anew    string      // why it cannot be worked out anew
}

// Unit reports whether it is a measurement of a hydraulic unit.
func (p evidencePage) Unit() bool { return p.Evidence.Instrument == rebuild.InstrumentRecharge }

// Again is the address where the same quantity is measured once more; empty for
// other instruments.
func (p evidencePage) Again() string {
	if p.Evidence.Instrument == rebuild.InstrumentAngles {
		return p.anglesAgain()
	}
	if workshop.IsSurvey(p.Evidence) {
		return p.Base() + "/bench/survey?from=" + strconv.FormatInt(p.Evidence.ID, 10)
	}
	s, ok := workshop.ReadCheckSettings(p.Evidence)
	if !ok || s.Quantity == "" {
		return ""
	}
	at := p.Base() + "/bench/check/" + s.Quantity
	if p.Evidence.JobID != 0 {
		at += "?job=" + strconv.FormatInt(p.Evidence.JobID, 10)
	}
	return at
}

// Figures are the figures without the chances, which Chances are.
func (p evidencePage) Figures() []rebuild.EvidenceFigure {
	if p.Angles != nil {
		return nil // told wheel by wheel
	}
	figures, _ := workshop.PartChances(workshop.ShownFigures(p.Evidence))
	return figures
}

// Chances are those of the causes, the likeliest first.
func (p evidencePage) Chances() []workshop.CauseChance {
	_, chances := workshop.PartChances(p.Evidence.Figures)
	return chances
}

// Leading are the figures that a person looks at first.
func (p evidencePage) Leading() []rebuild.EvidenceFigure {
	return workshop.LeadingFigures(p.Evidence)
}

// Reason is the verdict's reason in one sentence, More what is said beyond it.
func (p evidencePage) Reason() string {
	first, _ := p.parted()
	return first
}

// More is what is said beyond the reason.
func (p evidencePage) More() string {
	_, more := p.parted()
	return more
}

func (p evidencePage) parted() (first, more string) {
	if p.Evidence.Instrument == rebuild.InstrumentNoise {
		return workshop.PartNoiseReason(p.Evidence.Why)
	}
	return workshop.PartReason(p.Evidence.Why)
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
	page := evidencePage{
		Frame: frame, Evidence: e, Job: rb.Job(e.JobID), Against: compareOne(rb, e), Entry: newBenchForm(rb, f), Edit: status != http.StatusOK,
	}
	switch e.Instrument {
	case rebuild.InstrumentCheck:
		s.showChecked(r, &page)
	case rebuild.InstrumentCodes:
		s.showCodes(r, rb, &page)
	case rebuild.InstrumentAngles:
		s.showAngles(r, &page)
	case rebuild.InstrumentSurvey, rebuild.InstrumentQuickSurvey:
		s.showSurvey(r, rb, &page)
	case rebuild.InstrumentNoise:
		s.showNoise(r, rb, &page)
	default:
		page.Cautions = unitCautions()
	}
	return s.show(w, status, "evidence", page)
}

// showChecked works a check out anew, for its drawing and its working.
func (s *Server) showChecked(r *http.Request, page *evidencePage) {
	if settings, ok := workshop.ReadCheckSettings(page.Evidence); ok {
		if q, known := knowledge.CheckFor(settings.Quantity); known {
			page.Cautions = cautionsFor(q.Hazards)
		}
	}
	said, err := s.workshop.CheckOf(r.Context(), page.Evidence)
	if err != nil {
		page.Anew = err.Error()
		return
	}
	page.Checked, page.Line = &said, lineOf(said)
}

// showCodes reads a record of fault codes anew, against the one before it.
func (s *Server) showCodes(r *http.Request, rb *rebuild.Rebuild, page *evidencePage) {
	said, err := s.workshop.CodesOf(r.Context(), page.Evidence)
	if err != nil {
		page.Anew = err.Error()
		return
	}
	before := lastRecord(rb, page.Evidence)
	if page.Against != nil && page.Evidence.Phase == rebuild.PhaseAfter {
		before = page.Against.Before
	}
	page.Codes = s.codesSaid(r, rb, &said, before)
	page.Codes.Evidence = page.Evidence
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
