package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"

	"wreckwright/diagnose"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// casesPage lists the diagnoses of a rebuild.
type casesPage struct {
	Frame
	Open   []caseLine
	Closed []*rebuild.Case
}

// caseLine is one open case with what to do next.
type caseLine struct {
	caseSums
	Href string
}

// caseSums are the figures of a case in its own currency.
type caseSums struct {
	Frame
	D *workshop.Diagnosis
}

// Sum shows a sum of the case in whole units.
func (c caseSums) Sum(v float64) string { return c.wholeIn(v, c.D.Money.Currency) }

// Saving reports whether there is a whole unit that the way from here is held
// against.
func (c caseSums) Saving() bool {
	return c.D.Advice != nil && c.D.Advice.ExpectedSaving != nil && c.D.Advice.Next.Kind != diagnose.KindReplace
}

// casePath is the address of a case.
func casePath(rb *rebuild.Rebuild, id int64) string {
	return Frame{Rebuild: rb}.Base() + "/cases/" + strconv.FormatInt(id, 10)
}

func (s *Server) casesShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Cases", "cases", rb)
	if err != nil {
		return err
	}
	page := casesPage{Frame: frame}
	for i := range rb.Cases {
		k := &rb.Cases[i]
		if k.State != rebuild.CaseOpen {
			page.Closed = append(page.Closed, k)
			continue
		}
		d, err := s.workshop.Diagnose(r.Context(), rb, k)
		if err != nil {
			return err
		}
		page.Open = append(page.Open, caseLine{caseSums{frame, d}, casePath(rb, k.ID)})
	}
	slices.SortStableFunc(page.Open, func(a, b caseLine) int { return cmp.Compare(stake(b), stake(a)) })
	slices.Reverse(page.Closed)
	return s.show(w, http.StatusOK, "case_list", page)
}

// stake is what a case is about, for their order: what it is expected to save.
func stake(l caseLine) float64 {
	if !l.Saving() {
		return 0
	}
	return *l.D.Advice.ExpectedSaving
}
