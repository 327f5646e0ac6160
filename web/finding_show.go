package web

import (
	"net/http"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// findingPage is one finding: what is known, its photos, the jobs that settle
// it, and the form to change it.
type findingPage struct {
	Frame
	Finding  *rebuild.Finding
	State    rebuild.FindingState
	Severity rebuild.Severity
	Safety   bool
	Entry    findingForm
	Photos   []rebuild.Attachment // of the form: the finding's, and those that came with a refused one
	Jobs     []*rebuild.Job
	Cautions []knowledge.Caution
	CameOff  offHere // for the jobs that settle it
	Edit     bool    // the form is open
}

func (s *Server) findingShow(w http.ResponseWriter, r *http.Request) error {
	rb, finding, err := s.findingOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setFinding(finding)
	return s.findingForm(w, r, http.StatusOK, rb, finding, f, finding.Photos)
}

// findingOf finds what the address names.
func (s *Server) findingOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Finding, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "finding")
	if err != nil {
		return nil, nil, err
	}
	finding := rb.Finding(id)
	if finding == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindFinding, ID: id}
	}
	return rb, finding, nil
}

func (s *Server) findingForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, finding *rebuild.Finding, f *Form, photos []rebuild.Attachment) error {
	frame, err := s.frame(r, finding.What, "findings", rb)
	if err != nil {
		return err
	}
	jobs := rb.JobsOf(finding.ID)
	var ids []int64
	for _, j := range jobs {
		ids = append(ids, j.ID)
	}
	return s.show(w, status, "finding", findingPage{
		Frame: frame, Finding: finding, State: rb.FindingStates()[finding.ID],
		Severity: finding.Severity, Safety: finding.Safety,
		Entry: newFindingForm(f), Photos: photos, Jobs: jobs, CameOff: newOffHere(frame, rb, ids, ""),
		Cautions: knowledge.CautionsAt(finding.Zone, ""), Edit: status != http.StatusOK,
	})
}
