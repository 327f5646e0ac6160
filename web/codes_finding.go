package web

import (
	"fmt"
	"net/http"
	"slices"

	"wreckwright/bench/codes"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// codeFinding makes a finding of one code of a record.
func (s *Server) codeFinding(w http.ResponseWriter, r *http.Request) error {
	rb, e, err := s.evidenceOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	said, err := s.workshop.CodesOf(r.Context(), e)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(said.Codes, func(c codes.Code) bool { return c.String() == f.Value("code") })
	if at < 0 {
		return notFound("The code " + f.Value("code") + " is not in that record.")
	}
	c := said.Codes[at]
	back := fmt.Sprintf("/r/%d/bench/evidence/%d", rb.ID, e.ID)
	if findingOf(rb, c) != nil { // a second tap
		return s.goOn(w, r, back)
	}
	finding := rebuild.Finding{Zone: codeZones[c.System], What: findingWords(c), HowFound: rebuild.FaultCode, Severity: rebuild.Minor, On: e.On}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddFinding(finding) },
		func(store.Record) string { return back })
}
