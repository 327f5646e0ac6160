package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// benchIndex lists the instruments and what was measured.
type benchIndex struct {
	Frame
	Cautions []knowledge.Caution
	Lines    []evidenceLine
	All      int
	Compared []*comparison
	Previous string
	Next     string
}

// evidenceLine is one measurement in a list.
type evidenceLine struct {
	*rebuild.Evidence
	Href string
	Job  *rebuild.Job // nil: it belongs to none
}

const (
	benchPageSize = 50
	mostCompared  = 10
)

func (s *Server) benchShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Bench", "bench", rb)
	if err != nil {
		return err
	}
	page := benchIndex{Frame: frame, Cautions: unitCautions(), All: len(rb.Evidence)}
	lines := evidenceLines(frame, rb, func(*rebuild.Evidence) bool { return true })
	last := max(1, (len(lines)+benchPageSize-1)/benchPageSize)
	now, _ := strconv.Atoi(r.URL.Query().Get("page"))
	now = min(max(now, 1), last)
	if now > 1 {
		page.Previous = fmt.Sprintf("?page=%d", now-1)
	}
	if now < last {
		page.Next = fmt.Sprintf("?page=%d", now+1)
	}
	page.Lines = lines[(now-1)*benchPageSize : min(len(lines), now*benchPageSize)]
	page.Compared = comparisonsOf(rb, page.Lines)
	return s.show(w, http.StatusOK, "bench", page)
}

// evidenceLines lists measurements, the latest day first.
func evidenceLines(frame Frame, rb *rebuild.Rebuild, wanted func(*rebuild.Evidence) bool) []evidenceLine {
	var lines []evidenceLine
	for i := range rb.Evidence {
		if e := &rb.Evidence[i]; wanted(e) {
			lines = append(lines, evidenceLine{e, fmt.Sprintf("%s/bench/evidence/%d", frame.Base(), e.ID), rb.Job(e.JobID)})
		}
	}
	slices.SortFunc(lines, func(a, b evidenceLine) int { return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(b.ID, a.ID)) })
	return lines
}

// comparisonsOf are before and after of the jobs of the lines that are shown.
func comparisonsOf(rb *rebuild.Rebuild, lines []evidenceLine) []*comparison {
	var list []*comparison
	seen := map[int64]bool{}
	for _, l := range lines {
		if l.JobID == 0 || seen[l.JobID] || len(list) == mostCompared {
			continue
		}
		seen[l.JobID] = true
		if c := compare(rb, l.JobID); c != nil {
			list = append(list, c)
		}
	}
	return list
}
