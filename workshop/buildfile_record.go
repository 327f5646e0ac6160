package workshop

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// EvidenceRecord chains what stands as evidence in the rebuild: measurements,
// tightenings, proofs of finished jobs, tests and repairs of cases; by the day or
// moment that each tells, then by number.
func EvidenceRecord(r *rebuild.Rebuild) ([]buildfile.Entry, error) {
	c := evidenceKeeper{}
	for i := range r.Evidence {
		e := &r.Evidence[i]
		c.add("measurement", e.ID, cmp.Or(e.At, e.On), e.Title, e, e.Raw)
	}
	for i := range r.Joints {
		for n, t := range r.Joints[i].Tightenings {
			c.add("tightening", r.Joints[i].ID, t.At, fmt.Sprintf("tightening %d of %s", n+1, r.Joints[i].Title), t, t.Photos)
		}
	}
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if j.Finished() && (j.Proof != "" || len(j.Proofs) > 0) {
			proof := struct {
				Title  string               `json:"title"`
				State  rebuild.JobState     `json:"state"`
				Proof  string               `json:"proof"`
				Proofs []rebuild.Attachment `json:"proofs"`
			}{j.Title, j.State, j.Proof, j.Proofs}
			c.add("proof of a job", j.ID, j.DoneOn, "proof of the job "+j.Title, proof, j.Proofs)
		}
	}
	for i := range r.Cases {
		for n, s := range r.Cases[i].Steps {
			c.add("step of a case", r.Cases[i].ID, s.At, fmt.Sprintf("step %d of the case %s", n+1, r.Cases[i].Title), s, nil)
		}
	}
	if c.err != nil {
		return nil, c.err
	}
	slices.SortStableFunc(c.entries, func(a, b buildfile.Entry) int {
		return cmp.Or(cmp.Compare(a.On[:min(10, len(a.On))], b.On[:min(10, len(b.On))]), cmp.Compare(a.Item, b.Item))
	})
	return buildfile.Link(c.entries)
}

type evidenceKeeper struct {
	entries []buildfile.Entry
	err     error
}

func (c *evidenceKeeper) add(kind string, item int64, on, what string, content any, files []rebuild.Attachment) {
	text, err := json.Marshal(content)
	if err != nil {
		c.err = err
		return
	}
	hashes := []string{}
	for _, f := range files {
		hashes = append(hashes, f.Hash)
	}
	c.entries = append(c.entries, buildfile.Entry{Kind: kind, Item: item, On: on, What: what, Content: text, Files: hashes})
}
